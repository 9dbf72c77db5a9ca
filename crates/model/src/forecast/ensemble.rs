//! Many worlds, and what they say together.

use jiff::ToSpan;
use jiff::civil::Date;

use super::bands::{DayBand, FirstFlame, Forecast, MonthBand, UseBands, Whole};
use super::convergence;
use super::gas_train;
use super::heap;
use super::runs::{Control, run_watched};
use crate::band::Quantiles;
use crate::digestate;
use crate::plan::Plan;
use crate::world::calendar;
use crate::world::draw;
use crate::world::draw::WorldDraw;
use crate::world::outcome::{first_flame, soured};
use crate::world::{DayRow, MonthSolids, Shared, WorldError, WorldRun};

/// How many worlds to run.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Worlds {
    /// As many as the plan says.
    OfPlan,
    /// Batches of [`draw::BATCH`] until the ends of the year's band stand still
    /// ([`convergence::ENOUGH`]), at most [`convergence::MOST_WORLDS`].
    UntilSteady,
}

/// A finished ensemble.
#[derive(Debug, Clone)]
pub struct Outcome {
    /// What the worlds say together.
    pub forecast: Forecast,
    /// What was drawn for each world.
    pub draws: Vec<WorldDraw>,
    /// Each world.
    pub runs: Vec<WorldRun>,
}

/// Runs the plan's ensemble. Same seed, same digits, whatever the threads.
///
/// # Errors
/// The first world's error, in the order of the worlds.
pub fn run(plan: &Plan) -> Result<(Forecast, Vec<WorldRun>), WorldError> {
    let outcome = run_with(plan, Worlds::OfPlan, &Control::none())?;
    Ok((outcome.forecast, outcome.runs))
}

/// As [`run`], watched, and with as many worlds as `worlds` says.
///
/// # Errors
/// As [`run`]; [`WorldError::Cancelled`] when asked to stop.
pub fn run_with(plan: &Plan, worlds: Worlds, control: &Control) -> Result<Outcome, WorldError> {
    let shared = Shared::new(plan);
    let (draws, runs) = match worlds {
        Worlds::OfPlan => {
            let draws = draw::latin_hypercube(plan, plan.worlds as usize, plan.seed);
            let runs = run_watched(plan, &shared, &draws, control)?;
            (draws, runs)
        }
        Worlds::UntilSteady => convergence::until_steady(plan, &shared, control)?,
    };
    Ok(Outcome {
        forecast: summarise(plan, &draws, &runs),
        draws,
        runs,
    })
}

/// Puts the worlds together.
pub fn summarise(plan: &Plan, draws: &[WorldDraw], runs: &[WorldRun]) -> Forecast {
    let dates: Vec<Date> = (0..plan.days)
        .map(|d| plan.start.saturating_add(i64::from(d).days()))
        .collect();
    let mut methane_so_far = vec![0.0; runs.len()];
    let days = dates
        .iter()
        .enumerate()
        .map(|(d, &date)| {
            for (sum, run) in methane_so_far.iter_mut().zip(runs) {
                *sum += run.days[d].methane_l;
            }
            let total = Quantiles::of(&mut methane_so_far.clone());
            day_band(date, d, total, runs)
        })
        .collect::<Vec<_>>();
    Forecast {
        worlds: runs.len() as u32,
        seed: plan.seed,
        months: months(&dates, runs),
        whole: whole(plan, draws, runs),
        first_flame: flame(&dates, runs),
        sour_share_of_worlds: runs.iter().filter(|r| soured(&r.days)).count() as f64
            / runs.len().max(1) as f64,
        gas_train: gas_train::summarise(plan, draws, runs),
        heap: heap::summarise(plan, &dates, runs),
        digestate: digestate::summarise(plan, &dates, runs),
        days,
    }
}

fn over(runs: &[WorldRun], f: impl Fn(&WorldRun) -> f64) -> Quantiles {
    Quantiles::of(&mut runs.iter().map(f).collect::<Vec<_>>())
}

/// A figure over the worlds, where every one of them has it.
fn over_all(runs: &[WorldRun], f: impl Fn(&WorldRun) -> Option<f64>) -> Option<Quantiles> {
    let mut each = runs.iter().map(f).collect::<Option<Vec<f64>>>()?;
    (!each.is_empty()).then(|| Quantiles::of(&mut each))
}

/// `part` per `whole`, where there is a whole.
fn per(part: f64, whole: f64) -> Option<f64> {
    (whole > 0.0).then(|| part / whole)
}

/// Volatile solids broken down in month `number` of the run, of those put in during it.
fn removed_in_month(run: &WorldRun, number: usize) -> Option<f64> {
    let before = match number.checked_sub(1) {
        Some(before) => *run.solids.get(before)?,
        None => MonthSolids::default(),
    };
    let now = run.solids.get(number)?;
    let came = now.put_in_kg - before.put_in_kg;
    let left = run.ran_out.get(number)?.volatile_solids_kg;
    per(came - left - (now.held_kg - before.held_kg), came)
}

