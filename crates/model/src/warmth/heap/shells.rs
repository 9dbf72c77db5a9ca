//! The shells: flora grown, heat made, air drawn through, water lost, heat conducted.

use std::f64::consts::PI;

use super::super::coefficients as c;
use super::super::geometry::half_ball_radius_m;
use super::decay::{self, CLASSES, FLORAS};
use super::{Curves, Recipe};

/// Shells from the vessel to the surface.
pub(crate) const SHELLS: usize = 4;

/// State and geometry of a heap.
#[derive(Debug, Clone)]
pub(crate) struct Shells {
    recipe: Recipe,
    curves: Curves,
    // Geometry.
    volume_m3: [f64; SHELLS],
    /// Between the middles of neighbours, at conductivity as drawn, W/K.
    between_w_k: [f64; SHELLS - 1],
    /// Middle of the first shell to the vessel, K/W.
    core_k_w: f64,
    /// Half the bed below the vessel to its base, K/W; zero without a bed.
    bed_k_w: f64,
    radius_m: f64,
    /// Middle of the last shell to the surface, K/W.
    rind_k_w: f64,
    surface_m2: f64,
    ground_w_k: [f64; SHELLS],
    /// Depth whose temperature the base meets, m.
    pub(crate) ground_depth_m: f64,
    // State.
    temperature_c: [f64; SHELLS],
    fuel_kg: [[f64; CLASSES]; SHELLS],
    water_kg: [f64; SHELLS],
    dry_kg: [f64; SHELLS],
    heat_capacity_j_k: [f64; SHELLS],
    ice_kg: [f64; SHELLS],
    /// Activity of each flora against full growth, 0..1.
    active: [[f64; FLORAS]; SHELLS],
    /// Longest that the fastest pool can burn at its rate, s.
    longest_s: f64,
    /// Oxygen for a kg of fuel, kg.
    oxygen_kg_kg: f64,
    // Renewed daily.
    /// Product of the moisture and air-space factors.
    air_and_water_factor: [f64; SHELLS],
    /// Growth allowed by the food left.
    food_factor: [f64; SHELLS],
    /// Air drawn through, kg/(s K).
    draught_kg_s_k: [f64; SHELLS],
    /// Oxygen that diffusion could bring, kg/s.
    diffusing_kg_s: [f64; SHELLS],
    /// Squared distances that oxygen must diffuse over, m2.
    way_m2: [f64; SHELLS],
}

/// Heap material below the vessel; no thickness: the vessel stands on the ground.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Bed {
    pub(crate) thickness_m: f64,
    /// Base of the vessel, m2.
    pub(crate) area_m2: f64,
}

/// What the heap's outside meets in an hour.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Outside {
    pub(crate) air_c: f64,
    pub(crate) film_w_m2k: f64,
    pub(crate) ground_c: f64,
    /// Water and enthalpy of the air drawn in.
    pub(crate) humidity_ratio: f64,
    pub(crate) enthalpy_j_kg: f64,
}

/// How the slurry answers within the hour: its mean is `alpha + beta T1`, with `T1` the first
/// shell, and it takes `ua (T1 - mean)`.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Core {
    pub(crate) ua_w_k: f64,
    pub(crate) alpha_c: f64,
    pub(crate) beta: f64,
}

/// Heat moved in an hour, J.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct HeapFlows {
    pub(crate) made_j: f64,
    pub(crate) vapour_j: f64,
    pub(crate) surface_j: f64,
    pub(crate) ground_j: f64,
    pub(crate) to_slurry_j: f64,
    /// First shell as solved, before it froze or thawed, degC.
    pub(crate) core_c: f64,
}

