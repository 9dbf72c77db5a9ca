//! Statements of chance, counted over the worlds, as fractions a person reads.

use jiff::ToSpan;
use jiff::civil::Date;
use serde::Serialize;

use super::figures::Figures;
use crate::forecast::bands::MonthBand;
use crate::gas::uses;
use crate::plan::{Plan, SlurryTemperature};
use crate::say;
use crate::world::WorldRun;

#[cfg(test)]
mod tests;

/// What a chance is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum ChanceOf {
    /// A steady flame by a date.
    FlameBy,
    /// A steady flame within the forecast.
    Flame,
    /// The slurry turning sour.
    Sour,
    /// A month that gives at least one kettle a day.
    KettleADay,
}

/// One counted statement.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Chance {
    /// What it is of.
    pub of: ChanceOf,
    /// Worlds in which it comes true.
    pub worlds: u32,
    /// Worlds run.
    pub of_worlds: u32,
    /// Low end of the true share of worlds, by the score interval at 95 % (Wilson
    /// 1927, J. Am. Stat. Assoc. 22:209; from memory).
    pub share_low: f64,
    /// High end of it.
    pub share_high: f64,
    /// Date of a flame.
    pub by: Option<Date>,
    /// Year of a month.
    pub year: Option<i16>,
    /// Month, 1 = January.
    pub month: Option<i8>,
    /// In words.
    pub words: String,
}

/// Share of the worlds that a date of the first flame is given for.
const MOST: f64 = 0.9;

/// What can be counted; no kettles for a bench.
pub fn chances(
    plan: &Plan,
    months: &[MonthBand],
    figures: &[Figures],
    runs: &[WorldRun],
) -> Vec<Chance> {
    let n = figures.len();
    let mut out = Vec::new();
    if n == 0 {
        return out;
    }
    let bench = matches!(plan.slurry_temperature, SlurryTemperature::Fixed(_));
    let mut days: Vec<usize> = figures.iter().filter_map(|f| f.first_flame).collect();
    days.sort_unstable();
    let wanted = (MOST * n as f64).ceil() as usize;
    if let Some(&day) = wanted.checked_sub(1).and_then(|w| days.get(w)) {
        let count = days.iter().filter(|&&d| d <= day).count();
        let by = plan.start.saturating_add((day as i64).days());
        let words = format!(
            "{} a steady flame by {}",
            have(count, n),
            say::date(by, plan.start)
        );
        let mut chance = counted(ChanceOf::FlameBy, count, n, words);
        chance.by = Some(by);
        out.push(chance);
    }
    if !bench || !days.is_empty() {
        let words = format!("{} a steady flame at all", have(days.len(), n));
        out.push(counted(ChanceOf::Flame, days.len(), n, words));
    }
    let sour = figures.iter().filter(|f| f.sour).count();
    let words = match sour {
        0 => format!("None of the {n} worlds turns sour"),
        s if s == n => "Every world turns sour".to_owned(),
        s => format!("The slurry turns sour in {}", fraction(s, n)),
    };
    out.push(counted(ChanceOf::Sour, sour, n, words));
    if !bench {
        out.extend(kettles(months, runs));
    }
    out
}

fn kettles(months: &[MonthBand], runs: &[WorldRun]) -> Vec<Chance> {
    let mut from = 0;
    months
        .iter()
        .map(|m| {
            let days = from..from + m.days as usize;
            from = days.end;
            let enough = |r: &&WorldRun| {
                let methane: f64 = r
                    .days
                    .get(days.clone())
                    .unwrap_or_default()
                    .iter()
                    .map(|d| d.methane_l)
                    .sum();
                uses::of_methane(methane / f64::from(m.days.max(1))).kettles >= 1.0
            };
            let count = runs.iter().filter(enough).count();
            let words = format!(
                "{} {}: at least one kettle a day in {}",
                say::month(m.month),
                m.year,
                fraction(count, runs.len())
            );
            let mut chance = counted(ChanceOf::KettleADay, count, runs.len(), words);
            chance.year = Some(m.year);
            chance.month = Some(m.month);
            chance
        })
        .collect()
}

fn counted(of: ChanceOf, count: usize, n: usize, words: String) -> Chance {
    let (share_low, share_high) = wilson(count, n);
    Chance {
        of,
        worlds: count as u32,
        of_worlds: n as u32,
        share_low,
        share_high,
        by: None,
        year: None,
        month: None,
        words,
    }
}

fn have(count: usize, n: usize) -> String {
    let has = match (count, n) {
        (0, _) | (1, _) => "has",
        _ => "have",
    };
    format!("{} {has}", say::capital(&fraction(count, n)))
}

/// Score interval of a share at 95 %.
fn wilson(count: usize, n: usize) -> (f64, f64) {
    let (n, z) = (n.max(1) as f64, 1.96_f64);
    let share = count as f64 / n;
    let centre = share + z * z / (2.0 * n);
    let half = z * (share * (1.0 - share) / n + z * z / (4.0 * n * n)).sqrt();
    let whole = 1.0 + z * z / n;
    (
        ((centre - half) / whole).max(0.0),
        ((centre + half) / whole).min(1.0),
    )
}

/// Wholes a person reads easily.
const WHOLES: [usize; 8] = [2, 3, 4, 5, 6, 8, 10, 12];

/// `count` of `n` worlds as a small fraction: "1 of 6 worlds", "all 60 worlds",
/// "none of 60 worlds". A rare thing keeps its own count.
pub fn fraction(count: usize, n: usize) -> String {
    if n == 1 {
        let only = if count == 0 { "not " } else { "" };
        return format!("{only}the one world run");
    }
    if count == 0 {
        return format!("none of {n} worlds");
    }
    if count >= n {
        return format!("all {n} worlds");
    }
    let share = count as f64 / n as f64;
    // The smallest whole that is as near as any to within a fiftieth.
    let near = |whole: usize| {
        let part = (share * whole as f64).round() as usize;
        let miss = (part as f64 / whole as f64 - share).abs();
        (part > 0 && part < whole && miss <= 0.02).then_some((part, whole))
    };
    match WHOLES.into_iter().find_map(near) {
        Some((part, whole)) if whole <= n => format!("{part} of {whole} worlds"),
        _ => format!("{count} of {n} worlds"),
    }
}
