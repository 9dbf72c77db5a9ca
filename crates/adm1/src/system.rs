//! The whole model as a [`System`]: conditions, right-hand side, Jacobian.

use std::sync::Arc;

use super::acid_base::{self, AcidConstants, Inverses};
use super::biology::{Biology, RateFactors, vant_hoff};
use super::constants::{Constants, R, T_BASE};
use super::kinetics;
use super::kinetics::{At, Kinetics, Rates};
use super::layout::{Layout, Parts};
use super::pool::Pool;
use super::state::*;
use super::stoichiometry::{self, Content, Row};
use crate::coefficients::Coefficients;
use crate::solver::{Num, Pack, Stepper, System, Tolerance};

/// What surrounds the liquid while no jump happens.
#[derive(Debug, Clone, PartialEq)]
pub struct Conditions {
    /// Slurry and headspace temperature, K.
    pub temperature_k: f64,
    /// Liquid, m3.
    pub liquid_m3: f64,
    /// Headspace, m3.
    pub gas_m3: f64,
    /// Pressure at the outlet, bar absolute.
    pub p_out_bar: f64,
    /// Outlet, m3/(d bar) per m3 of liquid.
    pub outlet_per_d_bar: f64,
    /// Gas-liquid transfer, 1/d.
    pub k_l_a_per_d: f64,
    /// Continuous exchange of liquid, 1/d (0 for a vessel fed by the bucket).
    pub dilution_per_d: f64,
    /// Factors on the rates of this world.
    pub world: WorldFactors,
    /// Factor on the free ammonia that the groups bear, by what they grew used to.
    pub ammonia_tolerance: f64,
}

/// How one plausible world differs in its kinetics.
#[derive(Debug, Clone, PartialEq)]
pub struct WorldFactors {
    /// On each pool's rate.
    pub pool: Vec<f64>,
    /// Carbon of each feed pool beyond what [`Pool`] says, kmol C/kg COD: worlds share
    /// the pools' stoichiometry, not the make-up of what is fed.
    pub feed_carbon: Vec<f64>,
    /// On the uptake of every group.
    pub uptake: f64,
    /// The additions to plain ADM1.
    pub biology: Arc<Biology>,
}

impl WorldFactors {
    /// Plain ADM1, no difference.
    pub fn none(pools: usize) -> Self {
        WorldFactors {
            pool: vec![1.0; pools],
            feed_carbon: vec![0.0; pools - PLAIN_POOLS],
            uptake: 1.0,
            biology: Arc::new(Biology::plain()),
        }
    }

    /// Carbon of one unit of each state in this world, kmol.
    pub fn carbon(&self, content: &Content) -> Vec<f64> {
        let mut carbon = content.carbon.clone();
        for (of, more) in carbon[POOLS + PLAIN_POOLS..]
            .iter_mut()
            .zip(&self.feed_carbon)
        {
            *of += more;
        }
        carbon
    }
}

/// The parts that all worlds of a plan share.
#[derive(Debug, Clone)]
pub struct Digestion {
    /// Constants.
    pub constants: Constants,
    /// Pools, the four plain ones first.
    pub pools: Vec<Pool>,
    /// Content of each state.
    pub content: Content,
    kinetics: Kinetics,
    stoichiometry: Vec<Row>,
    variables: Vec<Vec<usize>>,
    feed_factor: Vec<usize>,
    needs: Vec<Vec<Vec<usize>>>,
    full: Arc<Layout>,
}

impl Digestion {
    /// A household model: the plain pools, `feed_pools` after them, every addition.
    pub fn new(constants: Constants, feed_pools: Vec<Pool>) -> Self {
        Self::with(constants, feed_pools, true)
    }

    /// Without the household additions their terms are left out of the matrix.
    fn with(constants: Constants, feed_pools: Vec<Pool>, household: bool) -> Self {
        let mut pools = Pool::plain(&constants);
        pools.extend(feed_pools);
        let stoichiometry = stoichiometry::rows(&constants, &pools);
        let variables = kinetics::variables(pools.len(), household);
        let feed_factor = kinetics::feed_factor_variables(pools.len());
        let needs = kinetics::needs(pools.len(), household);
        let full = Layout::full(&Parts {
            rows: &stoichiometry,
            variables: &variables,
            feed_factor: &feed_factor,
            needs: &needs,
            states: POOLS + pools.len(),
        });
        Digestion {
            content: Content::new(&constants, &pools),
            kinetics: Kinetics::new(&constants),
            full: Arc::new(full),
            constants,
            pools,
            stoichiometry,
            variables,
            feed_factor,
            needs,
        }
    }

