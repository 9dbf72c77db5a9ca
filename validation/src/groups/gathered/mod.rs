//! Published figures that steered nothing: `validation/figures/gathered.csv`.

mod digestion;
mod warmth;

use std::collections::BTreeMap;

use fenlamp_model::band::Quantiles;

use super::Group;
use crate::{Check, Published};

/// The group.
pub fn group() -> Group {
    Group {
        title: "Figures gathered and never used",
        about: "Published figures whose conditions a run can take, by part of the job \
                (`validation/figures/gathered.csv`): gathered after the constants were fitted, they \
                steered nothing but where a row says so. Of bands that are right eight in ten hold; a figure outside says so.",
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
const OUTSIDE: &[(&str, (f64, f64), &str)] = &[
    (
        "start-dalby-10-29",
        (0.2, 4.0),
        "what ferments in the first days gives hydrogen, which ours turn to methane at 10 degC and the vessels did not",
    ),
    ("start-dalby-10-57", (0.5, 8.0), "as on day 29"),
    (
        "st-castano-min",
        (2.0, 5.3),
        "over 20 degC into the middle of November, as no air or ground there: it was kept warm in \
         a way that the abstract does not tell",
    ),
    (
        "cold-king-18",
        (0.2, 0.5),
        "a culture grown at 12 degC has too many of the cold guild in ours",
    ),
    (
        "ammonia-hansen-45",
        (150.0, 240.0),
        "at 45 degC the measured culture lost a quarter of its gas, ours bears the ammonia better",
    ),
    (
        "ammonia-hans99-acids",
        (2.0, 11.5),
        "its acids stood higher at the same methane: propionate, which ours uses up",
    ),
    (
        "st-VA-feb",
        (2.0, 3.5),
        "under its ice the whole depth stood at 1 degC; ours has one in ten worlds so cold",
    ),
    (
        "warm-arikan-28",
        (0.75, 0.87),
        "a breakdown that minds the cold a little too much between 28 and 35 degC",
    ),
    (
        "warm-rico-10",
        (0.6, 1.47),
        "the published feed was screened liquid, which breaks down faster and further",
    ),
    (
        "warm-pei-share",
        (54.0, 65.0),
        "low by some points; carbonate and make-up of droppings are drawn, and fall short of it",
    ),
    (
        "warm-roubik",
        (60.0, 64.0),
        "a fraction of a point low; the analyses behind the carbon of feeds are of plants and food, hardly of dung",
    ),
    (
        "warm-pei-rate",
        (0.4, 1.0),
        "the published load is higher than 25 d of stay make it with our droppings",
    ),
    (
        "heap-sampson-first",
        (105.0, 250.0),
        "a frozen heap of spruce wakes too late in ours",
    ),
    (
        "heap-sampson-max2",
        (10.0, 41.0),
        "ours has burnt what burns easily in its first summer",
    ),
    (
        "st-nekhubvi-min",
        (17.0, 22.0),
        "colder by 6 K than the coldest month's air there, and up to 35 degC for hours in summer: a \
         sensor that swings so lay in no mixed 6 m3 of slurry",
    ),
    (
        "st-nekhubvi-max",
        (25.0, 28.0),
        "how bare the top lies in the sun is not told; and as its lowest",
    ),
    ("st-castano-max", (22.0, 26.0), "as its lowest"),
    (
        "st-A-aug",
        (17.0, 20.0),
        "it lay in layers, 18 degC at 0.5 m and 14 near the bottom, ours is mixed",
    ),
    (
        "st-B-feb",
        (3.0, 5.0),
        "it followed the air more closely than ours, which ground and barn keep warm",
    ),
    (
        "st-F-aug",
        (19.0, 23.0),
        "warmer than the air, ours is held back by the ground about it",
    ),
    ("st-F-feb", (2.5, 5.0), "as store B in February"),
    (
        "st-H-may",
        (10.0, 13.5),
        "what flowed in must have been warmer than a barn's slurry: see November",
    ),
    (
        "st-H-nov",
        (5.0, 9.0),
        "what flowed in must have been warmer than a barn's slurry: 11 degC at 0.15 m through a \
         month of air at 3.7 degC",
    ),
    ("st-H-feb", (1.0, 3.5), "as in November"),
];

/// Rows that steered [`fenlamp_model`]'s still layer on slurry, by how their ids begin.
const STEERED: [&str; 3] = ["st-A-", "st-B-", "st-D-"];

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
    let steered = STEERED.iter().any(|begins| id.starts_with(begins));
    let check = if steered {
        check.fitted("the still layer on slurry (`STILL_LAYER_M`)")
    } else {
        check
    };
    match OUTSIDE.iter().find(|(of, ..)| *of == id) {
        Some((_, span, why)) => check.explained(*span, *why),
        None => check,
    }
}
