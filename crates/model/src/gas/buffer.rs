//! Buffer for a sour slurry: how much bicarbonate, lime or ash from this pH to that.
//!
//! The charge balance is the digestion engine's ([`acid_base`]), without
//! activities, as there. The cations missing at the wanted pH, with the
//! carbonate that the gas then upholds, are the dose. What the pH does at once,
//! before CO2 has moved between gas and slurry, is told beside it.

use serde::Serialize;

use super::volume::saturation_bar;
use super::wash::liquor::{Alkali, ash_alkalinity};
use crate::band::Band;
use crate::gas::error::{GasError, within};
use crate::reference::gas_value;
use fenlamp_adm1::Constants;
use fenlamp_adm1::acid_base;
use fenlamp_adm1::acid_base::{AcidConstants, COD_AC, Inverses};
use fenlamp_adm1::constants::{R_J, T_BASE};
use fenlamp_adm1::state::*;

/// Molar mass of sodium bicarbonate, g/mol (standard atomic weights, memory).
pub const BICARBONATE_G_MOL: f64 = 84.007;
/// Mass of CaCO3 that stands for one equivalent, g/eq (half its molar mass, memory).
pub const CACO3_G_EQ: f64 = 50.043;
/// Molar mass of acetic acid, g/mol (memory).
const ACETIC_G_MOL: f64 = 60.052;
/// Molar mass of nitrogen, g/mol (memory).
const NITROGEN_G_MOL: f64 = 14.007;
/// Molar mass of sodium, g/mol (memory).
const SODIUM_G_MOL: f64 = 22.990;
/// pH above which lime falls out as carbonate in a digester (MCCARTY64, memory).
pub const LIME_FALLS_OUT_PH: f64 = 6.8;
/// How well a strip or a cheap meter reads pH (judgement).
const PH_READING: f64 = 0.1;

/// The slurry as measured.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Slurry {
    /// Volume, L.
    pub volume_l: f64,
    /// Temperature, degC.
    pub t_c: f64,
    /// pH now.
    pub ph: f64,
    /// CO2 in its gas, share of the dry gas.
    pub co2_share: f64,
    /// Volatile acids as acetic, mg/L.
    pub acids_mg_l: f64,
    /// Ammonium and ammonia, mg N/L.
    pub ammonium_mg_l: f64,
    /// Bicarbonate alkalinity if it was titrated, mg CaCO3/L; without it the
    /// CO2 of the gas and the pH tell it.
    pub alkalinity_mg_l: Option<f64>,
}

/// A substance to dose.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub enum Buffer {
    /// Sodium bicarbonate (baking soda).
    Bicarbonate,
    /// Slaked lime, Ca(OH)2.
    SlakedLime,
    /// Wood ash, by its soluble alkalinity.
    WoodAsh,
}

/// One way to the wanted pH.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Dose {
    /// What is dosed.
    pub buffer: Buffer,
    /// All of it, kg: the middle, and the ends from the reading of the pH (and,
    /// for ash, from its strength).
    pub mass_kg: Band,
    /// The first step: a quarter of the low end.
    pub first_step_kg: f64,
    /// pH at once after the middle dose, before CO2 comes or goes.
    pub ph_at_once: f64,
    /// CO2 that the slurry then takes from its gas, L (dry, normal); below zero it gives.
    pub co2_drawn_l: f64,
    /// Sodium added, mg/L (above 3500 in all it harms: `digestion_limits.csv`).
    pub sodium_mg_l: f64,
    /// True if part of it falls out as chalk before it buffers.
    pub falls_out: bool,
}

/// What the slurry is and what it needs.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Plan {
    /// Bicarbonate alkalinity now, mg CaCO3/L.
    pub alkalinity_now_mg_l: f64,
    /// The same at the wanted pH.
    pub alkalinity_wanted_mg_l: f64,
    /// CO2 share of gas in balance with the slurry now; far from the gas's own
    /// share the readings do not fit each other.
    pub co2_share_in_balance: f64,
    /// Cations that are missing, eq in all the slurry.
    pub missing_eq: Band,
    /// Bicarbonate, lime and ash, in this order; each by itself is enough.
    pub doses: Vec<Dose>,
}

/// Litres of ideal gas per mol at 0 degC, and the slurry's constants.
struct Chemistry {
    acid: AcidConstants<f64>,
    /// kmol/(m3 bar).
    henry_co2: f64,
    /// Dry gas over the slurry, bar.
    dry_bar: f64,
}

