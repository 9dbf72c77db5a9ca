//! Plans that every neighbour runs and that do not sour (common practice, no source).

use fenlamp_model::world::WorldRun;
use fenlamp_validation::groups::everyday::{all_year, january_over_july, works};

use crate::trial::{Group, Scale, Trial};

/// Lowest pH of a fortnight that practice calls well, no more being told of any higher,
/// and its spread (judgement: what every neighbour knows is surer than any one reading).
const LOWEST_PH: (f64, f64) = (6.8, 0.1);

/// January's methane, of a plan fed all year, over July's, and its spread in the
/// logarithm: the four temperature curves of methane making say a tenth to a fifth. What
/// every neighbour knows of the middle is surer than any one reading (judgement).
const JANUARY: (f64, f64) = (0.14, 0.1);

pub(super) fn trials() -> Vec<Trial> {
    let mut trials: Vec<Trial> = works()
        .into_iter()
        .map(|(_, words, text)| {
            Trial::new(words, "PRACTICE", Group::Start, &text).read(
                "lowest pH of a fortnight, 6.8 being well",
                LOWEST_PH,
                Scale::Linear,
                "",
                lowest_fortnight,
            )
        })
        .collect();
    trials.push(
        Trial::new(
            "a tote fed all year out of doors",
            "PRACTICE",
            Group::Cold,
            // Mostly old slurry, so that it tells of the cold and not of a start.
            &all_year(60, 600),
        )
        .read(
            "methane of January over July",
            JANUARY,
            Scale::Log,
            "",
            january_over_july,
        ),
    );
    trials
}

fn lowest_fortnight(run: &WorldRun) -> f64 {
    run.days
        .windows(14)
        .map(|days| days.iter().map(|d| d.ph).sum::<f64>() / 14.0)
        .fold(LOWEST_PH.0, f64::min)
}
