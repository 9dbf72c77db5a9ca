//! The word after a value that says how it is known: "7 %, measured", "12 kg, weighed".

use super::section::plain_words;
use fenlamp_quantity::nearest_word;

/// How the user knows a figure.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HowKnown {
    /// Stated, nothing said.
    Stated,
    /// Measured: by an instrument, a marked vessel or a laboratory.
    Measured,
    /// Put on a scale.
    Weighed,
}

/// Words that a composition may carry.
pub(super) const OF_COMPOSITION: &[(&str, HowKnown)] = &[("measured", HowKnown::Measured)];
/// Words that an amount may carry.
pub(super) const OF_AMOUNT: &[(&str, HowKnown)] = &[
    ("weighed", HowKnown::Weighed),
    ("measured", HowKnown::Measured),
];

/// The value and the word behind its last comma, if a word stands there.
pub(super) fn split(text: &str) -> Option<(&str, &str)> {
    let (value, tail) = text.rsplit_once(',')?;
    let word = tail.trim();
    let is_word = !word.is_empty() && word.chars().all(|c| c.is_alphabetic() || c == ' ');
    is_word.then_some((value.trim_end(), word))
}

/// The value and a known word that follows it without a comma.
pub(super) fn without_comma(text: &str) -> Option<(&str, &'static str)> {
    let (value, word) = text.trim_end().rsplit_once(char::is_whitespace)?;
    let word = plain_words(word);
    let known = OF_AMOUNT.iter().find(|(w, _)| *w == word)?;
    Some((value.trim_end(), known.0))
}

/// What a word means among those allowed, or else the nearest of them.
pub(super) fn meaning<'a>(
    word: &str,
    allowed: &[(&'a str, HowKnown)],
) -> Result<HowKnown, Option<&'a str>> {
    let plain = plain_words(word);
    match allowed.iter().find(|(w, _)| *w == plain) {
        Some((_, known)) => Ok(*known),
        None => Err(nearest_word(&plain, allowed.iter().map(|(w, _)| *w))),
    }
}