    /// The layout in which every state may move.
    pub fn full_layout(&self) -> &Arc<Layout> {
        &self.full
    }

    /// The layout of what can move from where the states in `present` are not zero,
    /// without exchange of liquid.
    pub fn layout(&self, present: &[bool]) -> Arc<Layout> {
        let parts = Parts {
            rows: &self.stoichiometry,
            variables: &self.variables,
            feed_factor: &self.feed_factor,
            needs: &self.needs,
            states: self.states(),
        };
        Arc::new(Layout::from_present(&parts, present))
    }

    /// Plain ADM1: four pools, to be run with [`Biology::plain`].
    pub fn plain() -> Self {
        Self::with(Constants::reference(), Vec::new(), false)
    }

    /// Number of states.
    pub fn states(&self) -> usize {
        POOLS + self.pools.len()
    }

    /// Room for the rates of one system.
    pub fn rates<T: Num>(&self) -> Rates<T> {
        let slopes = self.variables.iter().map(Vec::len).sum();
        Rates {
            rate: vec![T::zero(); self.variables.len()],
            slope: vec![T::zero(); slopes],
            feed_factor: vec![T::zero(); self.feed_factor.len()],
        }
    }

    /// A stepper in which every state may move.
    pub fn stepper<T: Num>(&self) -> Stepper<T> {
        self.stepper_for(&self.full)
    }

    /// A stepper for what moves in `layout`.
    pub fn stepper_for<T: Num>(&self, layout: &Layout) -> Stepper<T> {
        Stepper::new(Arc::clone(&layout.lu), self.states())
    }

    /// Size of the whole matrix: entries, entries with fill, multiplications a
    /// factorisation.
    pub fn matrix_size(&self) -> (usize, usize, usize) {
        self.full.matrix_size()
    }

    /// Tolerance: `relative`, with absolute floors fitted to each state's scale.
    pub fn tolerance(&self, relative: f64) -> Tolerance {
        // A floor a thousandth of what matters, tightened with the relative part.
        let tight = (relative / 1e-3).min(1.0);
        let absolute = (0..self.states())
            .map(|i| match i {
                S_H2 => 1e-9,
                G_H2 => 1e-7,
                G_H2S => 1e-7,
                S_SO4 | S_IS | S_FE | X_FES | X_S0 => 1e-6,
                S_IC | S_IN | S_CAT | S_AN => 1e-5,
                G_CO2 | G_N2 | G_O2 => 1e-5,
                X_SU..=X_SRB => 1e-5,
                OUT..POOLS => return f64::INFINITY,
                _ => 1e-4,
            } * tight)
            .collect();
        Tolerance { relative, absolute }
    }

