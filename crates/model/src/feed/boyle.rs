//! Theoretical methane of a compound from its formula.

use std::sync::OnceLock;

/// Molar volume of an ideal gas at 0 degC and 101.325 kPa, m3/mol (ARITH from CODATA2018).
pub const MOLAR_VOLUME_M3_PER_MOL: f64 = 0.022_413_969_54;

/// Methane per chemical oxygen demand, m3 (0 degC, dry)/kg: one mole of CH4
/// takes two of O2, 63.9976 g.
pub const CH4_M3_PER_KG_COD: f64 = MOLAR_VOLUME_M3_PER_MOL / (2.0 * 0.031_998_8);

/// Elemental formula CnHaObNcSd; the counts may be fractions.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Formula {
    /// Carbon atoms.
    pub carbon: f64,
    /// Hydrogen atoms.
    pub hydrogen: f64,
    /// Oxygen atoms.
    pub oxygen: f64,
    /// Nitrogen atoms.
    pub nitrogen: f64,
    /// Sulfur atoms.
    pub sulfur: f64,
}

impl Formula {
    /// Cellulose and starch, C6H10O5.
    pub const CARBOHYDRATE: Self = Self::new(6.0, 10.0, 5.0, 0.0, 0.0);
    /// Model protein, C5H7NO2 (common in the field; ANGEL).
    pub const PROTEIN: Self = Self::new(5.0, 7.0, 2.0, 1.0, 0.0);
    /// Model fat, triolein C57H104O6 (ANGEL).
    pub const FAT: Self = Self::new(57.0, 104.0, 6.0, 0.0, 0.0);
    /// Lignin as C10H12O4, about 61 % carbon: our judgement, between the
    /// monomer units of hardwood and softwood lignin.
    pub const LIGNIN: Self = Self::new(10.0, 12.0, 4.0, 0.0, 0.0);

    /// A formula from its counts.
    pub const fn new(carbon: f64, hydrogen: f64, oxygen: f64, nitrogen: f64, sulfur: f64) -> Self {
        Self {
            carbon,
            hydrogen,
            oxygen,
            nitrogen,
            sulfur,
        }
    }

    /// Molar mass, kg/mol, from standard atomic masses.
    pub fn molar_mass_kg(&self) -> f64 {
        1e-3 * (12.011 * self.carbon
            + 1.00794 * self.hydrogen
            + 15.9994 * self.oxygen
            + 14.0067 * self.nitrogen
            + 32.065 * self.sulfur)
    }

    /// Carbon by mass.
    pub fn carbon_share(&self) -> f64 {
        12.011e-3 * self.carbon / self.molar_mass_kg()
    }

    /// Nitrogen by mass.
    pub fn nitrogen_share(&self) -> f64 {
        14.0067e-3 * self.nitrogen / self.molar_mass_kg()
    }
}

/// What a compound can give at most.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Boyle {
    /// Methane, m3 (0 degC, 101.325 kPa, dry)/kg.
    pub ch4_m3_per_kg: f64,
    /// Methane in methane plus carbon dioxide, mol/mol.
    pub ch4_share: f64,
    /// Chemical oxygen demand, kg/kg, nitrogen left as ammonia.
    pub cod_kg_per_kg: f64,
}

/// Complete anaerobic breakdown of CnHaObNcSd into CH4, CO2, NH3 and H2S:
/// n/2 + a/8 - b/4 - 3c/8 - d/4 mol CH4 per mol (BUSWELL52; nitrogen and sulfur
/// terms after Boyle).
///
/// `None` if a count is negative or not finite, there is no carbon, or the
/// compound is so oxidised that no methane comes out.
pub fn boyle(formula: Formula) -> Option<Boyle> {
    let Formula {
        carbon: n,
        hydrogen: a,
        oxygen: b,
        nitrogen: c,
        sulfur: d,
    } = formula;
    if ![n, a, b, c, d]
        .into_iter()
        .all(|count| count.is_finite() && count >= 0.0)
        || n == 0.0
    {
        return None;
    }
    let methane = n / 2.0 + a / 8.0 - b / 4.0 - 3.0 * c / 8.0 - d / 4.0;
    // More methane than carbon would need an outside oxidant.
    if methane <= 0.0 || methane > n {
        return None;
    }
    let mass = formula.molar_mass_kg();
    Some(Boyle {
        ch4_m3_per_kg: methane * MOLAR_VOLUME_M3_PER_MOL / mass,
        ch4_share: methane / n,
        cod_kg_per_kg: 2.0 * methane * 0.031_998_8 / mass,
    })
}

/// Yields of the four model compounds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ModelCompounds {
    /// Of [`Formula::CARBOHYDRATE`].
    pub carbohydrate: Boyle,
    /// Of [`Formula::PROTEIN`].
    pub protein: Boyle,
    /// Of [`Formula::FAT`].
    pub fat: Boyle,
    /// Of [`Formula::LIGNIN`]: COD only counts; it gives no methane in a digester.
    pub lignin: Boyle,
}

/// Yields of the four model compounds.
pub fn model_compounds() -> &'static ModelCompounds {
    static COMPOUNDS: OnceLock<ModelCompounds> = OnceLock::new();
    COMPOUNDS.get_or_init(|| {
        let of = |formula| boyle(formula).expect("the model formulas give methane");
        ModelCompounds {
            carbohydrate: of(Formula::CARBOHYDRATE),
            protein: of(Formula::PROTEIN),
            fat: of(Formula::FAT),
            lignin: of(Formula::LIGNIN),
        }
    })
}
