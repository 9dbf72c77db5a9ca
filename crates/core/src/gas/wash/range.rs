//! Inputs that make no sense, said with their limits.

/// A number outside what the question allows.
#[derive(Debug, Clone, PartialEq, thiserror::Error, serde::Serialize)]
#[error("{what} is {value} {unit}; it must be from {low} to {high} {unit}")]
pub struct OutOfRange {
    /// Name of the input, in words.
    pub what: &'static str,
    /// What was given, in `unit`.
    pub value: f64,
    /// Least allowed, in `unit`.
    pub low: f64,
    /// Most allowed, in `unit`.
    pub high: f64,
    /// Unit.
    pub unit: &'static str,
}

/// The value itself if it is finite and inside `low..=high`.
///
/// # Errors
/// [`OutOfRange`], also for what is not a number.
pub fn in_range(
    what: &'static str,
    value: f64,
    (low, high): (f64, f64),
    unit: &'static str,
) -> Result<f64, OutOfRange> {
    if value >= low && value <= high {
        Ok(value)
    } else {
        Err(OutOfRange {
            what,
            value,
            low,
            high,
            unit,
        })
    }
}
