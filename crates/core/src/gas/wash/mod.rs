//! Washing the gas: alkaline jars, iron packings and small doses of air.
//!
//! An alkaline jar takes CO2 and H2S together. CO2 is two hundred times the
//! H2S, so it uses up the alkali within tens of litres; from then on the jar
//! is a bubble counter. Iron takes the sulfide alone.

mod activity;
pub mod air_dose;
pub mod cautions;
pub mod constants;
pub mod equilibrium;
pub mod iron;
pub mod life;
pub mod liquor;
pub mod span;
pub mod upkeep;

#[cfg(test)]
mod tests;
