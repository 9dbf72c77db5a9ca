//! Pressure against volume.
//!
//! A slack skin holds no pressure. Full, it stretches: a thin-walled tube of
//! radius `r` and wall `t` under `p` has the hoop strain `p r/(E t)`, and its
//! section grows by twice that, so `p = E t/(2 r) (V/V0 - 1)`. Under a weight
//! on a flat plate a bag of girth `C` has straight sides of length `b` at the
//! plate and half circles beside it; its section is `A = (C^2 - 4 b^2)/(4 pi)`
//! and the plate rests on `b` of it: `p = W g/(L b)`. A drum rides at the same
//! pressure until its rim lets gas out.

use serde::Serialize;

use super::{Shape, Skin};
use crate::reference::gas_value;

/// What presses on the stored gas.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Load {
    /// Weight on a soft store, or of the floating drum less its buoyancy, kg.
    pub weight_kg: f64,
}

impl Load {
    /// Gauge pressure at a volume, Pa.
    pub fn pressure_pa(self, shape: &Shape, skin: &Skin, volume_m3: f64) -> f64 {
        let force = self.weight_kg * gas_value("g_n");
        if let Shape::Drum { diameter_m, .. } = *shape {
            return force / (std::f64::consts::FRAC_PI_4 * diameter_m * diameter_m);
        }
        let share = (volume_m3 / shape.volume_m3()).max(0.0);
        let stretched = skin.stretch_pa(shape.radius_m()) * (share - 1.0).max(0.0);
        let girth = std::f64::consts::TAU * shape.radius_m();
        // Bearing length `b` at this filling; none is left when the section is round.
        let bearing = 0.5 * girth * (1.0 - share).max(0.0).sqrt();
        if self.weight_kg <= 0.0 || bearing <= 0.0 {
            // A weight that has been lifted off the last of its bearing slides down.
            return stretched;
        }
        force / (shape.straight_m() * bearing)
    }

    /// Volume at a gauge pressure, m3: what the store holds when a relief opens.
    pub fn volume_m3(self, shape: &Shape, skin: &Skin, pressure_pa: f64) -> f64 {
        let whole = shape.volume_m3();
        if matches!(shape, Shape::Drum { .. }) {
            // A drum heavier than the relief never rises.
            return if pressure_pa >= self.pressure_pa(shape, skin, whole) {
                whole
            } else {
                0.0
            };
        }
        if self.weight_kg > 0.0 {
            let girth = std::f64::consts::TAU * shape.radius_m();
            let bearing = self.weight_kg * gas_value("g_n") / (shape.straight_m() * pressure_pa);
            return whole * (1.0 - (2.0 * bearing / girth).powi(2)).max(0.0);
        }
        // Rubber is not asked to carry more than a tenth (judgement).
        whole * (1.0 + (pressure_pa / skin.stretch_pa(shape.radius_m())).min(0.1))
    }

    /// The weight that keeps the pressure in a store of `factor` times the volume:
    /// a bag's bearing follows its surface, that of tubes and drums their number or lid.
    pub(super) fn scaled(self, shape: &Shape, factor: f64) -> Self {
        let bearing = match shape {
            Shape::Bag { .. } => factor.cbrt().powi(2),
            _ => factor,
        };
        Load {
            weight_kg: self.weight_kg * bearing,
        }
    }
}
