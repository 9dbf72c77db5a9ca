//! Feedstocks, their composition, mixing and theoretical yield.

mod boyle;
mod carbon_nitrogen;
mod composition;
mod mixture;
mod sizing;

#[cfg(test)]
mod tests;

pub use boyle::{
    Boyle, CH4_M3_PER_KG_COD, Formula, MOLAR_VOLUME_M3_PER_MOL, ModelCompounds, boyle,
    model_compounds,
};
pub use carbon_nitrogen::{carbon_to_nitrogen, dry_mass_to_reach_c_to_n, handbook_ratio_average};
pub use composition::CodParts;
pub use mixture::{Mixture, Part};
pub use sizing::{
    daily_feed_l, digester_volume_l, gas_per_day, loading_rate_kg_vs_m3_d, mass_for_gas_kg,
    retention_time_d, water_to_reach_solids,
};

use crate::band::Band;

/// A feedstock with every figure the engine needs, gaps filled and marked.
///
/// Shares are kg/kg. `bmp` is m3 CH4 (0 degC, 101.325 kPa, dry) per kg volatile solids.
#[derive(Debug, Clone, serde::Serialize)]
pub struct Feedstock {
    /// Id as in `feedstocks.csv`, or the user's own.
    pub id: String,
    /// Name people use.
    pub name: String,
    /// Group of the reference table.
    pub group: Group,
    /// Total solids per fresh mass.
    pub total_solids: Band,
    /// Volatile solids per total solids.
    pub volatile_of_ts: f64,
    /// Methane potential, m3/kg volatile solids.
    pub bmp: Band,
    /// First-order hydrolysis rate at 35 degC, 1/d.
    pub hydrolysis_per_d: Band,
    /// Total nitrogen per total solids.
    pub nitrogen_of_ts: f64,
    /// Share of the nitrogen that is ammonium, urea or uric acid (freed at once or within days).
    pub ammonium_share: f64,
    /// Carbon to nitrogen by mass.
    pub c_to_n: Option<f64>,
    /// Phosphorus per total solids.
    pub phosphorus_of_ts: Option<f64>,
    /// Potassium per total solids.
    pub potassium_of_ts: Option<f64>,
    /// Sulfur per total solids.
    pub sulfur_of_ts: f64,
    /// Lignin per total solids.
    pub lignin_of_ts: f64,
    /// Carbohydrate (cellulose and hemicellulose included) per total solids.
    pub carbohydrate_of_ts: f64,
    /// True protein per total solids.
    pub protein_of_ts: f64,
    /// Fat per total solids.
    pub fat_of_ts: f64,
    /// Bulk density as handled, kg/m3.
    pub bulk_density_kg_m3: f64,
    /// pH of the fresh material stirred in water.
    pub fresh_ph: f64,
    /// Organic acids (as acetic) per total solids in the fresh material; with `fresh_ph` this sets the cations.
    pub acids_of_ts: f64,
    /// Alkalinity of the ash beyond that of the acids (carbonates and cations that
    /// free acid sets loose), eq per kg total solids.
    pub mineral_alkalinity_eq_kg: f64,
    /// Iron that can bind sulfide, per total solids.
    pub iron_of_ts: f64,
    /// Share of the degradable matter that dissolves at once (sugars).
    pub soluble_share: f64,
    /// Acetoclastic methanogens the fresh material itself carries, kg COD per kg total solids.
    pub own_methanogens: Band,
    /// Where each figure came from: field name, source keys, how it was got.
    pub origins: Vec<Origin>,
}

/// Groups of feedstock.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Group {
    /// Dung, slurry, droppings.
    Manure,
    /// Field crops and straw.
    Crop,
    /// Garden waste.
    Garden,
    /// Kitchen waste.
    Kitchen,
    /// By-products and paper.
    Byproduct,
    /// Wood.
    Woody,
}

/// Where one figure of a feedstock came from.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Origin {
    /// Field, e.g. `bmp`.
    pub field: String,
    /// Source keys of `SOURCES.md`.
    pub keys: Vec<String>,
    /// How it was got.
    pub how: How,
}

/// How a figure was got.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum How {
    /// Read in a published source.
    Read,
    /// From memory of a published source; verify before relying on it.
    Memory,
    /// Computed from other figures of the row.
    Derived,
    /// Our judgement.
    Judgement,
    /// The user's own figure.
    Own,
    /// The user's own figure, measured.
    Measured,
}
