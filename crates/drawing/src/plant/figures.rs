//! The figures of every part.

use fenlamp_model::gas::store::Shape as StoreShape;
use fenlamp_model::gas::wash::iron::Medium;
use fenlamp_model::plan::{
    Faces, FlashBackStop, GasLine, JarAlkali, Plan, Runs, Shape, Siting, Wanted, WashKind,
};
use fenlamp_quantity::{Length, Volume};
use fenlamp_words::Words;
use uom::si::ratio::ratio;

use super::part::{Kind, siting_key};
use super::say::Say;

/// The figures of a part, a line each.
pub fn figures(plan: &Plan, kind: Kind, words: &Words) -> Vec<String> {
    let say = Say::new(plan, words);
    match kind {
        Kind::Vessel => vessel(plan, &say),
        Kind::Slurry => slurry(plan, &say),
        Kind::Headspace => {
            let free: Volume = plan.vessel.volume - plan.vessel.liquid;
            vec![say.fill("figure.left_free", &[("v", &say.figure(free))])]
        }
        Kind::Insulation(i) => insulation(plan, i, &say),
        Kind::Heap => heap(plan, &say),
        Kind::Heater => plan
            .heater
            .iter()
            .map(|h| {
                let blanks = [("p", &*say.figure(h.power)), ("t", &*say.figure(h.up_to))];
                say.fill("figure.heater", &blanks)
            })
            .collect(),
        Kind::Outlet => {
            let back = fenlamp_model::world::pressures::back_pressure(plan).total_pa;
            let back = fenlamp_quantity::Pressure::new::<uom::si::pressure::pascal>(back);
            vec![say.fill("figure.outlet", &[("p", &say.figure(back))])]
        }
        Kind::Line => line(plan, &say),
        Kind::Store => store(plan, &say),
        Kind::Wash(i) => wash(plan, i, &say),
        Kind::Trap => trap(plan, &say),
        Kind::Relief => plan
            .gas_side
            .relief
            .iter()
            .flat_map(|r| {
                let opens = say.fill("figure.relief", &[("p", &say.figure(r.depth))]);
                [opens, runs(r.runs, words)]
            })
            .collect(),
        Kind::FlashBack => plan
            .gas_side
            .flash_back
            .iter()
            .map(|f| match f {
                FlashBackStop::WaterSeal { depth } => {
                    say.fill("figure.seal", &[("d", &say.size(*depth))])
                }
                FlashBackStop::Mesh { gap } => say.fill("figure.gap", &[("d", &say.size(*gap))]),
            })
            .collect(),
        Kind::Use(i) => uses(plan, i, &say),
    }
}

fn runs(runs: Runs, words: &Words) -> String {
    words.say(match runs {
        Runs::Outdoors => "figure.outdoors",
        Runs::Indoors => "figure.indoors",
        Runs::Buried => "figure.buried",
    })
}

fn vessel(plan: &Plan, say: &Say) -> Vec<String> {
    let v = &plan.vessel;
    let f = |l: Length| say.figure(l);
    let size = match v.shape {
        Shape::StandingCylinder { diameter, height } => say.fill(
            "figure.wide_high",
            &[("a", &f(diameter)), ("b", &f(height))],
        ),
        Shape::LyingCylinder { diameter, length } => say.fill(
            "figure.wide_long",
            &[("a", &f(diameter)), ("b", &f(length))],
        ),
        Shape::Box {
            length,
            width,
            height,
        } => say.fill(
            "figure.box",
            &[("a", &f(length)), ("b", &f(width)), ("c", &f(height))],
        ),
    };
    let mut out = vec![
        say.fill("figure.to_brim", &[("v", &say.figure(v.volume))]),
        size,
        say.fill("figure.wall", &[("t", &say.size(v.wall_thickness))]),
    ];
    out.push(match v.siting {
        Siting::InGround { depth } => say.fill("figure.middle_deep", &[("d", &f(depth))]),
        other => say.words.say(siting_key(other)),
    });
    out
}

