//! The groups of checks, in the order of the report.

pub mod adm1;
pub mod advice;
pub mod batches;
pub mod carbon_nitrogen;
pub mod everyday;
pub mod gas_burner;
pub mod gas_flammability;
pub mod gas_line;
pub mod gas_properties;
pub mod gas_uses;
pub mod gathered;
pub mod ground;
pub mod heap;
pub mod household;
pub mod manure;
mod plants;
pub mod sizing;
pub mod store;
pub mod sun;
pub mod temperature;
pub mod theory;
pub mod uses;
pub mod vessel;
pub mod walls;
pub mod wash;
pub mod water_and_air;
pub mod working;

use fenlamp_model::gas::{GasError, Mixture};

use crate::Check;

/// What figures of the digestion steered.
pub(crate) const BIOLOGY: &str = "the constants of `reference/biology.csv`";

/// Checks that belong together.
pub struct Group {
    /// Heading.
    pub title: &'static str,
    /// One or two sentences: what is checked and why it matters.
    pub about: &'static str,
    /// The checks.
    pub checks: Vec<Check>,
}

impl Group {
    /// Every check of it that is no identity steered a constant: which.
    #[must_use]
    fn fitted(mut self, constant: &str) -> Self {
        let fit = |c: Check| match c.evidence {
            crate::Evidence::Identity => c,
            _ => c.fitted(constant),
        };
        self.checks = self.checks.into_iter().map(fit).collect();
        self
    }
}

/// A group by the name of its file.
pub type Named = (&'static str, fn() -> Group);

/// Every group, in the order of the report.
pub const ALL: &[Named] = &[
    ("adm1", adm1::group),
    ("working", working::group),
    ("batches", batches::group),
    ("everyday", everyday::group),
    ("gathered", gathered::group),
    ("uses", uses::group),
    ("temperature", temperature::group),
    ("theory", theory::group),
    ("sizing", sizing::group),
    ("advice", advice::group),
    ("carbon_nitrogen", carbon_nitrogen::group),
    ("manure", manure::group),
    ("household", household::group),
    ("walls", walls::group),
    ("water_and_air", water_and_air::group),
    ("wash", wash::group),
    ("vessel", vessel::group),
    ("heap", heap::group),
    ("ground", ground::group),
    ("sun", sun::group),
    ("gas_properties", gas_properties::group),
    ("gas_flammability", gas_flammability::group),
    ("gas_burner", gas_burner::group),
    ("gas_line", gas_line::group),
    ("gas_uses", gas_uses::group),
    ("store", store::group),
];

/// Every group, computed now.
pub fn all() -> Vec<Group> {
    ALL.iter().map(|(_, group)| group()).collect()
}

/// Dry biogas of `percent` methane.
///
/// # Panics
/// If it cannot be: shares are written in the code only.
fn biogas(percent: f64) -> Mixture {
    Mixture::biogas(percent / 100.0).expect("a share that can be")
}

/// A result of the gas side, or NaN, which fails its check.
fn or_nan(value: Result<f64, impl std::borrow::Borrow<GasError>>) -> f64 {
    value.unwrap_or(f64::NAN)
}
