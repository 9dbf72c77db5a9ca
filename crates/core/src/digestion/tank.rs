//! A vessel between and across its jumps: feeding, overflow, draw-off, doses,
//! air, and the days in between.

use super::acid_base;
use super::kinetics;
use super::state::*;
use super::system::{Conditions, Digestion, Running, WorldFactors};
use crate::solver::{Effort, Failure, Stepper, Tolerance};

/// Matter that rides along unchanged, kg.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Passengers {
    /// Undegradable volatile solids.
    pub inert_vs: f64,
    /// Their COD.
    pub inert_cod: f64,
    /// Their carbon.
    pub inert_carbon: f64,
    /// Their nitrogen.
    pub inert_nitrogen: f64,
    /// Their sulfur.
    pub inert_sulfur: f64,
    /// Ash.
    pub ash: f64,
    /// Phosphorus.
    pub phosphorus: f64,
    /// Potassium.
    pub potassium: f64,
}

impl Passengers {
    /// Sum with `other` times `factor`.
    pub fn plus(&self, other: &Passengers, factor: f64) -> Passengers {
        let add = |a: f64, b: f64| a + factor * b;
        Passengers {
            inert_vs: add(self.inert_vs, other.inert_vs),
            inert_cod: add(self.inert_cod, other.inert_cod),
            inert_carbon: add(self.inert_carbon, other.inert_carbon),
            inert_nitrogen: add(self.inert_nitrogen, other.inert_nitrogen),
            inert_sulfur: add(self.inert_sulfur, other.inert_sulfur),
            ash: add(self.ash, other.ash),
            phosphorus: add(self.phosphorus, other.phosphorus),
            potassium: add(self.potassium, other.potassium),
        }
    }

    /// What leaves when `dissolved` and `solid` shares go: undegraded solids and
    /// phosphorus with the solids, potassium with the liquid, ash half and half
    /// (judgement: about half of the ash of dung and greens is soluble salts).
    fn part(&self, dissolved: f64, solid: f64) -> Passengers {
        Passengers {
            inert_vs: self.inert_vs * solid,
            inert_cod: self.inert_cod * solid,
            inert_carbon: self.inert_carbon * solid,
            inert_nitrogen: self.inert_nitrogen * solid,
            inert_sulfur: self.inert_sulfur * solid,
            ash: self.ash * 0.5 * (dissolved + solid),
            phosphorus: self.phosphorus * solid,
            potassium: self.potassium * dissolved,
        }
    }
}

/// Something that enters or leaves at once.
#[derive(Debug, Clone, PartialEq)]
pub struct Charge {
    /// Volume, m3.
    pub volume_m3: f64,
    /// Amount of each state, its unit times m3; headspace entries are zero.
    pub amounts: Vec<f64>,
    /// Matter that rides along.
    pub passengers: Passengers,
}

impl Charge {
    /// Nothing, for a model of `states` states.
    pub fn nothing(states: usize) -> Self {
        Charge {
            volume_m3: 0.0,
            amounts: vec![0.0; states],
            passengers: Passengers::default(),
        }
    }

    /// Adds `other` times `factor`.
    pub fn add(&mut self, other: &Charge, factor: f64) {
        self.volume_m3 += factor * other.volume_m3;
        for (a, b) in self.amounts.iter_mut().zip(&other.amounts) {
            *a += factor * b;
        }
        self.passengers = self.passengers.plus(&other.passengers, factor);
    }
}

/// What stays fixed through a run of one tank.
#[derive(Debug, Clone, PartialEq)]
pub struct TankSettings {
    /// Space for liquid and gas, m3 (filler taken off).
    pub space_m3: f64,
    /// Pressure at the outlet, bar absolute.
    pub p_out_bar: f64,
    /// Outlet, m3/(d bar) per m3 of liquid.
    pub outlet_per_d_bar: f64,
    /// Gas-liquid transfer, 1/d.
    pub k_l_a_per_d: f64,
    /// Times longer that solids stay than liquid.
    pub solids_stay: f64,
    /// The world's kinetics.
    pub world: WorldFactors,
    /// Relative tolerance of the solver.
    pub relative_tolerance: f64,
}

