//! Published and library-computed numbers: worked examples 1-4, 8-12, 19, 20.

use super::super::conduction::*;
use super::super::heap::decay;
use super::super::moist_air::{enthalpy_j_kg, humidity_ratio};
use super::super::slurry::{Drive, Slurry};
use super::super::surroundings::{outside_film_w_m2k, sol_air_c};
use super::super::{coefficients as c, heap};

/// Relative agreement, 0.1 % unless the example says otherwise.
fn close(got: f64, wanted: f64, relative: f64) {
    assert!(
        (got - wanted).abs() <= relative * wanted.abs().max(1e-12),
        "got {got}, wanted {wanted}"
    );
}

fn layer(thickness_m: f64, k_w_mk: f64) -> Layer {
    Layer {
        thickness_m,
        k_w_mk,
    }
}

/// Side of a cylinder with films on both faces, K/W.
fn wrapped_cylinder_k_w(radius: f64, height: f64, layers: &[Layer]) -> f64 {
    let around = |r: f64| 2.0 * std::f64::consts::PI * r * height;
    let (walls, outer) = cylinder_resistance_k_w(radius, height, layers);
    1.0 / (300.0 * around(radius)) + walls + 1.0 / (25.0 * around(outer))
}

/// Example 1 (ISO 6946 method): 5 mm polyethylene and 100 mm polystyrene.
#[test]
fn flat_insulated_wall() {
    let r = flat_resistance_m2k_w(&[layer(0.005, 0.45), layer(0.1, 0.036)])
        + crate::reference::thermal_value("Rse");
    close(r, 2.828_888_9, 1e-3);
    close(45.0 / r, 15.907_306, 1e-3);
}

/// Example 2 (computed with the `ht` library): drum in straw.
#[test]
fn straw_wrapped_drum() {
    let layers = [layer(0.005, 0.45), layer(0.15, 0.065)];
    close(
        1.0 / wrapped_cylinder_k_w(0.545, 1.0, &layers),
        1.656_198_6,
        1e-3,
    );
    close(wrapped_cylinder_k_w(0.545, 1.2, &layers), 0.503_160_3, 1e-3);
    close(
        45.0 / wrapped_cylinder_k_w(0.545, 1.2, &layers),
        89.434_727,
        1e-3,
    );
    let (straw, outer) = cylinder_resistance_k_w(0.55, 1.2, &[layer(0.15, 0.065)]);
    close(straw, 0.492_078_6, 1e-3);
    close(outer, 0.7, 1e-12);
}

/// Example 3: 200 L drum in five jackets, K/W and W from 35 to -5 degC.
#[test]
fn five_jackets() {
    let rows: [(&[Layer], f64, f64); 5] = [
        (&[], 0.031_443_0, 1272.146),
        (&[layer(0.05, 0.036)], 0.831_969_0, 48.0787),
        (&[layer(0.1, 0.036)], 1.522_295_7, 26.2761),
        (&[layer(0.36, 0.065)], 2.273_843_7, 17.5914),
        (&[layer(0.36, 0.10)], 1.484_119_1, 26.9520),
    ];
    for (jacket, resistance, loss) in rows {
        let mut layers = vec![layer(0.003, 0.45)];
        layers.extend_from_slice(jacket);
        let r = wrapped_cylinder_k_w(0.285, 0.88, &layers);
        close(r, resistance, 1e-3);
        close(40.0 / r, loss, 1e-3);
    }
}

/// Example 4: shape factors of a disc, a buried ball and a buried pipe.
#[test]
fn ground_shape_factors() {
    close(disc_shape_factor_m(1.1) * (35.0 - 8.0), 59.4, 1e-3);
    close(buried_ball_shape_factor_m(1.2, 1.5), 9.424_778, 1e-3);
    close(buried_pipe_shape_factor_m(0.1, 0.8, 1.0), 1.813_455_8, 1e-3);
}

