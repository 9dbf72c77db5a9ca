//! The digestion engine: ADM1 and its additions.
//!
//! Plain ADM1 follows the Lund report (Rosén and Jeppsson 2006; constants in
//! `reference/adm1_constants.csv`). Each addition is switched off by its
//! strength: no sulfur, no iron, no air, one guild and [`Biology::plain`] give the
//! plain model exactly. The engine knows nothing of plans, dates or feedstock names.
//!
//! One process is one row of [`stoichiometry`] and one rate of [`kinetics`];
//! [`system`] adds them up. [`tank`] holds the state between the jumps of
//! feeding, draw-off and dosing.

pub mod acid_base;
pub mod biology;
pub mod constants;
pub mod kinetics;
pub mod layout;
pub mod pool;
pub mod state;
pub mod stoichiometry;
pub mod system;
pub mod tank;
pub mod yields;

pub use biology::{Biology, Terms};
pub use constants::Constants;
pub use pool::Pool;
pub use system::{Conditions, Digestion};
pub use tank::{Charge, Cohort, DayGas, Passengers, Tank, TankSettings};

#[cfg(test)]
mod tests;
