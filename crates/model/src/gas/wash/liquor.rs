//! Alkalis and what a kilogram of water holds of them.

use serde::Serialize;

use super::constants::Constants;
use super::equilibrium::{Liquor, closed};
use crate::band::Band;
use crate::gas::error::{GasError, within};
use crate::reference::gas_value;

/// Most alkalinity the activity model is asked to carry, eq/kg water (it is
/// held against PHREEQC up to 2; above that it is stretched).
pub const MOST_ALKALINITY: f64 = 4.0;

/// Alkali of the trade, taken as pure and dry.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub enum Alkali {
    /// Potash, K2CO3.
    PotassiumCarbonate,
    /// Caustic potash, KOH.
    PotassiumHydroxide,
    /// Caustic soda, NaOH.
    SodiumHydroxide,
    /// Washing soda without its water, Na2CO3.
    SodiumCarbonate,
    /// Slaked lime, Ca(OH)2; what does not dissolve lies at the bottom.
    SlakedLime,
}

impl Alkali {
    /// Every kind.
    pub const ALL: [Alkali; 5] = [
        Alkali::PotassiumCarbonate,
        Alkali::PotassiumHydroxide,
        Alkali::SodiumHydroxide,
        Alkali::SodiumCarbonate,
        Alkali::SlakedLime,
    ];

    /// Name in words.
    pub fn name(self) -> &'static str {
        match self {
            Alkali::PotassiumCarbonate => "potassium carbonate",
            Alkali::PotassiumHydroxide => "potassium hydroxide",
            Alkali::SodiumHydroxide => "sodium hydroxide",
            Alkali::SodiumCarbonate => "sodium carbonate",
            Alkali::SlakedLime => "slaked lime",
        }
    }

    /// Molar mass, g/mol: rows `mm_k2co3` and `mm_koh`; the others from the
    /// standard atomic weights (IUPAC, from memory).
    pub fn molar_mass(self) -> f64 {
        match self {
            Alkali::PotassiumCarbonate => gas_value("mm_k2co3"),
            Alkali::PotassiumHydroxide => gas_value("mm_koh"),
            Alkali::SodiumHydroxide => 39.997,
            Alkali::SodiumCarbonate => 105.988,
            Alkali::SlakedLime => 74.093,
        }
    }

    /// Alkalinity of a mole, eq/mol.
    pub fn equivalents(self) -> f64 {
        match self {
            Alkali::PotassiumHydroxide | Alkali::SodiumHydroxide => 1.0,
            _ => 2.0,
        }
    }

    /// Liquor of `molality` mol in a kilogram of water.
    ///
    /// # Errors
    /// Less than none, or more than [`MOST_ALKALINITY`].
    pub fn liquor(self, molality: f64) -> Result<Liquor, GasError> {
        let most = MOST_ALKALINITY / self.equivalents();
        let n = within("strength of the wash", "mol/kg", molality, 0.0, most)?;
        let empty = Liquor::default();
        Ok(match self {
            Alkali::PotassiumCarbonate => Liquor {
                potassium: 2.0 * n,
                carbon: n,
                ..empty
            },
            Alkali::PotassiumHydroxide => Liquor {
                potassium: n,
                ..empty
            },
            Alkali::SodiumHydroxide => Liquor { sodium: n, ..empty },
            Alkali::SodiumCarbonate => Liquor {
                sodium: 2.0 * n,
                carbon: n,
                ..empty
            },
            Alkali::SlakedLime => Liquor {
                calcium: n,
                ..empty
            },
        })
    }

    /// Liquor of a mass of alkali in a mass of water.
    ///
    /// # Errors
    /// As [`Alkali::liquor`], and for water of 1 g or less.
    pub fn dissolved(self, alkali_g: f64, water_kg: f64) -> Result<Liquor, GasError> {
        let water_kg = within("water of the wash", "kg", water_kg, 0.001, 10_000.0)?;
        let alkali_g = within("alkali of the wash", "g", alkali_g, 0.0, 1e7)?;
        self.liquor(alkali_g / self.molar_mass() / water_kg)
    }
}

