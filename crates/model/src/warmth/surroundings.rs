//! What the vessel's outside meets, hour by hour: air, wind, sun, a roof or a cover.

use std::f64::consts::PI;

use crate::plan::{Roof, Siting};
use crate::weather::solar::SunPath;

use super::coefficients as c;
use super::moist_air;

/// Outside of a vessel in one hour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Surroundings {
    /// Air around it, degC.
    pub(crate) air_c: f64,
    /// Film coefficient, W/(m2 K).
    pub(crate) film_w_m2k: f64,
    /// Sun on its sides, mean of all directions, W/m2.
    pub(crate) sun_side_w_m2: f64,
    /// Sun on its top, W/m2.
    pub(crate) sun_top_w_m2: f64,
    /// Long-wave loss of its top to the sky beyond that to the air, W/m2.
    pub(crate) sky_top_w_m2: f64,
    /// Clear share of the sky over it; none under a roof.
    pub(crate) sky_clear: f64,
    /// Convective part of the film, W/(m2 K).
    pub(crate) convection_w_m2k: f64,
    /// Water of the air at the vessel, kg per kg dry air.
    pub(crate) humidity_ratio: f64,
    /// Film over a heap (never sheltered by the vessel's exposure), W/(m2 K).
    pub(crate) heap_film_w_m2k: f64,
}

/// Outside film coefficient in wind, W/(m2 K): `4 + 4 v` and radiation (rows `h_conv_wind`,
/// `h_rad`).
pub fn outside_film_w_m2k(wind_m_s: f64) -> f64 {
    c::H_CONVECTION_STILL_W_M2K
        + c::H_CONVECTION_WIND * wind_m_s.max(0.0)
        + c::rows().h_radiation_w_m2k
}

/// Temperature of air that would give the same flow without sun (worked example 19), degC.
pub fn sol_air_c(
    air_c: f64,
    absorptance: f64,
    sun_w_m2: f64,
    emissivity: f64,
    sky_deficit_w_m2: f64,
    film_w_m2k: f64,
) -> f64 {
    air_c + (absorptance * sun_w_m2 - emissivity * sky_deficit_w_m2) / film_w_m2k
}

/// Mean sun on upright walls of all directions, W/m2, from the sun on the flat.
///
/// Beam spread over the lateral surface of a round body is 1/pi of the beam across it (and the
/// mean over all headings of any convex plan is the same); half the sky and half the ground are
/// seen.
pub fn sun_on_sides_w_m2(sun_flat_w_m2: f64, sin_altitude: f64) -> f64 {
    let beam_flat = (1.0 - c::DIFFUSE_SHARE) * sun_flat_w_m2;
    let sine = sin_altitude.max(c::LOWEST_SIN_ALTITUDE);
    let across = beam_flat * (1.0 - sine * sine).max(0.0).sqrt() / sine;
    across / PI
        + 0.5 * c::DIFFUSE_SHARE * sun_flat_w_m2
        + 0.5 * c::GROUND_REFLECTANCE * sun_flat_w_m2
}

/// Air under a clear film, degC, before anybody opens it (balance per floor area: transmitted
/// sun that warms the air against cover and leakage). The ground's night warmth is left out.
fn under_film_c(outside_c: f64, sun_w_m2: f64, cover_per_floor: f64, leak_w_m2k: f64) -> f64 {
    let loss = c::rows().greenhouse_u_w_m2k * cover_per_floor + leak_w_m2k;
    outside_c + c::GREENHOUSE_TRANSMITTED * c::GREENHOUSE_TO_AIR * sun_w_m2 / loss
}

/// Air inside a small single-cover greenhouse, degC; it is opened when hot.
pub fn greenhouse_air_c(outside_c: f64, sun_w_m2: f64) -> f64 {
    let closed = under_film_c(
        outside_c,
        sun_w_m2,
        c::GREENHOUSE_COVER_PER_FLOOR,
        c::GREENHOUSE_LEAK_W_M2K,
    );
    let open_from = c::GREENHOUSE_VENT_C.max(outside_c);
    if closed > open_from {
        open_from + c::GREENHOUSE_VENT_LEFT * (closed - open_from)
    } else {
        closed
    }
}

/// Air inside a low tent of clear film over a vessel, degC; nobody opens it.
pub fn tent_air_c(outside_c: f64, sun_w_m2: f64) -> f64 {
    under_film_c(
        outside_c,
        sun_w_m2,
        c::TENT_COVER_PER_FLOOR,
        c::TENT_LEAK_W_M2K,
    )
}