/// Volatile solids broken down in the run, of those put in.
fn removed(run: &WorldRun) -> Option<f64> {
    let out: f64 = run.ran_out.iter().map(|m| m.volatile_solids_kg).sum();
    let came = run.put_in.volatile_solids_kg;
    per(came - out - run.held.volatile_solids_kg, came)
}

fn day_band(date: Date, d: usize, methane_total: Quantiles, runs: &[WorldRun]) -> DayBand {
    let q = |f: fn(&DayRow) -> f64| over(runs, |r| f(&r.days[d]));
    DayBand {
        date,
        day: d as u32,
        slurry_temperature_c: q(|r| r.slurry_c),
        fed_kg: q(|r| r.fed_kg),
        gas_dry_normal_l: q(|r| r.gas_dry_l),
        gas_wet_l: q(|r| r.gas_wet_l),
        methane_dry_normal_l: q(|r| r.methane_l),
        methane_total_dry_normal_l: methane_total,
        methane_share: q(|r| r.methane_share),
        h2s_ppm: q(|r| r.h2s_ppm),
        ph: q(|r| r.ph),
        acids_mg_l: q(|r| r.acids_mg_l),
        ammonium_mg_n_l: q(|r| r.ammonium_mg_n_l),
        headspace_oxygen_share: q(|r| r.headspace_oxygen),
        headspace_methane_share: q(|r| r.headspace_methane),
    }
}

fn months(dates: &[Date], runs: &[WorldRun]) -> Vec<MonthBand> {
    let mut out = Vec::new();
    for (number, days) in calendar::month_ranges(dates).into_iter().enumerate() {
        let std::ops::Range {
            start: from,
            end: to,
        } = days;
        let (year, month) = (dates[from].year(), dates[from].month());
        let n = (to - from) as f64;
        let mean =
            |f: fn(&DayRow) -> f64| over(runs, |r| r.days[from..to].iter().map(f).sum::<f64>() / n);
        let methane = mean(|r| r.methane_l);
        out.push(MonthBand {
            year,
            month,
            days: n as u32,
            slurry_temperature_c: mean(|r| r.slurry_c),
            fed_kg_per_day: mean(|r| r.fed_kg),
            gas_dry_normal_l_per_day: mean(|r| r.gas_dry_l),
            gas_wet_l_per_day: mean(|r| r.gas_wet_l),
            methane_dry_normal_l_per_day: methane,
            methane_share: over(runs, |r| {
                let gas: f64 = r.days[from..to].iter().map(|d| d.gas_dry_l).sum();
                let methane: f64 = r.days[from..to].iter().map(|d| d.methane_l).sum();
                if gas > 0.0 { methane / gas } else { 0.0 }
            }),
            methane_total_dry_normal_l: over(runs, |r| sum(&r.days[..to], |d| d.methane_l)),
            vs_fed_kg: over(runs, |r| sum(&r.days[from..to], DayRow::vs_fed_kg)),
            methane_l_per_kg_vs: over_all(runs, |r| {
                let days = &r.days[from..to];
                per(sum(days, |d| d.methane_l), sum(days, DayRow::vs_fed_kg))
            }),
            vs_removed_share: over_all(runs, |r| removed_in_month(r, number)),
            uses_per_day: UseBands::of(methane),
        });
    }
    out
}

fn sum(days: &[DayRow], f: impl Fn(&DayRow) -> f64) -> f64 {
    days.iter().map(f).sum()
}

fn whole(plan: &Plan, draws: &[WorldDraw], runs: &[WorldRun]) -> Whole {
    use uom::si::mass::kilogram;
    let methane = over(runs, |r| sum(&r.days, |d| d.methane_l));
    let filled = |draw: &WorldDraw| -> f64 {
        let of = |&(f, mass): &(usize, uom::si::f64::Mass)| {
            mass.get::<kilogram>() * draw.feed[f].total_solids * plan.feedstocks[f].volatile_of_ts
        };
        plan.first_fill.feed.iter().map(of).sum()
    };
    let yields = runs.iter().zip(draws).map(|(r, draw)| {
        let put_in = sum(&r.days, DayRow::vs_fed_kg) + filled(draw);
        per(sum(&r.days, |d| d.methane_l), put_in)
    });
    let yields: Option<Vec<f64>> = yields.collect();
    Whole {
        gas_dry_normal_l: over(runs, |r| sum(&r.days, |d| d.gas_dry_l)),
        methane_dry_normal_l: methane,
        methane_l_per_kg_vs: yields
            .filter(|y| !y.is_empty())
            .map(|mut y| Quantiles::of(&mut y)),
        vs_removed_share: over_all(runs, removed),
        loading_kg_vs_m3_d: over(runs, |r| {
            let fed: Vec<f64> = r
                .days
                .iter()
                .map(|d| d.loading_kg_vs_m3_d)
                .filter(|&v| v > 0.0)
                .collect();
            fed.iter().sum::<f64>() / fed.len().max(1) as f64
        }),
        uses: UseBands::of(methane),
    }
}

