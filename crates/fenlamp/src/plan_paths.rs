//! What stands at a path of a plan's text, such as `waste[1].amount`.

use toml_edit::Item;

/// What stands in a field, and how TOML writes it.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Stands {
    /// As a person reads it.
    pub text: String,
    /// As TOML writes it; empty when nothing stands there.
    pub literal: String,
}

/// What stands at a path of a text.
pub fn stands(plan: &Item, path: &str) -> Stands {
    let mut here = Some(plan);
    for step in path.split('.') {
        let (key, item) = match step.split_once('[') {
            Some((key, rest)) => (key, rest.trim_end_matches(']').parse::<usize>().ok()),
            None => (step, None),
        };
        here = here.and_then(|h| h.get(key));
        if let Some(i) = item {
            // A single table is the first of its list.
            let single = here.filter(|h| i == 0 && h.is_table_like());
            here = single.or_else(|| here.and_then(|h| h.get(i)));
        }
    }
    let Some(value) = here.and_then(Item::as_value) else {
        return Stands::default();
    };
    let mut bare = value.clone();
    bare.decor_mut().clear();
    let literal = bare.to_string();
    Stands {
        text: value
            .as_str()
            .map_or_else(|| literal.clone(), str::to_owned),
        literal,
    }
}

/// How many items a list has; a table counts as one.
pub fn count(plan: &Item, path: &str) -> usize {
    let mut here = Some(plan);
    for step in path.split('.') {
        here = here.and_then(|h| h.get(step));
    }
    match here {
        Some(Item::ArrayOfTables(tables)) => tables.len(),
        Some(Item::Value(toml_edit::Value::Array(values))) => values.len(),
        Some(item) if item.is_table_like() => 1,
        _ => 0,
    }
}