impl Shells {
    /// A heap around a vessel of which it covers a share.
    pub(crate) fn new(
        recipe: Recipe,
        curves: Curves,
        vessel_m3: f64,
        covered: f64,
        bed: Bed,
        soil_w_mk: f64,
    ) -> Self {
        let inside = half_ball_radius_m(covered.max(0.05) * vessel_m3);
        let outside = half_ball_radius_m(covered.max(0.05) * vessel_m3 + recipe.volume_m3);
        let step = (outside - inside) / SHELLS as f64;
        let radius = |i: usize| inside + step * i as f64;
        // Mean radius of the shell's matter: the heat is made there, not half way.
        let middle = |i: usize| {
            let (r1, r2) = (radius(i), radius(i + 1));
            0.75 * (r2.powi(4) - r1.powi(4)) / (r2.powi(3) - r1.powi(3))
        };
        let k = recipe.conductivity_w_mk;
        // Half a ball between two radii, K/W.
        let shell_k_w = |r1: f64, r2: f64| (1.0 / r1 - 1.0 / r2) / (2.0 * PI * k);
        let ground_m2k_w = c::HEAP_BED_M / k + PI * outside / (4.0 * soil_w_mk);
        let fastest = recipe.rates_per_s.into_iter().fold(0.0, f64::max);
        let bedded = bed.thickness_m > 0.0;
        let mut ground_w_k: [f64; SHELLS] = std::array::from_fn(|i| {
            PI * (radius(i + 1).powi(2) - radius(i).powi(2)) / ground_m2k_w
        });
        if bedded {
            // The bed belongs to the first shell and stands on the ground too.
            ground_w_k[0] += bed.area_m2 / ground_m2k_w;
        }
        let cube = |i: usize| 2.0 / 3.0 * PI * radius(i).powi(3);
        let mut shells = Shells {
            volume_m3: std::array::from_fn(|i| cube(i + 1) - cube(i)),
            between_w_k: std::array::from_fn(|i| 1.0 / shell_k_w(middle(i), middle(i + 1))),
            core_k_w: shell_k_w(inside, middle(0)) / covered.max(0.05),
            rind_k_w: shell_k_w(middle(SHELLS - 1), outside),
            surface_m2: 2.0 * PI * outside * outside,
            ground_w_k,
            bed_k_w: if bedded {
                0.5 * bed.thickness_m / (k * bed.area_m2)
            } else {
                0.0
            },
            radius_m: outside,
            ground_depth_m: outside,
            recipe,
            curves,
            temperature_c: [0.0; SHELLS],
            fuel_kg: [[0.0; CLASSES]; SHELLS],
            water_kg: [0.0; SHELLS],
            dry_kg: [0.0; SHELLS],
            heat_capacity_j_k: [0.0; SHELLS],
            longest_s: 1.0 / fastest.max(f64::MIN_POSITIVE),
            oxygen_kg_kg: c::HEAT_OF_OXIDATION_J_KG / c::rows().heat_per_oxygen_j_kg,
            ice_kg: [0.0; SHELLS],
            active: [[0.0; FLORAS]; SHELLS],
            air_and_water_factor: [0.0; SHELLS],
            food_factor: [0.0; SHELLS],
            draught_kg_s_k: [0.0; SHELLS],
            diffusing_kg_s: [0.0; SHELLS],
            way_m2: std::array::from_fn(|i| outside * outside - middle(i).powi(2)),
        };
        shells.build(10.0);
        shells
    }

    /// Fill with fresh material on a day of the air's mean; gives the heat that came with it less
    /// the heat that went, J.
    pub(crate) fn build(&mut self, air_c: f64) -> f64 {
        let before = self.stored_j();
        let temperature_c = self.recipe.built_c(air_c);
        for i in 0..SHELLS {
            let volume = self.volume_m3[i];
            self.temperature_c[i] = temperature_c;
            self.fuel_kg[i] = self.recipe.fuel_kg_m3.map(|fuel| fuel * volume);
            self.water_kg[i] = self.recipe.water_kg_m3 * volume;
            self.dry_kg[i] = self.recipe.dry_kg_m3 * volume;
            self.ice_kg[i] =
                self.water_kg[i] * (-temperature_c / c::HEAP_FROZEN_BELOW_K).clamp(0.0, 1.0);
            let starting = self.recipe.awake.max(decay::LEAST_ACTIVITY);
            let heat_loving = (decay::HEAT_LOVING_START * starting).max(decay::LEAST_ACTIVITY);
            self.active[i] = [starting, heat_loving];
        }
        self.renew_heat_capacity();
        self.renew_day();
        self.stored_j() - before
    }

