//! What two weeks away do, run.

use jiff::ToSpan;
use jiff::civil::Date;
use serde::Serialize;

use super::check::{Trial, mean};
use fenlamp_model::band::Quantiles;
use fenlamp_model::forecast::figures::Spans;
use fenlamp_model::forecast::runs::Control;
use fenlamp_model::plan;
use fenlamp_model::plan::Plan;
use fenlamp_model::say;
use fenlamp_model::world::outcome::soured;
use fenlamp_model::world::{Shared, WorldError, WorldRun};

/// Two weeks without feeding, in the same worlds with and without.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Away {
    /// First day away.
    pub from: Date,
    /// Days away.
    pub days: u32,
    /// Worlds run both ways.
    pub worlds: u32,
    /// Gas on the last three days away, as a share of what would have been.
    pub gas_share_at_the_end: Quantiles,
    /// Days after coming back until the gas is nine tenths of what it would have
    /// been, three days running; the rest of the run when it never is.
    pub back_after_days: Quantiles,
    /// Worlds that turn sour only because of it.
    pub sour_worlds: u32,
    /// In words.
    pub words: String,
}

/// Two weeks.
const DAYS: u32 = 14;
/// Worlds of it.
pub(super) const WORLDS: usize = 16;

/// Runs it in a month of the last year after which feeding goes on; `None` when
/// nothing is fed long enough.
pub(super) fn away(
    plan: &Plan,
    trial: &Trial,
    month_days: &[Vec<usize>; 12],
    control: &Control,
) -> Result<Option<Away>, WorldError> {
    let year = Spans::of(plan).year;
    let fed = |m: usize| plan.waste.iter().map(|w| w.fresh[m].value).sum::<f64>();
    let whole = |m: &usize| month_days[*m].len() >= DAYS as usize;
    // Where feeding goes on afterwards the longest, then where most is fed.
    let goes_on = |m: usize| (1..4).take_while(|i| fed((m + i) % 12) > 0.0).count();
    let Some(month) = (0..12)
        .filter(|&m| fed(m) > 0.0)
        .filter(whole)
        .filter(|m| month_days[*m][0] > plan.feeding.first_day as usize)
        .max_by(|&a, &b| {
            goes_on(a)
                .cmp(&goes_on(b))
                .then(fed(a).total_cmp(&fed(b)))
                .then(b.cmp(&a))
        })
    else {
        return Ok(None);
    };
    let Some(&from) = month_days[month].first() else {
        return Ok(None);
    };
    let to = from + DAYS as usize;
    if to + 3 >= year.end {
        return Ok(None);
    }
    let mut left = plan.clone();
    left.feeding.away.push(plan::Away {
        from_day: from as u32,
        days: DAYS,
    });
    let n = WORLDS.min(trial.draws.len());
    let runs = fenlamp_model::forecast::runs::run_watched(
        &left,
        &Shared::new(&left),
        &trial.draws[..n],
        control,
    )?;
    let pairs: Vec<(&WorldRun, &WorldRun)> = trial.runs[..n]
        .iter()
        .zip(&runs)
        // A world that is sour anyway says nothing of the absence.
        .filter(|(with, _)| !soured(&with.days))
        .collect();
    if pairs.is_empty() {
        return Ok(None);
    }
    let gas = |r: &WorldRun, days: std::ops::Range<usize>| {
        mean(r, &days.collect::<Vec<_>>(), |d| d.gas_dry_l)
    };
    let share = |with: &WorldRun, without: &WorldRun, days: std::ops::Range<usize>| {
        gas(without, days.clone()) / gas(with, days).max(1e-9)
    };
    let mut end: Vec<f64> = pairs.iter().map(|(w, l)| share(w, l, to - 3..to)).collect();
    let mut back: Vec<f64> = pairs
        .iter()
        .map(|(w, l)| {
            (to..plan.days as usize - 3)
                .position(|d| share(w, l, d..d + 3) >= 0.9)
                .unwrap_or(plan.days as usize - to) as f64
        })
        .collect();
    let mut out = Away {
        from: plan.start.saturating_add((from as i64).days()),
        days: DAYS,
        worlds: n as u32,
        gas_share_at_the_end: Quantiles::of(&mut end),
        back_after_days: Quantiles::of(&mut back),
        sour_worlds: pairs.iter().filter(|(_, l)| soured(&l.days)).count() as u32,
        words: String::new(),
    };
    out.words = words(&out, month);
    Ok(Some(out))
}

fn words(away: &Away, month: usize) -> String {
    let percent = |v: f64| (100.0 * v).round();
    let end = away.gas_share_at_the_end;
    let back = away.back_after_days;
    let fall = if percent(end.p10) == percent(end.p90) {
        format!("{} %", percent(end.p50))
    } else {
        format!("{} to {} %", percent(end.p10), percent(end.p90))
    };
    let back = if back.p90 < 1.0 {
        "is back at once".to_owned()
    } else {
        format!("is back after {}", say::days_band(back.p10, back.p90))
    };
    let sour = match away.sour_worlds {
        0 => "it turns sour in none of them for it".to_owned(),
        n => format!("in {n} of them it turns sour on coming back"),
    };
    format!(
        "Two weeks away in {}, nobody feeding: by the end the gas is at {fall} of what it would \
         have been, and it {back} when feeding goes on as before; of {} worlds run both ways, \
         {sour}. A settled vessel bears a fast well: do not make up for the missed feed, and keep \
         the gas burning or the relief free meanwhile.",
        say::MONTHS[month],
        away.worlds
    )
}
