//! What a recipe is asked with, and what it says.

use serde::Serialize;

use crate::advice::said::Said;
use uom::si::f64::Volume;

use crate::advice::away::Away;
use crate::advice::binding::Binding;
use crate::advice::ceiling::Ceiling;
use crate::advice::check::Checked;
use crate::advice::grid::Measure;
use crate::advice::month::Limit;
use crate::advice::not_to_feed::KeepOut;
use crate::advice::prices::Worth;
use crate::advice::solve::Unsolved;
use crate::advice::start::StartUp;
use crate::advice::wish::Wish;
use fenlamp_model::plan::Plan;
use fenlamp_model::world::WorldError;

/// How a recipe is sought.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Settings {
    /// Share of the worlds that may turn sour.
    pub sour_chance: f64,
    /// Share of the worlds that shall have what is wished for.
    pub sure: f64,
    /// Worlds of the last check.
    pub worlds: u32,
    /// A bucket, when not the plan's.
    pub bucket: Option<Volume>,
    /// Whether to run two weeks away as well.
    pub with_away: bool,
}

impl Default for Settings {
    fn default() -> Self {
        Settings {
            sour_chance: 0.1,
            sure: 0.8,
            worlds: 48,
            bucket: None,
            with_away: true,
        }
    }
}

/// Why there is no recipe.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum RecipeError {
    /// A batch, or no waste.
    #[error("nothing is fed: {0}")]
    NothingFed(&'static str),
    /// The engine failed, or was stopped.
    #[error(transparent)]
    World(#[from] WorldError),
    /// The solver failed.
    #[error(transparent)]
    Unsolved(#[from] Unsolved),
}

/// What is fed of one waste in a month.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Dose {
    /// The waste's place in the plan.
    pub waste: usize,
    /// Its short name.
    pub name: String,
    /// Parts of a bucket, a day or a week as the measure says.
    pub parts: u32,
    /// "2 buckets".
    pub words: String,
    /// Fresh, kg/day.
    pub kg_per_day: f64,
    /// At hand, kg/day.
    pub at_hand_kg_per_day: f64,
}

/// One month of the recipe (a mean day of it).
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RecipeMonth {
    /// Month, 1 = January.
    pub month: i8,
    /// What is fed; empty when nothing is.
    pub doses: Vec<Dose>,
    /// Water with it, L/day.
    pub water_l_per_day: f64,
    /// Of the water, what may be liquor from the outlet, by its ammonium, L/day.
    pub liquor_l_per_day_at_most: f64,
    /// Slurry, middle of the month in a plain year, degC.
    pub slurry_c: f64,
    /// Total solids of the feed with its water.
    pub solids_share: f64,
    /// Load, kg VS/(m3 d).
    pub load_kg_vs_m3_d: f64,
    /// Load that the temperature bears safely.
    pub safe_load_kg_vs_m3_d: f64,
    /// Load from which acids rise, by the published table.
    pub most_load_kg_vs_m3_d: f64,
    /// Days the feed stays; `None` when nothing is fed.
    pub stays_days: Option<f64>,
    /// Days it should stay.
    pub least_stay_days: f64,
    /// Ammonium nitrogen that the mix comes to, mg/L.
    pub ammonium_mg_n_l: f64,
    /// C:N as a mass balance.
    pub carbon_to_nitrogen: Option<f64>,
    /// Fibrous greens in the volatile solids.
    pub fibre_share: f64,
    /// Limits that one part more of anything would break.
    pub at_their_end: Vec<Limit>,
    /// The same in words.
    pub at_their_end_words: Vec<String>,
    /// True when less comes than is wished for.
    pub short: bool,
    /// Methane the proposal counts on, dry normal L/day; the check has the last word.
    pub proposed_methane_dry_normal_l_per_day: f64,
}

/// What a failed check was answered with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum TightenedFor {
    /// More seed or less first fill.
    Fill,
    /// A later and slower start.
    Start,
    /// Lower load and more buffer.
    Load,
    /// More feed, to be surer of the wish.
    Wish,
}

/// One round that did not pass.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Tightening {
    /// What was changed.
    pub what: TightenedFor,
    /// Sour worlds of the round before.
    pub sour_worlds: u32,
    /// Of so many.
    pub of_worlds: u32,
}

/// What to feed, month by month, and why.
#[derive(Debug, Clone, Serialize)]
pub struct Recipe {
    /// The answer in sentences, the recipe first.
    pub words: Vec<Said>,
    /// The wish.
    pub wish: Wish,
    /// The measure.
    pub measure: Measure,
    /// Solids that water brings the feed down to.
    pub thinned_to_share: f64,
    /// Months of the forecast's last year, January first.
    pub months: Vec<RecipeMonth>,
    /// How it is started.
    pub start: StartUp,
    /// The engine's word.
    pub checked: Checked,
    /// Share of the worlds that may turn sour.
    pub sour_chance: f64,
    /// Whether the check was passed.
    pub passed: bool,
    /// What was tightened on the way.
    pub tightened: Vec<Tightening>,
    /// The waste at its full potential.
    pub ceiling: Ceiling,
    /// What binds where the wish is not met, worst month.
    pub binding: Vec<Binding>,
    /// What one step more of each thing would add.
    pub worths: Vec<Worth>,
    /// What not to feed, as far as it fits the plan's waste.
    pub keep_out: Vec<KeepOut>,
    /// Two weeks away.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub away: Option<Away>,
    /// The plan with the recipe in it, as it was checked.
    #[serde(skip)]
    pub plan: Plan,
}
