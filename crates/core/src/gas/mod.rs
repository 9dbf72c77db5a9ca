//! Gas: volumes, heat, and what it can do.

pub mod buffer;
pub mod trap;
pub mod uses;
pub mod volume;
pub mod wash;
