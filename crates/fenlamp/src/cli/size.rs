//! `fenlamp size`: the smallest part that meets a wish.

use std::path::PathBuf;

use clap::Args;
use fenlamp_report::advice::{Part, SizeSettings, size, trade};

use super::recipe::{share, wish};
use super::{as_json, size_text, take};
use crate::failure::Failure;
use crate::plan_file::open;
use crate::progress::while_watched;
use crate::size_edits;
use crate::view_model::refusal;

/// Arguments of `size`.
#[derive(Debug, Args)]
#[command(next_line_help = true)]
pub struct SizeArgs {
    /// The plan: a file, or demo:NAME
    pub plan: PathBuf,
    /// What is wanted, like "2 kettles/day Apr-Oct"
    #[arg(long)]
    pub wish: String,
    /// vessel, heap, insulation, store or wash
    #[arg(long, value_name = "PART", default_value = "vessel", value_parser = part)]
    pub what: Part,
    /// Give the curve against another part: insulation against heap
    #[arg(long, value_name = "PART", value_parser = part)]
    pub against: Option<Part>,
    /// Share of the worlds that shall have the wish
    #[arg(long, value_name = "SHARE", default_value = "8 in 10", value_parser = share)]
    pub chance: f64,
    /// Worlds of each trial
    #[arg(long, value_name = "N", default_value_t = 16, value_parser = clap::value_parser!(u32).range(8..=1000))]
    pub worlds: u32,
    /// Everything as JSON (docs/advice-json.md)
    #[arg(long)]
    pub json: bool,
    /// Write the plan with the size in it to a new file
    #[arg(long, value_name = "FILE", conflicts_with = "against")]
    pub take: Option<PathBuf>,
}

fn part(text: &str) -> Result<Part, String> {
    let names = Part::ALL.map(Part::name).join(", ");
    Part::parse(text).ok_or_else(|| format!("write one of {names}"))
}

/// The size of a part, or a curve of two.
///
/// # Errors
/// The plan's faults, a wish that says no amount, a part that is not there, or a
/// failure of ours.
pub fn run(args: &SizeArgs) -> Result<String, Failure> {
    let opened = open(&args.plan)?;
    let wish = wish(&args.wish)?;
    let settings = SizeSettings {
        chance: args.chance,
        worlds: args.worlds,
    };
    if let Some(against) = args.against {
        if against == args.what {
            return Err(Failure::input(
                "--against names the part that is sized",
                "give two different parts",
            ));
        }
        let found = while_watched("Sizing in many worlds", |control| {
            trade(&opened.plan, &wish, &settings, args.what, against, control)
        })
        .map_err(|e| refusal::of_size(&opened, e))?;
        if args.json {
            return as_json("fenlamp-trade-1", &opened, &found);
        }
        return Ok(size_text::write_trade(&opened, &found));
    }
    let found = while_watched("Sizing in many worlds", |control| {
        size(&opened.plan, &wish, &settings, args.what, control)
    })
    .map_err(|e| refusal::of_size(&opened, e))?;
    let taken = match &args.take {
        Some(path) => {
            let edits =
                size_edits::of_size(&opened.plan, &opened.text, &found).ok_or_else(|| {
                    Failure::input(
                        "no size meets the wish: there is nothing to write",
                        "wish for less, or leave out --take",
                    )
                })?;
            Some(take(path, &opened, &edits)?)
        }
        None => None,
    };
    if args.json {
        return as_json("fenlamp-size-1", &opened, &found);
    }
    Ok(size_text::write(&opened, &found, taken.as_deref()))
}
