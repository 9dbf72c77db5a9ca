//! What stands before the flame, and under it.

use fenlamp_words::Words;

use super::burner::Head;
use super::ink::{Board, WIDE};
use super::shop;
use crate::svg::{FLAME, INK, Style};

pub(super) fn mesh(b: &mut Board) {
    let (x, y) = (WIDE / 2.0, 100.0);
    b.hose(&[(60.0, y), (WIDE - 60.0, y)]);
    let white = Style::line("union", INK, 1.6).filled("#ffffff");
    b.s.rect((x - 46.0, y - 12.0), (92.0, 24.0), white);
    b.s.rect((x - 22.0, y - 26.0), (44.0, 52.0), white);
    for dx in [-7.0, 0.0, 7.0] {
        let style = Style::line("mesh", INK, 1.6).dashed("2 2");
        b.s.line((x + dx, y - 23.0), (x + dx, y + 23.0), style);
    }
    // The mesh from the front.
    let (cx, cy, r) = (x, 190.0, 26.0);
    b.s.circle((cx, cy), r, Style::line("mesh", INK, 1.2));
    for i in -4..=4 {
        let d = f64::from(i) * 5.5;
        let half = (r * r - d * d).max(0.0).sqrt();
        b.s.line(
            (cx + d, cy - half),
            (cx + d, cy + half),
            Style::line("mesh", INK, 0.6),
        );
        b.s.line(
            (cx - half, cy + d),
            (cx + half, cy + d),
            Style::line("mesh", INK, 0.6),
        );
    }
    b.call("mesh", (x + 7.0, y - 14.0));
    b.call("union", (x - 20.0, y - 22.0));
    b.call("hose_tail", (x - 40.0, y));
    b.call("clamp", (x - 62.0, y));
}

/// Holes on rings around the middle: how many on each ring.
fn rings(holes: u32) -> Vec<u32> {
    let mut left = holes;
    let mut out = Vec::new();
    let mut ring = 6;
    while left > 0 {
        let now = left.min(ring);
        out.push(now);
        left -= now;
        ring += 6;
    }
    out
}

pub(super) fn burner(b: &mut Board, h: &Head) {
    // From the side: jet, air holes, mixing tube, head.
    let y = 176.0;
    let white = Style::line("burner", INK, 1.4).filled("#ffffff");
    b.hose(&[(48.0, y), (84.0, y)]);
    b.s.rect((80.0, y - 9.0), (26.0, 18.0), white);
    b.s.polygon(
        &[
            (106.0, y - 5.0),
            (116.0, y - 1.2),
            (116.0, y + 1.2),
            (106.0, y + 5.0),
        ],
        Style::area("jet", INK),
    );
    b.s.rect((112.0, y - 13.0), (118.0, 26.0), white);
    for dy in [-13.0, 13.0] {
        b.s.rect(
            (118.0, y + dy - 1.5),
            (18.0, 3.0),
            Style::area("air", "#ffffff"),
        );
    }
    b.s.rect((226.0, y - 22.0), (56.0, 35.0), white);
    for i in 0..5 {
        let x = 233.0 + 10.5 * f64::from(i);
        b.s.line(
            (x, y - 22.0),
            (x, y - 30.0),
            Style::line("flame gas", FLAME, 2.2),
        );
    }
    let figure = |mm: f64| b.words.figure(&shop::inches(mm));
    let (jet, throat, port) = (
        drill(b.words, h),
        figure(h.throat_mm),
        b.words.figure(&h.port_words()),
    );
    b.note((66.0, y + 34.0), &jet);
    b.s.line(
        (113.0, y + 2.0),
        (104.0, y + 24.0),
        Style::line("leader", INK, 0.6),
    );
    b.dimension((205.0, y + 11.0), (205.0, y - 11.0), &throat);
    // From above: the holes, all of them.
    let (cx, cy) = (WIDE / 2.0, 68.0);
    let rings = rings(h.holes);
    let step = 52.0 / rings.len().max(1) as f64;
    b.s.circle((cx, cy), 60.0, white);
    for (i, n) in rings.iter().enumerate() {
        let r = step * (i as f64 + 0.7);
        for k in 0..*n {
            let a = std::f64::consts::TAU * (f64::from(k) + 0.5 * (i % 2) as f64) / f64::from(*n);
            b.s.circle(
                (cx + r * a.cos(), cy + r * a.sin()),
                (0.3 * step).clamp(0.8, 2.2),
                Style::area("port", INK),
            );
        }
    }
    let holes = b
        .words
        .fill("build.holes", &[("n", &h.holes.to_string()), ("d", &port)]);
    b.note((6.0, 12.0), &holes);
    b.call("valve", (56.0, y));
    b.call("hose_tail", (70.0, y - 2.0));
    b.call("clamp", (76.0, y + 3.0));
    b.call("jet_plug", (96.0, y - 6.0));
    b.call("mixing_tube", (180.0, y + 12.0));
    b.call("burner_head", (280.0, y - 6.0));
}

/// The jet's drill in words of the language.
fn drill(words: &Words, h: &Head) -> String {
    let mm = words.figure(&fenlamp_quantity::format_number(h.jet_mm, 3));
    let number = h
        .jet_number
        .map_or_else(String::new, |(n, _)| format!(" (No. {n})"));
    words.fill("build.jet", &[("d", &mm)]) + &number
}

pub(super) fn appliance(b: &mut Board) {
    let (x, y) = (WIDE / 2.0, 120.0);
    b.hose(&[(50.0, y), (x - 40.0, y)]);
    b.s.circle(
        (96.0, y),
        9.0,
        Style::line("valve", INK, 1.4).filled("#ffffff"),
    );
    b.s.line((96.0, y), (112.0, y - 12.0), Style::line("valve", INK, 3.0));
    b.s.rect(
        (x - 40.0, y - 50.0),
        (110.0, 100.0),
        Style::line("appliance", INK, 1.6).filled("#ffffff"),
    );
    b.s.rect(
        (x - 10.0, y + 6.0),
        (50.0, 32.0),
        Style::line("appliance", INK, 1.0),
    );
    b.call("valve", (96.0, y + 6.0));
    b.call("hose_tail", (76.0, y));
    b.call("clamp", (120.0, y));
    b.call("appliance", (x + 50.0, y - 20.0));
}
