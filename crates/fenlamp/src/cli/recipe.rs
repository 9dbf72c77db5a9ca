//! `fenlamp recipe`: what to feed so that a wish is met.

use std::path::PathBuf;

use clap::Args;
use fenlamp_quantity::{Context, Volume, read};
use fenlamp_report::advice::{HOW_TO_WISH, Recipe, Settings, Wish, recipe};

use super::{as_json, recipe_text, take};
use crate::failure::Failure;
use crate::plan_file::{Opened, open};
use crate::progress::while_watched;
use crate::recipe_edits;
use crate::view_model::refusal;

/// Arguments of `recipe`.
#[derive(Debug, Args)]
#[command(next_line_help = true)]
pub struct RecipeArgs {
    /// The plan: a file, or demo:NAME
    pub plan: PathBuf,
    /// What is wanted, like "2 kettles/day Apr-Oct"
    #[arg(long, default_value = "all of it")]
    pub wish: String,
    /// Share of the worlds that may turn sour
    #[arg(long, value_name = "SHARE", default_value = "1 in 10", value_parser = share)]
    pub sour: f64,
    /// Worlds of the last check
    #[arg(long, value_name = "N", default_value_t = 48, value_parser = clap::value_parser!(u32).range(8..=5000))]
    pub worlds: u32,
    /// What your bucket holds, when not the plan's
    #[arg(long, value_name = "SIZE")]
    pub bucket: Option<String>,
    /// Everything as JSON (docs/advice-json.md)
    #[arg(long)]
    pub json: bool,
    /// Write the plan with the recipe in it to a new file
    #[arg(long, value_name = "FILE")]
    pub take: Option<PathBuf>,
}

/// "1 in 10", "10 %", "0.1".
pub fn share(text: &str) -> Result<f64, String> {
    let number = |t: &str| t.trim().parse::<f64>().ok();
    let value = if let Some((part, whole)) = text.split_once(" in ") {
        number(part).zip(number(whole)).map(|(a, b)| a / b)
    } else if let Some(percent) = text.trim().strip_suffix('%') {
        number(percent).map(|p| p / 100.0)
    } else {
        number(text)
    };
    value
        .filter(|v| v.is_finite() && *v > 0.0 && *v < 1.0)
        .ok_or_else(|| "write a share like \"1 in 10\", \"10 %\" or 0.1".to_owned())
}

/// A wish from the command line.
pub fn wish(text: &str) -> Result<Wish, Failure> {
    Wish::parse(text).map_err(|e| Failure::input(e.to_string(), HOW_TO_WISH))
}

/// The recipe of a plan.
///
/// # Errors
/// The plan's faults, a wish that says nothing, a plan that is not fed, or a
/// failure of ours.
pub fn run(args: &RecipeArgs) -> Result<String, Failure> {
    let opened = open(&args.plan)?;
    let wish = wish(&args.wish)?;
    let settings = Settings {
        sour_chance: args.sour,
        worlds: args.worlds,
        bucket: bucket(args.bucket.as_deref(), &opened)?,
        ..Settings::default()
    };
    let found = while_watched("Trying recipes in many worlds", |control| {
        recipe(&opened.plan, &wish, &settings, control)
    })
    .map_err(|e| refusal::of_recipe(&opened, e))?;
    let taken = match &args.take {
        Some(path) => Some(take(path, &opened, &edits(&opened, &found)?)?),
        None => None,
    };
    if args.json {
        return as_json("fenlamp-recipe-1", &opened, &found);
    }
    Ok(recipe_text::write(&opened, &found, taken.as_deref()))
}

fn edits(opened: &Opened, found: &Recipe) -> Result<Vec<crate::plan_edit::Edit>, Failure> {
    recipe_edits::of_recipe(&opened.plan, found).ok_or_else(|| {
        Failure::input(
            "the recipe feeds nothing: there is nothing to write",
            "leave out --take, or wish for less",
        )
    })
}

fn bucket(text: Option<&str>, opened: &Opened) -> Result<Option<Volume>, Failure> {
    let Some(text) = text else { return Ok(None) };
    let context = Context::of(opened.plan.units.into());
    let size = read::<Volume>(text, &context).map_err(|e| {
        Failure::input(
            format!("--bucket: {e}"),
            "write it like \"12 L\" or \"5 gal\"",
        )
    })?;
    if !(0.001..=0.05).contains(&size.value) {
        return Err(Failure::input(
            format!("--bucket: \"{text}\" is no bucket that a person carries"),
            "from 1 L to 50 L",
        ));
    }
    Ok(Some(size))
}
