//! The answer to a plan as one struct: shown as text and as JSON alike.

use fenlamp_model::digestate::Digestate;
use fenlamp_model::forecast::bands::{DayBand, FirstFlame, MonthBand, Whole};
use fenlamp_model::forecast::chances::{self, Chance};
use fenlamp_model::forecast::convergence::{self, Convergence};
use fenlamp_model::forecast::ensemble;
use fenlamp_model::forecast::ensemble::Worlds;
use fenlamp_model::forecast::figures::{Figures, Spans};
use fenlamp_model::forecast::gas_train::GasTrain;
use fenlamp_model::forecast::levers::{self, Lever};
use fenlamp_model::forecast::runs::Control;
use fenlamp_model::forecast::what_if::{self, Gain};
use fenlamp_model::plan::{SlurryTemperature, UnitSystem};
use fenlamp_model::world::draw;
use fenlamp_model::world::draw::WorldDraw;
use fenlamp_model::world::{WorldError, WorldRun};
use fenlamp_report::hazard as findings;
use fenlamp_report::hazard::Finding;
use fenlamp_report::words;
use fenlamp_report::words::Statement;
use serde::Serialize;

use crate::failure::Failure;
use crate::plan_file::Opened;

/// Name and version of the JSON form (`docs/forecast-json.md`).
pub const FORMAT: &str = "fenlamp-forecast-1";

/// Everything about one forecast.
#[derive(Debug, Clone, Serialize)]
pub struct Answer {
    /// Name and version of the form.
    pub format: &'static str,
    /// What it was made from.
    pub stamp: Stamp,
    /// Whether the slurry is held at a temperature, as on a bench.
    #[serde(skip)]
    pub bench: bool,
    /// The answer in sentences.
    pub words: Vec<Statement>,
    /// Day by day.
    pub days: Vec<DayBand>,
    /// Month by month.
    pub months: Vec<MonthBand>,
    /// The whole run.
    pub whole: Whole,
    /// The first steady flame.
    pub first_flame: FirstFlame,
    /// Share of the worlds that turn sour.
    pub sour_share_of_worlds: f64,
    /// Wash, store and uses, where the plan has any.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub gas_train: Option<GasTrain>,
    /// What is left, and where it may go.
    pub digestate: Digestate,
    /// Inputs that the spread comes from, strongest first.
    pub levers: Vec<Lever>,
    /// The plan changed in one thing, best first.
    pub what_ifs: Vec<Gain>,
    /// Statements of chance.
    pub chances: Vec<Chance>,
    /// How far the bands may still move with more worlds.
    pub convergence: Convergence,
    /// What stands out, gravest first.
    pub findings: Vec<Finding>,
}

/// What a forecast was made from: the same stamp gives the same digits.
#[derive(Debug, Clone, Serialize)]
pub struct Stamp {
    /// Version of the program.
    pub program_version: &'static str,
    /// Name of the plant.
    pub plan_name: String,
    /// What the plan says of itself.
    pub plan_about: String,
    /// File the plan was read from.
    pub plan_file: String,
    /// SHA-256 of the plan's bytes, hex.
    pub plan_sha256: String,
    /// Seed of the random numbers.
    pub seed: u64,
    /// Worlds run.
    pub worlds: u32,
    /// Units of the words: `metric` or `us`. The figures are metric always.
    pub units_of_words: UnitSystem,
    /// Day of the first fill.
    pub start: String,
    /// Days of the forecast.
    pub days: u32,
}

/// The worlds behind an answer, for what is asked of them later.
#[derive(Debug)]
pub struct Ran {
    draws: Vec<WorldDraw>,
    /// Each world.
    pub runs: Vec<WorldRun>,
}

/// Runs the ensemble and its what-ifs and puts the answer together.
///
/// # Errors
/// [`Failure::Internal`] when a world could not be run to its end,
/// [`Failure::Stopped`] when asked to stop.
pub fn answer(opened: &Opened, worlds: Worlds, control: &Control) -> Result<Answer, Failure> {
    let (mut answer, ran) = without_changes(opened, worlds, control)?;
    answer.what_ifs = changes(opened, &ran, control)?;
    Ok(answer)
}

fn failed(opened: &Opened, e: WorldError) -> Failure {
    match e {
        WorldError::Cancelled => Failure::Stopped,
        e => Failure::Internal(format!("{}: {e}", opened.name)),
    }
}

/// The plan's changes run in the worlds of its answer, best first.
///
/// # Errors
/// As [`answer`].
pub fn changes(opened: &Opened, ran: &Ran, control: &Control) -> Result<Vec<Gain>, Failure> {
    let candidates = what_if::candidates(&opened.plan);
    what_if::run(&opened.plan, &candidates, &ran.draws, &ran.runs, control)
        .map_err(|e| failed(opened, e))
}

/// The answer without its what-ifs, and the worlds it comes from.
///
/// # Errors
/// As [`answer`].
pub fn without_changes(
    opened: &Opened,
    worlds: Worlds,
    control: &Control,
) -> Result<(Answer, Ran), Failure> {
    let plan = &opened.plan;
    let ensemble::Outcome {
        forecast,
        draws,
        runs,
    } = ensemble::run_with(plan, worlds, control).map_err(|e| failed(opened, e))?;
    let figures = Figures::all(&Spans::of(plan), &runs);
    let answer = Answer {
        format: FORMAT,
        stamp: Stamp {
            program_version: env!("CARGO_PKG_VERSION"),
            plan_name: plan.name.clone(),
            plan_about: plan.about.clone(),
            plan_file: opened.name.clone(),
            plan_sha256: opened.sha256.clone(),
            seed: plan.seed,
            worlds: forecast.worlds,
            units_of_words: plan.units,
            start: plan.start.to_string(),
            days: plan.days,
        },
        bench: matches!(plan.slurry_temperature, SlurryTemperature::Fixed(_)),
        words: words::words(plan, &forecast),
        levers: levers::levers(&draw::inputs(plan), &draws, &figures),
        what_ifs: Vec::new(),
        chances: chances::chances(plan, &forecast.months, &figures, &runs),
        convergence: convergence::convergence(&figures, &forecast.months, &runs),
        findings: findings::findings(plan, &forecast, &runs),
        days: forecast.days,
        months: forecast.months,
        whole: forecast.whole,
        first_flame: forecast.first_flame,
        sour_share_of_worlds: forecast.sour_share_of_worlds,
        gas_train: forecast.gas_train,
        digestate: forecast.digestate,
    };
    Ok((answer, Ran { draws, runs }))
}