    /// Wet back to the moisture as built with water at a temperature; gives the heat that came
    /// with it, J.
    pub(crate) fn wet(&mut self, water_c: f64) -> f64 {
        let before = self.stored_j();
        for i in 0..SHELLS {
            let wanted = self.dry_kg[i] * self.recipe.moisture / (1.0 - self.recipe.moisture);
            let added = (wanted - self.water_kg[i]).max(0.0);
            let heat = self.heat_capacity_j_k[i] * self.temperature_c[i]
                + added * c::rows().cp_water_j_kgk * water_c;
            self.water_kg[i] += added;
            self.heat_capacity_j_k[i] += added * c::rows().cp_water_j_kgk;
            self.temperature_c[i] = heat / self.heat_capacity_j_k[i];
        }
        self.freeze();
        self.renew_day();
        self.stored_j() - before
    }

    /// Renew the slow factors; once a day is enough.
    pub(crate) fn renew_day(&mut self) {
        for i in 0..SHELLS {
            let moisture = self.water_kg[i] / (self.water_kg[i] + self.dry_kg[i]);
            let space = decay::free_air_space(
                self.dry_kg[i] / self.volume_m3[i],
                self.water_kg[i] / self.volume_m3[i],
            );
            self.air_and_water_factor[i] =
                decay::moisture_factor(moisture) * decay::air_space_factor(space);
            let offered: f64 = self.fuel_kg[i]
                .iter()
                .zip(self.recipe.rates_per_s)
                .map(|(fuel, rate)| fuel * rate * 86_400.0)
                .sum::<f64>()
                / self.dry_kg[i];
            self.food_factor[i] =
                self.recipe.growth_factor * offered / (offered + decay::HALF_FOOD_PER_DAY);
            self.draught_kg_s_k[i] = self.recipe.draught_kg_s_m2k / self.radius_m
                * self.recipe.openness
                * decay::permeability_ratio(space)
                * self.volume_m3[i];
            // Uniform use in a ball draws the share down by use (R^2 - r^2)/6D.
            self.diffusing_kg_s[i] = self.recipe.air_factor
                * 6.0
                * decay::diffusivity_m2_s(space)
                * c::OXYGEN_OF_AIR_KG_M3
                * self.volume_m3[i]
                / self.way_m2[i];
        }
    }

    fn renew_heat_capacity(&mut self) {
        for i in 0..SHELLS {
            self.heat_capacity_j_k[i] = self.dry_kg[i] * c::rows().cp_dry_solids_j_kgk
                + self.water_kg[i] * c::rows().cp_water_j_kgk;
        }
    }

    /// Conductance from the vessel's outer wall to the first shell's middle, joined to the walls
    /// themselves, W/K; beside it through a base bedded in the heap.
    pub(crate) fn core_conductance_w_k(&self, walls_w_k: f64, base_w_k: f64) -> f64 {
        let help = vapour_help(self.temperature_c[0]);
        let path = |walls_w_k: f64, heap_k_w: f64| {
            if walls_w_k > 0.0 {
                1.0 / (1.0 / walls_w_k + heap_k_w / help)
            } else {
                0.0
            }
        };
        path(walls_w_k, self.core_k_w) + path(base_w_k, self.bed_k_w)
    }

    /// Outer radius of heap and vessel as a half-ball, m.
    pub(crate) fn radius_m(&self) -> f64 {
        self.radius_m
    }

