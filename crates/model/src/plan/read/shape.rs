//! Shape of the vessel: usual proportions of its kind, or the dimensions given.

use super::Section;
use crate::plan::{Shape, VesselKind};
use fenlamp_quantity::{Length, Quantity, Units, Volume, print};
use std::f64::consts::PI;
use uom::si::length::meter;

/// Drum of about 208 L: inside diameter and height, m (common practice, no source).
const DRUM: (f64, f64) = (0.57, 0.88);
/// Tote of about 1000 L: inside length, width, height, m (common practice, no source).
const TOTE: (f64, f64, f64) = (1.2, 1.0, 1.0);
/// Long bag: diameter when filled, m (common practice, no source).
const BAG_DIAMETER: f64 = 0.95;
/// Dimensions and volume may differ by this share (ribs, domes, round figures).
const AGREE: f64 = 0.25;

/// Dimensions given in the plan.
struct Given {
    diameter: Option<f64>,
    height: Option<f64>,
    length: Option<f64>,
    width: Option<f64>,
}

/// Shape for a vessel of this volume.
pub(super) fn shape(s: &Section<'_>, kind: VesselKind, volume: Option<Volume>) -> Option<Shape> {
    let take = |key| {
        s.quantity::<Length>(key, "10 cm", "100 m")
            .map(|l| l.get::<meter>())
    };
    let given = Given {
        diameter: take("diameter"),
        height: take("height"),
        length: take("length"),
        width: take("width"),
    };
    let volume_m3 = volume?.to_si();
    let boxed = match kind {
        VesselKind::Drum | VesselKind::LongBag => false,
        VesselKind::Tote => true,
        VesselKind::Tank | VesselKind::SunkenTank => s.has("length") || s.has("width"),
    };
    let unused: &[&'static str] = match (kind, boxed) {
        (VesselKind::LongBag, _) => &["height", "width"],
        (_, true) => &["diameter"],
        (_, false) => &["length", "width"],
    };
    for key in unused.iter().filter(|k| s.has(k)) {
        s.fault(
            key,
            format!("a vessel of this kind has no {key}"),
            "leave it out, or choose another kind",
        );
    }
    let found = if kind == VesselKind::LongBag {
        lying(&given, volume_m3)
    } else if boxed {
        boxes(kind, &given, volume_m3)
    } else {
        standing(kind, &given, volume_m3)
    };
    agrees(s, found, volume_m3);
    Some(found)
}

fn standing(kind: VesselKind, given: &Given, volume: f64) -> Shape {
    let slender = if kind == VesselKind::Drum {
        DRUM.1 / DRUM.0
    } else {
        1.0
    };
    let (d, h) = match (given.diameter, given.height) {
        (Some(d), Some(h)) => (d, h),
        (Some(d), None) => (d, volume / (PI / 4.0 * d * d)),
        (None, Some(h)) => ((volume / (PI / 4.0 * h)).sqrt(), h),
        (None, None) => {
            let d = (volume / (PI / 4.0 * slender)).cbrt();
            (d, slender * d)
        }
    };
    Shape::StandingCylinder {
        diameter: metres(d),
        height: metres(h),
    }
}

fn lying(given: &Given, volume: f64) -> Shape {
    let (d, l) = match (given.diameter, given.length) {
        (Some(d), Some(l)) => (d, l),
        (None, Some(l)) => ((volume / (PI / 4.0 * l)).sqrt(), l),
        (d, None) => {
            let d = d.unwrap_or(BAG_DIAMETER);
            (d, volume / (PI / 4.0 * d * d))
        }
    };
    Shape::LyingCylinder {
        diameter: metres(d),
        length: metres(l),
    }
}

fn boxes(kind: VesselKind, given: &Given, volume: f64) -> Shape {
    let usual = if kind == VesselKind::Tote {
        TOTE
    } else {
        (1.0, 1.0, 1.0)
    };
    // What is not given keeps the usual proportions and makes up the volume.
    let open: Vec<f64> = [
        (given.length, usual.0),
        (given.width, usual.1),
        (given.height, usual.2),
    ]
    .iter()
    .filter(|(g, _)| g.is_none())
    .map(|(_, u)| *u)
    .collect();
    let known: f64 = [given.length, given.width, given.height]
        .iter()
        .flatten()
        .product();
    let scale = if open.is_empty() {
        1.0
    } else {
        (volume / known / open.iter().product::<f64>()).powf(1.0 / open.len() as f64)
    };
    Shape::Box {
        length: metres(given.length.unwrap_or(scale * usual.0)),
        width: metres(given.width.unwrap_or(scale * usual.1)),
        height: metres(given.height.unwrap_or(scale * usual.2)),
    }
}

fn agrees(s: &Section<'_>, shape: Shape, volume: f64) {
    let inside = inside_m3(shape);
    if (inside / volume - 1.0).abs() > AGREE {
        s.fault(
            "volume",
            format!(
                "the dimensions hold {}, not the volume given",
                print(Volume::from_si(inside), Units::Metric)
            ),
            "mend one of them, or leave out the dimensions",
        );
    }
}

/// Inside volume of a shape, m3.
pub(super) fn inside_m3(shape: Shape) -> f64 {
    match shape {
        Shape::StandingCylinder {
            diameter: d,
            height: l,
        }
        | Shape::LyingCylinder {
            diameter: d,
            length: l,
        } => PI / 4.0 * d.value * d.value * l.value,
        Shape::Box {
            length,
            width,
            height,
        } => length.value * width.value * height.value,
    }
}

fn metres(x: f64) -> Length {
    Length::new::<meter>(x)
}
