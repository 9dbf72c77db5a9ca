//! Answers for the page: a quick one from few worlds, the full band, the changes.
//!
//! Results are kept by the text they came from, so that nothing is run twice. A
//! newer text of the same plan stops the work on an older one.

use std::collections::{HashMap, VecDeque};
use std::path::Path;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use fenlamp_model::forecast::ensemble::Worlds;
use fenlamp_model::forecast::runs::Control;
use fenlamp_model::forecast::what_if::{self, Gain};
use fenlamp_model::plan::PlanErrors;

use crate::answer::{self, Answer, Ran};
use crate::failure::Failure;
use crate::plan_file::{self, Opened};

/// Worlds of the quick answer: one step of the widest lanes.
pub const QUICK_WORLDS: u32 = 8;
/// Texts whose results are kept.
const KEPT: usize = 8;

/// How much of an answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Stage {
    /// Few worlds, at once.
    Quick,
    /// All worlds of the plan.
    Full,
    /// All worlds, and the plan's changes run in them.
    Changes,
}

impl Stage {
    /// The word for it in addresses.
    pub fn word(self) -> &'static str {
        match self {
            Stage::Quick => "quick",
            Stage::Full => "full",
            Stage::Changes => "changes",
        }
    }

    /// The stage of a word; the quick one for any other.
    pub fn of_word(word: &str) -> Self {
        match word {
            "full" => Stage::Full,
            "changes" => Stage::Changes,
            _ => Stage::Quick,
        }
    }
}

/// An answer and the worlds behind it.
#[derive(Debug)]
pub struct Told {
    /// The plan it is about.
    pub opened: Arc<Opened>,
    /// The answer.
    pub answer: Answer,
    /// The worlds.
    pub ran: Arc<Ran>,
    /// How much of it this is.
    pub stage: Stage,
}

/// A plan's text, read.
#[derive(Debug, Clone)]
pub enum Read {
    /// A plan.
    Plan(Arc<Opened>),
    /// A text with faults.
    Faults(Arc<PlanErrors>),
}

/// Reads a text once; the answers are made from what it gives.
pub fn read(text: &str, name: &str, folder: Option<&Path>) -> Read {
    match plan_file::read_text(text, name, folder) {
        Ok(opened) => Read::Plan(Arc::new(opened)),
        Err(Failure::Plan { errors, .. }) => Read::Faults(Arc::new(errors)),
        // Reading a text has no other failure.
        Err(other) => Read::Faults(Arc::new(PlanErrors {
            file: name.to_owned(),
            errors: vec![],
            more: usize::from(!other.text().is_empty()),
        })),
    }
}

/// How far a run is.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, serde::Serialize)]
pub struct Progress {
    /// Worlds done.
    pub done: usize,
    /// Of so many.
    pub of: usize,
}

type Key = (String, Stage);
/// Answers, and their keys in the order they came.
type Memory = (HashMap<Key, Arc<Told>>, VecDeque<Key>);

/// Runs plans and remembers what they gave.
#[derive(Debug, Default)]
pub struct Runner {
    told: Mutex<Memory>,
    /// Work under way for each plan, and its flag.
    under_way: Mutex<HashMap<String, (String, Arc<AtomicBool>)>>,
    /// One long run at a time: two would each take twice as long.
    long: Mutex<()>,
}

fn open<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    // A panic elsewhere leaves these maps whole.
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

impl Runner {
    /// What is known of a text at a stage or beyond, without running anything.
    pub fn known(&self, sha: &str, stage: Stage) -> Option<Arc<Told>> {
        let told = open(&self.told);
        let stages: &[Stage] = match stage {
            Stage::Quick => &[Stage::Changes, Stage::Full, Stage::Quick],
            Stage::Full => &[Stage::Changes, Stage::Full],
            Stage::Changes => &[Stage::Changes],
        };
        stages
            .iter()
            .find_map(|s| told.0.get(&(sha.to_owned(), *s)).cloned())
    }

