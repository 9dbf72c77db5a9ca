//! What an amount of methane can do, in the words of a household.

use serde::Serialize;

use crate::reference::gas_value;

/// Net heating value of methane, MJ per normal m3 (`lhv_ch4_n`).
pub fn methane_mj_per_m3() -> f64 {
    gas_value("lhv_ch4_n")
}
/// Water of one kettle, L.
pub const KETTLE_L: f64 = 1.5;
/// Gas of a lamp hour, m3: the middle of `use_lamp_gtz_lo` and `_hi`.
fn lamp_m3() -> f64 {
    f64::midpoint(gas_value("use_lamp_gtz_lo"), gas_value("use_lamp_gtz_hi"))
}
/// Electric share of a small engine: between `eff_gen_lo` 15 % and `eff_gen_hi`
/// 25 % (judgement; 16.8 % is what 1 m3 per kWh comes to).
const GENERATOR_EFFICIENCY: f64 = 0.18;

/// The same gas told four ways; each figure stands for all of it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Uses {
    /// Kettles of 1.5 L brought from 15 degC to the boil.
    pub kettles: f64,
    /// Hours of one stove burner.
    pub stove_hours: f64,
    /// Hours of one mantle lamp.
    pub lamp_hours: f64,
    /// Heat, kWh.
    pub heat_kwh: f64,
    /// Electricity of a small engine and generator, kWh.
    pub electricity_kwh: f64,
}

/// Uses of `methane_l` dry normal litres of methane.
pub fn of_methane(methane_l: f64) -> Uses {
    let mj = methane_l / 1000.0 * methane_mj_per_m3();
    // Kettles at the floor of two national stove standards.
    let stove = gas_value("eff_stove_is8749") / 100.0;
    // Appliance figures are for 60/40 gas at 15 degC.
    let handbook = gas_value("lhv_bg60_15");
    Uses {
        kettles: mj * 1000.0 * stove / (KETTLE_L * gas_value("dh_water_15_100")),
        stove_hours: mj / (gas_value("use_stove_gtz") * handbook),
        lamp_hours: mj / (lamp_m3() * handbook),
        heat_kwh: mj / 3.6,
        electricity_kwh: mj / 3.6 * GENERATOR_EFFICIENCY,
    }
}
