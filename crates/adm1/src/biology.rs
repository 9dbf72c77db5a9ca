//! What Fenlamp adds to the biology of plain ADM1, and how rates move with temperature.
//!
//! [`Biology::plain`] has every addition at zero strength. The constants of a
//! household vessel are inferred from data (`calibration`) and handed in.

use super::constants::{R_J, T_BASE, T_RATES};
use super::state::GUILDS;

/// The biology of one world.
#[derive(Debug, Clone, PartialEq)]
pub struct Biology {
    /// How rates answer to temperature; `None`: they do not, as in plain ADM1.
    pub thermal: Option<ThermalBiology>,
    /// What slows or adds to the rates.
    pub terms: Terms,
}

impl Biology {
    /// Plain ADM1.
    pub const fn plain() -> Self {
        Biology {
            thermal: None,
            terms: Terms::PLAIN,
        }
    }
}

/// Strengths of the additions; [`Terms::PLAIN`] is plain ADM1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Terms {
    /// Least time in which hydrolysers (sugar and amino-acid degraders, B) break down
    /// their own COD of feed at 35 degC, d. The rates of the feed pools are first order
    /// times `B / (B + time D)`, D the sum of the first-order rates: Contois' form
    /// (Vavilin and others 2008, Waste Manage. 28, 939, abstract read) with a constant
    /// in proportion to each pool's rate, so that slow fibre wants fewer hydrolysers
    /// than starch. The time follows the temperature as hydrolysis does.
    pub hydrolyser_time: f64,
    /// Slowing of hydrolysis by protons, m3/kmol: `1 / (1 + h H)`. Veeken and others
    /// 2000, J. Environ. Eng. 126(12) 1076 (abstract read): it falls from pH 7 to 5, and
    /// minds neither acids up to 30 g COD/L nor their undissociated part.
    pub hydrolysis_protons: f64,
    /// Slowing of the feed's hydrolysis by all volatile acids, m3/kg COD:
    /// `1 / (1 + (a acids)^2)`. SIEG05 (read): from 1 to 2 g/L on they halve the gas of
    /// cellulose; a square, because fresh slurry keeps its acids at 7 to 9 g/L for weeks
    /// (DALBY23, read).
    pub acids_on_hydrolysis: f64,
    /// Slowing of sugar and amino-acid degraders by undissociated acetic acid, m3/kg COD.
    pub acetic_on_fermenters: f64,
    /// Slowing of methanogens by undissociated acetic acid, m3/kg COD.
    pub acetic_on_methanogens: f64,
    /// pH at which acetoclasts run at half rate; `None`: where plain ADM1 has it (6.5),
    /// which leaves no methane from acetate below 6. Sludge grown at pH 6 made its most
    /// at 6.6 to 6.8 (ten Brummeler and others 1985, Appl. Environ. Microbiol. 49, 1472,
    /// abstract read), and what undissociated acid does has a term of its own above.
    pub acetoclasts_half_ph: Option<f64>,
    /// Linear part of the inhibition of acetoclasts by free ammonia, on plain ADM1's;
    /// the factor is `1 / (1 + linear x / K_I + (x / K_square)^2)`.
    pub ammonia_linear: f64,
    /// Inverse of `K_square` above, m3/kmol N.
    pub ammonia_square: f64,
    /// The same square term on hydrogen and propionate users: share of it.
    pub ammonia_on_others: f64,
    /// Most hydrogen that sugar degraders turn to acetate (homoacetogens: many are
    /// the same clostridia), kg COD/(kg COD d) at 35 degC.
    pub homoacetogens: f64,
    /// pH at which half of the fermenting sugar goes to lactate instead of the mixed
    /// acids, more below, and its users run at half of their rate; `None`: none does, as
    /// in plain ADM1. Food waste at pH 5 ended in lactate, which at pH 6 went on to
    /// volatile acids (TANG17, abstract read).
    pub lactic_half_ph: Option<f64>,
}

