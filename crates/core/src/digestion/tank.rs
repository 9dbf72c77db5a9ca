//! tank
