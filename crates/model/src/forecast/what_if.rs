//! The plan changed in one thing and run again in the same worlds.

mod candidates;

#[cfg(test)]
mod tests;

use std::sync::atomic::{AtomicUsize, Ordering};

use rayon::prelude::*;
use serde::Serialize;

use super::figures::{Figures, Spans};
use crate::band::Quantiles;
use crate::forecast::runs::Control;
use crate::gas::uses;
use crate::plan::{Plan, SlurryTemperature};
use crate::say;
use crate::world::draw;
use crate::world::draw::WorldDraw;
use crate::world::{Shared, WorldError, WorldRun};

pub use candidates::{WhatIf, candidates};

/// Worlds of a what-if: the paired differences scatter far less than the worlds,
/// so few are enough. Whole groups of the lanes, so that each pair is run alike.
pub const WORLDS: usize = 24;
/// Gain, as a share of the year's methane, from which a change is worth naming (judgement).
const WORTH: f64 = 0.02;

/// A figure before, and its paired change: the same world with and without.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Paired {
    /// As the plan stands, dry normal L of methane.
    pub before_dry_normal_l: Quantiles,
    /// Change within a world, dry normal L of methane.
    pub change_dry_normal_l: Quantiles,
}

impl Paired {
    fn of(before: &[f64], after: &[f64]) -> Self {
        let mut change: Vec<f64> = before.iter().zip(after).map(|(b, a)| a - b).collect();
        Paired {
            before_dry_normal_l: Quantiles::of(&mut before.to_vec()),
            change_dry_normal_l: Quantiles::of(&mut change),
        }
    }

    /// The change as shares of the middle before; `None` where that is nothing.
    pub fn shares(&self) -> Option<Quantiles> {
        let middle = self.before_dry_normal_l.p50;
        (middle > 1e-6).then(|| self.change_dry_normal_l.map(|v| v / middle))
    }
}

/// The first flame with and without.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct FlameChange {
    /// Worlds with a flame as the plan stands.
    pub worlds_before: u32,
    /// With the change.
    pub worlds_after: u32,
    /// Days it comes later (negative: sooner), over the worlds with a flame both
    /// times; `None` when there are none.
    pub later_days: Option<Quantiles>,
}

/// What one change does.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Gain {
    /// Stable id of the change.
    pub id: &'static str,
    /// The change, to stand before a colon.
    pub change: String,
    /// Where a figure of the change itself comes from.
    pub basis: &'static str,
    /// Worlds run both ways.
    pub worlds: u32,
    /// Methane of the year (the last 365 days).
    pub year_methane: Paired,
    /// Methane of its three coldest months.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub winter_methane: Option<Paired>,
    /// First steady flame.
    pub first_flame: FlameChange,
    /// Sour worlds as the plan stands.
    pub sour_worlds_before: u32,
    /// With the change.
    pub sour_worlds_after: u32,
    /// Whether it is worth naming as a help.
    pub worth: bool,
    /// What it does, in words.
    pub words: String,
}

impl Gain {
    /// For the order: the middle gain as a share of the year's methane, and what it
    /// does for flame and souring, a world counted as half a year's gas and a day
    /// as a day's (judgement).
    fn score(&self) -> f64 {
        let gas = self.year_methane.shares().map_or_else(
            || f64::from(self.year_methane.change_dry_normal_l.p50 > 1e-6),
            |s| s.p50,
        );
        let n = f64::from(self.worlds.max(1));
        let worlds = |before: u32, after: u32| 0.5 * (f64::from(after) - f64::from(before)) / n;
        gas + worlds(
            self.first_flame.worlds_before,
            self.first_flame.worlds_after,
        ) + worlds(self.sour_worlds_after, self.sour_worlds_before)
            - self.first_flame.later_days.map_or(0.0, |d| d.p50 / 365.0)
    }
}

