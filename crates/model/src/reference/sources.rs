//! Source keys and their citations, from `sources.csv`.

use std::sync::OnceLock;

use super::embedded;
use super::sheet::{Fault, Sheet, sorted_out};
use crate::feed::How;

/// A source behind a key.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Source {
    /// Key as used in the tables.
    pub key: String,
    /// Citation.
    pub citation: String,
    /// Standing of the figures carried over under this key.
    pub standing: Standing,
    /// Where a public copy was read; may be empty.
    pub address: String,
    /// Which part was read, and reservations; may be empty.
    pub note: String,
}

/// How the figures under a key were got.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Standing {
    /// Read in a public copy.
    Read,
    /// Recalled; verify before relying on it.
    Memory,
    /// From a general-purpose library or by arithmetic.
    Computed,
    /// From other figures of the tables.
    Derived,
    /// Our judgement.
    Judgement,
}

impl Standing {
    pub(super) fn parse(word: &str) -> Option<Self> {
        Some(match word {
            "read" => Self::Read,
            "memory" => Self::Memory,
            "computed" => Self::Computed,
            "derived" => Self::Derived,
            "judgement" => Self::Judgement,
            _ => return None,
        })
    }
}

impl From<Standing> for How {
    fn from(standing: Standing) -> Self {
        match standing {
            Standing::Read => Self::Read,
            Standing::Memory => Self::Memory,
            Standing::Computed | Standing::Derived => Self::Derived,
            Standing::Judgement => Self::Judgement,
        }
    }
}

/// All sources, sorted by key.
pub fn sources() -> &'static [Source] {
    static SOURCES: OnceLock<Vec<Source>> = OnceLock::new();
    SOURCES.get_or_init(|| parse(embedded::SOURCES).expect("embedded sources.csv is tested"))
}

/// The source behind a key.
pub fn source(key: &str) -> Option<&'static Source> {
    find(sources(), key)
}

pub(super) fn find<'a>(sources: &'a [Source], key: &str) -> Option<&'a Source> {
    let place = sources
        .binary_search_by(|source| source.key.as_str().cmp(key))
        .ok()?;
    sources.get(place)
}

pub(super) fn parse(text: &str) -> Result<Vec<Source>, Vec<Fault>> {
    let sheet = Sheet::read(
        "sources",
        text,
        &["key", "citation", "status", "address", "note"],
    )?;
    let twice = sheet.twice("key");
    if !twice.is_empty() {
        return Err(twice);
    }
    let mut sources = sorted_out(sheet.rows("key").map(|row| {
        Ok(Source {
            key: row.filled("key")?,
            citation: row.filled("citation")?,
            standing: Standing::parse(row.text("status")).ok_or_else(|| row.unknown("status"))?,
            address: row.text("address").to_owned(),
            note: row.text("note").to_owned(),
        })
    }))?;
    sources.sort_by(|a, b| a.key.cmp(&b.key));
    Ok(sources)
}
