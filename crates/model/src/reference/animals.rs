//! What animals leave per day, and what they leave as filled feedstock rows.

use std::sync::OnceLock;

use super::embedded;
use super::feedstock_rows::key_groups;
use super::feedstocks::{feedstock, nearest};
use super::sheet::{Fault, FaultKind, Sheet, sorted_out};
use super::sources::{self, Source, sources};
use crate::band::Band;
use crate::feed::{How, Origin};

/// One animal of a kind, as excreted (or as collected, where `notes` says so).
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Animal {
    /// Id.
    pub id: String,
    /// Name people use.
    pub name: String,
    /// Live mass, kg.
    pub live_mass_kg: f64,
    /// Fresh manure, kg/d; `Some` for every row of the embedded table.
    pub manure_fresh_kg_d: Option<f64>,
    /// Total solids, kg/d.
    pub ts_kg_d: f64,
    /// Volatile solids, kg/d.
    pub vs_kg_d: f64,
    /// Nitrogen, g/d.
    pub n_g_d: f64,
    /// Phosphorus, g/d.
    pub p_g_d: Option<f64>,
    /// Potassium, g/d.
    pub k_g_d: Option<f64>,
    /// Ultimate methane potential, m3 CH4 (0 degC, 101.325 kPa, dry)/kg VS.
    /// The central value is an inventory default, mostly a ceiling: for gas
    /// forecasts take the `bmp` of the feedstock row.
    pub bo: Band,
    /// Published share collected when always housed.
    pub share_confined: Option<f64>,
    /// What is published on part-time housing, in words.
    pub share_part_housed: String,
    /// The feedstock its manure is (`animal_dung.csv`, our judgement).
    pub feedstock_id: String,
    /// Remarks of the table.
    pub notes: String,
    /// Where each figure came from.
    pub origins: Vec<Origin>,
}

/// All animals, gaps filled, in file order.
pub fn animals() -> &'static [Animal] {
    static ANIMALS: OnceLock<Vec<Animal>> = OnceLock::new();
    ANIMALS.get_or_init(|| {
        parse(embedded::ANIMALS, embedded::ANIMAL_DUNG, sources())
            .expect("embedded animals.csv and animal_dung.csv are tested")
    })
}

/// An animal by id.
pub fn animal(id: &str) -> Option<&'static Animal> {
    animals().iter().find(|animal| animal.id == id)
}

/// The animal whose id or name is closest to `text`, if close enough to be meant.
pub fn nearest_animal(text: &str) -> Option<&'static Animal> {
    nearest(animals(), text, |animal| [&animal.id, &animal.name])
}

/// Column, group of source keys.
const COLUMNS: [(&str, &str); 10] = [
    ("live_mass_kg", "mass"),
    ("manure_fresh_kg_d", "manure"),
    ("ts_kg_d", "ts"),
    ("vs_kg_d", "vs"),
    ("n_g_d", "n"),
    ("p_g_d", "p"),
    ("k_g_d", "k"),
    ("bo_m3ch4_per_kg_vs", "bo"),
    ("bo_low", "bo"),
    ("bo_high", "bo"),
];

