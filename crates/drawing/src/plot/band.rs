//! The year as one broad stroke: bands over days.

use super::scale::{Along, Upwards, days_between};
use super::{Band, BandPlot, Panel, Series};
use crate::svg::{Anchor, FLAME, GREY, INK, PALE, Point, Sheet, Style, text_width};

const SIZE: f64 = 12.0;
/// Smallest picture; less is drawn as this.
const LEAST: Point = (240.0, 240.0);
/// Points closer than this are drawn as one, pixels.
const FINEST: f64 = 2.0;

/// Draws the plot. `data-box` of the root holds "left,top,right,bottom" of the
/// field of the days in the picture's own unit.
pub fn band(plot: &BandPlot) -> String {
    let frame = Frame::new(plot);
    let b = frame.field();
    let data_box = [b.0, b.1, b.2, b.3].map(crate::svg::num).join(",");
    let mut s = Sheet::new(
        (frame.width, frame.height),
        "plot",
        &plot.title,
        &plot.about,
        &[("data-box", data_box)],
    );
    let panels: Vec<(&Panel, &Upwards)> = std::iter::once(&plot.upper)
        .chain(plot.lower.as_ref())
        .zip(&frame.scales)
        .collect();
    for (i, (panel, _)) in panels.iter().enumerate() {
        if panel.series.len() > 1 {
            let ink = if panel.gas { FLAME } else { INK };
            s.hatch(&format!("{}-hatch-{i}", plot.id), "hatch", ink, 5.0);
        }
    }
    for (panel, scale) in &panels {
        grid(&mut s, &frame, panel, scale);
    }
    dates(&mut s, &frame, plot);
    for (i, (panel, scale)) in panels.iter().enumerate() {
        let hatch = format!("url(#{}-hatch-{i})", plot.id);
        draw_panel(&mut s, &frame, plot, panel, scale, &hatch);
    }
    marks(&mut s, &frame, plot);
    s.finish()
}

/// Where everything stands.
struct Frame {
    width: f64,
    height: f64,
    along: Along,
    scales: Vec<Upwards>,
    /// Rows of mark labels above the field.
    rows: Vec<(f64, usize)>,
    marks_top: f64,
}

impl Frame {
    fn new(plot: &BandPlot) -> Self {
        let width = clean(plot.width, LEAST.0, 8000.0);
        let height = clean(plot.height, LEAST.1, 8000.0);
        let days = days_between(plot.from, plot.to).max(0) + 1;
        let label_rows = |p: &Panel| label_rows(p, width);
        let marks_top = 6.0 + 15.0 * label_rows(&plot.upper);
        // The left margin takes the widest tick; ticks do not depend on it.
        let two = plot.lower.is_some();
        let mut along = Along {
            from: plot.from,
            days,
            left: 0.0,
            right: width - 10.0,
        };
        let bottom = height - 32.0;
        let room = |top: f64| {
            let all = bottom - top;
            if two { top + all * 0.62 } else { bottom }
        };
        let window = |p: &Panel, ends: (f64, f64)| {
            let figures = p
                .series
                .iter()
                .take(2)
                .flat_map(|s| shown(s, plot, days).flat_map(|b| [b.low, b.middle, b.high]));
            let ticks = ((ends.1 - ends.0) / 38.0).clamp(2.0, 6.0);
            Upwards::around(figures, p.from_zero, ticks, ends)
        };
        let mut left: f64 = 26.0;
        for p in std::iter::once(&plot.upper).chain(plot.lower.as_ref()) {
            for (_, text) in window(p, (0.0, 120.0)).ticks() {
                left = left.max(text_width(&text, SIZE) + 10.0);
            }
        }
        along.left = left.min(width * 0.4);
        let rows = label_places(plot, &along, width);
        let lines = rows.iter().map(|r| r.1 + 1).max().unwrap_or(0);
        let top = marks_top + 15.0 * lines as f64 + 4.0;
        let upper_bottom = room(top).max(top + 20.0);
        let mut scales = vec![window(&plot.upper, (top, upper_bottom))];
        if let Some(lower) = &plot.lower {
            let lower_top = upper_bottom + 18.0 + 15.0 * label_rows(lower);
            scales.push(window(lower, (lower_top, bottom.max(lower_top + 16.0))));
        }
        Frame {
            width,
            height,
            along,
            scales,
            rows,
            marks_top,
        }
    }

    /// Left, top, right and bottom of the days' field.
    fn field(&self) -> (f64, f64, f64, f64) {
        let top = self.scales.first().map_or(0.0, |s| s.top);
        let bottom = self.scales.last().map_or(0.0, |s| s.bottom);
        (self.along.left, top, self.along.right, bottom)
    }
}

