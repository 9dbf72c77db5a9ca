//! Jars, bottles and columns in detail, to scale.

use super::ink::{Board, HIGH, WIDE};
use crate::plant::Say;
use crate::plant::sizes::Jar;
use crate::svg::{INK, Point, Style};

/// A jar to scale with a long pipe in and a short pipe out.
fn two_pipes(
    b: &mut Board,
    x: f64,
    bottom: f64,
    jar: &Jar,
    scale: f64,
    fill: Option<&str>,
) -> (Point, Point) {
    let (w, h) = (jar.diameter_m * scale, jar.height_m * scale);
    if let Some(fill) = fill {
        b.filled(x, bottom, (w, jar.level_m * scale), fill);
    }
    b.glass(x, bottom, (w, h), false);
    let (a, c) = (x - 0.22 * w, x + 0.24 * w);
    let top = bottom - h;
    let dip = if fill.is_some() {
        bottom - (jar.level_m - jar.dip_m) * scale
    } else {
        bottom - 0.15 * h
    };
    for px in [a, c] {
        b.s.rect(
            (px - 6.0, top - 11.0),
            (12.0, 15.0),
            Style::line("fitting", INK, 1.0).filled("#ffffff"),
        );
    }
    b.pipe(&[(a, top - 20.0), (a, dip.min(bottom - 4.0))], 5.0);
    b.pipe(&[(c, top - 20.0), (c, top + 8.0)], 5.0);
    ((a, dip), (c, top - 20.0))
}

pub(super) fn lye_jar(b: &mut Board, jar: &Jar, say: &Say) {
    let scale = (62.0 / jar.diameter_m).min(120.0 / jar.height_m);
    let w = jar.diameter_m * scale;
    let bottom = HIGH - 24.0;
    let xs = [WIDE / 2.0 - w - 26.0, WIDE / 2.0, WIDE / 2.0 + w + 26.0];
    let top = bottom - jar.height_m * scale - 20.0;
    let ends = two_pipes(b, xs[0], bottom, jar, scale, None);
    let (dip, out) = two_pipes(b, xs[1], bottom, jar, scale, Some("water"));
    let last = two_pipes(b, xs[2], bottom, jar, scale, None);
    // In by the short pipe, out by the long one, so that lye cannot go on.
    for (from, to) in [(ends.1, (dip.0, top)), (out, (last.0.0, top))] {
        b.hose(&[
            (from.0, top),
            (from.0, top - 12.0),
            (to.0, top - 12.0),
            (to.0, top),
        ]);
    }
    let level = bottom - jar.level_m * scale;
    b.bubbles(dip.0, dip.1, level);
    b.dimension(
        (xs[1] + 0.06 * w, level),
        (xs[1] + 0.06 * w, dip.1),
        &say.metres(jar.dip_m),
    );
    b.call("jar", (xs[1] + w / 2.0, bottom - 12.0));
    b.call("alkali", (xs[1] + 0.1 * w, bottom - 8.0));
    b.call("dip_pipe", (dip.0, dip.1 - 8.0));
    b.call("gas_fitting", (ends.0.0, top + 14.0));
    b.call("washer", (ends.0.0 - 4.0, top + 22.0));
    b.call("hose_tail", (last.1.0, top + 4.0));
    b.call("clamp", (last.0.0, top));
    b.note((60.0, 14.0), &b.words.say("build.catch_jars"));
}

pub(super) fn iron(b: &mut Board, jar: &Jar, say: &Say) {
    let scale = (90.0 / jar.diameter_m).min(150.0 / jar.height_m);
    let (w, h) = (jar.diameter_m * scale, jar.height_m * scale);
    let (x, bottom) = (WIDE / 2.0, HIGH - 22.0);
    let top = bottom - h;
    let fill = b.hatch.fill("iron");
    let packed = jar.level_m * scale;
    b.s.rect(
        (x - w / 2.0, bottom - 10.0 - packed + 10.0),
        (w, packed - 10.0),
        Style::area("iron", &fill),
    );
    for y in [bottom - 10.0, bottom - packed] {
        b.s.line(
            (x - w / 2.0, y),
            (x + w / 2.0, y),
            Style::line("grid", INK, 2.0).dashed("2 2"),
        );
    }
    b.glass(x, bottom, (w, h), false);
    b.pipe(
        &[(x - 0.25 * w, top - 22.0), (x - 0.25 * w, bottom - 5.0)],
        5.0,
    );
    b.pipe(
        &[(x + 0.25 * w, top - 22.0), (x + 0.25 * w, top + 8.0)],
        5.0,
    );
    let side = x + w / 2.0 + 16.0;
    b.dimension((side, bottom), (side, top), &say.metres(jar.height_m));
    b.call("jar", (x + w / 2.0, bottom - 20.0));
    b.call("grid", (x + 0.3 * w, bottom - packed));
    b.call("iron", (x, bottom - 0.5 * packed));
    b.call("dip_pipe", (x - 0.25 * w, bottom - 0.3 * packed));
    b.call("gas_fitting", (x - 0.25 * w, top - 4.0));
    b.call("washer", (x - 0.25 * w, top));
    b.call("hose_tail", (x - 0.25 * w, top - 18.0));
    b.call("clamp", (x + 0.25 * w, top - 18.0));
}

