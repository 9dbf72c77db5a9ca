//! The gas train hour by hour: made, washed, stored, burned, lost.
//!
//! Gas is counted in dry normal litres of four kinds. Every litre made ends in
//! one place of the [`Account`]; a property test holds the sum to 1e-9.

mod account;
mod hours;
pub mod wash;

#[cfg(test)]
mod tests;

pub use account::{Account, Day, Run};
pub use hours::{Surroundings, dissolved_l_per_l_atm, quarter, run, washed};

/// Gas of four kinds, dry normal litres.
pub type Gas = [f64; 4];
/// Methane.
pub const METHANE: usize = 0;
/// Carbon dioxide.
pub const CARBON_DIOXIDE: usize = 1;
/// Hydrogen sulfide.
pub const SULFIDE: usize = 2;
/// Nitrogen, oxygen, hydrogen.
pub const REST: usize = 3;

/// The store of one world, made ready for the loop.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Holder {
    /// Volume when the relief opens, L.
    pub full_l: f64,
    /// Gauge pressure then, Pa.
    pub full_pa: f64,
    /// Share of it that cannot be drawn off.
    pub kept_back: f64,
    /// CH4, CO2 and H2S through the skin, L/h for each atmosphere.
    pub conductance: [f64; 3],
    /// Water under the gas, L.
    pub bath_l: f64,
    /// Lost at seams and fittings, share of the contents an hour.
    pub leak_per_h: f64,
}

impl Holder {
    /// `factor` times as large.
    #[must_use]
    pub fn scaled(&self, factor: f64) -> Self {
        Holder {
            full_l: self.full_l * factor,
            bath_l: self.bath_l * factor,
            conductance: self.conductance.map(|c| c * factor),
            ..*self
        }
    }
}

/// One use of the gas, made ready for the loop.
#[derive(Debug, Clone, PartialEq)]
pub struct Burn {
    /// Methane that a whole day of it takes, dry normal litres.
    pub methane_l_day: f64,
    /// Share of the day's need in each hour; they make 1.
    pub share: [f64; 24],
    /// Part of each hour in which it burns.
    pub part: [f64; 24],
    /// Months in which it burns, January first.
    pub months: [bool; 12],
    /// Least methane share with which it burns.
    pub least_methane: f64,
}

/// Everything between the vessel and the flame of one world.
#[derive(Debug, Clone, PartialEq)]
pub struct Train {
    /// Washes in their order.
    pub washes: Vec<wash::Stage>,
    /// Store; `None`: what is not burned at once is let go.
    pub store: Option<Holder>,
    /// Uses, most wanted first.
    pub burns: Vec<Burn>,
}