impl Chemistry {
    fn at(t_c: f64) -> Self {
        let c = Constants::reference();
        let t_k = t_c + 273.15;
        // Enthalpy as in the row of K_H_co2.
        let slope = -19_410.0 / R_J * (1.0 / T_BASE - 1.0 / t_k);
        Chemistry {
            acid: AcidConstants::at(&c, t_k),
            henry_co2: c.k_h_co2 * slope.exp(),
            dry_bar: 1.013_25 - saturation_bar(t_c),
        }
    }

    /// Dissolved CO2 under gas with this share of it, kmol/m3.
    fn dissolved(&self, co2_share: f64) -> f64 {
        self.henry_co2 * co2_share * self.dry_bar
    }

    /// pH of a shut slurry. The engine leaves out CO3--, which does not matter
    /// below pH 8.5; lime and ash go above, so it is put in here (row
    /// `pka2_co2_25c`, at every temperature).
    fn ph(&self, ions: &[f64]) -> f64 {
        let k2 = 10f64.powf(-gas_value("pka2_co2_25c"));
        let k1 = self.acid.co2;
        let charge = |ph: f64| {
            let h = 10f64.powf(-ph);
            let all = h * h + k1 * h + k1 * k2;
            let bicarbonate_alone = k1 / (k1 + h);
            let both = (k1 * h + 2.0 * k1 * k2) / all;
            charge(&self.acid, ions, h) + ions[S_IC] * (bicarbonate_alone - both)
        };
        let (mut low, mut high) = (2.0, 14.0);
        for _ in 0..60 {
            let ph = 0.5 * (low + high);
            if charge(ph) > 0.0 {
                low = ph;
            } else {
                high = ph;
            }
        }
        0.5 * (low + high)
    }

    /// Cations that hold the slurry at `ph`, eq/L; `ions` carries the rest.
    fn cations(&self, ions: &[f64], ph: f64) -> f64 {
        -charge(&self.acid, ions, 10f64.powf(-ph))
    }
}

/// How much buffer brings `slurry` to `wanted_ph`.
///
/// # Errors
/// Readings out of range, or a wanted pH that is not above the present one.
pub fn plan(slurry: &Slurry, wanted_ph: f64) -> Result<Plan, GasError> {
    let s = checked(slurry)?;
    let wanted = within("pH wanted", "(number)", wanted_ph, s.ph + 0.05, 8.0)?;
    let chemistry = Chemistry::at(s.t_c);
    let middle = Way::between(&chemistry, s, s.ph, wanted);
    // A pH read too high means more is missing than it seems.
    let low = Way::between(&chemistry, s, (s.ph + PH_READING).min(wanted), wanted);
    let high = Way::between(&chemistry, s, s.ph - PH_READING, wanted);
    let missing_eq = Band {
        low: low.missing.min(middle.missing).max(0.0),
        mid: middle.missing.max(0.0),
        high: high.missing.max(middle.missing).max(0.0),
    }
    .scaled(s.volume_l);
    let doses = [Buffer::Bicarbonate, Buffer::SlakedLime, Buffer::WoodAsh]
        .map(|buffer| middle.dose(buffer, &chemistry, s.volume_l, wanted, missing_eq));
    Ok(Plan {
        alkalinity_now_mg_l: middle.bicarbonate_now * CACO3_G_EQ * 1000.0,
        alkalinity_wanted_mg_l: middle.bicarbonate_then * CACO3_G_EQ * 1000.0,
        co2_share_in_balance: middle.share_now,
        missing_eq,
        doses: doses.to_vec(),
    })
}

fn checked(s: &Slurry) -> Result<&Slurry, GasError> {
    within("volume of the slurry", "L", s.volume_l, 0.1, 1e7)?;
    within("temperature of the slurry", "degC", s.t_c, 0.0, 65.0)?;
    within("pH now", "(number)", s.ph, 3.5, 7.95)?;
    within("CO2 in the gas", "(share)", s.co2_share, 0.05, 1.0)?;
    within("volatile acids", "mg/L", s.acids_mg_l, 0.0, 50_000.0)?;
    within("ammonium", "mg N/L", s.ammonium_mg_l, 0.0, 15_000.0)?;
    if let Some(alkalinity) = s.alkalinity_mg_l {
        within("alkalinity", "mg CaCO3/L", alkalinity, 0.0, 50_000.0)?;
    }
    Ok(s)
}