/// Runs `changes` of `plan` in the first [`WORLDS`] of its worlds, best first.
/// `draws` and `runs` are the plan's own. A change whose worlds cannot be run is
/// left out.
///
/// # Errors
/// [`WorldError::Cancelled`] when asked to stop.
pub fn run(
    plan: &Plan,
    changes: &[WhatIf],
    draws: &[WorldDraw],
    runs: &[WorldRun],
    control: &Control,
) -> Result<Vec<Gain>, WorldError> {
    let n = WORLDS.min(draws.len()).min(runs.len());
    let spans = Spans::of(plan);
    let before = Figures::all(&spans, &runs[..n]);
    let (done, total) = (AtomicUsize::new(0), n * changes.len());
    let axes = draw::inputs(plan).len();
    let found: Vec<Result<Option<Gain>, WorldError>> = changes
        .par_iter()
        .filter(|c| draw::inputs(&c.plan).len() == axes)
        .map(|change| {
            let again: Vec<WorldDraw> = draws[..n].iter().map(|d| d.again(&change.plan)).collect();
            let last = AtomicUsize::new(0);
            let control = Control {
                progress: &|mine, _| {
                    let more = mine.saturating_sub(last.fetch_max(mine, Ordering::Relaxed));
                    let all = done.fetch_add(more, Ordering::Relaxed) + more;
                    (control.progress)(all, total);
                },
                cancelled: control.cancelled,
            };
            let shared = Shared::new(&change.plan);
            match crate::forecast::runs::run_watched(&change.plan, &shared, &again, &control) {
                Ok(runs) => Ok(Some(gain(
                    plan,
                    change,
                    &before,
                    &Figures::all(&spans, &runs),
                ))),
                Err(WorldError::Cancelled) => Err(WorldError::Cancelled),
                Err(_) => Ok(None),
            }
        })
        .collect();
    let mut gains = Vec::new();
    for gain in found {
        gains.extend(gain?);
    }
    gains.sort_by(|a, b| b.score().total_cmp(&a.score()));
    Ok(gains)
}

/// `plan` against a changed one that was run in full: what the change does within
/// the worlds they share. `None` when the change brings other uncertain inputs
/// (another feedstock, say), for then the worlds are not the same.
pub fn compare(
    plan: &Plan,
    changed: &Plan,
    words: &str,
    before: &[WorldRun],
    after: &[WorldRun],
) -> Option<Gain> {
    let axes = |p: &Plan| -> Vec<String> { draw::inputs(p).into_iter().map(|i| i.id).collect() };
    let same = axes(plan) == axes(changed)
        && plan.seed == changed.seed
        && (plan.days, plan.start) == (changed.days, changed.start)
        && before.len() == after.len();
    if !same || before.is_empty() {
        return None;
    }
    let spans = Spans::of(plan);
    let change = WhatIf {
        id: "changed",
        words: words.to_owned(),
        basis: "as said",
        plan: changed.clone(),
    };
    Some(gain(
        plan,
        &change,
        &Figures::all(&spans, before),
        &Figures::all(&spans, after),
    ))
}

fn gain(plan: &Plan, change: &WhatIf, before: &[Figures], after: &[Figures]) -> Gain {
    let year = |f: &[Figures]| f.iter().map(|f| f.year_methane_l).collect::<Vec<_>>();
    let winter = |f: &[Figures]| f.iter().map(|f| f.winter_methane_l).collect();
    let winter: (Option<Vec<f64>>, Option<Vec<f64>>) = (winter(before), winter(after));
    let count = |f: &[Figures], of: fn(&Figures) -> bool| f.iter().filter(|f| of(f)).count() as u32;
    let mut later: Vec<f64> = before
        .iter()
        .zip(after)
        .filter_map(|(b, a)| Some(a.first_flame? as f64 - b.first_flame? as f64))
        .collect();
    let mut gain = Gain {
        id: change.id,
        change: change.words.clone(),
        basis: change.basis,
        worlds: before.len() as u32,
        year_methane: Paired::of(&year(before), &year(after)),
        winter_methane: match &winter {
            (Some(b), Some(a)) => Some(Paired::of(b, a)),
            _ => None,
        },
        first_flame: FlameChange {
            worlds_before: count(before, |f| f.first_flame.is_some()),
            worlds_after: count(after, |f| f.first_flame.is_some()),
            later_days: (!later.is_empty()).then(|| Quantiles::of(&mut later)),
        },
        sour_worlds_before: count(before, |f| f.sour),
        sour_worlds_after: count(after, |f| f.sour),
        worth: false,
        words: String::new(),
    };
    gain.worth = gain.score() >= WORTH;
    gain.words = words(plan, &gain);
    gain
}

