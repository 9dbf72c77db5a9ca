//! `fenlamp today`: what to do, and what may be wrong.

use std::path::{Path, PathBuf};

use clap::Args;
use fenlamp_core::forecast::runs::Control;
use fenlamp_core::learn::Settings;
use fenlamp_core::learn::causes::{Speaks, Weighed};
use fenlamp_core::learn::inquiry::name;
use fenlamp_core::learn::record::{Record, What};
use fenlamp_core::learn::today::{Today, today};
use fenlamp_core::learn::upset::Cause;
use fenlamp_core::plan::UnitSystem;
use fenlamp_quantity::{
    Quantity, ThermodynamicTemperature, Volume, format_number, print, print_gas,
};
use jiff::civil::Date;
use serde::Serialize;

use super::diary;
use crate::failure::Failure;
use crate::learning::{record_of, world};
use crate::page::wrap;
use crate::plan_file::{Opened, open};
use crate::progress::while_watched;

/// Name and version of the JSON form.
const FORMAT: &str = "fenlamp-today-1";
/// Worlds: fewer than for learning, so that the answer comes soon.
const WORLDS: usize = 64;
/// A cause with less than this share is not told of.
const TOLD: f64 = 0.03;

/// Arguments of `today`.
#[derive(Debug, Args)]
pub struct TodayArgs {
    /// The plan; its diary lies beside it
    pub plan: PathBuf,
    /// As if this day were today
    #[arg(long, value_name = "DAY", value_parser = diary::day)]
    pub today: Option<Date>,
    /// Everything as JSON
    #[arg(long)]
    pub json: bool,
}

#[derive(Serialize)]
struct Form<'a> {
    format: &'static str,
    plan_name: &'a str,
    #[serde(flatten)]
    today: &'a Today,
}

/// What to do today.
///
/// # Errors
/// As `learn`.
pub fn run(args: &TodayArgs) -> Result<String, Failure> {
    let opened = open(&args.plan)?;
    let path = diary::file_of(&args.plan)?;
    let date = args.today.unwrap_or_else(diary::today);
    let (record, answer) = while_watched("Looking at the diary", |control| {
        look(&opened, &path, date, control)
    })?;
    if args.json {
        let form = Form {
            format: FORMAT,
            plan_name: &opened.plan.name,
            today: &answer,
        };
        return serde_json::to_string_pretty(&form)
            .map(|t| t + "\n")
            .map_err(|e| Failure::Internal(format!("today could not be written: {e}")));
    }
    Ok(text(&record, &answer))
}

/// The record of a diary and what it says of `date`.
///
/// # Errors
/// No diary, nothing in it to learn from, a world that could not be run.
pub fn look(
    opened: &Opened,
    diary: &Path,
    date: Date,
    control: &Control,
) -> Result<(Record, Today), Failure> {
    let record = record_of(opened, diary, date)?;
    let settings = Settings {
        worlds: WORLDS,
        seed: opened.plan.seed,
        ..Settings::default()
    };
    let answer = today(&record, &settings, control).map_err(|e| world(opened, e))?;
    Ok((record, answer))
}

/// What is told of a cause: its share of a hundred, its name, what speaks for it.
/// Causes that hardly count are left out.
pub fn causes(record: &Record, answer: &Today) -> Vec<(String, String, String)> {
    answer
        .causes
        .iter()
        .filter(|w| w.share >= TOLD)
        .map(|w| {
            (
                format!("{:.0}", 100.0 * w.share),
                name(w.cause).to_owned(),
                evidence(record, w),
            )
        })
        .collect()
}

fn text(record: &Record, answer: &Today) -> String {
    let mut out = format!("{}, {}\n\n", record.plan.name, answer.date);
    out.push_str(&wrap(&answer.words, "", ""));
    if !answer.tasks.is_empty() {
        out.push_str("\nTo do\n");
        for task in &answer.tasks {
            let key = task
                .source_key
                .as_ref()
                .map(|k| format!(" [{k}]"))
                .unwrap_or_default();
            out.push_str(&wrap(&format!("{}{key}", task.words), "  * ", "    "));
        }
    }
    out.push_str("\nWhat it may be, of 100\n");
    for (share, name, why) in causes(record, answer) {
        let mut line = format!("{share}: {name}");
        if !why.is_empty() {
            line.push_str(&format!(". {why}"));
        }
        out.push_str(&wrap(&line, "  * ", "    "));
    }
    if let Some(test) = &answer.next_test {
        out.push('\n');
        out.push_str(&wrap(
            &format!(
                "To tell \"{}\" from \"{}\" ({:.0} min): {}. {}.",
                name(test.between[0]),
                name(test.between[1]),
                test.minutes,
                test.words,
                upper(&test.shows)
            ),
            "",
            "",
        ));
    }
    out
}

/// A sentence's beginning; "pH" stays as it is.
fn upper(text: &str) -> String {
    if text.starts_with("pH") {
        return text.to_owned();
    }
    let mut chars = text.chars();
    chars
        .next()
        .map(|c| c.to_uppercase().chain(chars).collect())
        .unwrap_or_default()
}

/// Odds that speak, natural logarithm: three to one.
const SPEAKS: f64 = 1.1;

/// The readings that speak most for and against a cause.
fn evidence(record: &Record, w: &Weighed) -> String {
    if w.cause == Cause::Nothing {
        return String::new();
    }
    let mut all: Vec<&Speaks> = w
        .evidence
        .iter()
        .filter(|s| s.ln_odds.abs() >= SPEAKS)
        .collect();
    all.sort_by(|a, b| b.ln_odds.abs().total_cmp(&a.ln_odds.abs()));
    all.iter()
        .take(3)
        .map(|s| {
            format!(
                "{} {}: {} read, {} if so, {} if nothing were wrong.",
                if s.ln_odds > 0.0 {
                    "For it"
                } else {
                    "Against it"
                },
                of(s.what),
                figure(record, s.what, s.seen),
                figure(record, s.what, s.foretold),
                figure(record, s.what, s.usual),
            )
        })
        .collect::<Vec<_>>()
        .join(" ")
}

fn of(what: What) -> &'static str {
    match what {
        What::GasByRise | What::GasByMeter | What::GasByBurning => "gas a day",
        What::Slurry => "the slurry",
        What::Ph => "pH",
        What::Acids => "acids",
        What::Methane => "methane by the flame",
    }
}

fn figure(record: &Record, what: What, v: f64) -> String {
    let units = record.plan.units;
    match what {
        What::GasByRise | What::GasByMeter | What::GasByBurning => {
            print_gas(Volume::from_si(v / 1000.0), units.into())
        }
        What::Slurry => print(
            ThermodynamicTemperature::from_si(v + 273.15),
            UnitSystem::into(units),
        ),
        What::Ph => format!("{v:.1}"),
        What::Acids => format!("{} mg/L", format_number(v, 2)),
        What::Methane => format!("{:.0} %", 100.0 * v),
    }
}
