//! The command line: what was typed, and which command it is.

mod booklet;
mod check;
mod check_text;
mod demo;
pub mod diary;
mod feedstocks;
mod forecast;
mod forecast_text;
mod learn;
mod listen;
pub mod payback;
pub mod recipe;
mod recipe_text;
pub mod size;
mod size_text;
mod sources;
pub mod today;
mod understood;
mod work_out;

use std::ffi::OsString;
use std::io::Write;
use std::path::{Path, PathBuf};

use clap::{Args, Parser, Subcommand};

use crate::failure::Failure;
use crate::plan_edit::{self, Edit};
use crate::plan_file::Opened;

/// From what you throw away to gas for the kettle, and what can hurt you on the way
#[derive(Debug, Parser)]
#[command(
    name = "fenlamp",
    version,
    after_help = "Without a command it opens the page on an invented demo.\n\
                  Exit codes: 0 done, 2 something you gave cannot be used, 1 the program failed,\n\
                  130 stopped by Ctrl-C.",
    disable_help_subcommand = true
)]
struct Typed {
    #[command(subcommand)]
    command: Option<Command>,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Open the page: see the answer, change the plant
    Page(PageArgs),
    /// How much gas a plan gives, when, and what stands out
    Forecast(ForecastArgs),
    /// What to feed, month by month, so that a wish is met
    Recipe(recipe::RecipeArgs),
    /// The smallest vessel, heap, insulation, store or wash for a wish
    Size(size::SizeArgs),
    /// Years to pay back and carbon spared, with your own prices
    Payback(payback::PaybackArgs),
    /// Write the plan as a booklet to build, start and run it from
    Booklet(BookletArgs),
    /// Read a plan and say what is understood, or all its faults
    Check {
        /// The plan: a file, or demo:NAME
        plan: PathBuf,
    },
    /// Look up feedstocks; with one exact id, every figure and its source
    Feedstocks {
        /// Words of a name, a group or an id; all feedstocks without
        words: Vec<String>,
    },
    /// Look up the sources behind keys like [GTZ89]; all without a key
    Sources {
        /// Keys as printed beside figures and findings
        keys: Vec<String>,
    },
    /// Answer a small question about gas: jet, line, leak, wash...
    WorkOut(work_out::WorkOutArgs),
    /// Keep the diary of a plan: what was fed, seen and measured
    Diary(diary::DiaryArgs),
    /// What the diary teaches about the plant, and the forecast with it
    Learn(learn::LearnArgs),
    /// What to do today, and what may be wrong, by the diary
    Today(today::TodayArgs),
    /// Let instruments write in the diary: by MQTT, or from a folder
    Listen(listen::ListenArgs),
    /// Print a demo plan to start from, or with no name the list of demos
    Demo {
        /// Name of the demo
        name: Option<String>,
    },
}

/// Arguments of `page`.
#[derive(Debug, Args)]
pub struct PageArgs {
    /// The plan: a file, or demo:NAME [the first demo]
    pub plan: Option<PathBuf>,
    /// Folder of plans, when no file is given [the current one]
    #[arg(long, value_name = "DIR")]
    pub folder: Option<PathBuf>,
    /// Port on this machine [7341, or another free one]
    #[arg(long, value_name = "N")]
    pub port: Option<u16>,
    /// Serve the local network too, after a code is typed
    #[arg(long)]
    pub share: bool,
    /// Print the address and open no browser
    #[arg(long)]
    pub no_browser: bool,
}

/// Arguments of `forecast`.
#[derive(Debug, Args)]
pub struct ForecastArgs {
    /// The plan: a file, or demo:NAME
    pub plan: PathBuf,
    /// Everything as JSON (docs/forecast-json.md)
    #[arg(long, conflicts_with = "csv")]
    pub json: bool,
    /// One row a day as CSV
    #[arg(long)]
    pub csv: bool,
    /// Worlds [1 to 5000], or auto: until the bands stand still
    #[arg(long, value_name = "N", value_parser = worlds)]
    pub worlds: Option<HowMany>,
    /// Seed of the random numbers, in place of the plan's
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u64).range(0..=9_007_199_254_740_991))]
    pub seed: Option<u64>,
}

/// Arguments of `booklet`.
#[derive(Debug, Args)]
pub struct BookletArgs {
    /// The plan: a file, or demo:NAME
    pub plan: PathBuf,
    /// The file to write
    #[arg(short, long, value_name = "FILE.html")]
    pub output: PathBuf,
    /// Paper it is printed on: a4 or letter
    #[arg(long, default_value = "a4", hide_possible_values = true, value_parser = ["a4", "letter"])]
    pub paper: String,
    /// Language: en or de
    #[arg(long, default_value = "en", hide_possible_values = true, value_parser = ["en", "de"])]
    pub language: String,
    /// Print it too, with an installed Chromium
    #[arg(long, value_name = "FILE.pdf")]
    pub pdf: Option<PathBuf>,
    /// Worlds, in place of the plan's
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..=5000))]
    pub worlds: Option<u32>,
}

