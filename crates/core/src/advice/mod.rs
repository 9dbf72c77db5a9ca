//! From "what will this give" to "what should I do": the recipe and the size that
//! meet a wish.
//!
//! A small linear program proposes ([`month`], [`solve`]), the engine checks over
//! many worlds ([`check`]), and what fails is tightened and proposed again
//! ([`recipe`]). Pure, like the rest of the core: plan and wish in, advice out.

mod away;
mod binding;
mod ceiling;
mod check;
mod grid;
mod month;
mod prices;
mod recipe;
mod solve;
mod start;
mod stream;
mod wish;

#[cfg(test)]
mod tests;

pub use away::Away;
pub use binding::Binding;
pub use ceiling::Ceiling;
pub use check::Checked;
pub use grid::{Measure, Period};
pub use month::Limit;
pub use prices::Worth;
pub use recipe::{
    Dose, Recipe, RecipeError, RecipeMonth, Settings, TightenedFor, Tightening, naive, recipe,
};
pub use start::{StartUp, Step};
pub use wish::{HOW_TO_WISH, Want, Wish, WishError};
