//! One world from the first fill to the last day.

pub mod additive;
pub mod calendar;
pub mod draw;
pub mod fractionate;
pub mod heap;
pub mod inferred;
pub mod known;
mod matter;
pub mod mix;
pub mod outcome;
pub mod plant;
pub mod pressures;
pub mod seed;

#[cfg(test)]
mod tests;

pub use matter::{Counter, Matter};

use std::sync::atomic::{AtomicBool, Ordering};

use uom::si::ratio::ratio;
use uom::si::thermodynamic_temperature::degree_celsius;

use crate::gas::volume::DRY_LITRES_PER_KMOL;
use crate::plan::{DoseTime, Plan, SlurryTemperature};
use crate::warmth::{self, WarmthError, WarmthInput, WarmthResult};
use crate::weather;
use calendar::DayFeed;
use draw::WorldDraw;
use fenlamp_adm1::constants::Constants;
use fenlamp_adm1::solver::{Effort, Failure, Pack};
use fenlamp_adm1::{Cohort, DayGas, Digestion, Tank};
use fractionate::{FeedDraw, Fractions};
use heap::HeapMonth;
use plant::Plant;

/// What all worlds of a plan share: the model and the feedstocks' fractions.
#[derive(Debug, Clone)]
pub struct Shared {
    /// The digestion model with one pool a feedstock.
    pub model: Digestion,
    /// Fractions of each feedstock of the plan.
    pub fractions: Vec<Fractions>,
    /// What the states weigh.
    pub counter: Counter,
}

impl Shared {
    /// Carbon of each feed pool in a world beyond what the pools share, kmol C/kg COD.
    pub fn feed_carbon(&self, feed: &[FeedDraw]) -> Vec<f64> {
        let each = self.fractions.iter().zip(feed);
        each.map(|(fractions, feed)| fractions.more_carbon(feed.carbon, &self.model.constants))
            .collect()
    }

    /// For `plan`.
    pub fn new(plan: &Plan) -> Self {
        let c = Constants::reference();
        let fractions: Vec<Fractions> = plan
            .feedstocks
            .iter()
            .map(|f| Fractions::new(f, &c))
            .collect();
        let pools = plan
            .feedstocks
            .iter()
            .zip(&fractions)
            .map(|(f, fr)| fr.pool(f.hydrolysis_per_d.mid, &c))
            .collect();
        let model = Digestion::new(c, pools);
        Shared {
            counter: Counter::new(&model.content, &plan.feedstocks, &fractions),
            model,
            fractions,
        }
    }
}

/// One day of one world.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct DayRow {
    /// Mean slurry temperature, degC.
    pub slurry_c: f64,
    /// Fed with water, kg.
    pub fed_kg: f64,
    /// Feed that did not fit, kg.
    pub refused_kg: f64,
    /// Volatile solids fed per m3 of slurry, kg/(m3 d).
    pub loading_kg_vs_m3_d: f64,
    /// Slurry in the vessel, L.
    pub slurry_l: f64,
    /// Gas of the day, dry, 0 degC and 101.325 kPa, L.
    pub gas_dry_l: f64,
    /// Gas as a bag at the air's temperature shows it, wet, L.
    pub gas_wet_l: f64,
    /// Methane in it, dry normal litres.
    pub methane_l: f64,
    /// Methane share of the dry gas that left (of the headspace when none did).
    pub methane_share: f64,
    /// Carbon dioxide share of the same.
    pub co2_share: f64,
    /// H2S in the dry gas, ppm by volume.
    pub h2s_ppm: f64,
    /// pH (the lowest of the stages).
    pub ph: f64,
    /// Volatile acids as acetic, mg/L.
    pub acids_mg_l: f64,
    /// Ammonium and ammonia nitrogen, mg N/L.
    pub ammonium_mg_n_l: f64,
    /// Free ammonia, mg N/L.
    pub free_ammonia_mg_n_l: f64,
    /// Oxygen in the headspace, dry mole share.
    pub headspace_oxygen: f64,
    /// Methane in the headspace, dry mole share.
    pub headspace_methane: f64,
    /// Hydrogen in the headspace, dry mole share.
    pub headspace_hydrogen: f64,
    /// What ran over or was drawn off, L.
    pub ran_out_l: f64,
}

