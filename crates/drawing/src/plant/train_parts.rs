//! Jars, traps and stops, each in its cell.

use super::hatch::Hatches;
use super::sizes::Jar;
use crate::svg::{Anchor, FLAME, GREY, INK, Point, Sheet, Style};

/// A cell: its sides, the height of the pipe, the bench, all in pixels.
#[derive(Debug, Clone, Copy)]
pub(super) struct Cell {
    pub left: f64,
    pub right: f64,
    pub pipe: f64,
    pub bench: f64,
    /// Pixels a metre.
    pub scale: f64,
    pub last: bool,
}

impl Cell {
    pub fn middle(&self) -> f64 {
        self.left.midpoint(self.right)
    }
}

/// Pixels of the pipe's outside.
const PIPE: f64 = 5.0;

/// The gas pipe through points; `by` makes it thicker.
pub(super) fn pipe(s: &mut Sheet, points: &[Point], by: f64) {
    s.polyline(points, Style::line("pipe", INK, PIPE * by));
    let bore = Style {
        square: true,
        ..Style::line("pipe bore", "#ffffff", PIPE * by - 2.2)
    };
    s.polyline(points, bore);
}

fn glass(s: &mut Sheet, x: f64, bottom: f64, w: f64, h: f64, open: bool) {
    let (l, r, t) = (x - w / 2.0, x + w / 2.0, bottom - h);
    let style = Style::line("glass", INK, 1.4);
    s.polyline(&[(l, t), (l, bottom), (r, bottom), (r, t)], style);
    if !open {
        s.rect(
            (l - 2.0, t - 3.0),
            (w + 4.0, 5.0),
            Style::line("lid", INK, 1.2).filled("#ffffff"),
        );
    }
}

fn liquid(s: &mut Sheet, x: f64, bottom: f64, w: f64, h: f64, fill: &str) {
    s.rect(
        (x - w / 2.0, bottom - h),
        (w, h),
        Style::area("liquid", fill),
    );
    let (a, b) = ((x - w / 2.0, bottom - h), (x + w / 2.0, bottom - h));
    s.line(a, b, Style::line("level", INK, 0.9));
}

fn bubbles(s: &mut Sheet, x: f64, y: f64, level: f64) {
    for (dx, share, r) in [(3.5, 0.15, 1.3), (5.5, 0.5, 1.7), (4.0, 0.85, 1.3)] {
        let at = (x + dx, y + share * (level - y));
        s.circle(
            at,
            r,
            Style::line("bubble gas", FLAME, 0.9).filled("#ffffff"),
        );
    }
}

/// A jar that the gas bubbles through: lye, or the seal.
pub(super) fn bubbler(s: &mut Sheet, c: &Cell, jar: &Jar, h: &Hatches) {
    let (w, high) = (jar.diameter_m * c.scale, jar.height_m * c.scale);
    let x = c.middle();
    let level = c.bench - jar.level_m * c.scale;
    liquid(s, x, c.bench, w, jar.level_m * c.scale, &h.fill("water"));
    glass(s, x, c.bench, w, high, false);
    let (a, b) = (x - 0.22 * w, x + 0.24 * w);
    let dip = (level + jar.dip_m * c.scale).min(c.bench - 3.0);
    pipe(s, &[(c.left, c.pipe), (a, c.pipe), (a, dip)], 1.0);
    bubbles(s, a, dip - 1.0, level);
    pipe(
        s,
        &[(b, c.bench - high + 8.0), (b, c.pipe), (c.right, c.pipe)],
        1.0,
    );
}

/// A bottle of iron: in below, out above.
pub(super) fn packing(s: &mut Sheet, c: &Cell, jar: &Jar, h: &Hatches) {
    let (w, high) = ((jar.diameter_m * c.scale).max(9.0), jar.height_m * c.scale);
    let x = c.middle();
    let side = x - w / 2.0 - 12.0;
    let packed = jar.level_m * c.scale;
    let fill = h.fill("iron");
    s.rect(
        (x - w / 2.0, c.bench - packed - 3.0),
        (w, packed),
        Style::area("iron", &fill),
    );
    glass(s, x, c.bench, w, high, false);
    pipe(
        s,
        &[
            (c.left, c.pipe),
            (side, c.pipe),
            (side, c.bench - 5.0),
            (x - w * 0.2, c.bench - 5.0),
        ],
        1.0,
    );
    pipe(
        s,
        &[(x, c.bench - high + 6.0), (x, c.pipe), (c.right, c.pipe)],
        1.0,
    );
}

