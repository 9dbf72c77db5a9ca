//! The flow for one world and for the ensemble: plan -> weather -> warmth ->
//! digestion -> gas -> figures a person can use.

pub mod additive;
pub mod calendar;
pub mod draw;
pub mod ensemble;
pub mod findings;
pub mod fractionate;
pub mod gas_train;
pub mod mix;
mod plant;
pub mod seed;
pub mod words;
pub mod world;

#[cfg(test)]
mod tests;
