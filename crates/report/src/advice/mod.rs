//! From "what will this give" to "what should I do": the recipe and the size that
//! meet a wish.
//!
//! A small linear program proposes (`month`, `solve`), the engine checks over
//! many worlds (`check`), and what fails is tightened and proposed again
//! ([`recipe`]). Pure, like the rest of the core: plan and wish in, advice out.

mod away;
mod binding;
mod ceiling;
mod check;
mod grid;
mod month;
mod not_to_feed;
mod payback;
mod prices;
mod recipe;
mod said;
mod size;
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
pub use month::{Limit, least_slurry_l, steady_methane_l};
pub use not_to_feed::{KeepOut, keep_out};
pub use payback::{Payback, PaybackError, Prices, payback};
pub use prices::Worth;
pub use recipe::{
    Dose, Recipe, RecipeError, RecipeMonth, Settings, TightenedFor, Tightening, all_at_hand, naive,
    recipe,
};
pub use said::Said;
pub use size::{Part, SizeError, SizeSettings, Sized, Trade, TradePoint, Tried, size, trade};
pub use start::{StartUp, Step};
pub use wish::{HOW_TO_WISH, Want, Wish, WishError};
