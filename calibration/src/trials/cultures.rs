//! Methane making by temperature: of four materials in short incubations
//! (ELSGAARD16), and the most that a loaded reactor made (YANG16).

use crate::data::rates;
use crate::trial::{Group, Trial};

/// Warmest temperature that the constants are asked to meet, degC: no vessel of ours
/// is warmer.
const WARMEST_C: f64 = 42.0;
/// Most methane of a sequencing batch reactor of swine wastewater, m3/(m3 d), by degC
/// (YANG16, read); the load at which it was reached rose with the temperature.
const REACTOR: [(f64, f64); 5] = [
    (15.0, 0.136),
    (20.0, 0.796),
    (25.0, 1.294),
    (30.0, 1.527),
    (35.0, 1.952),
];
/// Spread of the logarithm: the readings along a curve are not independent.
const SD: f64 = 0.35;

pub(super) fn trials() -> Vec<Trial> {
    let reactor = Trial::culture(
        "most methane of a swine wastewater reactor",
        "YANG16",
        Group::Cold,
        &REACTOR.map(|(t_c, rate)| (t_c, rate, SD)),
    );
    ["cattle", "pig", "digestate", "stored"]
        .into_iter()
        .map(|material| {
            let mut curve: Vec<(f64, f64, f64)> = rates(material)
                .into_iter()
                .filter(|(t_c, _)| *t_c <= WARMEST_C)
                .map(|(t_c, rate)| (t_c, rate, SD))
                .collect();
            // The reading nearest 35 degC last: the others are held against it.
            let near = (0..curve.len()).min_by(|&a, &b| {
                (curve[a].0 - 35.0)
                    .abs()
                    .total_cmp(&(curve[b].0 - 35.0).abs())
            });
            if let Some(near) = near {
                let top = curve.remove(near);
                curve.push(top);
            }
            Trial::culture(
                &format!("methane making of {material}"),
                "ELSGAARD16",
                Group::Cold,
                &curve,
            )
        })
        .chain([reactor])
        .collect()
}
