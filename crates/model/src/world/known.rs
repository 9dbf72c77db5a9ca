//! What is known of one run beyond its plan: what was really fed, what befell it.

use std::sync::Arc;

use crate::plan::AdditiveKind;
use fenlamp_adm1::Charge;
use fenlamp_adm1::state::{S_AN, S_IC, S_IN, S_SU};

use super::additive;

/// Empty in a plain forecast.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Known {
    /// Feed of each day; `None`, or a day beyond the list: the calendar's.
    pub fed: Arc<Vec<Option<FedDay>>>,
    /// Matter added on a day besides the plan's doses: day, which, kg.
    pub added: Arc<Vec<(u32, AdditiveKind, f64)>>,
    /// What the slurry is warmer on each day than its heat balance says, K; a day
    /// beyond the list takes the last.
    pub warmer_k: Vec<f64>,
    /// From a day on, the share of the usual solids that the feed holds; water stands
    /// in for the rest.
    pub weaker_feed: Option<(u32, f64)>,
    /// What befell the vessel.
    pub happenings: Vec<(u32, Happening)>,
}

/// What was fed on a day.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct FedDay {
    /// Fresh mass of each waste of the plan, kg, as the person judged it.
    pub fresh_kg: Vec<f64>,
    /// Water with it, kg; `None`: by the plan's rule.
    pub water_kg: Option<f64>,
}

/// Something that befalls a vessel at a day's beginning.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Happening {
    /// A share of the slurry replaced by water.
    WashedOut {
        /// Share, 0 to 1.
        share: f64,
    },
    /// Ammonium and its carbonate, as from urine, kmol N per m3 of slurry.
    Ammonium {
        /// kmol/m3.
        kmol_m3: f64,
    },
    /// Sugar nobody wrote down, kg COD per m3 of slurry.
    Sugar {
        /// kg COD/m3.
        kg_cod_m3: f64,
    },
    /// Acid that takes buffer away, keq per m3 of slurry.
    Acid {
        /// keq/m3.
        keq_m3: f64,
    },
}

impl Known {
    /// Degrees added to the slurry on a day.
    pub fn warmer(&self, day: usize) -> f64 {
        self.warmer_k
            .get(day)
            .or(self.warmer_k.last())
            .copied()
            .unwrap_or(0.0)
    }

    /// What `day` puts into a tank of `m3` of slurry that is a `part` of the vessel,
    /// and the share it takes out before.
    pub(super) fn of_day(
        &self,
        day: u32,
        m3: f64,
        part: f64,
        states: usize,
    ) -> Option<(f64, Charge)> {
        let mut charge = Charge::nothing(states);
        let mut out = 0.0;
        let mut any = false;
        for (_, kind, kg) in self.added.iter().filter(|(d, ..)| *d == day) {
            charge.add(&additive::charge_of(*kind, *kg, states), part);
            any = true;
        }
        for (_, happening) in self.happenings.iter().filter(|(d, _)| *d == day) {
            any = true;
            match *happening {
                Happening::WashedOut { share } => {
                    out = share.clamp(0.0, 0.95);
                    charge.volume_m3 += out * m3;
                }
                Happening::Ammonium { kmol_m3 } => {
                    charge.amounts[S_IN] += kmol_m3 * m3;
                    // Urea brings one carbon for two nitrogen.
                    charge.amounts[S_IC] += 0.5 * kmol_m3 * m3;
                }
                Happening::Sugar { kg_cod_m3 } => charge.amounts[S_SU] += kg_cod_m3 * m3,
                Happening::Acid { keq_m3 } => charge.amounts[S_AN] += keq_m3 * m3,
            }
        }
        any.then_some((out, charge))
    }
}