/// Gas that left in one day, kmol: H2, CH4, CO2, H2S, N2, O2.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct DayGas {
    /// Amounts in headspace order.
    pub kmol: [f64; GASES],
}

/// Composition of the headspace, mole shares of the dry gas, headspace order.
pub type DryShares = [f64; GASES];

/// One tank in one world.
#[derive(Debug, Clone)]
pub struct Tank<'a> {
    model: &'a Digestion,
    settings: TankSettings,
    stepper: Stepper<f64>,
    tolerance: Tolerance,
    /// State by [`super::state`].
    pub y: Vec<f64>,
    /// Liquid now, m3.
    pub liquid_m3: f64,
    /// Matter that rides along.
    pub passengers: Passengers,
    /// Protons, kmol/m3.
    pub h: f64,
    /// Temperature of the last day, K.
    pub temperature_k: f64,
}

/// Least headspace kept so that no gas volume is zero, share of the space.
const LEAST_HEADSPACE: f64 = 0.002;
/// Oxygen and nitrogen of dry air (argon counted with nitrogen).
const AIR: (f64, f64) = (0.2095, 0.7905);

impl<'a> Tank<'a> {
    /// An empty tank full of air at `temperature_k`.
    pub fn empty(model: &'a Digestion, settings: TankSettings, temperature_k: f64) -> Self {
        let mut tank = Tank {
            stepper: model.stepper(),
            tolerance: model.tolerance(settings.relative_tolerance),
            y: vec![0.0; model.states()],
            liquid_m3: 0.0,
            passengers: Passengers::default(),
            h: 1e-7,
            temperature_k,
            model,
            settings,
        };
        let kmol_m3 = tank.settings.p_out_bar / (super::constants::R * temperature_k);
        tank.y[G_O2] = AIR.0 * kmol_m3;
        tank.y[G_N2] = AIR.1 * kmol_m3;
        tank
    }

    /// Headspace now, m3.
    pub fn gas_m3(&self) -> f64 {
        (self.settings.space_m3 - self.liquid_m3).max(LEAST_HEADSPACE * self.settings.space_m3)
    }

    /// Puts `charge` in; the headspace is squeezed.
    pub fn add(&mut self, charge: &Charge) {
        let (before, gas_before) = (self.liquid_m3, self.gas_m3());
        self.liquid_m3 += charge.volume_m3;
        for i in 0..self.y.len() {
            if matches!(phase(i), Phase::Dissolved | Phase::Solid) {
                let amount = self.y[i] * before + charge.amounts[i];
                self.y[i] = if self.liquid_m3 > 0.0 {
                    amount / self.liquid_m3
                } else {
                    0.0
                };
            }
        }
        self.passengers = self.passengers.plus(&charge.passengers, 1.0);
        self.squeeze(gas_before);
    }

    /// Takes `volume_m3` of liquid out with its solids (fewer of them when the
    /// tank keeps solids back) and returns it.
    pub fn remove(&mut self, volume_m3: f64) -> Charge {
        let mut out = Charge::nothing(self.y.len());
        if volume_m3 <= 0.0 || self.liquid_m3 <= 0.0 {
            return out;
        }
        let gas_before = self.gas_m3();
        let share = (volume_m3 / self.liquid_m3).min(1.0);
        let solid = share / self.settings.solids_stay;
        let left = self.liquid_m3 * (1.0 - share);
        out.volume_m3 = self.liquid_m3 * share;
        for i in 0..self.y.len() {
            let goes = match phase(i) {
                Phase::Dissolved => share,
                Phase::Solid => solid,
                _ => continue,
            };
            let amount = self.y[i] * self.liquid_m3;
            out.amounts[i] = amount * goes;
            self.y[i] = if left > 0.0 {
                amount * (1.0 - goes) / left
            } else {
                0.0
            };
        }
        out.passengers = self.passengers.part(share, solid);
        self.passengers = self.passengers.plus(&out.passengers, -1.0);
        self.liquid_m3 = left;
        self.squeeze(gas_before);
        out
    }

