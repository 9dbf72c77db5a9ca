//! What the diary teaches about a plant.
//!
//! [`record::record`] turns entries into what was fed and seen; [`learn`] bends the
//! worlds of the plan towards it ([`smoother`]) and looks ahead; [`causes`] weighs
//! what may be wrong; [`today`] says what to do. All of it is pure: the same diary,
//! plan and seed give the same digits.

pub mod axes;
pub mod causes;
pub mod errors;
pub mod inquiry;
pub mod invented;
pub mod normal;
pub mod observe;
pub mod record;
pub mod smoother;
pub mod today;
pub mod upset;

mod foresight;
mod learned;
mod words;

#[cfg(test)]
mod tests;

use rayon::prelude::*;

use fenlamp_model::forecast::runs::{Control, run_watched};
use fenlamp_model::plan::Plan;
use fenlamp_model::world::draw::WorldDraw;
use fenlamp_model::world::{Shared, WorldError, WorldRun};

use axes::Axes;
use normal::Draws;
use observe::{Spell, foretold, spells};
use record::Record;
use smoother::step;

pub use foresight::{Foresight, foresight};
pub use learned::{DayAhead, LEARNED, Learned, LearnedInput};

/// How to learn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Settings {
    /// Worlds.
    pub worlds: usize,
    /// Steps of the smoother; each takes a like part of what was seen.
    pub steps: u32,
    /// Days looked ahead after today.
    pub ahead: u32,
    /// Last days held back to see how well they are foreseen.
    pub held_back: u32,
    /// Seed.
    pub seed: u64,
}

impl Default for Settings {
    fn default() -> Self {
        Settings {
            worlds: 96,
            steps: 4,
            ahead: 60,
            held_back: 30,
            seed: 1,
        }
    }
}

/// Few worlds, a year unlike the normals and uneven buckets leave the smoother surer
/// than it may be: its worlds are spread again by so much after each bending. Chosen
/// on invented plants other than those of the study (`docs/learning.md`).
const WIDENED: f64 = 1.15;

/// Days averaged into one reading of the smoother.
pub const SPELL_DAYS: u32 = 7;

/// Worlds bent towards a diary.
#[derive(Debug, Clone)]
pub struct Bent {
    /// Coordinates of each world.
    pub z: Vec<Vec<f64>>,
    /// Their axes.
    pub axes: Axes,
}

impl Bent {
    /// The worlds of `plan` before anything was seen; `plan` may run past today.
    pub fn unlearned(plan: &Plan, settings: &Settings) -> Self {
        let axes = Axes::new(plan);
        Bent {
            z: axes.draw(plan, settings.worlds, settings.seed),
            axes,
        }
    }

    /// The draws of the worlds.
    pub fn draws(&self, plan: &Plan, record: &Record) -> Vec<WorldDraw> {
        self.z
            .iter()
            .map(|z| self.axes.world(plan, record, z))
            .collect()
    }

    /// Runs the worlds over `plan`.
    ///
    /// # Errors
    /// The first world's error.
    pub fn run(
        &self,
        plan: &Plan,
        record: &Record,
        control: &Control,
    ) -> Result<Vec<WorldRun>, WorldError> {
        let shared = Shared::new(plan);
        run_watched(plan, &shared, &self.draws(plan, record), control)
    }

    /// What each world says of each spell.
    pub fn foretold(&self, record: &Record, runs: &[WorldRun], spells: &[Spell]) -> Vec<Vec<f64>> {
        self.z
            .par_iter()
            .zip(runs)
            .map(|(z, run)| {
                spells
                    .iter()
                    .map(|s| foretold(record, &self.axes, z, &run.days, s))
                    .collect()
            })
            .collect()
    }

    /// Bends the worlds towards what was seen on some days. `stream` tells the
    /// noise of one bending from that of another.
    ///
    /// # Errors
    /// The first world's error.
    pub fn bend(
        &mut self,
        record: &Record,
        days: std::ops::Range<u32>,
        steps: u32,
        noise: (u64, u64),
        control: &Control,
    ) -> Result<(), WorldError> {
        let (seen, _) = spells(&record.seen, days.clone(), SPELL_DAYS);
        if seen.is_empty() {
            return Ok(());
        }
        let mut plan = record.plan.clone();
        plan.days = days.end;
        let data: Vec<_> = seen.iter().map(|s| s.datum).collect();
        let mut draws = Draws::new(noise.0, (1 << 41) + noise.1);
        for _ in 0..steps {
            let runs = self.run(&plan, record, control)?;
            let said = self.foretold(record, &runs, &seen);
            step(
                &mut self.z,
                &said,
                &data,
                1.0 / f64::from(steps),
                &mut draws,
            );
        }
        smoother::widen(&mut self.z, WIDENED);
        Ok(())
    }
}

/// Learns from a diary.
///
/// # Errors
/// The first world's error; [`WorldError::Cancelled`] when asked to stop.
pub fn learn(
    record: &Record,
    settings: &Settings,
    control: &Control,
) -> Result<Learned, WorldError> {
    let whole = record.plan_ahead(settings.ahead);
    let mut bent = Bent::unlearned(&whole, settings);
    let before = bent.clone();
    let before_runs = before.run(&whole, record, control)?;
    let all = record.today + 1;
    // What is held back is foreseen first and learned from then.
    let split = all.saturating_sub(settings.held_back);
    let (early, _) = spells(&record.seen, 0..split, SPELL_DAYS);
    let mut seen_ahead = None;
    let mut from = 0;
    if settings.held_back > 0 && early.len() >= LEAST_SPELLS {
        bent.bend(
            record,
            0..split,
            settings.steps,
            (settings.seed, 1),
            control,
        )?;
        let runs = bent.run(&record.plan, record, control)?;
        seen_ahead = foresight(record, &bent, &runs, split);
        from = split;
    }
    let steps = if from > 0 {
        settings.steps.div_ceil(2)
    } else {
        settings.steps
    };
    bent.bend(record, from..all, steps, (settings.seed, 2), control)?;
    let runs = bent.run(&whole, record, control)?;
    let mut learned = learned::gather(
        record,
        whole,
        (&before, &before_runs),
        (bent, runs),
        seen_ahead,
    );
    words::tell(&mut learned, settings);
    Ok(learned)
}

/// Spells needed before the held-back days to speak of foresight.
const LEAST_SPELLS: usize = 4;
