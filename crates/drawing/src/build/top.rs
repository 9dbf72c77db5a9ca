//! The plant from above, to scale, with its measures.

use fenlamp_model::gas::store::Shape as StoreShape;
use fenlamp_model::plan::{Plan, Shape, VesselKind};
use fenlamp_model::warmth::geometry::half_ball_radius_m;
use fenlamp_words::Words;
use uom::si::length::meter;
use uom::si::ratio::ratio;
use uom::si::volume::cubic_meter;

use super::ink::tube;
use crate::dimension::dimension;
use crate::plant::{Hatches, Say, scale_bar};
use crate::svg::{Anchor, GREY, INK, Point, Sheet, Style};

/// What lies flat: half its width and half its depth, m.
#[derive(Debug, Clone, Copy)]
struct Flat {
    half: (f64, f64),
    round: bool,
}

fn vessel(plan: &Plan) -> Flat {
    let m = |l: fenlamp_quantity::Length| l.get::<meter>();
    match plan.vessel.shape {
        Shape::StandingCylinder { diameter, .. } => Flat {
            half: (m(diameter) / 2.0, m(diameter) / 2.0),
            round: true,
        },
        Shape::LyingCylinder { diameter, length } => Flat {
            half: (m(length) / 2.0, m(diameter) / 2.0),
            round: false,
        },
        Shape::Box { length, width, .. } => Flat {
            half: (m(length) / 2.0, m(width) / 2.0),
            round: false,
        },
    }
}

fn store(plan: &Plan) -> Option<Flat> {
    Some(match plan.gas_side.store.as_ref()?.shape {
        StoreShape::Tubes {
            ring_m, girth_m, ..
        } => {
            let r = (ring_m + girth_m / std::f64::consts::PI) / 2.0;
            Flat {
                half: (r, r),
                round: true,
            }
        }
        StoreShape::Bag { length_m, girth_m } => Flat {
            half: (length_m / 2.0, girth_m / 2.0 / std::f64::consts::PI),
            round: false,
        },
        StoreShape::Drum { diameter_m, .. } => Flat {
            half: (diameter_m * 0.58, diameter_m * 0.58),
            round: true,
        },
    })
}

