//! The worlds' trains together.

use jiff::ToSpan;
use jiff::civil::Date;
use serde::Serialize;
use uom::si::mass::kilogram;
use uom::si::volume::liter;

use crate::world::calendar;

use super::build::{Common, methane_l_day};
use super::{CHOSEN_LOSS, WorldTrain};
use crate::band::Quantiles;
use crate::gas::appliances::Appliance;
use crate::gas::train::{Account, Gas, METHANE, SULFIDE};
use crate::plan::{GasUse, JarAlkali, Plan, Wanted, Wash, WashKind};
use crate::world::pressures::{
    BackPressure, BurnerPressure, back_pressure, burner, full_pa, store,
};

/// What becomes of the gas, over all worlds. Litres are dry at 0 degC and 101.325 kPa.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct GasTrain {
    /// What holds the vessel's gas back.
    pub back_pressure: BackPressure,
    /// Where the gas of the whole run went.
    pub whole: Litres,
    /// Gas that would burn and was let go, as a share of all that would burn.
    pub wasted_share: Quantiles,
    /// Hours in which something was wanted and not all of it could burn.
    pub short_hours: Quantiles,
    /// Hours in which something was wanted.
    pub wanted_hours: f64,
    /// H2S of the gas burned, ppm.
    pub burned_h2s_ppm: Quantiles,
    /// Methane share of the gas burned.
    pub burned_methane_share: Quantiles,
    /// Month by month.
    pub months: Vec<TrainMonth>,
    /// The uses, in the plan's order.
    pub uses: Vec<UseBand>,
    /// The washes, in the plan's order.
    pub washes: Vec<WashBands>,
    /// The trap, if there is one.
    pub trap: Option<TrapBands>,
    /// Water dropped on the way, g a week (the line must drain it if there is no trap).
    pub condensate_g_per_week: Quantiles,
    /// The store.
    pub store: StoreBands,
}

/// Where gas went, dry normal litres.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Litres {
    /// Left the vessel.
    pub made_l: Quantiles,
    /// Burned in the uses.
    pub burned_l: Quantiles,
    /// Let go by the relief, too poor to burn at first or too much later.
    pub vented_l: Quantiles,
    /// Of it, gas that would have burned.
    pub wasted_l: Quantiles,
    /// Taken up by the washes.
    pub washed_out_l: Quantiles,
    /// Dissolved in the store's bath.
    pub dissolved_l: Quantiles,
    /// Through the store's skin.
    pub permeated_l: Quantiles,
    /// At seams and fittings.
    pub leaked_l: Quantiles,
    /// In the store at the end.
    pub stored_l: Quantiles,
}

/// One calendar month.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TrainMonth {
    /// Year.
    pub year: i16,
    /// Month, 1 = January.
    pub month: i8,
    /// Days of it inside the forecast.
    pub days: u32,
    /// Burned a day, dry normal litres.
    pub burned_l_per_day: Quantiles,
    /// Let go a day, dry normal litres.
    pub vented_l_per_day: Quantiles,
    /// Hours short, in the month.
    pub short_hours: Quantiles,
    /// Uses, in the plan's order.
    pub uses: Vec<UseMonth>,
}

/// One use in one month, in the use's unit.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct UseMonth {
    /// Wanted.
    pub wanted: f64,
    /// Covered by the gas.
    pub covered: Quantiles,
    /// Missed.
    pub missed: Quantiles,
}

/// One use over the whole run.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct UseBand {
    /// What burns.
    pub appliance: Appliance,
    /// Unit of the amounts: `kettles`, `litres` or `hours`.
    pub unit: &'static str,
    /// Wanted on a day in its season.
    pub wanted_per_day: f64,
    /// Wanted in the run.
    pub wanted: f64,
    /// Covered by the gas.
    pub covered: Quantiles,
    /// Missed.
    pub missed: Quantiles,
    /// Share covered.
    pub covered_share: Quantiles,
    /// Methane a day of it takes, dry normal litres.
    pub methane_l_per_day: f64,
    /// Pressure at the burner, where it can be worked out.
    pub burner: Option<BurnerPressure>,
}

