//! The whole model as a [`System`]: conditions, right-hand side, Jacobian.

use super::acid_base::{self, AcidConstants, CHARGE_STATES};
use super::constants::{Constants, R, T_BASE};
use super::kinetics::{self, Coefficients, H, Kinetics, Rates};
use super::pool::Pool;
use super::state::*;
use super::stoichiometry::{self, Content};
use super::temperature::{RateFactors, ThermalBiology, vant_hoff};
use crate::solver::{Lu, Num, Pack, Pattern, Stepper, System, Tolerance};

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
}

/// How one plausible world differs in its kinetics.
#[derive(Debug, Clone, PartialEq)]
pub struct WorldFactors {
    /// On each pool's rate.
    pub pool: Vec<f64>,
    /// On the uptake of every group.
    pub uptake: f64,
    /// On the free ammonia that halves the acetate rate.
    pub k_i_nh3: f64,
}

impl WorldFactors {
    /// No difference.
    pub fn none(pools: usize) -> Self {
        WorldFactors {
            pool: vec![1.0; pools],
            uptake: 1.0,
            k_i_nh3: 1.0,
        }
    }
}

/// The parts that all worlds of a plan share.
#[derive(Debug, Clone)]
pub struct Digestion {
    /// Constants.
    pub constants: Constants,
    /// Pools, the four plain ones first.
    pub pools: Vec<Pool>,
    /// How rates answer to temperature; `None` is the plain model.
    pub thermal: Option<ThermalBiology>,
    /// Content of each state.
    pub content: Content,
    kinetics: Kinetics,
    /// Stoichiometry, flattened.
    stoich: Vec<(u32, f64)>,
    stoich_start: Vec<u32>,
    variables: Vec<Vec<usize>>,
    pattern: Pattern,
    lu: Lu,
    /// Jacobian place of each (process, stoichiometric entry, variable).
    jac_place: Vec<u32>,
    charge_place: [u32; 12],
    diagonal_place: Vec<u32>,
}

impl Digestion {
    /// A model with the plain pools and `feed_pools` after them.
    pub fn new(
        constants: Constants,
        feed_pools: Vec<Pool>,
        thermal: Option<ThermalBiology>,
    ) -> Self {
        let mut pools = Pool::plain(&constants);
        pools.extend(feed_pools);
        let rows = stoichiometry::rows(&constants, &pools);
        let variables = kinetics::variables(pools.len());
        let n = POOLS + pools.len();
        let column = |v: usize| if v == H { n } else { v };
        let mut entries: Vec<(usize, usize)> = CHARGE_STATES.iter().map(|&j| (n, j)).collect();
        for (row, vars) in rows.iter().zip(&variables) {
            for &(i, _) in row {
                entries.extend(vars.iter().map(|&v| (i, column(v))));
            }
        }
        let pattern = Pattern::new(n + 1, entries);
        let at = |i, j| {
            pattern
                .place(i, j)
                .expect("the pattern holds what built it") as u32
        };
        let mut jac_place = Vec::new();
        for (row, vars) in rows.iter().zip(&variables) {
            for &(i, _) in row {
                jac_place.extend(vars.iter().map(|&v| at(i, column(v))));
            }
        }
        let charge_place = std::array::from_fn(|k| {
            at(
                n,
                if k < CHARGE_STATES.len() {
                    CHARGE_STATES[k]
                } else {
                    n
                },
            )
        });
        let mut stoich_start = vec![0];
        let mut stoich = Vec::new();
        for row in &rows {
            stoich.extend(row.iter().map(|&(i, v)| (i as u32, v)));
            stoich_start.push(stoich.len() as u32);
        }
        Digestion {
            content: Content::new(&constants, &pools),
            kinetics: Kinetics::new(&constants),
            diagonal_place: (0..n).map(|i| at(i, i)).collect(),
            lu: Lu::plan(&pattern),
            constants,
            pools,
            thermal,
            stoich,
            stoich_start,
            variables,
            jac_place,
            charge_place,
            pattern,
        }
    }

