//! Mixtures of feedstocks and water as mass balances.

use super::carbon_nitrogen::ratio;
use super::{Feedstock, carbon_to_nitrogen, handbook_ratio_average};
use crate::band::Band;

/// One feedstock of a mixture.
#[derive(Debug, Clone, Copy)]
pub struct Part<'a> {
    /// What.
    pub feedstock: &'a Feedstock,
    /// How much, kg fresh.
    pub fresh_kg: f64,
}

/// Feedstocks and water put together; every figure is a sum over the parts at
/// their central values.
#[derive(Debug, Clone, Default)]
pub struct Mixture<'a> {
    parts: Vec<Part<'a>>,
    water_kg: f64,
}

impl<'a> Mixture<'a> {
    /// A mixture. `None` if a mass is negative or not finite.
    pub fn new(parts: Vec<Part<'a>>, water_kg: f64) -> Option<Self> {
        let sound = |mass: f64| mass.is_finite() && mass >= 0.0;
        (sound(water_kg) && parts.iter().all(|part| sound(part.fresh_kg)))
            .then_some(Self { parts, water_kg })
    }

    /// The parts.
    pub fn parts(&self) -> &[Part<'a>] {
        &self.parts
    }

    /// Water added, kg.
    pub fn water_kg(&self) -> f64 {
        self.water_kg
    }

    /// The same parts with other water. `None` if it is negative or not finite.
    pub fn with_water(self, water_kg: f64) -> Option<Self> {
        Self::new(self.parts, water_kg)
    }

    fn sum(&self, of_ts: impl Fn(&Feedstock) -> f64) -> f64 {
        self.parts
            .iter()
            .map(|part| part.fresh_kg * part.feedstock.total_solids.mid * of_ts(part.feedstock))
            .sum()
    }

    /// Fresh mass with water, kg.
    pub fn mass_kg(&self) -> f64 {
        self.water_kg + self.parts.iter().map(|part| part.fresh_kg).sum::<f64>()
    }

    /// Total solids, kg.
    pub fn total_solids_kg(&self) -> f64 {
        self.sum(|_| 1.0)
    }

    /// Total solids share of the mass, `None` for an empty mixture.
    pub fn total_solids_share(&self) -> Option<f64> {
        ratio(self.total_solids_kg(), self.mass_kg())
    }

    /// Volatile solids, kg.
    pub fn volatile_solids_kg(&self) -> f64 {
        self.sum(|feedstock| feedstock.volatile_of_ts)
    }

    /// Nitrogen, kg.
    pub fn nitrogen_kg(&self) -> f64 {
        self.sum(|feedstock| feedstock.nitrogen_of_ts)
    }

    /// Nitrogen as ammonium, urea or uric acid, kg.
    pub fn ammonium_nitrogen_kg(&self) -> f64 {
        self.sum(|feedstock| feedstock.nitrogen_of_ts * feedstock.ammonium_share)
    }

    /// Carbon, kg.
    pub fn carbon_kg(&self) -> f64 {
        self.sum(Feedstock::carbon_of_ts)
    }

    /// Carbon outside lignin, kg.
    pub fn digestible_carbon_kg(&self) -> f64 {
        self.sum(Feedstock::digestible_carbon_of_ts)
    }

    /// Sulfur, kg.
    pub fn sulfur_kg(&self) -> f64 {
        self.sum(|feedstock| feedstock.sulfur_of_ts)
    }

    /// Phosphorus, kg; parts without a figure count as none.
    pub fn phosphorus_kg(&self) -> f64 {
        self.sum(|feedstock| feedstock.phosphorus_of_ts.unwrap_or(0.0))
    }

    /// Potassium, kg; parts without a figure count as none.
    pub fn potassium_kg(&self) -> f64 {
        self.sum(|feedstock| feedstock.potassium_of_ts.unwrap_or(0.0))
    }

    /// Lignin, kg.
    pub fn lignin_kg(&self) -> f64 {
        self.sum(|feedstock| feedstock.lignin_of_ts)
    }

    /// Chemical oxygen demand with lignin's, kg.
    pub fn cod_kg(&self) -> f64 {
        self.sum(|feedstock| feedstock.cod_kg_per_kg_ts().total())
    }

    /// Ultimate methane, m3 (0 degC, 101.325 kPa, dry); all parts at their low,
    /// central and high potential together, so wider than chance would give.
    pub fn potential_ch4_m3(&self) -> Band {
        Band {
            low: self.sum(|feedstock| feedstock.volatile_of_ts * feedstock.bmp.low),
            mid: self.sum(|feedstock| feedstock.volatile_of_ts * feedstock.bmp.mid),
            high: self.sum(|feedstock| feedstock.volatile_of_ts * feedstock.bmp.high),
        }
    }

    /// Heap volume of the parts as handled, plus the water, m3.
    pub fn handled_volume_m3(&self) -> f64 {
        let heaped = self
            .parts
            .iter()
            .map(|part| part.fresh_kg / part.feedstock.bulk_density_kg_m3);
        self.water_kg / 1000.0 + heaped.sum::<f64>()
    }

    /// C:N as a mass balance, `None` without nitrogen.
    pub fn carbon_to_nitrogen(&self) -> Option<f64> {
        carbon_to_nitrogen([(self.carbon_kg(), self.nitrogen_kg())])
    }

    /// C:N counting only the carbon that can digest, `None` without nitrogen.
    pub fn digestible_carbon_to_nitrogen(&self) -> Option<f64> {
        carbon_to_nitrogen([(self.digestible_carbon_kg(), self.nitrogen_kg())])
    }

    /// What old handbooks print as the mixture's C:N: see [`handbook_ratio_average`].
    /// `None` if a part has no C:N.
    pub fn handbook_carbon_to_nitrogen(&self) -> Option<f64> {
        let pairs: Option<Vec<(f64, f64)>> = self
            .parts
            .iter()
            .map(|part| Some((part.fresh_kg, part.feedstock.c_to_n?)))
            .collect();
        handbook_ratio_average(pairs?)
    }
}