/// One wash.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WashBands {
    /// In words.
    pub label: String,
    /// Share of the worlds in which the first filling is spent within the run.
    pub spent_share_of_worlds: f64,
    /// Day since the fill on which the first filling is spent, over those worlds.
    pub spent_day: Option<Quantiles>,
    /// The same as dates.
    pub spent_dates: Option<[Date; 3]>,
    /// Gas that passed the first filling before it was spent, over those worlds,
    /// dry normal litres.
    pub gas_per_filling_l: Option<Quantiles>,
    /// Share of all days on which it was spent, renewals as planned.
    pub spent_share_of_days: Quantiles,
}

/// The water trap.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct TrapBands {
    /// What it takes, L.
    pub volume_l: f64,
    /// Days to fill in the wettest week.
    pub days_to_fill: Quantiles,
    /// Days a year with four hours and more below freezing where it stands.
    pub freezing_days_per_year: Quantiles,
}

/// The store through a usual day of a quarter of the year.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StoreDay {
    /// First month of the quarter, 1 = January (12, 3, 6 or 9).
    pub from_month: i8,
    /// How full it is at the end of each hour, midnight to one first, mean of the
    /// quarter's days: 0 empty, 1 when the relief opens.
    pub filled_share: Vec<Quantiles>,
}

/// The store.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StoreBands {
    /// Its volume by the tape, L; `None` when the plan has no store.
    pub tape_l: Option<f64>,
    /// Its volume when the relief opens, L.
    pub full_l: Option<f64>,
    /// Its pressure half full, Pa.
    pub half_full_pa: Option<f64>,
    /// Its pressure when the relief opens, Pa.
    pub full_pa: Option<f64>,
    /// Share of the days on which it lets gas go.
    pub overfull_share_of_days: Quantiles,
    /// Loss allowed to the smallest store, share of the burnable gas.
    pub chosen_loss_share: f64,
    /// The smallest store that wastes no more than that beyond what a store of
    /// three of the best days' gas would, L when full; `None` without uses or burnable gas.
    pub smallest_l: Option<Quantiles>,
    /// A usual day of each quarter of the year that the run touches.
    pub usual_days: Vec<StoreDay>,
}

/// The store through a usual day of each quarter; empty without a store.
fn usual_days(plan: &Plan, worlds: &[WorldTrain]) -> Vec<StoreDay> {
    if plan.gas_side.store.is_none() {
        return Vec::new();
    }
    let touched = |q: &usize| worlds.iter().any(|w| w.run.quarter_days[*q] > 0);
    (0..4)
        .filter(touched)
        .map(|q| StoreDay {
            from_month: [12, 3, 6, 9][q],
            filled_share: (0..24)
                .map(|h| {
                    over(worlds, |w| {
                        w.run.filled_by_hour[q][h] / f64::from(w.run.quarter_days[q].max(1))
                    })
                })
                .collect(),
        })
        .collect()
}

fn over(worlds: &[WorldTrain], f: impl Fn(&WorldTrain) -> f64) -> Quantiles {
    Quantiles::of(&mut worlds.iter().map(f).collect::<Vec<_>>())
}

