//! Paths like `use[0].room.volume`.

use super::EditError;

/// One step down.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Step<'a> {
    /// The key.
    pub key: &'a str,
    /// Which item of the list that it names.
    pub item: Option<usize>,
}

/// The steps of a path, at least one.
pub fn steps(path: &str) -> Result<Vec<Step<'_>>, EditError> {
    path.split('.')
        .map(step)
        .collect::<Option<Vec<_>>>()
        .ok_or_else(|| EditError::BadPath(path.to_owned()))
}

fn step(text: &str) -> Option<Step<'_>> {
    let (key, item) = match text.split_once('[') {
        Some((key, rest)) => (key, Some(rest.strip_suffix(']')?.parse().ok()?)),
        None => (text, None),
    };
    // Keys that need no quotes: a plan has no others.
    let bare = |c: char| c.is_ascii_alphanumeric() || c == '_' || c == '-';
    (!key.is_empty() && key.chars().all(bare)).then_some(Step { key, item })
}
