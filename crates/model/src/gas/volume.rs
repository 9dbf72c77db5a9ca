//! One amount of gas, two volumes: dry at the normal state, and wet as a bag shows it.

use fenlamp_adm1::constants::R;

/// Litres of one kmol at 0 degC and 101.325 kPa, ideal (`vm_ideal_0c` of
/// `gas_constants.csv`).
pub const DRY_LITRES_PER_KMOL: f64 = 22_414.0;

/// Saturation pressure of water, bar: Magnus form over water with the
/// coefficients of the WMO guide (17.62, 243.12; from memory). Checked against
/// CoolProp in the validation.
pub fn saturation_bar(t_c: f64) -> f64 {
    6.112e-3 * (17.62 * t_c / (243.12 + t_c)).exp()
}

/// Litres that one kmol of dry gas fills at `t_c` and `p_bar` when saturated.
pub fn wet_litres_per_kmol(t_c: f64, p_bar: f64) -> f64 {
    R * (t_c + 273.15) / (p_bar - saturation_bar(t_c)) * 1000.0
}