/// What a change does, without its name.
fn words(plan: &Plan, gain: &Gain) -> String {
    let bench = matches!(plan.slurry_temperature, SlurryTemperature::Fixed(_));
    let year_days = plan.days.clamp(1, 365);
    let span = if plan.days >= 365 {
        "in a year"
    } else {
        "over the run"
    };
    let mut parts = Vec::new();
    match gain.year_methane.shares() {
        Some(shares) => {
            let a_day =
                |v: f64| uses::of_methane(v.abs() / f64::from(year_days)).kettles * v.signum();
            let kettles = gain.year_methane.change_dry_normal_l.map(a_day);
            let mut text = percents(shares, &format!(" methane {span}"));
            if !bench && kettles.p50.abs() >= 0.05 {
                text += &format!(", {} kettles a day", signed(kettles));
            }
            parts.push(text);
        }
        None => parts.push("hardly any methane before to measure it by".to_owned()),
    }
    if let Some(shares) = gain.winter_methane.and_then(|w| w.shares()) {
        parts.push(percents(shares, " in its three coldest months"));
    }
    let mut text = parts.join("; ");
    let flame = &gain.first_flame;
    if let Some(later) = flame.later_days {
        let (low, middle, high) = (later.p10.round(), later.p50.round(), later.p90.round());
        if low != 0.0 || high != 0.0 {
            text += &match (low <= 0.0 && high <= 0.0, low >= 0.0) {
                (true, _) => format!("; first flame {} sooner", days(-high, -low)),
                (_, true) => format!("; first flame {} later", days(low, high)),
                _ => format!(
                    "; first flame {} sooner to {} later (middle {})",
                    say::days_word(-low),
                    say::days_word(high),
                    if middle < 0.0 {
                        format!("{} sooner", say::days_word(-middle))
                    } else {
                        format!("{} later", say::days_word(middle))
                    }
                ),
            };
        }
    }
    let n = gain.worlds;
    if flame.worlds_before != flame.worlds_after {
        text += &format!(
            "; a flame in {} of {n} worlds instead of {}",
            flame.worlds_after, flame.worlds_before
        );
    }
    if gain.sour_worlds_before != gain.sour_worlds_after {
        text += &format!(
            "; sour in {} of {n} worlds instead of {}",
            gain.sour_worlds_after, gain.sour_worlds_before
        );
    }
    text
}

fn days(low: f64, high: f64) -> String {
    // No minus before a nought.
    say::days_band(low + 0.0, high + 0.0)
}

/// "12 to 30 % more methane (middle 20 %)", "5 % less to 3 % more methane (middle
/// 1 % more)", "no more methane"; `what` stands behind the comparison.
fn percents(shares: Quantiles, what: &str) -> String {
    // No minus before a nought.
    let whole = |v: f64| (100.0 * v).round() + 0.0;
    let q = shares.map(whole);
    let one = |v: f64| match v {
        v if v > 0.0 => format!("{v:.0} % more"),
        v if v < 0.0 => format!("{:.0} % less", -v),
        _ => "no more".to_owned(),
    };
    if q.p10 == q.p90 {
        return format!("{}{what}", one(q.p50));
    }
    let band = |low: f64, middle: f64, high: f64, more: &str| {
        let (low, middle) = (low + 0.0, middle + 0.0);
        format!("{low:.0} to {high:.0} % {more}{what} (middle {middle:.0} %)")
    };
    match (q.p10 >= 0.0, q.p90 <= 0.0) {
        (true, _) => band(q.p10, q.p50, q.p90, "more"),
        (_, true) => band(-q.p90, -q.p50, -q.p10, "less"),
        _ => format!(
            "{} to {}{what} (middle {})",
            one(q.p10),
            one(q.p90),
            one(q.p50)
        ),
    }
}

/// "0.3 to 0.9" with a sign before each that is not zero.
fn signed(q: Quantiles) -> String {
    let one = |v: f64| {
        let text = say::number_band(v.abs(), v.abs());
        match text.as_str() {
            "0" => text,
            _ if v < 0.0 => format!("-{text}"),
            _ => format!("+{text}"),
        }
    };
    let (low, high) = (one(q.p10), one(q.p90));
    if low == high {
        low
    } else {
        format!("{low} to {high}")
    }
}