pub(super) fn trap(b: &mut Board, jar: &Jar, say: &Say) {
    let scale = (80.0 / jar.diameter_m).min(96.0 / jar.height_m);
    let (w, h) = (jar.diameter_m * scale, jar.height_m * scale);
    let (x, bottom) = (WIDE / 2.0, HIGH - 20.0);
    let low = bottom - h - 38.0;
    b.hose(&[(70.0, low - 34.0), (x, low), (WIDE - 70.0, low - 34.0)]);
    b.s.rect(
        (x - 10.0, low - 10.0),
        (20.0, 20.0),
        Style::line("tee", INK, 1.4).filled("#ffffff"),
    );
    b.filled(x, bottom, (w, jar.level_m * scale), "water");
    b.glass(x, bottom, (w, h), false);
    b.pipe(&[(x, low + 10.0), (x, bottom - h + 10.0)], 7.0);
    let side = x + w / 2.0 + 14.0;
    b.dimension(
        (side, bottom),
        (side, bottom - jar.level_m * scale),
        &say.metres(jar.level_m),
    );
    b.call("tee", (x - 8.0, low));
    b.call("clamp", (x - 26.0, low - 10.0));
    b.call("jar", (x + w / 2.0, bottom - 10.0));
    b.call("gas_fitting", (x + 5.0, bottom - h));
    b.call("washer", (x + 9.0, bottom - h + 2.0));
    b.call("hose_tail", (x - 3.0, low + 22.0));
}

pub(super) fn relief(b: &mut Board, jar: &Jar, say: &Say) {
    let scale = (90.0 / jar.diameter_m).min(140.0 / jar.height_m);
    let (w, h) = (jar.diameter_m * scale, jar.height_m * scale);
    let (x, bottom) = (WIDE / 2.0, HIGH - 20.0);
    let pipe_y = bottom - h - 24.0;
    let level = bottom - jar.level_m * scale;
    b.filled(x, bottom, (w, jar.level_m * scale), "water");
    b.glass(x, bottom, (w, h), true);
    b.hose(&[(60.0, pipe_y), (WIDE - 60.0, pipe_y)]);
    b.s.rect(
        (x - 10.0, pipe_y - 9.0),
        (20.0, 18.0),
        Style::line("tee", INK, 1.4).filled("#ffffff"),
    );
    let dip = level + jar.dip_m * scale;
    b.pipe(&[(x, pipe_y + 9.0), (x, dip)], 7.0);
    let side = x + w / 2.0 + 12.0;
    b.dimension((side, level), (side, dip), &say.metres(jar.dip_m));
    b.s.line(
        (x + 4.0, dip),
        (side, dip),
        Style::line("leader", INK, 0.5).dashed("2 2"),
    );
    let left = x - w / 2.0 - 14.0;
    b.dimension_left(
        (left, bottom),
        (left, bottom - h),
        &say.metres(jar.height_m),
    );
    b.call("tee", (x + 8.0, pipe_y));
    b.call("clamp", (x + 30.0, pipe_y));
    b.call("dip_pipe", (x - 3.0, level - 14.0));
    b.call("column", (x - w / 2.0, bottom - 14.0));
}

pub(super) fn seal(b: &mut Board, jar: &Jar, say: &Say) {
    let scale = (100.0 / jar.diameter_m).min(130.0 / jar.height_m);
    let (w, bottom) = (jar.diameter_m * scale, HIGH - 22.0);
    let x = WIDE / 2.0;
    let (dip, out) = two_pipes(b, x, bottom, jar, scale, Some("water"));
    let level = bottom - jar.level_m * scale;
    b.bubbles(dip.0, dip.1, level);
    let side = x + w / 2.0 + 14.0;
    b.dimension((side, level), (side, dip.1), &say.metres(jar.dip_m));
    b.call("jar", (x + w / 2.0, bottom - 12.0));
    b.call("dip_pipe", (dip.0, dip.1 - 14.0));
    b.call("gas_fitting", (dip.0, out.1 + 14.0));
    b.call("washer", (dip.0 - 4.0, out.1 + 20.0));
    b.call("hose_tail", (dip.0, out.1 + 4.0));
    b.call("clamp", (out.0, out.1 + 3.0));
}
