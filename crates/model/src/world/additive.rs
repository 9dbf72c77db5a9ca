//! What ash, lime, bicarbonate, iron and gypsum bring, from their formulas.

use crate::plan::AdditiveKind;
use fenlamp_adm1::Charge;
use fenlamp_adm1::state::*;

/// Water-soluble alkali of hardwood ash, mol per kg: row `ash_alk_mid` of
/// `gas_constants.csv` (low trust), as potassium carbonate.
const ASH_ALKALI_MOL_KG: f64 = 1.5;
/// g/mol: Ca(OH)2, NaHCO3, FeCl2, CaSO4.2H2O.
const SLAKED_LIME: f64 = 74.093;
const BICARBONATE: f64 = 84.007;
const IRON_CHLORIDE: f64 = 126.75;
const GYPSUM: f64 = 172.17;

/// `kg` of `kind` as a charge without volume; every one is neutral as added.
pub fn charge_of(kind: AdditiveKind, kg: f64, states: usize) -> Charge {
    let mut out = Charge::nothing(states);
    let mut put = |state: usize, kmol: f64| out.amounts[state] += kmol;
    match kind {
        AdditiveKind::WoodAsh => {
            let alkali = kg * ASH_ALKALI_MOL_KG / 1000.0;
            put(S_CAT, alkali);
            put(S_IC, 0.5 * alkali);
        }
        AdditiveKind::SlakedLime => put(S_CAT, 2.0 * kg / SLAKED_LIME),
        AdditiveKind::Bicarbonate => {
            put(S_CAT, kg / BICARBONATE);
            put(S_IC, kg / BICARBONATE);
        }
        AdditiveKind::IronChloride => {
            put(S_FE, kg / IRON_CHLORIDE);
            put(S_AN, 2.0 * kg / IRON_CHLORIDE);
        }
        AdditiveKind::Gypsum => {
            put(S_CAT, 2.0 * kg / GYPSUM);
            put(S_SO4, kg / GYPSUM);
        }
    }
    out
}
