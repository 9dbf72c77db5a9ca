//! A pen that draws in metres: right and up from a point of the ground.

use crate::svg::{INK, Point, Sheet, Style};

/// White that covers what lies behind.
pub(super) const PAPER: Style = Style::area("paper", "#ffffff");

/// The pen.
#[derive(Debug)]
pub(super) struct Pen<'a> {
    pub s: &'a mut Sheet,
    /// Pixels a metre.
    pub scale: f64,
    /// Pixel of the origin.
    pub origin: Point,
}

impl Pen<'_> {
    /// Pixel of a place.
    pub fn at(&self, x: f64, y: f64) -> Point {
        (
            self.origin.0 + x * self.scale,
            self.origin.1 - y * self.scale,
        )
    }

    /// Box in pixels: left, top, width, height.
    pub fn frame(&self, left: f64, bottom: f64, right: f64, top: f64) -> [f64; 4] {
        let (x, y) = self.at(left, top);
        [
            x,
            y,
            (right - left) * self.scale,
            (top - bottom) * self.scale,
        ]
    }

    /// A rectangle between two corners.
    pub fn rect(&mut self, left: f64, bottom: f64, right: f64, top: f64, style: Style) {
        let [x, y, w, h] = self.frame(left, bottom, right, top);
        self.s.rect((x, y), (w, h), style);
    }

    /// A closed area.
    pub fn area(&mut self, points: &[Point], style: Style) {
        let points: Vec<Point> = points.iter().map(|p| self.at(p.0, p.1)).collect();
        self.s.polygon(&points, style);
    }

    /// A line through points.
    pub fn line(&mut self, points: &[Point], style: Style) {
        let points: Vec<Point> = points.iter().map(|p| self.at(p.0, p.1)).collect();
        self.s.polyline(&points, style);
    }
}

/// The part of an area below (or above) a height.
pub(super) fn cut(area: &[Point], y: f64, below: bool) -> Vec<Point> {
    let inside = |p: &Point| if below { p.1 <= y } else { p.1 >= y };
    let mut out = Vec::new();
    for (i, a) in area.iter().enumerate() {
        let b = &area[(i + 1) % area.len()];
        if inside(a) {
            out.push(*a);
        }
        if inside(a) != inside(b) {
            let share = (y - a.1) / (b.1 - a.1);
            out.push((a.0 + share * (b.0 - a.0), y));
        }
    }
    out
}

/// A rectangle with rounded corners, as points.
pub(super) fn rounded(left: f64, bottom: f64, right: f64, top: f64, radius: f64) -> Vec<Point> {
    let r = radius
        .min((right - left) / 2.0)
        .min((top - bottom) / 2.0)
        .max(0.0);
    let corners = [
        (right - r, top - r, 0.0),
        (left + r, top - r, 90.0),
        (left + r, bottom + r, 180.0),
        (right - r, bottom + r, 270.0),
    ];
    let mut out = Vec::new();
    for (x, y, from) in corners {
        for step in 0..=6 {
            let angle = f64::to_radians(from + 15.0 * f64::from(step));
            out.push((x + r * angle.cos(), y + r * angle.sin()));
        }
    }
    out
}

/// A pipe of a width in pixels: two ink edges, paper between.
pub(super) fn tube(pen: &mut Pen, points: &[Point], width: f64) {
    pen.line(points, Style::line("pipe", INK, width));
    let bore = Style {
        square: true,
        ..Style::line("pipe bore", "#ffffff", (width - 2.2).max(0.8))
    };
    pen.line(points, bore);
}
