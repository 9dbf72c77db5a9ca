//! Dimension lines with their words.

use crate::svg::{Anchor, INK, Point, Sheet, Style};

/// A dimension line with ticks; the words lie beside it on paper.
pub(crate) fn dimension(s: &mut Sheet, a: Point, b: Point, words: &str) {
    let thin = Style::line("dimension", INK, 0.8);
    s.line(a, b, thin);
    let level = (a.1 - b.1).abs() < (a.0 - b.0).abs();
    for p in [a, b] {
        let (dx, dy) = if level { (0.0, 3.5) } else { (3.5, 0.0) };
        s.line((p.0 - dx, p.1 - dy), (p.0 + dx, p.1 + dy), thin);
    }
    let (x, y) = (a.0.midpoint(b.0), a.1.midpoint(b.1));
    let wide = crate::svg::text_width(words, 11.0);
    if words.is_empty() {
        return;
    }
    if level {
        s.text((x, y - 4.0), Anchor::Middle, "small figure", INK, words);
    } else {
        let paper = Style::area("paper", "#ffffff");
        s.rect((x + 3.0, y - 7.0), (wide + 3.0, 13.0), paper);
        s.text(
            (x + 5.0, y + 4.0),
            Anchor::Start,
            "small figure",
            INK,
            words,
        );
    }
}

/// An upright dimension with its words at its left.
pub(crate) fn dimension_left(s: &mut Sheet, a: Point, b: Point, words: &str) {
    let wide = crate::svg::text_width(words, 11.0);
    let at = (a.0 - wide - 5.0, a.1.midpoint(b.1));
    dimension(s, a, b, "");
    s.rect(
        (at.0 - 2.0, at.1 - 7.0),
        (wide + 2.0, 13.0),
        Style::area("paper", "#ffffff"),
    );
    s.text(
        (at.0, at.1 + 4.0),
        Anchor::Start,
        "small figure",
        INK,
        words,
    );
}
