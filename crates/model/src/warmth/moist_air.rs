//! Moist air: what leaves a heap as warm vapour (worked example 12).

use super::coefficients::AIR_CP_J_KGK;

/// Ratio of the molar masses of water and dry air.
const MOLAR_RATIO: f64 = 0.621_945;

/// Pressure of water vapour over water (ice below 0 degC) at saturation, Pa.
///
/// Hyland & Wexler's formulas as in ASHRAE Fundamentals, ch. 1 (from memory; checked against the
/// rows of worked example 12).
pub fn saturation_pa(temperature_c: f64) -> f64 {
    let t = temperature_c.clamp(-60.0, 95.0) + 273.15;
    let ln_p = if temperature_c >= 0.0 {
        -5.800_220_6e3 / t + 1.391_499_3 - 4.864_023_9e-2 * t + 4.176_476_8e-5 * t * t
            - 1.445_209_3e-8 * t * t * t
            + 6.545_967_3 * t.ln()
    } else {
        -5.674_535_9e3 / t + 6.392_524_7 - 9.677_843_0e-3 * t
            + 6.221_570_1e-7 * t * t
            + 2.074_782_5e-9 * t * t * t
            - 9.484_024e-13 * t * t * t * t
            + 4.163_501_9 * t.ln()
    };
    ln_p.exp()
}

/// Water carried by air of a relative humidity, kg per kg dry air.
pub fn humidity_ratio(temperature_c: f64, relative_humidity: f64, pressure_pa: f64) -> f64 {
    let vapour = (relative_humidity * saturation_pa(temperature_c)).min(0.9 * pressure_pa);
    MOLAR_RATIO * vapour / (pressure_pa - vapour)
}

/// Enthalpy of moist air above dry air and liquid water at 0 degC, J per kg dry air.
pub fn enthalpy_j_kg(temperature_c: f64, humidity_ratio: f64) -> f64 {
    AIR_CP_J_KGK * temperature_c + humidity_ratio * (2_501_000.0 + 1860.0 * temperature_c)
}

/// Air pressure at a height above the sea, Pa (International Standard Atmosphere).
pub fn pressure_at_pa(altitude_m: f64) -> f64 {
    101_325.0 * (1.0 - 2.255_77e-5 * altitude_m.clamp(-500.0, 8000.0)).powf(5.255_88)
}
