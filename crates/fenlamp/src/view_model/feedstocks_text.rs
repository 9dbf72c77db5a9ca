//! Feedstocks as text: the list, and every figure of one with its origin.

use fenlamp_model::band::Band;
use fenlamp_model::feed::{Feedstock, How};
use fenlamp_model::reference;
use fenlamp_model::reference::feedstock_row;
use fenlamp_quantity::format_number;

use super::sources_text;
use crate::page::{Side, table, wrap};

/// A table of feedstocks.
pub fn list(feedstocks: &[&Feedstock]) -> String {
    let head = ["id", "solids %", "CH4 L/kg VS", "C:N", "what it is"];
    let sides = [
        Side::Left,
        Side::Right,
        Side::Right,
        Side::Right,
        Side::Left,
    ];
    let rows: Vec<Vec<String>> = feedstocks
        .iter()
        .map(|f| {
            vec![
                f.id.clone(),
                format_number(100.0 * f.total_solids.mid, 2),
                format_number(1000.0 * f.bmp.mid, 3),
                f.c_to_n
                    .map_or_else(|| "-".to_owned(), |c| format_number(c, 2)),
                f.name.clone(),
            ]
        })
        .collect();
    let hint = match feedstocks {
        [one] => format!(
            "Every figure and its source:  fenlamp feedstocks {}\n",
            one.id
        ),
        _ => "Every figure of one and its source:  fenlamp feedstocks ID\n".to_owned(),
    };
    format!("{}\n{hint}", table(&head, &sides, &rows))
}

/// A figure of a feedstock: field, words, unit, value.
pub type Figure = (&'static str, &'static str, &'static str, Option<Band>);

/// Every figure in the units people use.
pub fn figures(f: &Feedstock) -> Vec<Figure> {
    let share = |v: f64| Some(Band::exact(100.0 * v));
    let maybe = |v: Option<f64>| v.map(|v| Band::exact(100.0 * v));
    vec![
        (
            "total_solids",
            "total solids",
            "% of fresh",
            Some(f.total_solids.scaled(100.0)),
        ),
        (
            "volatile_of_ts",
            "volatile solids",
            "% of TS",
            share(f.volatile_of_ts),
        ),
        (
            "bmp",
            "methane potential",
            "L/kg VS",
            Some(f.bmp.scaled(1000.0)),
        ),
        (
            "hydrolysis_per_d",
            "hydrolysis at 35 °C",
            "per day",
            Some(f.hydrolysis_per_d),
        ),
        (
            "carbohydrate_of_ts",
            "carbohydrate",
            "% of TS",
            share(f.carbohydrate_of_ts),
        ),
        (
            "protein_of_ts",
            "protein",
            "% of TS",
            share(f.protein_of_ts),
        ),
        ("fat_of_ts", "fat", "% of TS", share(f.fat_of_ts)),
        ("lignin_of_ts", "lignin", "% of TS", share(f.lignin_of_ts)),
        (
            "soluble_share",
            "soluble at once",
            "% of degradable",
            share(f.soluble_share),
        ),
        (
            "nitrogen_of_ts",
            "nitrogen",
            "% of TS",
            share(f.nitrogen_of_ts),
        ),
        (
            "ammonium_share",
            "of it ammonium",
            "% of N",
            share(f.ammonium_share),
        ),
        ("c_to_n", "C:N", "kg/kg", f.c_to_n.map(Band::exact)),
        (
            "phosphorus_of_ts",
            "phosphorus",
            "% of TS",
            maybe(f.phosphorus_of_ts),
        ),
        (
            "potassium_of_ts",
            "potassium",
            "% of TS",
            maybe(f.potassium_of_ts),
        ),
        ("sulfur_of_ts", "sulfur", "% of TS", share(f.sulfur_of_ts)),
        ("iron_of_ts", "iron", "% of TS", share(f.iron_of_ts)),
        (
            "acids_of_ts",
            "acids as acetic",
            "% of TS",
            share(f.acids_of_ts),
        ),
        (
            "fresh_ph",
            "pH when fresh",
            "",
            Some(Band::exact(f.fresh_ph)),
        ),
        (
            "mineral_alkalinity_eq_kg",
            "mineral alkalinity",
            "eq/kg TS",
            Some(Band::exact(f.mineral_alkalinity_eq_kg)),
        ),
        (
            "own_methanogens",
            "own methane makers",
            "g COD/kg TS",
            Some(f.own_methanogens.scaled(1000.0)),
        ),
        (
            "bulk_density_kg_m3",
            "bulk density",
            "kg/m3",
            Some(Band::exact(f.bulk_density_kg_m3)),
        ),
    ]
}

/// Every figure of one feedstock, then its remarks and sources in full.
pub fn one(f: &Feedstock) -> String {
    let mut keys: Vec<&str> = Vec::new();
    let mut rows = Vec::new();
    for (field, name, unit, band) in figures(f) {
        let Some(band) = band else {
            continue;
        };
        let origin = f.origins.iter().find(|o| o.field == field);
        let of = origin.map(|o| o.keys.as_slice()).unwrap_or_default();
        keys.extend(of.iter().map(String::as_str));
        let value = format!("{} {unit}", number(band.mid));
        let spread = if band.low == band.high {
            String::new()
        } else {
            format!("{} to {}", number(band.low), number(band.high))
        };
        rows.push(vec![
            name.to_owned(),
            value.trim_end().to_owned(),
            spread,
            origin.map_or("", |o| how(o.how)).to_owned(),
            of.join(" "),
        ]);
    }
    let mut out = wrap(
        &format!("{}: {} ({})", f.id, f.name, f.group.word()),
        "",
        "  ",
    );
    out.push('\n');
    let head = ["figure", "value", "band", "got", "keys"];
    out += &table(&head, &[Side::Left; 5], &rows);
    if let Some(row) = feedstock_row(&f.id).filter(|r| !r.notes.is_empty()) {
        out.push('\n');
        out += &wrap(&row.notes, "", "");
    }
    keys.sort_unstable();
    keys.dedup();
    out.push('\n');
    for source in keys.iter().filter_map(|key| reference::source(key)) {
        out += &sources_text::entry(source);
    }
    out
}

fn number(v: f64) -> String {
    format_number(v, 3)
}

/// How a figure was got, in a word.
pub fn how(how: How) -> &'static str {
    match how {
        How::Read => "read",
        How::Memory => "memory",
        How::Derived => "derived",
        How::Judgement => "judged",
        How::Own => "yours",
        How::Measured => "measured",
    }
}
