//! The rows of the feedstock table as published, gaps and all.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use super::embedded;
use super::sheet::{Fault, FaultKind, Sheet, sorted_out};
use crate::feed::Group;

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

pub(super) fn feedstock_rows() -> &'static [FeedstockRow] {
    static ROWS: OnceLock<Vec<FeedstockRow>> = OnceLock::new();
    ROWS.get_or_init(|| parse(embedded::FEEDSTOCKS).expect("embedded feedstocks.csv is tested"))
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