    /// One step of `dt_s` seconds: heat made and vented at the state as it is, conduction solved
    /// with the slurry's answer at the step's end.
    pub(crate) fn step(&mut self, outside: &Outside, core: &Core, dt_s: f64) -> HeapFlows {
        let mut flows = HeapFlows::default();
        let mut heat_j = [0.0; SHELLS];
        for (i, heat) in heat_j.iter_mut().enumerate() {
            let before = self.heat_capacity_j_k[i] * self.temperature_c[i];
            let (made, vapour) = self.burn(i, outside, dt_s);
            flows.made_j += made;
            flows.vapour_j += vapour;
            *heat = before + made - vapour;
        }
        // Conductances at the state as it is.
        let t = self.temperature_c;
        let help: [f64; SHELLS - 1] = std::array::from_fn(|i| vapour_help(0.5 * (t[i] + t[i + 1])));
        let between: [f64; SHELLS - 1] = std::array::from_fn(|i| self.between_w_k[i] * help[i]);
        self.move_vapour(&mut heat_j, &help, dt_s);
        self.renew_heat_capacity();
        let skin_m2k_w = self.recipe.cover_m2k_w + 1.0 / outside.film_w_m2k;
        let surface_w_k =
            1.0 / (self.rind_k_w / vapour_help(t[SHELLS - 1]) + skin_m2k_w / self.surface_m2);

        // Tridiagonal system: diagonal, right side; off-diagonals are -between dt.
        let mut diagonal = [0.0; SHELLS];
        let mut right = heat_j;
        for i in 0..SHELLS {
            diagonal[i] = self.heat_capacity_j_k[i] + self.ground_w_k[i] * dt_s;
            right[i] += self.ground_w_k[i] * dt_s * outside.ground_c;
            if i + 1 < SHELLS {
                diagonal[i] += between[i] * dt_s;
            }
            if i > 0 {
                diagonal[i] += between[i - 1] * dt_s;
            }
        }
        diagonal[0] += core.ua_w_k * (1.0 - core.beta) * dt_s;
        right[0] += core.ua_w_k * core.alpha_c * dt_s;
        diagonal[SHELLS - 1] += surface_w_k * dt_s;
        right[SHELLS - 1] += surface_w_k * dt_s * outside.air_c;
        for i in 1..SHELLS {
            let off = -between[i - 1] * dt_s;
            let factor = off / diagonal[i - 1];
            diagonal[i] -= factor * off;
            right[i] -= factor * right[i - 1];
        }
        let mut next = [0.0; SHELLS];
        next[SHELLS - 1] = right[SHELLS - 1] / diagonal[SHELLS - 1];
        for i in (0..SHELLS - 1).rev() {
            next[i] = (right[i] + between[i] * dt_s * next[i + 1]) / diagonal[i];
        }
        self.temperature_c = next;
        flows.core_c = next[0];
        self.freeze();

        flows.to_slurry_j = core.ua_w_k * ((1.0 - core.beta) * next[0] - core.alpha_c) * dt_s;
        flows.surface_j = surface_w_k * (next[SHELLS - 1] - outside.air_c) * dt_s;
        for (ground, t) in self.ground_w_k.iter().zip(next) {
            flows.ground_j += ground * (t - outside.ground_c) * dt_s;
        }
        flows
    }

