//! A board for one joint: a drawing with numbers at its sides.

use fenlamp_words::Words;

use super::piece::{Joint, Line};
use crate::dimension::{dimension, dimension_left};
use crate::plant::Hatches;
use crate::svg::{Anchor, FLAME, GREY, INK, Point, Sheet, Style, num};

/// Width of a board, pixels.
pub(super) const WIDE: f64 = 340.0;
/// Height of its picture.
pub(super) const HIGH: f64 = 230.0;
/// Outside of a hose.
const HOSE: f64 = 9.0;

/// A number with a leader to a point.
#[derive(Debug, Clone, Copy)]
struct Call {
    number: usize,
    at: Point,
}

/// The board.
pub(super) struct Board<'a> {
    pub s: Sheet,
    pub words: &'a Words,
    pub hatch: Hatches,
    lines: &'a [Line],
    joint: &'a Joint,
    calls: Vec<Call>,
}

impl<'a> Board<'a> {
    pub fn new(id: &str, joint: &'a Joint, lines: &'a [Line], words: &'a Words) -> Self {
        let title = format!(
            "{} {}",
            joint.letter,
            words.say(&format!("joint.{}", joint.key))
        );
        let about = words.say("build.about_detail");
        let mut s = Sheet::new(
            (WIDE, HIGH + 28.0),
            "detail",
            &title,
            &about,
            &[("data-joint", joint.letter.clone())],
        );
        let hatch = Hatches::new(&format!("{id}-{}", joint.letter));
        hatch.define(&mut s);
        Board {
            s,
            words,
            hatch,
            lines,
            joint,
            calls: Vec::new(),
        }
    }

    /// Calls out every piece of that key that the joint takes, at one point.
    pub fn call(&mut self, key: &str, at: Point) {
        for line in self.lines {
            let here = line.places.iter().any(|p| p.0 == self.joint.letter);
            let new = !self.calls.iter().any(|c| c.number == line.number);
            if here && new && line.item.key == key {
                let shift = self.calls.iter().filter(|c| c.at == at).count() as f64;
                self.calls.push(Call {
                    number: line.number,
                    at: (at.0, at.1 + 3.0 * shift),
                });
            }
        }
    }

    /// The finished picture: numbers at the sides, and under it those that
    /// nothing in the picture shows.
    pub fn finish(mut self) -> String {
        let (mut left, mut right): (Vec<Call>, Vec<Call>) =
            self.calls.iter().partition(|c| c.at.0 < WIDE / 2.0);
        for (side, x) in [(&mut left, 13.0), (&mut right, WIDE - 13.0)] {
            side.sort_by(|a, b| a.at.1.total_cmp(&b.at.1));
            let ys = spread(&side.iter().map(|c| c.at.1).collect::<Vec<_>>(), HIGH);
            for (call, y) in side.iter().zip(ys) {
                let edge = if x < WIDE / 2.0 { x + 9.0 } else { x - 9.0 };
                self.s
                    .line((edge, y), call.at, Style::line("leader", INK, 0.6));
                self.s.circle(call.at, 1.5, Style::area("leader", INK));
                number(&mut self.s, (x, y), call.number);
            }
        }
        let rest: Vec<usize> = self
            .lines
            .iter()
            .filter(|l| l.places.iter().any(|p| p.0 == self.joint.letter))
            .map(|l| l.number)
            .filter(|n| !self.calls.iter().any(|c| c.number == *n))
            .collect();
        let mut x = 13.0;
        if !rest.is_empty() {
            let words = self.words.say("build.also");
            self.s
                .text((4.0, HIGH + 18.0), Anchor::Start, "small", GREY, &words);
            x += crate::svg::text_width(&words, 11.0) + 4.0;
        }
        for n in rest {
            number(&mut self.s, (x, HIGH + 14.0), n);
            x += 22.0;
        }
        self.s.finish()
    }

    /// A hose through points.
    pub fn hose(&mut self, points: &[Point]) {
        tube(&mut self.s, points, HOSE);
    }

    /// A rigid pipe of a width.
    pub fn pipe(&mut self, points: &[Point], width: f64) {
        tube(&mut self.s, points, width);
    }

    /// A fitting through a flat wall at a point, its axis upright: nut, washer,
    /// wall, washer, nut. `thick` is the wall's thickness in pixels.
    pub fn fitting(&mut self, at: Point, thick: f64) {
        let (x, y) = at;
        let white = Style::line("fitting", INK, 1.2).filled("#ffffff");
        self.s.rect(
            (x - 7.0, y - thick / 2.0 - 22.0),
            (14.0, 44.0 + thick),
            white,
        );
        for side in [-1.0, 1.0] {
            let washer = y + side * (thick / 2.0 + 2.0);
            self.s.rect(
                (x - 17.0, washer - 2.0),
                (34.0, 4.0),
                Style::area("washer", INK),
            );
            let nut = y + side * (thick / 2.0 + 8.5);
            self.s.rect((x - 15.0, nut - 4.5), (30.0, 9.0), white);
        }
    }

