//! Published ultimate analyses of feedstocks: what they say of the carbon per COD.

use std::sync::OnceLock;

use super::embedded;
use super::sheet::{Fault, Sheet, sorted_out};
use crate::feed::Formula;

/// One analysis of dry matter; its ash is left out.
#[derive(Debug, Clone, PartialEq)]
pub struct UltimateAnalysis {
    /// Row of `feedstocks.csv` that it is an analysis of.
    pub feedstock_id: String,
    /// Name in the source.
    pub sample: String,
    /// What 100 g of solids hold, mol.
    pub formula: Formula,
    /// Higher heat of combustion, MJ/kg solids.
    pub heat_mj_per_kg: f64,
    /// Key into [`super::sources`].
    pub source_key: String,
}

impl UltimateAnalysis {
    /// COD without that of ammonia, kg/kg solids.
    pub fn cod_kg_per_kg(&self) -> f64 {
        let f = &self.formula;
        let oxygen =
            f.carbon + f.hydrogen / 4.0 - f.oxygen / 2.0 - 3.0 * f.nitrogen / 4.0 - f.sulfur / 2.0;
        oxygen * 0.031_998_8 / 0.1
    }

    /// Carbon, kmol/kg COD.
    pub fn carbon_per_cod(&self) -> f64 {
        self.formula.carbon / 1000.0 / 0.1 / self.cod_kg_per_kg()
    }
}

/// All analyses, in file order.
pub fn ultimate_analyses() -> &'static [UltimateAnalysis] {
    static ROWS: OnceLock<Vec<UltimateAnalysis>> = OnceLock::new();
    ROWS.get_or_init(|| {
        parse(embedded::ULTIMATE_ANALYSES).expect("embedded ultimate_analyses.csv is tested")
    })
}

pub(super) fn parse(text: &str) -> Result<Vec<UltimateAnalysis>, Vec<Fault>> {
    let columns = [
        "feedstock_id",
        "sample",
        "c_pct_ts",
        "h_pct_ts",
        "o_pct_ts",
        "n_pct_ts",
        "s_pct_ts",
        "heat_mj_per_kg_ts",
        "source_key",
    ];
    let sheet = Sheet::read("ultimate_analyses", text, &columns)?;
    sorted_out(sheet.rows("sample").map(|row| {
        Ok(UltimateAnalysis {
            feedstock_id: row.filled("feedstock_id")?,
            sample: row.filled("sample")?,
            formula: Formula::new(
                row.number("c_pct_ts")? / 12.011,
                row.number("h_pct_ts")? / 1.00794,
                row.number("o_pct_ts")? / 15.9994,
                row.number("n_pct_ts")? / 14.0067,
                row.number("s_pct_ts")? / 32.065,
            ),
            heat_mj_per_kg: row.number("heat_mj_per_kg_ts")?,
            source_key: row.filled("source_key")?,
        })
    }))
}