/// From one pH to another.
struct Way {
    /// Ions now, kmol/m3, with the cations that hold them.
    now: [f64; OUT],
    /// Cations missing, eq/L.
    missing: f64,
    /// Inorganic carbon at the wanted pH under the gas, mol/L.
    carbon_then: f64,
    bicarbonate_now: f64,
    bicarbonate_then: f64,
    share_now: f64,
}

impl Way {
    fn between(chemistry: &Chemistry, s: &Slurry, ph: f64, wanted: f64) -> Self {
        let ratio = |ph: f64| chemistry.acid.co2 * 10f64.powf(ph);
        let dissolved_then = chemistry.dissolved(s.co2_share);
        let dissolved_now = match s.alkalinity_mg_l {
            Some(mg_l) => mg_l / 1000.0 / CACO3_G_EQ / ratio(ph),
            None => dissolved_then,
        };
        let mut now = [0.0; OUT];
        now[S_AC] = s.acids_mg_l / 1000.0 / ACETIC_G_MOL * COD_AC;
        now[S_IN] = s.ammonium_mg_l / 1000.0 / NITROGEN_G_MOL;
        now[S_IC] = dissolved_now * (1.0 + ratio(ph));
        let mut then = now;
        then[S_IC] = dissolved_then * (1.0 + ratio(wanted));
        now[S_CAT] = chemistry.cations(&now, ph);
        Way {
            missing: chemistry.cations(&then, wanted) - now[S_CAT],
            carbon_then: then[S_IC],
            bicarbonate_now: dissolved_now * ratio(ph),
            bicarbonate_then: dissolved_then * ratio(wanted),
            share_now: dissolved_now / chemistry.dissolved(1.0),
            now,
        }
    }

    fn dose(
        &self,
        buffer: Buffer,
        chemistry: &Chemistry,
        volume_l: f64,
        wanted: f64,
        missing_eq: Band,
    ) -> Dose {
        let eq = self.missing.max(0.0);
        let (mass_kg, carbon) = match buffer {
            Buffer::Bicarbonate => (missing_eq.scaled(BICARBONATE_G_MOL / 1000.0), eq),
            Buffer::SlakedLime => {
                let lime = Alkali::SlakedLime;
                let g_eq = lime.molar_mass() / lime.equivalents();
                (missing_eq.scaled(g_eq / 1000.0), 0.0)
            }
            Buffer::WoodAsh => {
                let ash = ash_alkalinity();
                let mass = Band {
                    low: missing_eq.low / ash.high,
                    mid: missing_eq.mid / ash.mid,
                    high: missing_eq.high / ash.low,
                };
                (mass, 0.5 * eq)
            }
        };
        let mut at_once = self.now;
        at_once[S_CAT] += eq;
        at_once[S_IC] += carbon;
        let sodium = buffer == Buffer::Bicarbonate;
        Dose {
            buffer,
            mass_kg,
            first_step_kg: 0.25 * mass_kg.low,
            ph_at_once: chemistry.ph(&at_once),
            co2_drawn_l: (self.carbon_then - self.now[S_IC] - carbon)
                * volume_l
                * gas_value("vm_ideal_0c"),
            sodium_mg_l: if sodium {
                eq * SODIUM_G_MOL * 1000.0
            } else {
                0.0
            },
            falls_out: buffer == Buffer::SlakedLime && wanted > LIME_FALLS_OUT_PH,
        }
    }
}