/// Example 8: heat to warm feed at 8 % solids. The example takes water at each mean
/// temperature; one specific heat for all rows is within 0.2 %.
#[test]
fn heat_to_warm_feed() {
    for (kg, from, to, watts) in [
        (20.0, 5.0, 30.0, 22.93),
        (20.0, 2.0, 25.0, 21.12),
        (10.0, 15.0, 35.0, 9.16),
        (25.0, 5.0, 37.0, 36.67),
    ] {
        // A large body at `to` keeps its temperature; the feed takes its heat from it.
        let mut slurry = Slurry::new(1e9, to);
        let taken = -slurry.feed(kg, from);
        close(taken / 86_400.0, watts, 2.5e-3);
    }
}

/// Example 9: cool-down from 35 at -5 degC, 4100 J/(kg K) and 1000 kg/m3 in the example, so the
/// mass is chosen to give that heat capacity. Rows that freeze stop at zero instead, as the
/// example itself remarks.
#[test]
fn cool_down() {
    for (m3, ua, after) in [
        (0.2, 0.6569, [32.33, 27.50, 19.64]),
        (0.2, 0.4398, [33.19, 29.81, 23.92]),
        (1.0, 3.0, [32.55, 28.09, 20.70]),
        (1.0, 6.0, [30.25, 22.37, 11.51]),
    ] {
        let mut slurry = Slurry::new(m3 * 1000.0 * 4100.0 / c::rows().cp_slurry_j_kgk, 35.0);
        for (day, wanted) in [(1, after[0]), (3, after[1]), (7, after[2])] {
            let at = cool(slurry, ua, -5.0, day);
            assert!(
                (at.temperature_c() - wanted).abs() < 0.01,
                "{m3} {ua} {day}"
            );
        }
        slurry = cool(slurry, ua, -5.0, 200);
        assert!(slurry.ice() > 0.0);
    }
    // The bare drum (UA 31.8) is at 0 with ice after a day, not at -3.6.
    let bare = cool(
        Slurry::new(200.0 * 4100.0 / c::rows().cp_slurry_j_kgk, 35.0),
        31.8037,
        -5.0,
        1,
    );
    assert_eq!(bare.temperature_c(), 0.0);
    assert!(bare.ice() > 0.0 && bare.ice() < 1.0);
}

fn cool(mut slurry: Slurry, ua: f64, outside: f64, days: u32) -> Slurry {
    let drive = Drive {
        conductance_w_k: ua,
        heat_w: ua * outside,
    };
    for _ in 0..days * 24 {
        let mean = slurry.answer(&drive, 0.0, 3600.0).alpha_c;
        slurry.heat_j += (drive.heat_w - ua * mean) * 3600.0;
    }
    slurry
}

/// Freezing takes the latent heat: 200 kg with 184 kg of water at 334 kJ/kg, losing 100 W from
/// zero, is half ice after 3.56 days and thaws as slowly.
#[test]
fn freezing_takes_its_time() {
    let cold = cool(Slurry::new(200.0, 0.0), 10.0, -10.0, 1);
    let per_day = 100.0 * 86_400.0 / (184.0 * 334_000.0);
    close(cold.ice(), per_day, 1e-3);
    assert_eq!(cold.temperature_c(), 0.0);
    let frozen = cool(cold, 10.0, -10.0, 30);
    assert!(frozen.ice() == 1.0 && frozen.temperature_c() < -5.0);
    let thawing = cool(frozen, 10.0, 10.0, 4);
    assert!(thawing.ice() > 0.4 && thawing.temperature_c() == 0.0);
    assert!(cool(thawing, 10.0, 10.0, 20).temperature_c() > 8.0);
}