fn slurry(plan: &Plan, say: &Say) -> Vec<String> {
    let v = &plan.vessel;
    let deep = super::section::Form::of(v).depth();
    let mut out = vec![
        say.fill("figure.when_full", &[("v", &say.figure(v.liquid))]),
        say.fill("figure.deep", &[("d", &say.metres(deep))]),
    ];
    if v.filler.get::<ratio>() > 0.0 {
        out.push(say.fill("figure.filler", &[("p", &say.share(v.filler))]));
    }
    out
}

/// Name of an insulation material.
pub(crate) fn material(id: &str, words: &Words) -> String {
    if let Some(known) = words.find(&format!("material.{id}")) {
        return known.to_owned();
    }
    let name = fenlamp_model::reference::thermal(id).map_or(id, |row| row.quantity.as_str());
    // The row's name goes on about the row's conditions.
    name.split([',', '('])
        .next()
        .unwrap_or(name)
        .trim()
        .to_owned()
}

fn insulation(plan: &Plan, i: usize, say: &Say) -> Vec<String> {
    plan.insulation
        .get(i)
        .map(|layer| {
            let faces = say.words.say(match layer.on {
                Faces::All => "faces.all",
                Faces::Sides => "faces.sides",
                Faces::Top => "faces.top",
                Faces::Base => "faces.base",
            });
            say.fill(
                "figure.insulation",
                &[
                    ("t", &say.size(layer.thickness)),
                    ("material", &material(&layer.material, say.words)),
                    ("faces", &faces),
                ],
            )
        })
        .into_iter()
        .collect()
}

fn heap(plan: &Plan, say: &Say) -> Vec<String> {
    let Some(h) = &plan.heap else {
        return Vec::new();
    };
    let mut out = vec![
        say.fill("figure.heap", &[("v", &say.figure(h.volume))]),
        say.fill("figure.covers", &[("p", &say.share(h.covers))]),
    ];
    out.extend(
        h.rebuilt_every_days
            .map(|n| say.fill("figure.rebuilt", &[("n", &n.to_string())])),
    );
    out
}

fn line(plan: &Plan, say: &Say) -> Vec<String> {
    let Some(l) = &plan.gas_side.line else {
        return Vec::new();
    };
    let mut out = vec![
        say.fill(
            "figure.bore",
            &[("b", &say.size(l.bore)), ("l", &say.figure(l.length))],
        ),
        fittings(l, say),
        runs(l.runs, say.words),
        say.words.say(if l.low_point_drained {
            "figure.low_drained"
        } else {
            "figure.low_not_drained"
        }),
    ];
    out.retain(|text| !text.is_empty());
    out
}

/// "elbows 3, valves 2": those there are.
fn fittings(l: &GasLine, say: &Say) -> String {
    let counted = [
        ("figure.elbows", l.elbows),
        ("figure.valves", l.valves),
        ("figure.tees", l.tees),
    ];
    let there = counted.iter().filter(|(_, n)| *n > 0);
    let said: Vec<String> = there
        .map(|(key, n)| say.fill(key, &[("n", &n.to_string())]))
        .collect();
    said.join(", ")
}

fn store(plan: &Plan, say: &Say) -> Vec<String> {
    let Some(s) = &plan.gas_side.store else {
        return Vec::new();
    };
    let full = Volume::new::<uom::si::volume::cubic_meter>(s.shape.volume_m3());
    let size = match s.shape {
        StoreShape::Tubes {
            count,
            ring_m,
            girth_m,
        } => say.fill(
            "figure.tubes",
            &[
                ("n", &say.number(count)),
                ("a", &say.metres(ring_m)),
                ("b", &say.metres(girth_m)),
            ],
        ),
        StoreShape::Bag { length_m, girth_m } => say.fill(
            "figure.bag",
            &[("a", &say.metres(length_m)), ("b", &say.metres(girth_m))],
        ),
        StoreShape::Drum {
            diameter_m,
            travel_m,
        } => say.fill(
            "figure.drum",
            &[("a", &say.metres(diameter_m)), ("b", &say.metres(travel_m))],
        ),
    };
    let weight = match s.shape {
        StoreShape::Drum { .. } => "figure.drum_weight",
        _ => "figure.weight",
    };
    let mut out = vec![say.fill("figure.when_full", &[("v", &say.gas(full))]), size];
    if s.weight.value > 0.0 {
        out.push(say.fill(weight, &[("m", &say.figure(s.weight))]));
    }
    out
}

