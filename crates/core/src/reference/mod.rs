//! Typed access to the published rows in `reference/`, embedded at compile time.
//!
//! Every figure leads to its origin in two jumps: the row names a source key,
//! [`source`] gives the citation. `reference/SOURCES.md` explains the columns.

mod adm1;
mod advice;
mod analyses;
mod animals;
mod biology;
mod check;
mod dung;
mod embedded;
mod feedstocks;
mod filling;
mod limits;
mod rows;
mod rules;
mod sheet;
mod sources;

#[cfg(test)]
mod tests;

pub use adm1::{ADM1_SOURCE_KEY, SteadyState, adm1, adm1_constants, adm1_steady_state, try_adm1};
pub use advice::{Fuel, NotToFeed, fuels, not_to_feed};
pub use analyses::{UltimateAnalysis, ultimate_analyses};
pub use animals::{Animal, animal, animals, nearest_animal};
pub use biology::{Inferred, inferred};
pub(crate) use check::feedstock_faults;
pub use check::{Table, check, check_all};
pub use feedstocks::{
    FeedstockRow, feedstock, feedstock_row, feedstocks, nearest_feedstock, search_feedstocks,
};
pub use limits::{LimitState, OperatingLimit, SafetyLimit, digestion_limits, safety_limits};
pub use rows::{Row, gas_constant, gas_rows, gas_value, thermal, thermal_rows, thermal_value};
pub use rules::{feedstock_class, replaced_figures, spread};
pub use sheet::{Fault, FaultKind};
pub use sources::{Source, Standing, source, sources};

/// A value with its plausible range, all in the unit the field's name states.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct Band {
    /// Low end (about the 10 % world).
    pub low: f64,
    /// Central value.
    pub mid: f64,
    /// High end (about the 90 % world).
    pub high: f64,
}

impl Band {
    /// A band without width.
    pub fn exact(value: f64) -> Self {
        Self {
            low: value,
            mid: value,
            high: value,
        }
    }

    /// All three figures times `factor`; a negative factor would turn the band
    /// round, so use it with factors of zero or more.
    pub fn scaled(self, factor: f64) -> Self {
        Self {
            low: self.low * factor,
            mid: self.mid * factor,
            high: self.high * factor,
        }
    }

    /// True if all figures are finite and `low <= mid <= high`.
    pub fn is_ordered(self) -> bool {
        self.low.is_finite()
            && self.high.is_finite()
            && self.low <= self.mid
            && self.mid <= self.high
    }
}