/// Example 10: warm-up against a pile held at 55, and the steady tank.
#[test]
fn warm_up_and_steady() {
    let mut slurry = Slurry::new(200.0 * 4100.0 / c::rows().cp_slurry_j_kgk, 10.0);
    let still = Drive {
        conductance_w_k: 0.0,
        heat_w: 0.0,
    };
    let mut seen = Vec::new();
    for hour in 1..=72 {
        let answer = slurry.answer(&still, 8.0, 3600.0);
        let mean = answer.alpha_c + answer.beta * 55.0;
        slurry.heat_j += 8.0 * (55.0 - mean) * 3600.0;
        if [12, 24, 48, 72].contains(&hour) {
            seen.push(slurry.temperature_c());
        }
    }
    for (got, wanted) in seen.iter().zip([25.48, 35.63, 46.66, 51.41]) {
        assert!((got - wanted).abs() < 0.01, "got {got}, wanted {wanted}");
    }

    // Steady: the feed is a conductance of 20 kg/d x 3963 J/(kg K) to 5 degC.
    let feed_w_k = 20.0 * 3963.0 / 86_400.0;
    for (pile, air, tank, gives) in [
        (55.0, -10.0, 41.24, 110.1),
        (50.0, -10.0, 37.40, 100.8),
        (40.0, -10.0, 29.72, 82.3),
        (30.0, -10.0, 22.04, 63.7),
        (20.0, 0.0, 15.80, 33.6),
        (55.0, 10.0, 44.12, 87.1),
    ] {
        let drive = Drive {
            conductance_w_k: 1.5 + feed_w_k,
            heat_w: 1.5 * air + feed_w_k * 5.0,
        };
        let mut slurry = Slurry::new(200.0, 20.0);
        for _ in 0..24 * 60 {
            let answer = slurry.answer(&drive, 8.0, 3600.0);
            let mean = answer.alpha_c + answer.beta * pile;
            slurry.heat_j +=
                (drive.heat_w - drive.conductance_w_k * mean + 8.0 * (pile - mean)) * 3600.0;
        }
        let t = slurry.temperature_c();
        assert!((t - tank).abs() < 0.01, "tank {t}, wanted {tank}");
        close(8.0 * (pile - t), gives, 1e-3);
    }
}

/// Example 11: heat of one pool, its half-life, and the core's rise over the surface.
#[test]
fn pile_output() {
    for (rate, watts) in [
        (0.00135, [480.9, 461.8, 425.9, 377.2, 293.8]),
        (0.003, [1068.7, 976.8, 815.9, 622.8, 357.5]),
        (0.005, [1781.2, 1533.1, 1135.8, 724.2, 287.2]),
        (0.010, [3562.5, 2639.2, 1448.4, 588.9, 92.6]),
    ] {
        for (day, wanted) in [0.0, 30.0, 90.0, 180.0, 365.0].iter().zip(watts) {
            close(decay::pool_heat_w(1710.0, rate, *day), wanted, 1e-3);
        }
    }
    let r = flat_resistance_m2k_w(&[layer(0.36, 0.065)]) + crate::reference::thermal_value("Rse");
    close(1.0 / r, 0.179_261, 1e-3);
    close((23.562 + 7.069) * 50.0 / r, 274.54, 1e-3);
}

/// Example 12 (computed with PsychroLib): warm moist exhaust over 0 degC air of 80 % humidity.
/// The enthalpies agree to 0.1 %; the example rounds humidity to five places.
#[test]
fn warm_moist_exhaust() {
    let p = 101_325.0;
    let inlet = humidity_ratio(0.0, 0.8, p);
    close(inlet, 0.003_015_6, 1e-3);
    close(enthalpy_j_kg(0.0, inlet), 7542.06, 1e-3);
    for (t, w, rise_kj) in [
        (30.0, 0.02720, 92.19),
        (40.0, 0.04888, 158.59),
        (50.0, 0.08633, 266.69),
        (55.0, 0.11455, 346.00),
        (60.0, 0.15242, 451.02),
    ] {
        let ratio = humidity_ratio(t, 1.0, p);
        close(ratio, w, 1e-3);
        close(
            (enthalpy_j_kg(t, ratio) - enthalpy_j_kg(0.0, inlet)) / 1000.0,
            rise_kj,
            1e-3,
        );
    }
}

/// Example 19 (ASHRAE form): sun on a dark surface.
#[test]
fn sol_air() {
    close(sol_air_c(0.0, 0.9, 300.0, 0.9, 0.0, 17.0), 15.88, 1e-3);
    close(sol_air_c(0.0, 0.9, 600.0, 0.9, 0.0, 17.0), 31.76, 1e-3);
    close(sol_air_c(0.0, 0.9, 0.0, 0.9, 63.0, 17.0), -3.34, 2e-3);
    close(sol_air_c(0.0, 0.9, 300.0, 0.9, 63.0, 17.0), 12.55, 1e-3);
    close(sol_air_c(0.0, 0.9, 600.0, 0.9, 63.0, 17.0), 28.43, 1e-3);
}