    /// Burn, grow, draw air and dry one shell; gives the heat made and the heat gone as vapour, J.
    fn burn(&mut self, i: usize, outside: &Outside, dt_s: f64) -> (f64, f64) {
        let t = self.temperature_c[i];
        let air_kg = self.draught_kg_s_k[i] * (t - outside.air_c).max(0.0) * dt_s;
        let point = self.curves.flora.point(t);
        let mut burnt = 0.0;
        if t > 0.0 {
            let [rate_0, rate_1, death_0, death_1] = self.curves.flora.at(point);
            let [starting, heat_loving] = self.active[i];
            let flora = (starting * rate_0).max(heat_loving * rate_1);
            // No pool burns more than it holds, however wild the draw.
            let factor = (flora * self.air_and_water_factor[i] * dt_s).min(self.longest_s);
            let fuel = &mut self.fuel_kg[i];
            let wanted: f64 = (0..CLASSES)
                .map(|k| fuel[k] * self.recipe.rates_per_s[k])
                .sum::<f64>()
                * factor;
            let brought = air_kg * c::AIR_OXYGEN_MASS_SHARE + self.diffusing_kg_s[i] * dt_s;
            let oxygen_pct = decay::oxygen_pct(wanted * self.oxygen_kg_kg, brought);
            let oxygen_factor = decay::oxygen_factor(oxygen_pct);
            let done = factor * oxygen_factor;
            for (fuel, rate) in fuel.iter_mut().zip(self.recipe.rates_per_s) {
                *fuel -= *fuel * rate * done;
            }
            burnt = wanted * oxygen_factor;
            let allowed = self.food_factor[i] * self.air_and_water_factor[i] * oxygen_factor;
            let rates = [(rate_0, death_0), (rate_1, death_1)];
            for (flora, (rate, death)) in rates.into_iter().enumerate() {
                let best = rate * decay::GROWTH_PER_RATE[flora];
                let a = &mut self.active[i][flora];
                *a = grown(
                    *a,
                    best * allowed,
                    best * decay::UPKEEP + death,
                    dt_s / 86_400.0,
                );
            }
        }
        let made = burnt * c::HEAT_OF_OXIDATION_J_KG;
        let made_water = burnt * c::METABOLIC_WATER_KG_KG;
        self.dry_kg[i] -= burnt;
        self.water_kg[i] += made_water;
        if air_kg <= 0.0 {
            return (made, 0.0);
        }
        let [humidity, enthalpy_j_kg] = self.curves.vapour.at(point);
        let dried = air_kg * (humidity - outside.humidity_ratio);
        // A shell cannot give more water than it has left after what it makes.
        let possible = 0.5 * (self.water_kg[i] - made_water - self.ice_kg[i]) + made_water;
        let share = if dried > possible {
            possible / dried
        } else {
            1.0
        };
        self.water_kg[i] -= share * dried;
        let vapour = share * air_kg * (enthalpy_j_kg - outside.enthalpy_j_kg);
        (made, vapour)
    }

    /// Carry water outwards with the heat that moving vapour conducts: a hot core dries into its
    /// rind. The vapour's latent heat is in the conductances; here goes the water's own.
    fn move_vapour(&mut self, heat_j: &mut [f64; SHELLS], help: &[f64; SHELLS - 1], dt_s: f64) {
        let t = self.temperature_c;
        for i in 0..SHELLS - 1 {
            let by_vapour_w = self.between_w_k[i] * (help[i] - 1.0) * (t[i] - t[i + 1]);
            let (from, to) = if by_vapour_w > 0.0 {
                (i, i + 1)
            } else {
                (i + 1, i)
            };
            let wanted = by_vapour_w.abs() * dt_s / c::rows().latent_water_j_kg;
            let moved = wanted.min(0.1 * (self.water_kg[from] - self.ice_kg[from]).max(0.0));
            let carried = moved * c::rows().cp_water_j_kgk * t[from];
            self.water_kg[from] -= moved;
            self.water_kg[to] += moved;
            heat_j[from] -= carried;
            heat_j[to] += carried;
        }
    }

    /// Freeze and thaw: a shell stays at 0 degC until its water is all ice or all water.
    fn freeze(&mut self) {
        for i in 0..SHELLS {
            let t = self.temperature_c[i];
            let could = t * self.heat_capacity_j_k[i] / c::LATENT_ICE_J_KG;
            let melted = if t < 0.0 {
                could.max(self.ice_kg[i] - self.water_kg[i])
            } else if self.ice_kg[i] > 0.0 {
                could.min(self.ice_kg[i])
            } else {
                continue;
            };
            self.ice_kg[i] -= melted;
            self.temperature_c[i] -= melted * c::LATENT_ICE_J_KG / self.heat_capacity_j_k[i];
        }
    }

