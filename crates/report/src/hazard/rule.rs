//! A rule as data: what it is called, when it speaks, and what it measures by.

use super::Found;
use super::Severity;
use super::case::Case;
use fenlamp_model::reference::{
    LimitState, OperatingLimit, digestion_limits, gas_constant, safety_limits,
};

/// A published number, or one of ours, that a rule compares with.
#[derive(Clone, Copy)]
pub(super) enum Limit {
    /// `safety_limits.csv`: hazard and name.
    Safety(&'static str, &'static str),
    /// `digestion_limits.csv`: parameter, state, which of its rows.
    Operating(&'static str, LimitState, fn(&OperatingLimit) -> bool),
    /// `digestion_limits.csv`: a table that goes by the slurry's temperature.
    ByTemperature(&'static str),
    /// `gas_constants.csv`: id.
    Gas(&'static str),
    /// Stated in a text of `reference/`: value, unit, source key.
    Told(f64, &'static str, &'static str),
    /// Our judgement: value, unit.
    Judged(f64, &'static str),
}

/// A limit made plain.
#[derive(Debug, Clone, PartialEq)]
pub struct Threshold {
    /// The number with its unit.
    pub number: String,
    /// Source key; `None` for a judgement.
    pub key: Option<String>,
}

impl Limit {
    /// The limit in words; `None` if the row is not there (a test holds that it is).
    pub(super) fn shown(self) -> Option<Threshold> {
        let with = |number: String, key: &str| Threshold {
            number,
            key: Some(key.to_owned()),
        };
        Some(match self {
            Limit::Safety(hazard, name) => {
                let row = safety_limits()
                    .iter()
                    .find(|r| r.hazard == hazard && r.name == name)?;
                with(
                    format!("{} {} ({name})", row.value?, row.unit),
                    &row.source_key,
                )
            }
            Limit::Operating(parameter, state, which) => {
                let row = digestion_limits()
                    .iter()
                    .find(|r| r.parameter == parameter && r.state == state && which(r))?;
                let span = match (row.low, row.high) {
                    (Some(a), Some(b)) if a == b => format!("{a}"),
                    (Some(a), Some(b)) => format!("{a} to {b}"),
                    (Some(a), None) => format!("above {a}"),
                    (None, Some(b)) => format!("below {b}"),
                    (None, None) => return None,
                };
                let unit = if row.unit == "-" { "" } else { &row.unit };
                with(format!("{span} {unit}").trim().to_owned(), &row.source_key)
            }
            Limit::ByTemperature(parameter) => {
                let row = digestion_limits()
                    .iter()
                    .find(|r| r.parameter == parameter)?;
                with(
                    format!(
                        "by slurry temperature ({}, {})",
                        parameter.replace('_', " "),
                        row.unit
                    ),
                    &row.source_key,
                )
            }
            Limit::Gas(id) => {
                let row = gas_constant(id)?;
                with(format!("{} {}", row.value?, row.unit), &row.source_key)
            }
            Limit::Told(value, unit, key) => with(format!("{value} {unit}"), key),
            Limit::Judged(value, unit) => Threshold {
                number: format!("{value} {unit} (judgement)"),
                key: None,
            },
        })
    }
}

/// A rule.
pub(super) struct Rule {
    /// Stable id.
    pub id: &'static str,
    /// The gravest it gets.
    pub severity: Severity,
    /// When it speaks.
    pub when: &'static str,
    /// What it measures by.
    pub limits: &'static [Limit],
    /// Sources of its words besides those of its limits.
    pub keys: &'static [&'static str],
    /// Looks.
    pub find: fn(&Case<'_>) -> Option<Found>,
}
