//! The feedstocks of the table, gaps filled, and how they are found.

use std::sync::OnceLock;

use super::feedstock_rows::{FeedstockRow, feedstock_rows, parse};
use super::filling;
use super::rules::{self, Rules};
use super::sheet::Fault;
use super::sources::sources;
use crate::feed::Feedstock;

/// Every feedstock of the table, gaps filled, in file order.
pub fn feedstocks() -> &'static [Feedstock] {
    static FILLED: OnceLock<Vec<Feedstock>> = OnceLock::new();
    FILLED.get_or_init(|| {
        filling::fill_all(feedstock_rows(), rules::rules(), sources())
            .expect("embedded feedstocks.csv and group_defaults.csv are tested")
    })
}

/// A feedstock by id.
pub fn feedstock(id: &str) -> Option<&'static Feedstock> {
    feedstocks().iter().find(|feedstock| feedstock.id == id)
}

/// A feedstock as published, by id.
pub fn feedstock_row(id: &str) -> Option<&'static FeedstockRow> {
    feedstock_rows().iter().find(|row| row.id == id)
}

/// The feedstock whose id or name is closest to `text`, if any is close enough
/// to be meant.
pub fn nearest_feedstock(text: &str) -> Option<&'static Feedstock> {
    nearest(feedstocks(), text, |feedstock| {
        [&feedstock.id, &feedstock.name]
    })
}

/// The feedstocks that fit all of `words` (id, name, group or class), best fit
/// first; those spelt alike if none fits; all if `words` is empty.
pub fn search_feedstocks(words: &str) -> Vec<&'static Feedstock> {
    let words: Vec<String> = plain(words)
        .split(' ')
        .filter(|w| !w.is_empty())
        .map(stem)
        .collect();
    if words.is_empty() {
        return feedstocks().iter().collect();
    }
    let mut hits: Vec<(usize, &Feedstock)> = feedstocks()
        .iter()
        .filter_map(|feedstock| {
            let class = rules::feedstock_class(&feedstock.id).unwrap_or_default();
            let names = plain(&format!("{} {}", feedstock.id, feedstock.name));
            let all = format!("{names} {} {}", plain(class), feedstock.group.word());
            let fits = words.iter().all(|word| all.contains(word));
            // A word in the name counts more than one in the class.
            let misses = words
                .iter()
                .filter(|word| !names.contains(word.as_str()))
                .count();
            fits.then_some((misses, feedstock))
        })
        .collect();
    hits.sort_by_key(|(misses, _)| *misses);
    if hits.is_empty() {
        return nearest_feedstock(&words.join(" ")).into_iter().collect();
    }
    hits.into_iter().map(|(_, feedstock)| feedstock).collect()
}

/// The item with the closest name, if close enough to be meant.
pub(super) fn nearest<'a, T>(
    items: &'a [T],
    text: &str,
    names: impl for<'b> Fn(&'b T) -> [&'b String; 2],
) -> Option<&'a T> {
    /// Below this likeness a suggestion confuses more than it helps.
    const CLOSE_ENOUGH: f64 = 0.8;
    let text = plain(text);
    if text.trim().is_empty() {
        return None;
    }
    let likeness = |item: &T| {
        names(item)
            .into_iter()
            .map(|name| {
                let name = plain(name);
                let whole = strsim::jaro_winkler(&name, &text);
                // A typed word may be only one word of the name.
                let word = name
                    .split(' ')
                    .filter(|word| word.len() > 2)
                    .map(|word| strsim::jaro_winkler(word, &text) - 0.02)
                    .fold(0.0, f64::max);
                // Of names that fit alike, the shorter says less that was not asked for.
                whole.max(word) - 1e-4 * name.len() as f64
            })
            .fold(0.0, f64::max)
    };
    let mut best: Option<(f64, &T)> = None;
    for item in items {
        let score = likeness(item);
        if score >= CLOSE_ENOUGH && best.is_none_or(|(top, _)| score > top) {
            best = Some((score, item));
        }
    }
    best.map(|(_, item)| item)
}

/// Lower case, words parted by single spaces, no signs.
fn plain(text: &str) -> String {
    let signs_out: String = text
        .chars()
        .map(|c| {
            if c.is_alphanumeric() {
                c.to_ascii_lowercase()
            } else {
                ' '
            }
        })
        .collect();
    signs_out.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The word without a plural s.
fn stem(word: &str) -> String {
    match word.strip_suffix('s') {
        Some(stem) if stem.len() > 2 && !stem.ends_with('s') => stem.to_owned(),
        _ => word.to_owned(),
    }
}

/// Fills `text` by `rules`: the same path as the embedded table, for checks.
pub(super) fn filled_from(text: &str, rules: &Rules) -> Result<Vec<Feedstock>, Vec<Fault>> {
    filling::fill_all(&parse(text)?, rules, sources())
}
