//! The feedstock table: rows as published, and feedstocks with gaps filled.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use super::embedded;
use super::filling;
use super::rules::{self, Rules};
use super::sheet::{Fault, FaultKind, Sheet, sorted_out};
use super::sources::sources;
use crate::feed::{Feedstock, Group};

/// A feedstock as it stands in `feedstocks.csv`, gaps and all.
#[derive(Debug, Clone, PartialEq)]
pub struct FeedstockRow {
    /// Id.
    pub id: String,
    /// Name people use.
    pub name: String,
    /// Group of the table.
    pub group: Group,
    /// Remarks of the table.
    pub notes: String,
    /// Published figures by field: shares in kg/kg, potentials in m3/kg VS.
    pub figures: BTreeMap<&'static str, f64>,
    /// Source keys by figure group (`ts`, `bmp`, ...).
    pub keys: BTreeMap<String, Vec<String>>,
}

/// Column of the table, field it fills, factor to the field's unit, group of source keys.
const COLUMNS: [(&str, &str, f64, &str); 20] = [
    ("ts_pct", "total_solids", 0.01, "ts"),
    ("ts_low", "total_solids_low", 0.01, "ts"),
    ("ts_high", "total_solids_high", 0.01, "ts"),
    ("vs_pct_ts", "volatile_of_ts", 0.01, "vs"),
    ("bmp_l_per_kg_vs", "bmp", 0.001, "bmp"),
    ("bmp_low", "bmp_low", 0.001, "bmp"),
    ("bmp_high", "bmp_high", 0.001, "bmp"),
    ("k_hyd_per_d_35c", "hydrolysis_per_d", 1.0, "k"),
    ("k_low", "hydrolysis_per_d_low", 1.0, "k"),
    ("k_high", "hydrolysis_per_d_high", 1.0, "k"),
    ("c_to_n", "c_to_n", 1.0, "cn"),
    ("n_pct_ts", "nitrogen_of_ts", 0.01, "n_pct"),
    ("p_pct_ts", "phosphorus_of_ts", 0.01, "p_pct"),
    ("k_pct_ts", "potassium_of_ts", 0.01, "k_pct"),
    ("s_pct_ts", "sulfur_of_ts", 0.01, "s_pct"),
    ("lignin_pct_ts", "lignin_of_ts", 0.01, "lignin"),
    ("carb_pct_ts", "carbohydrate_of_ts", 0.01, "comp"),
    ("protein_pct_ts", "protein_of_ts", 0.01, "comp"),
    ("fat_pct_ts", "fat_of_ts", 0.01, "comp"),
    ("bulk_density_kg_m3", "bulk_density_kg_m3", 1.0, "bd"),
];

/// Group of source keys that covers a field.
pub(super) fn key_group(field: &str) -> Option<&'static str> {
    COLUMNS
        .iter()
        .find(|(_, name, ..)| *name == field)
        .map(|(.., group)| *group)
}

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

pub(super) fn feedstock_rows() -> &'static [FeedstockRow] {
    static ROWS: OnceLock<Vec<FeedstockRow>> = OnceLock::new();
    ROWS.get_or_init(|| parse(embedded::FEEDSTOCKS).expect("embedded feedstocks.csv is tested"))
}

/// Fills `text` by `rules`: the same path as the embedded table, for checks.
pub(super) fn filled_from(text: &str, rules: &Rules) -> Result<Vec<Feedstock>, Vec<Fault>> {
    filling::fill_all(&parse(text)?, rules, sources())
}

pub(super) fn parse(text: &str) -> Result<Vec<FeedstockRow>, Vec<Fault>> {
    let mut columns: Vec<&str> = COLUMNS.iter().map(|(column, ..)| *column).collect();
    columns.extend(["id", "name", "group", "source_keys", "notes"]);
    let sheet = Sheet::read("feedstocks", text, &columns)?;
    let twice = sheet.twice("id");
    if !twice.is_empty() {
        return Err(twice);
    }
    sorted_out(sheet.rows("id").map(|row| {
        let mut figures = BTreeMap::new();
        let keys = key_groups(row.text("source_keys"));
        for (column, field, factor, group) in COLUMNS {
            let Some(figure) = row.maybe(column)? else {
                continue;
            };
            if figure < 0.0 || (factor == 0.01 && figure > 100.0) {
                return Err(row.fault(FaultKind::Impossible(column.to_owned())));
            }
            if keys.get(group).is_none_or(Vec::is_empty) {
                return Err(row.fault(FaultKind::NoSourceKey(column.to_owned())));
            }
            figures.insert(field, figure * factor);
        }
        row.ordered("ts_low", "ts_pct", "ts_high")?;
        row.ordered("bmp_low", "bmp_l_per_kg_vs", "bmp_high")?;
        row.ordered("k_low", "k_hyd_per_d_35c", "k_high")?;
        Ok(FeedstockRow {
            id: row.filled("id")?,
            name: row.filled("name")?,
            group: Group::parse(row.text("group")).ok_or_else(|| row.unknown("group"))?,
            notes: row.text("notes").to_owned(),
            figures,
            keys,
        })
    }))
}

/// Reads `ts:A+B;vs:C` into groups of keys.
pub(super) fn key_groups(text: &str) -> BTreeMap<String, Vec<String>> {
    text.split(';')
        .filter_map(|part| part.split_once(':'))
        .map(|(group, keys)| {
            let keys = keys.split('+').map(str::trim).filter(|key| !key.is_empty());
            (group.trim().to_owned(), keys.map(str::to_owned).collect())
        })
        .collect()
}
