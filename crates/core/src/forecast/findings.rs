//! What stands out in a plan and its forecast: small rules, each with the
//! numbers that set it off and the source of its threshold.
//!
//! A rule is a function from a [`case::Case`] to an optional [`Found`]; the list
//! [`RULES`] gives each its id. Thresholds are read from the reference rows.

use serde::Serialize;

use super::ensemble::Forecast;
use super::world::WorldRun;
use crate::plan::Plan;
use crate::reference::Standing;

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
pub fn findings(_plan: &Plan, _forecast: &Forecast, _runs: &[WorldRun]) -> Vec<Finding> {
    Vec::new()
}