    /// Plain ADM1: four pools, no thermal biology.
    pub fn plain() -> Self {
        Self::new(Constants::reference(), Vec::new(), None)
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
        }
    }

    /// A stepper fitted to this model.
    pub fn stepper<T: Num>(&self) -> Stepper<T> {
        let n = self.states();
        Stepper::new(self.lu.clone(), self.pattern.entries(), n, n + 1)
    }

    /// Size of the matrix: entries, entries with fill, multiplications a factorisation.
    pub fn matrix_size(&self) -> (usize, usize, usize) {
        (
            self.pattern.entries(),
            self.lu.filled(),
            self.lu.multiplications(),
        )
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
        let factors = match &self.thermal {
            Some(b) => RateFactors::at(b, t),
            None => RateFactors::PLAIN,
        };
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
            k_m: [
                k(c.k_m_su * factors.acidogens * w.uptake),
                k(c.k_m_aa * factors.acidogens * w.uptake),
                k(c.k_m_fa * factors.acidogens * w.uptake),
                k(c.k_m_c4 * factors.syntrophs * w.uptake),
                k(c.k_m_pro * factors.syntrophs * w.uptake),
            ],
            k_m_ac: std::array::from_fn(|g| k(c.k_m_ac * factors.guild[g] * w.uptake)),
            k_m_h2: std::array::from_fn(|g| k(c.k_m_h2 * factors.guild[g] * w.uptake)),
            k_m_srb: k(c.k_m_srb * factors.syntrophs * w.uptake),
            decay: std::array::from_fn(|i| {
                let state = X_SU + i;
                let death = match state {
                    X_AC..X_SRB => factors.guild_death[(state - X_AC) % GUILDS],
                    _ => factors.other_death,
                };
                k(decay_base[i] * factors.decay + death)
            }),
            k_i_nh3: k(c.k_i_nh3 * w.k_i_nh3),
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
    coefficients: Coefficients<T>,
    liquid_m3: T,
    liquid_per_gas: T,
    dilution: f64,
    influent: Option<&'a [T]>,
    rates: Rates<T>,
    /// Last proton concentration, kmol/m3.
    pub h: T,
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
            model,
        }
    }

    /// Several worlds together, one set of conditions each; `rates` is room from
    /// [`Digestion::rates`], given back by [`Running::into_rates`].
    pub fn together(
        model: &'a Digestion,
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
    fn assemble(&mut self, y: &[T], f: &mut [T], with_slopes: bool) {
        self.h = acid_base::solve(&self.coefficients.acid, y, self.h);
        self.model
            .kinetics
            .fill(&self.coefficients, y, self.h, &mut self.rates, with_slopes);
        f.iter_mut().for_each(|v| *v = T::zero());
        for (p, &rate) in self.rates.rate.iter().enumerate() {
            let (from, to) = (self.model.stoich_start[p], self.model.stoich_start[p + 1]);
            for &(i, v) in &self.model.stoich[from as usize..to as usize] {
                f[i as usize] += rate.scale(v);
            }
        }
        // From per m3 of liquid to the state's own unit.
        f[G_H2..=G_O2]
            .iter_mut()
            .for_each(|v| *v *= self.liquid_per_gas);
        f[OUT..POOLS].iter_mut().for_each(|v| *v *= self.liquid_m3);
        if let Some(influent) = self.influent {
            for i in 0..f.len() {
                if matches!(phase(i), Phase::Dissolved | Phase::Solid) {
                    f[i] += (influent[i] - y[i]).scale(self.dilution);
                }
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
        self.assemble(y, f, true);
        j.iter_mut().for_each(|v| *v = T::zero());
        let (mut place, mut slope) = (0usize, 0usize);
        for (p, vars) in self.model.variables.iter().enumerate() {
            let slopes = &self.rates.slope[slope..slope + vars.len()];
            slope += vars.len();
            let (from, to) = (self.model.stoich_start[p], self.model.stoich_start[p + 1]);
            for &(_, v) in &self.model.stoich[from as usize..to as usize] {
                for &s in slopes {
                    j[self.model.jac_place[place] as usize] += s.scale(v);
                    place += 1;
                }
            }
        }
        let rows = |from, to| self.model.pattern.row_start(from)..self.model.pattern.row_start(to);
        j[rows(G_H2, G_O2 + 1)]
            .iter_mut()
            .for_each(|v| *v *= self.liquid_per_gas);
        j[rows(OUT, POOLS)]
            .iter_mut()
            .for_each(|v| *v *= self.liquid_m3);
        // The charge balance as the last, algebraic row.
        let slopes = acid_base::charge_slopes(&self.coefficients.acid, self.h);
        for (&k, &s) in self.model.charge_place.iter().zip(&slopes) {
            j[k as usize] = s;
        }
        let (_, per_h) = acid_base::charge(&self.coefficients.acid, y, self.h);
        j[self.model.charge_place[11] as usize] = per_h;
        if self.influent.is_some() {
            for (i, &k) in self.model.diagonal_place.iter().enumerate() {
                if matches!(phase(i), Phase::Dissolved | Phase::Solid) {
                    j[k as usize] -= T::constant(self.dilution);
                }
            }
        }
    }
}

impl Digestion {
    /// The Jacobian of `running` at `y` as a dense matrix with the charge row
    /// eliminated, row by row; for tests.
    pub fn dense_jacobian(&self, running: &mut Running<f64>, y: &[f64]) -> Vec<Vec<f64>> {
        let n = self.states();
        let mut f = vec![0.0; n];
        let mut j = vec![0.0; self.pattern.entries()];
        running.rates_and_jacobian(y, &mut f, &mut j);
        let get = |a, b| self.pattern.place(a, b).map_or(0.0, |k| j[k]);
        let per_h = get(n, n);
        (0..n)
            .map(|a| {
                (0..n)
                    .map(|b| get(a, b) - get(a, n) * get(n, b) / per_h)
                    .collect()
            })
            .collect()
    }
}