/// Liquors of a mass of alkali in a jar as far as it works: the least, the middle, the
/// most. Three times the same for what dissolves at once.
///
/// Of slaked lime only what is dissolved works at once; the rest lies at the bottom, and
/// bubbles coat it with chalk before it dissolves. The least is what `t_c` (degC) lets
/// dissolve, the most is all of it, the middle is [`LIME_THAT_FOLLOWS`] of the rest.
///
/// # Errors
/// As [`Alkali::dissolved`]; a temperature outside that of [`Constants::at`].
pub fn in_jar(
    alkali: Alkali,
    alkali_g: f64,
    water_kg: f64,
    t_c: f64,
) -> Result<[Liquor; 3], GasError> {
    let all = alkali.dissolved(alkali_g, water_kg)?;
    if alkali != Alkali::SlakedLime {
        return Ok([all; 3]);
    }
    let at_the_bottom = closed(&Constants::at(t_c)?, &all)
        .lime
        .clamp(0.0, all.calcium);
    let working = |share: f64| Liquor {
        calcium: all.calcium - (1.0 - share) * at_the_bottom,
        ..all
    };
    Ok([working(0.0), working(LIME_THAT_FOLLOWS), all])
}

/// Share of the lime at the bottom of a jar that dissolves before the jar is renewed.
/// Judgement: nothing stirs it but bubbles, and chalk grows on it.
pub const LIME_THAT_FOLLOWS: f64 = 0.5;

/// Lye of wood ash: alkalinity of the ash from the rows `ash_alk_lo`, `_mid`,
/// `_hi` (low trust: a factor of six between the ends), as potassium carbonate.
///
/// # Errors
/// As [`Alkali::dissolved`].
pub fn ash_lye(ash_kg: f64, water_kg: f64) -> Result<[Liquor; 3], GasError> {
    let ash_kg = within("ash of the wash", "kg", ash_kg, 0.0, 10_000.0)?;
    let water_kg = within("water of the wash", "kg", water_kg, 0.001, 10_000.0)?;
    let Band { low, mid, high } = ash_alkalinity();
    Ok([
        titrated(low * ash_kg / water_kg)?,
        titrated(mid * ash_kg / water_kg)?,
        titrated(high * ash_kg / water_kg)?,
    ])
}

/// Soluble alkalinity of hardwood ash, eq/kg.
pub fn ash_alkalinity() -> Band {
    Band {
        low: gas_value("ash_alk_lo"),
        mid: gas_value("ash_alk_mid"),
        high: gas_value("ash_alk_hi"),
    }
}

/// Lye of a known alkalinity (eq/kg water, titrated to about pH 4.5 with
/// acid), taken as potassium carbonate.
///
/// # Errors
/// Less than none, or more than [`MOST_ALKALINITY`].
pub fn titrated(alkalinity: f64) -> Result<Liquor, GasError> {
    let range = (0.0, MOST_ALKALINITY);
    let eq = within(
        "alkalinity of the wash",
        "eq/kg",
        alkalinity,
        range.0,
        range.1,
    )?;
    Alkali::PotassiumCarbonate.liquor(eq / 2.0)
}

/// Alkalinity of a lye from a titration: acid of `acid_normality` eq/L,
/// `acid_ml` of it for `sample_ml` of lye, eq/L (about eq/kg water).
///
/// # Errors
/// Amounts of nothing, or an acid stronger than 12 eq/L.
pub fn titration(acid_ml: f64, acid_normality: f64, sample_ml: f64) -> Result<f64, GasError> {
    let acid = within("acid used", "mL", acid_ml, 0.0, 10_000.0)?;
    let strength = within("acid strength", "eq/L", acid_normality, 1e-4, 12.0)?;
    let sample = within("sample titrated", "mL", sample_ml, 0.1, 10_000.0)?;
    Ok(acid * strength / sample)
}
