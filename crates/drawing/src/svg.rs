//! A small writer of SVG text: numbers with one decimal, everything escaped.

use std::fmt::Write;

/// Dark ink.
pub(crate) const INK: &str = "#1c1b19";
/// Flame: gas and nothing else.
pub(crate) const FLAME: &str = "#b8410f";
/// Grey of axes and small words.
pub(crate) const GREY: &str = "#5f5d59";
/// Pale grey of grid lines and quiet areas.
pub(crate) const PALE: &str = "#d4d2cd";
/// Fonts that are there already.
const FONTS: &str = "system-ui, 'Segoe UI', Roboto, 'DejaVu Sans', sans-serif";

/// Rough width of a text set at `size`, in the same unit; on the wide side.
pub fn text_width(text: &str, size: f64) -> f64 {
    let em: f64 = text
        .chars()
        .map(|c| match c {
            'i' | 'j' | 'l' | '.' | ',' | ':' | ';' | '\'' | '|' | '!' | ' ' => 0.34,
            'f' | 'r' | 't' | '(' | ')' | '-' => 0.43,
            '\u{ad}' => 0.0,
            '\u{a0}' => 0.34,
            'm' | 'w' | 'M' | 'W' | '—' => 0.95,
            'A'..='Z' => 0.70,
            _ => 0.62,
        })
        .sum();
    em * size
}

/// Words in lines no wider than `width`; a longer word stands alone.
pub(crate) fn wrap(text: &str, size: f64, width: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    // A no-break space holds a figure and its unit together; a soft hyphen is
    // where a long word may part.
    for word in text.split([' ', '\n']).filter(|w| !w.is_empty()) {
        match lines.last_mut() {
            Some(line) if text_width(&format!("{line} {word}"), size) <= width => {
                line.push(' ');
                line.push_str(word);
            }
            _ if text_width(word, size) <= width => lines.push(word.to_owned()),
            _ => {
                let mut rest = String::new();
                for piece in word.split('\u{ad}') {
                    let joined = format!("{rest}{piece}");
                    if !rest.is_empty() && text_width(&format!("{joined}-"), size) > width {
                        lines.push(format!("{rest}-"));
                        rest = piece.to_owned();
                    } else {
                        rest = joined;
                    }
                }
                lines.push(rest);
            }
        }
    }
    lines
}

/// A coordinate: one decimal, never "-0", never NaN.
pub(crate) fn num(x: f64) -> String {
    if !x.is_finite() {
        return "0".to_owned();
    }
    let text = format!("{x:.1}");
    let text = text.strip_suffix(".0").unwrap_or(&text);
    if text == "-0" { "0" } else { text }.to_owned()
}

/// Text safe between tags and inside double quotes. Characters that XML forbids
/// become blanks.
pub(crate) fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\u{ad}' => {}
            c if (c < ' ' && !matches!(c, '\n' | '\t')) || matches!(c, '\u{fffe}' | '\u{ffff}') => {
                out.push(' ');
            }
            c => out.push(c),
        }
    }
    out
}

/// Where a text stands on its point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Anchor {
    Start,
    Middle,
    End,
}

/// How a mark is drawn: its class and its own colours.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Style<'a> {
    pub class: &'a str,
    pub fill: &'a str,
    pub stroke: &'a str,
    pub width: f64,
    /// `stroke-dasharray`; empty for a whole line.
    pub dash: &'a str,
    /// Opacity of the fill.
    pub opacity: f64,
    /// Ends reach half the width further.
    pub square: bool,
}

impl<'a> Style<'a> {
    /// A line.
    pub const fn line(class: &'a str, stroke: &'a str, width: f64) -> Self {
        Style {
            class,
            fill: "none",
            stroke,
            width,
            dash: "",
            opacity: 1.0,
            square: false,
        }
    }

    /// An area without outline.
    pub const fn area(class: &'a str, fill: &'a str) -> Self {
        Style {
            class,
            fill,
            stroke: "none",
            width: 0.0,
            dash: "",
            opacity: 1.0,
            square: false,
        }
    }

    pub const fn dashed(self, dash: &'a str) -> Self {
        Style { dash, ..self }
    }

    pub const fn filled(self, fill: &'a str) -> Self {
        Style { fill, ..self }
    }

    pub const fn opacity(self, opacity: f64) -> Self {
        Style { opacity, ..self }
    }

