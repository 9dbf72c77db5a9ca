//! The recipe: proposed by a program a month, checked by the engine, tightened.

mod propose;
mod report;
mod words;

use serde::Serialize;
use uom::si::f64::{MassRate, Ratio, Volume};
use uom::si::mass_rate::kilogram_per_second;
use uom::si::ratio::ratio;
use uom::si::volume::liter;

use super::away::{self, Away};
use super::binding::Binding;
use super::ceiling::Ceiling;
use super::check::{self, Checked, Trial};
use super::grid::Measure;
use super::month::{COLDEST_FED_C, Limit, Setting, Tightness, load_and_stay};
use super::prices::Worth;
use super::solve::Unsolved;
use super::start::{self, StartUp};
use super::stream::Stream;
use super::wish::Wish;
use crate::forecast::calendar::DAY_S;
use crate::forecast::draw::WorldDraw;
use crate::forecast::ensemble::Control;
use crate::forecast::world::{self, WorldError};
use crate::plan::{Dilution, Plan, Seed, VesselMode};
use propose::Proposal;

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

/// A sentence of the answer.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Said {
    /// What it speaks of.
    pub about: &'static str,
    /// The words.
    pub words: String,
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
    /// Two weeks away.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub away: Option<Away>,
    /// The plan with the recipe in it, as it was checked.
    #[serde(skip)]
    pub plan: Plan,
}

/// Worlds of a round: few are enough to throw a proposal out, and they are whole
/// groups of the lanes on two cores.
const ROUND_WORLDS: u32 = 16;
/// Rounds before it is given up.
const ROUNDS: usize = 9;
/// Part of the allowed chance that the few worlds run may show: the many of a long
/// run then stay below it (judgement).
const MARGIN: f64 = 0.7;
/// What a failed check leaves of the load, and does to the buffer.
const LESS_LOAD: f64 = 0.75;
const MORE_BUFFER: f64 = 1.25;

/// What may be changed from round to round.
#[derive(Debug, Clone)]
struct Knobs {
    tightness: Tightness,
    first_day: u32,
    ramp_days: u32,
    seed: Option<Seed>,
    /// Factor on the fresh material of the first fill.
    fill: f64,
    /// Methane asked of the program in each month.
    need: [Option<f64>; 12],
}

/// The recipe for `wish`.
///
/// # Errors
/// [`RecipeError`].
pub fn recipe(
    plan: &Plan,
    wish: &Wish,
    settings: &Settings,
    control: &Control,
) -> Result<Recipe, RecipeError> {
    if plan.vessel.mode == VesselMode::Batch {
        return Err(RecipeError::NothingFed(
            "the vessel is filled once and left",
        ));
    }
    let streams = Stream::all(plan);
    if streams.is_empty() {
        return Err(RecipeError::NothingFed("the plan has no waste"));
    }
    let mut setting = setting(plan, &streams, wish, settings)?;
    let feeding = &plan.feeding;
    let mut knobs = Knobs {
        tightness: Tightness::default(),
        first_day: feeding.first_day,
        ramp_days: feeding.ramp_days,
        seed: plan.first_fill.seed.clone(),
        fill: 1.0,
        need: [wish.methane_l_per_day(); 12],
    };
    let mut tightened = Vec::new();
    let mut sure = false;
    let (proposal, recipe_plan, trial, passed) = loop {
        setting.tightness = knobs.tightness;
        let proposal = propose::propose(&setting, wish, &knobs.need)?;
        let tried = applied(plan, &setting, &proposal, &knobs);
        let worlds = if sure {
            settings.worlds
        } else {
            ROUND_WORLDS.min(settings.worlds)
        };
        let trial = check::trial(&tried, wish, settings.sure, worlds, control)?;
        let allowed = (MARGIN * settings.sour_chance * f64::from(worlds)).floor() as u32;
        let passed = trial.checked.sour_worlds <= allowed;
        let last = tightened.len() >= ROUNDS;
        let change = if passed {
            surer(&mut knobs, wish, &proposal, &trial.checked, &tightened)
                .then_some(TightenedFor::Wish)
        } else {
            gentler(&mut knobs, plan, &proposal, &trial.checked)
        };
        match change {
            Some(what) if !last => tightened.push(Tightening {
                what,
                sour_worlds: trial.checked.sour_worlds,
                of_worlds: worlds,
            }),
            // The few worlds of a round do not carry the answer.
            _ if worlds < settings.worlds => sure = true,
            _ => break (proposal, tried, trial, passed),
        }
    };
    let month_days = check::days_by_month(&recipe_plan);
    let away = if settings.with_away {
        away::away(&recipe_plan, &trial, &month_days, control)?
    } else {
        None
    };
    let Trial { checked, .. } = trial;
    let done = report::Done {
        setting: &setting,
        wish,
        proposal: &proposal,
        checked: &checked,
        settings,
        passed,
        tightened: &tightened,
        away: away.as_ref(),
        plan: &recipe_plan,
        ceiling: Ceiling::of(plan, wish),
        start: StartUp::of(&recipe_plan),
    };
    let report = done.report()?;
    Ok(Recipe {
        words: report.words,
        wish: wish.clone(),
        measure: setting.measure,
        thinned_to_share: proposal.thinned_to,
        months: report.months,
        start: done.start,
        sour_chance: settings.sour_chance,
        passed,
        ceiling: done.ceiling,
        binding: report.binding,
        worths: report.worths,
        tightened,
        checked,
        away,
        plan: recipe_plan,
    })
}

