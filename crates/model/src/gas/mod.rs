//! Gas: what it is, what carries and burns it, what it can do, and whom it can hurt.
//!
//! Pure sums, each with its rows and its formula's source. A question that makes
//! no sense gets a [`GasError`], never a number.

pub mod appliances;
pub mod buffer;
pub mod burner;
mod error;
pub mod first_gas;
pub mod flammability;
pub mod jet;
pub mod line;
mod mixture;
pub mod properties;
pub mod quench;
pub mod relief;
pub mod room;
pub mod store;
pub mod train;
pub mod trap;
pub mod uses;
pub mod volume;
pub mod wash;

#[cfg(test)]
mod tests;

pub use error::GasError;
pub use mixture::{Mixture, Shares};
pub use properties::State;