    fn put(&self, sha: &str, told: Told) -> Arc<Told> {
        let told = Arc::new(told);
        let key = (sha.to_owned(), told.stage);
        let mut all = open(&self.told);
        all.1.retain(|k| *k != key);
        all.1.push_back(key.clone());
        all.0.insert(key, Arc::clone(&told));
        while all.1.len() > KEPT * 3 {
            if let Some(old) = all.1.pop_front() {
                all.0.remove(&old);
            }
        }
        told
    }

    /// Stops what runs for another text of `plan`.
    pub fn only(&self, plan: &str, sha: &str) {
        let under_way = open(&self.under_way);
        if let Some((other, flag)) = under_way.get(plan)
            && other != sha
        {
            flag.store(true, Ordering::Relaxed);
        }
    }

    fn flag(&self, plan: &str, sha: &str) -> Arc<AtomicBool> {
        let mut under_way = open(&self.under_way);
        match under_way.get(plan) {
            Some((same, flag)) if same == sha && !flag.load(Ordering::Relaxed) => Arc::clone(flag),
            _ => {
                if let Some((_, old)) = under_way.get(plan) {
                    old.store(true, Ordering::Relaxed);
                }
                let flag = Arc::new(AtomicBool::new(false));
                under_way.insert(plan.to_owned(), (sha.to_owned(), Arc::clone(&flag)));
                flag
            }
        }
    }

    /// The answer to a plan. `side` tells apart the plan as it is kept and as it is
    /// tried: a newer text stops the work on an older one of the same side.
    ///
    /// # Errors
    /// [`Failure::Stopped`] when a newer text came, or a world that could not be run.
    pub fn tell(
        &self,
        side: &str,
        opened: &Arc<Opened>,
        stage: Stage,
        progress: &(dyn Fn(Progress) + Sync),
    ) -> Result<Arc<Told>, Failure> {
        let sha = opened.sha256.clone();
        if let Some(told) = self.known(&sha, stage) {
            return Ok(told);
        }
        let on = |done: usize, of: usize| progress(Progress { done, of });
        if stage == Stage::Quick {
            self.only(side, &sha);
            let never = AtomicBool::new(false);
            let mut few = Opened {
                plan: opened.plan.clone(),
                name: opened.name.clone(),
                sha256: sha.clone(),
                text: opened.text.clone(),
            };
            few.plan.worlds = QUICK_WORLDS.min(few.plan.worlds);
            let control = Control {
                progress: &on,
                cancelled: &never,
            };
            let (answer, ran) = answer::without_changes(&few, Worlds::OfPlan, &control)?;
            return Ok(self.put(
                &sha,
                Told {
                    opened: Arc::clone(opened),
                    answer,
                    ran: Arc::new(ran),
                    stage,
                },
            ));
        }
        let cancelled = self.flag(side, &sha);
        let control = Control {
            progress: &on,
            cancelled: &cancelled,
        };
        let _alone = open(&self.long);
        if cancelled.load(Ordering::Relaxed) {
            return Err(Failure::Stopped);
        }
        // It may have been made while this one waited.
        if let Some(told) = self.known(&sha, stage) {
            return Ok(told);
        }
        let full = match self.known(&sha, Stage::Full) {
            Some(full) => full,
            None => {
                let (answer, ran) = answer::without_changes(opened, Worlds::OfPlan, &control)?;
                self.put(
                    &sha,
                    Told {
                        opened: Arc::clone(opened),
                        answer,
                        ran: Arc::new(ran),
                        stage: Stage::Full,
                    },
                )
            }
        };
        if stage == Stage::Full {
            return Ok(full);
        }
        let what_ifs = answer::changes(opened, &full.ran, &control)?;
        let mut answer = full.answer.clone();
        answer.what_ifs = what_ifs;
        Ok(self.put(
            &sha,
            Told {
                opened: Arc::clone(opened),
                answer,
                ran: Arc::clone(&full.ran),
                stage,
            },
        ))
    }
}

/// What the changes tried do to the plan as it is kept, where both were run in the
/// same worlds.
pub fn compare(kept: &Told, trial: &Told, words: &str) -> Option<Gain> {
    what_if::compare(
        &kept.opened.plan,
        &trial.opened.plan,
        words,
        &kept.ran.runs,
        &trial.ran.runs,
    )
}
