//! What is wanted month by month: covered drawn solid, missed in outline.

use super::band::clean;
use super::scale::Upwards;
use crate::svg::{Anchor, FLAME, GREY, INK, PALE, Sheet, Style, text_width};

/// Bars side by side.
#[derive(Debug, Clone)]
pub struct Bars {
    /// Title, read out and not drawn.
    pub title: String,
    /// For who cannot see it.
    pub about: String,
    /// What goes upwards, with its unit ("kettles in the month").
    pub label: String,
    /// Width, CSS pixels.
    pub width: f64,
    /// Height, CSS pixels.
    pub height: f64,
    /// Words for the solid part.
    pub covered: String,
    /// Words for the outlined part.
    pub missed: String,
    /// The bars, in order.
    pub bars: Vec<Bar>,
}

/// One bar.
#[derive(Debug, Clone)]
pub struct Bar {
    /// Name under it (a month).
    pub name: String,
    /// Covered; not finite or negative counts as nothing.
    pub covered: f64,
    /// Missed, on top of it.
    pub missed: f64,
}

/// Draws them.
pub fn bars(plot: &Bars) -> String {
    let width = clean(plot.width, 200.0, 8000.0);
    let height = clean(plot.height, 100.0, 8000.0);
    let plain = |x: f64| if x.is_finite() { x.max(0.0) } else { 0.0 };
    let tops = plot.bars.iter().map(|b| plain(b.covered) + plain(b.missed));
    let u = Upwards::around(tops, true, 4.0, (40.0, height - 20.0));
    let left = u
        .ticks()
        .iter()
        .map(|(_, t)| text_width(t, 12.0) + 10.0)
        .fold(26.0, f64::max)
        .min(width * 0.4);
    let right = width - 8.0;
    let mut s = Sheet::new((width, height), "plot", &plot.title, &plot.about, &[]);
    s.text((2.0, 13.0), Anchor::Start, "axis name", INK, &plot.label);
    let solid = Style::area("covered", FLAME);
    let hollow = Style::line("missed", INK, 1.0);
    let second = (2.0 + 17.0 + text_width(&plot.covered, 12.0) + 14.0).min(width / 2.0);
    s.rect((2.0, 20.0), (12.0, 10.0), solid);
    s.text((19.0, 29.0), Anchor::Start, "axis", INK, &plot.covered);
    s.rect((second, 20.0), (12.0, 10.0), hollow);
    s.text(
        (second + 17.0, 29.0),
        Anchor::Start,
        "axis",
        INK,
        &plot.missed,
    );
    for (x, words) in u.ticks() {
        let y = u.at(x);
        s.line((left, y), (right, y), Style::line("grid", PALE, 0.8));
        s.text((left - 6.0, y + 4.0), Anchor::End, "axis", GREY, &words);
    }
    let pitch = (right - left) / plot.bars.len().max(1) as f64;
    let wide = (pitch * 0.68).min(48.0);
    // Every name, or every second, third... so that none touch.
    let widest = plot
        .bars
        .iter()
        .map(|b| text_width(&b.name, 12.0))
        .fold(0.0, f64::max);
    let every = ((widest + 3.0) / pitch).ceil().max(1.0) as usize;
    for (i, bar) in plot.bars.iter().enumerate() {
        let middle = left + pitch * (i as f64 + 0.5);
        let x = middle - wide / 2.0;
        let (covered, missed) = (plain(bar.covered), plain(bar.missed));
        let (base, top) = (u.at(covered), u.at(covered + missed));
        if covered > 0.0 {
            s.rect((x, base), (wide, u.bottom - base), solid);
        }
        if missed > 0.0 {
            s.rect((x, top), (wide, base - top), hollow);
        }
        let half = text_width(&bar.name, 12.0) / 2.0;
        if i % every == 0 && middle + half <= width {
            s.text(
                (middle, u.bottom + 15.0),
                Anchor::Middle,
                "axis",
                GREY,
                &bar.name,
            );
        }
    }
    s.line(
        (left, u.bottom),
        (right, u.bottom),
        Style::line("axis", GREY, 1.0),
    );
    s.finish()
}
