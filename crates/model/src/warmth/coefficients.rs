//! Thermal coefficients: the rows of `thermal_properties.csv`, read, and the few figures that
//! have none.
//!
//! Anything marked judgement has no row: it is our engineering choice and says why.

use std::sync::LazyLock;

use crate::reference::{thermal, thermal_value};
use crate::weather::Soil;

/// Conductivity of a wall or insulation material, W/(m K), by its row id; `None` where no row of
/// that id holds a conductivity.
pub fn conductivity_w_mk(id: &str) -> Option<f64> {
    thermal(id).filter(|row| row.unit == "W/(m.K)")?.value
}

/// Ground conductivity, W/(m K): rows `k_sand_10`, `k_clay_20`. Judgement: the middle moistures
/// of the two classes.
pub fn soil_conductivity_w_mk(soil: Soil) -> f64 {
    match soil {
        Soil::Sand => thermal_value("k_sand_10"),
        Soil::Clay => thermal_value("k_clay_20"),
    }
}

/// Central values of rows, in the units of the hourly loop.
#[derive(Debug, Clone, Copy)]
pub struct Rows {
    /// Row `cp_slurry_8TS`, J/(kg K).
    pub cp_slurry_j_kgk: f64,
    /// Row `rho_slurry`, kg/m3.
    pub density_slurry_kg_m3: f64,
    /// Row `cp_w_20`, J/(kg K).
    pub cp_water_j_kgk: f64,
    /// Row `cp_drysolids`, J/(kg K).
    pub cp_dry_solids_j_kgk: f64,
    /// Row `h_water`, W/(m2 K).
    pub h_water_w_m2k: f64,
    /// Row `Rsi_h`, m2 K/W.
    pub rsi_horizontal_m2k_w: f64,
    /// Row `h_rad`, W/(m2 K).
    pub h_radiation_w_m2k: f64,
    /// Row `eps_lw`.
    pub emissivity: f64,
    /// Row `U_pe1`: single plastic greenhouse cover, W/(m2 K).
    pub greenhouse_u_w_m2k: f64,
    /// Row `q_o2`, J per kg of oxygen.
    pub heat_per_oxygen_j_kg: f64,
    /// Row `k_chips_wet`: a heap without moving vapour, W/(m K).
    pub heap_conductivity_w_mk: f64,
    /// Row `k_ice`, W/(m K).
    pub k_ice_w_mk: f64,
    /// Row `h_under_ice`: still water to ice or to a cold surface above it, W/(m2 K).
    pub under_ice_w_m2k: f64,
    /// Row `k_bulking_dense`: a still layer on slurry, W/(m K).
    pub still_layer_w_mk: f64,
    /// Row `abs_slurry`: sun taken up by open slurry.
    pub absorptance_slurry: f64,
    /// Row `evaporation_wet_film`: against open slurry.
    pub wet_film_evaporation: f64,
    /// Row `latent_water`, J/kg.
    pub latent_water_j_kg: f64,
    /// Row `lewis_air_water`: thermal over vapour diffusivity of air.
    pub lewis: f64,
}

static ROWS: LazyLock<Rows> = LazyLock::new(|| Rows {
    cp_slurry_j_kgk: 1000.0 * thermal_value("cp_slurry_8TS"),
    density_slurry_kg_m3: thermal_value("rho_slurry"),
    cp_water_j_kgk: thermal_value("cp_w_20"),
    cp_dry_solids_j_kgk: 1000.0 * thermal_value("cp_drysolids"),
    h_water_w_m2k: thermal_value("h_water"),
    rsi_horizontal_m2k_w: thermal_value("Rsi_h"),
    h_radiation_w_m2k: thermal_value("h_rad"),
    emissivity: thermal_value("eps_lw"),
    greenhouse_u_w_m2k: thermal_value("U_pe1"),
    heat_per_oxygen_j_kg: 1e6 * thermal_value("q_o2"),
    heap_conductivity_w_mk: thermal_value("k_chips_wet"),
    k_ice_w_mk: thermal_value("k_ice"),
    under_ice_w_m2k: thermal_value("h_under_ice"),
    still_layer_w_mk: thermal_value("k_bulking_dense"),
    absorptance_slurry: thermal_value("abs_slurry"),
    wet_film_evaporation: thermal_value("evaporation_wet_film"),
    latent_water_j_kg: 1000.0 * thermal_value("latent_water"),
    lewis: thermal_value("lewis_air_water"),
});

/// The rows' central values.
pub fn rows() -> &'static Rows {
    &ROWS
}

/// Latent heat that one kg of dry air exchanged carries over the heat that it carries per kelvin,
/// K per (kg/kg): `latent / (cp Le^(2/3))`, the analogy of heat and mass transfer (rows
/// `latent_water`, `lewis_air_water`; specific heat of air as in [`super::moist_air`]).
pub fn latent_over_capacity() -> f64 {
    let rows = rows();
    rows.latent_water_j_kg / (AIR_CP_J_KGK * rows.lewis.powf(2.0 / 3.0))
}