    /// Feeds `charge`; what does not fit below `full_m3` runs out first.
    pub fn feed_with_overflow(&mut self, charge: &Charge, full_m3: f64) -> Charge {
        let out = self.remove((self.liquid_m3 + charge.volume_m3 - full_m3).max(0.0));
        self.add(charge);
        out
    }

    /// Blows `kmol` of air into the headspace.
    pub fn add_air(&mut self, kmol: f64) {
        let gas = self.gas_m3();
        self.y[G_O2] += AIR.0 * kmol / gas;
        self.y[G_N2] += AIR.1 * kmol / gas;
    }

    fn squeeze(&mut self, gas_before: f64) {
        let factor = gas_before / self.gas_m3();
        for v in &mut self.y[G_H2..=G_O2] {
            *v *= factor;
        }
    }

    fn conditions(&self, temperature_k: f64) -> Conditions {
        Conditions {
            temperature_k,
            liquid_m3: self.liquid_m3,
            gas_m3: self.gas_m3(),
            p_out_bar: self.settings.p_out_bar,
            outlet_per_d_bar: self.settings.outlet_per_d_bar,
            k_l_a_per_d: self.settings.k_l_a_per_d,
            dilution_per_d: 0.0,
            world: self.settings.world.clone(),
        }
    }

    /// Lives `days` at `temperature_k`.
    ///
    /// # Errors
    /// [`Failure`] of the solver.
    pub fn live(&mut self, days: f64, temperature_k: f64) -> Result<DayGas, Failure> {
        self.temperature_k = temperature_k;
        let before: [f64; GASES] = std::array::from_fn(|g| self.y[OUT + g]);
        let conditions = self.conditions(temperature_k);
        let mut running = Running::new(self.model, &conditions, None, self.h);
        self.stepper
            .advance(&mut running, &mut self.y, days, &self.tolerance)?;
        self.h = acid_base::solve(&running.coefficients().acid, &self.y, running.h);
        Ok(DayGas {
            kmol: std::array::from_fn(|g| (self.y[OUT + g] - before[g]) / kg_per_kmol(g)),
        })
    }

    /// Dry composition of the headspace.
    pub fn headspace(&self) -> DryShares {
        let kmol: [f64; GASES] = std::array::from_fn(|g| self.y[G_H2 + g] / kg_per_kmol(g));
        let sum: f64 = kmol.iter().sum();
        kmol.map(|v| if sum > 0.0 { v / sum } else { 0.0 })
    }

    /// Pressure of the headspace, bar absolute.
    pub fn pressure_bar(&self) -> f64 {
        let k = self
            .model
            .coefficients::<f64>(&self.conditions(self.temperature_k));
        kinetics::total_pressure(&k, &self.y)
    }

    /// Free ammonia, kmol N/m3, and undissociated sulfide, kmol S/m3.
    pub fn free_ammonia_and_sulfide(&self) -> (f64, f64) {
        let k = self
            .model
            .coefficients::<f64>(&self.conditions(self.temperature_k));
        (
            acid_base::dissociated(self.y[S_IN], k.acid.nitrogen, self.h).value,
            acid_base::undissociated(self.y[S_IS], k.acid.h2s, self.h).value,
        )
    }

    /// Amount in liquid, headspace and gas that has left, of a `content`.
    pub fn total(&self, content: &[f64]) -> f64 {
        (0..self.y.len())
            .map(|i| {
                content[i]
                    * self.y[i]
                    * match phase(i) {
                        Phase::Headspace => self.gas_m3(),
                        Phase::Left => 1.0,
                        _ => self.liquid_m3,
                    }
            })
            .sum()
    }

    /// pH of the slurry.
    pub fn ph(&self) -> f64 {
        -self.h.log10()
    }

    /// Work of the solver so far.
    pub fn effort(&self) -> Effort {
        self.stepper.effort
    }
}

/// COD of one kmol of a gas counted in kg COD (H2, CH4); 1 for the others.
pub fn kg_per_kmol(gas: usize) -> f64 {
    match gas {
        0 => 16.0,
        1 => 64.0,
        _ => 1.0,
    }
}
