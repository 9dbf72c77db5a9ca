//! A slurry surface that meets the air, bare or under a film: drying off, ice, and the still
//! water under it.
//!
//! Evaporation follows the convective film by the analogy of heat and mass transfer (Lewis);
//! ice grows by conduction through itself (Stefan). Snow on the ice, rain, and the volume of
//! slurry lost or gained are left out.

use crate::plan::Top;

use super::coefficients as c;
use super::curve::Curve;
use super::moist_air;
use super::surroundings::Surroundings;

/// Steps of Newton's method towards the skin's temperature; it starts from the hour before.
const NEWTON_STEPS: usize = 2;
/// Skin temperatures followed, degC.
const SKIN_C: [f64; 2] = [-60.0, 90.0];

/// Surface and its state.
#[derive(Debug, Clone)]
pub(crate) struct Surface {
    area_m2: f64,
    /// Film and its insulation, m2 K/W.
    film_m2k_w: f64,
    still: StillTop,
    /// Evaporation against that of open water.
    wet: f64,
    absorptance: f64,
    bare: bool,
    /// Thickest ice that the slurry's depth allows, m.
    deepest_ice_m: f64,
    /// Water of saturated air, kg/kg.
    humidity: Curve<1>,
    /// Ice, m.
    ice_m: f64,
    skin_c: f64,
}

/// How still the slurry's top is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StillTop {
    /// Crust or slurry too thick to turn over, m.
    pub layer_m: f64,
    /// Factor on what passes from still water to ice or to a cold surface.
    pub under_ice_factor: f64,
}

impl StillTop {
    /// Nothing but water.
    pub const NONE: StillTop = StillTop {
        layer_m: 0.0,
        under_ice_factor: 1.0,
    };
}

/// How the slurry's top sees an hour: `conductance (T - outer)` flows out.
#[derive(Debug, Clone, Copy)]
pub(crate) struct TopSide {
    pub(crate) conductance_w_k: f64,
    /// Temperature that the slurry sees through the conductance, degC.
    pub(crate) outer_c: f64,
    state: State,
}

#[derive(Debug, Clone, Copy)]
enum State {
    /// Drying at `base_w_m2` with the skin at `skin_c`, `slope_w_m2k` more for each kelvin.
    Water {
        inner_m2k_w: f64,
        skin_c: f64,
        base_w_m2: f64,
        slope_w_m2k: f64,
    },
    /// `out_w_m2` leaves the ice's outer side.
    Ice { out_w_m2: f64 },
}

/// What passed the top in an hour, J; out is positive except for the sun.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct TopFlows {
    pub(crate) air_j: f64,
    pub(crate) evaporation_j: f64,
    pub(crate) sun_j: f64,
    pub(crate) sky_j: f64,
    /// Out of the slurry, to the air or to the ice.
    pub(crate) from_slurry_j: f64,
}

/// Long-wave loss to the sky beyond that to the air, W/m2: of a clear sky by Swinbank's rule (row
/// `T_sky`), for the share of it that is clear; none under a roof.
fn sky_w_m2(around: &Surroundings) -> f64 {
    if around.sky_clear <= 0.0 {
        return 0.0;
    }
    let air_k = around.air_c + 273.15;
    let sky_k = c::SWINBANK * air_k * air_k.sqrt();
    around.sky_clear * c::STEFAN_BOLTZMANN * (air_k.powi(4) - sky_k.powi(4)).max(0.0)
}

impl Surface {
    /// Of a vessel whose top is no lid; `film_m2k_w` is the insulation on the film.
    pub(crate) fn new(
        top: Top,
        area_m2: f64,
        depth_m: f64,
        film_m2k_w: f64,
        film_absorptance: f64,
        pressure_pa: f64,
        still: StillTop,
    ) -> Option<Self> {
        let (film_m2k_w, wet, absorptance, bare) = match top {
            Top::Lid => return None,
            Top::Open => (0.0, 1.0, c::rows().absorptance_slurry, true),
            Top::Film { wet } => {
                let share = if wet {
                    c::rows().wet_film_evaporation
                } else {
                    0.0
                };
                (film_m2k_w, share, film_absorptance, false)
            }
        };
        Some(Surface {
            area_m2,
            film_m2k_w,
            still,
            wet,
            absorptance,
            bare,
            deepest_ice_m: c::DEEPEST_ICE_SHARE * depth_m,
            humidity: Curve::new(SKIN_C[0], SKIN_C[1], |t| {
                [moist_air::humidity_ratio(t, 1.0, pressure_pa)]
            }),
            ice_m: 0.0,
            skin_c: 10.0,
        })
    }

    /// Ice, kg.
    pub(crate) fn ice_kg(&self) -> f64 {
        c::ICE_DENSITY_KG_M3 * self.area_m2 * self.ice_m
    }

    /// Heat above water at 0 degC, J: never more than zero.
    pub(crate) fn stored_j(&self) -> f64 {
        -c::LATENT_ICE_J_KG * self.ice_kg()
    }

    /// Water of a film coefficient below the still layer, W/(m2 K).
    fn through_still_layer(&self, water_w_m2k: f64) -> f64 {
        1.0 / (1.0 / water_w_m2k + self.still.layer_m / c::rows().still_layer_w_mk)
    }

    fn under_ice_w_m2k(&self) -> f64 {
        let still = self.still.under_ice_factor * c::rows().under_ice_w_m2k;
        self.through_still_layer(still)
    }

    /// Begin without ice.
    pub(crate) fn thaw(&mut self) {
        self.ice_m = 0.0;
    }

