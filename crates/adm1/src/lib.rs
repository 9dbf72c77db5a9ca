//! The digestion engine: ADM1 and its additions.
//!
//! Plain ADM1 follows the Lund report (Rosén and Jeppsson 2006; constants in
//! `reference/adm1_constants.csv`). Each addition is switched off by its
//! strength: no sulfur, no iron, no air, one guild and [`Biology::plain`] give the
//! plain model exactly. The engine knows nothing of plans, dates or feedstock names.
//!
//! One process is one row of [`stoichiometry`] and one rate of [`kinetics`];
//! [`system`] adds them up. [`tank`] holds the state between the jumps of
//! feeding, draw-off and dosing. [`solver`] knows nothing of digestion.
//!
//! The published reactor stays in its published steady state:
//!
//! ```
//! use fenlamp_adm1::system::{Conditions, Running, WorldFactors};
//! use fenlamp_adm1::{Digestion, published, state};
//!
//! let model = Digestion::plain();
//! let (mut y, mut influent) = (vec![0.0; model.states()], vec![0.0; model.states()]);
//! for row in published::steady_state() {
//!     // Ions of the published table follow from the others here.
//!     if let Some(i) = state::place(&row.symbol) {
//!         y[i] = row.steady_state;
//!         influent[i] = row.influent.unwrap_or(0.0);
//!     }
//! }
//! let reactor = Conditions {
//!     temperature_k: 308.15,
//!     liquid_m3: 3400.0,
//!     gas_m3: 300.0,
//!     p_out_bar: 1.013,
//!     outlet_per_d_bar: 5e4 / 3400.0,
//!     k_l_a_per_d: 200.0,
//!     dilution_per_d: 0.05,
//!     world: WorldFactors::none(model.pools.len()),
//!     ammonia_tolerance: 1.0,
//! };
//! let acetate = y[state::S_AC];
//! let mut running = Running::<f64>::new(&model, &reactor, Some(influent.as_slice()), 1e-7);
//! let (mut stepper, tolerance) = (model.stepper(), model.tolerance(1e-6));
//! stepper.advance(&mut running, &mut y, 100.0, &tolerance).expect("it runs");
//! assert!((y[state::S_AC] / acetate - 1.0).abs() < 1e-4);
//! ```

pub mod acid_base;
pub mod biology;
pub mod coefficients;
pub mod constants;
mod factors;
pub mod kinetics;
pub mod layout;
pub mod pool;
pub mod published;
pub mod solver;
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
