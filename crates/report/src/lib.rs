//! What the numbers of the model mean: sentences, cautions, advice, and what a diary
//! teaches.
//!
//! No files, clock, terminal, network or environment are touched here.

pub mod words;

pub mod hazard;

pub mod advice;
pub mod diary;
pub mod learn;
pub mod reminders;