/// A bottle at the lowest point of the line.
pub(super) fn trap(s: &mut Sheet, c: &Cell, jar: &Jar, h: &Hatches) {
    let (w, high) = (
        (jar.diameter_m * c.scale).max(12.0),
        (jar.height_m * c.scale).max(16.0),
    );
    let x = c.middle();
    let low = c.pipe + 16.0;
    let bottom = (low + 14.0 + high).min(c.bench);
    let water = 0.4 * high;
    liquid(s, x, bottom, w, water, &h.fill("water"));
    glass(s, x, bottom, w, high, false);
    pipe(
        s,
        &[
            (c.left, c.pipe),
            (x - 16.0, c.pipe),
            (x, low),
            (x + 16.0, c.pipe),
            (c.right, c.pipe),
        ],
        1.0,
    );
    pipe(s, &[(x, low + 1.0), (x, bottom - high + 7.0)], 1.0);
    // Drops on their way down.
    for y in [4.0, 9.0] {
        s.circle(
            (x, bottom - high + 8.0 + y * 0.8),
            1.0,
            Style::area("drop", GREY),
        );
    }
}

/// An open column of water that gives way.
pub(super) fn relief(s: &mut Sheet, c: &Cell, jar: &Jar, h: &Hatches) {
    let (w, high) = (jar.diameter_m * c.scale, jar.height_m * c.scale);
    let x = c.middle();
    let level = c.bench - jar.level_m * c.scale;
    liquid(s, x, c.bench, w, jar.level_m * c.scale, &h.fill("water"));
    glass(s, x, c.bench, w, high, true);
    pipe(s, &[(c.left, c.pipe), (c.right, c.pipe)], 1.0);
    let dip = level + jar.dip_m * c.scale;
    pipe(s, &[(x, c.pipe), (x, dip)], 1.0);
    // The depth that counts, as a dimension.
    let side = x + w / 2.0 + 7.0;
    let thin = Style::line("dimension", INK, 0.8);
    s.line((side, level), (side, dip), thin);
    for y in [level, dip] {
        s.line((side - 3.0, y), (side + 3.0, y), thin);
    }
}

/// A screen in a wider piece of pipe.
pub(super) fn mesh(s: &mut Sheet, c: &Cell) {
    let x = c.middle();
    pipe(s, &[(c.left, c.pipe), (c.right, c.pipe)], 1.0);
    s.rect(
        (x - 15.0, c.pipe - 9.0),
        (30.0, 18.0),
        Style::line("union", INK, 1.4).filled("#ffffff"),
    );
    for dx in [-4.0, 0.0, 4.0] {
        let style = Style::line("mesh", INK, 1.0).dashed("1.6 1.6");
        s.line((x + dx, c.pipe - 8.0), (x + dx, c.pipe + 8.0), style);
    }
}

/// The branch to the store, at the left of a cell.
pub(super) fn branch(s: &mut Sheet, c: &Cell, words: &str) {
    let x = c.left + 8.0;
    pipe(s, &[(x, c.pipe), (x, c.pipe - 18.0)], 1.0);
    let y = c.pipe - 20.0;
    s.polygon(
        &[(x, y - 8.0), (x - 4.5, y), (x + 4.5, y)],
        Style::area("arrow", INK),
    );
    s.text((x + 8.0, y), Anchor::Start, "small", GREY, words);
}

/// The line goes on in the next row, or comes from the row before.
pub(super) fn goes_on(s: &mut Sheet, x: f64, y: f64) {
    s.polygon(
        &[(x, y), (x - 7.0, y - 5.0), (x - 7.0, y + 5.0)],
        Style::area("arrow", INK),
    );
}

/// A ball valve with its lever.
pub(super) fn valve(s: &mut Sheet, x: f64, y: f64) {
    s.circle(
        (x, y),
        4.5,
        Style::line("valve", INK, 1.2).filled("#ffffff"),
    );
    s.line((x, y - 4.5), (x, y - 9.0), Style::line("valve", INK, 1.2));
    s.line(
        (x, y - 9.0),
        (x + 9.0, y - 9.0),
        Style::line("valve", INK, 2.0),
    );
}
