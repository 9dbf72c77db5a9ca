//! The section: ground, vessel, store and the line between them, one scale.

use fenlamp_model::plan::{Plan, Runs, Siting};
use fenlamp_model::weather::Soil;
use fenlamp_words::Words;
use uom::si::length::meter;

use super::Part;
use super::hatch::Hatches;
use super::note::Marks;
use super::part::Kind;
use super::pen::{PAPER, Pen, tube};
use super::say::Say;
use super::store;
use super::{section, section_ink};
use crate::svg::{Anchor, GREY, INK, Point, Sheet, Style};

/// Pixels above the first picture: title and scale bar.
const HEAD: f64 = 52.0;
/// Most pixels the section may be high.
const TALLEST: f64 = 330.0;
/// Below so many pixels a metre of vessel height, a narrow page puts the store
/// in a row of its own.
const LEAST_VESSEL_PX: f64 = 58.0;

/// Where the section stands on the page.
#[derive(Debug, Clone)]
pub(super) struct Layout {
    pub width: f64,
    pub scale: f64,
    /// Pixel under the whole section.
    pub bottom: f64,
    pub vessel: section::Block,
    pub store: Option<store::Block>,
    /// Ground under the vessel's middle, in pixels.
    pub vessel_at: Point,
    pub store_at: Point,
    stacked: bool,
    soil: f64,
}

impl Layout {
    /// For a width; a `narrow` page may put the store in a row of its own.
    pub fn of(plan: &Plan, width: f64, narrow: bool) -> Self {
        let vessel = section::Block::of(plan);
        let store = plan.gas_side.store.as_ref().map(store::Block::of);
        let [l, b, r, t] = vessel.frame;
        let unit = vessel.form.high;
        // Soil goes a little under the deepest part.
        let soil = -b + 0.22 * unit;
        let side = 0.12 * unit;
        let gap = (0.55 * unit).max(store.map_or(0.0, |s| 0.3 * s.high));
        let one = |wide: f64| (width - 8.0) / wide;
        let vessel_wide = r - l + 2.0 * side;
        let store_wide = store.map_or(0.0, |s| 2.0 * s.half + gap);
        let high = t.max(store.map_or(0.0, |s| s.high * 1.08)) + soil;
        let mut scale = one(vessel_wide + store_wide).min(TALLEST / high);
        let stacked = store.is_some() && narrow && scale * unit < LEAST_VESSEL_PX;
        let mut bottom = HEAD + scale * high;
        let (vessel_at, store_at);
        if let (true, Some(s)) = (stacked, store) {
            scale = one(vessel_wide.max(2.0 * s.half + 2.0 * gap)).min(TALLEST / high);
            let ground = HEAD + scale * t;
            let mid = width / 2.0 - scale * (l + r) / 2.0;
            vessel_at = (mid, ground);
            let second = ground + scale * (soil + s.high * 1.1) + 22.0;
            store_at = (width / 2.0, second);
            bottom = second + scale * 0.22 * unit;
        } else {
            let whole = scale * (vessel_wide + store_wide);
            let from = ((width - whole) / 2.0).max(4.0);
            let ground = HEAD + scale * (high - soil);
            vessel_at = (from + scale * (side - l), ground);
            let s_half = store.map_or(0.0, |s| s.half);
            store_at = (
                vessel_at.0 + scale * (r + side + gap - 0.3 * gap + s_half),
                ground,
            );
        }
        Layout {
            width,
            scale,
            bottom,
            vessel,
            store,
            vessel_at,
            store_at,
            stacked,
            soil,
        }
    }
}