/// A size that can be drawn.
pub(super) fn clean(x: f64, low: f64, high: f64) -> f64 {
    if x.is_finite() {
        x.clamp(low, high)
    } else {
        low
    }
}

/// The entries of a series inside the window.
fn shown<'a>(s: &'a Series, plot: &BandPlot, days: i64) -> impl Iterator<Item = &'a Band> {
    let skip = days_between(s.start, plot.from);
    let skip_entries = skip.max(0) as usize;
    let take = (days + skip.min(0)).max(0) as usize;
    s.days.iter().skip(skip_entries).take(take)
}

fn grid(s: &mut Sheet, frame: &Frame, panel: &Panel, scale: &Upwards) {
    let (left, right) = (frame.along.left, frame.along.right);
    for (x, words) in scale.ticks() {
        let y = scale.at(x);
        s.line((left, y), (right, y), Style::line("grid", PALE, 0.8));
        s.text((left - 6.0, y + 4.0), Anchor::End, "axis", GREY, &words);
    }
    let rows = label_rows(panel, frame.width);
    // Above the marks for the upper panel, close above the field for the lower.
    let first = frame.scales.first().map_or(0.0, |u| u.top);
    let base = if (scale.top - first).abs() < 1e-9 {
        frame.marks_top - 15.0 * (rows - 1.0) - 4.0
    } else {
        scale.top - 11.0 - 15.0 * (rows - 1.0)
    };
    s.text((2.0, base), Anchor::Start, "axis name", INK, &panel.label);
    for (i, (x, row, series)) in legend(panel, frame.width).into_iter().enumerate() {
        let y = base + 15.0 * row;
        let style = if i == 0 {
            Style::line("line a", if panel.gas { FLAME } else { GREY }, 2.2)
        } else {
            Style::line("line b", INK, 1.6).dashed("5 3")
        };
        s.line((x, y - 4.0), (x + 20.0, y - 4.0), style);
        s.text((x + 25.0, y), Anchor::Start, "axis", INK, &series.name);
    }
}

/// Where the two names of a panel stand: left end, row under the label, series.
fn legend(panel: &Panel, width: f64) -> Vec<(f64, f64, &Series)> {
    let [a, b, ..] = panel.series.as_slice() else {
        return Vec::new();
    };
    let second = 2.0 + 25.0 + text_width(&a.name, SIZE) + 12.0;
    let fits = second + 25.0 + text_width(&b.name, SIZE) <= width;
    let (x, row) = if fits { (second, 1.0) } else { (2.0, 2.0) };
    vec![(2.0, 1.0, a), (x, row, b)]
}

/// Rows that the label and the names of a panel take.
fn label_rows(panel: &Panel, width: f64) -> f64 {
    let last = legend(panel, width).last().map_or(0.0, |l| l.1);
    1.0 + last
}

/// Ticks of months (or weeks, when few days are shown) and years.
fn dates(s: &mut Sheet, frame: &Frame, plot: &BandPlot) {
    let along = &frame.along;
    let (_, top, _, bottom) = frame.field();
    let axis = Style::line("axis", GREY, 1.0);
    s.line((along.left, bottom), (along.right, bottom), axis);
    let short = along.days <= 62;
    let month_px = along.per_day() * 30.4;
    // Whole names, then initials, then every so many months.
    let initials = (13.0..32.0).contains(&month_px);
    let every = if initials || month_px >= 32.0 {
        1
    } else {
        [3, 6, 12, 24, 60, 120, 600]
            .into_iter()
            .find(|n| month_px * f64::from(*n) >= 32.0)
            .unwrap_or(1200)
    };
    let mut last_word = f64::NEG_INFINITY;
    let mut last_year = None;
    let mut year_end = f64::NEG_INFINITY;
    for n in 0..along.days {
        let date = super::scale::later(along.from, n);
        let month = i32::from(date.month()) - 1;
        let months = i32::from(date.year()) * 12 + month;
        let due = if short {
            n % 7 == 0
        } else {
            date.day() == 1 && months.rem_euclid(every) == 0
        };
        let x = along.at(n);
        if date.day() == 1 && date.month() == 1 && n > 0 {
            s.line((x, top), (x, bottom), Style::line("grid year", PALE, 0.8));
        }
        if !(due || n == 0) {
            continue;
        }
        let name = plot.months[month as usize];
        let words = match (short, initials) {
            (true, _) => format!("{} {name}", date.day()),
            (false, true) => name.chars().take(1).collect(),
            (false, false) => name.to_owned(),
        };
        if due {
            s.line((x, bottom), (x, bottom + 4.0), axis);
        }
        let half = text_width(&words, SIZE) / 2.0;
        let at = x.min(along.right - half + 8.0);
        let named = due && at - half > last_word + 3.0;
        if named {
            s.text((at, bottom + 15.0), Anchor::Middle, "axis", GREY, &words);
            last_word = at + half;
        }
        let year = date.year();
        if last_year != Some(year) {
            let words = year.to_string();
            let wide = text_width(&words, SIZE);
            let at = (x - 2.0).min(along.right - wide + 8.0);
            if at > year_end + 6.0 {
                s.text((at, bottom + 29.0), Anchor::Start, "axis", GREY, &words);
                year_end = at + wide;
            }
            last_year = Some(year);
        }
    }
}

