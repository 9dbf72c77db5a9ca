//! Worked examples of `reference/worked_examples_thermal.md`, recomputed.

mod balance;
mod examples;
mod heaps;
pub(crate) mod plants;
mod surfaces;
