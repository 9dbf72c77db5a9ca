//! A size as changes to the plan's text, for "take it".

use fenlamp_model::gas::store::Shape as StoreShape;
use fenlamp_model::plan::{Plan, Shape, Siting, UnitSystem, WashKind};
use fenlamp_report::advice::{Part, Sized};
use uom::si::f64::{Length, Mass, Volume};
use uom::si::length::{centimeter, inch};
use uom::si::mass::{kilogram, pound};
use uom::si::volume::{cubic_meter, gallon, liter};

use crate::plan_edit::{Edit, has};

/// The edits that put a size into the plan with `text` that it was found for;
/// `None` when no size meets the wish.
pub fn of_size(plan: &Plan, text: &str, sized: &Sized) -> Option<Vec<Edit>> {
    let then = sized.plan.as_ref()?;
    let mut put = Put {
        text,
        us: plan.units == UnitSystem::Us,
        edits: Vec::new(),
    };
    match sized.part {
        Part::Vessel => vessel(&mut put, then),
        Part::Heap => {
            if let Some(heap) = &then.heap {
                let m3 = heap.volume.get::<cubic_meter>();
                put.edits
                    .push(Edit::text("heap.volume", &format!("{} m3", figures(m3))));
            }
        }
        Part::Insulation => {
            for (i, layer) in then.insulation.iter().enumerate() {
                put.length(&format!("insulation[{i}].thickness"), layer.thickness);
            }
        }
        Part::Store => store(&mut put, then),
        Part::Wash => {
            for (i, wash) in then.gas_side.washes.iter().enumerate() {
                put.mass(&format!("wash[{i}].mass"), wash.mass);
                match wash.kind {
                    WashKind::LyeJar { liquor, .. } => {
                        put.volume(&format!("wash[{i}].liquor"), liquor);
                    }
                    WashKind::AshBed { bed } | WashKind::IronPacking { bed, .. } => {
                        put.if_there(&format!("wash[{i}].bed"), |p, at| p.volume(at, bed));
                    }
                }
            }
        }
    }
    Some(put.edits)
}

struct Put<'a> {
    text: &'a str,
    us: bool,
    edits: Vec<Edit>,
}

impl Put<'_> {
    fn length(&mut self, at: &str, length: Length) {
        let words = if self.us {
            format!("{} in", figures(length.get::<inch>()))
        } else {
            format!("{} cm", figures(length.get::<centimeter>()))
        };
        self.edits.push(Edit::text(at, &words));
    }

    fn volume(&mut self, at: &str, volume: Volume) {
        let words = if self.us {
            format!("{} gal", figures(volume.get::<gallon>()))
        } else {
            format!("{} L", figures(volume.get::<liter>()))
        };
        self.edits.push(Edit::text(at, &words));
    }

    fn mass(&mut self, at: &str, mass: Mass) {
        let words = if self.us {
            format!("{} lb", figures(mass.get::<pound>()))
        } else {
            format!("{} kg", figures(mass.get::<kilogram>()))
        };
        self.edits.push(Edit::text(at, &words));
    }

    /// Only what the plan says already is said anew.
    fn if_there(&mut self, at: &str, put: impl FnOnce(&mut Self, &str)) {
        if has(self.text, at) {
            put(self, at);
        }
    }
}

/// Five figures, rounded, without zeros at the end.
fn figures(x: f64) -> String {
    if !(x.is_finite() && x > 0.0) {
        return "0".to_owned();
    }
    let decimals = (4 - x.log10().floor() as i32).clamp(0, 8) as usize;
    let text = format!("{x:.decimals$}");
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

fn vessel(put: &mut Put<'_>, plan: &Plan) {
    let v = &plan.vessel;
    put.volume("vessel.volume", v.volume);
    put.volume("vessel.slurry", v.liquid);
    let sides: Vec<(&str, Length)> = match v.shape {
        Shape::StandingCylinder { diameter, height } => {
            vec![("diameter", diameter), ("height", height)]
        }
        Shape::LyingCylinder { diameter, length } => {
            vec![("diameter", diameter), ("length", length)]
        }
        Shape::Box {
            length,
            width,
            height,
        } => vec![("length", length), ("width", width), ("height", height)],
    };
    for (key, side) in sides {
        put.if_there(&format!("vessel.{key}"), |p, at| p.length(at, side));
    }
    if let Siting::InGround { depth } = v.siting {
        put.if_there("vessel.depth", |p, at| p.length(at, depth));
    }
    for (i, (_, mass)) in plan.first_fill.feed.iter().enumerate() {
        put.mass(&format!("first_fill.feed[{i}].amount"), *mass);
    }
    if let Some(water) = plan.first_fill.water {
        put.mass("first_fill.water", water);
    }
    for (i, seed) in plan.first_fill.seeds.iter().enumerate() {
        put.volume(&format!("seed[{i}].volume"), seed.volume);
    }
}

fn store(put: &mut Put<'_>, plan: &Plan) {
    let Some(store) = &plan.gas_side.store else {
        return;
    };
    let metres = |m: f64| Length::new::<uom::si::length::meter>(m);
    match store.shape {
        StoreShape::Tubes { count, .. } => {
            // Tubes come whole; the weight on each stays what it is.
            let whole = (count - 1e-6).ceil().max(1.0);
            put.edits.push(Edit::Set {
                path: "store.count".to_owned(),
                value: format!("{whole:.0}"),
            });
            put.mass("store.weight", store.weight * (whole / count));
        }
        StoreShape::Bag { length_m, girth_m } => {
            put.length("store.length", metres(length_m));
            put.length("store.girth", metres(girth_m));
            put.mass("store.weight", store.weight);
        }
        StoreShape::Drum {
            diameter_m,
            travel_m,
        } => {
            put.length("store.diameter", metres(diameter_m));
            put.length("store.travel", metres(travel_m));
            put.mass("store.weight", store.weight);
        }
    }
}
