//! Thermal coefficients, each with the row of `thermal_properties.csv` it is taken from.
//!
//! Anything marked judgement has no row: it is our engineering choice and says why.

/// Conductivity of a wall or insulation material, W/(m K), by its row id.
///
/// Keys and conditions stand in the row of that id; the values are its central column.
pub fn conductivity_w_mk(id: &str) -> Option<f64> {
    let value = match id {
        "k_eps" => 0.036,
        "k_eps_quoted" => 0.035,
        "k_xps" => 0.034,
        "k_pur" => 0.028,
        "k_pir" => 0.03,
        "k_phenolic" => 0.035,
        "k_cellglass" => 0.048,
        "k_stonewool_dry" => 0.036,
        "k_minwool" => 0.036,
        "k_straw_dry" => 0.052,
        "k_straw_airdry" => 0.063,
        "k_straw_wet" => 0.15,
        "k_softwood" => 0.12,
        "k_bulking_light" => 0.12,
        "k_bulking_dense" => 0.4,
        "k_silage_compost" => 0.25,
        "k_chips_dry" => 0.08,
        "k_chips_wet" => 0.3,
        "k_steel" => 45.0,
        "k_stainless" => 16.0,
        "k_hdpe" => 0.45,
        "k_pvc" => 0.16,
        "k_rubber" => 0.17,
        "k_glass" => 1.05,
        "k_concrete" => 1.6,
        "k_copper" => 384.0,
        "k_aluminium" => 230.0,
        "k_sand_5" => 1.9,
        "k_sand_10" => 2.35,
        "k_sand_20" => 2.65,
        "k_sand_loose_5" => 1.4,
        "k_sand_dense_15" => 3.3,
        "k_clay_5" => 0.95,
        "k_clay_20" => 1.2,
        "k_clay_loose_5" => 0.7,
        "k_clay_dense_15" => 1.65,
        "k_soil_dry" => 0.63,
        "k_snow_100" => 0.046,
        "k_snow_250" => 0.088,
        "k_snow_400" => 0.25,
        "k_ice" => 2.2,
        "k_air" => 0.0251,
        _ => return None,
    };
    Some(value)
}

/// Ground conductivity, W/(m K): rows `k_sand_10`, `k_clay_20` (FAROUKI82).
pub fn soil_conductivity_w_mk(soil: crate::plan::Soil) -> f64 {
    match soil {
        crate::plan::Soil::Sand => 2.35,
        crate::plan::Soil::Clay => 1.2,
    }
}

/// Row `cp_slurry_8TS`, J/(kg K).
pub const CP_SLURRY_J_KGK: f64 = 3960.0;
/// Row `rho_slurry`, kg/m3.
pub const DENSITY_SLURRY_KG_M3: f64 = 1010.0;
/// Row `cp_w_20`, J/(kg K).
pub const CP_WATER_J_KGK: f64 = 4184.1;
/// Row `cp_drysolids`, J/(kg K).
pub const CP_DRY_SOLIDS_J_KGK: f64 = 1400.0;
/// Specific heat of ice, J/(kg K) (from memory: handbook value at 0 degC).
pub const CP_ICE_J_KGK: f64 = 2100.0;
/// Latent heat of freezing water, J/kg: row `k_ice`, conditions column.
pub const LATENT_ICE_J_KG: f64 = 334_000.0;
/// Water share of the slurry in the same 8 % solids slurry as `cp_slurry_8TS`.
pub const WATER_OF_SLURRY: f64 = 0.92;

/// Row `h_water`, W/(m2 K).
pub const H_WATER_W_M2K: f64 = 300.0;
/// Row `Rsi_h`, m2 K/W.
pub const RSI_HORIZONTAL_M2K_W: f64 = 0.13;
/// Row `Rsi_up`, m2 K/W.
pub const RSI_UP_M2K_W: f64 = 0.10;
/// Row `Rse`, m2 K/W.
pub const RSE_M2K_W: f64 = 0.04;
/// Row `h_rad`, W/(m2 K).
pub const H_RADIATION_W_M2K: f64 = 5.1;
/// Row `h_conv_wind`: still-air part, W/(m2 K).
pub const H_CONVECTION_STILL_W_M2K: f64 = 4.0;
/// Row `h_conv_wind`: part per wind speed, W/(m2 K) per m/s.
pub const H_CONVECTION_WIND: f64 = 4.0;
/// Row `eps_lw`.
pub const EMISSIVITY: f64 = 0.92;
/// Clear-sky long-wave deficit of a horizontal surface, W/m2: row `dT_sky_h`, conditions column.
pub const SKY_DEFICIT_CLEAR_W_M2: f64 = 63.0;
/// Share of the clear-sky deficit taken as the usual sky. Judgement: half the time cloudy.
pub const SKY_CLEARNESS: f64 = 0.5;
/// Gas space between slurry and lid, m2 K/W (from memory: ISO 6946 unventilated air layer,
/// heat flowing up, 25 mm and more).
pub const GAS_SPACE_M2K_W: f64 = 0.16;

/// Row `U_pe1`: single plastic greenhouse cover, W/(m2 K).
pub const GREENHOUSE_U_W_M2K: f64 = 6.5;
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
/// tank a quarter, a bag in its trench a half.
pub const LYING_GROUND_SHARE: f64 = 0.25;
/// As [`LYING_GROUND_SHARE`] for a bag in its trench.
pub const BAG_GROUND_SHARE: f64 = 0.5;

/// Heat of oxidation, J per kg of biodegradable matter: compost_heat.md example 11 value, inside
/// row `q_bvs` (17-23 MJ/kg, wood and straw at the low end).
pub const HEAT_OF_OXIDATION_J_KG: f64 = 18.0e6;
/// Row `q_o2`, J per kg of oxygen.
pub const HEAT_PER_OXYGEN_J_KG: f64 = 14.0e6;
/// Oxygen in the gas that leaves the heap, volume %. Judgement inside row `o2_pile_min` (5) and
/// 21.
pub const HEAP_OXYGEN_PCT: f64 = 14.0;
/// Air drawn through a heap by its own warmth beyond what the decay needs, kg/(s m3 K) of the
/// rise over the outside. Judgement: Darcy flow by buoyancy, `permeability x density^2 x g /
/// (300 K x viscosity x height)`, with a permeability of 1e-9 m2 (chips with fines; open chips
/// have ten times more), 1.1 kg/m3, 2e-5 Pa s and 2 m height. It holds open willow heaps near
/// the 60-66 degC at which they were seen (WHIT16).
pub const HEAP_DRAUGHT_KG_S_M3K: f64 = 1.0e-6;
/// Cover over a heap that halves its draught, m2 K/W. Judgement: some 60 mm of straw or a fleece.
pub const HEAP_DRAUGHT_HALVED_M2K_W: f64 = 1.0;
/// Oxygen in air, volume %.
pub const AIR_OXYGEN_PCT: f64 = 20.9;
/// Oxygen in dry air by mass.
pub const AIR_OXYGEN_MASS_SHARE: f64 = 0.232;
/// Water made per kg of matter oxidised, kg: C6H10O5 + 6 O2 -> 6 CO2 + 5 H2O, 90.1/162.1.
pub const METABOLIC_WATER_KG_KG: f64 = 0.556;
/// Heap conductivity without moving vapour, W/(m K): row `k_chips_wet`.
pub const HEAP_CONDUCTIVITY_W_MK: f64 = 0.3;
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