/// Draws it and fills in where the parts are.
pub(super) fn draw(
    s: &mut Sheet,
    plan: &Plan,
    layout: &Layout,
    h: &Hatches,
    parts: &mut [Part],
    marks: &mut Marks,
    words: &Words,
) {
    s.text(
        (6.0, 16.0),
        Anchor::Start,
        "heading",
        INK,
        &words.say("plant.to_scale"),
    );
    scale_bar(
        s,
        (6.0, 30.0),
        layout.scale,
        layout.width * 0.4,
        &Say::new(plan, words),
    );
    let names: Vec<(Kind, String, String)> = parts
        .iter()
        .map(|p| (p.kind, p.id.clone(), p.label.clone()))
        .collect();
    let mut open = |pen: &mut Pen, kind: Kind| {
        let found = names.iter().find(|n| n.0 == kind);
        let (id, label) = found.map_or(("", ""), |n| (n.1.as_str(), n.2.as_str()));
        pen.s.open_part(id, label);
    };
    let mut pen = Pen {
        s,
        scale: layout.scale,
        origin: layout.vessel_at,
    };
    ground(&mut pen, plan, layout, h);
    roof(&mut pen, plan, layout, words);
    let mut places = section_ink::draw(&mut pen, plan, &layout.vessel, h, &mut open);
    let has_line = !plan.gas_side.is_empty();
    if has_line {
        if plan.gas_side.line.is_some() {
            open(&mut pen, Kind::Line);
            let place = line(&mut pen, plan, layout, marks, words);
            pen.s.close_part();
            places.push((
                Kind::Line,
                place,
                [place.0 - 20.0, place.1 - 20.0, 40.0, 40.0],
            ));
        } else {
            line(&mut pen, plan, layout, marks, words);
        }
    }
    if let (Some(store), Some(block)) = (&plan.gas_side.store, &layout.store) {
        let mut pen = Pen {
            s: pen.s,
            scale: layout.scale,
            origin: layout.store_at,
        };
        open(&mut pen, Kind::Store);
        let at = store::draw(&mut pen, store, block, h);
        pen.s.close_part();
        places.push((
            Kind::Store,
            at,
            pen.frame(-block.half, 0.0, block.half, block.high),
        ));
    }
    let limits = [0.0, 18.0, layout.width, layout.bottom];
    for (kind, at, frame) in places {
        if let Some(part) = parts.iter_mut().find(|p| p.kind == kind) {
            part.at = frame;
            marks.set(s, at, part.number, kind, limits);
        }
    }
}

/// A round length drawn as a bar with its words.
pub(crate) fn scale_bar(s: &mut Sheet, at: Point, scale: f64, most: f64, say: &Say) {
    let us = say.units == fenlamp_quantity::Units::Us;
    // Inches and feet are whole lengths to a US reader.
    let unit = if us { 0.0254 } else { 0.01 };
    let steps: &[f64] = if us {
        &[
            1.0, 2.0, 3.0, 6.0, 12.0, 24.0, 36.0, 60.0, 120.0, 240.0, 600.0,
        ]
    } else {
        &[
            1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0, 2000.0,
        ]
    };
    let want = most.min(150.0);
    let length = steps
        .iter()
        .map(|n| n * unit)
        .filter(|m| m * scale <= want)
        .fold(steps[0] * unit, f64::max);
    let (x, y) = at;
    let end = x + length * scale;
    let ink = Style::line("scale", INK, 1.0);
    let half = (x + end) / 2.0;
    s.rect((x, y - 4.0), (half - x, 4.0), Style::area("scale", INK));
    s.rect((x, y - 4.0), (end - x, 4.0), ink);
    let words = match (us, (length / unit).round()) {
        (false, n) if n >= 100.0 => format!("{} m", say.number(n / 100.0)),
        (false, n) => format!("{n} cm"),
        (true, n) if n >= 12.0 => format!("{} ft", n / 12.0),
        (true, n) => format!("{n} in"),
    };
    s.text((end + 6.0, y + 1.0), Anchor::Start, "scale", INK, &words);
}

fn ground(pen: &mut Pen, plan: &Plan, layout: &Layout, h: &Hatches) {
    let soil = h.fill("soil");
    let grains = match plan.place.soil {
        Soil::Sand => "soil sand",
        Soil::Clay => "soil clay",
    };
    let mut strip = |y: f64, high: f64| {
        pen.s
            .rect((0.0, y), (layout.width, high), Style::area(grains, &soil));
        pen.s
            .line((0.0, y), (layout.width, y), Style::line("ground", INK, 1.6));
    };
    let deep = layout.scale * layout.soil;
    strip(layout.vessel_at.1, deep);
    if layout.stacked {
        strip(layout.store_at.1, layout.bottom - layout.store_at.1);
    }
}

/// Outline of what the vessel stands in.
fn roof(pen: &mut Pen, plan: &Plan, layout: &Layout, words: &Words) {
    let key = match plan.vessel.siting {
        Siting::Outdoors | Siting::InGround { .. } => return,
        other => super::part::siting_key(other),
    };
    let [l, _, r, t] = layout.vessel.frame;
    let style = Style::line("house", GREY, 1.2);
    let eaves = 0.72 * t;
    let mid = (l + r) / 2.0;
    if matches!(plan.vessel.siting, Siting::Greenhouse) {
        let arc: Vec<Point> = (0..=32)
            .map(|i| {
                let a = std::f64::consts::PI * f64::from(i) / 32.0;
                (mid + (r - l) / 2.0 * a.cos(), t * a.sin().powf(0.45))
            })
            .collect();
        pen.line(&arc, style);
    } else {
        pen.line(
            &[(l, 0.0), (l, eaves), (mid, t), (r, eaves), (r, 0.0)],
            style,
        );
    }
    let (x, y) = pen.at(mid, t);
    // A gable leaves room for words further down than an arch.
    let down = if matches!(plan.vessel.siting, Siting::Greenhouse) {
        18.0
    } else {
        38.0
    };
    pen.s.text(
        (x, y + down),
        Anchor::Middle,
        "small",
        GREY,
        &words.say(key),
    );
}

