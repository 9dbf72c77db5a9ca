//! The flow for one world and for the ensemble: plan -> weather -> warmth ->
//! digestion -> gas -> figures a person can use.

pub mod additive;
pub mod bands;
pub mod calendar;
pub mod chances;
pub mod convergence;
pub mod draw;
pub mod ensemble;
pub mod figures;
pub mod findings;
pub mod fractionate;
pub mod gas_train;
pub mod heap;
pub mod inferred;
pub mod known;
pub mod levers;
pub mod mix;
pub mod plant;
pub mod seed;
pub mod what_if;
pub mod words;
pub mod world;

#[cfg(test)]
mod tests;
