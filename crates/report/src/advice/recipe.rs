//! The recipe: proposed by a program a month, checked by the engine, tightened.

mod care;
mod form;
mod propose;
mod report;
mod words;

use std::sync::atomic::{AtomicUsize, Ordering};

use uom::si::f64::{MassRate, Ratio};
use uom::si::mass_rate::kilogram_per_second;
use uom::si::ratio::ratio;
use uom::si::volume::liter;

use super::away;
use super::ceiling::Ceiling;
use super::check::{self, Checked, Trial};
use super::grid::Measure;
use super::month::{COLDEST_FED_C, Setting, Tightness, load_and_stay};
use super::not_to_feed;
use super::start::{self, StartUp};
use super::stream::Stream;
use super::wish::Wish;
use fenlamp_model::forecast::runs::Control;
use fenlamp_model::plan::{Dilution, Plan, Seed, VesselMode, WasteBasis};
use fenlamp_model::world;
use fenlamp_model::world::WorldError;
use fenlamp_model::world::calendar::DAY_S;
use fenlamp_model::world::draw::WorldDraw;
use propose::Proposal;

pub use form::{Dose, Recipe, RecipeError, RecipeMonth, Settings, TightenedFor, Tightening};

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
    seeds: Vec<Seed>,
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
    if plan.vessel.mode == VesselMode::TopUp {
        return Err(RecipeError::NothingFed(
            "the vessel is topped up until it is full, and then left",
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
        seeds: plan.first_fill.seeds.clone(),
        fill: 1.0,
        need: [wish.methane_l_per_day(); 12],
    };
    // A rare event needs worlds enough to be seen at all.
    let rare = (1.0 / settings.sour_chance.max(1e-3)).ceil() as u32;
    let many = settings.worlds.max(rare);
    let mut tightened = Vec::new();
    // One bar over all rounds: a usual recipe takes some three before the last check.
    let (behind, all) = (AtomicUsize::new(0), (4 * ROUND_WORLDS + many) as usize);
    let progress = |now: usize, _: usize| {
        (control.progress)((behind.load(Ordering::Relaxed) + now).min(all), all);
    };
    let control = &Control {
        progress: &progress,
        cancelled: control.cancelled,
    };
    let mut sure = false;
    let (proposal, recipe_plan, trial, passed) = loop {
        setting.tightness = knobs.tightness;
        let proposal = propose::propose(&setting, wish, &knobs.need)?;
        let tried = applied(plan, &setting, &proposal, &knobs);
        let worlds = if sure { many } else { ROUND_WORLDS.min(many) };
        let trial = check::trial(&tried, wish, settings.sure, worlds, control)?;
        behind.fetch_add(worlds as usize, Ordering::Relaxed);
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
            Some(what) if !last => {
                tightened.push(Tightening {
                    what,
                    sour_worlds: trial.checked.sour_worlds,
                    of_worlds: worlds,
                });
                sure = false;
            }
            // The few worlds of a round do not carry the answer.
            _ if worlds < many => sure = true,
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
    let keep_out = not_to_feed::keep_out(plan);
    let report = done.report()?;
    let mut words = words::all(&done, &report.months, &report.binding, &report.worths);
    words.extend(not_to_feed::said(&keep_out));
    Ok(Recipe {
        words,
        keep_out,
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
        // The recipe has a way up of its own.
        waste.steps.clear();
    }
    out.feeding.water = Dilution::ToSolids(Ratio::new::<ratio>(proposal.thinned_to));
    out.feeding.first_day = knobs.first_day;
    out.feeding.ramp_days = knobs.ramp_days;
    out.first_fill.seeds.clone_from(&knobs.seeds);
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
        now.first_fill.seeds.clone_from(&knobs.seeds);
        if let Some(seeds) = start::more_seed(&now) {
            knobs.seeds = seeds;
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
        if month.starting {
            continue;
        }
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
    for waste in &mut out.waste {
        waste.steps.clear();
    }
    out
}

/// The plan with everything its animals give at hand in every month, whatever share
/// of it the plan gathers.
pub fn all_at_hand(plan: &Plan) -> Plan {
    let mut out = plan.clone();
    for waste in &mut out.waste {
        if let WasteBasis::Animals { collected, .. } = &mut waste.basis {
            let most = waste
                .fresh
                .iter()
                .fold(MassRate::default(), |a, b| if *b > a { *b } else { a });
            waste.fresh = [most / *collected; 12];
            *collected = 1.0;
        }
    }
    out
}
