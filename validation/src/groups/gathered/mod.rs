//! Published figures that steered nothing: `validation/figures/gathered.csv`.

mod digestion;
mod warmth;

use std::collections::BTreeMap;

use fenlamp_core::forecast::ensemble::Quantiles;

use super::Group;
use crate::{Check, Published};

/// The group.
pub fn group() -> Group {
    Group {
        title: "Figures gathered and never used",
        about: "Published figures whose conditions a run can take, by part of the job \
                (`validation/figures/gathered.csv`): gathered after the constants were fitted, they \
                steered nothing. Of bands that are right eight in ten hold; a figure outside says so.",
        checks: checks(),
    }
}

/// Checks of the group.
pub fn checks() -> Vec<Check> {
    let mut out = digestion::checks();
    out.extend(warmth::checks());
    out
}

/// Figures outside our band, the span of our middle for which that is so, and what we
/// make of it.
const OUTSIDE: &[(&str, (f64, f64), &str)] = &[];

type Row = BTreeMap<String, String>;

fn rows() -> Vec<Row> {
    let text = include_str!("../../../figures/gathered.csv");
    csv::Reader::from_reader(text.as_bytes())
        .deserialize()
        .collect::<Result<_, _>>()
        .expect("gathered.csv is embedded")
}

/// The row `id` against our band, made from `inputs` where the source leaves them open.
///
/// # Panics
/// If there is no such row: ids are written in the code only.
fn gathered(id: &str, ours: Quantiles, inputs: &str) -> Check {
    let row = rows()
        .into_iter()
        .find(|row| row["id"] == id)
        .unwrap_or_else(|| panic!("gathered.csv has no {id}"));
    let number = |column: &str| row[column].parse::<f64>().ok();
    let published = match (number("value"), number("low"), number("high")) {
        (Some(value), _, _) => Published::Value(value),
        (None, low, high) => Published::Range(
            low.unwrap_or(f64::NEG_INFINITY),
            high.unwrap_or(f64::INFINITY),
        ),
    };
    let check = Check::banded(id, &row["what"], published, ours, &row["unit"])
        .inputs(inputs)
        .part(&row["group"])
        .source(format!("{} ({})", row["source_key"], row["how"]));
    match OUTSIDE.iter().find(|(of, ..)| *of == id) {
        Some((_, span, why)) => check.explained(*span, *why),
        None => check,
    }
}