/// Key of an iron's name.
pub(crate) fn iron_key(medium: Medium) -> &'static str {
    match medium {
        Medium::Filings => "iron.filings",
        Medium::SteelWool => "iron.steel_wool",
        Medium::BogIron => "iron.bog_iron",
        Medium::OxideMedium => "iron.oxide",
    }
}

/// Key of what the lye is made of.
pub(crate) fn alkali_key(alkali: JarAlkali) -> &'static str {
    use fenlamp_model::gas::wash::liquor::Alkali;
    match alkali {
        JarAlkali::WoodAsh => "alkali.wood_ash",
        JarAlkali::Pure(Alkali::PotassiumCarbonate) => "alkali.potash",
        JarAlkali::Pure(Alkali::PotassiumHydroxide) => "alkali.caustic_potash",
        JarAlkali::Pure(Alkali::SodiumHydroxide) => "alkali.caustic_soda",
        JarAlkali::Pure(Alkali::SodiumCarbonate) => "alkali.washing_soda",
        JarAlkali::Pure(Alkali::SlakedLime) => "alkali.slaked_lime",
    }
}

fn wash(plan: &Plan, i: usize, say: &Say) -> Vec<String> {
    let Some(w) = plan.gas_side.washes.get(i) else {
        return Vec::new();
    };
    let m = say.figure(w.mass);
    let mut out = match w.kind {
        WashKind::LyeJar {
            alkali: a,
            liquor,
            bubble_depth,
        } => vec![
            say.fill(
                "figure.lye",
                &[
                    ("m", &m),
                    ("what", &say.words.say(alkali_key(a))),
                    ("v", &say.figure(liquor)),
                ],
            ),
            say.fill("figure.bubble", &[("d", &say.size(bubble_depth))]),
        ],
        WashKind::AshBed { bed } => vec![
            say.fill(
                "figure.iron",
                &[
                    ("m", &m),
                    ("what", &say.words.say(alkali_key(JarAlkali::WoodAsh))),
                ],
            ),
            say.fill("figure.bed", &[("v", &say.figure(bed))]),
        ],
        WashKind::IronPacking { medium, bed, .. } => vec![
            say.fill(
                "figure.iron",
                &[("m", &m), ("what", &say.words.say(iron_key(medium)))],
            ),
            say.fill("figure.bed", &[("v", &say.figure(bed))]),
        ],
    };
    out.extend(
        w.renewed_every_days
            .map(|n| say.fill("figure.renewed", &[("n", &n.to_string())])),
    );
    out
}

fn trap(plan: &Plan, say: &Say) -> Vec<String> {
    let Some(t) = &plan.gas_side.trap else {
        return Vec::new();
    };
    let mut out = vec![say.fill("figure.trap", &[("v", &say.figure(t.volume))])];
    if t.at_low_point {
        out.push(say.words.say("figure.at_low"));
    }
    out.push(runs(t.runs, say.words));
    out
}

fn uses(plan: &Plan, i: usize, say: &Say) -> Vec<String> {
    let Some(u) = plan.gas_side.uses.get(i) else {
        return Vec::new();
    };
    let wanted = match u.wanted {
        Wanted::AllItsHours => say.fill("figure.hours", &[("n", &say.number(u.hours_per_day()))]),
        Wanted::Kettles(n) => say.fill("figure.kettles", &[("n", &say.number(n))]),
        Wanted::Water(v) => say.fill("figure.water", &[("v", &say.figure(v))]),
    };
    vec![wanted]
}
