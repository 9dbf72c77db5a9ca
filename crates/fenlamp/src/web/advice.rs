//! Advice as the page asks for it and has it answered.

use fenlamp_report::advice::{Payback, Recipe, Sized};

/// What is asked, as the form sends it.
#[derive(Debug, Default, Clone, PartialEq, serde::Deserialize, serde::Serialize)]
#[serde(default)]
pub struct Question {
    /// `recipe`, `size` or `payback`; nothing asked yet when empty.
    pub ask: String,
    /// The wish in words.
    pub wish: String,
    /// The part to size.
    pub what: String,
    /// What the parts cost.
    pub parts: String,
    /// The fuel replaced.
    pub fuel: String,
    /// What a unit of it costs.
    pub price: String,
    /// Upkeep a year.
    pub upkeep: String,
    /// Name of the money.
    pub money: String,
}

/// Advice of one of three kinds.
#[derive(Debug, serde::Serialize)]
#[serde(tag = "advice", rename_all = "snake_case")]
pub enum Advice {
    /// What to feed.
    Recipe(Box<Recipe>),
    /// How large a part.
    Size(Box<Sized>),
    /// Money and carbon.
    Payback(Box<Payback>),
}
