//! `fenlamp work-out`: small questions about gas, one screen each.
//!
//! A question is a variant of [`Question`] and a function that makes a
//! [`sheet::Sheet`]; nothing else needs to know of it.

mod ask;
mod burner;
mod danger;
mod line;
mod liquid;
mod properties;
mod rooms;
mod sheet;
mod store;
mod uses;
mod wash;
#[cfg(test)]
mod wash_tests;

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
    /// What a store holds by the tape, its pressure, and what passes its skin
    #[command(
        after_help = "Example: fenlamp work-out store --form tubes --count 4 --ring \"90 cm\" --girth \"75 cm\""
    )]
    Store(store::StoreOptions),
    /// How long a jar of lye washes the gas, and what it takes out
    #[command(
        after_help = "Example: fenlamp work-out wash --lye ash --mass \"500 g\" --water \"2 L\" --gas \"300 L/day\""
    )]
    Wash(wash::WashOptions),
    /// How long a bed of moist wood ash takes carbon dioxide out of the gas
    #[command(
        after_help = "Example: fenlamp work-out ash-bed --mass \"10 kg\" --gas \"300 L/day\""
    )]
    AshBed(wash::AshBedOptions),
    /// How long an iron packing lasts, and how much it can be trusted
    #[command(
        after_help = "Example: fenlamp work-out iron --packing bog-iron --mass \"2 kg\" --bed \"3 L\" --gas \"300 L/day\""
    )]
    Iron(wash::IronOptions),
    /// Water that falls in a gas line, where, and how soon it fills the trap
    #[command(
        after_help = "Example: fenlamp work-out trap --gas \"300 L/day\" --slurry \"35 °C\" --line \"20 °C\" --line \"5 °C\""
    )]
    Trap(liquid::TrapOptions),
    /// Baking soda, lime or ash that brings a sour slurry to a pH
    #[command(after_help = "Example: fenlamp work-out buffer --slurry \"200 L\" --ph 6.2 --to 7.0")]
    Buffer(liquid::BufferOptions),
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
        Question::Store(q) => store::store(q, say),
        Question::Wash(q) => wash::wash(q, say),
        Question::AshBed(q) => wash::bed_of_ash(q, say),
        Question::Iron(q) => wash::iron(q, say),
        Question::Trap(q) => liquid::trap(q, say),
        Question::Buffer(q) => liquid::buffer(q, say),
    }?;
    sheet.write(args.wanted.json)
}
