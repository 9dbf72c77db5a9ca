//! `fenlamp check`: what is understood of a plan.

use std::path::Path;

use super::check_text;
use super::understood::understand;
use crate::failure::Failure;
use crate::plan_file::open;

/// Reads a plan and says what is understood.
///
/// # Errors
/// The plan's faults, all of them.
pub fn run(path: &Path) -> Result<String, Failure> {
    let opened = open(path)?;
    Ok(check_text::write(&understand(&opened)))
}
