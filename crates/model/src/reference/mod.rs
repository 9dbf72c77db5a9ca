//! Typed access to the published rows in `reference/`, embedded at compile time.
//!
//! Every figure leads to its origin in two jumps: the row names a source key,
//! [`source`] gives the citation. `reference/SOURCES.md` explains the columns.

mod advice;
mod analyses;
mod animals;
mod biology;
mod check;
mod dung;
mod embedded;
mod excretion;
mod feedstock_rows;
mod feedstocks;
mod filling;
mod limits;
mod rows;
mod rules;
mod sheet;
mod sources;

#[cfg(test)]
mod tests;

pub use advice::{Fuel, NotToFeed, fuels, not_to_feed};
pub use analyses::{UltimateAnalysis, ultimate_analyses};
pub use animals::{Animal, animal, animals, nearest_animal};
pub use biology::{Inferred, inferred};
pub use check::{Table, check, check_all};
pub use excretion::{Excretion, excretion};
pub use feedstock_rows::FeedstockRow;
pub use feedstocks::{feedstock, feedstock_row, feedstocks, nearest_feedstock, search_feedstocks};
pub use limits::{LimitState, OperatingLimit, SafetyLimit, digestion_limits, safety_limits};
pub use rows::{Row, gas_constant, gas_rows, gas_value, thermal, thermal_rows, thermal_value};
pub use rules::{feedstock_class, replaced_figures, spread};
pub use sheet::{Fault, FaultKind};
pub use sources::{Source, Standing, source, sources};
