//! The stiff solver: a number trait, a sparse LU planned once, and a
//! Rosenbrock stepper. Knows nothing of digestion.

pub mod dual;
pub mod lanes;
pub mod number;
pub mod rosenbrock;
pub mod sparse;

pub use lanes::{Lanes, Pack};
pub use number::{Num, reciprocals};
pub use rosenbrock::{Effort, Failure, Stepper, System, Tolerance};
pub use sparse::{Lu, Pattern};

#[cfg(test)]
mod tests;
