//! A store through a typical day of each season, small and side by side.

use super::band::clean;
use super::scale::Upwards;
use crate::svg::{Anchor, FLAME, GREY, INK, PALE, Point, Sheet, Style, text_width};

/// The store by the hour.
#[derive(Debug, Clone)]
pub struct DayStore {
    /// Title, read out and not drawn.
    pub title: String,
    /// For who cannot see it.
    pub about: String,
    /// What goes upwards, with its unit ("gas in the store, L").
    pub label: String,
    /// Width, CSS pixels.
    pub width: f64,
    /// What the store holds when full, in the label's unit.
    pub capacity: f64,
    /// Words at the line of the full store.
    pub full: String,
    /// A day for each season, in order.
    pub seasons: Vec<Season>,
}

/// A typical day.
#[derive(Debug, Clone)]
pub struct Season {
    /// Name.
    pub name: String,
    /// In the store at each hour, midnight first; the middle world.
    pub held: [f64; 24],
    /// Hours in which something burns: share of each hour, 0 to 1.
    pub burning: [f64; 24],
}

const GAP: f64 = 14.0;
const TOP: f64 = 40.0;
const TALL: f64 = 84.0;

/// Draws it, up to four days in a row.
pub fn day_store(plot: &DayStore) -> String {
    let width = clean(plot.width, 160.0, 8000.0);
    let n = plot.seasons.len().max(1);
    let figures = || {
        plot.seasons
            .iter()
            .flat_map(|s| s.held)
            .chain(std::iter::once(plot.capacity))
    };
    let ends = (TOP, TOP + TALL);
    let probe = Upwards::around(figures(), true, 3.0, ends);
    let left = probe
        .ticks()
        .iter()
        .map(|(_, t)| text_width(t, 12.0) + 10.0)
        .fold(26.0, f64::max)
        .min(width * 0.4);
    // As many in a row as leave 110 pixels to each.
    let columns = (((width - left) / 124.0).floor() as usize).clamp(1, n.min(4));
    let rows = n.div_ceil(columns);
    let each = (width - left - 8.0 - GAP * (columns as f64 - 1.0)) / columns as f64;
    let row_height = TALL + 56.0;
    let height = TOP + row_height * rows as f64 - 22.0;
    let mut s = Sheet::new((width, height), "plot", &plot.title, &plot.about, &[]);
    s.text((2.0, 13.0), Anchor::Start, "axis name", INK, &plot.label);
    for (i, season) in plot.seasons.iter().enumerate() {
        let down = row_height * (i / columns) as f64;
        let x = left + (each + GAP) * (i % columns) as f64;
        let scale = Upwards {
            top: probe.top + down,
            bottom: probe.bottom + down,
            ..probe
        };
        one(
            &mut s,
            plot,
            season,
            &scale,
            (x, x + each),
            i % columns == 0,
        );
    }
    s.finish()
}

fn one(s: &mut Sheet, plot: &DayStore, season: &Season, u: &Upwards, ends: Point, first: bool) {
    let (left, right) = ends;
    let at = |hour: f64| left + hour / 24.0 * (right - left);
    for (x, words) in u.ticks() {
        let y = u.at(x);
        s.line((left, y), (right, y), Style::line("grid", PALE, 0.8));
        if first {
            s.text((left - 6.0, y + 4.0), Anchor::End, "axis", GREY, &words);
        }
    }
    s.text(
        (left, u.top - 8.0),
        Anchor::Start,
        "axis name",
        INK,
        &season.name,
    );
    // Steps: an hour is a mean, not a moment.
    let mut points = Vec::new();
    for (hour, held) in season.held.iter().enumerate() {
        let y = u.at(if held.is_finite() { *held } else { 0.0 });
        points.extend([(at(hour as f64), y), (at(hour as f64 + 1.0), y)]);
    }
    let mut area = points.clone();
    area.extend([(right, u.bottom), (left, u.bottom)]);
    s.polygon(&area, Style::area("band a", FLAME).opacity(0.28));
    s.polyline(&points, Style::line("line a", FLAME, 1.6));
    if plot.capacity.is_finite() {
        let y = u.at(plot.capacity);
        s.line(
            (left, y),
            (right, y),
            Style::line("full", INK, 1.2).dashed("5 3"),
        );
        if first {
            let x = right - text_width(&plot.full, 12.0);
            s.text(
                (x.max(left), y - 3.0),
                Anchor::Start,
                "full",
                INK,
                &plot.full,
            );
        }
    }
    for (hour, share) in season.burning.iter().enumerate() {
        if share.is_finite() && *share > 0.0 {
            let a = at(hour as f64);
            let b = at(hour as f64 + share.min(1.0));
            s.line(
                (a, u.bottom + 3.0),
                (b, u.bottom + 3.0),
                Style::line("burning", INK, 3.0),
            );
        }
    }
    s.line(
        (left, u.bottom),
        (right, u.bottom),
        Style::line("axis", GREY, 1.0),
    );
    for hour in [0.0, 6.0, 12.0, 18.0, 24.0] {
        s.line(
            (at(hour), u.bottom),
            (at(hour), u.bottom + 4.0),
            Style::line("axis", GREY, 1.0),
        );
        let anchor = match hour {
            0.0 => Anchor::Start,
            24.0 => Anchor::End,
            _ => Anchor::Middle,
        };
        s.text(
            (at(hour), u.bottom + 17.0),
            anchor,
            "axis",
            GREY,
            &format!("{hour}"),
        );
    }
}