impl DayRow {
    /// Volatile solids fed, kg.
    pub fn vs_fed_kg(&self) -> f64 {
        self.loading_kg_vs_m3_d * self.slurry_l / 1000.0
    }
}

/// What is kept of a world's heat balance; the rest would fill the memory of a
/// large ensemble.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Warm {
    /// Days with ice in the slurry.
    pub frozen_days: u32,
    /// Hottest that any shell of the heap became, degC, where there is a heap.
    pub heap_hottest_c: Option<f64>,
}

impl From<&WarmthResult> for Warm {
    fn from(full: &WarmthResult) -> Self {
        let top = |days: &Vec<f64>| days.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        Warm {
            frozen_days: full.frozen_days,
            heap_hottest_c: full.heap_hottest_c.as_ref().map(top),
        }
    }
}

/// Where the volatile solids are at the end of a calendar month, kg.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct MonthSolids {
    /// Put in since the beginning, fill and seed included.
    pub put_in_kg: f64,
    /// In the vessel.
    pub held_kg: f64,
}

/// A finished world.
#[derive(Debug, Clone, Default)]
pub struct WorldRun {
    /// One row a day.
    pub days: Vec<DayRow>,
    /// What ran over or was drawn off in each calendar month of the run: by the
    /// day it would be a quarter of the memory of a large ensemble.
    pub ran_out: Vec<Matter>,
    /// Volatile solids at the end of each calendar month of the run.
    pub solids: Vec<MonthSolids>,
    /// All that went in: fill, seed, water, feed, doses.
    pub put_in: Matter,
    /// What the vessel holds after the last day.
    pub held: Matter,
    /// The heat balance, where it ran.
    pub warmth: Option<Warm>,
    /// The heap by month, where there is one and the heat balance ran.
    pub heap: Vec<HeapMonth>,
    /// Work of the solver.
    pub effort: Effort,
}

/// A world could not be run to its end.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum WorldError {
    /// The equations of a day could not be solved.
    #[error("day {day} of the forecast: {source}")]
    Digestion {
        /// Day, from 0.
        day: usize,
        /// How far the solver came.
        source: Failure,
    },
    /// The heat balance refused its input.
    #[error("the heat balance: {0}")]
    Warmth(#[from] WarmthError),
    /// Someone asked to stop.
    #[error("stopped before the end")]
    Cancelled,
}

/// Relative tolerance of the solver in a forecast: daily gas within 0.2 % of
/// the tight solution (a test measures it).
pub const RELATIVE_TOLERANCE: f64 = 2.5e-4;
/// The engine is not asked below this slurry temperature, degC (ice).
pub(super) const COLDEST_C: f64 = 0.0;

/// Runs one world.
///
/// # Errors
/// [`WorldError`]: the solver gave up, or the heat balance refused its input.
pub fn run(plan: &Plan, shared: &Shared, draw: &WorldDraw) -> Result<WorldRun, WorldError> {
    run_with_tolerance(plan, shared, draw, RELATIVE_TOLERANCE)
}

/// As [`run`] with a chosen relative tolerance.
///
/// # Errors
/// As [`run`].
pub fn run_with_tolerance(
    plan: &Plan,
    shared: &Shared,
    draw: &WorldDraw,
    relative_tolerance: f64,
) -> Result<WorldRun, WorldError> {
    let mut runs =
        run_together::<f64>(plan, shared, std::slice::from_ref(draw), relative_tolerance)?;
    Ok(runs.remove(0))
}

/// Runs up to [`Pack::WIDTH`] worlds in lockstep: the solver takes the steps that
/// the most demanding of them needs.
///
/// # Errors
/// As [`run`]; one world's failure is the group's.
pub fn run_together<T: Pack>(
    plan: &Plan,
    shared: &Shared,
    draws: &[WorldDraw],
    relative_tolerance: f64,
) -> Result<Vec<WorldRun>, WorldError> {
    run_until::<T>(
        plan,
        shared,
        draws,
        relative_tolerance,
        &AtomicBool::new(false),
    )
}

