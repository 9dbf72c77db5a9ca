//! What is left: how much runs out, what it carries, what its warmth did to
//! germs, where it may go and where it waits.

mod hygiene;
pub mod land;

#[cfg(test)]
mod tests;

pub use hygiene::{Class, Progress, days_digested_warm, days_held_hot, progress, younger_than};
pub use hygiene::{MEAT, bars_food, bars_food_as_human_or_pet, speaks_of};
pub use land::{area_m2, dressing_l_m2};

use jiff::ToSpan;
use jiff::civil::Date;
use serde::Serialize;

use crate::band::Quantiles;
use crate::plan::{Plan, VesselMode};
use crate::reference::safety_limits;
use crate::world::Matter;
use crate::world::WorldRun;
use crate::world::calendar;
use hygiene::class;

/// Slurry in bulk over all worlds.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize)]
pub struct MatterBands {
    /// Volume.
    pub litres: Quantiles,
    /// Volatile solids.
    pub volatile_solids_kg: Quantiles,
    /// Nitrogen, all forms.
    pub nitrogen_kg: Quantiles,
    /// Of it ammonium and ammonia.
    pub ammonium_nitrogen_kg: Quantiles,
    /// Ammonium and ammonia in the nitrogen, share.
    pub ammonium_share: Quantiles,
    /// Phosphorus (times 2.29 is P2O5).
    pub phosphorus_kg: Quantiles,
    /// Potassium (times 1.20 is K2O).
    pub potassium_kg: Quantiles,
}

impl MatterBands {
    fn of(each: &[Matter]) -> Self {
        let q = |f: fn(&Matter) -> f64| Quantiles::of(&mut each.iter().map(f).collect::<Vec<_>>());
        MatterBands {
            litres: q(|m| m.litres),
            volatile_solids_kg: q(|m| m.volatile_solids_kg),
            nitrogen_kg: q(|m| m.nitrogen_kg),
            ammonium_nitrogen_kg: q(|m| m.ammonium_nitrogen_kg),
            ammonium_share: q(|m| {
                if m.nitrogen_kg > 0.0 {
                    m.ammonium_nitrogen_kg / m.nitrogen_kg
                } else {
                    0.0
                }
            }),
            phosphorus_kg: q(|m| m.phosphorus_kg),
            potassium_kg: q(|m| m.potassium_kg),
        }
    }
}

/// What runs out in one calendar month.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MonthDigestate {
    /// Year.
    pub year: i16,
    /// Month, 1 = January.
    pub month: i8,
    /// What runs out.
    #[serde(flatten)]
    pub matter: MatterBands,
    /// Of the held-hot rule, one meets it; nothing runs out: zero.
    pub held_hot_share: Quantiles,
    /// Of the digested-warm rule.
    pub digested_warm_share: Quantiles,
    /// What may be done with it, by nine worlds of ten; `None` when nothing runs out.
    pub class: Option<Class>,
}

/// Rules for the land, with the plan's own figures.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize)]
pub struct Land {
    /// Days between spreading and harvest, edible part touches the soil (USDA-NOP).
    pub wait_touching_soil_days: f64,
    /// The same, edible part off the soil.
    pub wait_off_soil_days: f64,
    /// Least land for a year's nitrogen at 170 kg/ha (CBS-NL, FJ-IE).
    pub least_area_m2: Quantiles,
    /// Volume that carries that limit, L/m2 in a year.
    pub litres_per_m2_year: Quantiles,
    /// Parts of water to one part near growing plants.
    pub water_parts_near_plants: f64,
    /// Nitrogen that feeds a crop in its first season, low and high share (RB209).
    pub first_season_share: [f64; 2],
    /// Months, 1 = January, too cold for spreading.
    pub closed_months: [bool; 12],
    /// What runs out over the longest closed season: the room a store needs.
    pub closed_season_l: Quantiles,
}

/// What is left of what was put in.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Digestate {
    /// Month by month.
    pub months: Vec<MonthDigestate>,
    /// Over the whole run.
    pub ran_out: MatterBands,
    /// In the vessel after the last day.
    pub held: MatterBands,
    /// What may be done with what the vessel holds after the last day.
    pub held_class: Option<Class>,
    /// The least favourable class of all that ran out.
    pub worst_class: Option<Class>,
    /// Where it may go.
    pub land: Land,
    /// Feedstocks whose phosphorus is not known: the sums leave it out.
    pub without_phosphorus: Vec<String>,
    /// Feedstocks whose potassium is not known.
    pub without_potassium: Vec<String>,
    /// Keys into the sources of every rule used here.
    pub source_keys: Vec<&'static str>,
}

/// Sources of the rules on germs, waiting, nitrogen, dressing, dilution and worth.
pub const SOURCE_KEYS: [&[&str]; 4] = [
    hygiene::HOT_KEYS,
    hygiene::WARM_KEYS,
    land::NITROGEN_KEYS,
    &["USDA-NOP", "NOP205", "NVZ", "FAO29", "RB209"],
];

