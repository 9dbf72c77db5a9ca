//! From the plan's gas side and the worlds' daily gas to what is burned, wasted
//! and missed.

mod bands;
mod build;

#[cfg(test)]
mod tests;

use rayon::prelude::*;

use crate::gas::train::{CARBON_DIOXIDE, Gas, METHANE, REST, Run, SULFIDE, Train, run, washed};
use crate::plan::Plan;
use crate::world::draw::WorldDraw;
use crate::world::{DayRow, WorldRun};

pub use bands::{
    GasTrain, Litres, StoreBands, StoreDay, TrainMonth, TrapBands, UseBand, UseMonth, WashBands,
};

/// Share of the burnable gas that the smallest store may lose beyond what a
/// store for [`AMPLE_DAYS`] would (judgement).
pub const CHOSEN_LOSS: f64 = 0.05;
/// Best days' gas that an ample household store holds (judgement): beyond it a
/// store no longer bridges days but seasons.
const AMPLE_DAYS: f64 = 3.0;

/// One world's train.
#[derive(Debug, Clone)]
struct WorldTrain {
    run: Run,
    /// Water dropped before the store, g, each day.
    water_g: Vec<f64>,
    /// Days on which the trap may freeze.
    frozen_days: u32,
    /// Smallest store, L.
    smallest_l: Option<f64>,
}

/// Runs the train of every world; `None` when the plan has no gas side.
pub fn summarise(plan: &Plan, draws: &[WorldDraw], runs: &[WorldRun]) -> Option<GasTrain> {
    if plan.gas_side.is_empty() || runs.is_empty() {
        return None;
    }
    let common = build::Common::new(plan, runs);
    let worlds: Vec<WorldTrain> = runs
        .par_iter()
        .zip(draws)
        .map(|(world, draw)| one(plan, &common, draw, &world.days))
        .collect();
    Some(bands::gather(plan, &common, &worlds))
}

/// What one world's train does for those who use it.
#[derive(Debug, Clone, PartialEq)]
pub struct Service {
    /// For each use, for each day: share of the day's need that was met; NaN out of season.
    pub met: Vec<Vec<f64>>,
    /// For each wash, days on which it was spent.
    pub spent_days: Vec<u32>,
    /// Share of the methane made that was burned.
    pub burned_share: f64,
    /// Share that was let go, leaked, went through the skin or dissolved.
    pub lost_share: f64,
}

/// Runs the train of every world for its uses and washes alone.
pub fn service(plan: &Plan, draws: &[WorldDraw], runs: &[WorldRun]) -> Vec<Service> {
    let common = build::Common::new(plan, runs);
    runs.par_iter()
        .zip(draws)
        .map(|(world, draw)| {
            let gas: Vec<Gas> = world.days.iter().map(of_day).collect();
            let world = build::World::new(plan, &common, draw);
            let done = run(&world.train, &gas, &world.around, true);
            let account = &done.account;
            let made = account.made[METHANE].max(1e-12);
            let lost = account.vented[METHANE]
                + account.leaked[METHANE]
                + account.permeated[METHANE]
                + account.dissolved[METHANE];
            Service {
                burned_share: account.burned[METHANE] / made,
                lost_share: lost / made,
                met: done.met,
                spent_days: done.spent_days,
            }
        })
        .collect()
}

fn one(plan: &Plan, common: &build::Common, draw: &WorldDraw, rows: &[DayRow]) -> WorldTrain {
    let gas: Vec<Gas> = rows.iter().map(of_day).collect();
    let world = build::World::new(plan, common, draw);
    let done = run(&world.train, &gas, &world.around, true);
    WorldTrain {
        smallest_l: smallest_store(&world, &gas, common),
        water_g: world.water_g(rows),
        frozen_days: world.frozen_days,
        run: done,
    }
}

/// The day's gas by kinds, dry normal litres.
fn of_day(row: &DayRow) -> Gas {
    let all = row.gas_dry_l.max(0.0);
    let mut gas = Gas::default();
    gas[METHANE] = (row.methane_share * all).clamp(0.0, all);
    gas[CARBON_DIOXIDE] = (row.co2_share * all).clamp(0.0, all - gas[METHANE]);
    gas[SULFIDE] = (row.h2s_ppm * 1e-6 * all).clamp(0.0, all - gas[METHANE] - gas[CARBON_DIOXIDE]);
    gas[REST] = (all - gas[METHANE] - gas[CARBON_DIOXIDE] - gas[SULFIDE]).max(0.0);
    gas
}

/// The smallest store that wastes no more than [`CHOSEN_LOSS`] of the burnable
/// gas beyond what an ample store would, L, to 0.2 %; each try runs all hours. `None`
/// without uses or without gas that burns.
fn smallest_store(world: &build::World, gas: &[Gas], common: &build::Common) -> Option<f64> {
    if world.train.burns.is_empty() {
        return None;
    }
    let base = world.train.store.unwrap_or(build::plain_holder());
    // The washes do the same whatever the store.
    let gas = washed(&world.train, gas);
    let mut train = Train {
        washes: Vec::new(),
        store: None,
        burns: world.train.burns.clone(),
    };
    let mut wasted = |litres: f64| {
        train.store = Some(base.scaled(litres / base.full_l.max(1e-9)));
        let done = run(&train, &gas, &world.around, false);
        (done.wasted_l, done.burnable_l)
    };
    let mut high = AMPLE_DAYS * common.greatest_day_l.max(1.0);
    let (least, burnable) = wasted(high);
    if burnable <= 0.0 {
        return None;
    }
    let allowed = least + CHOSEN_LOSS * burnable;
    let mut low = high / 2000.0;
    let (mut over, mut under) = (wasted(low).0 - allowed, least - allowed);
    if over <= 0.0 {
        return Some(low);
    }
    // The waste falls with the logarithm of the size. Tried is where the line between
    // the ends crosses, a hair towards the end that stayed, so that both close in; its
    // weight is halved (Illinois rule; from memory). Slow cases are halved plainly.
    let mut stayed = 0i32;
    for tries in 0.. {
        if high <= 1.002 * low {
            break;
        }
        let part = if tries < 10 {
            over / (over - under)
        } else {
            0.5
        };
        let hair = 1.0 - 8e-4 * f64::from(stayed);
        let middle = low * (high / low).powf(part.clamp(0.02, 0.98));
        let middle = (middle * hair).clamp(1.0005 * low, high / 1.0005);
        let found = wasted(middle).0 - allowed;
        if found <= 0.0 {
            (high, under) = (middle, found);
            over *= if stayed > 0 { 0.5 } else { 1.0 };
            stayed = 1;
        } else {
            (low, over) = (middle, found);
            under *= if stayed < 0 { 0.5 } else { 1.0 };
            stayed = -1;
        }
    }
    Some(high)
}
