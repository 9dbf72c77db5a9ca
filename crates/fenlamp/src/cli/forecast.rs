//! `fenlamp forecast`: the ensemble, shown three ways.

use std::path::Path;

use super::{ForecastArgs, daily_csv, forecast_text};
use crate::answer::{Answer, answer};
use crate::demos::DEMOS;
use crate::failure::Failure;
use crate::plan_file::{Opened, open};
use crate::progress::while_waiting;

/// The forecast of a plan.
///
/// # Errors
/// The plan's faults, or a world that could not be run.
pub fn run(args: &ForecastArgs) -> Result<String, Failure> {
    let mut opened = open(&args.plan)?;
    if let Some(worlds) = args.worlds {
        opened.plan.worlds = worlds;
    }
    if let Some(seed) = args.seed {
        opened.plan.seed = seed;
    }
    let answer = wait_for(&opened)?;
    if args.json {
        json(&answer)
    } else if args.csv {
        daily_csv::write(&answer)
    } else {
        Ok(forecast_text::write(&answer))
    }
}

/// What is shown when nothing is asked for.
///
/// # Errors
/// As [`run`]; the demos themselves are tested.
pub fn first_demo() -> Result<String, Failure> {
    let demo = &DEMOS[0];
    let opened = open(Path::new(&format!("demo:{}", demo.name)))?;
    let answer = wait_for(&opened)?;
    Ok(forecast_text::write_demo(&answer, demo.name))
}

fn wait_for(opened: &Opened) -> Result<Answer, Failure> {
    let plan = &opened.plan;
    let what = format!("Running {} worlds of {} days", plan.worlds, plan.days);
    while_waiting(&what, || answer(opened))
}

fn json(answer: &Answer) -> Result<String, Failure> {
    let mut text = serde_json::to_string_pretty(answer)
        .map_err(|e| Failure::Internal(format!("the forecast could not be written: {e}")))?;
    text.push('\n');
    Ok(text)
}
