//! `fenlamp work-out`: small questions about gas, one screen each.
//!
//! A question is a variant of [`Question`] and a function that makes a
//! [`sheet::Sheet`]; nothing else needs to know of it.

mod ask;
mod burner;
mod danger;
mod line;
mod properties;
mod rooms;
mod sheet;
mod uses;

use clap::{Args, Subcommand};

use crate::failure::Failure;
use ask::{Say, Wanted};

/// Arguments of `work-out`.
#[derive(Debug, Args)]
pub struct WorkOutArgs {
    #[command(subcommand)]
    question: Question,
    #[command(flatten)]
    wanted: Wanted,
}

#[derive(Debug, Subcommand)]
enum Question {
    /// Size a burner's jet, its throat and its flame ports, or find what a jet passes
    #[command(
        after_help = "Example: fenlamp work-out jet --gas \"0.4 m3/h\" --pressure \"8 mbar\""
    )]
    Jet(burner::Jet),
    /// Whether a hole, slit or mesh keeps a flame back
    #[command(after_help = "Example: fenlamp work-out gap --mesh \"0.5 mm\"")]
    Gap(burner::GapOptions),
    /// Pressure lost in a gas line, or the bore it needs
    #[command(
        after_help = "Example: fenlamp work-out line --gas \"0.3 m3/h\" --bore \"8 mm\" --length \"10 m\""
    )]
    Line(line::LineOptions),
    /// Depth of a water relief, and weights on a drum or bag
    #[command(after_help = "Example: fenlamp work-out relief --pressure \"20 mbar\"")]
    Relief(line::Relief),
    /// Heat, density, Wobbe index and air need of a gas
    #[command(after_help = "Example: fenlamp work-out mix --methane \"60 %\"")]
    Mix(properties::Mix),
    /// A meter's reading as dry gas at 0 degC
    #[command(
        after_help = "Example: fenlamp work-out dry-gas --reading \"250 L\" --temperature \"30 °C\""
    )]
    DryGas(properties::DryGas),
    /// Minutes and gas to boil water
    #[command(after_help = "Example: fenlamp work-out kettle --water \"1.5 L\" --gas \"0.4 m3/h\"")]
    Kettle(uses::Kettle),
    /// What an amount of gas does in stove, lamp, heater, engine
    #[command(after_help = "Example: fenlamp work-out use --gas \"500 L\"")]
    Use(uses::UseOptions),
    /// Whether a gas or a headspace can burn, now or with air
    #[command(
        after_help = "Example: fenlamp work-out flammable --methane \"6 %\" --oxygen \"18.9 %\""
    )]
    Flammable(danger::Flammable),
    /// How soon a leak makes a room dangerous
    #[command(
        after_help = "Example: fenlamp work-out leak --hole \"0.5 mm\" --pressure \"10 mbar\" --room \"30 m3\" --air-changes \"0.5 per hour\""
    )]
    Leak(rooms::Leak),
    /// Air of a room or greenhouse in which gas burns
    #[command(
        after_help = "Example: fenlamp work-out room --gas \"0.2 m3/h\" --room \"50 m3\" --air-changes \"1 per hour\""
    )]
    Room(rooms::RoomOptions),
}

/// Answers a question.
///
/// # Errors
/// [`Failure::Input`] for figures that cannot be used.
pub fn run(args: &WorkOutArgs) -> Result<String, Failure> {
    let say = Say::of(args.wanted);
    let sheet = match &args.question {
        Question::Jet(q) => burner::jet(q, say),
        Question::Gap(q) => burner::gap(q, say),
        Question::Line(q) => line::line(q, say),
        Question::Relief(q) => line::relief(q, say),
        Question::Mix(q) => properties::mix(q, say),
        Question::DryGas(q) => properties::dry_gas(q, say),
        Question::Kettle(q) => uses::kettle(q, say),
        Question::Use(q) => uses::what_it_does(q, say),
        Question::Flammable(q) => danger::flammable(q, say),
        Question::Leak(q) => rooms::leak(q, say),
        Question::Room(q) => rooms::room(q, say),
    }?;
    sheet.write(args.wanted.json)
}
