//! How fast a heap burns: fuel classes, the flora that burns them, and the factors on both
//! (`reference/compost_heat.md`, sections 2, 3 and 7).

use crate::feed::{Feedstock, Group};

use super::super::coefficients as c;

/// Classes of fuel by speed.
pub(crate) const CLASSES: usize = 3;
/// Floras: the one that starts a heap, the heat-loving one.
pub(crate) const FLORAS: usize = 2;

/// Rate of each class at the best temperature with air and water enough and the flora fully
/// grown, 1/d (compost_heat.md section 3, HAUG93 and MEM-COMP from memory): grass and kitchen
/// matter 0.05-0.15 at 55 degC, manure 0.01-0.04 at 55 degC, fresh chips 0.002-0.006 at 50 degC,
/// brought to the optimum. The quick one stands at the upper end of its band: in heaps air and the
/// flora's growth, which the published rates contain, slow it further here.
pub(crate) fn class_rates_per_day() -> [f64; CLASSES] {
    [
        0.15 / temperature_factor(55.0),
        0.02 / temperature_factor(55.0),
        0.0045 / temperature_factor(50.0),
    ]
}

/// What a material brings into a heap.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Fuel {
    /// Share of the volatile solids that burns.
    pub(crate) burns: f64,
    /// How that falls to the classes (quick, middling, slow).
    pub(crate) classes: [f64; CLASSES],
    /// Activity of the starting flora when it is heaped, against full growth.
    pub(crate) awake: f64,
    /// Permeability against chips of the same free air space.
    pub(crate) openness: f64,
    /// It comes warm from stable or kitchen.
    pub(crate) comes_warm: bool,
}

/// Dungs that are a hot mix by themselves, as growers use them (WATTS-VEG, FALCONER1891, read).
const HOT_DUNGS: [&str; 3] = ["horse_manure", "horse_stall_straw", "cattle_manure_straw"];
/// Ratio of carbon to nitrogen from which any other dung is taken to hold as much litter.
/// Judgement: dung alone lies below (10 to 20), stable manure with straw above.
const HOT_MIX_FROM_C_TO_N: f64 = 25.0;
/// Dung to straw of a hot mix, by dry matter: two parts to one (WATTS-VEG, read; there by volume).
pub(crate) const DUNG_PER_STRAW: f64 = 2.0;

/// Dung and straw together, as in hotbeds and mushroom manure: the straw brings air, the dung
/// nitrogen, and both burn better than alone. Judgement: a third of the dry matter goes within a
/// month of a well-kept heap (common practice of mushroom growers, no source).
pub(crate) const HOT_MIX: Fuel = Fuel {
    burns: 0.60,
    classes: [0.25, 0.55, 0.20],
    awake: 0.15,
    openness: 4.0,
    comes_warm: true,
};

/// Ratio of carbon to nitrogen from which garden waste is dry leaves and stalks. Judgement: grass
/// and green leaves lie below.
const DRY_LEAVES_FROM_C_TO_N: f64 = 35.0;

/// Whether a dung holds so much litter that it is a hot mix by itself.
fn is_hot_mix(feedstock: &Feedstock) -> bool {
    feedstock.group == Group::Manure
        && (HOT_DUNGS.contains(&feedstock.id.as_str())
            || feedstock.c_to_n.is_some_and(|r| r >= HOT_MIX_FROM_C_TO_N))
}

