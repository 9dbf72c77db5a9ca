//! The store: how much it holds, at what pressure, and what it loses.
//!
//! [`shape`] measures it with a tape, [`pressure`] loads it, [`skin`] lets gas
//! through it.

pub mod pressure;
pub mod shape;
pub mod skin;

#[cfg(test)]
mod tests;

use serde::Serialize;

pub use pressure::Load;
pub use shape::Shape;
pub use skin::Skin;

/// A store as the hourly loop sees it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Store {
    /// Its size and form.
    pub shape: Shape,
    /// What presses on it.
    pub load: Load,
    /// What it is made of.
    pub skin: Skin,
    /// Water that the stored gas stands over, L (a floating drum's bath; 0 for bags).
    pub bath_l: f64,
    /// Where it stands.
    pub standing: Standing,
}

/// Where a store stands, for its temperature.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Standing {
    /// Out of doors, sun on it.
    Sun,
    /// Out of doors, shaded.
    Shade,
    /// In a house or shed.
    Indoors,
}

/// Warming of a dark skin by the sun, K per W/m2: 10 K at 700 W/m2 (judgement;
/// half the rise of an insulated dark plate, as air moves inside and out).
const SUN_K_PER_W_M2: f64 = 0.015;
/// A shed does not get colder than this, degC (judgement).
const INDOORS_LEAST_C: f64 = 8.0;

impl Standing {
    /// Temperature of the stored gas, degC.
    pub fn gas_c(self, air_c: f64, sun_w_m2: f64) -> f64 {
        match self {
            Standing::Sun => air_c + SUN_K_PER_W_M2 * sun_w_m2,
            Standing::Shade => air_c,
            Standing::Indoors => air_c.max(INDOORS_LEAST_C),
        }
    }
}

/// Share of a soft store that its folds keep back (judgement); a drum gives all.
const FOLDS: f64 = 0.05;

impl Store {
    /// Volume when full to `relief_pa`, L.
    pub fn full_l(&self, relief_pa: f64) -> f64 {
        1000.0
            * self
                .load
                .volume_m3(&self.shape, &self.skin, relief_pa.max(0.0))
    }

    /// Gauge pressure when a share of the tape's volume is filled, Pa.
    pub fn pressure_pa(&self, filled: f64) -> f64 {
        self.load
            .pressure_pa(&self.shape, &self.skin, filled * self.shape.volume_m3())
    }

    /// Share of the volume that cannot be drawn off.
    pub fn kept_back(&self) -> f64 {
        match self.shape {
            Shape::Drum { .. } => 0.0,
            _ => FOLDS,
        }
    }

    /// The same store `factor` times as large, under the same pressure.
    #[must_use]
    pub fn scaled(&self, factor: f64) -> Self {
        Store {
            shape: self.shape.scaled(factor),
            load: self.load.scaled(&self.shape, factor),
            bath_l: self.bath_l * factor,
            ..*self
        }
    }
}
