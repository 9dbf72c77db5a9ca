//! What follows from a feedstock's composition.

use super::boyle::{Formula, model_compounds};
use super::{Feedstock, Group, Origin};

/// Chemical oxygen demand of a feedstock by class of compound, kg COD/kg total solids.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct CodParts {
    /// Carbohydrate.
    pub carbohydrate: f64,
    /// Protein.
    pub protein: f64,
    /// Fat.
    pub fat: f64,
    /// Lignin, which does not digest.
    pub lignin: f64,
}

impl CodParts {
    /// All four.
    pub fn total(&self) -> f64 {
        self.degradable() + self.lignin
    }

    /// Without lignin.
    pub fn degradable(&self) -> f64 {
        self.carbohydrate + self.protein + self.fat
    }
}

impl Feedstock {
    /// Most methane its composition allows, m3 (0 degC, 101.325 kPa, dry)/kg VS,
    /// lignin counted as giving none; 0 without volatile solids.
    pub fn theoretical_ch4_m3_per_kg_vs(&self) -> f64 {
        if self.volatile_of_ts <= 0.0 {
            return 0.0;
        }
        let compounds = model_compounds();
        (self.carbohydrate_of_ts * compounds.carbohydrate.ch4_m3_per_kg
            + self.protein_of_ts * compounds.protein.ch4_m3_per_kg
            + self.fat_of_ts * compounds.fat.ch4_m3_per_kg)
            / self.volatile_of_ts
    }

    /// Chemical oxygen demand by class of compound, kg COD/kg total solids.
    pub fn cod_kg_per_kg_ts(&self) -> CodParts {
        let compounds = model_compounds();
        CodParts {
            carbohydrate: self.carbohydrate_of_ts * compounds.carbohydrate.cod_kg_per_kg,
            protein: self.protein_of_ts * compounds.protein.cod_kg_per_kg,
            fat: self.fat_of_ts * compounds.fat.cod_kg_per_kg,
            lignin: self.lignin_of_ts * compounds.lignin.cod_kg_per_kg,
        }
    }

    /// Carbon, kg/kg total solids: C:N times nitrogen where both are known,
    /// else from the composition.
    pub fn carbon_of_ts(&self) -> f64 {
        match self.c_to_n {
            Some(ratio) if self.nitrogen_of_ts > 0.0 => ratio * self.nitrogen_of_ts,
            _ => self.carbon_of_composition(),
        }
    }

    /// Carbon by the model formulas of the four classes, kg/kg total solids.
    pub fn carbon_of_composition(&self) -> f64 {
        self.carbohydrate_of_ts * Formula::CARBOHYDRATE.carbon_share()
            + self.protein_of_ts * Formula::PROTEIN.carbon_share()
            + self.fat_of_ts * Formula::FAT.carbon_share()
            + self.lignin_of_ts * Formula::LIGNIN.carbon_share()
    }

    /// Carbon that can digest: without lignin's, kg/kg total solids, never below 0.
    pub fn digestible_carbon_of_ts(&self) -> f64 {
        (self.carbon_of_ts() - self.lignin_of_ts * Formula::LIGNIN.carbon_share()).max(0.0)
    }

    /// Carbohydrate, protein, fat, lignin and ash, kg/kg total solids; what is
    /// then missing may be filled by the nitrogen outside protein counted as
    /// urea. Near 1 for a sound row. The urea only fills a gap, because ammonia
    /// of a slurry leaves on drying and is no part of its total solids.
    pub fn composition_sum_of_ts(&self) -> f64 {
        /// Urea per nitrogen, 60.06/28.01.
        const UREA_PER_NITROGEN: f64 = 2.144;
        let parts = self.carbohydrate_of_ts
            + self.protein_of_ts
            + self.fat_of_ts
            + self.lignin_of_ts
            + (1.0 - self.volatile_of_ts);
        let urea = self.ammonium_share * self.nitrogen_of_ts * UREA_PER_NITROGEN;
        parts + urea.min((1.0 - parts).max(0.0))
    }

    /// Where a field's figure came from.
    pub fn origin(&self, field: &str) -> Option<&Origin> {
        self.origins.iter().find(|origin| origin.field == field)
    }
}

impl Group {
    /// The word of the table.
    pub fn word(self) -> &'static str {
        match self {
            Self::Manure => "manure",
            Self::Crop => "crop",
            Self::Garden => "garden",
            Self::Kitchen => "kitchen",
            Self::Byproduct => "byproduct",
            Self::Woody => "woody",
        }
    }

    /// The group behind a word of the table.
    pub fn parse(word: &str) -> Option<Self> {
        [
            Self::Manure,
            Self::Crop,
            Self::Garden,
            Self::Kitchen,
            Self::Byproduct,
            Self::Woody,
        ]
        .into_iter()
        .find(|group| group.word() == word)
    }
}
