//! A forecast as text: words, months, findings.

use fenlamp_model::band::Quantiles;
use fenlamp_model::forecast::bands::MonthBand;
use fenlamp_model::plan::UnitSystem;
use fenlamp_model::say;
use fenlamp_quantity::Units;
use fenlamp_report::hazard::{Finding, Severity};
use fenlamp_report::words::Topic;

use crate::answer::Answer;
use crate::page::{Side, table, wrap};
use crate::view_model::{change_text, store_text};

/// The forecast of a plan.
pub fn write(answer: &Answer) -> String {
    let stamp = &answer.stamp;
    let mut out = format!("{}\n\n", stamp.plan_name);
    out += &words(answer);
    out += &change_text::write(answer);
    out += &months(answer);
    out += &store_text::write(answer);
    out += &findings(answer);
    out += &wrap(
        &format!(
            "Made by fenlamp {} from {}, seed {}, {} worlds.",
            stamp.program_version, stamp.plan_file, stamp.seed, stamp.worlds
        ),
        "",
        "",
    );
    out
}

fn words(answer: &Answer) -> String {
    let mut out = String::new();
    let mut topic: Option<Topic> = None;
    let mut paragraph = String::new();
    for said in &answer.words {
        // The gas and what would change it belong together; the rest stands by itself.
        let joins = match topic {
            Some(before) => before == said.topic || said.topic == Topic::Change,
            None => true,
        };
        if !joins {
            out += &wrap(&paragraph, "", "");
            out.push('\n');
            paragraph.clear();
        }
        if !paragraph.is_empty() {
            paragraph.push(' ');
        }
        paragraph += &said.words;
        topic = Some(if said.topic == Topic::Change {
            topic.unwrap_or(Topic::Change)
        } else {
            said.topic
        });
    }
    out += &wrap(&paragraph, "", "");
    out.push('\n');
    out
}

fn months(answer: &Answer) -> String {
    let us = answer.stamp.units_of_words == UnitSystem::Us;
    let units = if us { Units::Us } else { Units::Metric };
    let (gas, slurry) = if us {
        ("gas cu ft", "slurry °F")
    } else {
        ("gas L", "slurry °C")
    };
    let mut head = vec!["month", slurry, gas, "middle", "CH4 %"];
    // A bench batch boils no kettle.
    let bench = answer.bench;
    if !bench {
        head.extend(["kettles", "heat kWh"]);
    }
    let mut sides = vec![Side::Right; head.len()];
    sides[0] = Side::Left;
    let months = &answer.months;
    let rows: Vec<Vec<String>> = months
        .iter()
        .map(|m| {
            let mut row = month_row(m, units);
            row.truncate(head.len());
            row
        })
        .collect();
    let mut note = "Gas, kettles and heat are those of one day. Gas as a bag shows it, wet. One \
                    world in ten lies below each band, one above."
        .to_owned();
    if months.iter().any(is_part) {
        note += " * only some days of this month";
    }
    format!("{}{}\n", table(&head, &sides, &rows), wrap(&note, "", ""))
}

/// Whether a month lies only partly inside the forecast.
fn is_part(m: &MonthBand) -> bool {
    let first = jiff::civil::Date::new(m.year, m.month, 1);
    first.is_ok_and(|d| m.days < d.days_in_month().unsigned_abs().into())
}

fn month_row(m: &MonthBand, units: Units) -> Vec<String> {
    let gas = |q: Quantiles| match units {
        Units::Metric => q,
        Units::Us => q.map(|v| v / say::L_PER_CU_FT),
    };
    let slurry = |q: Quantiles| match units {
        Units::Metric => q,
        Units::Us => q.map(|v| 1.8 * v + 32.0),
    };
    let (g, t) = (gas(m.gas_wet_l_per_day), slurry(m.slurry_temperature_c));
    let short: String = say::month(m.month).chars().take(3).collect();
    let star = if is_part(m) { "*" } else { "" };
    let whole = |q: Quantiles| band_text(&format!("{:.0}", q.p10), &format!("{:.0}", q.p90));
    vec![
        format!("{short} {}{star}", m.year),
        whole(t),
        number_band(g),
        number(g.p50),
        if g.p90 > 0.0 {
            format!("{:.0}", 100.0 * m.methane_share.p50)
        } else {
            "-".to_owned()
        },
        number_band(m.uses_per_day.kettles),
        number_band(m.uses_per_day.heat_kwh),
    ]
}

fn number_band(q: Quantiles) -> String {
    say::number_band(q.p10, q.p90)
}

fn band_text(low: &str, high: &str) -> String {
    let zero = |t: &str| {
        if t == "-0" {
            "0".to_owned()
        } else {
            t.to_owned()
        }
    };
    let (low, high) = (zero(low), zero(high));
    if low == high {
        low
    } else {
        format!("{low} to {high}")
    }
}

fn number(v: f64) -> String {
    say::number_band(v, v)
}

/// Marks of the severities: shape and word, never colour alone.
fn mark(severity: Severity) -> &'static str {
    match severity {
        Severity::Stop => "STOP ",
        Severity::Care => "CARE ",
        Severity::Note => "note ",
    }
}

fn findings(answer: &Answer) -> String {
    let mut out = String::new();
    let part = |title: &str, always: bool| {
        let chosen: Vec<&Finding> = answer
            .findings
            .iter()
            .filter(|f| f.always == always)
            .collect();
        if chosen.is_empty() {
            return String::new();
        }
        let mut out = format!("{title}\n");
        for f in chosen {
            let keys: Vec<&str> = f.sources.iter().map(|s| s.key.as_str()).collect();
            let from = if keys.is_empty() {
                String::new()
            } else {
                format!(" [{}]", keys.join(", "))
            };
            out += &wrap(&format!("{}{from}", f.words), mark(f.severity), "     ");
        }
        out.push('\n');
        out
    };
    out += &part("What stands out, gravest first", false);
    out += &part("Always", true);
    let key = answer
        .findings
        .iter()
        .flat_map(|f| &f.sources)
        .map(|s| s.key.as_str())
        .next();
    if let Some(key) = key {
        out += &format!("What a key in brackets stands for:  fenlamp sources {key}\n");
    }
    out
}