/// Charge balance of `ions` at `h`, kmol/m3.
fn charge(acid: &AcidConstants<f64>, ions: &[f64], h: f64) -> f64 {
    acid_base::charge(acid, &Inverses::at(acid, h), ions, h).0
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn sour_drum() -> Slurry {
        Slurry {
            volume_l: 200.0,
            t_c: 35.0,
            ph: 6.2,
            co2_share: 0.45,
            acids_mg_l: 0.0,
            ammonium_mg_l: 0.0,
            alkalinity_mg_l: None,
        }
    }

    /// By hand: pK 6.35 less 0.0434 at 35 degC; CO2 0.035 x 0.776 x 0.45 x
    /// 0.957 bar = 0.01169 mol/L; bicarbonate 0.00915 at pH 6.2 and 0.05775 at
    /// 7.0 mol/L; 0.0486 x 200 L x 84.007 g = 0.817 kg.
    #[test]
    fn bicarbonate_by_hand() {
        let plan = plan(&sour_drum(), 7.0).expect("in range");
        let bicarbonate = &plan.doses[0];
        assert!(
            (bicarbonate.mass_kg.mid / 0.817 - 1.0).abs() < 0.005,
            "{plan:?}"
        );
        assert!((plan.co2_share_in_balance - 0.45).abs() < 1e-12);
    }

    /// The row of `digestion_limits.csv`: about 1.68 kg per kg CaCO3 alkalinity.
    #[test]
    fn a_kilogram_of_alkalinity_is_1_68_kg_of_bicarbonate() {
        let plan = plan(&sour_drum(), 7.0).expect("in range");
        let raised = (plan.alkalinity_wanted_mg_l - plan.alkalinity_now_mg_l) * 200.0 / 1e6;
        let ratio = plan.doses[0].mass_kg.mid / raised;
        assert!((ratio / 1.68 - 1.0).abs() < 0.01, "{ratio}");
    }

    #[test]
    fn soda_alone_stands_near_ph_11() {
        // 0.01 mol/L Na2CO3 at 25 degC without activities: pH 11.1 (by hand:
        // OH- = sqrt(0.01 x 1e-14 / 10^-10.33), less what it draws down).
        let chemistry = Chemistry::at(25.0);
        let mut ions = [0.0; OUT];
        ions[S_CAT] = 0.02;
        ions[S_IC] = 0.01;
        let ph = chemistry.ph(&ions);
        assert!((ph - 11.13).abs() < 0.03, "{ph}");
    }

    #[test]
    fn lime_overshoots_and_bicarbonate_does_not() {
        let plan = plan(&sour_drum(), 7.0).expect("in range");
        let [bicarbonate, lime, ash] = &plan.doses[..] else {
            panic!("three doses")
        };
        assert!(lime.ph_at_once > 8.5, "{}", lime.ph_at_once);
        assert!(bicarbonate.ph_at_once < 7.01, "{}", bicarbonate.ph_at_once);
        assert!(ash.ph_at_once > bicarbonate.ph_at_once && ash.ph_at_once < lime.ph_at_once);
        assert!(lime.co2_drawn_l > 100.0 && bicarbonate.co2_drawn_l.abs() < 1.0);
        assert!(lime.falls_out && !bicarbonate.falls_out);
    }

    #[test]
    fn a_measured_alkalinity_rules_over_the_gas() {
        let mut s = sour_drum();
        let by_gas = plan(&s, 7.0).expect("in range");
        s.alkalinity_mg_l = Some(by_gas.alkalinity_now_mg_l);
        let same = plan(&s, 7.0).expect("in range");
        assert!((same.missing_eq.mid / by_gas.missing_eq.mid - 1.0).abs() < 1e-9);
        s.alkalinity_mg_l = Some(2.0 * by_gas.alkalinity_now_mg_l);
        let buffered = plan(&s, 7.0).expect("in range");
        assert!(buffered.missing_eq.mid < by_gas.missing_eq.mid);
    }

    #[test]
    fn nonsense_is_refused() {
        let s = sour_drum();
        assert!(plan(&s, 6.0).is_err());
        assert!(plan(&s, 9.0).is_err());
        assert!(plan(&Slurry { ph: f64::NAN, ..s }, 7.0).is_err());
        assert!(
            plan(
                &Slurry {
                    volume_l: -1.0,
                    ..s
                },
                7.0
            )
            .is_err()
        );
        let too_much = Some(1e6);
        assert!(
            plan(
                &Slurry {
                    alkalinity_mg_l: too_much,
                    ..s
                },
                7.0
            )
            .is_err()
        );
    }

    proptest! {
        #[test]
        fn the_dose_lands_on_the_wanted_ph(
            ph in 4.5..6.7f64,
            rise in 0.1..1.0f64,
            acids in 0.0..15_000.0f64,
            ammonium in 0.0..4_000.0f64,
            t_c in 5.0..55.0f64,
        ) {
            let s = Slurry { ph, t_c, acids_mg_l: acids, ammonium_mg_l: ammonium, ..sour_drum() };
            let wanted = ph + rise;
            let way = Way::between(&Chemistry::at(t_c), &s, ph, wanted);
            let mut then = way.now;
            then[S_CAT] += way.missing;
            then[S_IC] = way.carbon_then;
            let h = acid_base::solve(&Chemistry::at(t_c).acid, &then, 1e-7);
            prop_assert!((-h.log10() - wanted).abs() < 1e-6);
            let further = plan(&s, wanted + 0.2).expect("in range");
            let plan = plan(&s, wanted).expect("in range");
            prop_assert!(plan.missing_eq.is_ordered());
            prop_assert!(further.missing_eq.mid >= plan.missing_eq.mid);
        }
    }
}