/// Everything but what changes from round to round.
fn setting<'a>(
    plan: &Plan,
    streams: &'a [Stream],
    wish: &Wish,
    settings: &Settings,
) -> Result<Setting<'a>, WorldError> {
    let warm = world::slurry_temperatures(plan, &WorldDraw::central(plan))?;
    let slurry_c = check::days_by_month(plan).map(|days| {
        let sum: f64 = days.iter().filter_map(|d| warm.get(*d)).sum();
        (!days.is_empty()).then(|| sum / days.len() as f64)
    });
    let filler = plan.vessel.filler.get::<ratio>();
    let slurry_l = plan.vessel.liquid.get::<liter>() * (1.0 - filler);
    let bucket_l = settings.bucket.unwrap_or(plan.bucket).get::<liter>();
    // Room of the coldest month that is fed.
    let stays = (0..12)
        .filter(|m| wish.months[*m])
        .filter_map(|m| slurry_c[m])
        .filter(|c| *c >= COLDEST_FED_C)
        .filter_map(|c| Some(load_and_stay(c)?.1))
        .fold(0.0, f64::max);
    let longest = load_and_stay(COLDEST_FED_C).map_or(100.0, |l| l.1);
    let room = slurry_l / if stays > 0.0 { stays } else { longest };
    // The least that comes in a month in which something comes.
    let least: Vec<f64> = streams
        .iter()
        .filter(|s| !s.woody)
        .map(|s| {
            let least = s
                .at_hand_kg_d
                .iter()
                .copied()
                .filter(|kg| *kg > 0.0)
                .fold(f64::INFINITY, f64::min);
            if least.is_finite() {
                least / s.kg_per_l
            } else {
                0.0
            }
        })
        .collect();
    Ok(Setting {
        streams,
        measure: Measure::fitting(bucket_l, room, &least),
        slurry_l,
        slurry_c,
        every_days: f64::from(plan.feeding.every_days.max(1)),
        thinned_to: 0.1,
        tightness: Tightness::default(),
    })
}

/// The plan with a proposal in it.
fn applied(plan: &Plan, setting: &Setting<'_>, proposal: &Proposal, knobs: &Knobs) -> Plan {
    let mut out = plan.clone();
    for (w, waste) in out.waste.iter_mut().enumerate() {
        for (m, fresh) in waste.fresh.iter_mut().enumerate() {
            let parts = proposal.parts[m].get(w).copied().unwrap_or(0);
            let kg_d = f64::from(parts) * setting.kg_per_part(w);
            *fresh = MassRate::new::<kilogram_per_second>(kg_d / DAY_S);
        }
    }
    out.feeding.water = Dilution::ToSolids(Ratio::new::<ratio>(proposal.thinned_to));
    out.feeding.first_day = knobs.first_day;
    out.feeding.ramp_days = knobs.ramp_days;
    out.first_fill.seed = knobs.seed.clone();
    for (_, mass) in &mut out.first_fill.feed {
        *mass *= knobs.fill;
    }
    out
}

/// Draws the knobs in after a failed check; `None` when nothing is left to do.
fn gentler(
    knobs: &mut Knobs,
    plan: &Plan,
    proposal: &Proposal,
    checked: &Checked,
) -> Option<TightenedFor> {
    let fed = proposal.parts.iter().flatten().any(|p| *p > 0);
    let sour = checked.sour_worlds;
    if 2 * checked.sour_before_feeding > sour || !fed {
        let mut now = plan.clone();
        now.first_fill.seed = knobs.seed.clone();
        if let Some(seed) = start::more_seed(&now) {
            knobs.seed = Some(seed);
        } else if knobs.fill > 0.3 && !plan.first_fill.feed.is_empty() {
            knobs.fill *= 0.5;
        } else {
            return None;
        }
        return Some(TightenedFor::Fill);
    }
    let at_start = checked.sour_at_start - checked.sour_before_feeding;
    if 2 * at_start >= sour - checked.sour_before_feeding
        && let Some((wait, ramp)) = start::gentler(knobs.first_day, knobs.ramp_days)
    {
        (knobs.first_day, knobs.ramp_days) = (wait, ramp);
        return Some(TightenedFor::Start);
    }
    knobs.tightness.load *= LESS_LOAD;
    knobs.tightness.buffer *= MORE_BUFFER;
    Some(TightenedFor::Load)
}

/// Times that more is asked of the program because the worlds gave less than it said.
const LIFTS: usize = 2;

/// Asks more where too few worlds have what is wished for and more can be fed.
fn surer(
    knobs: &mut Knobs,
    wish: &Wish,
    proposal: &Proposal,
    checked: &Checked,
    so_far: &[Tightening],
) -> bool {
    let lifts = so_far
        .iter()
        .filter(|t| t.what == TightenedFor::Wish)
        .count();
    let Some(need) = wish.methane_l_per_day() else {
        return false;
    };
    if lifts >= LIFTS {
        return false;
    }
    let mut lifted = false;
    for m in (0..12).filter(|m| wish.months[*m] && !proposal.short[*m]) {
        let Some(month) = checked.month(m as i8 + 1) else {
            continue;
        };
        let (sure, asked) = (month.sure_methane_l, knobs.need[m].unwrap_or(need));
        if sure < 0.98 * need {
            knobs.need[m] = Some(asked * (need / sure.max(0.2 * need)).clamp(1.05, 3.0));
            lifted = true;
        }
    }
    lifted
}

#[cfg(test)]
pub(super) use propose::propose as propose_for_tests;

/// The same waste fed without advice: all of it as it comes from the second day,
/// with as much water again (common practice, no source).
pub fn naive(plan: &Plan) -> Plan {
    let mut out = plan.clone();
    out.feeding.first_day = 1;
    out.feeding.ramp_days = 0;
    out.feeding.water = Dilution::PerFeed(1.0);
    out
}
