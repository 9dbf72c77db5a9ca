//! Infers the uncertain constants of the digestion from open data.
//!
//! `trials` says what was measured and which plan stands for it; `ensemble` moves
//! an ensemble of constants to where the engine's answers meet the readings;
//! `table` writes what the worlds draw from; `report` writes `docs/calibration.md`.

pub mod data;
pub mod ensemble;
pub mod picture;
pub mod prior;
pub mod report;
pub mod score;
pub mod table;
pub mod trial;
pub mod trials;
