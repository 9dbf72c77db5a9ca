//! Changes to the text of a plan that leave everything else as it was written:
//! comments, order, blank lines, the way numbers are put.

mod path;

#[cfg(test)]
mod tests;

use path::{Step, steps};
use toml_edit::{ArrayOfTables, DocumentMut, Item, Table, TableLike, Value};

/// One change. Paths are keys joined by points, items of a list counted from 0:
/// `vessel.volume`, `waste[1].amount`, `use[0].room.volume`. A single table where a list
/// may stand is the first of it: `seed[0].volume` finds `[seed]`.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Edit {
    /// Sets a value, `"1000 L"` with its quotes or `3`, as TOML writes it; tables
    /// on the way are made when they are missing.
    Set {
        /// Where.
        path: String,
        /// The value as TOML.
        value: String,
    },
    /// Takes a key out, or a whole table; what is not there is out already.
    Remove {
        /// Where.
        path: String,
    },
    #[allow(dead_code, reason = "for forms that add to a plan")]
    /// Puts a table at the end of a list of tables, which is made when missing.
    Append {
        /// The list: `waste`, `heap.part`.
        array: String,
        /// Keys and values as TOML, in this order.
        fields: Vec<(String, String)>,
    },
    /// Takes one item out of a list: `waste[2]`.
    RemoveItem {
        /// Which.
        path: String,
    },
}

impl Edit {
    /// [`Edit::Set`] of a text.
    pub fn text(path: impl Into<String>, text: &str) -> Self {
        Edit::Set {
            path: path.into(),
            value: quoted(text),
        }
    }
}

/// A text as TOML writes it.
pub fn quoted(text: &str) -> String {
    Value::from(text).to_string()
}

/// Why a change cannot be made.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum EditError {
    /// The text is no TOML.
    #[error("the plan cannot be read: {0}")]
    Unreadable(String),
    /// The path is not written as one.
    #[error("\"{0}\" is no place in a plan")]
    BadPath(String),
    /// The value is no TOML value.
    #[error("{path}: {value} is no value")]
    BadValue {
        /// Where it should go.
        path: String,
        /// What was given.
        value: String,
    },
    /// There is no such item, or something else stands there.
    #[error("{0}: there is no such place in this plan")]
    NoSuchPlace(String),
}

/// What stands at a path, as TOML writes it; `None` when nothing does.
///
/// # Errors
/// A text that is no TOML, a path that is none.
pub fn value_at(text: &str, path: &str) -> Result<Option<String>, EditError> {
    let document: DocumentMut = text
        .trim_start_matches('\u{feff}')
        .replace("\r\n", "\n")
        .parse()
        .map_err(|e: toml_edit::TomlError| EditError::Unreadable(e.message().to_owned()))?;
    let mut here = document.as_item();
    for step in steps(path)? {
        let Some(next) = here.get(step.key) else {
            return Ok(None);
        };
        here = match step.item {
            None => next,
            Some(0) if next.is_table_like() => next,
            Some(i) => match next.get(i) {
                Some(item) => item,
                None => return Ok(None),
            },
        };
    }
    Ok(match here {
        Item::Value(value) => {
            let mut bare = value.clone();
            bare.decor_mut().clear();
            Some(bare.to_string())
        }
        Item::None => None,
        // A table is told by its text.
        other => Some(other.to_string()),
    })
}

/// `text` with the `edits` made one after the other: places are those of the text
/// as the edits before have left it. All are made or none.
///
/// # Errors
/// The first edit that cannot be made.
pub fn apply(text: &str, edits: &[Edit]) -> Result<String, EditError> {
    // The editor writes plain line ends; a file with others keeps them.
    let (mark, body) = match text.strip_prefix('\u{feff}') {
        Some(rest) => ("\u{feff}", rest),
        None => ("", text),
    };
    let returns = body.contains("\r\n");
    let plain = body.replace("\r\n", "\n");
    let mut document: DocumentMut = plain
        .parse()
        .map_err(|e: toml_edit::TomlError| EditError::Unreadable(e.message().to_owned()))?;
    for edit in edits {
        one(&mut document, edit)?;
    }
    let mut out = document.to_string();
    if returns {
        out = out.replace('\n', "\r\n");
    }
    Ok(format!("{mark}{out}"))
}

/// Whether a plan's text says something at `path`; not when it cannot be read.
pub fn has(text: &str, path: &str) -> bool {
    let Ok(mut document) = text.replace("\r\n", "\n").parse::<DocumentMut>() else {
        return false;
    };
    let Ok(steps) = steps(path) else { return false };
    let Ok((before, key)) = split(&steps, path) else {
        return false;
    };
    descend(document.as_table_mut(), before, Missing::AnError, path)
        .is_ok_and(|table| table.contains_key(key))
}

fn one(document: &mut DocumentMut, edit: &Edit) -> Result<(), EditError> {
    match edit {
        Edit::Set { path, value } => set(document.as_table_mut(), path, value),
        Edit::Remove { path } => remove(document.as_table_mut(), path),
        Edit::Append { array, fields } => append(document.as_table_mut(), array, fields),
        Edit::RemoveItem { path } => remove_item(document.as_table_mut(), path),
    }
}

fn value_of(path: &str, text: &str) -> Result<Value, EditError> {
    let mut value: Value = text.trim().parse().map_err(|_| EditError::BadValue {
        path: path.to_owned(),
        value: text.to_owned(),
    })?;
    value.decor_mut().clear();
    Ok(value)
}

