//! What a person writes down at the plant, as values.
//!
//! [`Entry`] is one thing that was done or seen, in SI units; [`words`] reads it
//! from what people say ("2 bucket goat_manure", "half", "6.8 by strip"). Keeping
//! entries is the shell's work; learning from them is [`crate::learn`]'s.

mod entry;
mod titration;
pub mod words;

#[cfg(test)]
mod tests;

pub use entry::{Entry, Flame, Foam, GasBy, KINDS, PhBy, Smell, StoreLevel, Writing, WrittenEntry};
pub use titration::Titration;
