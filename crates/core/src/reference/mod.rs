//! Typed access to the published rows in `reference/`, embedded at compile time.

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
