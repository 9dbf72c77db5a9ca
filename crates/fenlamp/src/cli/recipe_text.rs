//! A recipe for a person.

use fenlamp_model::say;
use fenlamp_quantity::Units;
use fenlamp_report::advice::{Period, Recipe, RecipeMonth};

use crate::page::{Side, table, wrap};
use crate::plan_file::Opened;

/// The whole page; `taken` says where the plan was written.
pub fn write(opened: &Opened, recipe: &Recipe, taken: Option<&str>) -> String {
    let units: Units = opened.plan.units.into();
    let mut out = format!("{}\n\n", opened.plan.name);
    out += &wrap(&format!("Wished for: {}.", recipe.wish.words()), "", "");
    out.push('\n');
    // The list at the end says more of what to keep out.
    let words = recipe.words.iter().filter(|s| s.about != "keep_out");
    for (i, said) in words.enumerate() {
        if i == 1 {
            out += &months(recipe, units);
        }
        out += &wrap(&said.words, "", "");
        out.push('\n');
    }
    out += "What not to feed\n";
    for row in &recipe.keep_out {
        let text = format!("{}: {} [{}]", row.thing, row.words, row.source_key);
        out += &wrap(&text, "  ", "    ");
    }
    out += &wrap(
        "[PRACTICE] is common practice without a source; the others: fenlamp sources KEY.",
        "  ",
        "  ",
    );
    out.push('\n');
    if let Some(path) = taken {
        out += &wrap(
            &format!(
                "The plan with this recipe in it is written to {path}. See it: fenlamp forecast {path}"
            ),
            "",
            "",
        );
    }
    out.truncate(out.trim_end().len());
    out.push('\n');
    out
}

fn months(recipe: &Recipe, units: Units) -> String {
    let fed: Vec<&RecipeMonth> = recipe
        .months
        .iter()
        .filter(|m| !m.doses.is_empty())
        .collect();
    if fed.is_empty() {
        return String::new();
    }
    let per = recipe.measure.per;
    let head = match per {
        Period::Day => "feed a day",
        Period::Week => "feed a week",
    };
    let (gas, water) = match units {
        Units::Metric => ("gas L/d", "water L"),
        Units::Us => ("gas cu ft/d", "water gal"),
    };
    let rows: Vec<Vec<String>> = fed
        .iter()
        .map(|m| {
            let feed: Vec<String> = m
                .doses
                .iter()
                .map(|d| format!("{} {}", short_words(&d.words), d.name))
                .collect();
            let litres = m.water_l_per_day * per.days();
            let checked = recipe.checked.month(m.month);
            let band = checked.map_or(String::new(), |c| {
                let l = match units {
                    Units::Metric => 1.0,
                    Units::Us => say::L_PER_CU_FT,
                };
                let q = c.gas_wet_l_per_day;
                say::number_band(q.p10 / l, q.p90 / l)
            });
            let start = checked.is_some_and(|c| c.starting);
            vec![
                format!("{}{}", say::month(m.month), if start { "*" } else { "" }),
                say::temperature(
                    checked.map_or(m.slurry_c, |c| c.slurry_temperature_c.p50),
                    units,
                ),
                band,
                match units {
                    Units::Metric => say::number_band(litres, litres),
                    Units::Us => say::number_band(litres / 3.785, litres / 3.785),
                },
                feed.join(", "),
            ]
        })
        .collect();
    let sides = [
        Side::Left,
        Side::Right,
        Side::Right,
        Side::Right,
        Side::Left,
    ];
    let mut out = table(&["month", "slurry", gas, water, head], &sides, &rows);
    let note = "Gas as a bag shows it, in the last year of the forecast: eight worlds in ten lie \
                inside the band.";
    let started = recipe.checked.months.iter().any(|m| m.starting);
    let start = if started {
        " * The start is in it."
    } else {
        ""
    };
    out += &wrap(&format!("{note}{start}"), "", "");
    out.push('\n');
    out
}

/// "1/2" for "half a bucket", "2" for "2 buckets".
fn short_words(words: &str) -> String {
    match words {
        "half a bucket" => "1/2 bucket".to_owned(),
        "a quarter of a bucket" => "1/4 bucket".to_owned(),
        other => other.replace(" of a bucket", " bucket"),
    }
}
