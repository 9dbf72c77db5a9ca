//! Which of the uncertain inputs the spread of the results comes from.

use serde::Serialize;

use super::figures::Figures;
use crate::say;
use crate::world::draw::{Input, InputKind, WorldDraw};

#[cfg(test)]
mod tests;

/// One input and how the results follow it over the worlds: Spearman's rank
/// correlation, -1 to 1. Tied inputs carry each other's part.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Lever {
    /// Id of the input.
    pub input: String,
    /// Its name.
    pub name: String,
    /// With the year's methane; `None` when all worlds give the same.
    pub year_methane: Option<f64>,
    /// With the methane of the three coldest months.
    pub winter_methane: Option<f64>,
    /// With the day of the first flame; a world without one is ranked last.
    pub first_flame_day: Option<f64>,
    /// What is clear of chance, in words; empty when nothing is.
    pub words: String,
}

impl Lever {
    /// The strongest of its correlations, without sign.
    pub fn strength(&self) -> f64 {
        [self.year_methane, self.winter_methane, self.first_flame_day]
            .into_iter()
            .flatten()
            .fold(0.0, |a, b| a.max(b.abs()))
    }
}

/// The inputs that have something to act on, strongest first.
pub fn levers(inputs: &[Input], draws: &[WorldDraw], figures: &[Figures]) -> Vec<Lever> {
    let year: Vec<f64> = figures.iter().map(|f| f.year_methane_l).collect();
    let winter: Option<Vec<f64>> = figures.iter().map(|f| f.winter_methane_l).collect();
    let flame = flame_days(figures);
    let clear = clear_of_chance(figures.len());
    let mut out: Vec<Lever> = inputs
        .iter()
        .enumerate()
        .filter(|(_, input)| input.acts)
        .map(|(axis, input)| {
            let values: Vec<f64> = draws
                .iter()
                .map(|d| d.unit.get(axis).copied().unwrap_or(0.5))
                .collect();
            let with = |result: &[f64]| spearman(&values, result);
            let mut lever = Lever {
                input: input.id.clone(),
                name: input.name.clone(),
                year_methane: with(&year),
                winter_methane: winter.as_deref().and_then(with),
                first_flame_day: flame.as_deref().and_then(with),
                words: String::new(),
            };
            lever.words = words(input, &lever, clear);
            lever
        })
        .collect();
    // Stable: equals stay in the order of the inputs.
    out.sort_by(|a, b| b.strength().total_cmp(&a.strength()));
    out
}

/// Days of the first flame for ranking: a world without one comes after all others
/// and level with its like. `None` when no world has one.
fn flame_days(figures: &[Figures]) -> Option<Vec<f64>> {
    figures.iter().any(|f| f.first_flame.is_some()).then(|| {
        figures
            .iter()
            .map(|f| f.first_flame.map_or(f64::INFINITY, |d| d as f64))
            .collect()
    })
}

/// Correlation that chance alone passes about once in a hundred: 2.6 standard
/// errors of a rank correlation without any tie, 1/sqrt(n-1) (Kendall and Gibbons,
/// Rank Correlation Methods; from memory). Many inputs are asked at once.
pub fn clear_of_chance(worlds: usize) -> f64 {
    2.6 / (worlds.saturating_sub(1).max(1) as f64).sqrt()
}

/// Spearman's rank correlation, ties given their mean rank; `None` when a side
/// has but one value or the lengths differ.
pub fn spearman(a: &[f64], b: &[f64]) -> Option<f64> {
    if a.len() != b.len() || a.len() < 2 {
        return None;
    }
    let (a, b) = (ranks(a), ranks(b));
    let mean = (a.len() as f64 - 1.0) / 2.0;
    let (mut ab, mut aa, mut bb) = (0.0, 0.0, 0.0);
    for (x, y) in a.iter().zip(&b) {
        let (x, y) = (x - mean, y - mean);
        ab += x * y;
        aa += x * x;
        bb += y * y;
    }
    (aa > 0.0 && bb > 0.0).then(|| ab / (aa * bb).sqrt())
}

/// Ranks from 0, equal values at the mean of their places.
fn ranks(values: &[f64]) -> Vec<f64> {
    let mut order: Vec<usize> = (0..values.len()).collect();
    order.sort_by(|&a, &b| values[a].total_cmp(&values[b]));
    let mut out = vec![0.0; values.len()];
    let mut from = 0;
    while from < order.len() {
        let mut to = from + 1;
        while to < order.len() && values[order[to]] == values[order[from]] {
            to += 1;
        }
        for &i in &order[from..to] {
            out[i] = (from + to - 1) as f64 / 2.0;
        }
        from = to;
    }
    out
}

fn words(input: &Input, lever: &Lever, clear: f64) -> String {
    let seen = |rho: Option<f64>| rho.filter(|r| r.abs() >= clear);
    let gas = |rho: f64| if rho > 0.0 { "more" } else { "less" };
    let mut parts = Vec::new();
    match (seen(lever.year_methane), seen(lever.winter_methane)) {
        (Some(y), Some(w)) if (y > 0.0) == (w > 0.0) => parts.push(format!(
            "gives {} methane, in the coldest months too",
            gas(y)
        )),
        (year, winter) => {
            parts.extend(year.map(|y| format!("gives {} methane", gas(y))));
            parts.extend(winter.map(|w| format!("gives {} methane in the coldest months", gas(w))));
        }
    }
    parts.extend(seen(lever.first_flame_day).map(|rho| {
        if rho < 0.0 {
            "brings the first flame forward".to_owned()
        } else {
            "puts the first flame off".to_owned()
        }
    }));
    if parts.is_empty() {
        return String::new();
    }
    // "Microbes" is the only subject in the plural.
    let mut text = format!("{} {}", input.more, parts.join(" and "));
    if input.kind == InputKind::Uptake {
        text = text
            .replace(" gives ", " give ")
            .replace(" brings ", " bring ")
            .replace(" puts ", " put ");
    }
    format!("{}.", say::capital(&text))
}