    /// Coefficients at given conditions.
    pub fn coefficients<T: Num>(&self, at: &Conditions) -> Coefficients<T> {
        let c = &self.constants;
        let t = at.temperature_k;
        let b = &at.world.biology;
        let factors = match &b.thermal {
            Some(thermal) => RateFactors::at(thermal, t),
            None => RateFactors::PLAIN,
        };
        let terms = &b.terms;
        let borne = at.ammonia_tolerance;
        let square = (terms.ammonia_square / borne).powi(2);
        let k = T::constant;
        let w = &at.world;
        let rt = R * t;
        let decay_base = [c.k_dec; super::stoichiometry::GROUPS];
        Coefficients {
            acid: AcidConstants::at(c, t),
            pool: self
                .pools
                .iter()
                .zip(&w.pool)
                .map(|(p, f)| k(p.rate * factors.hydrolysis * f))
                .collect(),
            feed_carbon: w.feed_carbon.iter().map(|&more| k(more)).collect(),
            k_m: [
                k(c.k_m_su * factors.acidogens * w.uptake),
                k(c.k_m_aa * factors.acidogens * w.uptake),
                k(c.k_m_fa * factors.acidogens * w.uptake),
                k(c.k_m_c4 * factors.syntrophs * w.uptake),
                k(c.k_m_pro * factors.syntrophs * w.uptake),
            ],
            k_m_ac: std::array::from_fn(|g| k(c.k_m_ac * factors.guild[g] * w.uptake)),
            k_m_h2: std::array::from_fn(|g| {
                k(c.k_m_h2 * factors.guild[g] * factors.hydrogen_users * w.uptake)
            }),
            k_m_srb: k(c.k_m_srb * factors.syntrophs * w.uptake),
            decay: std::array::from_fn(|i| {
                let state = X_SU + i;
                let death = match state {
                    X_AC..X_SRB => factors.guild_death[(state - X_AC) % GUILDS],
                    _ => factors.other_death,
                };
                k(decay_base[i] * factors.decay + death)
            }),
            hydrolyser_time: k(terms.hydrolyser_time / factors.hydrolysis),
            hydrolysis_protons: k(terms.hydrolysis_protons),
            acids_on_hydrolysis: k(terms.acids_on_hydrolysis.powi(2)),
            acetic: [
                k(terms.acetic_on_fermenters),
                k(terms.acetic_on_methanogens),
            ],
            nh3: [k(terms.ammonia_linear / (c.k_i_nh3 * borne)), k(square)],
            nh3_others: k(square * terms.ammonia_on_others.powi(2)),
            acetoclasts_half_h: k(self.kinetics.ph_ac.half(terms.acetoclasts_half_ph)),
            k_m_hac: k(terms.homoacetogens * factors.acidogens * w.uptake),
            lactic: k(terms
                .lactic_half_ph
                .map_or(0.0, |half| 10f64.powf(2.0 * half))),
            k_m_la: k(c.k_m_la * factors.acidogens * w.uptake),
            k_i_h2s: k(c.k_i_h2s),
            solubility: [
                k(16.0 * c.k_h_h2 * vant_hoff(-4_180.0, t)),
                k(64.0 * c.k_h_ch4 * vant_hoff(-14_240.0, t)),
                k(c.k_h_co2 * vant_hoff(-19_410.0, t)),
                k(c.k_h_h2s * vant_hoff(c.dh_sol_h2s, t)),
            ],
            pressure: [k(rt / 16.0), k(rt / 64.0), k(rt), k(rt), k(rt), k(rt)],
            p_h2o: k(c.p_h2o * (5290.0 * (1.0 / T_BASE - 1.0 / t)).exp()),
            k_l_a: k(at.k_l_a_per_d),
            outlet: k(at.outlet_per_d_bar),
            p_out: k(at.p_out_bar),
            gas_per_liquid: k(at.gas_m3 / at.liquid_m3),
        }
    }
}

/// One world between two jumps: the equations at fixed conditions.
pub struct Running<'a, T> {
    model: &'a Digestion,
    layout: Arc<Layout>,
    coefficients: Coefficients<T>,
    liquid_m3: T,
    liquid_per_gas: T,
    dilution: f64,
    influent: Option<&'a [T]>,
    rates: Rates<T>,
    /// Last proton concentration, kmol/m3.
    pub h: T,
    /// That of the last Jacobian.
    h_of_jacobian: T,
}

impl<'a, T: Num> Running<'a, T> {
    /// At `conditions`; `influent` belongs to a continuous exchange.
    pub fn new(
        model: &'a Digestion,
        conditions: &Conditions,
        influent: Option<&'a [T]>,
        h_guess: T,
    ) -> Self {
        Running {
            coefficients: model.coefficients(conditions),
            liquid_m3: T::constant(conditions.liquid_m3),
            liquid_per_gas: T::constant(conditions.liquid_m3 / conditions.gas_m3),
            dilution: conditions.dilution_per_d,
            influent,
            rates: model.rates(),
            h: h_guess,
            h_of_jacobian: h_guess,
            layout: Arc::clone(&model.full),
            model,
        }
    }

    /// Several worlds together, one set of conditions each; in all of them only what
    /// `layout` holds may move. `rates` is room from [`Digestion::rates`], given back
    /// by [`Running::into_rates`].
    pub fn together(
        model: &'a Digestion,
        layout: &Arc<Layout>,
        conditions: &[Conditions],
        h_guess: T,
        rates: Rates<T>,
    ) -> Self
    where
        T: Pack,
    {
        let each: Vec<Coefficients<f64>> =
            conditions.iter().map(|c| model.coefficients(c)).collect();
        Running {
            coefficients: Coefficients::gather(&each),
            liquid_m3: T::gather(|i| conditions[i].liquid_m3),
            liquid_per_gas: T::gather(|i| conditions[i].liquid_m3 / conditions[i].gas_m3),
            dilution: 0.0,
            influent: None,
            rates,
            h: h_guess,
            h_of_jacobian: h_guess,
            layout: Arc::clone(layout),
            model,
        }
    }

