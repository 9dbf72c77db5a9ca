//! The skin: how it stretches and what passes through it.

use serde::Serialize;

use crate::reference::gas_value;

/// Materials of stores.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Material {
    /// Butyl rubber, as in inner tubes.
    Butyl,
    /// Natural rubber.
    NaturalRubber,
    /// Neoprene (chloroprene rubber).
    Neoprene,
    /// EPDM, as in pond liner.
    Epdm,
    /// Polyethylene film of low density, as in greenhouse sheet.
    PeFilm,
    /// Polyethylene of high density.
    Hdpe,
    /// Soft PVC, as in tarpaulin and water beds.
    Pvc,
    /// Steel, glass, anything gas does not pass.
    Tight,
}

/// A skin of a thickness.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Skin {
    /// Material.
    pub material: Material,
    /// Thickness, mm.
    pub thickness_mm: f64,
}

/// Softened PVC passes more than the hard PVC of the rows (judgement: ten times).
const PLASTICIZED: f64 = 10.0;
/// H2S beside CO2: no figure was found that can be trusted; three times is the
/// cautious side (worked example 22).
const H2S_TO_CO2: f64 = 3.0;
/// Temperature of the permeability rows, K (25 to 30 degC).
const ROWS_K: f64 = 300.65;
/// Activation energy of permeation over the gas constant, K: 40 kJ/mol, in the
/// middle of polymers' 25 to 55 (memory; judgement).
const ACTIVATION_K: f64 = 40_000.0 / 8.314_462_618;

impl Material {
    /// Permeability to methane and carbon dioxide at 25 to 30 degC, barrer
    /// (rows `perm_*`; all from memory of one handbook).
    pub fn barrer(self) -> (f64, f64) {
        let rows = |id: &str| {
            (
                gas_value(&format!("perm_ch4_{id}")),
                gas_value(&format!("perm_co2_{id}")),
            )
        };
        match self {
            Material::Butyl => rows("iir"),
            Material::NaturalRubber => rows("nr"),
            Material::Neoprene => rows("cr"),
            Material::Epdm => rows("epdm"),
            Material::PeFilm => rows("ldpe"),
            Material::Hdpe => rows("hdpe"),
            Material::Pvc => {
                let (methane, carbon_dioxide) = rows("pvcu");
                (PLASTICIZED * methane, PLASTICIZED * carbon_dioxide)
            }
            Material::Tight => (0.0, 0.0),
        }
    }

    /// Young's modulus, MPa (textbook orders of magnitude, from memory).
    pub fn modulus_mpa(self) -> f64 {
        match self {
            Material::Butyl => 1.5,
            Material::NaturalRubber => 1.5,
            Material::Neoprene => 3.0,
            Material::Epdm => 4.0,
            Material::PeFilm => 200.0,
            Material::Hdpe => 800.0,
            Material::Pvc => 15.0,
            Material::Tight => 200_000.0,
        }
    }

    /// Thickness that such a store usually has, mm (judgement).
    pub fn usual_mm(self) -> f64 {
        match self {
            Material::Butyl | Material::NaturalRubber | Material::Tight => 2.0,
            Material::Neoprene | Material::Epdm => 1.0,
            Material::Pvc => 0.5,
            Material::PeFilm | Material::Hdpe => 0.2,
        }
    }
}

impl Skin {
    /// Pressure that would double the section if the skin stretched evenly, Pa: `E t/(2 r)`.
    pub fn stretch_pa(&self, radius_m: f64) -> f64 {
        self.material.modulus_mpa() * 1e6 * self.thickness_mm / 1000.0 / (2.0 * radius_m)
    }

    /// Methane, carbon dioxide and hydrogen sulfide through an area, dry normal
    /// L/h for each atmosphere of difference at the temperature of the rows:
    /// `P A/l` (worked example 22).
    pub fn conductance_l_h_atm(&self, area_m2: f64) -> [f64; 3] {
        let per_barrer = gas_value("barrer_si") * area_m2 / (self.thickness_mm / 1000.0)
            * gas_value("p_normal")
            * 3600.0
            * gas_value("vm_ideal_0c");
        let (methane, carbon_dioxide) = self.material.barrer();
        [methane, carbon_dioxide, H2S_TO_CO2 * carbon_dioxide].map(|p| p * per_barrer)
    }
}

/// Factor on the permeability at another temperature (Arrhenius).
pub fn warmth_factor(t_c: f64) -> f64 {
    (ACTIVATION_K * (1.0 / ROWS_K - 1.0 / (t_c + 273.15))).exp()
}
