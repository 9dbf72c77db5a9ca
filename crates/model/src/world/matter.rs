//! What a slurry carries, counted by the household's measures.

use crate::feed::{Feedstock, model_compounds};
use crate::world::fractionate::Fractions;
use fenlamp_adm1::Charge;
use fenlamp_adm1::state::*;
use fenlamp_adm1::stoichiometry::Content;

/// Kilograms of nitrogen in a kmol, as the engine's feed counts it.
const KG_PER_KMOL_N: f64 = 14.0;
/// COD of microbes, C5H7O2N, kg/kg (160/113).
const COD_OF_MICROBES: f64 = 160.0 / 113.0;

/// Slurry in bulk: what went in, ran out or is held.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Matter {
    /// Volume, L.
    pub litres: f64,
    /// Volatile solids (acids counted), kg.
    pub volatile_solids_kg: f64,
    /// Nitrogen, all forms, kg.
    pub nitrogen_kg: f64,
    /// Of it ammonium and ammonia, kg.
    pub ammonium_nitrogen_kg: f64,
    /// Phosphorus, kg.
    pub phosphorus_kg: f64,
    /// Potassium, kg.
    pub potassium_kg: f64,
}

impl Matter {
    /// Adds another.
    pub fn add(&mut self, other: &Matter) {
        self.litres += other.litres;
        self.volatile_solids_kg += other.volatile_solids_kg;
        self.nitrogen_kg += other.nitrogen_kg;
        self.ammonium_nitrogen_kg += other.ammonium_nitrogen_kg;
        self.phosphorus_kg += other.phosphorus_kg;
        self.potassium_kg += other.potassium_kg;
    }
}

/// Turns the engine's states into [`Matter`].
#[derive(Debug, Clone)]
pub struct Counter {
    /// Volatile solids of one unit of each state, kg.
    volatile: Vec<f64>,
    /// Nitrogen of one unit of each state, kg.
    nitrogen: Vec<f64>,
}

impl Counter {
    /// For a model with one pool behind the plain ones for each feedstock.
    pub fn new(content: &Content, feedstocks: &[Feedstock], fractions: &[Fractions]) -> Self {
        let m = model_compounds();
        let mut volatile = vec![0.0; content.cod.len()];
        // Molar mass over COD of the model's own compounds.
        let plain = [
            (S_SU, 180.16 / 192.0),
            (S_AA, 1.0 / m.protein.cod_kg_per_kg),
            (S_FA, 256.42 / 736.0),
            (S_VA, 102.13 / 208.0),
            (S_BU, 88.11 / 160.0),
            (S_PRO, 74.08 / 112.0),
            (S_AC, 60.05 / 64.0),
            (S_LA, 90.08 / 96.0),
            (S_I, 1.0 / COD_OF_MICROBES),
            (X_I, 1.0 / COD_OF_MICROBES),
            (X_XC, 1.0 / COD_OF_MICROBES),
            (X_CH, 1.0 / m.carbohydrate.cod_kg_per_kg),
            (X_PR, 1.0 / m.protein.cod_kg_per_kg),
            (X_LI, 1.0 / m.fat.cod_kg_per_kg),
        ];
        for (i, kg) in plain {
            volatile[i] = kg;
        }
        for v in &mut volatile[X_SU..=X_SRB] {
            *v = 1.0 / COD_OF_MICROBES;
        }
        let own = feedstocks.iter().zip(fractions);
        for (v, (f, x)) in volatile[POOLS + PLAIN_POOLS..].iter_mut().zip(own) {
            let open = f.carbohydrate_of_ts + f.protein_of_ts + f.fat_of_ts - f.acids_of_ts;
            *v = open.max(0.0) / x.open_cod;
        }
        Counter {
            volatile,
            nitrogen: content.nitrogen.iter().map(|n| KG_PER_KMOL_N * n).collect(),
        }
    }

    /// What a charge carries.
    pub fn count(&self, charge: &Charge) -> Matter {
        let sum = |per: &[f64]| {
            charge
                .amounts
                .iter()
                .zip(per)
                .map(|(a, p)| a * p)
                .sum::<f64>()
        };
        let riders = &charge.passengers;
        Matter {
            litres: 1000.0 * charge.volume_m3,
            volatile_solids_kg: sum(&self.volatile) + riders.inert_vs,
            nitrogen_kg: sum(&self.nitrogen) + riders.inert_nitrogen,
            ammonium_nitrogen_kg: KG_PER_KMOL_N * charge.amounts[S_IN],
            phosphorus_kg: riders.phosphorus,
            potassium_kg: riders.potassium,
        }
    }
}
