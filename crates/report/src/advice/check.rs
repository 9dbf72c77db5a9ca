//! The engine's word on a proposal: the plan as proposed, run over many worlds.

use std::ops::Range;

use serde::Serialize;

use super::wish::Wish;
use fenlamp_model::band::Quantiles;
use fenlamp_model::forecast::figures::Spans;
use fenlamp_model::forecast::runs::Control;
use fenlamp_model::plan::Plan;
use fenlamp_model::world::calendar;
use fenlamp_model::world::draw;
use fenlamp_model::world::draw::WorldDraw;
use fenlamp_model::world::outcome::{first_flame, first_sour};
use fenlamp_model::world::{DayRow, Shared, WorldError, WorldRun};

/// What the worlds say of a proposal.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Checked {
    /// Worlds run.
    pub worlds: u32,
    /// Of them sour at some time.
    pub sour_worlds: u32,
    /// Of them sour before the first feed.
    pub sour_before_feeding: u32,
    /// Of them sour within the ramp and a month after it.
    pub sour_at_start: u32,
    /// Calendar months of the last year, January first; those outside the run are left out.
    pub months: Vec<CheckedMonth>,
    /// Methane of the last year, dry normal L.
    pub year_methane_dry_normal_l: Quantiles,
    /// Share of the worlds with a steady flame at all.
    pub flame_share_of_worlds: f64,
    /// Day of the first steady flame, over those worlds.
    pub first_flame_day: Option<Quantiles>,
}

/// A calendar month over the worlds, means of its days in the last year.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CheckedMonth {
    /// Month, 1 = January.
    pub month: i8,
    /// True for a month of the start: the wish is not counted in it.
    pub starting: bool,
    /// Slurry.
    pub slurry_temperature_c: Quantiles,
    /// Gas as a bag shows it.
    pub gas_wet_l_per_day: Quantiles,
    /// Methane, dry normal.
    pub methane_dry_normal_l_per_day: Quantiles,
    /// Share of the worlds that have what is wished for; 1 where nothing definite is.
    pub met_share_of_worlds: f64,
    /// Methane that all but the wished-for share of worlds have, dry normal L/day.
    #[serde(skip)]
    pub sure_methane_l: f64,
}

/// Worlds run of a proposal.
pub(super) struct Trial {
    pub draws: Vec<WorldDraw>,
    pub runs: Vec<WorldRun>,
    pub checked: Checked,
}

impl Checked {
    /// Share of the worlds that turn sour.
    pub fn sour_share(&self) -> f64 {
        f64::from(self.sour_worlds) / f64::from(self.worlds.max(1))
    }

    /// A month by its number, 1 = January.
    pub fn month(&self, number: i8) -> Option<&CheckedMonth> {
        self.months.iter().find(|m| m.month == number)
    }
}

/// Runs `plan` over `worlds` worlds of its seed.
pub(super) fn trial(
    plan: &Plan,
    wish: &Wish,
    sure: f64,
    worlds: u32,
    control: &Control,
) -> Result<Trial, WorldError> {
    let draws = draw::latin_hypercube(plan, worlds as usize, plan.seed);
    let runs =
        fenlamp_model::forecast::runs::run_watched(plan, &Shared::new(plan), &draws, control)?;
    Ok(Trial {
        checked: checked(plan, wish, sure, &runs),
        draws,
        runs,
    })
}

/// Days of the last year by calendar month, January first.
pub(super) fn days_by_month(plan: &Plan) -> [Vec<usize>; 12] {
    let Range { start, end } = Spans::of(plan).year;
    let mut out: [Vec<usize>; 12] = Default::default();
    for (day, month) in calendar::months(plan).into_iter().enumerate() {
        if (start..end).contains(&day) {
            out[month].push(day);
        }
    }
    out
}

/// The same without the start, ramp included; a month that is all start keeps none.
pub(super) fn settled_by_month(plan: &Plan) -> [Vec<usize>; 12] {
    let settled = plan.full_feed_day() as usize;
    days_by_month(plan).map(|days| days.into_iter().filter(|d| *d >= settled).collect())
}

/// Mean of a figure over some days of a world.
pub(super) fn mean(run: &WorldRun, days: &[usize], f: impl Fn(&DayRow) -> f64) -> f64 {
    days.iter()
        .filter_map(|d| run.days.get(*d))
        .map(f)
        .sum::<f64>()
        / days.len().max(1) as f64
}

fn checked(plan: &Plan, wish: &Wish, sure: f64, runs: &[WorldRun]) -> Checked {
    let need = wish.methane_l_per_day();
    let (days, settled) = (days_by_month(plan), settled_by_month(plan));
    let ramp_ends = (plan.full_feed_day() + 30) as usize;
    let sour: Vec<usize> = runs.iter().filter_map(|r| first_sour(&r.days)).collect();
    let before = |day: usize| sour.iter().filter(|d| **d < day).count() as u32;
    let mut flames: Vec<f64> = runs
        .iter()
        .filter_map(|r| first_flame(&r.days))
        .map(|d| d as f64)
        .collect();
    let over = |f: &dyn Fn(&WorldRun) -> f64| -> Vec<f64> { runs.iter().map(f).collect() };
    let months = (0..12)
        .filter(|&m| !days[m].is_empty())
        .map(|m| {
            let starting = settled[m].is_empty();
            let days = if starting { &days[m] } else { &settled[m] };
            let of = |f: fn(&DayRow) -> f64| over(&|r| mean(r, days, f));
            let mut methane = of(|d| d.methane_l);
            let met = methane
                .iter()
                .filter(|v| need.is_none_or(|n| **v >= n))
                .count();
            let band = Quantiles::of(&mut methane);
            CheckedMonth {
                month: m as i8 + 1,
                starting,
                slurry_temperature_c: Quantiles::of(&mut of(|d| d.slurry_c)),
                gas_wet_l_per_day: Quantiles::of(&mut of(|d| d.gas_wet_l)),
                methane_dry_normal_l_per_day: band,
                met_share_of_worlds: met as f64 / runs.len().max(1) as f64,
                sure_methane_l: reached_by(&methane, sure),
            }
        })
        .collect();
    let year: Vec<usize> = days.concat();
    Checked {
        worlds: runs.len() as u32,
        sour_worlds: sour.len() as u32,
        sour_before_feeding: before(plan.first_feed_day() as usize),
        sour_at_start: before(ramp_ends),
        months,
        year_methane_dry_normal_l: Quantiles::of(&mut over(&|r| {
            mean(r, &year, |d| d.methane_l) * year.len() as f64
        })),
        flame_share_of_worlds: flames.len() as f64 / runs.len().max(1) as f64,
        first_flame_day: (!flames.is_empty()).then(|| Quantiles::of(&mut flames)),
    }
}

/// The value that `share` of the sorted worlds reach.
fn reached_by(sorted: &[f64], share: f64) -> f64 {
    let missed = ((1.0 - share) * sorted.len() as f64 + 1e-9).floor() as usize;
    sorted.get(missed).or(sorted.last()).copied().unwrap_or(0.0)
}