impl Terms {
    /// Plain ADM1.
    pub const PLAIN: Terms = Terms {
        hydrolyser_time: 0.0,
        hydrolysis_protons: 0.0,
        acids_on_hydrolysis: 0.0,
        acetic_on_fermenters: 0.0,
        acetic_on_methanogens: 0.0,
        acetoclasts_half_ph: None,
        ammonia_linear: 1.0,
        ammonia_square: 0.0,
        ammonia_on_others: 0.0,
        homoacetogens: 0.0,
        lactic_half_ph: None,
    };
}

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
    /// Growth relative to the optimum, which must lie above the middle of the ends (else
    /// the form has a pole between them): the cardinal temperature model with
    /// inflection, Rosso, Lobry and Flandrois, J. Theor. Biol. 162 (1993)
    /// (from memory; table in `worked_examples_thermal.md` section 13).
    pub fn relative(&self, t_c: f64) -> f64 {
        let Cardinal {
            min_c,
            opt_c,
            max_c,
        } = *self;
        debug_assert!(opt_c > 0.5 * (min_c + max_c), "{self:?}");
        if t_c <= min_c || t_c >= max_c {
            return 0.0;
        }
        let top = (t_c - max_c) * (t_c - min_c).powi(2);
        let bottom = (opt_c - min_c)
            * ((opt_c - min_c) * (t_c - opt_c) - (opt_c - max_c) * (opt_c + min_c - 2.0 * t_c));
        top / bottom
    }
}

/// What is inferred of the methanogens' guilds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GuildTemperatures {
    /// Top uptake of the cold guild against the mid guild's at 35 degC.
    pub cold_speed: f64,
    /// Where the cold guild is fastest, degC.
    pub cold_opt_c: f64,
    /// Kelvins below that at which the cold guild rests.
    pub cold_span_k: f64,
    /// Below this the mid guild rests, degC.
    pub mid_min_c: f64,
    /// Where the mid guild is fastest, degC.
    pub mid_opt_c: f64,
}

/// Fall of the cold guild's curve above its best temperature, on its rise below it: the
/// parameter set of a slurry-store model has 0.4 (DALBY21: 0, 18 and 25 degC).
const COLD_FALL: f64 = 0.4;

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
    /// Extra activation energy of hydrogen users below 35 degC over their guild's
    /// curve, J/mol: in the cold hydrogen goes to homoacetogens first (Conrad 2023,
    /// Front. Microbiol. 14:1232946, opening read).
    pub hydrogen_users_j_mol: f64,
    /// Decay of every group at 35 degC against plain ADM1's.
    pub decay: f64,
    /// Activation energy of decay, J/mol.
    pub decay_j_mol: f64,
    /// Extra decay per kelvin above a group's upper limit, 1/(d K), up to 5 K.
    pub heat_death_per_d_k: f64,
}

impl ThermalBiology {
    /// The inferred part as given, the rest fixed: upper ends of the guilds' curves and the warm guild's as the
    /// four temperature curves of methane making have them (ELSGAARD16, least squares
    /// from 5 to 53 degC); fermenters and syntrophs by judgement, so that methanogens
    /// stay the slower partner at every temperature; decay 40 kJ/mol by judgement.
    pub fn new(
        guilds: &GuildTemperatures,
        hydrolysis_j_mol: f64,
        hydrogen_users_j_mol: f64,
        decay: f64,
    ) -> Self {
        let c = |min_c, opt_c, max_c| Cardinal {
            min_c,
            opt_c,
            max_c,
        };
        let cold_opt_c = guilds.cold_opt_c.clamp(0.0, 38.0);
        ThermalBiology {
            guild: [
                c(
                    cold_opt_c - guilds.cold_span_k,
                    cold_opt_c,
                    cold_opt_c + COLD_FALL * guilds.cold_span_k,
                ),
                c(guilds.mid_min_c, guilds.mid_opt_c.clamp(30.0, 46.0), 46.7),
                c(22.3, 51.2, 60.0),
            ],
            guild_speed: [guilds.cold_speed, f64::NAN, 2.0],
            acidogens: c(-5.0, 39.0, 62.0),
            syntrophs: c(-5.0, 38.0, 60.0),
            hydrolysis_j_mol,
            hydrogen_users_j_mol,
            decay,
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
    /// On the uptake of hydrogen by methanogens, besides their guild's.
    pub hydrogen_users: f64,
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
        hydrogen_users: 1.0,
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
            hydrogen_users: arrhenius(b.hydrogen_users_j_mol, t_k).min(1.0),
            decay: b.decay * arrhenius(b.decay_j_mol, t_k),
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
