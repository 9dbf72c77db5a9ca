//! Keyed figures with one value each: thermal properties and gas constants.

use std::sync::OnceLock;

use super::embedded;
use super::sheet::{Fault, Sheet, sorted_out};
use super::sources::Standing;
use crate::feed::How;

/// A figure behind an id.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Row {
    /// Id, unique in its table.
    pub id: String,
    /// Material or quantity, in words.
    pub quantity: String,
    /// Value in `unit`; `None` where the row is a formula (see `conditions`).
    pub value: Option<f64>,
    /// Low end.
    pub low: Option<f64>,
    /// High end.
    pub high: Option<f64>,
    /// Unit as printed.
    pub unit: String,
    /// For what it holds.
    pub conditions: String,
    /// Key into [`super::sources`].
    pub source_key: String,
    /// How it was got.
    pub how: How,
}

/// Thermal properties, in file order.
pub fn thermal_rows() -> &'static [Row] {
    static ROWS: OnceLock<Vec<Row>> = OnceLock::new();
    ROWS.get_or_init(|| {
        parse_thermal(embedded::THERMAL).expect("embedded thermal_properties.csv is tested")
    })
}

/// Gas, flame, wash and line figures, in file order.
pub fn gas_rows() -> &'static [Row] {
    static ROWS: OnceLock<Vec<Row>> = OnceLock::new();
    ROWS.get_or_init(|| parse_gas(embedded::GAS).expect("embedded gas_constants.csv is tested"))
}

/// A thermal row by id, e.g. `k_eps`.
pub fn thermal(id: &str) -> Option<&'static Row> {
    thermal_rows().iter().find(|row| row.id == id)
}

/// A gas row by id, e.g. `mm_ch4`.
pub fn gas_constant(id: &str) -> Option<&'static Row> {
    gas_rows().iter().find(|row| row.id == id)
}

/// Value of a thermal row, in the unit of the row.
///
/// # Panics
/// If the row is not there or has no value: for ids written in the code only,
/// never for ids from input.
pub fn thermal_value(id: &str) -> f64 {
    thermal(id)
        .and_then(|row| row.value)
        .unwrap_or_else(|| panic!("no thermal figure {id}"))
}

/// Value of a gas row, in the unit of the row.
///
/// # Panics
/// If the row is not there or has no value: for ids written in the code only,
/// never for ids from input.
pub fn gas_value(id: &str) -> f64 {
    gas_constant(id)
        .and_then(|row| row.value)
        .unwrap_or_else(|| panic!("no gas figure {id}"))
}

pub(super) fn parse_thermal(text: &str) -> Result<Vec<Row>, Vec<Fault>> {
    let columns = [
        "material_or_quantity",
        "id",
        "value",
        "low",
        "high",
        "unit",
        "source_key",
    ];
    parse("thermal_properties", text, "material_or_quantity", &columns)
}

pub(super) fn parse_gas(text: &str) -> Result<Vec<Row>, Vec<Fault>> {
    let columns = ["quantity", "id", "value", "unit", "source_key"];
    parse("gas_constants", text, "quantity", &columns)
}

fn parse(
    name: &'static str,
    text: &str,
    quantity: &str,
    columns: &[&str],
) -> Result<Vec<Row>, Vec<Fault>> {
    let sheet = Sheet::read(name, text, columns)?;
    let twice = sheet.twice("id");
    if !twice.is_empty() {
        return Err(twice);
    }
    sorted_out(sheet.rows("id").map(|row| {
        let value = row.maybe("value")?;
        if value.is_none() {
            // A row without a value is a rule and must state it.
            row.filled("conditions")?;
        }
        row.ordered("low", "value", "high")?;
        Ok(Row {
            id: row.filled("id")?,
            quantity: row.filled(quantity)?,
            value,
            low: row.maybe("low")?,
            high: row.maybe("high")?,
            unit: row.filled("unit")?,
            conditions: row.text("conditions").to_owned(),
            source_key: row.text("source_key").to_owned(),
            how: Standing::parse(row.text("read_or_memory"))
                .ok_or_else(|| row.unknown("read_or_memory"))?
                .into(),
        })
    }))
}
