//! The earth round a buried wall as a store of heat.
//!
//! It holds the departure from the undisturbed ground, which obeys the same law of conduction.
//! Outwards the section widens as round a ball, so that at rest the whole resists as the shape
//! factor says.

use crate::weather::Soil;
use crate::weather::ground;

use super::coefficients as c;

/// Thickness of each shell, m; the last ends where a year's wave is spent.
const SHELLS_M: [f64; SHELLS] = [0.15, 0.3, 0.6, 1.2, 2.4, 4.8];
const SHELLS: usize = 6;

/// What the ground is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Ground {
    pub(crate) k_w_mk: f64,
    pub(crate) diffusivity_m2_day: f64,
}

impl Ground {
    /// Of a class, its conductivity times a factor. Diffusivity stays: the rows of FAROUKI82
    /// give loose dry and dense wet soil of a class about the same, since their heat capacity
    /// goes with their conductivity.
    pub(crate) fn new(soil: Soil, conductivity_factor: f64) -> Self {
        Ground {
            k_w_mk: conductivity_factor * c::soil_conductivity_w_mk(soil),
            diffusivity_m2_day: ground::diffusivity_m2_day(soil),
        }
    }

    fn capacity_j_m3k(&self) -> f64 {
        self.k_w_mk / self.diffusivity_m2_day * 86_400.0
    }
}

/// Shells of earth. Steps of an hour are stable: a shell passes on less than it holds.
#[derive(Debug, Clone)]
pub(crate) struct Earth {
    to_first_w_k: f64,
    /// From each shell to the next, and to the far ground from the last.
    outward_w_k: [f64; SHELLS],
    capacity_j_k: [f64; SHELLS],
    /// Over the undisturbed ground, K.
    above_k: [f64; SHELLS],
}

impl Earth {
    /// As yet undisturbed, behind a wall of an area; resistances of wall and, at rest, earth,
    /// K/W.
    pub(crate) fn new(ground: &Ground, area_m2: f64, wall_k_w: f64, at_rest_k_w: f64) -> Self {
        // Radius of the ball whose surface and resistance these are.
        let radius = ground.k_w_mk * area_m2 * at_rest_k_w;
        let resistance = |x: f64| at_rest_k_w * x / (radius + x);
        let volume = |x: f64| area_m2 * radius / 3.0 * (1.0 + x / radius).powi(3);
        let mut middle = [0.0; SHELLS];
        let mut capacity_j_k = [0.0; SHELLS];
        let mut from = 0.0;
        for (k, thickness) in SHELLS_M.into_iter().enumerate() {
            let to = from + thickness;
            middle[k] = resistance(0.5 * (from + to));
            capacity_j_k[k] = ground.capacity_j_m3k() * (volume(to) - volume(from));
            from = to;
        }
        Earth {
            to_first_w_k: 1.0 / (wall_k_w + middle[0]),
            outward_w_k: std::array::from_fn(|k| {
                1.0 / (middle.get(k + 1).unwrap_or(&at_rest_k_w) - middle[k])
            }),
            capacity_j_k,
            above_k: [0.0; SHELLS],
        }
    }

    /// Slurry to the first shell, W/K.
    pub(crate) fn conductance_w_k(&self) -> f64 {
        self.to_first_w_k
    }

    /// First shell over the undisturbed ground, K.
    pub(crate) fn above_k(&self) -> f64 {
        self.above_k[0]
    }

    /// Heat that came through the wall, J, and what goes on outwards meanwhile.
    pub(crate) fn step(&mut self, from_slurry_j: f64, dt_s: f64) {
        let mut inward_j = from_slurry_j;
        let before = self.above_k;
        for k in 0..SHELLS {
            let beyond = before.get(k + 1).unwrap_or(&0.0);
            let outward_j = self.outward_w_k[k] * (before[k] - beyond) * dt_s;
            self.above_k[k] += (inward_j - outward_j) / self.capacity_j_k[k];
            inward_j = outward_j;
        }
    }
}

#[cfg(test)]
mod tests {
    use std::f64::consts::PI;

    use super::*;

    /// W/K.
    const AT_REST: f64 = 4.0 * PI * GROUND.k_w_mk;
    const GROUND: Ground = Ground {
        k_w_mk: 1.5,
        diffusivity_m2_day: 0.05,
    };

    /// W into the earth on each hour with the wall held one kelvin warmer from the start.
    fn held(hours: usize) -> f64 {
        // A ball of 1 m radius far down.
        let mut soil = Earth::new(&GROUND, 4.0 * PI, 0.0, 1.0 / AT_REST);
        let mut flow = 0.0;
        for _ in 0..hours {
            flow = soil.conductance_w_k() * (1.0 - soil.above_k());
            soil.step(flow * 3600.0, 3600.0);
        }
        flow
    }

    /// `4 pi k r (1 + r / sqrt(pi a t))`, the exact answer for a ball (Carslaw and Jaeger, from memory), to 4 %: the
    /// shells are coarse.
    #[test]
    fn a_ball_warmed_of_a_sudden() {
        for days in [5, 30, 120, 365] {
            let spread_m2 = PI * GROUND.diffusivity_m2_day * days as f64;
            let exact = AT_REST * (1.0 + 1.0 / spread_m2.sqrt());
            let ours = held(24 * days);
            assert!(
                (ours / exact - 1.0).abs() < 0.04,
                "{days} d: {ours} {exact}"
            );
        }
    }

    /// At rest the resistance is that of the shape factor.
    #[test]
    fn at_rest() {
        let ours = held(24 * 365 * 200);
        assert!((ours / AT_REST - 1.0).abs() < 1e-3, "{ours}");
    }
}
