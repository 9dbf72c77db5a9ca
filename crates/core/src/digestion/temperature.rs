//! How rates and constants move with temperature.

use super::constants::{R_J, T_BASE, T_RATES};
use super::state::GUILDS;

/// Cardinal temperatures of a group, degC.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cardinal {
    /// No growth at or below.
    pub min_c: f64,
    /// Fastest growth.
    pub opt_c: f64,
    /// No growth at or above.
    pub max_c: f64,
}

impl Cardinal {
    /// Growth relative to the optimum: the cardinal temperature model with
    /// inflection, Rosso, Lobry and Flandrois, J. Theor. Biol. 162 (1993)
    /// (from memory; table in `worked_examples_thermal.md` section 13).
    pub fn relative(&self, t_c: f64) -> f64 {
        let Cardinal {
            min_c,
            opt_c,
            max_c,
        } = *self;
        if t_c <= min_c || t_c >= max_c {
            return 0.0;
        }
        let top = (t_c - max_c) * (t_c - min_c).powi(2);
        let bottom = (opt_c - min_c)
            * ((opt_c - min_c) * (t_c - opt_c) - (opt_c - max_c) * (opt_c + min_c - 2.0 * t_c));
        top / bottom
    }
}

/// How the biology answers to temperature.
#[derive(Debug, Clone, PartialEq)]
pub struct ThermalBiology {
    /// Methanogen guilds: cold, mid, warm.
    pub guild: [Cardinal; GUILDS],
    /// Top uptake of a guild at its optimum, relative to the plain model's at 35 degC.
    pub guild_speed: [f64; GUILDS],
    /// Sugar, amino-acid and LCFA degraders.
    pub acidogens: Cardinal,
    /// Valerate, butyrate and propionate degraders, sulfate reducers.
    pub syntrophs: Cardinal,
    /// Activation energy of hydrolysis, J/mol.
    pub hydrolysis_j_mol: f64,
    /// Activation energy of decay, J/mol.
    pub decay_j_mol: f64,
    /// Extra decay per kelvin above a group's upper limit, 1/(d K), up to 5 K.
    pub heat_death_per_d_k: f64,
}

impl ThermalBiology {
    /// The sets used.
    ///
    /// Guild temperatures: the illustrative sets of `worked_examples_thermal.md`
    /// section 13 (memory, guided by MDB15, RIVARD82, IWA87, DALBY21), the cold
    /// guild widened by a few degrees at both ends (judgement: ALV06 measured
    /// methane at 11 degC, and cold cultures lose their lead over 25, not at 30).
    /// Guild speeds: mid 1 at 35 degC; cold from the relative top rates of YANG16
    /// at 15 and 20 degC; warm about twice mid (memory, common in texts).
    /// Acidogens and syntrophs: judgement, so that methanogens stay the slower
    /// partner at every temperature. Hydrolysis 50 kJ/mol is theta 1.07 between
    /// 20 and 35 degC (section 16). Decay 40 kJ/mol: judgement.
    pub fn reference() -> Self {
        let c = |min_c, opt_c, max_c| Cardinal {
            min_c,
            opt_c,
            max_c,
        };
        ThermalBiology {
            guild: [c(-2.0, 22.0, 33.0), c(8.0, 37.0, 45.0), c(30.0, 55.0, 66.0)],
            guild_speed: [0.42, f64::NAN, 2.0],
            acidogens: c(-5.0, 39.0, 62.0),
            syntrophs: c(-5.0, 38.0, 60.0),
            hydrolysis_j_mol: 50_000.0,
            decay_j_mol: 40_000.0,
            heat_death_per_d_k: 0.06,
        }
        .with_mid_scaled()
    }

    /// Sets the mid guild's speed so that its uptake at 35 degC is the plain one.
    fn with_mid_scaled(mut self) -> Self {
        let mid = super::state::MID;
        self.guild_speed[mid] = 1.0 / self.guild[mid].relative(T_RATES - 273.15);
        self
    }
}

/// Factors on the 35 degC rates at one temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RateFactors {
    /// On every pool's first-order rate.
    pub hydrolysis: f64,
    /// On the uptake of sugar, amino acids, LCFA.
    pub acidogens: f64,
    /// On the uptake of valerate, butyrate, propionate; sulfate reduction.
    pub syntrophs: f64,
    /// On the uptake of each methanogen guild.
    pub guild: [f64; GUILDS],
    /// On decay, all groups.
    pub decay: f64,
    /// Added to the decay of each methanogen guild, 1/d.
    pub guild_death: [f64; GUILDS],
    /// Added to the decay of the other groups, 1/d.
    pub other_death: f64,
}

impl RateFactors {
    /// Plain model: the rates do not move.
    pub const PLAIN: RateFactors = RateFactors {
        hydrolysis: 1.0,
        acidogens: 1.0,
        syntrophs: 1.0,
        guild: [1.0; GUILDS],
        decay: 1.0,
        guild_death: [0.0; GUILDS],
        other_death: 0.0,
    };

    /// Factors at `t_k` kelvin.
    pub fn at(b: &ThermalBiology, t_k: f64) -> Self {
        let t = t_k - 273.15;
        let to_35 = |c: &Cardinal| c.relative(t) / c.relative(T_RATES - 273.15);
        let death = |c: &Cardinal| b.heat_death_per_d_k * (t - c.max_c).clamp(0.0, 5.0);
        RateFactors {
            hydrolysis: arrhenius(b.hydrolysis_j_mol, t_k),
            acidogens: to_35(&b.acidogens),
            syntrophs: to_35(&b.syntrophs),
            guild: std::array::from_fn(|g| b.guild_speed[g] * b.guild[g].relative(t)),
            decay: arrhenius(b.decay_j_mol, t_k),
            guild_death: std::array::from_fn(|g| death(&b.guild[g])),
            other_death: death(&b.syntrophs),
        }
    }
}

/// Arrhenius factor relative to 35 degC; `energy` J/mol, `t_k` K.
pub fn arrhenius(energy: f64, t_k: f64) -> f64 {
    (energy / 8.314462618 * (1.0 / T_RATES - 1.0 / t_k)).exp()
}

/// Van 't Hoff factor relative to 25 degC; `enthalpy` J/mol, `t_k` K.
pub fn vant_hoff(enthalpy: f64, t_k: f64) -> f64 {
    (enthalpy / R_J * (1.0 / T_BASE - 1.0 / t_k)).exp()
}
