//! What may be wrong by the diary, and what speaks for it.

use std::path::Path;

use fenlamp_model::forecast::runs::Control;
use fenlamp_model::plan::UnitSystem;
use fenlamp_quantity::{
    Quantity, ThermodynamicTemperature, Volume, format_number, print, print_gas,
};
use fenlamp_report::learn::Settings;
use fenlamp_report::learn::causes::{Speaks, Weighed};
use fenlamp_report::learn::inquiry::name;
use fenlamp_report::learn::record::{Record, What};
use fenlamp_report::learn::today::{Today, today};
use fenlamp_report::learn::upset::Cause;
use jiff::civil::Date;

use crate::failure::Failure;
use crate::learning::{record_of, world};
use crate::plan_file::Opened;

/// Worlds: fewer than for learning, so that the answer comes soon.
const WORLDS: usize = 64;
/// A cause with less than this share is not told of.
const TOLD: f64 = 0.03;

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