/// Draws it. `id` begins the ids inside the picture.
pub fn top(id: &str, plan: &Plan, width: f64, words: &Words) -> String {
    let width = if width.is_finite() {
        width.clamp(320.0, 4000.0)
    } else {
        320.0
    };
    let say = Say::new(plan, words);
    let v = vessel(plan);
    let skin: f64 = plan
        .insulation
        .iter()
        .filter(|l| {
            matches!(
                l.on,
                fenlamp_model::plan::Faces::All | fenlamp_model::plan::Faces::Sides
            )
        })
        .map(|l| l.thickness.get::<meter>())
        .sum();
    let heap = plan.heap.as_ref().map(|h| {
        let inside = h.covers.get::<ratio>().max(0.05) * plan.vessel.volume.get::<cubic_meter>();
        half_ball_radius_m(inside + h.volume.get::<cubic_meter>())
    });
    let reach = (
        heap.unwrap_or(0.0).max(v.half.0 + skin),
        heap.unwrap_or(0.0).max(v.half.1 + skin),
    );
    let s = store(plan);
    let gap = 0.6 * v.half.1.max(0.2);
    let wide = 2.0 * reach.0 + s.map_or(0.0, |s| gap + 2.0 * s.half.0);
    let deep = 2.0 * reach.1.max(s.map_or(0.0, |s| s.half.1));
    let scale = ((width - 40.0) / wide).min(300.0 / deep);
    let (top, foot) = (54.0, 56.0);
    let height = top + deep * scale + foot;
    let mut sheet = Sheet::new(
        (width, height),
        "top",
        &words.fill("build.top_title", &[("name", &plan.name)]),
        &words.say("build.top_about"),
        &[],
    );
    let hatch = Hatches::new(&format!("{id}-top"));
    hatch.define(&mut sheet);
    sheet.text(
        (6.0, 16.0),
        Anchor::Start,
        "heading",
        INK,
        &words.say("build.top"),
    );
    scale_bar(&mut sheet, (6.0, 30.0), scale, width * 0.4, &say);
    let from = (width - wide * scale) / 2.0;
    let centre = (from + reach.0 * scale, top + deep * scale / 2.0);
    if let Some(r) = heap {
        let fill = hatch.fill("chips");
        sheet.circle(
            centre,
            r * scale,
            Style {
                fill: &fill,
                ..Style::line("heap", INK, 1.0)
            },
        );
    }
    let (hx, hy) = (v.half.0 * scale, v.half.1 * scale);
    if skin > 0.0 {
        let fill = hatch.fill("straw");
        let style = Style {
            fill: &fill,
            ..Style::line("insulation", INK, 0.8)
        };
        flat(
            &mut sheet,
            centre,
            (hx + skin * scale, hy + skin * scale),
            v.round,
            style,
        );
    }
    flat(
        &mut sheet,
        centre,
        (hx, hy),
        v.round,
        Style::line("vessel", INK, 2.0).filled("#ffffff"),
    );
    let mut lowest = centre.1 + reach.1 * scale;
    if let Some(s) = s {
        let at = (centre.0 + (reach.0 + gap + s.half.0) * scale, centre.1);
        lowest = lowest.max(at.1 + s.half.1 * scale);
        let start = (centre.0 + 0.25 * 2.0 * hx, centre.1);
        tube(&mut sheet, &[start, (at.0 - s.half.0 * scale, at.1)], 4.0);
        let fill = hatch.fill("gas");
        let style = Style {
            fill: &fill,
            ..Style::line("store", INK, 1.8)
        };
        flat(
            &mut sheet,
            at,
            (s.half.0 * scale, s.half.1 * scale),
            s.round,
            style,
        );
        if let Some(StoreShape::Tubes {
            ring_m, girth_m, ..
        }) = plan.gas_side.store.as_ref().map(|s| s.shape)
        {
            let inner = (ring_m - girth_m / std::f64::consts::PI) / 2.0 * scale;
            sheet.circle(
                at,
                inner.max(2.0),
                Style::line("store", INK, 1.2).filled("#ffffff"),
            );
        }
        let y = lowest + 22.0;
        dimension(
            &mut sheet,
            (at.0 - s.half.0 * scale, y),
            (at.0 + s.half.0 * scale, y),
            &say.metres(2.0 * s.half.0),
        );
    }
    let y = lowest + 22.0;
    let (half, across) = heap.map_or((hx, 2.0 * v.half.0), |r| (r * scale, 2.0 * r));
    dimension(
        &mut sheet,
        (centre.0 - half, y),
        (centre.0 + half, y),
        &say.metres(across),
    );
    if heap.is_some() {
        let y = centre.1 + 0.78 * hy;
        dimension(
            &mut sheet,
            (centre.0 - hx, y),
            (centre.0 + hx, y),
            &say.metres(2.0 * v.half.0),
        );
    }
    if !v.round || plan.vessel.kind == VesselKind::Tote {
        let x = centre.0 - hx + 14.0;
        dimension(
            &mut sheet,
            (x, centre.1 - hy),
            (x, centre.1 + hy),
            &say.metres(2.0 * v.half.1),
        );
    }
    sheet.text(
        (6.0, height - 8.0),
        Anchor::Start,
        "small",
        GREY,
        &words.say("build.keep_off"),
    );
    sheet.finish()
}

fn flat(s: &mut Sheet, at: Point, half: Point, round: bool, style: Style) {
    if round {
        s.circle(at, half.0, style);
    } else {
        s.rect(
            (at.0 - half.0, at.1 - half.1),
            (2.0 * half.0, 2.0 * half.1),
            style,
        );
    }
}
