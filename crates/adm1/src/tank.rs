//! A vessel between and across its jumps: feeding, overflow, draw-off, doses,
//! air, and the days in between.

use std::sync::Arc;

use super::acid_base::{self, AcidConstants};
use super::kinetics::Rates;
use super::layout::Layout;
use super::state::*;
use super::system::{Conditions, Digestion, Running, WorldFactors};
use crate::solver::lanes::{WideWork, at_best_width};
use crate::solver::{Effort, Failure, Pack, Stepper, Tolerance};

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
    /// Solver for a tank that lives alone, made when first needed.
    alone: Option<Box<Cohort<f64>>>,
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
    /// Factor on the free ammonia that the groups bear, by what they grew used to.
    pub ammonia_tolerance: f64,
}

/// Least headspace kept so that no gas volume is zero, share of the space.
const LEAST_HEADSPACE: f64 = 0.002;
/// Oxygen and nitrogen of dry air (argon counted with nitrogen).
const AIR: (f64, f64) = (0.2095, 0.7905);

impl<'a> Tank<'a> {
    /// An empty tank full of air at `temperature_k`.
    pub fn empty(model: &'a Digestion, settings: TankSettings, temperature_k: f64) -> Self {
        let mut tank = Tank {
            alone: None,
            y: vec![0.0; model.states()],
            liquid_m3: 0.0,
            passengers: Passengers::default(),
            h: 1e-7,
            temperature_k,
            ammonia_tolerance: 1.0,
            model,
            settings,
        };
        tank.open_to_air();
        tank
    }