    /// A clamp round an upright or level hose.
    pub fn clamp(&mut self, at: Point, upright: bool) {
        let (w, h) = if upright { (13.0, 4.0) } else { (4.0, 13.0) };
        self.s.rect(
            (at.0 - w / 2.0, at.1 - h / 2.0),
            (w, h),
            Style::area("clamp", INK),
        );
    }

    /// A jar, and its lid unless it is open.
    pub fn glass(&mut self, x: f64, bottom: f64, size: Point, open: bool) {
        let (l, r, t) = (x - size.0 / 2.0, x + size.0 / 2.0, bottom - size.1);
        let style = Style::line("glass", INK, 1.4);
        self.s
            .polyline(&[(l, t), (l, bottom), (r, bottom), (r, t)], style);
        if !open {
            let lid = Style::line("lid", INK, 1.2).filled("#ffffff");
            self.s.rect((l - 3.0, t - 5.0), (size.0 + 6.0, 7.0), lid);
        }
    }

    /// A filling up to a level.
    pub fn filled(&mut self, x: f64, bottom: f64, size: Point, fill: &str) {
        let fill = self.hatch.fill(fill);
        self.s.rect(
            (x - size.0 / 2.0, bottom - size.1),
            size,
            Style::area("liquid", &fill),
        );
        let (a, b) = (
            (x - size.0 / 2.0, bottom - size.1),
            (x + size.0 / 2.0, bottom - size.1),
        );
        self.s.line(a, b, Style::line("level", INK, 0.9));
    }

    /// Bubbles of gas above a point.
    pub fn bubbles(&mut self, x: f64, y: f64, level: f64) {
        for (dx, share, r) in [(5.0, 0.1, 1.6), (7.0, 0.45, 2.0), (5.5, 0.8, 1.6)] {
            let at = (x + dx, y + share * (level - y));
            self.s.circle(
                at,
                r,
                Style::line("bubble gas", FLAME, 0.9).filled("#ffffff"),
            );
        }
    }

    /// A dimension between two points, level or upright, with its words.
    pub fn dimension(&mut self, a: Point, b: Point, words: &str) {
        dimension(&mut self.s, a, b, words);
    }

    /// An upright dimension with its words at its left.
    pub fn dimension_left(&mut self, a: Point, b: Point, words: &str) {
        dimension_left(&mut self.s, a, b, words);
    }

    /// Small words, in as many lines as they need.
    pub fn note(&mut self, at: Point, words: &str) {
        for (i, line) in crate::svg::wrap(words, 11.0, WIDE - at.0 - 6.0)
            .iter()
            .enumerate()
        {
            let y = at.1 + 13.0 * i as f64;
            self.s.text((at.0, y), Anchor::Start, "small", GREY, line);
        }
    }
}

/// A number in its ring.
pub(super) fn number(s: &mut Sheet, at: Point, n: usize) {
    s.circle(at, 9.0, Style::line("number", INK, 1.0).filled("#ffffff"));
    s.text(
        (at.0, at.1 + 4.0),
        Anchor::Middle,
        "number",
        INK,
        &n.to_string(),
    );
}

/// A pipe: two edges, paper between.
pub(super) fn tube(s: &mut Sheet, points: &[Point], width: f64) {
    s.polyline(points, Style::line("pipe", INK, width));
    let bore = Style {
        square: true,
        ..Style::line("pipe bore", "#ffffff", (width - 2.4).max(0.8))
    };
    s.polyline(points, bore);
}

/// Places at least 22 apart, in order, near where they want to be.
fn spread(wanted: &[f64], high: f64) -> Vec<f64> {
    let (gap, top) = (22.0, 12.0);
    let mut out: Vec<f64> = Vec::new();
    for y in wanted {
        let least = out.last().map_or(top, |l| l + gap);
        out.push(y.max(least));
    }
    // Pushed over the foot: back up from below.
    let mut most = high - 10.0;
    for y in out.iter_mut().rev() {
        *y = y.min(most);
        most = *y - gap;
    }
    out
}

/// Keeps a coordinate of a path short.
pub(super) fn p(x: f64, y: f64) -> String {
    format!("{} {}", num(x), num(y))
}
