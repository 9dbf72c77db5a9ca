//! When a gas can burn in air, when a headspace can, and how to purge it.
//!
//! Lower limits ignore the inert gas (the safe side). Upper limits come twice:
//! ignoring it (widest, for judging), and along the straight line to the nose
//! of the envelope (Zabetakis 1965, from memory). Handbook upper limits of 12 %
//! biogas are too low and are not used.

use serde::Serialize;

use super::error::{GasError, within};
use super::mixture::Mixture;
use crate::reference::gas_value;

/// Whose flammability limits of the pure gases.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub enum LimitTable {
    /// NFPA 497 (2008): methane 5 to 15 %.
    Nfpa497,
    /// IEC 60079-20-1 (2010): methane 4.4 to 17 %, the wider.
    Iec60079,
}

impl LimitTable {
    /// Limit of a pure gas, share of air; hydrogen stands in the IEC table only.
    fn limit(self, side: &str, gas: &str) -> f64 {
        let body = match self {
            Self::Nfpa497 if gas != "h2" => "nfpa",
            _ => "iec",
        };
        gas_value(&format!("{side}_{gas}_{body}")) / 100.0
    }
}

/// Shares of the gas in air between which it can burn.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Limits {
    /// Below it the mixture is too lean.
    pub lower: f64,
    /// Above it the mixture is too rich, inert gas ignored: the safe side.
    pub upper_safe: f64,
    /// Above it too rich along the straight-line envelope; `None` where even
    /// the envelope says that no mixture with air burns.
    pub upper_envelope: Option<f64>,
    /// Least oxygen in which it can burn, share of the mixture.
    pub limiting_oxygen: f64,
}

/// Le Chatelier's rule over the burning gases; the rest is ignored.
fn le_chatelier(gas: &Mixture, table: LimitTable, side: &str) -> Result<f64, GasError> {
    let x = gas.shares();
    let sum = x.ch4 / table.limit(side, "ch4")
        + x.h2s / table.limit(side, "h2s")
        + x.h2 / table.limit(side, "h2");
    if sum <= 0.0 {
        return Err(GasError::NothingBurns);
    }
    Ok(1.0 / sum)
}

/// Limits of a gas in air at 25 degC.
///
/// # Errors
/// [`GasError::NothingBurns`].
pub fn limits(gas: &Mixture, table: LimitTable) -> Result<Limits, GasError> {
    let lower = le_chatelier(gas, table, "lfl")?;
    Ok(Limits {
        lower,
        upper_safe: le_chatelier(gas, table, "ufl")?.min(1.0),
        upper_envelope: upper_envelope(gas).filter(|upper| *upper > lower),
        limiting_oxygen: limiting_oxygen(gas)?,
    })
}

/// Methane that the gas counts as on the way to the nose: hydrogen needs
/// `inert_ratio_h2_n2` parts of nitrogen, methane the ratio at its own nose;
/// hydrogen sulfide by its lower limit.
fn as_methane(gas: &Mixture) -> f64 {
    let x = gas.shares();
    let methane_ratio = gas_value("nose_n2") / gas_value("nose_ch4_n2");
    let sulfide = gas_value("lfl_ch4_nfpa") / gas_value("lfl_h2s_nfpa");
    x.ch4 + x.h2 * gas_value("inert_ratio_h2_n2") / methane_ratio + x.h2s * sulfide
}

/// Carbon dioxide, water and the nitrogen beyond that of the gas's own air.
fn inert(gas: &Mixture) -> (f64, f64) {
    let (x, air) = (gas.shares(), Mixture::air().shares());
    let excess = (x.n2 - x.o2 * air.n2 / air.o2).max(0.0);
    // Water vapour damps like nitrogen at least.
    (x.co2, excess + x.h2o)
}

/// Share of gas in air at which the straight line from pure methane's upper
/// limit to the nose is crossed (worked example 11).
fn upper_envelope(gas: &Mixture) -> Option<f64> {
    if !could_burn_in_air(gas) {
        return None;
    }
    let top = gas_value("ufl_ch4_nfpa") / 100.0;
    let slope = |nose_inert: &str, nose_ch4: &str| {
        (top - gas_value(nose_ch4) / 100.0) / (gas_value(nose_inert) / 100.0)
    };
    let (co2, n2) = inert(gas);
    let falling = co2 * slope("nose_co2", "nose_ch4_co2") + n2 * slope("nose_n2", "nose_ch4_n2");
    Some((top / (as_methane(gas) + falling)).min(1.0))
}

