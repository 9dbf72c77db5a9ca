//! Many worlds run in lockstep groups over the threads.

use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

use fenlamp_adm1::solver::lanes::best_width;
use fenlamp_adm1::solver::{Lanes, Pack};
use rayon::prelude::*;

use crate::plan::Plan;
use crate::world;
use crate::world::draw::{BATCH, WorldDraw};
use crate::world::{RELATIVE_TOLERANCE, Shared, WorldError, WorldRun};

/// How a caller watches a run and stops it.
#[derive(Clone, Copy)]
pub struct Control<'a> {
    /// Told how many worlds are done, and of how many; from any thread.
    pub progress: &'a (dyn Fn(usize, usize) + Sync),
    /// Once true, the run ends with [`WorldError::Cancelled`] after the worlds under way.
    pub cancelled: &'a AtomicBool,
}

/// Worlds up to which narrow lanes are taken also where wide ones could be.
const FEW: usize = 8;

/// A flag that nobody raises.
static NEVER: AtomicBool = AtomicBool::new(false);

impl Control<'static> {
    /// Neither watched nor stopped.
    pub fn none() -> Self {
        Control {
            progress: &|_, _| {},
            cancelled: &NEVER,
        }
    }
}

/// Runs `draws` in lockstep groups over the threads. The groups depend on the
/// machine's width and the number of worlds alone, never on the threads.
///
/// # Errors
/// The first world's error, in the order of the worlds.
pub fn run_worlds(
    plan: &Plan,
    shared: &Shared,
    draws: &[WorldDraw],
) -> Result<Vec<WorldRun>, WorldError> {
    run_watched(plan, shared, draws, &Control::none())
}

/// As [`run_worlds`], watched.
///
/// # Errors
/// As [`run_worlds`]; [`WorldError::Cancelled`] when asked to stop.
pub fn run_watched(
    plan: &Plan,
    shared: &Shared,
    draws: &[WorldDraw],
    control: &Control,
) -> Result<Vec<WorldRun>, WorldError> {
    match best_width() {
        // So few are answered sooner in two groups on two cores.
        8 if draws.len() > FEW => in_groups::<Lanes<8>>(plan, shared, draws, control),
        _ => in_groups::<Lanes<4>>(plan, shared, draws, control),
    }
}

fn in_groups<T: Pack>(
    plan: &Plan,
    shared: &Shared,
    draws: &[WorldDraw],
    control: &Control,
) -> Result<Vec<WorldRun>, WorldError> {
    // No group reaches over two batches: more worlds change none of the first.
    let groups: Vec<&[WorldDraw]> = draws
        .chunks(BATCH)
        .flat_map(|batch| batch.chunks(T::WIDTH))
        .collect();
    let done = AtomicUsize::new(0);
    let groups = groups
        .into_par_iter()
        .map(|group| {
            if control.cancelled.load(Ordering::Relaxed) {
                return Err(WorldError::Cancelled);
            }
            let stop = control.cancelled;
            let runs = world::run_until::<T>(plan, shared, group, RELATIVE_TOLERANCE, stop)
                .or_else(|e| match e {
                    WorldError::Cancelled => Err(e),
                    // One hard world must not take the others down with it.
                    _ => group.iter().map(|d| world::run(plan, shared, d)).collect(),
                });
            let so_far = done.fetch_add(group.len(), Ordering::Relaxed) + group.len();
            (control.progress)(so_far, draws.len());
            runs
        })
        .collect::<Vec<Result<Vec<WorldRun>, WorldError>>>();
    let mut runs = Vec::with_capacity(draws.len());
    for group in groups {
        runs.extend(group?);
    }
    Ok(runs)
}