    fn write(&self, out: &mut String) {
        let _ = write!(
            out,
            r#" class="{}" fill="{}""#,
            escape(self.class),
            escape(self.fill)
        );
        if self.opacity < 1.0 {
            let _ = write!(out, r#" fill-opacity="{}""#, self.opacity);
        }
        if self.stroke != "none" {
            let _ = write!(
                out,
                r#" stroke="{}" stroke-width="{}""#,
                escape(self.stroke),
                self.width
            );
        }
        if self.square {
            out.push_str(r#" stroke-linecap="square""#);
        }
        if !self.dash.is_empty() {
            let _ = write!(out, r#" stroke-dasharray="{}""#, self.dash);
        }
    }
}

/// A point, right and down.
pub(crate) type Point = (f64, f64);

/// The text of one picture as it grows.
#[derive(Debug)]
pub(crate) struct Sheet {
    out: String,
}

impl Sheet {
    /// A picture of that size; `more` are further attributes of the root.
    pub fn new(
        size: Point,
        class: &str,
        title: &str,
        about: &str,
        more: &[(&str, String)],
    ) -> Self {
        let mut out = String::with_capacity(8192);
        let (w, h) = (num(size.0), num(size.1));
        // Links inside an image are not reached: a plant is a group.
        let role = if class == "plant" { "group" } else { "img" };
        let _ = write!(
            out,
            r#"<svg xmlns="http://www.w3.org/2000/svg" role="{role}" class="{}" viewBox="0 0 {w} {h}" width="{w}" height="{h}" font-family="{FONTS}" font-size="12""#,
            escape(class)
        );
        for (name, value) in more {
            let _ = write!(out, r#" {name}="{}""#, escape(value));
        }
        let _ = write!(
            out,
            "><title>{}</title><desc>{}</desc>",
            escape(title),
            escape(about)
        );
        Sheet { out }
    }

    /// The finished text.
    pub fn finish(mut self) -> String {
        self.out.push_str("</svg>");
        self.out
    }

    /// Moves what follows to the right.
    pub fn shift(&mut self, by: f64) {
        let _ = write!(self.out, r#"<g transform="translate({} 0)">"#, num(by));
    }

    /// Ends the move.
    pub fn shift_back(&mut self) {
        self.out.push_str("</g>");
    }

    /// Opens a part of the plant: a link to where its words stand.
    pub fn open_part(&mut self, id: &str, label: &str) {
        let (id, label) = (escape(id), escape(label));
        let _ = write!(
            self.out,
            r##"<a class="part" href="#part-{id}" data-part="{id}" aria-label="{label}">"##
        );
    }

    /// Closes it.
    pub fn close_part(&mut self) {
        self.out.push_str("</a>");
    }

    /// A circle.
    pub fn circle(&mut self, at: Point, radius: f64, style: Style) {
        let _ = write!(
            self.out,
            r#"<circle cx="{}" cy="{}" r="{}""#,
            num(at.0),
            num(at.1),
            num(radius)
        );
        style.write(&mut self.out);
        self.out.push_str("/>");
    }

    /// Fills to choose from by `url(#id)`, as written.
    pub fn defs(&mut self, written: &str) {
        let _ = write!(self.out, "<defs>{written}</defs>");
    }

    /// A straight line.
    pub fn line(&mut self, a: Point, b: Point, style: Style) {
        let _ = write!(
            self.out,
            r#"<line x1="{}" y1="{}" x2="{}" y2="{}""#,
            num(a.0),
            num(a.1),
            num(b.0),
            num(b.1)
        );
        style.write(&mut self.out);
        self.out.push_str("/>");
    }

    /// A rectangle from its top left corner.
    pub fn rect(&mut self, at: Point, size: Point, style: Style) {
        let _ = write!(
            self.out,
            r#"<rect x="{}" y="{}" width="{}" height="{}""#,
            num(at.0),
            num(at.1),
            num(size.0.max(0.0)),
            num(size.1.max(0.0))
        );
        style.write(&mut self.out);
        self.out.push_str("/>");
    }

    /// Points joined by straight lines; a single point is drawn as a short dash.
    pub fn polyline(&mut self, points: &[Point], style: Style) {
        match points {
            [] => {}
            [(x, y)] => self.line((x - 1.5, *y), (x + 1.5, *y), style),
            _ => {
                let mut d = String::new();
                trace(&mut d, points.iter().copied());
                self.path(&d, style);
            }
        }
    }

    /// A closed area.
    pub fn polygon(&mut self, points: &[Point], style: Style) {
        if points.len() < 2 {
            return;
        }
        let mut d = String::new();
        trace(&mut d, points.iter().copied());
        d.push('Z');
        self.path(&d, style);
    }

    /// A path as written.
    pub fn path(&mut self, d: &str, style: Style) {
        let _ = write!(self.out, r#"<path d="{d}" stroke-linejoin="round""#);
        style.write(&mut self.out);
        self.out.push_str("/>");
    }

    /// Text.
    pub fn text(&mut self, at: Point, anchor: Anchor, class: &str, ink: &str, words: &str) {
        let _ = write!(
            self.out,
            r#"<text x="{}" y="{}" class="{}" fill="{ink}""#,
            num(at.0),
            num(at.1),
            escape(class)
        );
        if class.contains("heading") || class.contains("key name") {
            self.out.push_str(r#" font-weight="600""#);
        }
        if class.contains("small") {
            self.out.push_str(r#" font-size="11""#);
        }
        match anchor {
            Anchor::Start => {}
            Anchor::Middle => self.out.push_str(r#" text-anchor="middle""#),
            Anchor::End => self.out.push_str(r#" text-anchor="end""#),
        }
        let _ = write!(self.out, ">{}</text>", escape(words));
    }

    /// A hatch to fill with by `url(#id)`: slanting lines `gap` apart.
    pub fn hatch(&mut self, id: &str, class: &str, ink: &str, gap: f64) {
        let id = escape(id);
        let _ = write!(
            self.out,
            r#"<defs><pattern id="{id}" width="{gap}" height="{gap}" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><line x1="0" y1="0" x2="0" y2="{gap}" class="{}" stroke="{ink}" stroke-width="1"/></pattern></defs>"#,
            escape(class)
        );
    }
}

/// Writes points as a path.
fn trace(d: &mut String, points: impl Iterator<Item = Point>) {
    for (i, (x, y)) in points.enumerate() {
        let _ = write!(d, "{}{} {}", if i == 0 { "M" } else { "L" }, num(x), num(y));
    }
}