    /// The room for rates, to be used again.
    pub fn into_rates(self) -> Rates<T> {
        self.rates
    }

    /// Coefficients in force.
    pub fn coefficients(&self) -> &Coefficients<T> {
        &self.coefficients
    }

    #[inline(always)]
    fn assemble(&mut self, y: &[T], f: &mut [T], with_slopes: bool) -> Inverses<T> {
        let k = &self.coefficients;
        self.h = acid_base::solve(&k.acid, y, self.h);
        let inverses = Inverses::at(&k.acid, self.h);
        let at = At {
            k,
            y,
            h: self.h,
            inverses: &inverses,
            active: &self.layout.active,
        };
        self.model.kinetics.fill(&at, &mut self.rates, with_slopes);
        let rates = &self.rates.rate;
        let carbon = &self.coefficients.feed_carbon;
        self.layout
            .rates(rates, carbon, self.liquid_per_gas, self.liquid_m3, f);
        if let Some(influent) = self.influent {
            for &(row, _, i) in self.layout.carried() {
                f[row] += (influent[i] - y[i]).scale(self.dilution);
            }
        }
        inverses
    }

    /// Right-hand side at `y`, state by state, per day.
    pub fn derivatives(&mut self, y: &[T], f: &mut [T]) {
        let mut by_row = vec![T::zero(); self.layout.lu.order().len()];
        self.assemble(y, &mut by_row, false);
        f.iter_mut().for_each(|v| *v = T::zero());
        for (&state, &rate) in self.layout.lu.order().iter().zip(&by_row) {
            if let Some(v) = f.get_mut(state) {
                *v = rate;
            }
        }
    }

    /// Flows out of the process rates at `y`: (gas out m3/d at headspace conditions).
    pub fn outflow_m3_per_d(&self, y: &[T]) -> T {
        let over = kinetics::total_pressure(&self.coefficients, y) - self.coefficients.p_out;
        self.coefficients.outlet * over * self.liquid_m3
    }
}

impl<T: Num> System<T> for Running<'_, T> {
    fn states(&self) -> usize {
        self.model.states()
    }

    #[inline(always)]
    fn rates(&mut self, y: &[T], f: &mut [T]) {
        self.assemble(y, f, false);
    }

    #[inline(always)]
    fn rates_and_jacobian(&mut self, y: &[T], f: &mut [T], j: &mut [T]) {
        let inverses = self.assemble(y, f, true);
        self.h_of_jacobian = self.h;
        // The charge balance is the algebraic row.
        let charge = acid_base::charge_slopes(&self.coefficients.acid, &inverses, y, self.h);
        let carbon = &self.coefficients.feed_carbon;
        let (per_gas, liquid) = (self.liquid_per_gas, self.liquid_m3);
        self.layout
            .jacobian(&self.rates, carbon, &charge, per_gas, liquid, j);
        if self.influent.is_some() {
            for &(_, diagonal, _) in self.layout.carried() {
                j[diagonal] -= T::constant(self.dilution);
            }
        }
    }

    #[inline(always)]
    fn expect(&mut self, unknown: usize, change: T) {
        // The factor on the feed is explicit: only H is searched for.
        if unknown != self.model.states() {
            return;
        }
        let before = self.h_of_jacobian;
        self.h = (before + change)
            .larger(before.scale(0.2))
            .smaller(before.scale(5.0));
    }
}

impl Digestion {
    /// The Jacobian of `running` at `y` as a dense matrix with the algebraic rows
    /// eliminated, row by row; for tests.
    pub fn dense_jacobian(&self, running: &mut Running<f64>, y: &[f64]) -> Vec<Vec<f64>> {
        let n = self.states();
        let lu = &self.full.lu;
        let rows = lu.order().len();
        let (mut f, mut j) = (vec![0.0; rows], vec![0.0; lu.filled()]);
        running.rates_and_jacobian(y, &mut f, &mut j);
        let mut dense: Vec<Vec<f64>> = (0..rows)
            .map(|a| {
                let get = |b| lu.place(a, b).map_or(0.0, |k| j[k]);
                (0..rows).map(get).collect()
            })
            .collect();
        while dense.len() > n {
            let Some(last) = dense.pop() else { break };
            let own = last[dense.len()];
            for row in &mut dense {
                let factor = row.pop().unwrap_or(0.0) / own;
                for (v, of_last) in row.iter_mut().zip(&last) {
                    *v -= factor * of_last;
                }
            }
        }
        dense
    }
}
