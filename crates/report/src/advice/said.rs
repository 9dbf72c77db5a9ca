//! A sentence and what it speaks of.

use serde::Serialize;

/// A sentence of the answer.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Said {
    /// What it speaks of.
    pub about: &'static str,
    /// The words.
    pub words: String,
}
