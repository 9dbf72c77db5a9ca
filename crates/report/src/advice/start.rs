//! The start: seed, first fill, and the way up to the full feed.

use jiff::ToSpan;
use jiff::civil::Date;
use serde::Serialize;
use uom::si::mass::kilogram;
use uom::si::volume::{cubic_meter, liter};

use crate::hazard::limit;
use fenlamp_model::plan::{Plan, Seed};
use fenlamp_model::reference::LimitState;
use fenlamp_model::world::draw::inputs::short;

/// How the plant is started.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StartUp {
    /// Seed put in, L.
    pub seed_l: f64,
    /// As a share of the slurry.
    pub seed_share: f64,
    /// Fresh material of the first fill: name and kg.
    pub fill: Vec<(String, f64)>,
    /// Day of the first feed, counted from the fill.
    pub first_day: u32,
    /// Its date.
    pub first_date: Date,
    /// Days from there to the full feed.
    pub ramp_days: u32,
    /// The way up, in steps that come to the same as the even ramp that was checked.
    pub steps: Vec<Step>,
}

/// A step of the ramp.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Step {
    /// First day, counted from the fill.
    pub from_day: u32,
    /// Its date.
    pub from: Date,
    /// Share of the month's full feed.
    pub share: f64,
}

/// Steps of a ramp.
const STEPS: u32 = 4;

impl StartUp {
    /// Of a plan.
    pub fn of(plan: &Plan) -> Self {
        let seed_l = plan.first_fill.seed_volume().get::<liter>();
        let fill = plan
            .first_fill
            .feed
            .iter()
            .filter_map(|(i, mass)| {
                Some((
                    short(&plan.feedstocks.get(*i)?.name),
                    mass.get::<kilogram>(),
                ))
            })
            .collect();
        let date = |day: u32| plan.start.saturating_add(i64::from(day).days());
        let (first, ramp) = (plan.feeding.first_day, plan.feeding.ramp_days);
        let mut steps: Vec<Step> = (0..if ramp == 0 { 0 } else { STEPS })
            .map(|i| {
                let from_day = first + ramp * i / STEPS;
                Step {
                    from_day,
                    from: date(from_day),
                    share: (f64::from(i) + 0.5) / f64::from(STEPS),
                }
            })
            .collect();
        steps.push(Step {
            from_day: first + ramp,
            from: date(first + ramp),
            share: 1.0,
        });
        StartUp {
            seed_l,
            seed_share: seed_l / plan.vessel.liquid.get::<liter>().max(1e-9),
            fill,
            first_day: first,
            first_date: date(first),
            ramp_days: ramp,
            steps,
        }
    }
}

/// Longest wait before the first feed and longest ramp, days (judgement).
const LONGEST_WAIT: u32 = 120;
const LONGEST_RAMP: u32 = 365;

/// A gentler start; `None` when it is as gentle as makes sense.
pub(super) fn gentler(first_day: u32, ramp_days: u32) -> Option<(u32, u32)> {
    let wait = (first_day + 14).min(LONGEST_WAIT).max(first_day);
    let ramp = (ramp_days + ramp_days / 2)
        .clamp(30, LONGEST_RAMP)
        .max(ramp_days);
    ((wait, ramp) != (first_day, ramp_days)).then_some((wait, ramp))
}

/// Twice the seed, at most the usual share of the slurry (`startup_seed_share`);
/// `None` without seed, or when there is as much already or no room.
pub(super) fn more_seed(plan: &Plan) -> Option<Vec<Seed>> {
    let most = limit("startup_seed_share", LimitState::Good, |_| true)?.high? / 100.0;
    let seeds = &plan.first_fill.seeds;
    let liquid = plan.vessel.liquid.get::<cubic_meter>();
    let fill: f64 = plan
        .first_fill
        .feed
        .iter()
        .map(|f| f.1.get::<kilogram>() / 1000.0)
        .sum();
    let water = plan
        .first_fill
        .water
        .map_or(0.0, |w| w.get::<kilogram>() / 1000.0);
    let now = plan.first_fill.seed_volume().get::<cubic_meter>();
    let filler = plan.vessel.filler.get::<uom::si::ratio::ratio>();
    let room = liquid * (1.0 - filler) - fill - water;
    let wanted = (2.0 * now).min(most * liquid).min(room);
    let more = |s: &Seed| Seed {
        volume: s.volume * (wanted / now),
        ..s.clone()
    };
    (now > 0.0 && wanted > 1.05 * now).then(|| seeds.iter().map(more).collect())
}