    /// Opens the headspace to the air: what was in it is gone, air at the outlet's
    /// pressure stands in it. So it is when a vessel has been filled by hand.
    pub fn open_to_air(&mut self) {
        self.y[G_H2..=G_O2].iter_mut().for_each(|v| *v = 0.0);
        let kmol_m3 = self.settings.p_out_bar / (super::constants::R * self.temperature_k);
        self.y[G_O2] = AIR.0 * kmol_m3;
        self.y[G_N2] = AIR.1 * kmol_m3;
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
            ammonia_tolerance: self.ammonia_tolerance,
        }
    }

    /// Lives `days` at `temperature_k`.
    ///
    /// # Errors
    /// [`Failure`] of the solver.
    pub fn live(&mut self, days: f64, temperature_k: f64) -> Result<DayGas, Failure> {
        let mut cohort = self
            .alone
            .take()
            .unwrap_or_else(|| Box::new(Cohort::new(self.model, self.settings.relative_tolerance)));
        let mut gas = [DayGas::default()];
        let lived = cohort.live(&mut [&mut *self], days, &[temperature_k], &mut gas);
        self.alone = Some(cohort);
        lived.map(|()| gas[0])
    }

    /// Dry composition of the headspace.
    pub fn headspace(&self) -> DryShares {
        let kmol: [f64; GASES] = std::array::from_fn(|g| self.y[G_H2 + g] / kg_per_kmol(g));
        let sum: f64 = kmol.iter().sum();
        kmol.map(|v| if sum > 0.0 { v / sum } else { 0.0 })
    }

    /// Free ammonia, kmol N/m3, and undissociated sulfide, kmol S/m3.
    pub fn free_ammonia_and_sulfide(&self) -> (f64, f64) {
        let acid = AcidConstants::at(&self.model.constants, self.temperature_k);
        (
            acid_base::dissociated(self.y[S_IN], acid.nitrogen, self.h).value,
            acid_base::undissociated(self.y[S_IS], acid.h2s, self.h).value,
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
}

/// The solver of some tanks that live in lockstep, one a lane.
#[derive(Debug, Clone)]
pub struct Cohort<T> {
    stepper: Stepper<T>,
    tolerance: Tolerance,
    y: Vec<T>,
    rates: Option<Rates<T>>,
    /// Layouts so far, each by what was present when it was made.
    layouts: Vec<(Vec<bool>, Arc<Layout>)>,
    /// The layout that `stepper` is fitted to.
    layout: Arc<Layout>,
}

impl<T: Pack> Cohort<T> {
    /// For tanks of `model`.
    pub fn new(model: &Digestion, relative_tolerance: f64) -> Self {
        Cohort {
            stepper: model.stepper(),
            tolerance: model.tolerance(relative_tolerance),
            y: vec![T::zero(); model.states()],
            rates: Some(model.rates()),
            layouts: Vec::new(),
            layout: Arc::clone(model.full_layout()),
        }
    }

    /// Lets `tanks` live `days` at their temperatures; `gas` receives what left.
    /// Fewer tanks than lanes: the last one is carried along in the spare lanes.
    ///
    /// # Errors
    /// [`Failure`] of the solver; the tanks stand as before.
    pub fn live(
        &mut self,
        tanks: &mut [&mut Tank],
        days: f64,
        temperature_k: &[f64],
        gas: &mut [DayGas],
    ) -> Result<(), Failure> {
        let last = tanks.len() - 1;
        let model = tanks[0].model;
        for (tank, &t) in tanks.iter_mut().zip(temperature_k) {
            tank.temperature_k = t;
        }
        let conditions: Vec<Conditions> = (0..T::WIDTH)
            .map(|i| tanks[i.min(last)].conditions(temperature_k[i.min(last)]))
            .collect();
        for (s, v) in self.y.iter_mut().enumerate() {
            *v = T::gather(|i| tanks[i.min(last)].y[s]);
        }
        let h = T::gather(|i| tanks[i.min(last)].h);
        self.fit(model);
        let rates = self.rates.take().unwrap_or_else(|| model.rates());
        let mut running = Running::together(model, &self.layout, &conditions, h, rates);
        let lived = at_best_width::<T, _>(Advance {
            stepper: &mut self.stepper,
            running: &mut running,
            y: &mut self.y,
            days,
            tolerance: &self.tolerance,
        });
        let h = running.h;
        self.rates = Some(running.into_rates());
        lived?;
        for (i, tank) in tanks.iter_mut().enumerate() {
            for (g, kmol) in gas[i].kmol.iter_mut().enumerate() {
                *kmol = (self.y[OUT + g].lane(i) - tank.y[OUT + g]) / kg_per_kmol(g);
            }
            for (own, v) in tank.y.iter_mut().zip(&self.y) {
                *own = v.lane(i);
            }
            tank.h = h.lane(i);
        }
        Ok(())
    }

    /// Leaves out of the equations what is absent from every tank.
    fn fit(&mut self, model: &Digestion) {
        let present: Vec<bool> = self.y.iter().map(|v| v.worst() != 0.0).collect();
        let known = self.layouts.iter().find(|(p, _)| *p == present);
        let layout = match known {
            Some((_, layout)) => Arc::clone(layout),
            None => {
                let layout = model.layout(&present);
                self.layouts.push((present, Arc::clone(&layout)));
                layout
            }
        };
        if !Arc::ptr_eq(&layout, &self.layout) {
            self.stepper = layout.refit(&self.stepper);
            self.layout = layout;
        }
    }

    /// Work of the solver so far.
    pub fn effort(&self) -> Effort {
        self.stepper.effort
    }
}

/// The solver's work of one stretch of days.
struct Advance<'a, 'm, T> {
    stepper: &'a mut Stepper<T>,
    running: &'a mut Running<'m, T>,
    y: &'a mut [T],
    days: f64,
    tolerance: &'a Tolerance,
}

impl<T: Pack> WideWork for Advance<'_, '_, T> {
    type Output = Result<(), Failure>;

    #[inline(always)]
    fn call(self) -> Self::Output {
        self.stepper
            .advance(self.running, self.y, self.days, self.tolerance)?;
        let guess = self.running.h;
        self.running.h = acid_base::solve(&self.running.coefficients().acid, self.y, guess);
        Ok(())
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
