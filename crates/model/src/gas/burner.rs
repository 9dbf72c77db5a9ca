//! Throat, primary air, flame ports and drills of an atmospheric burner.

use std::f64::consts::PI;

use serde::Serialize;

use super::error::{GasError, gas_flow, within};
use super::jet::fits;
use super::mixture::Mixture;
use super::properties::{relative_density, stoichiometric_air};
use crate::reference::gas_value;

/// Share of the air that is drawn in before the flame, low to high
/// (`aer_prim_lo`, `aer_prim_hi`).
pub fn primary_share() -> (f64, f64) {
    (gas_value("aer_prim_lo"), gas_value("aer_prim_hi"))
}

/// Primary air per volume of gas when `share` of the full air is drawn in.
///
/// # Errors
/// [`GasError::OutOfRange`] for a share outside 0 to 1.
pub fn primary_air(gas: &Mixture, share: f64) -> Result<f64, GasError> {
    within(
        "primary air",
        "% of the full air",
        100.0 * share,
        0.0,
        100.0,
    )?;
    Ok(share * stoichiometric_air(gas))
}

/// Throat that draws `air` volumes of air per volume of gas, mm:
/// `dt = dj (r / sqrt(s) + 1)` (Prigg, as in Fulford 1996, from memory; worked
/// example 6). Meant for a port area of 1.5 to 2.2 throat areas; larger ports
/// draw more air.
///
/// # Errors
/// [`GasError::OutOfRange`].
pub fn throat_mm(jet_mm: f64, gas: &Mixture, air: f64) -> Result<f64, GasError> {
    within("a jet", "mm", jet_mm, 0.01, 100.0)?;
    within("primary air", "m3/m3", air, 0.0, 20.0)?;
    Ok(jet_mm * (air / relative_density(gas).sqrt() + 1.0))
}

/// Primary air that a throat draws, volumes per volume of gas: the same
/// relation the other way round.
///
/// # Errors
/// [`GasError::JetTooWide`] if the jet does not fit into the throat.
pub fn air_drawn(jet_mm: f64, throat_mm: f64, gas: &Mixture) -> Result<f64, GasError> {
    within("a jet", "mm", jet_mm, 0.01, 100.0)?;
    fits(jet_mm, throat_mm)?;
    Ok(relative_density(gas).sqrt() * (throat_mm / jet_mm - 1.0))
}

/// Holes of one drill that together make a port area.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Ports {
    /// Drill, mm.
    pub drill_mm: f64,
    /// Holes.
    pub holes: u32,
    /// Their area together, mm2.
    pub area_mm2: f64,
}

/// Flame port area for a gas flow with `air` volumes of primary air, mm2: the
/// mixture leaves no faster than it burns (worked example 7).
///
/// # Errors
/// [`GasError::OutOfRange`].
pub fn port_area_mm2(flow_m3_h: f64, air: f64, speed_m_s: f64) -> Result<f64, GasError> {
    gas_flow(flow_m3_h)?;
    within("primary air", "m3/m3", air, 0.0, 20.0)?;
    within("a port speed", "m/s", speed_m_s, 0.01, 3.0)?;
    Ok(flow_m3_h * (1.0 + air) / 3600.0 / speed_m_s * 1e6)
}

/// Port speed used for design, m/s (`v_flame_design`; the handbook's 0.36 is
/// half as much again as the computed burning velocity).
pub fn design_port_speed_m_s() -> f64 {
    gas_value("v_flame_design")
}

/// Holes of a drill that make up an area. Holes at or above the quenching
/// diameter of methane let the flame light back and are refused.
///
/// # Errors
/// [`GasError::OutOfRange`].
pub fn ports(area_mm2: f64, drill_mm: f64) -> Result<Ports, GasError> {
    within("a port area", "mm2", area_mm2, 0.01, 1e6)?;
    // Strictly below: at the quenching diameter itself a flame just passes.
    let widest = gas_value("quench_dia_ch4") - 0.1;
    within("a flame port", "mm", drill_mm, 0.3, widest)?;
    let one = PI / 4.0 * drill_mm * drill_mm;
    let holes = (area_mm2 / one).ceil();
    Ok(Ports {
        drill_mm,
        holes: holes as u32,
        area_mm2: holes * one,
    })
}

/// Twist drills by number, inches, from number 80 to 1 (ASME B94.11M, from memory).
const NUMBER_DRILLS_IN: [f64; 80] = [
    0.0135, 0.0145, 0.0160, 0.0180, 0.0200, 0.0210, 0.0225, 0.0240, 0.0250, 0.0260, 0.0280, 0.0292,
    0.0310, 0.0320, 0.0330, 0.0350, 0.0360, 0.0370, 0.0380, 0.0390, 0.0400, 0.0410, 0.0420, 0.0430,
    0.0465, 0.0520, 0.0550, 0.0595, 0.0635, 0.0670, 0.0700, 0.0730, 0.0760, 0.0785, 0.0810, 0.0820,
    0.0860, 0.0890, 0.0935, 0.0960, 0.0980, 0.0995, 0.1015, 0.1040, 0.1065, 0.1100, 0.1110, 0.1130,
    0.1160, 0.1200, 0.1285, 0.1360, 0.1405, 0.1440, 0.1470, 0.1495, 0.1520, 0.1540, 0.1570, 0.1590,
    0.1610, 0.1660, 0.1695, 0.1730, 0.1770, 0.1800, 0.1820, 0.1850, 0.1890, 0.1910, 0.1935, 0.1960,
    0.1990, 0.2010, 0.2040, 0.2055, 0.2090, 0.2130, 0.2210, 0.2280,
];

/// Nearest numbered drill that is not wider: its number and its diameter, mm.
/// `None` below the smallest.
pub fn number_drill(diameter_mm: f64) -> Option<(u32, f64)> {
    NUMBER_DRILLS_IN
        .iter()
        .zip((1..=80).rev())
        .map(|(inch, number)| (number, inch * 25.4))
        .take_while(|(_, mm)| *mm <= diameter_mm + 1e-9)
        .last()
}

/// Metric drill that is not wider, mm, in steps of 0.05 up to 3 mm and 0.1 above
/// (common workshop sets, common practice, no source).
pub fn metric_drill(diameter_mm: f64) -> Option<f64> {
    let per_mm = if diameter_mm < 3.0 { 20.0 } else { 10.0 };
    let steps = (diameter_mm * per_mm + 1e-9).floor();
    (diameter_mm.is_finite() && steps / per_mm >= 0.3).then_some(steps / per_mm)
}