/// Specific heat of dry air, J/(kg K) (from memory: handbook value at 20 degC).
pub const AIR_CP_J_KGK: f64 = 1006.0;
/// Density of ice, kg/m3: row `k_ice`, conditions column.
pub const ICE_DENSITY_KG_M3: f64 = 917.0;
/// Share of the sun that dirty bare ice takes up. Judgement between clear ice (0.8) and snow
/// (0.2).
pub const ICE_ABSORPTANCE: f64 = 0.5;
/// Temperature of greatest density of water, degC (from memory: physical constant). Salts lower
/// it; left out.
pub const DENSEST_WATER_C: f64 = 4.0;
/// Share of the slurry's depth that may turn to ice on the top. Judgement: below it the store is
/// frozen through, which the body itself counts.
pub const DEEPEST_ICE_SHARE: f64 = 0.5;
/// Wind under a lean-to against the open. Judgement: one or two sides are shut.
pub const LEAN_TO_WIND: f64 = 0.5;
/// Diffuse light that reaches the sides under a lean-to against that in the open. Judgement.
pub const LEAN_TO_DIFFUSE: f64 = 0.5;
/// Film per floor area of a low tent over a bag. Judgement: a pointed tent with its ends.
pub const TENT_COVER_PER_FLOOR: f64 = 1.6;
/// Air leakage of a low tent as a heat loss per floor area, W/(m2 K). Judgement: loose hems.
pub const TENT_LEAK_W_M2K: f64 = 2.8;
/// Relative humidity under a tent or in a greenhouse. Judgement: damp ground and drip.
pub const TENT_HUMIDITY: f64 = 0.85;
/// Mean thickness of an earth bank against its height. Judgement: a slope of one to one.
pub const BANK_THICKNESS: f64 = 0.5;

/// Specific heat of ice, J/(kg K) (from memory: handbook value at 0 degC).
pub const CP_ICE_J_KGK: f64 = 2100.0;
/// Latent heat of freezing water, J/kg: row `k_ice`, conditions column.
pub const LATENT_ICE_J_KG: f64 = 334_000.0;
/// Water share of the slurry in the same 8 % solids slurry as `cp_slurry_8TS`.
pub const WATER_OF_SLURRY: f64 = 0.92;

/// Row `h_conv_wind`: still-air part, W/(m2 K).
pub const H_CONVECTION_STILL_W_M2K: f64 = 4.0;
/// Row `h_conv_wind`: part per wind speed, W/(m2 K) per m/s.
pub const H_CONVECTION_WIND: f64 = 4.0;
/// Clear-sky long-wave deficit of a horizontal surface, W/m2: row `dT_sky_h`, conditions column.
pub const SKY_DEFICIT_CLEAR_W_M2: f64 = 63.0;
/// Share of the clear-sky deficit where the sun tells nothing of it. Judgement: half the time
/// cloudy.
pub const SKY_CLEARNESS: f64 = 0.5;
/// Share of the sun above the air that a clear sky lets through (FAO56, eq. 37, near sea level).
pub const CLEAR_SKY_TRANSMITS: f64 = 0.75;
/// Sun above the air in a day, J/m2, below which the day's sun does not tell the clouds.
/// Judgement: noon under 5 degrees.
pub const SUN_TELLS_SKY_J_M2: f64 = 1.5e6;
/// Clear-sky temperature over air temperature to the 1.5th, K^-0.5: row `T_sky`.
pub const SWINBANK: f64 = 0.0552;
/// Stefan-Boltzmann constant, W/(m2 K4) (from memory: CODATA).
pub const STEFAN_BOLTZMANN: f64 = 5.670_374e-8;
/// Gas space between slurry and lid with heat going up, m2 K/W (from memory: ISO 6946,
/// unventilated air layer of 100 mm).
pub const GAS_SPACE_UP_M2K_W: f64 = 0.16;
/// As [`GAS_SPACE_UP_M2K_W`] with heat coming down from a warm lid.
pub const GAS_SPACE_DOWN_M2K_W: f64 = 0.22;
/// As [`GAS_SPACE_UP_M2K_W`] through a wall above the slurry.
pub const GAS_SPACE_SIDEWAYS_M2K_W: f64 = 0.18;