/// Puts the worlds' outflow together.
pub fn summarise(plan: &Plan, dates: &[Date], runs: &[WorldRun]) -> Digestate {
    if runs.is_empty() {
        return Digestate::default();
    }
    let barred = in_vessel(plan).any(bars_food) || plan.first_fill.has_human_seed();
    let followed: Vec<_> = runs.iter().map(progress).collect();
    let months = months(dates, runs, &followed, barred);
    let outs: Vec<Matter> = runs.iter().map(|r| sum(&r.ran_out)).collect();
    let q = |f: fn(&Progress) -> f64| {
        Quantiles::of(&mut followed.iter().map(|(_, last)| f(last)).collect::<Vec<_>>())
    };
    let held = MatterBands::of(&runs.iter().map(|r| r.held).collect::<Vec<_>>());
    let missing = |known: fn(&crate::feed::Feedstock) -> bool| {
        in_vessel(plan)
            .filter(|f| !known(f))
            .map(|f| f.name.clone())
            .collect()
    };
    Digestate {
        worst_class: months.iter().filter_map(|m: &MonthDigestate| m.class).max(),
        held_class: (held.litres.p50 > 0.0)
            .then(|| class(q(|p| p.held_hot).p10, q(|p| p.digested_warm).p10, barred)),
        land: land(plan, dates, runs, &outs),
        ran_out: MatterBands::of(&outs),
        held,
        months,
        without_phosphorus: missing(|f| f.phosphorus_of_ts.is_some()),
        without_potassium: missing(|f| f.potassium_of_ts.is_some()),
        source_keys: SOURCE_KEYS.concat(),
    }
}

/// Feedstocks that go into the vessel, each once, in the plan's order.
fn in_vessel(plan: &Plan) -> impl Iterator<Item = &crate::feed::Feedstock> {
    plan.feedstocks.iter().enumerate().filter_map(|(i, f)| {
        let fed =
            plan.vessel.mode != VesselMode::Batch && plan.waste.iter().any(|w| w.feedstock == i);
        (fed || plan.first_fill.feed.iter().any(|&(k, _)| k == i)).then_some(f)
    })
}

fn sum(months: &[Matter]) -> Matter {
    let mut out = Matter::default();
    for month in months {
        out.add(month);
    }
    out
}

fn months(
    dates: &[Date],
    runs: &[WorldRun],
    followed: &[(Vec<Progress>, Progress)],
    barred: bool,
) -> Vec<MonthDigestate> {
    let mut out = Vec::new();
    for (
        number,
        std::ops::Range {
            start: from,
            end: to,
        },
    ) in calendar::month_ranges(dates).into_iter().enumerate()
    {
        let (year, month) = (dates[from].year(), dates[from].month());
        let each: Vec<Matter> = runs
            .iter()
            .map(|r| r.ran_out.get(number).copied().unwrap_or_default())
            .collect();
        let matter = MatterBands::of(&each);
        // Mean over what ran out, litre by litre.
        let mean = |f: fn(&Progress) -> f64| {
            let mut values: Vec<f64> = runs
                .iter()
                .zip(followed)
                .zip(&each)
                .map(|((run, (leaving, _)), all)| {
                    let sum: f64 = (from..to)
                        .map(|d| run.days[d].ran_out_l * f(&leaving[d]))
                        .sum();
                    if all.litres > 0.0 {
                        sum / all.litres
                    } else {
                        0.0
                    }
                })
                .collect();
            Quantiles::of(&mut values)
        };
        let (held_hot_share, digested_warm_share) =
            (mean(|p| p.held_hot), mean(|p| p.digested_warm));
        out.push(MonthDigestate {
            year,
            month,
            class: (matter.litres.p50 > 0.0)
                .then(|| class(held_hot_share.p10, digested_warm_share.p10, barred)),
            matter,
            held_hot_share,
            digested_warm_share,
        });
    }
    out
}

/// Days of a year for rates.
const YEAR: f64 = 365.0;

fn land(plan: &Plan, dates: &[Date], runs: &[WorldRun], outs: &[Matter]) -> Land {
    let q = |values: Vec<f64>| Quantiles::of(&mut values.clone());
    // A run of less than a year is spread within one.
    let per_year = YEAR / (dates.len() as f64).max(YEAR);
    let nitrogen_g_l = |m: &Matter| 1000.0 * m.nitrogen_kg / m.litres;
    // Where nothing runs out the vessel is emptied after the last day.
    let all: Vec<Matter> = outs
        .iter()
        .zip(runs)
        .map(|(out, run)| if out.litres > 0.0 { *out } else { run.held })
        .collect();
    let closed_months = land::cold_months(plan);
    Land {
        wait_touching_soil_days: wait("raw manure to harvest, crop touches soil"),
        wait_off_soil_days: wait("raw manure to harvest, crop off the soil"),
        least_area_m2: q(all
            .iter()
            .map(|m| area_m2(m.nitrogen_kg * per_year))
            .collect()),
        litres_per_m2_year: q(all
            .iter()
            .filter(|m| m.nitrogen_kg > 0.0)
            .map(|m| dressing_l_m2(land::NITROGEN_KG_HA_YEAR, nitrogen_g_l(m)))
            .collect()),
        water_parts_near_plants: land::WATER_PARTS_NEAR_PLANTS,
        first_season_share: [land::FIRST_SEASON.0, land::FIRST_SEASON.1],
        closed_season_l: q(runs
            .iter()
            .map(|r| {
                let litres: Vec<f64> = r.days.iter().map(|d| d.ran_out_l).collect();
                land::most_over_cold_season(dates, &litres, &closed_months)
            })
            .collect()),
        closed_months,
    }
}

/// A waiting time of `safety_limits.csv`, days.
fn wait(name: &str) -> f64 {
    let row = safety_limits()
        .iter()
        .find(|r| r.hazard == "digestate hygiene" && r.name == name);
    row.and_then(|r| r.value).unwrap_or(f64::NAN)
}

/// First harvest after spreading on `date`.
pub fn first_harvest(spread: Date, wait_days: f64) -> Date {
    spread.saturating_add((wait_days.ceil() as i64).days())
}
