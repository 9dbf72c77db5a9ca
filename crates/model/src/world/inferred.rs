//! The inferred constants of one world, and what they make of the engine.

use crate::reference;
use fenlamp_adm1::biology::{GuildTemperatures, ThermalBiology};
use fenlamp_adm1::state::GUILDS;
use fenlamp_adm1::{Biology, Terms};

/// kg COD per kg of acetic acid.
const ACETIC_COD: f64 = 64.0 / 60.05;
/// kmol N/m3 of one mg N/L.
const KMOL_PER_MG_N_L: f64 = 1.0 / 14_007.0;
/// Share of the warm guild in the methanogens of fresh waste (judgement: gut and
/// yard are below 40 degC).
const OWN_WARM_SHARE: f64 = 0.02;
/// Days over which tolerance of ammonia grows (judgement: weeks; that a seed used to much
/// ammonia was critical is read, COLON15).
const TOLERANCE_DAYS: f64 = 30.0;

macro_rules! inferred {
    ($($(#[$doc:meta])* $name:ident),* $(,)?) => {
        /// Value of every row of `reference/biology.csv` in one world, in the row's unit.
        #[derive(Debug, Clone, Copy, PartialEq)]
        pub struct Inferred {
            $($(#[$doc])* pub $name: f64,)*
        }

        impl Inferred {
            /// Ids of the rows, each the name of a field.
            pub const IDS: &[&str] = &[$(stringify!($name)),*];

            /// From a value for each row; `value` is given its id.
            pub fn from_rows(value: impl Fn(&str) -> f64) -> Self {
                Inferred { $($name: value(stringify!($name)),)* }
            }
        }
    };
}

inferred! {
    /// Top uptake of the cold guild against the mid guild's at 35 degC.
    cold_speed,
    /// Where the cold guild is fastest, degC.
    cold_opt_c,
    /// Kelvins below that at which the cold guild rests.
    cold_span_k,
    /// Below this the mid guild rests, degC.
    mid_min_c,
    /// Where the mid guild is fastest, degC.
    mid_opt_c,
    /// Activation energy of hydrolysis, kJ/mol.
    hydrolysis_kj_mol,
    /// Extra activation energy of hydrogen users, kJ/mol.
    hydrogen_users_kj_mol,
    /// Decay of every group against plain ADM1's.
    decay,
    /// Most feed that hydrolysers break down at 35 degC, kg COD/(kg COD d).
    hydrolyser_capacity,
    /// Factor on the first-order rates of the feed tables.
    hydrolysis_speed,
    /// pH that halves hydrolysis.
    hydrolysis_half_ph,
    /// Volatile acids (as acetic) that halve hydrolysis, g/L.
    acids_half_hydrolysis,
    /// Undissociated acetic acid that halves methanogens, g/L.
    acetic_half_methanogens,
    /// pH that halves acetoclasts.
    acetoclasts_half_ph,
    /// Undissociated acetic acid that halves fermenters, g/L.
    acetic_half_fermenters,
    /// Free ammonia that halves acetoclasts not used to it, mg N/L.
    ammonia_half,
    /// Strength of free ammonia on hydrogen and propionate users, on the acetoclasts'.
    ammonia_others,
    /// Most that tolerance of ammonia grows by, factor beyond one.
    ammonia_growth,
    /// Most hydrogen that sugar degraders turn to acetate, kg COD/(kg COD d).
    homoacetogens,
    /// pH at which half of the fermenting sugar goes to lactate.
    lactic_half_ph,
    /// Factor on the methanogens of fresh waste.
    own_methanogens,
    /// Cold guild's share of them.
    own_cold_share,
    /// Hydrogen users per acetoclast of fresh waste.
    own_hydrogen_users,
    /// Degraders of propionate, and of butyrate and valerate, per acetoclast of fresh
    /// waste.
    own_syntrophs,
    /// Fermenters of fresh waste, kg COD/kg total solids.
    own_fermenters,
    /// Factor on the acetoclasts of digestate as a seed.
    seed_strength,
    /// Factor on the fermenters per acetoclast of seeds.
    seed_fermenters,
}

impl Inferred {
    /// At a coordinate of the unit interval for each row, in the table's order.
    ///
    /// # Panics
    /// If the table lacks a row: it is embedded and tested.
    pub fn at(unit: impl Fn(usize) -> f64) -> Self {
        let rows = reference::inferred();
        Self::from_rows(|id| {
            let k = rows
                .iter()
                .position(|row| row.id == id)
                .unwrap_or_else(|| panic!("biology.csv has no row {id}"));
            rows[k].band.at_log(unit(k))
        })
    }

    /// Every row at its middle.
    pub fn middle() -> Self {
        Self::at(|_| 0.5)
    }

    /// How the biology answers to temperature.
    pub fn thermal(&self) -> ThermalBiology {
        ThermalBiology::new(
            &GuildTemperatures {
                cold_speed: self.cold_speed,
                cold_opt_c: self.cold_opt_c,
                cold_span_k: self.cold_span_k,
                mid_min_c: self.mid_min_c,
                mid_opt_c: self.mid_opt_c,
            },
            1000.0 * self.hydrolysis_kj_mol,
            1000.0 * self.hydrogen_users_kj_mol,
            self.decay,
        )
    }

    /// The engine's biology.
    pub fn biology(&self) -> Biology {
        Biology {
            thermal: Some(self.thermal()),
            terms: Terms {
                hydrolyser_time: 1.0 / self.hydrolyser_capacity,
                hydrolysis_protons: 10f64.powf(self.hydrolysis_half_ph),
                acids_on_hydrolysis: 1.0 / (ACETIC_COD * self.acids_half_hydrolysis),
                acetic_on_fermenters: 1.0 / (ACETIC_COD * self.acetic_half_fermenters),
                acetic_on_methanogens: 1.0 / (ACETIC_COD * self.acetic_half_methanogens),
                acetoclasts_half_ph: Some(self.acetoclasts_half_ph),
                ammonia_linear: 0.0,
                ammonia_square: 1.0 / (self.ammonia_half * KMOL_PER_MG_N_L),
                ammonia_on_others: self.ammonia_others,
                homoacetogens: self.homoacetogens,
                lactic_half_ph: Some(self.lactic_half_ph),
            },
        }
    }

    /// Shares of the guilds in what fresh waste carries: cold, mid, warm.
    pub fn own_guilds(&self) -> [f64; GUILDS] {
        let cold = self.own_cold_share.min(1.0 - OWN_WARM_SHARE);
        [cold, 1.0 - OWN_WARM_SHARE - cold, OWN_WARM_SHARE]
    }

    /// Tolerance of free ammonia (factor on what halves the rate) a day after
    /// `tolerance`, under `free_mg_n_l`: it grows to what is there, up to its most,
    /// and falls back, each in weeks.
    pub fn tolerance_after_a_day(&self, tolerance: f64, free_mg_n_l: f64) -> f64 {
        let wanted = (free_mg_n_l / self.ammonia_half).clamp(1.0, 1.0 + self.ammonia_growth);
        tolerance + (wanted - tolerance) / TOLERANCE_DAYS
    }
}
