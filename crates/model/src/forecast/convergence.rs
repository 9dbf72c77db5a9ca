//! How far the ends of the bands may still move with more worlds.
//!
//! Method: the distribution-free interval between order statistics for a quantile
//! (Conover, Practical Nonparametric Statistics, section 3.2; from memory), as for
//! a plain random sample. Latin hypercubes scatter less, so it errs on the wide side.

use serde::Serialize;

use super::figures::Figures;
use super::runs;
use crate::band::Quantiles;
use crate::forecast::bands::MonthBand;
use crate::forecast::runs::Control;
use crate::plan::Plan;
use crate::world::draw;
use crate::world::draw::{BATCH, WorldDraw};
use crate::world::{Shared, WorldError, WorldRun};

#[cfg(test)]
mod tests;

/// Share of the median under which both ends of the year's methane count as steady.
pub const ENOUGH: f64 = 0.05;
/// Worlds after which the run ends, steady or not.
pub const MOST_WORLDS: usize = 600;
/// Chance that a true end lies inside its interval, at least.
pub const CONFIDENCE: f64 = 0.9;

/// How far the ends of a band may still move, as shares of its median.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Ends {
    /// Half the interval of the low end; `None` with too few worlds or no gas.
    pub p10_share: Option<f64>,
    /// The same of the high end.
    pub p90_share: Option<f64>,
}

impl Ends {
    /// Of a sample, in any order.
    pub fn of(values: &[f64]) -> Self {
        let mut sorted = values.to_vec();
        let middle = Quantiles::of(&mut sorted).p50;
        let share = |p: f64| {
            let (low, high) = interval(sorted.len(), p)?;
            (middle > 0.0).then(|| 0.5 * (sorted[high] - sorted[low]) / middle)
        };
        Ends {
            p10_share: share(0.1),
            p90_share: share(0.9),
        }
    }

    /// The larger of the two.
    pub fn worst(&self) -> Option<f64> {
        Some(self.p10_share?.max(self.p90_share?))
    }
}

/// Places (from 0) in the order of `n` values between which the quantile `p` lies
/// with at least [`CONFIDENCE`]; `None` when the sample is too small to bound it.
pub fn interval(n: usize, p: f64) -> Option<(usize, usize)> {
    let tail = 0.5 * (1.0 - CONFIDENCE);
    let (nf, mut below) = (n as f64, 0.0);
    // Log of P(B = k) for B binomial, stepped from k = 0.
    let mut log = nf * (1.0 - p).ln();
    let (mut low, mut high) = (None, None);
    for k in 0..n {
        below += log.exp();
        // The (k+1)th smallest value is below the quantile but for P(B <= k).
        if below <= tail {
            low = Some(k);
        }
        if high.is_none() && below >= 1.0 - tail {
            high = Some(k);
        }
        log += ((nf - k as f64) / (k as f64 + 1.0) * p / (1.0 - p)).ln();
    }
    Some((low?, high?))
}

/// The ends of one month's methane.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct MonthEnds {
    /// Year.
    pub year: i16,
    /// Month, 1 = January.
    pub month: i8,
    /// How far its ends may move.
    pub methane: Ends,
}

/// How steady the forecast is.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Convergence {
    /// Worlds run.
    pub worlds: u32,
    /// Chance that a true end lies no farther, at least.
    pub confidence: f64,
    /// The ends of the year's methane (its last 365 days).
    pub year_methane: Ends,
    /// Whether both stand within [`ENOUGH`] of the median.
    pub steady: bool,
    /// The ends of each month's methane.
    pub months: Vec<MonthEnds>,
    /// The same in a sentence.
    pub words: String,
}

/// Of the worlds; `months` are those of the forecast and give the calendar.
pub fn convergence(figures: &[Figures], months: &[MonthBand], runs: &[WorldRun]) -> Convergence {
    let year: Vec<f64> = figures.iter().map(|f| f.year_methane_l).collect();
    let year_methane = Ends::of(&year);
    let mut from = 0;
    let ends = months
        .iter()
        .map(|m| {
            let days = from..from + m.days as usize;
            from = days.end;
            let sums: Vec<f64> = runs
                .iter()
                .filter_map(|r| r.days.get(days.clone()))
                .map(|d| d.iter().map(|d| d.methane_l).sum())
                .collect();
            MonthEnds {
                year: m.year,
                month: m.month,
                methane: Ends::of(&sums),
            }
        })
        .collect();
    Convergence {
        worlds: figures.len() as u32,
        confidence: CONFIDENCE,
        year_methane,
        steady: year_methane.worst().is_some_and(|w| w <= ENOUGH),
        months: ends,
        words: words(figures.len(), &year_methane, from >= 365),
    }
}

fn words(worlds: usize, year: &Ends, whole_year: bool) -> String {
    let span = if whole_year { "year" } else { "run" };
    let percent = |share: f64| format!("{:.0} %", (100.0 * share).max(1.0));
    match (year.p10_share, year.p90_share) {
        (Some(low), Some(high)) => format!(
            "With {worlds} worlds the low end of the {span}'s methane may still move by {} of the \
             middle figure, the high end by {} (nine chances in ten that it is no more). That is \
             the doubt of the count alone, not of the model.",
            percent(low),
            percent(high)
        ),
        _ => format!(
            "With {worlds} {} nothing can be said of how far the ends may still move.",
            if worlds == 1 { "world" } else { "worlds" }
        ),
    }
}

/// Batches of worlds until the ends of the year's methane are steady.
///
/// # Errors
/// As [`runs::run_watched`].
pub fn until_steady(
    plan: &Plan,
    shared: &Shared,
    control: &Control,
) -> Result<(Vec<WorldDraw>, Vec<WorldRun>), WorldError> {
    let spans = super::figures::Spans::of(plan);
    let (mut draws, mut runs) = (Vec::new(), Vec::new());
    while runs.len() < MOST_WORLDS {
        let before = runs.len();
        let batch = draw::batch(plan, BATCH, plan.seed, (before / BATCH) as u64);
        let control = Control {
            progress: &|done, total| (control.progress)(before + done, before + total),
            cancelled: control.cancelled,
        };
        runs.extend(runs::run_watched(plan, shared, &batch, &control)?);
        draws.extend(batch);
        let year: Vec<f64> = Figures::all(&spans, &runs)
            .iter()
            .map(|f| f.year_methane_l)
            .collect();
        if Ends::of(&year).worst().is_some_and(|w| w <= ENOUGH) {
            break;
        }
    }
    Ok((draws, runs))
}
