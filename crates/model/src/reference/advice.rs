//! What not to feed, and fuels that gas may stand for.

use std::sync::OnceLock;

use super::embedded;
use super::sheet::{Fault, Sheet, sorted_out};
use super::sources::Standing;
use crate::feed::{Group, How};

/// Something that poisons or chokes the culture.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct NotToFeed {
    /// Stable id.
    pub id: String,
    /// What it is.
    pub thing: String,
    /// Groups of feedstock that it comes with; empty: it comes with anything.
    pub groups: Vec<Group>,
    /// What it does.
    pub why: String,
    /// How much is borne.
    pub limit: String,
    /// What to do with it.
    pub remedy: String,
    /// Key into [`super::sources`].
    pub source_key: String,
    /// How it was got.
    pub how: How,
}

/// A fuel.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Fuel {
    /// Id.
    pub id: String,
    /// Name.
    pub name: String,
    /// What it is sold by.
    pub unit: String,
    /// Net heat of a unit, MJ.
    pub mj_per_unit: f64,
    /// Share of it that the usual stove brings into the pot, %.
    pub stove_efficiency_pct: f64,
    /// Carbon dioxide of its heat, kg/GJ.
    pub co2_kg_per_gj: f64,
    /// Key into [`super::sources`].
    pub source_key: String,
    /// How it was got.
    pub how: How,
    /// What to know.
    pub note: String,
}

/// What not to feed, in file order.
pub fn not_to_feed() -> &'static [NotToFeed] {
    static ROWS: OnceLock<Vec<NotToFeed>> = OnceLock::new();
    ROWS.get_or_init(|| {
        parse_not_to_feed(embedded::NOT_TO_FEED).expect("embedded not_to_feed.csv is tested")
    })
}

/// Fuels, in file order.
pub fn fuels() -> &'static [Fuel] {
    static ROWS: OnceLock<Vec<Fuel>> = OnceLock::new();
    ROWS.get_or_init(|| parse_fuels(embedded::FUELS).expect("embedded fuels.csv is tested"))
}

pub(super) fn parse_not_to_feed(text: &str) -> Result<Vec<NotToFeed>, Vec<Fault>> {
    let columns = [
        "id",
        "thing",
        "groups",
        "why",
        "limit",
        "remedy",
        "source_key",
        "read_or_memory",
    ];
    let sheet = Sheet::read("not_to_feed", text, &columns)?;
    sorted_out(sheet.rows("id").map(|row| {
        let words = row.filled("groups")?;
        let mut groups = Vec::new();
        for word in words.split('|').filter(|w| *w != "all") {
            groups.push(Group::parse(word).ok_or_else(|| row.unknown("groups"))?);
        }
        if words.split('|').any(|w| w == "all") {
            groups.clear();
        }
        Ok(NotToFeed {
            id: row.filled("id")?,
            thing: row.filled("thing")?,
            groups,
            why: row.filled("why")?,
            limit: row.filled("limit")?,
            remedy: row.filled("remedy")?,
            source_key: row.text("source_key").to_owned(),
            how: Standing::parse(row.text("read_or_memory"))
                .ok_or_else(|| row.unknown("read_or_memory"))?
                .into(),
        })
    }))
}

pub(super) fn parse_fuels(text: &str) -> Result<Vec<Fuel>, Vec<Fault>> {
    let columns = [
        "id",
        "name",
        "unit",
        "mj_per_unit",
        "stove_efficiency_pct",
        "co2_kg_per_gj",
        "source_key",
        "read_or_memory",
        "note",
    ];
    let sheet = Sheet::read("fuels", text, &columns)?;
    sorted_out(sheet.rows("id").map(|row| {
        Ok(Fuel {
            id: row.filled("id")?,
            name: row.filled("name")?,
            unit: row.filled("unit")?,
            mj_per_unit: row.number("mj_per_unit")?,
            stove_efficiency_pct: row.number("stove_efficiency_pct")?,
            co2_kg_per_gj: row.number("co2_kg_per_gj")?,
            source_key: row.text("source_key").to_owned(),
            how: Standing::parse(row.text("read_or_memory"))
                .ok_or_else(|| row.unknown("read_or_memory"))?
                .into(),
            note: row.text("note").to_owned(),
        })
    }))
}
