//! Operating bands of a digester and limits for people.

use std::sync::OnceLock;

use super::embedded;
use super::sheet::{Fault, Sheet, sorted_out};
use super::sources::Standing;
use crate::feed::How;

/// One band of an operating quantity.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct OperatingLimit {
    /// Quantity, e.g. `pH`.
    pub parameter: String,
    /// What a reading inside the band means.
    pub state: LimitState,
    /// Lower edge, open if `None`.
    pub low: Option<f64>,
    /// Upper edge, open if `None`.
    pub high: Option<f64>,
    /// Unit as printed.
    pub unit: String,
    /// For what it holds.
    pub conditions: String,
    /// What it means.
    pub meaning: String,
    /// What to do.
    pub remedy: String,
    /// Key into [`super::sources`].
    pub source_key: String,
    /// How it was got.
    pub how: How,
}

/// What a reading inside a band means.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum LimitState {
    /// Normal.
    Good,
    /// Look closer.
    Watch,
    /// Do something.
    Act,
}

/// A limit that protects people.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct SafetyLimit {
    /// Substance or hazard.
    pub hazard: String,
    /// Name of the limit.
    pub name: String,
    /// Value in `unit`; `None` where the rule has no number.
    pub value: Option<f64>,
    /// Unit as printed.
    pub unit: String,
    /// Time over which it is averaged, or the occasion.
    pub averaging_time: String,
    /// Issuing body, document, year.
    pub issued_by: String,
    /// Key into [`super::sources`].
    pub source_key: String,
    /// How it was got.
    pub how: How,
}

/// Operating bands, in file order.
pub fn digestion_limits() -> &'static [OperatingLimit] {
    static ROWS: OnceLock<Vec<OperatingLimit>> = OnceLock::new();
    ROWS.get_or_init(|| {
        parse_digestion(embedded::DIGESTION_LIMITS)
            .expect("embedded digestion_limits.csv is tested")
    })
}

/// Limits for people, in file order.
pub fn safety_limits() -> &'static [SafetyLimit] {
    static ROWS: OnceLock<Vec<SafetyLimit>> = OnceLock::new();
    ROWS.get_or_init(|| {
        parse_safety(embedded::SAFETY_LIMITS).expect("embedded safety_limits.csv is tested")
    })
}

pub(super) fn parse_digestion(text: &str) -> Result<Vec<OperatingLimit>, Vec<Fault>> {
    let columns = [
        "parameter",
        "band",
        "low",
        "high",
        "unit",
        "source_key",
        "read_or_memory",
    ];
    let sheet = Sheet::read("digestion_limits", text, &columns)?;
    sorted_out(sheet.rows("parameter").map(|row| {
        row.ordered("low", "", "high")?;
        Ok(OperatingLimit {
            parameter: row.filled("parameter")?,
            state: match row.text("band") {
                "good" => LimitState::Good,
                "watch" => LimitState::Watch,
                "act" => LimitState::Act,
                _ => return Err(row.unknown("band")),
            },
            low: row.maybe("low")?,
            high: row.maybe("high")?,
            unit: row.text("unit").to_owned(),
            conditions: row.text("conditions").to_owned(),
            meaning: row.text("meaning").to_owned(),
            remedy: row.text("remedy").to_owned(),
            source_key: row.text("source_key").to_owned(),
            how: Standing::parse(row.text("read_or_memory"))
                .ok_or_else(|| row.unknown("read_or_memory"))?
                .into(),
        })
    }))
}

pub(super) fn parse_safety(text: &str) -> Result<Vec<SafetyLimit>, Vec<Fault>> {
    let columns = [
        "hazard",
        "limit_name",
        "value",
        "unit",
        "source_key",
        "read_or_memory",
    ];
    let sheet = Sheet::read("safety_limits", text, &columns)?;
    sorted_out(sheet.rows("hazard").map(|row| {
        Ok(SafetyLimit {
            hazard: row.filled("hazard")?,
            name: row.filled("limit_name")?,
            value: row.maybe("value")?,
            unit: row.text("unit").to_owned(),
            averaging_time: row.text("averaging_time").to_owned(),
            issued_by: row.text("issuing_body_document_year").to_owned(),
            source_key: row.text("source_key").to_owned(),
            how: Standing::parse(row.text("read_or_memory"))
                .ok_or_else(|| row.unknown("read_or_memory"))?
                .into(),
        })
    }))
}