/// The wind form against the design coefficients of row `h_out` (17 at 3.4 m/s, 34 at 6.7 m/s;
/// from memory) and ISO 6946's 25 at about 4 m/s: the two published families differ by up to a
/// fifth, and this form lies with them.
#[test]
fn film_against_design_values() {
    close(outside_film_w_m2k(4.0), 25.0, 0.02);
    close(outside_film_w_m2k(6.7), 34.0, 0.20);
    close(outside_film_w_m2k(3.4), 17.0, 0.35);
}

/// Example 20: snow.
#[test]
fn snow() {
    for (rho, k) in [
        (100.0, 0.0464),
        (150.0, 0.0581),
        (200.0, 0.0653),
        (250.0, 0.0876),
        (300.0, 0.1260),
        (400.0, 0.2513),
    ] {
        close(snow_conductivity_w_mk(rho), k, 2e-3);
    }
    close(0.3 / snow_conductivity_w_mk(200.0), 4.59, 2e-3);
}

/// Value checks of compost_heat.md section 2.
#[test]
fn decay_factors() {
    for (t, k) in [
        (0.0, 0.279),
        (10.0, 0.528),
        (20.0, 1.0),
        (30.0, 1.892),
        (40.0, 3.568),
        (50.0, 6.655),
        (60.0, 11.891),
    ] {
        close(decay::exponential_form(t), k, 2e-3);
    }
    for (moisture, f) in [
        (0.7, 0.995),
        (0.6, 0.972),
        (0.5, 0.856),
        (0.4, 0.503),
        (0.2, 0.029),
    ] {
        close(decay::moisture_factor(moisture), f, 2e-2);
    }
    for (space, f) in [(0.1, 0.245), (0.2, 0.776), (0.3, 0.974)] {
        close(decay::air_space_factor(space), f, 2e-3);
    }
    for (o2, f) in [(1.0, 0.333), (5.0, 0.714), (10.0, 0.833), (20.9, 0.913)] {
        close(decay::oxygen_factor(o2), f, 2e-3);
    }
}

/// Cardinal form, worked example 13's three sets at some temperatures.
#[test]
fn cardinal_form() {
    for (set, t, wanted) in [
        ([0.0, 20.0, 30.0], 5.0, 0.1562),
        ([0.0, 20.0, 30.0], 25.0, 0.7812),
        ([8.0, 37.0, 45.0], 20.0, 0.2740),
        ([8.0, 37.0, 45.0], 40.0, 0.9148),
        ([30.0, 55.0, 66.0], 45.0, 0.6197),
        ([30.0, 55.0, 66.0], 60.0, 0.8308),
    ] {
        close(decay::cardinal(set, t), wanted, 1e-3);
    }
    // The two floras enclose the older exponential form in the range where heaps start.
    for t in [10.0, 20.0, 30.0] {
        let older = decay::exponential_form(t) / decay::exponential_form(58.0);
        let now = decay::temperature_factor(t);
        assert!(
            now > older && now < 6.0 * older,
            "{t}: {now} against {older}"
        );
    }
}

/// The temperature factor is 1 at its best, zero when frozen or too hot, and never negative.
#[test]
fn temperature_factor_shape() {
    close(decay::temperature_factor(58.0), 1.0, 1e-12);
    assert_eq!(decay::temperature_factor(-1.0), 0.0);
    assert_eq!(decay::temperature_factor(75.0), 0.0);
    let values: Vec<f64> = (0..800)
        .map(|i| decay::temperature_factor(f64::from(i) * 0.1))
        .collect();
    assert!(values.iter().all(|v| (0.0..=1.0).contains(v)));
    assert!(
        values[..580]
            .windows(2)
            .all(|pair| pair[1] >= pair[0] - 1e-3)
    );
    assert!(values[580..].windows(2).all(|pair| pair[1] <= pair[0]));
    let _ = heap::HeapDraw::default();
}
