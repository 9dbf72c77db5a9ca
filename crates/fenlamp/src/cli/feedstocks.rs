//! `fenlamp feedstocks`: search the table, or open one row.

use fenlamp_model::reference::{feedstock, search_feedstocks};

use crate::failure::Failure;
use crate::view_model::feedstocks_text;

/// The feedstocks that fit `words`, or every figure of the one with just this id.
///
/// # Errors
/// [`Failure::Input`] when nothing fits.
pub fn run(words: &str) -> Result<String, Failure> {
    if let Some(one) = feedstock(words.trim()) {
        return Ok(feedstocks_text::one(one));
    }
    let hits = search_feedstocks(words);
    if hits.is_empty() {
        return Err(Failure::input(
            format!("no feedstock fits \"{}\"", words.trim()),
            "try one plain word, like goat, straw or peelings; without words all are listed",
        ));
    }
    Ok(feedstocks_text::list(&hits))
}
