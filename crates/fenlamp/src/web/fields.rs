//! What can be filled in: every part of a plan, its fields, in plain words.
//!
//! The reader in `model::plan` decides what is allowed; here stands only how it is
//! asked. A test holds the two together: each key of the demos has a field, and
//! the reader knows each field.

mod parts;
#[cfg(test)]
mod tests;

pub use parts::PARTS;

/// How a field is filled in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Kind {
    /// A quantity with its unit, as text; with a slider where one number stands in it.
    Amount,
    /// One of a few words; the first is what holds when none is written.
    Choice(&'static [&'static str]),
    /// A bare number.
    Number,
    /// A day.
    Date,
    /// Yes or no.
    Yes,
    /// Free text.
    Text,
    /// A long free text.
    Long,
    /// A feedstock by id, with the list to choose from.
    Feedstock,
    /// An animal by id.
    Animal,
}

/// One field.
#[derive(Debug, Clone, Copy)]
pub struct Field {
    /// Key in its table.
    pub key: &'static str,
    /// How it is called.
    pub label: &'static str,
    /// How it is filled in.
    pub kind: Kind,
    /// A word of help: what is meant, what holds when it is left empty.
    pub help: &'static str,
    /// Shown only when another field of the table says one of these.
    pub only: Option<(&'static str, &'static [&'static str])>,
}

/// One table of the plan, or a list of them.
#[derive(Debug, Clone, Copy)]
pub struct Table {
    /// Path: `vessel`, `waste`, `heap.part`.
    pub path: &'static str,
    /// A list of tables.
    pub list: bool,
    /// Its heading; of a list, that of one item.
    pub title: &'static str,
    /// What it is about.
    pub about: &'static str,
    /// Can be left out.
    pub optional: bool,
    /// Fields.
    pub fields: &'static [Field],
    /// What a new one begins with: key, value as TOML in metric and in US units.
    pub first: &'static [(&'static str, &'static str, &'static str)],
}

/// A page of tables that belong together.
#[derive(Debug, Clone, Copy)]
pub struct Part {
    /// Name in addresses.
    pub id: &'static str,
    /// Its heading.
    pub title: &'static str,
    /// Tables on it.
    pub tables: &'static [Table],
}

const fn f(key: &'static str, label: &'static str, kind: Kind, help: &'static str) -> Field {
    Field {
        key,
        label,
        kind,
        help,
        only: None,
    }
}

const fn when(field: Field, other: &'static str, says: &'static [&'static str]) -> Field {
    Field {
        only: Some((other, says)),
        ..field
    }
}

/// A part by its name in addresses.
pub fn part(id: &str) -> Option<&'static Part> {
    PARTS.iter().find(|p| p.id == id)
}

/// The part, table and field a path of the plan belongs to; items of lists carry
/// their number: `waste[0].amount`.
pub fn find(path: &str) -> Option<(&'static Part, &'static Table, &'static Field)> {
    let plain: String = without_numbers(path);
    PARTS.iter().find_map(|part| {
        part.tables.iter().find_map(|table| {
            let key = plain.strip_prefix(table.path)?.strip_prefix('.')?;
            let field = table.fields.iter().find(|f| f.key == key)?;
            Some((part, table, field))
        })
    })
}

/// The table of a list: `waste`, `heap.part`.
pub fn table(path: &str) -> Option<(&'static Part, &'static Table)> {
    PARTS
        .iter()
        .find_map(|p| Some((p, p.tables.iter().find(|t| t.path == path)?)))
}

/// "waste[0].amount" as "waste.amount".
pub fn without_numbers(path: &str) -> String {
    let mut out = String::new();
    let mut inside = false;
    for c in path.chars() {
        match c {
            '[' => inside = true,
            ']' => inside = false,
            c if !inside => out.push(c),
            _ => {}
        }
    }
    out
}

/// A text with one number in it, for a slider.
#[derive(Debug, Clone, PartialEq)]
pub struct Slide {
    /// What stands before the number.
    pub before: String,
    /// The number.
    pub number: f64,
    /// What stands behind it.
    pub after: String,
    /// Ends and step of the slider.
    pub ends: (f64, f64, f64),
}

/// The slider for a text, if there is just one plain number in it.
pub fn slide(text: &str) -> Option<Slide> {
    let begin = text.find(|c: char| c.is_ascii_digit())?;
    let rest = &text[begin..];
    let end = rest
        .find(|c: char| !(c.is_ascii_digit() || c == '.'))
        .unwrap_or(rest.len());
    let (number, after) = rest.split_at(end);
    let unit = after.trim_start();
    // "1/2 lb", "1,650 ft", "16:00" and the digit of m3/day are no single number.
    let other = after.starts_with(['/', ',', ':'])
        || after
            .replace("m3", "")
            .replace("m2", "")
            .chars()
            .any(|c| c.is_ascii_digit())
        || text[..begin].ends_with('-');
    if other {
        return None;
    }
    let number: f64 = number.parse().ok()?;
    let (low, high) = if unit.starts_with('%') {
        (0.0, 100.0)
    } else if unit.starts_with('°') {
        (number - 20.0, number + 20.0)
    } else if number > 0.0 {
        (0.0, 3.0 * number)
    } else {
        return None;
    };
    // A step that people would say: a hundredth of the way, rounded to 1, 2 or 5.
    let raw = (high - low) / 100.0;
    let ten = 10f64.powf(raw.log10().floor());
    let step = [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|m| m * ten)
        .find(|s| *s >= raw * 0.999)
        .unwrap_or(raw);
    let step = if unit.starts_with('°') || unit.starts_with('%') {
        1.0
    } else {
        step
    };
    let low = if low == 0.0 && !unit.starts_with('%') {
        step
    } else {
        low
    };
    Some(Slide {
        before: text[..begin].to_owned(),
        number,
        after: after.to_owned(),
        ends: (low, high, step),
    })
}
