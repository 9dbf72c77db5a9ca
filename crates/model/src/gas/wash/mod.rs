//! Washing the gas: alkaline jars, beds of ash, iron packings and small doses of air.
//!
//! An alkaline jar takes CO2 and H2S together. CO2 is two hundred times the
//! H2S, so it uses up the alkali within tens of litres; from then on the jar
//! is a bubble counter. A moist bed of ash takes up CO2 with its lime as well, a hundred
//! times as much for its mass. Iron takes the sulfide alone.

mod activity;
pub mod air_dose;
pub mod ash_bed;
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