/// True if some mixture with air can burn: the ratio of burning to inert gas
/// is above that at the nose of the envelope. Gas that holds no flame at a
/// burner can still be of this kind.
fn could_burn_in_air(gas: &Mixture) -> bool {
    let fuel = as_methane(gas);
    let (co2, n2) = inert(gas);
    // Inert gas that this much methane can carry is used up along a straight line.
    let carried = co2 * gas_value("nose_ch4_co2") / gas_value("nose_co2")
        + n2 * gas_value("nose_ch4_n2") / gas_value("nose_n2");
    fuel > 0.0 && fuel >= carried
}

/// Least oxygen in which the gas can burn, share of the mixture: `loc_*_n2`
/// weighted by the burning gases. The nitrogen figures are lower than those
/// for carbon dioxide, hence the safe side.
///
/// # Errors
/// [`GasError::NothingBurns`].
pub fn limiting_oxygen(gas: &Mixture) -> Result<f64, GasError> {
    let x = gas.shares();
    let fuel = gas.combustible();
    if fuel <= 0.0 {
        return Err(GasError::NothingBurns);
    }
    let sum = x.ch4 * gas_value("loc_ch4_n2")
        + x.h2 * gas_value("loc_h2_n2")
        + x.h2s * gas_value("loc_h2s_n2");
    Ok(sum / fuel / 100.0)
}

/// How a headspace stands, with any air already in it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Headspace {
    /// Nothing in it burns.
    NothingBurns,
    /// Too little burning gas to burn now.
    TooLean,
    /// Too much burning gas to burn now.
    TooRich,
    /// Too little oxygen to burn now.
    TooLittleOxygen,
    /// Can burn or explode as it is.
    CanBurn,
}

/// How a headspace stands now, on the safe side: the wider limits (IEC), inert
/// gas ignored, oxygen limits in nitrogen.
pub fn headspace(gas: &Mixture) -> Headspace {
    let table = LimitTable::Iec60079;
    let (Ok(lower), Ok(upper), Ok(oxygen)) = (
        le_chatelier(gas, table, "lfl"),
        le_chatelier(gas, table, "ufl"),
        limiting_oxygen(gas),
    ) else {
        return Headspace::NothingBurns;
    };
    // A limit is the amount of this very mixture that just burns: 1 is all of it.
    if lower > 1.0 {
        Headspace::TooLean
    } else if gas.shares().o2 < oxygen {
        Headspace::TooLittleOxygen
    } else if upper < 1.0 {
        Headspace::TooRich
    } else {
        Headspace::CanBurn
    }
}

/// True if a headspace of this composition can burn as it is.
pub fn is_flammable(gas: &Mixture) -> bool {
    headspace(gas) == Headspace::CanBurn
}

/// True if it can burn now or after some air is let in (an opened lid, a leak).
/// The safe side of the nose: lean gas that cannot reach its lower limit undiluted
/// is the only other case that cannot.
pub fn could_become_flammable_when_mixed_with_air(gas: &Mixture) -> bool {
    if is_flammable(gas) {
        return true;
    }
    // Air only dilutes: a gas below its lower limit stays below.
    let lean = le_chatelier(gas, LimitTable::Iec60079, "lfl").is_ok_and(|lower| lower > 1.0);
    !lean && could_burn_in_air(gas)
}

/// Headspace volumes of gas that bring oxygen from one share down to another
/// in a well-mixed space: `ln(from / to)` (worked example 11).
///
/// # Errors
/// [`GasError::OutOfRange`] unless `to` is above 0 and not above `from`.
pub fn purge_volumes(from: f64, to: f64) -> Result<f64, GasError> {
    within("oxygen at the start", "%", 100.0 * from, 1e-4, 100.0)?;
    within("oxygen at the end", "%", 100.0 * to, 1e-4, 100.0 * from)?;
    Ok((from / to).ln())
}

/// Headspace volumes to bring air down to the oxygen at which a purge may end
/// (`purge_o2`).
pub fn purge_volumes_from_air() -> f64 {
    (gas_value("x_o2_air") / (gas_value("purge_o2") / 100.0)).ln()
}