/// Fuel of a material by its group.
///
/// The biodegradable shares stand in compost_heat.md section 3; the splits, the activity at the
/// start and the openness are judgement: dung is full of microbes, chips carry few (the start
/// of dung is chosen on FALCONER1891's days, of chips on WHIT16's); straw lies open, dung and kitchen waste close up. Chips get a small quick part, bark, leaf and sap,
/// because willow heaps reach 60 degC within a fortnight (WHIT16) though wood alone burns slowly;
/// see `tests/heaps.rs`.
pub(crate) fn fuel_of(feedstock: &Feedstock) -> Fuel {
    let fuel = |burns, classes, awake, openness, comes_warm| Fuel {
        burns,
        classes,
        awake,
        openness,
        comes_warm,
    };
    match feedstock.group {
        Group::Manure if is_hot_mix(feedstock) => HOT_MIX,
        Group::Kitchen => fuel(0.75, [0.70, 0.30, 0.0], 0.03, 0.5, true),
        // Dry leaves and stalks go as slowly as straw; grass does not.
        Group::Garden
            if feedstock
                .c_to_n
                .is_some_and(|r| r >= DRY_LEAVES_FROM_C_TO_N) =>
        {
            fuel(0.50, [0.05, 0.25, 0.70], 0.005, 1.0, false)
        }
        Group::Garden => fuel(0.55, [0.30, 0.50, 0.20], 0.03, 1.0, false),
        Group::Manure => fuel(0.50, [0.15, 0.45, 0.40], 0.15, 0.5, true),
        Group::Crop => fuel(0.50, [0.05, 0.25, 0.70], 0.005, 5.0, false),
        Group::Byproduct => fuel(0.50, [0.20, 0.40, 0.40], 0.01, 0.5, false),
        Group::Woody => fuel(0.34, [0.09, 0.16, 0.75], 0.02, 1.0, false),
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

/// Growth of a flora at its best with food, air and water enough, 1/d: 0.2 an hour, as composting
/// models take for bacteria (KAISER96, from memory).
const GROWTH_PER_DAY: f64 = 4.8;
/// Upkeep of a flora against its growth: what it loses at rest. Judgement: a thirtieth.
pub(crate) const UPKEEP: f64 = 0.03;
/// Food at which growth is halved, kg of fuel that could burn in a day per kg dry matter.
/// Judgement: chips offer about as much, dung several times more.
pub(crate) const HALF_FOOD_PER_DAY: f64 = 0.004;
/// Activity that never dies out: spores, and what the cooler rind sends back. Judgement.
pub(crate) const LEAST_ACTIVITY: f64 = 0.001;
/// Share of the starting flora's activity at which the heat-loving one begins. Judgement.
pub(crate) const HEAT_LOVING_START: f64 = 0.2;
/// Temperatures at which each flora dies by a tenth an hour, degC (heat-loving: large heaps stop
/// near 70, row `T_pile_max`; starting flora from memory), and kelvin for ten times that.
/// Judgement: the usual five of heat sterilisation of vegetative cells.
const DIES_C: [f64; FLORAS] = [51.0, 71.0];
const DIES_TENFOLD_K: f64 = 5.0;

/// Factor of temperature on the rate of a fully grown flora (the starting one, the heat-loving
/// one), 1 at the best of the heat-loving. Nothing burns in a frozen heap.
pub(crate) fn flora_factor(flora: usize, temperature_c: f64) -> f64 {
    if temperature_c <= 0.0 {
        0.0
    } else if flora == 0 {
        STARTING_SHARE * cardinal(STARTING_C, temperature_c)
    } else {
        cardinal(HEAT_LOVING_C, temperature_c)
    }
}

/// Growth of each flora at its best over its rate fully grown, 1/d: both follow one curve.
pub(crate) const GROWTH_PER_RATE: [f64; FLORAS] = [GROWTH_PER_DAY / STARTING_SHARE, GROWTH_PER_DAY];

/// Death of a flora by heat, 1/d.
pub(crate) fn heat_death_per_day(flora: usize, temperature_c: f64) -> f64 {
    let tenfolds = (temperature_c - DIES_C[flora]) / DIES_TENFOLD_K;
    24.0 * 0.1 * 10.0_f64.powf(tenfolds.clamp(-6.0, 2.0))
}

/// Factor of temperature on the rate when both floras are fully grown, 1 at 58 degC.
///
/// The faster of two floras: the heat-loving one (5/58/75) and one that starts the heap
/// (-5/33/45 at half the rate). Judgement: the heat-loving form alone gives a thirtieth of its
/// best at 10 degC. The older exponential form 1.066^(T-20) - 1.21^(T-60) (HAUG93, from memory)
/// is slower still.
pub fn temperature_factor(temperature_c: f64) -> f64 {
    flora_factor(0, temperature_c).max(flora_factor(1, temperature_c))
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

/// Oxygen at half the rate, volume % (compost_heat.md section 2).
const OXYGEN_HALF_PCT: f64 = 2.0;

/// Factor of oxygen in the heap's gas (volume %) on the rate (compost_heat.md section 2).
pub fn oxygen_factor(oxygen_pct: f64) -> f64 {
    oxygen_pct / (oxygen_pct + OXYGEN_HALF_PCT)
}

/// Free air space of a heap, volume share.
pub fn free_air_space(dry_kg_m3: f64, water_kg_m3: f64) -> f64 {
    (1.0 - dry_kg_m3 / c::SOLID_DENSITY_KG_M3 - water_kg_m3 / 1000.0).clamp(0.0, 1.0)
}

/// Oxygen in the heap's gas, volume %, at which what the flora takes is what the air brings: the
/// root of `wanted o/(o + 2) = brought (1 - o/20.9)`, both in kg oxygen a second, `brought` being
/// all the oxygen of the air exchanged.
pub(crate) fn oxygen_pct(wanted: f64, brought: f64) -> f64 {
    if brought <= 0.0 {
        return 0.0;
    }
    let ratio = wanted / brought;
    let half = 0.5 * (c::AIR_OXYGEN_PCT * (ratio - 1.0) + OXYGEN_HALF_PCT);
    (half * half + OXYGEN_HALF_PCT * c::AIR_OXYGEN_PCT).sqrt() - half
}

/// Draught through a heap against that of the heap for which it was set, by free air space: the
/// form of Kozeny and Carman, `f^3/(1-f)^2` (from memory), from chips of
/// [`c::HEAP_DRAUGHT_AIR_SPACE`].
pub(crate) fn permeability_ratio(free_air_space: f64) -> f64 {
    let form = |f: f64| f.powi(3) / (1.0 - f).powi(2);
    (form(free_air_space.min(0.9)) / form(c::HEAP_DRAUGHT_AIR_SPACE)).min(2.0)
}

/// Diffusion of oxygen through a heap, m2/s: `D f^(4/3)` (MILL59, from memory).
pub(crate) fn diffusivity_m2_s(free_air_space: f64) -> f64 {
    c::OXYGEN_DIFFUSIVITY_M2_S * free_air_space.powf(4.0 / 3.0)
}

/// Heat of one first-order pool after some days at a steady rate, W (worked example 11).
pub fn pool_heat_w(fuel_kg: f64, rate_per_day: f64, days: f64) -> f64 {
    fuel_kg * rate_per_day * (-rate_per_day * days).exp() * c::HEAT_OF_OXIDATION_J_KG / 86_400.0
}