/// Puts the worlds together.
pub(super) fn gather(plan: &Plan, common: &Common, worlds: &[WorldTrain]) -> GasTrain {
    let dates: Vec<Date> = (0..plan.days)
        .map(|d| plan.start.saturating_add(i64::from(d).days()))
        .collect();
    let side = &plan.gas_side;
    let ratio = |a: f64, b: f64| if b > 0.0 { a / b } else { 0.0 };
    let burned = |g: usize| {
        move |w: &WorldTrain| {
            let burned = &w.run.account.burned;
            ratio(burned[g], total(burned))
        }
    };
    let days = f64::from(plan.days.max(1));
    GasTrain {
        back_pressure: back_pressure(plan),
        whole: litres(worlds),
        wasted_share: over(worlds, |w| ratio(w.run.wasted_l, w.run.burnable_l)),
        short_hours: over(worlds, |w| w.run.short_h),
        wanted_hours: worlds.first().map_or(0.0, |w| w.run.wanted_h),
        burned_h2s_ppm: over(worlds, burned(SULFIDE)).map(|v| v * 1e6),
        burned_methane_share: over(worlds, burned(METHANE)),
        months: months(plan, &dates, worlds),
        uses: side
            .uses
            .iter()
            .enumerate()
            .map(|(i, u)| use_band(plan, common, worlds, i, u))
            .collect(),
        washes: side
            .washes
            .iter()
            .enumerate()
            .map(|(i, w)| wash_bands(w, &dates, worlds, i))
            .collect(),
        trap: side.trap.as_ref().map(|t| {
            let volume_l = t.volume.get::<liter>();
            TrapBands {
                volume_l,
                days_to_fill: over(worlds, |w| {
                    volume_l * 1000.0 * 7.0 / wettest_week_g(&w.water_g)
                }),
                freezing_days_per_year: over(worlds, |w| f64::from(w.frozen_days) * 365.0 / days),
            }
        }),
        condensate_g_per_week: over(worlds, |w| w.water_g.iter().sum::<f64>() * 7.0 / days),
        store: store_bands(plan, worlds),
    }
}

fn total(gas: &Gas) -> f64 {
    gas.iter().sum()
}

fn litres(worlds: &[WorldTrain]) -> Litres {
    let q = |f: fn(&Account) -> &Gas| over(worlds, |w| total(f(&w.run.account)));
    Litres {
        made_l: q(|a| &a.made),
        burned_l: q(|a| &a.burned),
        vented_l: q(|a| &a.vented),
        wasted_l: over(worlds, |w| w.run.wasted_l),
        washed_out_l: q(|a| &a.washed_out),
        dissolved_l: q(|a| &a.dissolved),
        permeated_l: q(|a| &a.permeated),
        leaked_l: q(|a| &a.leaked),
        stored_l: q(|a| &a.stored),
    }
}

/// Water of the wettest seven days on end, g; never nothing, so that a trap's
/// time stays a number.
fn wettest_week_g(water_g: &[f64]) -> f64 {
    water_g
        .windows(7.min(water_g.len().max(1)))
        .map(|w| w.iter().sum::<f64>() * 7.0 / w.len() as f64)
        .fold(1e-3, f64::max)
}

fn unit(u: &GasUse) -> (&'static str, f64) {
    match u.wanted {
        Wanted::Kettles(n) => ("kettles", n),
        Wanted::Water(v) => ("litres", v.get::<liter>()),
        Wanted::AllItsHours => ("hours", u.hours_per_day()),
    }
}

/// Days of the span on which the use is wanted, and the share-days met.
fn met(rows: &[f64]) -> (f64, f64) {
    rows.iter()
        .filter(|m| !m.is_nan())
        .fold((0.0, 0.0), |(days, met), m| (days + 1.0, met + m))
}

fn use_band(plan: &Plan, common: &Common, worlds: &[WorldTrain], i: usize, u: &GasUse) -> UseBand {
    let (unit, per_day) = unit(u);
    let wanted_days = common.months.iter().filter(|m| u.months[**m]).count() as f64;
    let covered = over(worlds, |w| per_day * met(&w.run.met[i]).1);
    let missed = over(worlds, |w| per_day * (wanted_days - met(&w.run.met[i]).1));
    UseBand {
        appliance: u.appliance,
        unit,
        wanted_per_day: per_day,
        wanted: per_day * wanted_days,
        covered,
        missed,
        covered_share: covered.map(|c| c / (per_day * wanted_days).max(1e-12)),
        methane_l_per_day: methane_l_day(u),
        burner: burner(plan, u),
    }
}

