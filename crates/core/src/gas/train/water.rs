//! Water that wet gas drops on its way.

use crate::gas::volume::saturation_bar;
use crate::reference::gas_value;

/// Molar mass of water, g/mol (IUPAC, from memory).
const WATER_G_MOL: f64 = 18.015;

/// Water in saturated gas, g per dry normal litre, at `p_bar` absolute.
///
/// `803.75 p_w/(p - p_w)` g per dry normal m3 (worked example 10).
pub fn carried_g_per_l(t_c: f64, p_bar: f64) -> f64 {
    let vapour = saturation_bar(t_c);
    WATER_G_MOL / gas_value("vm_ideal_0c") * vapour / (p_bar - vapour).max(1e-3)
}

/// Water dropped by a dry normal litre from `from_c` to `to_c`, g; none if it warms.
pub fn dropped_g_per_l(from_c: f64, to_c: f64, p_bar: f64) -> f64 {
    (carried_g_per_l(from_c, p_bar) - carried_g_per_l(to_c, p_bar)).max(0.0)
}
