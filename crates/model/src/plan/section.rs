//! One table of the text: its keys, those asked for, and the tables below it.

use super::error::{Fault, MISSING, Report, UNKNOWN_KEY};
use fenlamp_quantity::{Context, nearest_word};
use std::cell::RefCell;
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// Choices listed in a message.
pub(super) const LISTED: usize = 25;

/// One table, and which of its keys have been asked for.
pub(super) struct Section<'a> {
    pub report: &'a Report<'a>,
    pub cx: Context,
    table: &'a DeTable<'a>,
    path: String,
    /// The table's heading.
    pub span: Range<usize>,
    asked: RefCell<Vec<&'static str>>,
}

/// A value that was read, and where it stands.
#[derive(Debug, Clone)]
pub(super) struct At<T> {
    pub value: T,
    pub span: Range<usize>,
}

impl<'a> Section<'a> {
    pub fn new(
        report: &'a Report<'a>,
        cx: Context,
        table: &'a DeTable<'a>,
        path: String,
        span: Range<usize>,
    ) -> Self {
        Self {
            report,
            cx,
            table,
            path,
            span,
            asked: RefCell::default(),
        }
    }

    /// Path of a key in this table.
    pub fn path(&self, key: &str) -> String {
        match (self.path.is_empty(), key.is_empty()) {
            (true, _) => key.to_owned(),
            (_, true) => self.path.clone(),
            _ => format!("{}.{key}", self.path),
        }
    }

    pub fn get(&self, key: &'static str) -> Option<&'a Spanned<DeValue<'a>>> {
        let mut asked = self.asked.borrow_mut();
        if !asked.contains(&key) {
            asked.push(key);
        }
        self.table.get(key)
    }

    /// Whether the key is written at all.
    pub fn has(&self, key: &'static str) -> bool {
        self.get(key).is_some()
    }

    /// Where the value of a key stands, or else the table's heading.
    pub fn at(&self, key: &'static str) -> Range<usize> {
        self.table.get(key).map_or(self.span.clone(), Spanned::span)
    }

    /// Reports a fault at a key.
    pub fn fault(&self, key: &'static str, message: impl Into<String>, help: impl Into<String>) {
        self.report
            .add(self.path(key), self.at(key), Fault::new(message, help));
    }

    /// Reports a needed key that is not there.
    pub fn missing(&self, key: &'static str, help: impl Into<String>) {
        let message = format!("\"{key}\" {MISSING}");
        self.report
            .add(self.path(key), self.span.clone(), Fault::new(message, help));
    }

    /// Reports every key that was never asked for, with the nearest one that was.
    pub fn finish(&self) {
        let asked = self.asked.borrow();
        for key in self.table.keys() {
            let name: &str = key.get_ref();
            if asked.contains(&name) {
                continue;
            }
            let nearest = nearest_word(name, asked.iter().copied()).map(str::to_owned);
            let allowed: Vec<String> = asked.iter().map(|k| (*k).to_owned()).collect();
            let list = allowed.join(", ");
            let help = match &nearest {
                Some(n) => format!("did you mean \"{n}\"? Known here: {list}"),
                None => format!("known here: {list}"),
            };
            self.report.add(
                self.path(&shorten(name)),
                key.span(),
                Fault {
                    message: format!("{UNKNOWN_KEY} \"{}\"", shorten(name)),
                    given: Some(name.to_owned()),
                    allowed,
                    nearest,
                    help,
                },
            );
        }
    }

    /// A table below this one.
    pub fn section(&self, key: &'static str) -> Option<Section<'a>> {
        let value = self.get(key)?;
        match value.get_ref() {
            DeValue::Table(t) => Some(self.below(t, key.to_owned(), value.span())),
            other => {
                self.wrong_type(
                    key,
                    other,
                    &format!(
                        "write [{}] on a line of its own, and its keys below",
                        self.path(key)
                    ),
                );
                None
            }
        }
    }

    /// The tables of a repeated heading `[[key]]`; a single `[key]` counts as one.
    pub fn sections(&self, key: &'static str) -> Vec<Section<'a>> {
        let Some(value) = self.get(key) else {
            return Vec::new();
        };
        let heading = format!(
            "write [[{}]] on a line of its own, and its keys below",
            self.path(key)
        );
        match value.get_ref() {
            DeValue::Table(t) => vec![self.below(t, format!("{key}[1]"), value.span())],
            DeValue::Array(items) => {
                let mut out = Vec::new();
                for (i, item) in items.iter().enumerate() {
                    match item.get_ref() {
                        DeValue::Table(t) => {
                            out.push(self.below(t, format!("{key}[{}]", i + 1), item.span()))
                        }
                        other => self.wrong_type(key, other, &heading),
                    }
                }
                out
            }
            other => {
                self.wrong_type(key, other, &heading);
                Vec::new()
            }
        }
    }

    fn below(&self, table: &'a DeTable<'a>, name: String, span: Range<usize>) -> Section<'a> {
        let path = if self.path.is_empty() {
            name
        } else {
            format!("{}.{name}", self.path)
        };
        Section::new(self.report, self.cx, table, path, span)
    }
}

/// Lower case, single blanks, no underscores or hyphens.
pub(super) fn plain_words(text: &str) -> String {
    let lower = text.to_lowercase().replace(['_', '-'], " ");
    lower.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// What stands behind a first word: "14" of "day 14". Not of [`plain_words`], which
/// would make "day 14" of "day -14".
pub(super) fn behind<'t>(text: &'t str, word: &str) -> Option<&'t str> {
    let (first, rest) = text.trim().split_at_checked(word.len())?;
    let apart = rest.starts_with(char::is_whitespace);
    (apart && first.eq_ignore_ascii_case(word)).then(|| rest.trim())
}

/// A message stays one line.
pub(super) fn shorten(text: &str) -> String {
    let clean: String = text
        .chars()
        .take(60)
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect();
    if text.chars().count() > 60 {
        format!("{clean}...")
    } else {
        clean
    }
}
