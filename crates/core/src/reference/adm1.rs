//! Constants and the steady state of the plain digestion model.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use super::embedded;
use super::sheet::{Fault, Sheet, sorted_out};

/// Key into [`super::sources`] for every figure of both tables.
pub const ADM1_SOURCE_KEY: &str = "ROSEN06";

/// One state of the published steady state.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct SteadyState {
    /// Symbol, e.g. `S_su`.
    pub symbol: String,
    /// Unit as printed.
    pub unit: String,
    /// In the influent; `None` for states that only exist in the reactor.
    pub influent: Option<f64>,
    /// In the reactor.
    pub steady_state: f64,
}

/// All constants by symbol, in the units of `adm1_constants.csv` (ROSEN06).
pub fn adm1_constants() -> &'static BTreeMap<String, f64> {
    static CONSTANTS: OnceLock<BTreeMap<String, f64>> = OnceLock::new();
    CONSTANTS.get_or_init(|| {
        parse_constants(embedded::ADM1_CONSTANTS).expect("embedded adm1_constants.csv is tested")
    })
}

/// A constant by symbol.
///
/// # Panics
/// If there is none: for symbols written in the code only. See [`try_adm1`].
pub fn adm1(symbol: &str) -> f64 {
    try_adm1(symbol).unwrap_or_else(|| panic!("no ADM1 constant {symbol}"))
}

/// A constant by symbol, `None` if there is none.
pub fn try_adm1(symbol: &str) -> Option<f64> {
    adm1_constants().get(symbol).copied()
}

/// Influent and steady state of the published run (ROSEN06), in file order.
pub fn adm1_steady_state() -> &'static [SteadyState] {
    static ROWS: OnceLock<Vec<SteadyState>> = OnceLock::new();
    ROWS.get_or_init(|| {
        parse_steady_state(embedded::ADM1_STEADY_STATE)
            .expect("embedded adm1_steady_state.csv is tested")
    })
}

pub(super) fn parse_constants(text: &str) -> Result<BTreeMap<String, f64>, Vec<Fault>> {
    let sheet = Sheet::read(
        "adm1_constants",
        text,
        &["symbol", "value", "unit", "meaning"],
    )?;
    let twice = sheet.twice("symbol");
    if !twice.is_empty() {
        return Err(twice);
    }
    let pairs = sorted_out(sheet.rows("symbol").map(|row| {
        row.filled("unit")?;
        Ok((row.filled("symbol")?, row.number("value")?))
    }))?;
    Ok(pairs.into_iter().collect())
}

pub(super) fn parse_steady_state(text: &str) -> Result<Vec<SteadyState>, Vec<Fault>> {
    let columns = ["symbol", "unit", "influent", "steady_state"];
    let sheet = Sheet::read("adm1_steady_state", text, &columns)?;
    let twice = sheet.twice("symbol");
    if !twice.is_empty() {
        return Err(twice);
    }
    sorted_out(sheet.rows("symbol").map(|row| {
        Ok(SteadyState {
            symbol: row.filled("symbol")?,
            unit: row.filled("unit")?,
            influent: row.maybe("influent")?,
            steady_state: row.number("steady_state")?,
        })
    }))
}