fn draw_panel(
    s: &mut Sheet,
    frame: &Frame,
    plot: &BandPlot,
    panel: &Panel,
    scale: &Upwards,
    hatch: &str,
) {
    let ink = if panel.gas { FLAME } else { GREY };
    for (i, series) in panel.series.iter().take(2).enumerate() {
        for run in runs(series, plot, frame) {
            let upper = run.iter().map(|(x, b)| (*x, scale.at(b.high)));
            let lower = run.iter().rev().map(|(x, b)| (*x, scale.at(b.low)));
            let area: Vec<Point> = upper.chain(lower).collect();
            let middle: Vec<Point> = run.iter().map(|(x, b)| (*x, scale.at(b.middle))).collect();
            if i == 0 {
                s.polygon(&area, Style::area("band a", ink).opacity(0.28));
                s.polyline(&middle, Style::line("line a", ink, 1.6));
            } else {
                let edge = Style::line("band b", INK, 0.7).filled(hatch);
                s.polygon(&area, edge);
                s.polyline(&middle, Style::line("line b", INK, 1.6).dashed("5 3"));
            }
        }
    }
}

/// The series as drawn: runs without gaps, neighbours closer than [`FINEST`]
/// joined to one point that spans the lowest low and the highest high.
fn runs(series: &Series, plot: &BandPlot, frame: &Frame) -> Vec<Vec<(f64, Band)>> {
    let along = &frame.along;
    let each = (FINEST / along.per_day().max(1e-9)).ceil().max(1.0) as usize;
    let offset = days_between(plot.from, series.start).max(0);
    let days: Vec<&Band> = shown(series, plot, along.days).collect();
    let mut out = vec![Vec::new()];
    for (i, chunk) in days.chunks(each).enumerate() {
        let whole: Vec<&&Band> = chunk.iter().filter(|b| b.is_whole()).collect();
        if whole.is_empty() {
            out.push(Vec::new());
            continue;
        }
        let n = whole.len() as f64;
        let joined = Band {
            low: whole.iter().map(|b| b.low).fold(f64::INFINITY, f64::min),
            middle: whole.iter().map(|b| b.middle).sum::<f64>() / n,
            high: whole
                .iter()
                .map(|b| b.high)
                .fold(f64::NEG_INFINITY, f64::max),
        };
        let first = offset + (i * each) as i64;
        let last = first + chunk.len() as i64 - 1;
        let x = (along.at(first) + along.at(last)) / 2.0;
        if let Some(run) = out.last_mut() {
            run.push((x, joined));
        }
    }
    out.retain(|run| !run.is_empty());
    out
}

/// For each mark, where its words begin and in which row they stand.
fn label_places(plot: &BandPlot, along: &Along, width: f64) -> Vec<(f64, usize)> {
    let mut ends: Vec<f64> = Vec::new();
    plot.marks
        .iter()
        .map(|m| {
            let Some(x) = along.of(m.date) else {
                return (0.0, 0);
            };
            let wide = text_width(&m.label, SIZE);
            let at = (x + 4.0).min(width - wide - 2.0).max(2.0);
            let row = ends.iter().position(|e| at > e + 6.0).unwrap_or(ends.len());
            if row == ends.len() {
                ends.push(0.0);
            }
            ends[row] = at + wide;
            (at, row)
        })
        .collect()
}

fn marks(s: &mut Sheet, frame: &Frame, plot: &BandPlot) {
    let (_, top, _, bottom) = frame.field();
    for (mark, (at, row)) in plot.marks.iter().zip(&frame.rows) {
        let Some(x) = frame.along.of(mark.date) else {
            continue;
        };
        let y = frame.marks_top + 15.0 * *row as f64 + 11.0;
        if let Some((early, late)) = mark.span {
            let n = |d| frame.along.at(days_between(plot.from, d));
            let span = Style::line("mark span", INK, 3.0).opacity(1.0);
            s.line((n(early), top), (n(late), top), span);
        }
        // A line never runs through its own words.
        let from = if *at > x { y - 9.0 } else { y + 3.0 };
        s.line(
            (x, from),
            (x, bottom),
            Style::line("mark", INK, 1.0).dashed("2 3"),
        );
        s.text((*at, y), Anchor::Start, "mark", INK, &mark.label);
    }
}
