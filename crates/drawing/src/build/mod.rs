//! What is built: joints in detail, and the parts list that they add up to.
//!
//! A joint names every piece that it takes; the parts list is the sum over the
//! joints and nothing else, so that the two cannot part.

mod body;
mod burner;
mod flame;
mod gas_pieces;
mod ink;
mod jars;
mod joints;
mod piece;
mod pieces;
mod shop;
mod top;
mod vessel_pieces;

#[cfg(test)]
mod tests;

pub use burner::{Head, head};
pub use joints::{Detail, detail};
pub use piece::{Amount, Item, Joint, Line, Use, list};
pub use pieces::{heads, joints};
pub use shop::{hose_mm, inches};
pub use top::top;
