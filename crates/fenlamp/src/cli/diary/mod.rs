//! `fenlamp diary`: what was done and seen at the plant.

mod calendar;
mod keep;
mod show;
mod words;

use std::path::{Path, PathBuf};

use clap::{Args, Subcommand};
use fenlamp_diary::{Diary, beside};
use jiff::civil::{Date, Time};

use crate::failure::Failure;
use crate::plan_file::{Opened, open};
use crate::view_model::days;
use crate::view_model::diary::failed;

/// Arguments of `diary`.
#[derive(Debug, Args)]
pub struct DiaryArgs {
    /// The plan whose diary it is; the diary lies beside it
    pub plan: PathBuf,
    /// What to do
    #[command(subcommand)]
    pub what: What,
}

/// What to do with a diary.
#[derive(Debug, Subcommand)]
pub enum What {
    /// Write something down: fed "2 bucket goat_manure", gas "120 L", bag half...
    #[command(after_help = words::KINDS_HELP)]
    Add {
        /// Kind of entry
        kind: String,
        /// Its words
        words: Vec<String>,
        /// When it happened
        #[command(flatten)]
        when: When,
    },
    /// Show the entries as they stand
    Show {
        /// From this day on
        #[arg(long, value_name = "DAY", value_parser = days::day)]
        from: Option<Date>,
        /// Up to this day
        #[arg(long, value_name = "DAY", value_parser = days::day)]
        to: Option<Date>,
        /// With the name of each entry, as `correct` wants it
        #[arg(long)]
        names: bool,
        /// One entry and what stood in its place before
        #[arg(long, value_name = "NAME", conflicts_with_all = ["from", "to"])]
        history: Option<String>,
    },
    /// Write an entry anew; the old one stays in its history
    Correct {
        /// Name of the entry (`show --names`), or its beginning
        name: String,
        /// Kind of entry; without, the entry is taken back
        kind: Option<String>,
        /// Its words
        words: Vec<String>,
        /// When it happened
        #[command(flatten)]
        when: When,
    },
    /// Take in a CSV (columns date, words) or what `export` wrote
    Import {
        /// The file: .csv or .json
        file: PathBuf,
    },
    /// The whole diary as CSV or JSON, nothing lost
    Export {
        /// As JSON, readings of instruments included
        #[arg(long, conflicts_with = "readings")]
        json: bool,
        /// Readings of instruments as CSV
        #[arg(long)]
        readings: bool,
        /// File to write in place of the screen
        #[arg(short, long, value_name = "FILE")]
        output: Option<PathBuf>,
    },
    /// Copy the diary to a new file, whole and checked
    Backup {
        /// The new file
        file: PathBuf,
    },
    /// Bring a backup back; the diary as it is now is kept beside it
    Restore {
        /// The backup
        file: PathBuf,
    },
    /// What comes round again, as a file for the calendar on your phone
    Calendar {
        /// The new file: NAME.ics
        #[arg(short, long, value_name = "FILE")]
        output: Option<PathBuf>,
        /// From this day on [today, or the first fill if that is later]
        #[arg(long, value_name = "DAY", value_parser = days::day)]
        from: Option<Date>,
        /// Days of it
        #[arg(long, default_value_t = 180, value_parser = clap::value_parser!(u32).range(1..=400))]
        days: u32,
    },
    /// Make an instrument known and show its key, once
    Device {
        /// Name of the instrument; without, those that are known
        name: Option<String>,
        /// Give it a new key; the old one is void
        #[arg(long, requires = "name")]
        renew: bool,
    },
}

/// When an entry happened.
#[derive(Debug, Clone, Args)]
pub struct When {
    /// Day: 2026-06-01, today or yesterday [today]
    #[arg(long, value_name = "DAY", value_parser = days::day)]
    pub on: Option<Date>,
    /// Time of day: 08:30
    #[arg(long, value_name = "TIME", value_parser = days::time)]
    pub at: Option<Time>,
}

/// Does what is asked of the diary.
///
/// # Errors
/// The plan's faults, words that are no entry, or the diary's file.
pub fn run(args: &DiaryArgs) -> Result<String, Failure> {
    let opened = open(&args.plan)?;
    let path = file_of(&args.plan)?;
    match &args.what {
        What::Add { kind, words, when } => keep::add(&opened, &path, kind, &words.join(" "), when),
        What::Correct {
            name,
            kind,
            words,
            when,
        } => keep::correct(
            &opened,
            &path,
            name,
            kind.as_deref(),
            &words.join(" "),
            when,
        ),
        What::Show {
            from,
            to,
            names,
            history,
        } => match history {
            Some(name) => show::history(&opened, &path, name),
            None => show::show(&opened, &path, *from, *to, *names),
        },
        What::Import { file } => keep::import(&opened, &path, file),
        What::Export {
            json,
            readings,
            output,
        } => keep::export(&path, *json, *readings, output.as_deref()),
        What::Backup { file } => keep::backup(&path, file),
        What::Restore { file } => keep::restore(&path, file),
        What::Calendar { output, from, days } => {
            calendar::write(&opened, &path, output.as_deref(), *from, *days)
        }
        What::Device { name, renew } => keep::device(&path, name.as_deref(), *renew),
    }
}

/// The diary's file of a plan.
///
/// # Errors
/// A demo keeps no diary.
pub fn file_of(plan: &Path) -> Result<PathBuf, Failure> {
    if plan.to_str().is_some_and(|n| n.starts_with("demo:")) {
        return Err(Failure::input(
            "a demo keeps no diary",
            "start a plan of your own from it: fenlamp demo NAME > plan.toml",
        ));
    }
    Ok(beside(plan))
}

/// The diary that must be there.
///
/// # Errors
/// As [`Diary::open_existing`].
pub fn existing(path: &Path) -> Result<Diary, Failure> {
    Diary::open_existing(path).map_err(failed)
}

/// The units the plan's owner thinks in.
fn units(opened: &Opened) -> fenlamp_quantity::Units {
    opened.plan.units.into()
}
