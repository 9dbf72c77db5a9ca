//! The section with its measures, for building from.

use fenlamp_model::gas::store::Shape as StoreShape;
use fenlamp_model::plan::Plan;

use super::note::Marks;
use super::{Part, View, figures, hatch, part, scene};
use crate::dimension::{dimension, dimension_left};
use crate::plant::Say;
use crate::svg::{Point, Sheet, Style};

/// Room at the left and right for upright measures, pixels.
const SIDE: f64 = 104.0;
const RIGHT: f64 = 52.0;
/// Room under the ground for level ones.
const FOOT: f64 = 52.0;

/// Draws the section with dimensions in place of numbers and words.
pub fn measured(plan: &Plan, view: &View) -> String {
    let width = if view.width.is_finite() {
        view.width.clamp(440.0, 4000.0)
    } else {
        440.0
    };
    let words = view.words;
    let layout = scene::Layout::of(plan, width - SIDE - RIGHT, false);
    let mut sheet = Sheet::new(
        (width, layout.bottom + FOOT),
        "plant",
        &words.fill("plant.title", &[("name", &plan.name)]),
        &words.say("plant.measured"),
        &[],
    );
    let hatches = hatch::Hatches::new(&view.id);
    hatches.define(&mut sheet);
    let mut parts: Vec<Part> = part::parts(plan)
        .into_iter()
        .map(|kind| Part {
            id: kind.id(),
            kind,
            number: 0,
            label: part::label(plan, kind, words),
            figures: figures::figures(plan, kind, words),
            at: [0.0; 4],
        })
        .collect();
    sheet.shift(SIDE);
    scene::draw(
        &mut sheet,
        plan,
        &layout,
        &hatches,
        &mut parts,
        &mut Marks::silent(),
        words,
    );
    measures(&mut sheet, plan, &layout, &Say::new(plan, words));
    sheet.shift_back();
    sheet.finish()
}

fn measures(s: &mut Sheet, plan: &Plan, layout: &scene::Layout, say: &Say) {
    let v = &layout.vessel;
    let at = |x: f64, y: f64| -> Point {
        (
            layout.vessel_at.0 + x * layout.scale,
            layout.vessel_at.1 - y * layout.scale,
        )
    };
    let form = &v.form;
    let (bottom, top) = (form.bottom, form.bottom + form.high);
    let rows = (layout.bottom + 16.0, layout.bottom + 38.0);
    let mut level = |from: f64, to: f64, y: f64, metres: f64| {
        dimension(s, (from, y), (to, y), &say.metres(metres));
    };
    let (l, r) = (at(-form.wide / 2.0, 0.0).0, at(form.wide / 2.0, 0.0).0);
    level(l, r, rows.0, form.wide);
    if let Some(radius) = v.heap_radius {
        level(at(-radius, 0.0).0, at(radius, 0.0).0, rows.1, 2.0 * radius);
    }
    let store = layout.store.as_ref().zip(plan.gas_side.store.as_ref());
    if let Some((block, _)) = store {
        let half = block.half * layout.scale;
        level(
            layout.store_at.0 - half,
            layout.store_at.0 + half,
            rows.0,
            2.0 * block.half,
        );
    }
    // Upright: how high the vessel is, how deep the slurry, how high the heap.
    let edge = at(v.frame[0], 0.0).0.max(6.0 - SIDE);
    let thin = Style::line("leader", crate::svg::INK, 0.5).dashed("2 2");
    let mut upright = |x: f64, from: f64, to: f64| {
        for y in [from, to] {
            s.line((x, at(0.0, y).1), (l, at(0.0, y).1), thin);
        }
        dimension_left(
            s,
            (x, at(0.0, from).1),
            (x, at(0.0, to).1),
            &say.metres(to - from),
        );
    };
    upright(edge - 8.0, bottom, top);
    upright(edge - 60.0, bottom, form.level);
    if let Some((block, store)) = store {
        let x = layout.store_at.0 + block.half * layout.scale + 10.0;
        let high = match store.shape {
            StoreShape::Drum { travel_m, .. } => travel_m,
            _ => block.high,
        };
        let foot = layout.store_at.1;
        dimension(
            s,
            (x, foot),
            (x, foot - high * layout.scale),
            &say.metres(high),
        );
    }
}
