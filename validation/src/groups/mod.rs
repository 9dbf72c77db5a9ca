//! The groups of checks, in the order of the report.

pub mod adm1;
pub mod batches;
pub mod carbon_nitrogen;
mod digester;
pub mod ground;
pub mod heap;
pub mod household;
pub mod manure;
mod plants;
pub mod sizing;
pub mod sun;
pub mod temperature;
pub mod theory;
pub mod uses;
pub mod vessel;
pub mod walls;
pub mod wash;
pub mod water_and_air;
pub mod working;

use crate::Check;

/// Checks that belong together.
pub struct Group {
    /// Heading.
    pub title: &'static str,
    /// One or two sentences: what is checked and why it matters.
    pub about: &'static str,
    /// The checks.
    pub checks: Vec<Check>,
}

/// Every group, computed now.
pub fn all() -> Vec<Group> {
    vec![
        adm1::group(),
        working::group(),
        batches::group(),
        uses::group(),
        temperature::group(),
        theory::group(),
        sizing::group(),
        carbon_nitrogen::group(),
        manure::group(),
        household::group(),
        walls::group(),
        water_and_air::group(),
        wash::group(),
        vessel::group(),
        heap::group(),
        ground::group(),
        sun::group(),
    ]
}