pub(super) fn parse(text: &str, dung: &str, sources: &[Source]) -> Result<Vec<Animal>, Vec<Fault>> {
    let dung = super::dung::parse(dung)?;
    let mut columns: Vec<&str> = COLUMNS.iter().map(|(column, _)| *column).collect();
    columns.extend(["id", "name", "share_confined", "source_keys", "notes"]);
    let sheet = Sheet::read("animals", text, &columns)?;
    let twice = sheet.twice("id");
    if !twice.is_empty() {
        return Err(twice);
    }
    sorted_out(sheet.rows("id").map(|row| {
        let id = row.filled("id")?;
        let keys = key_groups(row.text("source_keys"));
        let mut origins = Vec::new();
        for (column, group) in COLUMNS {
            let Some(figure) = row.maybe(column)? else {
                continue;
            };
            if figure < 0.0 {
                return Err(row.fault(FaultKind::Impossible(column.to_owned())));
            }
            let keys = keys.get(group).filter(|keys| !keys.is_empty());
            let Some(keys) = keys else {
                return Err(row.fault(FaultKind::NoSourceKey(column.to_owned())));
            };
            let how = sources::find(sources, &keys[0]).map_or(How::Memory, |s| s.standing.into());
            origins.push(Origin {
                field: column.to_owned(),
                keys: keys.clone(),
                how,
            });
        }
        row.ordered("bo_low", "bo_m3ch4_per_kg_vs", "bo_high")?;

        let missing = |column: &str| row.fault(FaultKind::Unfilled(column.to_owned()));
        let dung = dung
            .iter()
            .find(|dung| dung.animal_id == id)
            .ok_or_else(|| row.fault(FaultKind::NoSuchRow(format!("{id} (animal_dung)"))))?;
        let material = feedstock(&dung.feedstock_id)
            .ok_or_else(|| row.fault(FaultKind::NoSuchRow(dung.feedstock_id.clone())))?;
        let live_mass_kg = row.number("live_mass_kg")?;
        let vs_kg_d = row.number("vs_kg_d")?;
        let mut derived = |column: &str, key: &str| {
            origins.push(Origin {
                field: column.to_owned(),
                keys: vec![key.to_owned()],
                how: How::Derived,
            });
        };
        // A like animal stands in by live mass.
        let like = match &dung.like {
            Some(like) => Some(
                sheet
                    .rows("id")
                    .find(|other| other.text("id") == like)
                    .ok_or_else(|| row.fault(FaultKind::NoSuchRow(like.clone())))?,
            ),
            None => None,
        };
        let by_mass = |column: &str| -> Result<Option<f64>, Fault> {
            let Some(other) = like else { return Ok(None) };
            let factor = live_mass_kg / other.number("live_mass_kg")?;
            Ok(other.maybe(column)?.map(|figure| figure * factor))
        };
        let manure_fresh_kg_d = match row.maybe("manure_fresh_kg_d")? {
            Some(mass) => mass,
            None => {
                derived("manure_fresh_kg_d", "LIKE-ROW");
                by_mass("manure_fresh_kg_d")?.ok_or_else(|| missing("manure_fresh_kg_d"))?
            }
        };
        let ts_kg_d = row.maybe("ts_kg_d")?.unwrap_or_else(|| {
            derived("ts_kg_d", "DERIVED");
            vs_kg_d / material.volatile_of_ts
        });
        // Nutrients by the like animal or the dung row where none are published.
        let mut by_material = |column: &str, share: Option<f64>| -> Result<Option<f64>, Fault> {
            let own = row.maybe(column)?;
            let stand_in = by_mass(column)?.or(share.map(|share| ts_kg_d * share * 1000.0));
            if own.is_none() && stand_in.is_some() {
                derived(column, "LIKE-ROW");
            }
            Ok(own.or(stand_in))
        };
        let n_g_d = by_material("n_g_d", Some(material.nitrogen_of_ts))?;
        let p_g_d = by_material("p_g_d", material.phosphorus_of_ts)?;
        let k_g_d = by_material("k_g_d", material.potassium_of_ts)?;
        let bo = row.number("bo_m3ch4_per_kg_vs")?;
        let bo_low = match row.maybe("bo_low")? {
            Some(low) => low,
            None => {
                derived("bo_low", "LIKE-ROW");
                material.bmp.low.min(bo)
            }
        };
        Ok(Animal {
            name: row.filled("name")?,
            live_mass_kg,
            manure_fresh_kg_d: Some(manure_fresh_kg_d),
            ts_kg_d,
            vs_kg_d,
            n_g_d: n_g_d.ok_or_else(|| missing("n_g_d"))?,
            p_g_d,
            k_g_d,
            bo: Band {
                low: bo_low,
                mid: bo,
                high: row.maybe("bo_high")?.unwrap_or(bo),
            },
            share_confined: row.maybe("share_confined")?,
            share_part_housed: row.text("share_part_housed").to_owned(),
            feedstock_id: dung.feedstock_id.clone(),
            notes: row.text("notes").to_owned(),
            id,
            origins,
        })
    }))
}
