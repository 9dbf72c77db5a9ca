//! Which months go together: the good, the thin and the idle.

use fenlamp_model::band::Quantiles;
use fenlamp_model::forecast::bands::{Forecast, MonthBand};
use fenlamp_model::say;

/// How a month does against the best one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Pace {
    Good,
    Thin,
    Idle,
}

/// Share of the best month's middle from which a month counts as good (judgement).
const GOOD: f64 = 0.45;
/// Share below which a month counts as idle (judgement).
const IDLE: f64 = 0.08;
/// Kettles a day, middle world, below which a month gives nothing to plan with (judgement).
pub(super) const IDLE_KETTLES: f64 = 0.1;
/// Days that a month must have inside the forecast to be spoken of.
const SPOKEN_DAYS: u32 = 15;

/// The months the answer speaks of.
#[derive(Debug)]
pub(super) struct Months<'a> {
    /// Once settled: the last twelve of a long plan, else those after the first flame.
    pub settled: Vec<&'a MonthBand>,
    /// Months of the start before them; empty unless the plan is long.
    pub start: Vec<&'a MonthBand>,
}

/// Parts the months of a forecast. Never leaves `settled` empty unless there are no months.
pub(super) fn months(forecast: &Forecast) -> Months<'_> {
    let mut full: Vec<&MonthBand> = forecast
        .months
        .iter()
        .filter(|m| m.days >= SPOKEN_DAYS)
        .collect();
    if full.is_empty() {
        full = forecast.months.iter().collect();
    }
    if full.len() >= 18 {
        let settled = full.split_off(full.len() - 12);
        return Months {
            settled,
            start: full,
        };
    }
    // The month in which the flame comes is still start-up.
    let after = forecast.first_flame.dates.map_or(0, |[_, middle, _]| {
        full.iter()
            .position(|m| (m.year, m.month) > (middle.year(), middle.month()))
            .unwrap_or(0)
    });
    let settled = full.split_off(after);
    Months {
        settled,
        start: Vec::new(),
    }
}

/// The month with the most gas in the middle world.
pub(super) fn best<'a>(months: &[&'a MonthBand]) -> Option<&'a MonthBand> {
    months
        .iter()
        .copied()
        .max_by(|a, b| middle(a).total_cmp(&middle(b)))
}

/// The month with the least; of equals the coldest.
pub(super) fn worst<'a>(months: &[&'a MonthBand]) -> Option<&'a MonthBand> {
    months.iter().copied().min_by(|a, b| {
        (middle(a), a.slurry_temperature_c.p50)
            .partial_cmp(&(middle(b), b.slurry_temperature_c.p50))
            .unwrap_or(std::cmp::Ordering::Equal)
    })
}

fn middle(m: &MonthBand) -> f64 {
    m.uses_per_day.kettles.p50
}

/// Pace of each month.
pub(super) fn paces(months: &[&MonthBand]) -> Vec<Pace> {
    let top = best(months).map_or(0.0, middle);
    months
        .iter()
        .map(|m| match middle(m) {
            k if k < IDLE_KETTLES || k < IDLE * top => Pace::Idle,
            k if k < GOOD * top => Pace::Thin,
            _ => Pace::Good,
        })
        .collect()
}

/// The months of one pace, and how to name them.
#[derive(Debug)]
pub(super) struct Season<'a> {
    pub months: Vec<&'a MonthBand>,
    /// "from May to October", "in April and in November", "all year round".
    pub when: String,
}

/// The months of `pace`; `None` when there are none.
pub(super) fn season<'a>(
    months: &[&'a MonthBand],
    paces: &[Pace],
    pace: Pace,
) -> Option<Season<'a>> {
    let n = months.len();
    let of: Vec<usize> = (0..n).filter(|&i| paces[i] == pace).collect();
    if of.is_empty() {
        return None;
    }
    let chosen: Vec<&MonthBand> = of.iter().map(|&i| months[i]).collect();
    if of.len() == n && n >= 11 {
        return Some(Season {
            months: chosen,
            when: "all year round".to_owned(),
        });
    }
    // A full year closes on itself: December meets January.
    let circle = n == 12;
    let mut runs: Vec<(usize, usize)> = Vec::new();
    for &i in &of {
        match runs.last_mut() {
            Some((_, to)) if *to + 1 == i => *to = i,
            _ => runs.push((i, i)),
        }
    }
    if circle && runs.len() > 1 && runs[0].0 == 0 && runs[runs.len() - 1].1 == n - 1 {
        let (from, _) = runs.remove(runs.len() - 1);
        runs[0].0 = from;
        runs.rotate_left(1);
    }
    let name = |i: usize| say::month(months[i].month);
    let names: Vec<String> = runs
        .iter()
        .map(|&(from, to)| match (to + n - from) % n {
            0 => format!("in {}", name(from)),
            1 => format!("in {} and {}", name(from), name(to)),
            _ => format!("from {} to {}", name(from), name(to)),
        })
        .collect();
    Some(Season {
        months: chosen,
        when: say::list(&names),
    })
}

/// Mean of a figure over months, by their days; each quantile by itself, which
/// holds as far as a good world is good in all of them.
pub(super) fn mean(months: &[&MonthBand], f: impl Fn(&MonthBand) -> Quantiles) -> Quantiles {
    let days: f64 = months.iter().map(|m| f64::from(m.days)).sum();
    let by = |pick: fn(&Quantiles) -> f64| {
        months
            .iter()
            .map(|m| f64::from(m.days) * pick(&f(m)))
            .sum::<f64>()
            / days.max(1.0)
    };
    Quantiles {
        p10: by(|q| q.p10),
        p50: by(|q| q.p50),
        p90: by(|q| q.p90),
    }
}

/// Sum over the days of the months of a figure a day.
pub(super) fn sum(months: &[&MonthBand], f: impl Fn(&MonthBand) -> Quantiles) -> Quantiles {
    let days: f64 = months.iter().map(|m| f64::from(m.days)).sum();
    mean(months, f).map(|v| v * days)
}
