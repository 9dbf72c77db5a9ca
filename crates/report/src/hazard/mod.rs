//! What stands out in a plan and its forecast: small rules, each with the
//! numbers that set it off and the source of its threshold.
//!
//! A rule is a row of [`rules::RULES`]: id, gravest severity, when it speaks, the
//! limits it compares with, its sources, and a small function that looks at a
//! [`case::Case`]. `docs/hazards.md` is written from the same rows. Words are for
//! the person at the plant; wording after `reference/safety_cautions.md`.

mod case;
mod chemistry;
mod doc;
mod feed;
mod fumes;
mod headspace;
mod heap;
mod hygiene;
mod leak;
mod line;
mod recipe;
mod rule;
mod rules;
mod standing;
mod vessel;
mod warmth;
mod wash;

#[cfg(test)]
mod tests;

use serde::Serialize;

use case::Case;
use fenlamp_model::forecast::bands::Forecast;
use fenlamp_model::plan::Plan;
use fenlamp_model::reference::{Standing, source};
use fenlamp_model::world::WorldRun;
use rules::RULES;

pub(crate) use case::{limit, limit_at};
pub(crate) use feed::load_words;

pub use doc::markdown;

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
