//! What a number of animals leaves per day.

use super::{Animal, feedstock};
use crate::band::Band;

/// Manure of a herd as collected.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct Excretion {
    /// Fresh manure, kg/d.
    pub fresh_kg_d: f64,
    /// Total solids, kg/d.
    pub ts_kg_d: f64,
    /// Volatile solids, kg/d.
    pub vs_kg_d: f64,
    /// Nitrogen, kg/d.
    pub n_kg_d: f64,
    /// Phosphorus, kg/d.
    pub p_kg_d: Option<f64>,
    /// Potassium, kg/d.
    pub k_kg_d: Option<f64>,
    /// Ultimate methane by the animal's inventory default, m3/d (0 degC,
    /// 101.325 kPa, dry): mostly a ceiling.
    pub inventory_ch4_m3_d: Band,
    /// Ultimate methane by the measured potential of the feedstock row, m3/d.
    pub ch4_m3_d: Band,
}

/// Manure of `head` animals of which the share `collected` (0 to 1) reaches the
/// vessel. `None` if `head` is negative or not finite, the share is outside 0
/// to 1, or the animal has no fresh mass or no known material.
pub fn excretion(animal: &Animal, head: f64, collected: f64) -> Option<Excretion> {
    if !head.is_finite() || head < 0.0 || !(0.0..=1.0).contains(&collected) {
        return None;
    }
    let animals = head * collected;
    let vs_kg_d = animals * animal.vs_kg_d;
    let potential = feedstock(&animal.feedstock_id)?.bmp;
    Some(Excretion {
        fresh_kg_d: animals * animal.manure_fresh_kg_d?,
        ts_kg_d: animals * animal.ts_kg_d,
        vs_kg_d,
        n_kg_d: animals * animal.n_g_d / 1000.0,
        p_kg_d: animal.p_g_d.map(|grams| animals * grams / 1000.0),
        k_kg_d: animal.k_g_d.map(|grams| animals * grams / 1000.0),
        inventory_ch4_m3_d: animal.bo.scaled(vs_kg_d),
        ch4_m3_d: potential.scaled(vs_kg_d),
    })
}