/// The last step of a path and those before it.
fn split<'a>(steps: &'a [Step<'a>], path: &str) -> Result<(&'a [Step<'a>], &'a str), EditError> {
    match steps.split_last() {
        Some((Step { key, item: None }, before)) => Ok((before, *key)),
        _ => Err(EditError::BadPath(path.to_owned())),
    }
}

/// Whether tables on the way are made.
#[derive(Clone, Copy, PartialEq)]
enum Missing {
    Made,
    AnError,
}

/// The table at the end of `steps`.
fn descend<'t>(
    table: &'t mut dyn TableLike,
    steps: &[Step<'_>],
    missing: Missing,
    path: &str,
) -> Result<&'t mut dyn TableLike, EditError> {
    let nowhere = || EditError::NoSuchPlace(path.to_owned());
    let Some((step, rest)) = steps.split_first() else {
        return Ok(table);
    };
    if !table.contains_key(step.key) {
        if missing == Missing::AnError || step.item.is_some() {
            return Err(nowhere());
        }
        table.insert(step.key, Item::Table(new_table()));
    }
    let item = table.get_mut(step.key).ok_or_else(nowhere)?;
    let next: &mut dyn TableLike = match step.item {
        None => item.as_table_like_mut().ok_or_else(nowhere)?,
        Some(i) => match item {
            Item::ArrayOfTables(tables) => tables.get_mut(i).ok_or_else(nowhere)?,
            Item::Value(Value::Array(values)) => values
                .get_mut(i)
                .and_then(Value::as_inline_table_mut)
                .ok_or_else(nowhere)?,
            single if i == 0 => single.as_table_like_mut().ok_or_else(nowhere)?,
            _ => return Err(nowhere()),
        },
    };
    descend(next, rest, missing, path)
}

/// A table set off by an empty line.
fn new_table() -> Table {
    let mut table = Table::new();
    table.decor_mut().set_prefix("\n");
    table
}

fn set(root: &mut Table, path: &str, value: &str) -> Result<(), EditError> {
    let steps = steps(path)?;
    let (before, key) = split(&steps, path)?;
    let mut value = value_of(path, value)?;
    let table = descend(root, before, Missing::Made, path)?;
    match table.get_mut(key) {
        None | Some(Item::None) => {
            table.insert(key, Item::Value(value));
        }
        Some(Item::Value(old)) => {
            *value.decor_mut() = old.decor().clone();
            keep_column(old, &mut value);
            *old = value;
        }
        Some(_) => return Err(EditError::NoSuchPlace(path.to_owned())),
    }
    Ok(())
}

/// Leaves a comment behind the value in its column where there is room.
fn keep_column(old: &Value, new: &mut Value) {
    let Some(suffix) = old.decor().suffix().and_then(|s| s.as_str()) else {
        return;
    };
    let comment = suffix.trim_start_matches([' ', '\t']);
    if !comment.starts_with('#') {
        return;
    }
    let width = |v: &Value| {
        let mut bare = v.clone();
        bare.decor_mut().clear();
        bare.to_string().chars().count()
    };
    let gap = suffix.len() - comment.len();
    let gap = (width(old) + gap).saturating_sub(width(new)).max(1);
    let suffix = format!("{:gap$}{comment}", "");
    new.decor_mut().set_suffix(suffix);
}

fn remove(root: &mut Table, path: &str) -> Result<(), EditError> {
    let steps = steps(path)?;
    let (before, key) = split(&steps, path)?;
    match descend(root, before, Missing::AnError, path) {
        Ok(table) => {
            table.remove(key);
            Ok(())
        }
        // A table that is not there has not the key either; an item that is not there is a slip.
        Err(EditError::NoSuchPlace(_)) if before.iter().all(|s| s.item.is_none()) => Ok(()),
        Err(e) => Err(e),
    }
}

fn append(root: &mut Table, path: &str, fields: &[(String, String)]) -> Result<(), EditError> {
    let steps = steps(path)?;
    let (before, key) = split(&steps, path)?;
    let mut new = new_table();
    for (name, value) in fields {
        // A name is a path of one step.
        let place = format!("{path}.{name}");
        let value = value_of(&place, value)?;
        match path::steps(name)?.as_slice() {
            [Step { key, item: None }] => new.insert(key, Item::Value(value)),
            _ => return Err(EditError::BadPath(place)),
        };
    }
    let table = descend(root, before, Missing::Made, path)?;
    if !table.contains_key(key) {
        table.insert(key, Item::ArrayOfTables(ArrayOfTables::new()));
    }
    // A single table becomes the first of the list.
    if let Some(Item::Table(first)) = table.get(key) {
        let mut tables = ArrayOfTables::new();
        tables.push(first.clone());
        table.insert(key, Item::ArrayOfTables(tables));
    }
    match table.get_mut(key) {
        Some(Item::ArrayOfTables(tables)) => tables.push(new),
        Some(Item::Value(Value::Array(values))) => values.push(new.into_inline_table()),
        _ => return Err(EditError::NoSuchPlace(path.to_owned())),
    }
    Ok(())
}

fn remove_item(root: &mut Table, path: &str) -> Result<(), EditError> {
    let nowhere = || EditError::NoSuchPlace(path.to_owned());
    let steps = steps(path)?;
    let Some((Step { key, item: Some(i) }, before)) = steps.split_last() else {
        return Err(EditError::BadPath(path.to_owned()));
    };
    let table = descend(root, before, Missing::AnError, path)?;
    let left = match table.get_mut(key) {
        Some(Item::ArrayOfTables(tables)) if *i < tables.len() => {
            tables.remove(*i);
            tables.len()
        }
        Some(Item::Value(Value::Array(values))) if *i < values.len() => {
            values.remove(*i);
            values.len()
        }
        Some(single) if *i == 0 && single.is_table_like() => 0,
        _ => return Err(nowhere()),
    };
    if left == 0 {
        table.remove(key);
    }
    Ok(())
}
