//! What stands out in a forecast: the rules live in [`crate::hazard`].

pub use crate::hazard::{Citation, Evidence, Finding, Severity, findings};
