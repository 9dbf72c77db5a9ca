//! The published constants and steady state of plain ADM1 (ROSEN06: the Lund report of Rosén
//! and Jeppsson 2006), as embedded tables.

use std::collections::BTreeMap;
use std::sync::OnceLock;

const CONSTANTS: &str = include_str!("../../../reference/adm1_constants.csv");
const STEADY_STATE: &str = include_str!("../../../reference/adm1_steady_state.csv");

/// One state of the published steady state.
#[derive(Debug, Clone, PartialEq, serde::Deserialize)]
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

/// A row of the table of constants.
#[derive(serde::Deserialize)]
struct Constant {
    symbol: String,
    value: f64,
}

fn rows<T: serde::de::DeserializeOwned>(text: &str) -> Result<Vec<T>, csv::Error> {
    csv::Reader::from_reader(text.as_bytes())
        .deserialize()
        .collect()
}

/// Constants by symbol; the later of two rows of one symbol holds.
fn constants_of(text: &str) -> Result<BTreeMap<String, f64>, csv::Error> {
    let rows: Vec<Constant> = rows(text)?;
    Ok(rows.into_iter().map(|c| (c.symbol, c.value)).collect())
}

/// A constant by symbol, in the units of `adm1_constants.csv`; `None` if there is none.
pub fn constant(symbol: &str) -> Option<f64> {
    static ROWS: OnceLock<BTreeMap<String, f64>> = OnceLock::new();
    ROWS.get_or_init(|| constants_of(CONSTANTS).expect("the embedded table is tested"))
        .get(symbol)
        .copied()
}

/// Influent and steady state of the published run, in file order.
pub fn steady_state() -> &'static [SteadyState] {
    static ROWS: OnceLock<Vec<SteadyState>> = OnceLock::new();
    ROWS.get_or_init(|| rows(STEADY_STATE).expect("the embedded table is tested"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tables_are_whole() {
        let lines = CONSTANTS.lines().count() - 1;
        // A symbol that stands twice would be one row less.
        assert_eq!(constants_of(CONSTANTS).map(|c| c.len()).ok(), Some(lines));
        assert_eq!(lines, 95);
        assert_eq!(steady_state().len(), 41);
        assert_eq!(constant("k_m_ac"), Some(8.0));
        assert_eq!(constant("no_such_symbol"), None);
        assert!(constants_of(&CONSTANTS.replacen("k_m_ac,8,", "k_m_ac,eight,", 1)).is_err());
    }
}