    /// Heat held above water at 0 degC, J.
    pub(crate) fn stored_j(&self) -> f64 {
        (0..SHELLS)
            .map(|i| {
                self.heat_capacity_j_k[i] * self.temperature_c[i]
                    - c::LATENT_ICE_J_KG * self.ice_kg[i]
            })
            .sum()
    }

    /// Mean temperature by volume, degC.
    pub(crate) fn mean_c(&self) -> f64 {
        let whole: f64 = self.volume_m3.iter().sum();
        self.volume_m3
            .iter()
            .zip(self.temperature_c)
            .map(|(v, t)| v * t)
            .sum::<f64>()
            / whole
    }

    /// Hottest shell, degC.
    pub(crate) fn hottest_c(&self) -> f64 {
        self.temperature_c.iter().copied().fold(f64::MIN, f64::max)
    }

    /// First shell, against the vessel, degC.
    pub(crate) fn core_c(&self) -> f64 {
        self.temperature_c[0]
    }

    /// Water, kg per kg wet, of the whole heap.
    pub(crate) fn moisture(&self) -> f64 {
        let water: f64 = self.water_kg.iter().sum();
        water / (water + self.dry_kg.iter().sum::<f64>())
    }
}

/// Activity of a flora after some days: `da/dt = growth (1 - a) a - loss a`, the losses and the
/// crowding taken at the step's end, so that it stays between 0 and 1.
fn grown(a: f64, growth_per_day: f64, loss_per_day: f64, days: f64) -> f64 {
    let gain = growth_per_day * a * days;
    let next = (a + gain) / (1.0 + gain + loss_per_day * days);
    next.max(decay::LEAST_ACTIVITY)
}

/// Factor of moving vapour on the conductivity: none below 35 degC, double from 60 degC on
/// (row `k_chips_wet`: latent transport can double the apparent value above 50 degC; the ramp is
/// judgement).
fn vapour_help(temperature_c: f64) -> f64 {
    1.0 + ((temperature_c - 35.0) / 25.0).clamp(0.0, 1.0)
}

#[cfg(test)]
mod tests {
    use super::super::{Curves, HeapDraw};
    use super::*;
    use crate::warmth::tests::plants;

    /// Rise over the surface under uniform heat: `q (R^2 - r^2)/6k` in a ball (worked example 11,
    /// q 30 W/m3, k 0.35). Four shells around a very small vessel come within 3 % of it at the
    /// first shell's mean radius.
    #[test]
    fn conduction_between_shells() {
        for (radius, core_rise) in [(1.0, 14.3), (1.5, 32.14), (2.0, 57.1)] {
            let (q, k) = (30.0, 0.35);
            let volume = 2.0 / 3.0 * PI * f64::powi(radius, 3);
            let (heap, feedstocks) = plants::chip_heap(volume, 0.7);
            let recipe = Recipe {
                conductivity_w_mk: k,
                ..Recipe::new(&heap, &feedstocks, &HeapDraw::default()).unwrap()
            };
            let shells = Shells::new(
                recipe,
                Curves::new(0.0),
                1e-9,
                1.0,
                Bed {
                    thickness_m: 0.0,
                    area_m2: 1.0,
                },
                1.2,
            );
            let mut inside_w = 0.0;
            let mut rise = 0.0;
            for i in 0..SHELLS {
                inside_w += q * shells.volume_m3[i];
                rise += match shells.between_w_k.get(i) {
                    Some(between) => inside_w / between,
                    None => inside_w * shells.rind_k_w,
                };
            }
            let r = 0.75 * radius / 4.0;
            let wanted = q * (radius * radius - r * r) / (6.0 * k);
            assert!((q * radius * radius / (6.0 * k) / core_rise - 1.0).abs() < 0.002);
            assert!(
                (rise / wanted - 1.0).abs() < 0.05,
                "R {radius}: {rise}, wanted {wanted}"
            );
        }
    }
}