/// Cover area per floor area of a small tunnel. Judgement: a half-cylinder with its ends.
pub const GREENHOUSE_COVER_PER_FLOOR: f64 = 1.8;
/// Air leakage of a small tunnel as a heat loss per floor area, W/(m2 K). Judgement: one air
/// change an hour at 2 m height is 0.7; doors and gaps double it.
pub const GREENHOUSE_LEAK_W_M2K: f64 = 1.4;
/// Share of the sun a single cover lets through. Judgement: clean plastic 0.85, used 0.7.
pub const GREENHOUSE_TRANSMITTED: f64 = 0.75;
/// Share of the transmitted sun that warms the air (the rest wets, grows and soaks in).
/// Judgement.
pub const GREENHOUSE_TO_AIR: f64 = 0.5;
/// Inside temperature from which somebody opens it, degC. Judgement.
pub const GREENHOUSE_VENT_C: f64 = 30.0;
/// Share of a rise above the venting temperature that stays. Judgement.
pub const GREENHOUSE_VENT_LEFT: f64 = 0.25;

/// Share of the sun that comes as diffuse light. Judgement: about half over a mid-latitude year.
pub const DIFFUSE_SHARE: f64 = 0.5;
/// Sun thrown back by the ground (from memory: the usual 0.2 of solar handbooks for snow-free
/// ground).
pub const GROUND_REFLECTANCE: f64 = 0.2;
/// Lowest sine of the sun's altitude for which beam on a standing side is counted. Judgement:
/// below 6 degrees hedges and hills stand in the way.
pub const LOWEST_SIN_ALTITUDE: f64 = 0.1;

/// Depth below the base, in base diameters, whose undisturbed temperature stands for the far
/// ground. Judgement: the heat of a disc spreads over about its own diameter.
pub const FAR_GROUND_DIAMETERS: f64 = 1.0;
/// Share of the lateral surface of a lying cylinder that touches the ground. Judgement: a stiff
/// tank a quarter; a bag fills its trench, 0.6.
pub const LYING_GROUND_SHARE: f64 = 0.25;
/// As [`LYING_GROUND_SHARE`] for a bag in its trench.
pub const BAG_GROUND_SHARE: f64 = 0.6;

/// Heat of oxidation, J per kg of biodegradable matter: compost_heat.md example 11 value, inside
/// row `q_bvs` (17-23 MJ/kg, wood and straw at the low end).
pub const HEAT_OF_OXIDATION_J_KG: f64 = 18.0e6;
/// Air drawn through a heap of chips by its own warmth, kg/(s m2 K) of the rise over the outside;
/// over the heap's radius (m) it is that of a m3. Darcy flow by buoyancy, `permeability x
/// density^2 x g / (300 K x viscosity)`; the permeability, 4e-9 m2 with 1.1 kg/m3 and 2e-5 Pa s,
/// is judgement between chips with fines (1e-9) and open chips (1e-8), and lets willow heaps dry
/// in half a year about as they were seen to (WHIT16-LOSS).
pub const HEAP_DRAUGHT_KG_S_M2K: f64 = 7.9e-6;
/// Free air space of the heap for which that draught is set: 400 kg/m3 at 55 % water.
pub const HEAP_DRAUGHT_AIR_SPACE: f64 = 0.66;
/// Diffusivity of oxygen in air, m2/s (from memory: 2.0e-5 at 20 degC).
pub const OXYGEN_DIFFUSIVITY_M2_S: f64 = 2.0e-5;
/// Oxygen in air, kg/m3 (from memory: 0.28 at 15 degC).
pub const OXYGEN_OF_AIR_KG_M3: f64 = 0.28;
/// Cold at which the water of fresh material is all ice, K below 0 degC. Judgement: sap and pores.
pub const HEAP_FROZEN_BELOW_K: f64 = 2.0;
/// Temperature at which dung and kitchen waste come to a heap in the cold, degC. Judgement: stable
/// and kitchen.
pub const STABLE_WARM_C: f64 = 18.0;
/// Cover over a heap that halves its draught, m2 K/W. Judgement: some 60 mm of straw or a fleece.
pub const HEAP_DRAUGHT_HALVED_M2K_W: f64 = 1.0;
/// Oxygen in air, volume %.
pub const AIR_OXYGEN_PCT: f64 = 20.9;
/// Oxygen in dry air by mass.
pub const AIR_OXYGEN_MASS_SHARE: f64 = 0.232;
/// Water made per kg of matter oxidised, kg: C6H10O5 + 6 O2 -> 6 CO2 + 5 H2O, 90.1/162.1.
pub const METABOLIC_WATER_KG_KG: f64 = 0.556;
/// Density of the solid matter of plants, kg/m3 (from memory: cell wall about 1500).
pub const SOLID_DENSITY_KG_M3: f64 = 1500.0;
/// Bed of heap material left below a vessel and the heap's own lower layer, m. Judgement.
pub const HEAP_BED_M: f64 = 0.3;
/// Relative humidity of the outside air entering a heap. Worked example 12 uses the same.
pub const OUTSIDE_HUMIDITY: f64 = 0.8;
/// Lowest temperature a handled feed is given, degC. Judgement: frozen feed is not fed.
pub const LOWEST_FEED_C: f64 = 1.0;
/// Depth whose ground temperature stands for tap or well water, m. Judgement.
pub const TAP_DEPTH_M: f64 = 1.0;
