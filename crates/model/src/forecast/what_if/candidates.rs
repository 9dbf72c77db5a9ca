//! The changes that make sense for a plan.

use crate::world::calendar::usual_weather;
use uom::si::f64::{Length, Ratio, ThermodynamicTemperature, Volume};
use uom::si::length::meter;
use uom::si::mass::kilogram;
use uom::si::ratio::ratio;
use uom::si::thermodynamic_temperature::degree_celsius;
use uom::si::volume::cubic_meter;

use crate::feed::Group;
use crate::plan::{
    Dilution, Faces, InsulationLayer, Plan, Seed, SeedKind, Siting, SlurryTemperature, Vessel,
    VesselKind, VesselMode,
};

/// One change, and the plan with it.
#[derive(Debug, Clone)]
pub struct WhatIf {
    /// Stable id.
    pub id: &'static str,
    /// The change, to stand before a colon.
    pub words: String,
    /// Where a figure of the change itself comes from.
    pub basis: &'static str,
    /// The changed plan.
    pub plan: Plan,
}

/// The change is the figure: nothing is assumed.
const AS_SAID: &str = "as said";
/// Hydrolysis of fibrous feed chopped to a few centimetres, on that of feed as it comes.
const FINER: f64 = 1.3;
const FINER_BASIS: &str = "judgement: hydrolysis of fibrous feed 1.3 times as fast";
/// Solids that flow by themselves and still feed well, common practice.
const WATERED: f64 = 0.08;
/// Difference in solids that makes watering a change (judgement).
const NEAR: f64 = 0.01;
/// Share of the slurry that is the usual measure of seed, its low end.
const SEED_SHARE: f64 = 0.10;
const SEED_BASIS: &str = "judgement: digestate of a working digester, grown at 30 °C, a day old";
/// Width of a small bale, m (common practice, no source).
const BALE_M: f64 = 0.36;
const BALE_BASIS: &str = "judgement: 36 cm of straw, dry enough, on every face";
/// Mean of the coldest month above which warmth is not the want, degC (judgement).
const WARM_C: f64 = 20.0;

/// The changes that make sense for `plan`, in a fixed order. Each leaves the
/// uncertain inputs as they are, so that the same worlds can be drawn.
pub fn candidates(plan: &Plan) -> Vec<WhatIf> {
    let mut out = Vec::new();
    warmth(plan, &mut out);
    feed(plan, &mut out);
    seed(plan, &mut out);
    out
}

fn put(
    out: &mut Vec<WhatIf>,
    plan: &Plan,
    id: &'static str,
    words: &str,
    basis: &'static str,
    change: impl FnOnce(&mut Plan),
) {
    let mut plan = plan.clone();
    change(&mut plan);
    out.push(WhatIf {
        id,
        words: words.to_owned(),
        basis,
        plan,
    });
}

fn warmth(plan: &Plan, out: &mut Vec<WhatIf>) {
    let balance = matches!(plan.slurry_temperature, SlurryTemperature::HeatBalance);
    let room = matches!(plan.vessel.siting, Siting::Room(_));
    if !balance || room || coldest_month_c(plan) > WARM_C {
        return;
    }
    let stands = matches!(plan.vessel.siting, Siting::Outdoors | Siting::Shed)
        && plan.heap.is_none()
        && plan.vessel.kind != VesselKind::LongBag;
    if !plan.insulation.is_empty() {
        put(
            out,
            plan,
            "more_insulation",
            "a third more insulation",
            AS_SAID,
            |p| {
                for layer in &mut p.insulation {
                    layer.thickness *= 4.0 / 3.0;
                }
            },
        );
    } else if stands {
        put(
            out,
            plan,
            "straw_bales",
            "straw bales all round",
            BALE_BASIS,
            |p| {
                p.insulation.push(InsulationLayer {
                    on: Faces::All,
                    material: "k_straw_airdry".to_owned(),
                    thickness: Length::new::<meter>(BALE_M),
                });
            },
        );
    }
    if plan.heap.is_some() {
        put(
            out,
            plan,
            "larger_heap",
            "half again as large a heap",
            AS_SAID,
            |p| {
                if let Some(heap) = &mut p.heap {
                    heap.volume *= 1.5;
                }
            },
        );
    }
    if stands {
        put(
            out,
            plan,
            "greenhouse",
            "the vessel in a greenhouse",
            AS_SAID,
            |p| p.vessel.siting = Siting::Greenhouse,
        );
    }
}

/// Mean air of the coldest thirty days in a row, degC.
fn coldest_month_c(plan: &Plan) -> f64 {
    let air = usual_weather(plan).daily_air_c();
    air.windows(air.len().clamp(1, 30))
        .map(|w| w.iter().sum::<f64>() / w.len() as f64)
        .fold(f64::INFINITY, f64::min)
}

