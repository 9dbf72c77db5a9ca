//! Sizes of small parts: what the plan gives, and for the rest usual ones.

use fenlamp_model::gas::relief::{Liquid, depth_cm};
use fenlamp_model::plan::{FlashBackStop, Relief, Trap, Wash, WashKind};
use fenlamp_quantity::Volume;
use uom::si::length::meter;
use uom::si::pressure::pascal;
use uom::si::volume::cubic_meter;

/// A jar or bottle, inside, m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Jar {
    /// Diameter.
    pub diameter_m: f64,
    /// Height.
    pub height_m: f64,
    /// Height of what is in it.
    pub level_m: f64,
    /// How deep the gas pipe dips into it.
    pub dip_m: f64,
}

impl Jar {
    /// What it holds, m3.
    pub fn volume_m3(&self) -> f64 {
        std::f64::consts::PI / 4.0 * self.diameter_m.powi(2) * self.height_m
    }
}

/// Height over diameter of a jar and of a packed bottle (common practice, no source).
const JAR: f64 = 1.5;
const BOTTLE: f64 = 3.0;
/// A lye jar is filled to two thirds, so that foam stays in it (judgement).
const LYE_FILL: f64 = 2.0 / 3.0;
/// A trap holds half as much again as it is let fill (judgement).
const TRAP_FILL: f64 = 2.0 / 3.0;
/// Free height over the water of relief and seal, m (judgement): water that is
/// pushed up or thrown stays inside.
const FREE_M: f64 = 0.10;
/// Depth of water under the end of a dipping pipe, m (judgement).
const UNDER_M: f64 = 0.03;
/// Diameter of relief bottle and seal jar, m (common practice, no source).
const SMALL_JAR_M: f64 = 0.10;

fn of_volume(volume_m3: f64, slender: f64) -> (f64, f64) {
    let d = (4.0 * volume_m3.max(1e-7) / (std::f64::consts::PI * slender)).cbrt();
    (d, slender * d)
}

/// The jar or bottle of a wash.
pub fn wash(wash: &Wash) -> Jar {
    match wash.kind {
        WashKind::LyeJar {
            liquor,
            bubble_depth,
            ..
        } => {
            let (diameter_m, height_m) = of_volume(cubic(liquor) / LYE_FILL, JAR);
            let level_m = LYE_FILL * height_m;
            Jar {
                diameter_m,
                height_m,
                level_m,
                dip_m: bubble_depth.get::<meter>().clamp(0.0, level_m),
            }
        }
        WashKind::AshBed { bed } | WashKind::IronPacking { bed, .. } => {
            let (diameter_m, height_m) = of_volume(cubic(bed) / 0.8, BOTTLE);
            Jar {
                diameter_m,
                height_m,
                level_m: 0.8 * height_m,
                dip_m: 0.0,
            }
        }
    }
}

/// The bottle of a trap.
pub fn trap(trap: &Trap) -> Jar {
    let (diameter_m, height_m) = of_volume(cubic(trap.volume) / TRAP_FILL, JAR);
    Jar {
        diameter_m,
        height_m,
        level_m: TRAP_FILL * height_m,
        dip_m: 0.0,
    }
}

/// The bottle of a relief: `dip_m` is the depth at which it opens.
pub fn relief(relief: &Relief) -> Jar {
    let dip_m = column_m(relief.depth.get::<pascal>());
    column(dip_m)
}

/// The jar of a water seal; `None` for a mesh.
pub fn seal(stop: &FlashBackStop) -> Option<Jar> {
    match stop {
        FlashBackStop::WaterSeal { depth } => Some(column(depth.get::<meter>().max(0.0))),
        FlashBackStop::Mesh { .. } => None,
    }
}

fn column(dip_m: f64) -> Jar {
    let level_m = dip_m + UNDER_M;
    Jar {
        diameter_m: SMALL_JAR_M,
        height_m: level_m + FREE_M,
        level_m,
        dip_m,
    }
}

/// Depth of water of a pressure, m, at 15 degC.
fn column_m(pressure_pa: f64) -> f64 {
    depth_cm(pressure_pa, Liquid::Water, 15.0).map_or(0.15, |cm| cm / 100.0)
}

fn cubic(v: Volume) -> f64 {
    v.get::<cubic_meter>()
}
