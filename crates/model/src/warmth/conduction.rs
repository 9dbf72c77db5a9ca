//! Heat through walls, insulation and ground.

use std::f64::consts::PI;

/// One layer: thickness (m) and conductivity (W/(m K)).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Layer {
    /// Thickness, m.
    pub thickness_m: f64,
    /// Conductivity, W/(m K).
    pub k_w_mk: f64,
}

/// Resistance of flat layers, m2 K/W (ISO 6946: thickness over conductivity; worked example 1).
pub fn flat_resistance_m2k_w(layers: &[Layer]) -> f64 {
    layers
        .iter()
        .map(|layer| layer.thickness_m / layer.k_w_mk)
        .sum()
}

/// Resistance of layers around a full cylinder, K/W, and the radius outside them, m
/// (worked examples 2 and 3).
pub fn cylinder_resistance_k_w(inner_radius_m: f64, length_m: f64, layers: &[Layer]) -> (f64, f64) {
    let mut radius = inner_radius_m;
    let mut resistance = 0.0;
    for layer in layers {
        let outer = radius + layer.thickness_m;
        resistance += (outer / radius).ln() / (2.0 * PI * layer.k_w_mk * length_m);
        radius = outer;
    }
    (resistance, radius)
}

/// Shape factor of a disc on the ground, m: `2 D` (worked example 4; from memory).
pub fn disc_shape_factor_m(diameter_m: f64) -> f64 {
    2.0 * diameter_m
}

/// Shape factor of a buried ball to the surface, m, its middle `depth_m` down
/// (worked example 4).
pub fn buried_ball_shape_factor_m(diameter_m: f64, depth_m: f64) -> f64 {
    2.0 * PI * diameter_m / (1.0 - diameter_m / (4.0 * depth_m))
}

/// Shape factor of a buried pipe to the surface, m, its axis `depth_m` down
/// (worked example 4).
pub fn buried_pipe_shape_factor_m(diameter_m: f64, depth_m: f64, length_m: f64) -> f64 {
    2.0 * PI * length_m / (2.0 * depth_m / diameter_m).acosh()
}

/// Conductivity of snow, W/(m K), by density in kg/m3 (STURM97, from memory; worked example 20).
pub fn snow_conductivity_w_mk(density_kg_m3: f64) -> f64 {
    let rho = density_kg_m3 / 1000.0;
    if rho < 0.156 {
        0.023 + 0.234 * rho
    } else {
        0.138 - 1.01 * rho + 3.233 * rho * rho
    }
}
