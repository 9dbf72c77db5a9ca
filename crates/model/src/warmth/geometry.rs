//! Areas and volumes of a vessel.

use std::f64::consts::PI;

use uom::si::area::square_meter;
use uom::si::f64::{Area, Volume};
use uom::si::length::meter;
use uom::si::volume::cubic_meter;

use crate::plan::{Shape, Vessel, VesselKind};

use super::coefficients::{BAG_GROUND_SHARE, LYING_GROUND_SHARE};

/// Plain measures of a vessel, inside, SI.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measures {
    /// Side that meets the air, m2.
    pub side_m2: f64,
    /// Top (lid), m2.
    pub top_m2: f64,
    /// Base that meets the ground, m2.
    pub base_m2: f64,
    /// Height of the vessel, m.
    pub height_m: f64,
    /// Inside volume, m3.
    pub volume_m3: f64,
    /// Inside radius of a round side, m; `None` for flat walls.
    pub side_radius_m: Option<f64>,
}

/// Measures of a vessel's shape.
///
/// The lateral surface of a lying cylinder is shared out: its lowest part is the base (a quarter,
/// or most for a bag in its trench, with as much of its ends), an upper quarter the top, the rest
/// and the ends the side.
pub fn measures(vessel: &Vessel) -> Measures {
    match vessel.shape {
        Shape::StandingCylinder { diameter, height } => {
            let (d, h) = (diameter.get::<meter>(), height.get::<meter>());
            let disc = PI * d * d / 4.0;
            Measures {
                side_m2: PI * d * h,
                top_m2: disc,
                base_m2: disc,
                height_m: h,
                volume_m3: disc * h,
                side_radius_m: Some(d / 2.0),
            }
        }
        Shape::LyingCylinder { diameter, length } => {
            let (d, l) = (diameter.get::<meter>(), length.get::<meter>());
            let lateral = PI * d * l;
            let ends = PI * d * d / 2.0;
            let bag = vessel.kind == VesselKind::LongBag;
            let ground = if bag {
                BAG_GROUND_SHARE
            } else {
                LYING_GROUND_SHARE
            };
            let ends_in_ground = if bag { ground * ends } else { 0.0 };
            let top = 0.25;
            Measures {
                side_m2: lateral * (1.0 - ground - top) + ends - ends_in_ground,
                top_m2: lateral * top,
                base_m2: lateral * ground + ends_in_ground,
                height_m: d,
                volume_m3: PI * d * d / 4.0 * l,
                side_radius_m: Some(d / 2.0),
            }
        }
        Shape::Box {
            length,
            width,
            height,
        } => {
            let (l, w, h) = (
                length.get::<meter>(),
                width.get::<meter>(),
                height.get::<meter>(),
            );
            Measures {
                side_m2: 2.0 * (l + w) * h,
                top_m2: l * w,
                base_m2: l * w,
                height_m: h,
                volume_m3: l * w * h,
                side_radius_m: None,
            }
        }
    }
}

/// Inside surface of a vessel: sides, top and base together.
pub fn surface(vessel: &Vessel) -> Area {
    let m = measures(vessel);
    Area::new::<square_meter>(m.side_m2 + m.top_m2 + m.base_m2)
}

/// Inside volume of a vessel's shape.
pub fn volume(vessel: &Vessel) -> Volume {
    Volume::new::<cubic_meter>(measures(vessel).volume_m3)
}

/// Diameter of the disc of an area, m.
pub(crate) fn disc_diameter_m(area_m2: f64) -> f64 {
    (4.0 * area_m2 / PI).sqrt()
}

/// Radius of the half-ball of a volume, m.
pub fn half_ball_radius_m(volume_m3: f64) -> f64 {
    (1.5 * volume_m3 / PI).cbrt()
}