fn months(plan: &Plan, dates: &[Date], worlds: &[WorldTrain]) -> Vec<TrainMonth> {
    let mut out = Vec::new();
    for std::ops::Range {
        start: from,
        end: to,
    } in calendar::month_ranges(dates)
    {
        let (year, month) = (dates[from].year(), dates[from].month());
        let n = (to - from) as f64;
        let sum = |f: fn(&crate::gas::train::Day) -> f64| {
            over(worlds, |w| w.run.days[from..to].iter().map(f).sum::<f64>())
        };
        let uses = plan.gas_side.uses.iter().enumerate().map(|(i, u)| {
            let per_day = unit(u).1;
            let wanted = worlds
                .first()
                .map_or(0.0, |w| met(&w.run.met[i][from..to]).0);
            UseMonth {
                wanted: per_day * wanted,
                covered: over(worlds, |w| per_day * met(&w.run.met[i][from..to]).1),
                missed: over(worlds, |w| {
                    per_day * (wanted - met(&w.run.met[i][from..to]).1)
                }),
            }
        });
        out.push(TrainMonth {
            year,
            month,
            days: n as u32,
            burned_l_per_day: sum(|d| d.burned_l).map(|v| v / n),
            vented_l_per_day: sum(|d| d.vented_l).map(|v| v / n),
            short_hours: sum(|d| d.short_h),
            uses: uses.collect(),
        });
    }
    out
}

fn wash_bands(wash: &Wash, dates: &[Date], worlds: &[WorldTrain], i: usize) -> WashBands {
    let mut found: Vec<f64> = worlds
        .iter()
        .filter_map(|w| w.run.spent[i])
        .map(|d| d as f64)
        .collect();
    let spent_share_of_worlds = found.len() as f64 / worlds.len().max(1) as f64;
    let spent_day = (!found.is_empty()).then(|| Quantiles::of(&mut found));
    let date = |d: f64| dates[(d.round() as usize).min(dates.len() - 1)];
    let mut passed: Vec<f64> = worlds
        .iter()
        .filter(|w| w.run.spent[i].is_some())
        .map(|w| w.run.filling_l[i])
        .collect();
    WashBands {
        label: label(wash),
        spent_share_of_worlds,
        spent_day,
        spent_dates: spent_day.map(|q| [date(q.p10), date(q.p50), date(q.p90)]),
        gas_per_filling_l: (!passed.is_empty()).then(|| Quantiles::of(&mut passed)),
        spent_share_of_days: over(worlds, |w| {
            f64::from(w.run.spent_days[i]) / dates.len().max(1) as f64
        }),
    }
}

fn label(wash: &Wash) -> String {
    let kg = wash.mass.get::<kilogram>();
    let mass = if kg < 1.0 {
        format!("{:.0} g", kg * 1000.0)
    } else {
        format!("{kg:.1} kg")
    };
    match wash.kind {
        WashKind::LyeJar { alkali, liquor, .. } => {
            let what = match alkali {
                JarAlkali::WoodAsh => "wood ash",
                JarAlkali::Pure(a) => a.name(),
            };
            format!(
                "lye jar, {mass} of {what} in {:.1} L",
                liquor.get::<liter>()
            )
        }
        WashKind::AshBed { .. } => format!("bed of {mass} of moist wood ash"),
        WashKind::IronPacking { medium, .. } => format!("{mass} of {}", medium.name()),
    }
}

fn store_bands(plan: &Plan, worlds: &[WorldTrain]) -> StoreBands {
    let it = plan.gas_side.store.as_ref().map(store);
    let full = full_pa(plan);
    let mut smallest: Vec<f64> = worlds.iter().filter_map(|w| w.smallest_l).collect();
    StoreBands {
        tape_l: it.map(|s| s.shape.volume_m3() * 1000.0),
        full_l: it.map(|s| s.full_l(full)),
        half_full_pa: it.map(|s| s.pressure_pa(0.5)),
        full_pa: it.map(|_| full),
        overfull_share_of_days: over(worlds, |w| {
            let days = &w.run.days;
            days.iter().filter(|d| d.vented_l > 1.0).count() as f64 / days.len().max(1) as f64
        }),
        chosen_loss_share: CHOSEN_LOSS,
        smallest_l: (!smallest.is_empty()).then(|| Quantiles::of(&mut smallest)),
        usual_days: usual_days(plan, worlds),
    }
}
