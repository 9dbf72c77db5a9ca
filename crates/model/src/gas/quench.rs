//! Whether a flame passes a gap: ports, jets and meshes against flash-back.

use serde::Serialize;

use super::error::{GasError, within};
use crate::reference::gas_value;

/// Shape of an opening.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Gap {
    /// Round hole or tube.
    Hole,
    /// Long slit.
    Slit,
    /// Aperture of a woven mesh.
    Mesh,
}

/// What an opening does to a methane flame.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum FlashBack {
    /// Narrower than a still flame passes. No tested arrester all the same: a
    /// mesh that gets hot, dirty or hit by a fast flame fails.
    Holds,
    /// Slows a flame; do not count on it.
    MaySlow,
    /// Lets it through.
    Passes,
}

/// Widest opening that holds a still flame, mm: the quenching diameter of
/// methane for holes (`quench_dia_ch4`), its quenching distance for slits
/// (`quench_dist_ch4`), its safe gap for meshes (`mesg_ch4`; a flame that runs
/// is driven through more than the quenching distance tells). Carbon dioxide
/// only widens them.
pub fn widest_mm(gap: Gap) -> f64 {
    gas_value(match gap {
        Gap::Hole => "quench_dia_ch4",
        Gap::Slit => "quench_dist_ch4",
        Gap::Mesh => "mesg_ch4",
    })
}

/// What an opening of `size_mm` does to a methane flame.
///
/// # Errors
/// [`GasError::OutOfRange`].
pub fn flash_back(gap: Gap, size_mm: f64) -> Result<FlashBack, GasError> {
    within("an opening", "mm", size_mm, 0.01, 1_000.0)?;
    // A mesh of `mesh_test` slowed 6 and 9 % methane flames in a pipe test.
    let slowed = match gap {
        Gap::Mesh => gas_value("mesh_test"),
        Gap::Hole | Gap::Slit => widest_mm(gap),
    };
    Ok(if size_mm < widest_mm(gap) {
        FlashBack::Holds
    } else if size_mm <= slowed {
        FlashBack::MaySlow
    } else {
        FlashBack::Passes
    })
}

/// Opening of a mesh of `wires_per_cm` wires of `wire_mm`, mm.
///
/// # Errors
/// [`GasError::OutOfRange`] if the wires leave no opening.
pub fn mesh_opening_mm(wires_per_cm: f64, wire_mm: f64) -> Result<f64, GasError> {
    within("a mesh", "wires/cm", wires_per_cm, 0.5, 100.0)?;
    let pitch = 10.0 / wires_per_cm;
    within("a wire", "mm", wire_mm, 0.01, 0.95 * pitch)?;
    Ok(pitch - wire_mm)
}