/// What `--worlds` says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HowMany {
    /// So many.
    Count(u32),
    /// Until the bands stand still.
    Auto,
}

fn worlds(text: &str) -> Result<HowMany, String> {
    if text == "auto" {
        return Ok(HowMany::Auto);
    }
    match text.parse() {
        Ok(count @ 1..=5000) => Ok(HowMany::Count(count)),
        _ => Err("write 1 to 5000, or auto".to_owned()),
    }
}

/// Does what the command line asks and returns what to print.
///
/// # Errors
/// [`Failure`], with its words and exit code.
pub fn run(typed: impl IntoIterator<Item = OsString>) -> Result<String, Failure> {
    let typed = match Typed::try_parse_from(typed) {
        Ok(typed) => typed,
        // Help and version are answers, not failures.
        Err(e) if !e.use_stderr() => return Ok(e.render().to_string()),
        Err(e) => return Err(Failure::Usage(e)),
    };
    match typed.command {
        None => page(&PageArgs {
            plan: None,
            folder: None,
            port: None,
            share: false,
            no_browser: false,
        }),
        Some(Command::Page(args)) => page(&args),
        Some(Command::Forecast(args)) => forecast::run(&args),
        Some(Command::Recipe(args)) => recipe::run(&args),
        Some(Command::Size(args)) => size::run(&args),
        Some(Command::Payback(args)) => payback::run(&args),
        Some(Command::Booklet(args)) => booklet::run(&args),
        Some(Command::Check { plan }) => check::run(&plan),
        Some(Command::Feedstocks { words }) => feedstocks::run(&words.join(" ")),
        Some(Command::Sources { keys }) => sources::run(&keys),
        Some(Command::WorkOut(args)) => work_out::run(&args),
        Some(Command::Diary(args)) => diary::run(&args),
        Some(Command::Learn(args)) => learn::run(&args),
        Some(Command::Listen(args)) => listen::run(&args),
        Some(Command::Today(args)) => today::run(&args),
        Some(Command::Demo { name }) => demo::run(name.as_deref()),
    }
}

fn page(args: &PageArgs) -> Result<String, Failure> {
    if let Some(folder) = &args.folder
        && !folder.is_dir()
    {
        return Err(Failure::input(
            format!("{} is no folder", folder.display()),
            "give the folder your plans are in, or leave --folder out",
        ));
    }
    crate::web::serve(&crate::web::Asked {
        plan: args.plan.clone(),
        folder: args.folder.clone(),
        port: args.port,
        share: args.share,
        browser: !args.no_browser,
    })
}

/// Advice as JSON with what it was made from.
fn as_json(
    format: &str,
    opened: &Opened,
    advice: &impl serde::Serialize,
) -> Result<String, Failure> {
    let failed = |e| Failure::Internal(format!("the advice could not be written: {e}"));
    let plan = &opened.plan;
    let mut whole = serde_json::json!({
        "format": format,
        "stamp": {
            "program_version": env!("CARGO_PKG_VERSION"),
            "plan_name": plan.name,
            "plan_file": opened.name,
            "plan_sha256": opened.sha256,
            "seed": plan.seed,
            "units_of_words": plan.units,
            "start": plan.start.to_string(),
            "days": plan.days,
        },
    });
    whole["advice"] = serde_json::to_value(advice).map_err(failed)?;
    let mut text = serde_json::to_string_pretty(&whole).map_err(failed)?;
    text.push('\n');
    Ok(text)
}

/// Writes the plan with `edits` made to a new file, and gives back its name.
fn take(path: &Path, opened: &Opened, edits: &[Edit]) -> Result<String, Failure> {
    let shown = path.display().to_string();
    let text = plan_edit::apply(&opened.text, edits)
        .map_err(|e| Failure::Internal(format!("the plan could not be changed: {e}")))?;
    let mut file = std::fs::File::create_new(path).map_err(|e| match e.kind() {
        std::io::ErrorKind::AlreadyExists => Failure::input(
            format!("{shown} is there already"),
            "give the name of a new file: nothing is written over",
        ),
        _ => Failure::input(
            format!("{shown} cannot be written ({e})"),
            "give another name",
        ),
    })?;
    file.write_all(text.as_bytes()).map_err(|e| {
        Failure::input(
            format!("{shown} cannot be written ({e})"),
            "give another name",
        )
    })?;
    Ok(shown)
}