fn flame(dates: &[Date], runs: &[WorldRun]) -> FirstFlame {
    let mut found: Vec<f64> = runs
        .iter()
        .filter_map(|r| first_flame(&r.days))
        .map(|d| d as f64)
        .collect();
    let share_of_worlds = found.len() as f64 / runs.len().max(1) as f64;
    if found.is_empty() {
        return FirstFlame {
            share_of_worlds,
            day: None,
            dates: None,
        };
    }
    let day = Quantiles::of(&mut found);
    let date = |d: f64| dates[(d.round() as usize).min(dates.len() - 1)];
    FirstFlame {
        share_of_worlds,
        dates: Some([date(day.p10), date(day.p50), date(day.p90)]),
        day: Some(day),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{NoFiles, read};
    use crate::world::Matter;

    const BENCH: &str = include_str!("../../../../examples/laboratory-batch.toml");

    fn bench(text: &str) -> Plan {
        read(text, "laboratory-batch.toml", &NoFiles).unwrap_or_else(|e| panic!("{e}"))
    }

    /// The bench without its hay.
    fn blank() -> Plan {
        let (before, rest) = BENCH.split_once("[[first_fill.feed]]").expect("a fill");
        let (_, seed) = rest.split_once("[seed]").expect("a seed");
        bench(&format!("{before}[seed]{seed}"))
    }

    /// A run by hand: 10 kg of solids filled, 1 kg a day fed in January, one tenth of it
    /// running out, half of what is held gone by the end of February.
    #[test]
    fn months_of_a_run_by_hand() {
        let mut plan = bench(BENCH);
        (plan.start, plan.days) = (jiff::civil::date(2031, 1, 1), 59);
        let day = |d: usize| DayRow {
            methane_l: 100.0,
            gas_dry_l: 200.0,
            slurry_l: 500.0,
            loading_kg_vs_m3_d: if d < 31 { 2.0 } else { 0.0 },
            ..DayRow::default()
        };
        let solids = |kg: f64| Matter {
            volatile_solids_kg: kg,
            ..Matter::default()
        };
        let run = WorldRun {
            days: (0..59).map(day).collect(),
            ran_out: vec![solids(3.1), solids(0.0)],
            solids: vec![
                MonthSolids {
                    put_in_kg: 41.0,
                    held_kg: 20.0,
                },
                MonthSolids {
                    put_in_kg: 41.0,
                    held_kg: 10.0,
                },
            ],
            put_in: solids(41.0),
            held: solids(10.0),
            ..WorldRun::default()
        };
        let draws = draw::latin_hypercube(&plan, 1, 1);
        let f = summarise(&plan, &draws, &[run]);
        let close = |a: f64, b: f64| assert!((a - b).abs() < 1e-9, "{a} {b}");
        close(f.days[9].methane_total_dry_normal_l.p50, 1000.0);
        let [january, february] = f.months.as_slice() else {
            panic!("two months")
        };
        close(january.methane_total_dry_normal_l.p50, 3100.0);
        close(february.methane_total_dry_normal_l.p10, 5900.0);
        close(january.vs_fed_kg.p50, 31.0);
        close(january.methane_l_per_kg_vs.expect("fed").p90, 100.0);
        // 41 in, 3.1 out, 20 left.
        close(january.vs_removed_share.expect("fed").p50, 17.9 / 41.0);
        assert_eq!(february.methane_l_per_kg_vs, None);
        assert_eq!(february.vs_removed_share, None);
        close(f.whole.vs_removed_share.expect("filled").p50, 27.9 / 41.0);
        let hay = draws[0].feed[0].total_solids * plan.feedstocks[0].volatile_of_ts * 0.15;
        let per_vs = f.whole.methane_l_per_kg_vs.expect("filled").p50;
        close(per_vs, 5900.0 / (31.0 + hay));
    }

    #[test]
    fn a_blank_gives_the_gas_of_its_seed() {
        let mut plan = blank();
        plan.worlds = 4;
        assert!(plan.is_blank() && plan.feedstocks.is_empty());
        let (f, runs) = run(&plan).unwrap_or_else(|e| panic!("{e}"));
        let total = f.whole.methane_dry_normal_l;
        assert!(total.p10 > 0.0 && total.p90.is_finite());
        assert_eq!(f.whole.methane_l_per_kg_vs, None);
        let removed = f.whole.vs_removed_share.expect("the seed has solids");
        assert!(removed.p10 > 0.0 && removed.p90 < 1.0, "{removed:?}");
        let last = f.days.last().expect("days").methane_total_dry_normal_l;
        assert!((last.p50 / total.p50 - 1.0).abs() < 1e-9);
        // No more methane than the solids gone could make: 1.42 kg of COD in a kilogram,
        // 350 L in a kilogram of COD.
        for r in &runs {
            let gone = r.put_in.volatile_solids_kg - r.held.volatile_solids_kg;
            assert!(sum(&r.days, |d| d.methane_l) < 1.42 * 350.0 * gone * 1.1);
        }
        // The same seed with hay gives more.
        let mut fed = bench(BENCH);
        fed.worlds = 4;
        let (fed, _) = run(&fed).unwrap_or_else(|e| panic!("{e}"));
        assert!(fed.whole.methane_dry_normal_l.p50 > total.p50);
    }
}
