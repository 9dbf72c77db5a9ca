//! Constants of the digestion that were inferred from data, with their correlations.
//!
//! `reference/biology.csv` is written by the calibration program
//! (`docs/calibration.md`); nobody types its numbers.

use std::sync::OnceLock;

use super::embedded;
use super::sheet::{Fault, Sheet, sorted_out};
use crate::band::Band;

/// One inferred constant.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Inferred {
    /// Id, unique in the table.
    pub id: String,
    /// Name a person reads.
    pub name: String,
    /// Its upper side as the subject of a sentence.
    pub more: String,
    /// Unit of the band.
    pub unit: String,
    /// What eight in ten worlds hold, drawn on the logarithm.
    pub band: Band,
    /// Correlation of its logarithm with that of each row of the table, in order.
    pub correlation: Vec<f64>,
}

/// All inferred constants, in file order.
pub fn inferred() -> &'static [Inferred] {
    static ROWS: OnceLock<Vec<Inferred>> = OnceLock::new();
    ROWS.get_or_init(|| parse(embedded::BIOLOGY).expect("embedded biology.csv is tested"))
}

pub(super) fn parse(text: &str) -> Result<Vec<Inferred>, Vec<Fault>> {
    let columns = ["id", "name", "more", "unit", "low", "mid", "high"];
    let sheet = Sheet::read("biology", text, &columns)?;
    let twice = sheet.twice("id");
    if !twice.is_empty() {
        return Err(twice);
    }
    let ids = sorted_out(sheet.rows("id").map(|row| row.filled("id")))?;
    sorted_out(sheet.rows("id").map(|row| {
        row.ordered("low", "mid", "high")?;
        Ok(Inferred {
            id: row.filled("id")?,
            name: row.filled("name")?,
            more: row.filled("more")?,
            unit: row.filled("unit")?,
            band: Band {
                low: row.number("low")?,
                mid: row.number("mid")?,
                high: row.number("high")?,
            },
            correlation: ids
                .iter()
                .map(|id| row.number(&format!("r_{id}")))
                .collect::<Result<_, _>>()?,
        })
    }))
}
