//! Plans that every neighbour runs and that do not sour (common practice, no source).

use fenlamp_core::forecast::world::WorldRun;
use fenlamp_validation::groups::everyday::works;

use crate::trial::{Group, Scale, Trial};

/// Lowest pH of a fortnight that practice would call well, and its spread (judgement:
/// gas burns from 6.4 on, and most tell of 6.6 to 7.4).
const LOWEST_PH: (f64, f64) = (6.9, 0.2);

pub(super) fn trials() -> Vec<Trial> {
    works()
        .into_iter()
        .map(|(_, words, text)| {
            Trial::new(words, "PRACTICE", Group::Start, &text).read(
                "lowest pH of a fortnight",
                LOWEST_PH,
                Scale::Linear,
                "",
                lowest_fortnight,
            )
        })
        .collect()
}

fn lowest_fortnight(run: &WorldRun) -> f64 {
    run.days
        .windows(14)
        .map(|days| days.iter().map(|d| d.ph).sum::<f64>() / 14.0)
        .fold(f64::INFINITY, f64::min)
}
