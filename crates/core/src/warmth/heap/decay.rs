//! How fast a heap burns: fuel classes and the factors on their rate
//! (`reference/compost_heat.md`, sections 2 and 3).

use crate::feed::Group;

use super::super::coefficients as c;

/// Classes of fuel by speed.
pub(crate) const CLASSES: usize = 3;

/// Rate of each class at the best temperature, 1/d: grass and kitchen matter 0.05-0.15 at 55
/// degC, manure and leaves 0.005-0.04 at 55 degC, fresh chips 0.002-0.006 at 50 degC
/// (compost_heat.md section 3, HAUG93 and MEM-COMP from memory), brought to the optimum.
pub(crate) fn class_rates_per_day() -> [f64; CLASSES] {
    [
        0.08 / temperature_factor(55.0),
        0.012 / temperature_factor(55.0),
        0.004 / temperature_factor(50.0),
    ]
}

/// Share of the volatile solids that burns, and how it falls to the classes (quick, middling,
/// slow).
///
/// The biodegradable shares stand in compost_heat.md section 3; the split is judgement. Chips
/// get a small quick part, bark, leaf and sap, because willow heaps reach 60 degC within a
/// fortnight (WHIT16) though wood alone burns slowly. With these figures a willow heap peaks at
/// 64 degC, stays above 60 for 26 days and a chip-rich heap gives 57, 16 and 8 W/m3 in months
/// 1-2, 3-6 and 7-12 (planned with: 25, 15, 8; hopeful 60, 35, 20); see `tests/heaps.rs`.
pub(crate) fn fuel_of_group(group: Group) -> (f64, [f64; CLASSES]) {
    match group {
        Group::Kitchen => (0.75, [0.70, 0.30, 0.0]),
        Group::Garden => (0.55, [0.30, 0.50, 0.20]),
        Group::Manure => (0.50, [0.08, 0.42, 0.50]),
        Group::Crop => (0.50, [0.10, 0.40, 0.50]),
        Group::Byproduct => (0.50, [0.20, 0.40, 0.40]),
        Group::Woody => (0.30, [0.10, 0.16, 0.74]),
    }
}

/// Cardinal temperatures of the heat-loving flora, degC (compost_heat.md section 2).
const HEAT_LOVING_C: [f64; 3] = [5.0, 58.0, 75.0];
/// Cardinal temperatures of the flora that starts a heap, degC, and its best rate against that
/// of the heat-loving one. Judgement, see [`temperature_factor`].
const STARTING_C: [f64; 3] = [-5.0, 33.0, 45.0];
const STARTING_SHARE: f64 = 0.5;

/// Cardinal temperature form with inflection, 1 at the best temperature (ROSSO93, from memory;
/// worked example 13).
pub(crate) fn cardinal([low, best, high]: [f64; 3], t: f64) -> f64 {
    if t <= low || t >= high {
        return 0.0;
    }
    (t - high) * (t - low).powi(2)
        / ((best - low) * ((best - low) * (t - best) - (best - high) * (best + low - 2.0 * t)))
}

/// Factor of temperature on the rate, 1 at 58 degC.
///
/// The faster of two floras: the heat-loving one (5/58/75) and one that starts the heap
/// (-5/33/45 at half the rate). Judgement: the heat-loving form alone gives a thirtieth of its
/// best at 10 degC, and a chip heap at 13 degC would take months to light, where willow heaps
/// were at 60 degC within days (WHIT16). The older exponential form
/// 1.066^(T-20) - 1.21^(T-60) (HAUG93, from memory) is slower still. Nothing burns in a
/// frozen heap.
pub fn temperature_factor(temperature_c: f64) -> f64 {
    if temperature_c <= 0.0 {
        return 0.0;
    }
    cardinal(HEAT_LOVING_C, temperature_c).max(STARTING_SHARE * cardinal(STARTING_C, temperature_c))
}

/// 1.066^(T-20) - 1.21^(T-60) (compost_heat.md section 2), to compare with.
#[cfg(test)]
pub(crate) fn exponential_form(t: f64) -> f64 {
    1.066_f64.powf(t - 20.0) - 1.21_f64.powf(t - 60.0)
}

/// Factor of moisture (kg water per kg wet) on the rate (compost_heat.md section 2).
pub fn moisture_factor(moisture: f64) -> f64 {
    1.0 / ((-17.684 * moisture + 7.0622).exp() + 1.0)
}

/// Factor of free air space (volume share) on the rate (compost_heat.md section 2).
pub fn air_space_factor(free_air_space: f64) -> f64 {
    1.0 / ((-23.675 * free_air_space + 3.4945).exp() + 1.0)
}

/// Factor of oxygen in the heap's gas (volume %) on the rate (compost_heat.md section 2).
pub fn oxygen_factor(oxygen_pct: f64) -> f64 {
    oxygen_pct / (oxygen_pct + 2.0)
}

/// Free air space of a heap, volume share.
pub fn free_air_space(dry_kg_m3: f64, water_kg_m3: f64) -> f64 {
    (1.0 - dry_kg_m3 / c::SOLID_DENSITY_KG_M3 - water_kg_m3 / 1000.0).clamp(0.0, 1.0)
}

/// Heat of one first-order pool after some days at a steady rate, W (worked example 11).
pub fn pool_heat_w(fuel_kg: f64, rate_per_day: f64, days: f64) -> f64 {
    fuel_kg * rate_per_day * (-rate_per_day * days).exp() * c::HEAT_OF_OXIDATION_J_KG / 86_400.0
}