/// As [`run_together`], ended within a day of the run when `cancelled` is raised.
///
/// # Errors
/// As [`run_together`]; [`WorldError::Cancelled`].
pub fn run_until<T: Pack>(
    plan: &Plan,
    shared: &Shared,
    draws: &[WorldDraw],
    relative_tolerance: f64,
    cancelled: &AtomicBool,
) -> Result<Vec<WorldRun>, WorldError> {
    let mut lives = draws
        .iter()
        .map(|draw| Life::new(plan, shared, draw, relative_tolerance))
        .collect::<Result<Vec<_>, _>>()?;
    let stages = plan.vessel.stages.max(1) as usize;
    let mut cohorts: Vec<Cohort<T>> = (0..stages)
        .map(|_| Cohort::new(&shared.model, relative_tolerance))
        .collect();
    let mut gas = vec![vec![DayGas::default(); draws.len()]; stages];
    for day in 0..plan.days as usize {
        if cancelled.load(Ordering::Relaxed) {
            return Err(WorldError::Cancelled);
        }
        for life in &mut lives {
            life.morning(day);
        }
        let kelvin: Vec<f64> = lives
            .iter()
            .map(|l| l.slurry_c[day].max(COLDEST_C) + 273.15)
            .collect();
        for (stage, cohort) in cohorts.iter_mut().enumerate() {
            let mut tanks: Vec<&mut Tank> = lives
                .iter_mut()
                .map(|l| &mut l.plant.tanks[stage])
                .collect();
            cohort
                .live(&mut tanks, 1.0, &kelvin, &mut gas[stage])
                .map_err(|source| WorldError::Digestion { day, source })?;
        }
        for (w, life) in lives.iter_mut().enumerate() {
            life.evening(day, gas.iter().map(|stage| stage[w]));
        }
    }
    let mut effort = Effort::default();
    for cohort in &cohorts {
        let e = cohort.effort();
        effort.steps += e.steps;
        effort.rejected += e.rejected;
        effort.jacobians += e.jacobians;
    }
    Ok(lives
        .into_iter()
        .map(|l| WorldRun {
            days: l.days,
            ran_out: l.ran_out,
            solids: l.solids,
            put_in: l.plant.put_in,
            held: l.plant.held(),
            warmth: l.warmth,
            heap: l.heap,
            effort,
        })
        .collect())
}

/// One world under way.
struct Life<'a> {
    plant: Plant<'a>,
    feeds: Vec<DayFeed>,
    slurry_c: Vec<f64>,
    air_c: Vec<f64>,
    warmth: Option<Warm>,
    heap: Vec<HeapMonth>,
    /// Air to blow in with the next feed, kmol.
    air_kmol: f64,
    /// Refused this morning, kg.
    refused_kg: f64,
    days: Vec<DayRow>,
    /// Month of each day, 0 = January.
    months: Vec<usize>,
    ran_out: Vec<Matter>,
    solids: Vec<MonthSolids>,
}

impl<'a> Life<'a> {
    fn new(
        plan: &'a Plan,
        shared: &'a Shared,
        draw: &'a WorldDraw,
        relative_tolerance: f64,
    ) -> Result<Self, WorldError> {
        let feeds = feeds(plan, draw);
        let (mut slurry_c, air_c, warmth, heap) = temperatures(plan, draw, &feeds)?;
        for (day, c) in slurry_c.iter_mut().enumerate() {
            *c += draw.known.warmer(day);
        }
        let mut plant = Plant::new(plan, shared, draw, slurry_c[0], relative_tolerance);
        plant.fill();
        Ok(Life {
            plant,
            days: Vec::with_capacity(feeds.len()),
            months: calendar::months(plan),
            ran_out: Vec::new(),
            solids: Vec::new(),
            feeds,
            slurry_c,
            air_c,
            warmth,
            heap,
            air_kmol: 0.0,
            refused_kg: 0.0,
        })
    }

    /// Draw-off, doses, feed and air of the day.
    fn morning(&mut self, day: usize) {
        self.plant.before(day as u32);
        self.plant.dose(DoseTime::OnDay(day as u32), day as u32);
        self.plant.befall(day as u32);
        self.refused_kg = self.plant.feed(&self.feeds[day]);
        if self.air_kmol > 0.0 {
            self.plant.tanks[0].add_air(self.air_kmol);
        }
    }