fn feed(plan: &Plan, out: &mut Vec<WhatIf>) {
    let group = |i: usize| plan.feedstocks.get(i).map(|f| f.group);
    let fed = plan.vessel.mode != VesselMode::Batch && !plan.waste.is_empty();
    let manure = |i: usize| group(i) == Some(Group::Manure);
    if fed && plan.waste.iter().any(|w| manure(w.feedstock)) {
        put(
            out,
            plan,
            "more_manure",
            "a third more manure",
            AS_SAID,
            |p| {
                for waste in p.waste.iter_mut().filter(|w| manure(w.feedstock)) {
                    waste.fresh = waste.fresh.map(|m| m * (4.0 / 3.0));
                }
            },
        );
    }
    let used = |i: usize| {
        (fed && plan.waste.iter().any(|w| w.feedstock == i))
            || plan.first_fill.feed.iter().any(|&(of, _)| of == i)
    };
    let fibrous: Vec<usize> = (0..plan.feedstocks.len())
        .filter(|&i| used(i))
        .filter(|&i| {
            matches!(
                group(i),
                Some(Group::Crop | Group::Garden | Group::Woody | Group::Byproduct)
            )
        })
        .collect();
    let held = matches!(plan.slurry_temperature, SlurryTemperature::Fixed(_));
    if !fibrous.is_empty() && !held {
        put(
            out,
            plan,
            "chopped_finer",
            "fibrous feed chopped finer",
            FINER_BASIS,
            |p| {
                for i in fibrous {
                    let rate = &mut p.feedstocks[i].hydrolysis_per_d;
                    rate.low *= FINER;
                    rate.mid *= FINER;
                    rate.high *= FINER;
                }
            },
        );
    }
    if !fed {
        return;
    }
    put(out, plan, "less_feed", "a third less feed", AS_SAID, |p| {
        for waste in &mut p.waste {
            waste.fresh = waste.fresh.map(|m| m * (2.0 / 3.0));
        }
    });
    if let Some(now) = solids(plan)
        && (now - WATERED).abs() > NEAR
    {
        let words = format!(
            "water to 8 % solids in place of {:.0} %",
            (100.0 * now).round()
        );
        put(
            out,
            plan,
            "watered",
            &words,
            "common practice, no source",
            |p| {
                p.feeding.water = Dilution::ToSolids(Ratio::new::<ratio>(WATERED));
            },
        );
    }
}

/// Solids of the year's feed as it is watered now; `None` when it is too thin as
/// it comes for watering to bring it to [`WATERED`].
fn solids(plan: &Plan) -> Option<f64> {
    let (mut fresh, mut dry) = (0.0, 0.0);
    for w in &plan.waste {
        let kg: f64 = w.fresh.iter().map(|m| m.value).sum();
        fresh += kg;
        dry += kg * plan.feedstocks.get(w.feedstock)?.total_solids.mid;
    }
    let plain = dry / fresh;
    if !plain.is_finite() || plain <= WATERED {
        return None;
    }
    Some(match plan.feeding.water {
        Dilution::None => plain,
        Dilution::PerFeed(water) => plain / (1.0 + water),
        Dilution::ToSolids(wanted) => plain.min(wanted.get::<ratio>()),
    })
}

fn seed(plan: &Plan, out: &mut Vec<WhatIf>) {
    let held = matches!(plan.slurry_temperature, SlurryTemperature::Fixed(_));
    match plan.first_fill.seeds.is_empty() {
        false if room_for(plan, plan.first_fill.seed_volume()) => {
            put(out, plan, "more_seed", "twice the seed", AS_SAID, |p| {
                for seed in &mut p.first_fill.seeds {
                    seed.volume *= 2.0;
                }
            })
        }
        true if !held => {
            let volume = plan.vessel.liquid * SEED_SHARE;
            if room_for(plan, volume) {
                put(
                    out,
                    plan,
                    "seeded",
                    "a tenth of the slurry as seed from a working digester",
                    SEED_BASIS,
                    |p| {
                        p.first_fill.seeds.push(Seed {
                            kind: SeedKind::Digestate,
                            volume,
                            grown_at: ThermodynamicTemperature::new::<degree_celsius>(30.0),
                            volatile_solids: None,
                            age_days: 1.0,
                        });
                    },
                );
            }
        }
        _ => {}
    }
}

/// Whether `more` seed goes in where water would, so that the fill keeps its volume.
fn room_for(plan: &Plan, more: Volume) -> bool {
    let fill = &plan.first_fill;
    // With a stated water the change would be of two things at once.
    if fill.water.is_some() {
        return false;
    }
    let filler = plan.vessel.filler.get::<ratio>();
    let space = liquid_m3(&plan.vessel) * (1.0 - filler);
    let feed: f64 = fill
        .feed
        .iter()
        .map(|(_, mass)| mass.get::<kilogram>() / 1000.0)
        .sum();
    let seed = fill.seed_volume().get::<cubic_meter>();
    feed + seed + more.get::<cubic_meter>() <= space
}

fn liquid_m3(vessel: &Vessel) -> f64 {
    vessel.liquid.get::<cubic_meter>()
}
