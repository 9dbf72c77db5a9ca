//! Checks of Fenlamp against the outside: published worked examples, handbook
//! rows and values recomputed by general-purpose libraries.
//!
//! Each group of checks is a file under [`groups`]; [`report`] turns all of
//! them into `docs/validation.md`. Published numbers come from
//! `reference/worked_examples_*.md`, which carry their sources.

pub mod bench;
pub mod check;
pub mod evidence;
pub mod groups;
pub mod oracle;
pub mod report;

pub use check::{Check, Evidence, Published, Tolerance, Verdict};