    /// The hour's top side, the slurry beginning it at a temperature.
    pub(crate) fn at(&mut self, around: &Surroundings, slurry_c: f64) -> TopSide {
        if self.ice_m > 0.0 {
            return self.iced(around);
        }
        // Below its greatest density cooling water stays on top: little mixes it.
        let cooling = slurry_c < c::DENSEST_WATER_C && self.skin_c < slurry_c;
        let side_w_m2k = if cooling {
            self.under_ice_w_m2k()
        } else {
            self.through_still_layer(c::rows().h_water_w_m2k)
        };
        let inner_m2k_w = 1.0 / side_w_m2k + self.film_m2k_w;
        let film = around.film_w_m2k;
        // Heat and vapour of the outer film; latent heat per kg of dry air exchanged.
        let vapour = self.wet * around.convection_w_m2k * c::latent_over_capacity();
        let gain = self.absorptance * around.sun_top_w_m2 - c::rows().emissivity * sky_w_m2(around);
        let mut skin = self.skin_c;
        // Latent loss at a skin temperature and its slope, W/m2.
        let drying = |skin: f64| {
            let at = |t: f64| self.humidity.at(self.humidity.point(t))[0];
            let (below, above) = (at(skin - 0.5), at(skin + 0.5));
            let base = vapour * (0.5 * (above + below) - around.humidity_ratio);
            (base, vapour * (above - below))
        };
        for _ in 0..NEWTON_STEPS {
            let (base, slope) = drying(skin);
            let out = film * (skin - around.air_c) - gain + base;
            let from = (slurry_c - skin) / inner_m2k_w;
            skin += (from - out) / (1.0 / inner_m2k_w + film + slope);
            skin = skin.clamp(SKIN_C[0], SKIN_C[1]);
        }
        let under_film = slurry_c - (slurry_c - skin) / inner_m2k_w / side_w_m2k;
        if slurry_c < c::DENSEST_WATER_C && under_film < 0.0 && slurry_c >= 0.0 {
            return self.iced(around);
        }
        let (base, slope) = drying(skin);
        self.skin_c = skin;
        let outer = film + slope;
        TopSide {
            conductance_w_k: self.area_m2 / (inner_m2k_w + 1.0 / outer),
            outer_c: (film * around.air_c + gain - base + slope * skin) / outer,
            state: State::Water {
                inner_m2k_w,
                skin_c: skin,
                base_w_m2: base,
                slope_w_m2k: slope,
            },
        }
    }

    /// The hour with ice, or with ice about to form: the slurry meets ice at 0 degC.
    fn iced(&mut self, around: &Surroundings) -> TopSide {
        let absorptance = if self.bare {
            c::ICE_ABSORPTANCE
        } else {
            self.absorptance
        };
        let gain = absorptance * around.sun_top_w_m2 - c::rows().emissivity * sky_w_m2(around);
        let outer_c = around.air_c + gain / around.film_w_m2k;
        // Melt water stands on the ice: its thickness does not slow melting.
        let ice_m2k_w = if outer_c < 0.0 {
            self.ice_m / c::rows().k_ice_w_mk
        } else {
            0.0
        };
        let out_w_m2 = -outer_c / (ice_m2k_w + self.film_m2k_w + 1.0 / around.film_w_m2k);
        self.skin_c = (outer_c + out_w_m2 / around.film_w_m2k).min(0.0);
        TopSide {
            conductance_w_k: self.area_m2 * self.under_ice_w_m2k(),
            outer_c: 0.0,
            state: State::Ice { out_w_m2 },
        }
    }

    /// End the hour: what flowed, the slurry's mean having been `mean_c`.
    pub(crate) fn settle(
        &mut self,
        side: &TopSide,
        around: &Surroundings,
        mean_c: f64,
        dt_s: f64,
    ) -> TopFlows {
        let from_slurry_j = side.conductance_w_k * (mean_c - side.outer_c) * dt_s;
        let sky_j = c::rows().emissivity * sky_w_m2(around) * self.area_m2 * dt_s;
        match side.state {
            State::Water {
                inner_m2k_w,
                skin_c,
                base_w_m2,
                slope_w_m2k,
            } => {
                let skin = mean_c - from_slurry_j / (self.area_m2 * dt_s) * inner_m2k_w;
                let evaporation_j =
                    (base_w_m2 + slope_w_m2k * (skin - skin_c)) * self.area_m2 * dt_s;
                let sun_j = self.absorptance * around.sun_top_w_m2 * self.area_m2 * dt_s;
                TopFlows {
                    air_j: from_slurry_j - evaporation_j + sun_j - sky_j,
                    evaporation_j,
                    sun_j,
                    sky_j,
                    from_slurry_j,
                }
            }
            State::Ice { out_w_m2 } => {
                let absorptance = if self.bare {
                    c::ICE_ABSORPTANCE
                } else {
                    self.absorptance
                };
                let latent_j_m = c::LATENT_ICE_J_KG * c::ICE_DENSITY_KG_M3 * self.area_m2;
                let mut out_j = out_w_m2 * self.area_m2 * dt_s;
                // Bounds: no less than none, no more than the depth allows.
                let least = from_slurry_j - latent_j_m * self.ice_m;
                let most = from_slurry_j + latent_j_m * (self.deepest_ice_m - self.ice_m);
                out_j = out_j.clamp(least, most.max(least));
                self.ice_m = (self.ice_m + (out_j - from_slurry_j) / latent_j_m).max(0.0);
                let sun_j = absorptance * around.sun_top_w_m2 * self.area_m2 * dt_s;
                TopFlows {
                    air_j: out_j + sun_j - sky_j,
                    evaporation_j: 0.0,
                    sun_j,
                    sky_j,
                    from_slurry_j,
                }
            }
        }
    }
}
