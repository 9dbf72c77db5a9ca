//! What an amount of methane can do, in the words of a household.

use serde::Serialize;

/// Net heating value of methane, MJ per normal m3 (`lhv_ch4_n` of `gas_constants.csv`).
pub const METHANE_MJ_PER_M3: f64 = 35.808;
/// Water of one kettle, L.
pub const KETTLE_L: f64 = 1.5;
/// Heat to bring a litre from 15 degC to the boil, kJ (`dh_water_15_100`).
const BOIL_KJ_PER_L: f64 = 355.98;
/// Share of the flame's heat that reaches the water (`eff_stove_is8749`, the
/// floor of two national stove standards).
pub const STOVE_EFFICIENCY: f64 = 0.55;
/// Gas of one stove hour: 0.3 m3 of 60/40 gas (`use_stove_gtz`) at 15 degC.
const STOVE_MJ_PER_HOUR: f64 = 0.3 * 20.3687;
/// Gas of one lamp hour: the middle of 0.13 to 0.18 m3 (`use_lamp_gtz_lo`, `_hi`).
const LAMP_MJ_PER_HOUR: f64 = 0.155 * 20.3687;
/// Electric share of a small engine: between `eff_gen_lo` 15 % and `eff_gen_hi` 25 %.
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
    let mj = methane_l / 1000.0 * METHANE_MJ_PER_M3;
    Uses {
        kettles: mj * 1000.0 * STOVE_EFFICIENCY / (KETTLE_L * BOIL_KJ_PER_L),
        stove_hours: mj / STOVE_MJ_PER_HOUR,
        lamp_hours: mj / LAMP_MJ_PER_HOUR,
        heat_kwh: mj / 3.6,
        electricity_kwh: mj / 3.6 * GENERATOR_EFFICIENCY,
    }
}
