//! `fenlamp learn`: what the diary teaches.

use std::path::PathBuf;

use clap::Args;
use fenlamp_quantity::{Quantity, Volume, print_gas_band};
use fenlamp_report::learn::{DayAhead, Foresight, Learned, LearnedInput, Settings};
use jiff::civil::Date;
use serde::Serialize;

use super::diary;
use crate::failure::Failure;
use crate::learning::{learn_from, record_of};
use crate::page::{Side, table, wrap};
use crate::plan_file::{Opened, open};
use crate::progress::while_watched;

/// Name and version of the JSON form.
const FORMAT: &str = "fenlamp-learned-1";

/// Arguments of `learn`.
#[derive(Debug, Args)]
pub struct LearnArgs {
    /// The plan; its diary lies beside it
    pub plan: PathBuf,
    /// As if this day were today
    #[arg(long, value_name = "DAY", value_parser = crate::view_model::days::day)]
    pub today: Option<Date>,
    /// Everything as JSON
    #[arg(long)]
    pub json: bool,
}

#[derive(Serialize)]
struct Form<'a> {
    format: &'static str,
    plan_name: &'a str,
    today: String,
    words: &'a [String],
    inputs: &'a [LearnedInput],
    foresight: Option<&'a Foresight>,
    skill: Option<f64>,
    days: &'a [DayAhead],
    readings_used: usize,
    readings_not_believed: usize,
    entries_not_used: &'a [String],
}

/// What the diary teaches.
///
/// # Errors
/// The plan's faults, no diary, or nothing in it to learn from.
pub fn run(args: &LearnArgs) -> Result<String, Failure> {
    let opened = open(&args.plan)?;
    let path = diary::file_of(&args.plan)?;
    let today = args.today.unwrap_or_else(crate::view_model::days::today);
    let record = record_of(&opened, &path, today)?;
    let settings = Settings {
        seed: opened.plan.seed,
        ..Settings::default()
    };
    let learned = while_watched("Learning from the diary", |control| {
        learn_from(&opened, &record, &settings, control)
    })?;
    if args.json {
        return json(&opened, today, &record.unused, &learned);
    }
    Ok(text(today, &record.unused, &learned))
}

fn json(
    opened: &Opened,
    today: Date,
    unused: &[String],
    learned: &Learned,
) -> Result<String, Failure> {
    let form = Form {
        format: FORMAT,
        plan_name: &opened.plan.name,
        today: today.to_string(),
        words: &learned.words,
        inputs: &learned.inputs,
        foresight: learned.foresight.as_ref(),
        skill: learned.foresight.as_ref().and_then(Foresight::skill),
        days: &learned.days,
        readings_used: learned.used,
        readings_not_believed: learned.doubts.len(),
        entries_not_used: unused,
    };
    serde_json::to_string_pretty(&form)
        .map(|text| text + "\n")
        .map_err(|e| Failure::Internal(format!("what was learned could not be written: {e}")))
}

/// Weeks shown of the days ahead.
const WEEKS: usize = 8;

fn text(today: Date, unused: &[String], learned: &Learned) -> String {
    let mut out = format!("{}, {today}\n\n", learned.plan.name);
    for sentence in &learned.words {
        out.push_str(&wrap(sentence, "", ""));
    }
    let units = learned.plan.units.into();
    let band = |low: f64, high: f64| {
        print_gas_band(
            Volume::from_si(low / 1000.0),
            Volume::from_si(high / 1000.0),
            units,
        )
    };
    let from = learned.today as usize + 1;
    let rows: Vec<Vec<String>> = learned.days[from..]
        .chunks(7)
        .take(WEEKS)
        .enumerate()
        .map(|(week, days)| {
            let start = from + 7 * week;
            let now = learned.mean_gas_l(start..start + days.len());
            let n = days.len() as f64;
            let low = days.iter().map(|d| d.gas_wet_l_before.p10).sum::<f64>() / n;
            let high = days.iter().map(|d| d.gas_wet_l_before.p90).sum::<f64>() / n;
            vec![
                days[0].date.to_string(),
                band(now.p10, now.p90),
                band(low, high),
            ]
        })
        .collect();
    if !rows.is_empty() {
        out.push('\n');
        out.push_str(&table(
            &["week from", "gas a day", "before the diary"],
            &[Side::Left; 3],
            &rows,
        ));
    }
    out.push_str(&format!("\n{} readings were used", learned.used));
    match learned.doubts.len() {
        0 => out.push_str(".\n"),
        n => {
            let days: Vec<String> = learned
                .doubts
                .iter()
                .take(6)
                .map(|d| learned.days[d.day as usize].date.to_string())
                .collect();
            let text = format!(
                "; {n} {} not believed: {}{}.",
                if n == 1 { "was" } else { "were" },
                days.join(", "),
                if n > 6 { "..." } else { "" }
            );
            out.truncate(out.rfind('\n').map_or(0, |i| i + 1));
            out.push_str(&wrap(
                &format!("{} readings were used{text}", learned.used),
                "",
                "",
            ));
        }
    }
    for line in unused.iter().take(5) {
        out.push_str(&wrap(line, "Not used: ", "  "));
    }
    out.push_str(&wrap(
        "How far each kind of reading is trusted, and why: docs/learning.md.",
        "",
        "",
    ));
    out
}
