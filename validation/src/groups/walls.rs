//! Heat through walls, jackets and ground.

use std::f64::consts::PI;

use fenlamp_model::reference::thermal_value;
use fenlamp_model::warmth::conduction::{
    Layer, buried_ball_shape_factor_m, buried_pipe_shape_factor_m, cylinder_resistance_k_w,
    disc_shape_factor_m, flat_resistance_m2k_w, snow_conductivity_w_mk,
};
use fenlamp_model::warmth::surroundings::sol_air_c;

use super::Group;
use crate::Check;
use crate::oracle::oracle;

/// The group.
pub fn group() -> Group {
    Group {
        title: "Walls, jackets and ground",
        about: "Worked examples 1 to 4, 19 and 20: a flat wall by the method of ISO 6946, insulated \
                drums and buried shapes against a heat-transfer library, snow, and sun on a dark wall.",
        checks: checks(),
    }
}

/// Checks of the group.
pub fn checks() -> Vec<Check> {
    let mut out = flat_wall();
    out.extend(drums());
    out.extend(shapes());
    out.extend(snow_and_sun());
    out
}

fn layer(thickness_m: f64, k_w_mk: f64) -> Layer {
    Layer {
        thickness_m,
        k_w_mk,
    }
}

fn flat_wall() -> Vec<Check> {
    let r = flat_resistance_m2k_w(&[layer(0.005, 0.45), layer(0.1, 0.036)]) + thermal_value("Rse");
    let inputs = "5 mm HDPE, 100 mm EPS, outside film";
    vec![
        Check::new(
            "wall_r",
            "resistance of a flat wall",
            2.828_888_9,
            r,
            "m2 K/W",
        )
        .inputs(inputs)
        .source("ISO6946 (computed)"),
        Check::new(
            "wall_flux",
            "heat through it, 35 to -10 degC",
            15.907_306,
            45.0 / r,
            "W/m2",
        )
        .inputs(inputs)
        .source("ISO6946 (computed)"),
    ]
}

/// Side of a cylinder with a film of 300 inside and 25 W/(m2 K) outside, K/W.
fn side_k_w(radius: f64, height: f64, layers: &[Layer]) -> f64 {
    let around = |r: f64| 2.0 * PI * r * height;
    let (walls, outer) = cylinder_resistance_k_w(radius, height, layers);
    1.0 / (300.0 * around(radius)) + walls + 1.0 / (25.0 * around(outer))
}

fn drums() -> Vec<Check> {
    let straw = [layer(0.005, 0.45), layer(0.15, 0.065)];
    let per_m = 1.0 / side_k_w(0.545, 1.0, &straw);
    let mut out = vec![
        oracle("cylinder_loss_per_m").check("loss of a straw-wrapped drum per m", 45.0 * per_m),
        oracle("cylinder_ua_per_m").check("its conductance per m", per_m),
        oracle("cylinder_straw_resistance").check(
            "resistance of the straw alone",
            cylinder_resistance_k_w(0.55, 1.2, &[layer(0.15, 0.065)]).0,
        ),
    ];
    for (name, words, jacket) in [
        ("none", "bare 200 L drum", None),
        (
            "eps_50",
            "200 L drum in 50 mm polystyrene",
            Some(layer(0.05, 0.036)),
        ),
        (
            "eps_100",
            "200 L drum in 100 mm polystyrene",
            Some(layer(0.1, 0.036)),
        ),
        (
            "straw_360_dry",
            "200 L drum in a bale, dry",
            Some(layer(0.36, 0.065)),
        ),
        (
            "straw_360_damp",
            "200 L drum in a bale, damp",
            Some(layer(0.36, 0.10)),
        ),
    ] {
        let layers: Vec<_> = std::iter::once(layer(0.003, 0.45)).chain(jacket).collect();
        let loss = 40.0 / side_k_w(0.285, 0.88, &layers);
        out.push(oracle(&format!("drum_jacket_{name}")).check(&format!("loss of a {words}"), loss));
    }
    out
}

fn shapes() -> Vec<Check> {
    vec![
        Check::new(
            "disc_on_ground",
            "loss of a round base to the ground",
            59.4,
            27.0 * disc_shape_factor_m(1.1),
            "W",
        )
        .inputs("1.1 m, soil 1.0 W/(m K), 35 to 8 degC")
        .source("shape factor 2 D (memory)"),
        oracle("buried_sphere_shape").check(
            "shape factor of a buried ball",
            buried_ball_shape_factor_m(1.2, 1.5),
        ),
        oracle("buried_pipe_shape").check(
            "shape factor of a buried pipe",
            buried_pipe_shape_factor_m(0.1, 0.8, 1.0),
        ),
    ]
}

fn snow_and_sun() -> Vec<Check> {
    let snow = [
        (100.0, 0.0464),
        (150.0, 0.0581),
        (200.0, 0.0653),
        (300.0, 0.1260),
        (400.0, 0.2513),
    ];
    let mut out: Vec<_> = snow
        .into_iter()
        .map(|(density, k)| {
            Check::new(
                &format!("snow_{density}"),
                &format!("conductivity of snow of {density} kg/m3"),
                k,
                snow_conductivity_w_mk(density),
                "W/(m K)",
            )
            .relative(0.002)
            .source("STURM97 (form memory; number computed)")
        })
        .collect();
    for (sun, deficit, emissivity, value) in [
        (300.0, 0.0, 0.9, 15.88),
        (600.0, 0.0, 0.9, 31.76),
        (0.0, 63.0, 0.9, -3.34),
        (600.0, 63.0, 0.9, 28.43),
    ] {
        let facing = if deficit > 0.0 { "flat" } else { "upright" };
        out.push(
            Check::new(
                &format!("sol_air_{facing}_{sun}"),
                &format!("sol-air temperature, {facing}, sun {sun} W/m2"),
                value,
                sol_air_c(0.0, 0.9, sun, emissivity, deficit, 17.0),
                "degC",
            )
            .absolute(0.006)
            .inputs("air 0 degC, absorptance 0.9, film 17 W/(m2 K)")
            .source("ASHRAE-F (form memory; number computed)"),
        );
    }
    out
}
