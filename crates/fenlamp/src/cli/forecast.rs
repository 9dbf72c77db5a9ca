//! `fenlamp forecast`: the ensemble, shown three ways.

use fenlamp_model::forecast::convergence::MOST_WORLDS;
use fenlamp_model::forecast::ensemble::Worlds;

use super::{ForecastArgs, HowMany, forecast_text};
use crate::answer::{Answer, answer};
use crate::failure::Failure;
use crate::plan_file::{Opened, open};
use crate::progress::while_watched;
use crate::view_model::daily_csv;

/// The forecast of a plan.
///
/// # Errors
/// The plan's faults, or a world that could not be run.
pub fn run(args: &ForecastArgs) -> Result<String, Failure> {
    let mut opened = open(&args.plan)?;
    let mut worlds = Worlds::OfPlan;
    match args.worlds {
        Some(HowMany::Count(count)) => opened.plan.worlds = count,
        Some(HowMany::Auto) => worlds = Worlds::UntilSteady,
        None => {}
    }
    if let Some(seed) = args.seed {
        opened.plan.seed = seed;
    }
    let answer = wait_for(&opened, worlds)?;
    if args.json {
        json(&answer)
    } else if args.csv {
        daily_csv::write(&answer)
    } else {
        Ok(forecast_text::write(&answer))
    }
}

fn wait_for(opened: &Opened, worlds: Worlds) -> Result<Answer, Failure> {
    let plan = &opened.plan;
    let count = match worlds {
        Worlds::OfPlan => plan.worlds.to_string(),
        Worlds::UntilSteady => format!("up to {MOST_WORLDS}"),
    };
    let what = format!("Running {count} worlds of {} days", plan.days);
    while_watched(&what, |control| answer(opened, worlds, control))
}

fn json(answer: &Answer) -> Result<String, Failure> {
    let mut text = serde_json::to_string_pretty(answer)
        .map_err(|e| Failure::Internal(format!("the forecast could not be written: {e}")))?;
    text.push('\n');
    Ok(text)
}
