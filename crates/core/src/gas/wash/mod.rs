//! Washing the gas: alkaline jars, iron packings and small doses of air.

mod activity;
pub mod constants;
pub mod equilibrium;
pub mod range;

#[cfg(test)]
mod tests;
