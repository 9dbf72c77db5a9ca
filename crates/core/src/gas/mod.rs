//! Gas: volumes, heat, and what it can do.

pub mod uses;
pub mod volume;
pub mod wash;
