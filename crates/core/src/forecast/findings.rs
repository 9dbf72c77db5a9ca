//! What stands out in a plan and its forecast: small rules, each with the
//! numbers that set it off and the source of its threshold.
//!
//! A rule is a function from a [`case::Case`] to an optional [`Found`]; the list
//! [`RULES`] gives each its id. Thresholds are read from the reference rows.

mod case;
mod chemistry;
mod feed;
mod headspace;
mod hygiene;
mod recipe;
mod standing;
mod warmth;

#[cfg(test)]
mod tests;

use serde::Serialize;

use super::ensemble::Forecast;
use super::world::WorldRun;
use crate::plan::Plan;
use crate::reference::{Standing, source};
use case::Case;

/// How grave a finding is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Severity {
    /// Do not go on before this is dealt with.
    Stop,
    /// Needs care.
    Care,
    /// Worth knowing.
    Note,
}

/// One number behind a finding.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Evidence {
    /// What it is, with its unit: `days_below_15_c_p50`.
    pub name: &'static str,
    /// The value.
    pub value: f64,
}

/// What a rule found.
#[derive(Debug, Clone, PartialEq)]
pub struct Found {
    /// How grave.
    pub severity: Severity,
    /// What it is and what to do, in the reader's units.
    pub words: String,
    /// The numbers.
    pub evidence: Vec<Evidence>,
    /// Keys into the sources; the first is that of the threshold.
    pub source_keys: Vec<String>,
}

/// A source as a finding cites it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Citation {
    /// Key into the sources.
    pub key: String,
    /// The citation.
    pub citation: String,
    /// How the figures under this key were got.
    pub standing: Standing,
}

/// A finding as it is shown.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Finding {
    /// Stable id.
    pub id: &'static str,
    /// How grave.
    pub severity: Severity,
    /// True for the cautions that stand in every forecast.
    pub always: bool,
    /// What it is and what to do.
    pub words: String,
    /// The numbers that set it off; empty for standing cautions.
    pub evidence: Vec<Evidence>,
    /// Where the threshold or the rule comes from.
    pub sources: Vec<Citation>,
}

/// A rule: its id and what it looks for.
struct Rule {
    id: &'static str,
    find: fn(&Case<'_>) -> Option<Found>,
}

const fn rule(id: &'static str, find: fn(&Case<'_>) -> Option<Found>) -> Rule {
    Rule { id, find }
}

/// Every rule, in the order in which findings of one severity are shown.
const RULES: &[Rule] = &[
    rule("souring", chemistry::souring),
    rule("headspace-flammable", headspace::flammable),
    rule("headspace-air", headspace::air_left),
    rule("gas-holds-no-flame", headspace::weak_gas),
    rule("air-dose", headspace::air_dose),
    rule("h2s", chemistry::h2s),
    rule("people-beside-the-vessel", hygiene::indoors),
    rule("human-waste", hygiene::human_waste),
    rule("slurry-frozen", warmth::frozen),
    rule("slurry-cold", warmth::cold),
    rule("slurry-hot", warmth::hot),
    rule("heap-overheats", warmth::heap_overheats),
    rule("temperature-change", warmth::change),
    rule("loading", feed::loading),
    rule("retention-time", feed::retention),
    rule("feed-slug", feed::slug),
    rule("feed-refused", feed::refused),
    rule("feed-solids", feed::solids),
    rule("wood-in-the-digester", recipe::wood),
    rule("seed", feed::seed),
    rule("ammonia-total", chemistry::ammonia_total),
    rule("ammonia-free", chemistry::ammonia_free),
    rule("carbon-to-nitrogen", recipe::carbon_to_nitrogen),
    rule("methane-potential-capped", recipe::capped),
    rule("weak-figures", recipe::weak_figures),
    rule("caustic-additive", hygiene::caustic),
    rule("sulfate-additive", chemistry::sulfate),
    rule("pig-manure", hygiene::pig_manure),
];

/// Everything that stands out, gravest first, then the cautions that always stand.
pub fn findings(plan: &Plan, forecast: &Forecast, runs: &[WorldRun]) -> Vec<Finding> {
    let case = Case::new(plan, forecast, runs);
    let mut out: Vec<Finding> = RULES
        .iter()
        .filter_map(|r| Some(shown(r.id, false, (r.find)(&case)?)))
        .collect();
    out.sort_by_key(|f| f.severity);
    out.extend(
        standing::CAUTIONS
            .iter()
            .map(|c| shown(c.id, true, c.found())),
    );
    out
}

fn shown(id: &'static str, always: bool, found: Found) -> Finding {
    let sources = found
        .source_keys
        .iter()
        .filter_map(|key| source(key))
        .map(|s| Citation {
            key: s.key.clone(),
            citation: s.citation.clone(),
            standing: s.standing,
        })
        .collect();
    Finding {
        id,
        severity: found.severity,
        always,
        words: found.words,
        evidence: found.evidence,
        sources,
    }
}
