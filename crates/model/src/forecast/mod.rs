//! Many worlds as one answer: the ensemble, its bands, its gas train, and what a change
//! of the plan would do.

pub mod bands;
pub mod chances;
pub mod convergence;
pub mod ensemble;
pub mod figures;
pub mod gas_train;
pub mod heap;
pub mod levers;
pub mod runs;
pub mod what_if;
