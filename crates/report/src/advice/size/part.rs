//! The parts that have a size, and plans with them larger or smaller.

use serde::Serialize;
use uom::si::mass::kilogram;
use uom::si::volume::{cubic_meter, liter};

use fenlamp_model::gas::store::Shape as StoreShape;
use fenlamp_model::plan::{Plan, Shape, Siting, SlurryTemperature, VesselKind, WashKind};

/// A part of a plant.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Part {
    /// The vessel, slurry, seed and first fill with it.
    Vessel,
    /// The heap.
    Heap,
    /// All insulation, by its thickness.
    Insulation,
    /// The store.
    Store,
    /// All washes, by what is in them.
    Wash,
}

impl Part {
    /// All parts.
    pub const ALL: [Part; 5] = [
        Part::Vessel,
        Part::Heap,
        Part::Insulation,
        Part::Store,
        Part::Wash,
    ];

    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            Part::Vessel => "vessel",
            Part::Heap => "heap",
            Part::Insulation => "insulation",
            Part::Store => "store",
            Part::Wash => "wash",
        }
    }

    /// The part of a name.
    pub fn parse(name: &str) -> Option<Self> {
        Part::ALL.into_iter().find(|p| p.name() == name.trim())
    }

    /// Unit of its size.
    pub fn unit(self) -> &'static str {
        match self {
            Part::Vessel | Part::Store => "L",
            Part::Heap => "m3",
            Part::Insulation => "m",
            Part::Wash => "kg",
        }
    }

    /// Whether it changes nothing of the gas made.
    pub fn is_behind_the_vessel(self) -> bool {
        matches!(self, Part::Store | Part::Wash)
    }

    /// Whether the wish must say how much.
    pub fn needs_amount(self) -> bool {
        self != Part::Wash
    }

    /// Its size in a plan: volume to the brim, thickest layer, store as it is taut,
    /// contents of the largest wash. `None` when the plan has none, or its size
    /// changes nothing.
    pub fn of(self, plan: &Plan) -> Option<f64> {
        let warm = matches!(plan.slurry_temperature, SlurryTemperature::HeatBalance);
        match self {
            Part::Vessel => Some(plan.vessel.volume.get::<liter>()),
            Part::Heap => plan
                .heap
                .as_ref()
                .filter(|_| warm)
                .map(|h| h.volume.get::<cubic_meter>()),
            Part::Insulation => plan
                .insulation
                .iter()
                .filter(|_| warm)
                .map(|l| l.thickness.value)
                .reduce(f64::max),
            Part::Store => plan
                .gas_side
                .store
                .as_ref()
                .map(|s| 1000.0 * s.shape.volume_m3()),
            Part::Wash => plan
                .gas_side
                .washes
                .iter()
                .map(|w| w.mass.get::<kilogram>())
                .reduce(f64::max),
        }
    }

    /// The plan with this part `factor` times as large.
    pub fn scaled(self, plan: &Plan, factor: f64) -> Plan {
        let mut out = plan.clone();
        match self {
            Part::Vessel => vessel(&mut out, factor),
            Part::Heap => {
                if let Some(heap) = &mut out.heap {
                    heap.volume *= factor;
                }
            }
            Part::Insulation => {
                for layer in &mut out.insulation {
                    layer.thickness *= factor;
                }
            }
            Part::Store => store(&mut out, factor),
            Part::Wash => {
                for wash in &mut out.gas_side.washes {
                    wash.mass *= factor;
                    match &mut wash.kind {
                        WashKind::LyeJar { liquor, .. } => *liquor *= factor,
                        WashKind::AshBed { bed } | WashKind::IronPacking { bed, .. } => {
                            *bed *= factor;
                        }
                    }
                }
            }
        }
        out
    }
}

/// A similar vessel; a bag keeps its film's diameter and becomes longer. Seed and
/// first fill keep their share of the slurry.
fn vessel(plan: &mut Plan, factor: f64) {
    let v = &mut plan.vessel;
    v.volume *= factor;
    v.liquid *= factor;
    let side = factor.cbrt();
    let half = |shape: &Shape| match *shape {
        Shape::StandingCylinder { height, .. } | Shape::Box { height, .. } => height / 2.0,
        Shape::LyingCylinder { diameter, .. } => diameter / 2.0,
    };
    let before = half(&v.shape);
    v.shape = match v.shape {
        Shape::StandingCylinder { diameter, height } => Shape::StandingCylinder {
            diameter: diameter * side,
            height: height * side,
        },
        Shape::LyingCylinder { diameter, length } if v.kind == VesselKind::LongBag => {
            Shape::LyingCylinder {
                diameter,
                length: length * factor,
            }
        }
        Shape::LyingCylinder { diameter, length } => Shape::LyingCylinder {
            diameter: diameter * side,
            length: length * side,
        },
        Shape::Box {
            length,
            width,
            height,
        } => Shape::Box {
            length: length * side,
            width: width * side,
            height: height * side,
        },
    };
    let deeper = half(&v.shape) - before;
    if let Siting::InGround { depth } = &mut v.siting {
        // The soil over it stays as thick.
        *depth += deeper;
    }
    let fill = &mut plan.first_fill;
    for (_, mass) in &mut fill.feed {
        *mass *= factor;
    }
    if let Some(water) = &mut fill.water {
        *water *= factor;
    }
    for seed in &mut fill.seeds {
        seed.volume *= factor;
    }
}

/// A similar store at the same pressure: its weight grows with the area it lies on.
fn store(plan: &mut Plan, factor: f64) {
    let Some(store) = &mut plan.gas_side.store else {
        return;
    };
    let side = factor.cbrt();
    let area = side * side;
    let grows = match &mut store.shape {
        StoreShape::Tubes { count, .. } => {
            *count *= factor;
            factor
        }
        StoreShape::Bag { length_m, girth_m } => {
            *length_m *= side;
            *girth_m *= side;
            area
        }
        StoreShape::Drum {
            diameter_m,
            travel_m,
        } => {
            *diameter_m *= side;
            *travel_m *= side;
            area
        }
    };
    store.weight *= grows;
    store.bath *= factor;
}
