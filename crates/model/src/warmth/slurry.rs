//! The slurry as one well-mixed body with a freezing plateau.

use super::coefficients as c;

/// Heat content of the slurry; above zero it is liquid, between zero and minus the latent heat
/// it is a mix of ice and water at 0 degC, below that it is frozen. Salts, which would lower the
/// freezing point by a few tenths of a kelvin, are left out, and so is the heat of digestion
/// (about 1 W per 100 L on usual feed: judgement).
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Slurry {
    /// Heat above liquid at 0 degC, J.
    pub(crate) heat_j: f64,
    liquid_j_k: f64,
    frozen_j_k: f64,
    latent_j: f64,
}

/// Conditions of one step: `drive` is all heat that would flow in at 0 degC, W.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Drive {
    pub(crate) conductance_w_k: f64,
    pub(crate) heat_w: f64,
}

/// The slurry's mean over a step as a function of a neighbour's temperature: `alpha + beta T`.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Answer {
    pub(crate) alpha_c: f64,
    pub(crate) beta: f64,
}

impl Slurry {
    /// Slurry of a mass at a temperature.
    pub(crate) fn new(mass_kg: f64, temperature_c: f64) -> Self {
        let water = c::WATER_OF_SLURRY * mass_kg;
        let mut slurry = Slurry {
            heat_j: 0.0,
            liquid_j_k: mass_kg * c::rows().cp_slurry_j_kgk,
            frozen_j_k: water * c::CP_ICE_J_KGK + (mass_kg - water) * c::rows().cp_dry_solids_j_kgk,
            latent_j: water * c::LATENT_ICE_J_KG,
        };
        slurry.heat_j = slurry.liquid_j_k * temperature_c.max(0.0);
        slurry
    }

    pub(crate) fn temperature_c(&self) -> f64 {
        if self.heat_j >= 0.0 {
            self.heat_j / self.liquid_j_k
        } else if self.heat_j >= -self.latent_j {
            0.0
        } else {
            (self.heat_j + self.latent_j) / self.frozen_j_k
        }
    }

    /// Share of the water that is ice.
    pub(crate) fn ice(&self) -> f64 {
        (-self.heat_j / self.latent_j).clamp(0.0, 1.0)
    }

    /// Heat capacity where the slurry is a plain body; `None` on the plateau.
    fn capacity_j_k(&self) -> Option<f64> {
        if self.heat_j > 0.0 {
            Some(self.liquid_j_k)
        } else if self.heat_j < -self.latent_j {
            Some(self.frozen_j_k)
        } else {
            None
        }
    }

    /// Mean over a step under `drive` and a conductance `ua_w_k` to a neighbour held at a
    /// temperature: the exact solution of the linear balance, so thin walls are as stable as
    /// thick ones.
    pub(crate) fn answer(&self, drive: &Drive, ua_w_k: f64, dt_s: f64) -> Answer {
        let Some(capacity) = self.capacity_j_k() else {
            return Answer {
                alpha_c: 0.0,
                beta: 0.0,
            };
        };
        let whole = drive.conductance_w_k + ua_w_k;
        let x = whole * dt_s / capacity;
        let t0 = self.temperature_c();
        if x < 1e-9 {
            return Answer {
                alpha_c: t0,
                beta: 0.0,
            };
        }
        let kept = -(-x).exp_m1() / x;
        Answer {
            alpha_c: kept * t0 + (1.0 - kept) * drive.heat_w / whole,
            beta: (1.0 - kept) * ua_w_k / whole,
        }
    }

    /// Share of a step's full heater that brings the slurry to `up_to_c` and no further, with
    /// the neighbour held.
    pub(crate) fn duty(
        &self,
        drive: &Drive,
        ua_w_k: f64,
        neighbour_c: f64,
        power_w: f64,
        up_to_c: f64,
        dt_s: f64,
    ) -> f64 {
        if power_w <= 0.0 {
            return 0.0;
        }
        let Some(capacity) = self.capacity_j_k() else {
            return if up_to_c > 0.0 { 1.0 } else { 0.0 };
        };
        let whole = drive.conductance_w_k + ua_w_k;
        let heat = drive.heat_w + ua_w_k * neighbour_c;
        let x = whole * dt_s / capacity;
        let (keep, gain) = if x < 1e-9 {
            (1.0, dt_s / capacity)
        } else {
            ((-x).exp(), -(-x).exp_m1() / whole)
        };
        let unheated = self.temperature_c() * keep + gain * heat;
        ((up_to_c - unheated) / (gain * power_w)).clamp(0.0, 1.0)
    }

    /// Take a feed that pushes as much of the mix out; gives the heat gained, J.
    pub(crate) fn feed(&mut self, feed_kg: f64, feed_c: f64) -> f64 {
        let mass = self.liquid_j_k / c::rows().cp_slurry_j_kgk;
        let before = self.heat_j;
        let mixed = self.heat_j + feed_kg * c::rows().cp_slurry_j_kgk * feed_c;
        self.heat_j = mixed * mass / (mass + feed_kg);
        self.heat_j - before
    }
}