/// Where a vessel stands, ready for the hourly loop.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Site {
    pub(crate) siting: Siting,
    pub(crate) roof: Roof,
    pub(crate) wind_exposure: f64,
    pub(crate) wind_factor: f64,
    pub(crate) pressure_pa: f64,
    /// Whether anything reads the humidity.
    pub(crate) humid: bool,
}

/// The hour's weather, outside.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Weather {
    pub(crate) air_c: f64,
    pub(crate) sun_w_m2: f64,
    pub(crate) wind_m_s: f64,
    /// Water of the air, kg per kg dry air.
    pub(crate) humidity_ratio: f64,
    /// Clear share of the sky.
    pub(crate) sky_clear: f64,
}

/// Share of the clear-sky long-wave loss that a day's sun lets one expect (FAO56, eq. 39): `1.35
/// Rs / Rso - 0.35`, a clear sky letting through three quarters. Where the sun hardly rises it
/// tells nothing and [`c::SKY_CLEARNESS`] holds.
pub(crate) fn sky_clear(sun_j_m2: f64, above_air_j_m2: f64) -> f64 {
    if above_air_j_m2 < c::SUN_TELLS_SKY_J_M2 {
        return c::SKY_CLEARNESS;
    }
    let relative = sun_j_m2 / (c::CLEAR_SKY_TRANSMITS * above_air_j_m2);
    1.35 * relative.clamp(1.0 / 3.0, 1.0) - 0.35
}

impl Site {
    /// Surroundings in an hour (0..=23) of a day with the given path of the sun.
    pub(crate) fn at(&self, weather: &Weather, path: &SunPath, hour: usize) -> Surroundings {
        let Weather {
            air_c,
            sun_w_m2,
            wind_m_s,
            humidity_ratio,
            sky_clear,
        } = *weather;
        let still = 1.0 / c::rows().rsi_horizontal_m2k_w;
        let indoors = Surroundings {
            air_c,
            film_w_m2k: still,
            convection_w_m2k: still - c::rows().h_radiation_w_m2k,
            humidity_ratio,
            sun_side_w_m2: 0.0,
            sun_top_w_m2: 0.0,
            sky_top_w_m2: 0.0,
            sky_clear: 0.0,
            heap_film_w_m2k: still,
        };
        // Under clear film: warm, still, damp, three quarters of the sun.
        let under_film = |air_c: f64| {
            let through = c::GREENHOUSE_TRANSMITTED * sun_w_m2;
            let damp = if self.humid {
                moist_air::humidity_ratio(air_c, c::TENT_HUMIDITY, self.pressure_pa)
            } else {
                0.0
            };
            Surroundings {
                air_c,
                humidity_ratio: damp.max(humidity_ratio),
                sun_side_w_m2: sun_on_sides_w_m2(through, path.sin_altitude(hour as f64 + 0.5)),
                sun_top_w_m2: through,
                ..indoors
            }
        };
        let in_wind = |share: f64| {
            let wind = wind_m_s * self.wind_factor;
            let film_w_m2k = outside_film_w_m2k(wind * self.wind_exposure * share);
            Surroundings {
                film_w_m2k,
                convection_w_m2k: film_w_m2k - c::rows().h_radiation_w_m2k,
                heap_film_w_m2k: outside_film_w_m2k(wind * share),
                ..indoors
            }
        };
        match (self.siting, self.roof) {
            (Siting::Shed, _) => indoors,
            (Siting::Room(kept), _) => Surroundings {
                air_c: kept.get::<uom::si::thermodynamic_temperature::degree_celsius>(),
                ..indoors
            },
            (Siting::Greenhouse, _) => under_film(greenhouse_air_c(air_c, sun_w_m2)),
            (_, Roof::Tent) => under_film(tent_air_c(air_c, sun_w_m2)),
            (_, Roof::LeanTo) => Surroundings {
                sun_side_w_m2: 0.5 * c::DIFFUSE_SHARE * c::LEAN_TO_DIFFUSE * sun_w_m2,
                ..in_wind(c::LEAN_TO_WIND)
            },
            (_, Roof::None) => Surroundings {
                sun_side_w_m2: if sun_w_m2 > 0.0 {
                    sun_on_sides_w_m2(sun_w_m2, path.sin_altitude(hour as f64 + 0.5))
                } else {
                    0.0
                },
                sun_top_w_m2: sun_w_m2,
                sky_top_w_m2: sky_clear * c::SKY_DEFICIT_CLEAR_W_M2,
                sky_clear,
                ..in_wind(1.0)
            },
        }
    }
}