    /// Writes the day down; `gas` is that of each stage.
    fn evening(&mut self, day: usize, gas: impl Iterator<Item = DayGas>) {
        let feed = &self.feeds[day];
        self.plant.adapt();
        let mut row = self.plant.row(self.slurry_c[day], self.air_c[day], gas);
        row.fed_kg = feed.total_kg() - self.refused_kg;
        row.refused_kg = self.refused_kg;
        let taken = row.fed_kg / feed.total_kg().max(1e-12);
        row.loading_kg_vs_m3_d = taken * self.plant.loading(feed);
        let out = std::mem::take(&mut self.plant.ran_out);
        row.ran_out_l = out.litres;
        if day == 0 || self.months[day] != self.months[day - 1] {
            self.ran_out.push(Matter::default());
        }
        if let Some(month) = self.ran_out.last_mut() {
            month.add(&out);
        }
        if self.months.get(day + 1) != Some(&self.months[day]) {
            self.solids.push(MonthSolids {
                put_in_kg: self.plant.put_in.volatile_solids_kg,
                held_kg: self.plant.held().volatile_solids_kg,
            });
        }
        self.air_kmol = self.plant.plan.gas_outlet.air_dose.get::<ratio>() * row.gas_dry_l
            / DRY_LITRES_PER_KMOL;
        self.days.push(row);
    }
}

/// Mean slurry temperature of each day in one world, degC, without its digestion.
///
/// # Errors
/// [`WorldError::Warmth`].
pub fn slurry_temperatures(plan: &Plan, draw: &WorldDraw) -> Result<Vec<f64>, WorldError> {
    Ok(temperatures(plan, draw, &feeds(plan, draw))?.0)
}

/// Feed of each day in this world, with the world's amounts.
fn feeds(plan: &Plan, draw: &WorldDraw) -> Vec<DayFeed> {
    let solids: Vec<f64> = plan
        .waste
        .iter()
        .map(|w| draw.feed[w.feedstock].total_solids)
        .collect();
    let mut feeds = calendar::daily_feed(plan, &solids);
    for (feed, fed) in feeds.iter_mut().zip(draw.known.fed.iter()) {
        if let Some(fed) = fed {
            feed.water_kg = fed
                .water_kg
                .unwrap_or_else(|| calendar::water(&plan.feeding.water, &fed.fresh_kg, &solids));
            feed.fresh_kg.clone_from(&fed.fresh_kg);
        }
    }
    for feed in &mut feeds {
        for (kg, factor) in feed.fresh_kg.iter_mut().zip(&draw.amount) {
            *kg *= factor;
        }
    }
    if let Some((from, share)) = draw.known.weaker_feed {
        for feed in feeds.iter_mut().skip(from as usize) {
            for kg in &mut feed.fresh_kg {
                feed.water_kg += *kg * (1.0 - share);
                *kg *= share;
            }
        }
    }
    feeds
}

/// Slurry and air temperature of each day, degC, and if it ran the heat balance and the heap by
/// month.
type Temperatures = (Vec<f64>, Vec<f64>, Option<Warm>, Vec<HeapMonth>);

fn temperatures(
    plan: &Plan,
    draw: &WorldDraw,
    feeds: &[DayFeed],
) -> Result<Temperatures, WarmthError> {
    let days = feeds.len();
    let hourly = weather::hourly(
        &plan.weather,
        &plan.place,
        plan.start,
        plan.days,
        &draw.weather,
    );
    let air: Vec<f64> = hourly
        .air_c
        .chunks(24)
        .map(|d| d.iter().sum::<f64>() / d.len() as f64)
        .collect();
    let repeat = |values: &[f64]| {
        (0..days)
            .map(|d| values[d % values.len()])
            .collect::<Vec<_>>()
    };
    Ok(match &plan.slurry_temperature {
        SlurryTemperature::Fixed(t) => {
            (vec![t.get::<degree_celsius>(); days], air, None, Vec::new())
        }
        SlurryTemperature::Series { daily_c, .. } => (repeat(daily_c), air, None, Vec::new()),
        SlurryTemperature::HeatBalance => {
            let feed_kg: Vec<f64> = feeds.iter().map(DayFeed::total_kg).collect();
            let result = warmth::slurry_temperatures(&WarmthInput {
                weather: &hourly,
                place: &plan.place,
                vessel: &plan.vessel,
                insulation: &plan.insulation,
                heap: plan.heap.as_ref(),
                heater: plan.heater.as_ref(),
                feed_kg_per_day: &feed_kg,
                feed_c: None,
                start: plan.start,
                draw: draw.warmth,
                feedstocks: &plan.feedstocks,
            })?;
            let kept = Warm::from(&result);
            let heap = heap::months(plan, &result);
            (result.slurry_daily_c, air, Some(kept), heap)
        }
    })
}