/// The line from the outlet past its low point to the store, and on. Gives the
/// point of its number.
fn line(pen: &mut Pen, plan: &Plan, layout: &Layout, marks: &mut Marks, words: &Words) -> Point {
    let out = layout.vessel.outlet;
    let unit = layout.vessel.form.high;
    let right = layout.vessel.frame[2];
    let to_m = |px: f64| (px - layout.vessel_at.0) / layout.scale;
    let edge = to_m(layout.width - 6.0);
    let buried = plan
        .gas_side
        .line
        .as_ref()
        .is_some_and(|l| l.runs == Runs::Buried);
    let low = if buried { -0.12 * unit } else { 0.16 * unit };
    let drawn;
    let wide = 3.6;
    let target = match (&layout.store, layout.stacked) {
        (Some(s), false) => Some((to_m(layout.store_at.0) + s.inlet.0, s.inlet.1)),
        _ => None,
    };
    let number;
    if let Some(inlet) = target {
        // Down to the low point between the two, up again to the store.
        let x = (right + inlet.0) / 2.0;
        let points = [out, (x, out.1), (x, low.min(inlet.1)), (inlet.0, inlet.1)];
        drawn = x - out.0 + out.1;
        tube(pen, &points, wide);
        drip(pen, x, low.min(inlet.1), unit);
        number = pen.at(x, 0.62 * out.1);
    } else if let (Some(s), true) = (&layout.store, layout.stacked) {
        let x = edge - 0.05 * unit;
        tube(pen, &[out, (x, out.1), (x, low)], wide);
        drip(pen, x, low, unit);
        drawn = x - out.0;
        number = pen.at(x, 0.75 * out.1);
        arrow(pen, (x, 0.35 * out.1), (0.0, -1.0));
        // Into the second row from above.
        let mut second = Pen {
            s: pen.s,
            scale: layout.scale,
            origin: layout.store_at,
        };
        let px = (layout.width - 6.0 - layout.store_at.0) / layout.scale - 0.05 * unit;
        let top = (layout.store_at.1 - layout.vessel_at.1) / layout.scale - layout.soil - 0.02;
        let (ix, iy) = (-s.inlet.0, s.inlet.1);
        tube(&mut second, &[(px, top), (px, iy), (ix, iy)], wide);
    } else {
        drawn = edge - out.0;
        tube(pen, &[out, (edge, out.1)], wide);
        number = pen.at(0.5 * (edge + out.0), out.1);
    }
    if let Some(l) = plan
        .gas_side
        .line
        .as_ref()
        .filter(|l| l.length.get::<meter>() > 1.3 * drawn)
    {
        let x = out.0 + 0.35 * (right - out.0).max(0.2 * unit);
        break_mark(pen, (x, out.1));
        let length = Say::new(plan, words).figure(l.length);
        let (px, py) = pen.at(x, out.1);
        pen.s
            .text((px + 10.0, py - 6.0), Anchor::Start, "small", INK, &length);
        for dx in [0.0, 14.0, 28.0, 42.0] {
            marks.block((px + dx, py - 8.0));
        }
    }
    number
}

/// The trap at the low point, as small as it is.
fn drip(pen: &mut Pen, x: f64, y: f64, unit: f64) {
    let (a, b) = (0.03 * unit, 0.1 * unit);
    pen.rect(
        x - a,
        y - b,
        x + a,
        y,
        Style::line("drip", INK, 1.0).filled("#ffffff"),
    );
}

/// Two slanted strokes: the line is longer than drawn.
fn break_mark(pen: &mut Pen, at: Point) {
    let (x, y) = pen.at(at.0, at.1);
    pen.s.rect((x - 3.0, y - 4.0), (6.0, 8.0), PAPER);
    for d in [-4.0, 4.0] {
        pen.s.line(
            (x + d - 2.5, y + 6.0),
            (x + d + 2.5, y - 6.0),
            Style::line("break", INK, 1.2),
        );
    }
}

/// An arrow head on the line.
fn arrow(pen: &mut Pen, at: Point, to: Point) {
    let (x, y) = pen.at(at.0, at.1);
    let (dx, dy) = (to.0, -to.1);
    let p = |a: f64, b: f64| (x + a * dx - b * dy, y + a * dy + b * dx);
    pen.s.polygon(
        &[p(7.0, 0.0), p(-4.0, 5.0), p(-4.0, -5.0)],
        Style::area("arrow", INK),
    );
}
