//! What follows from a plan without running it.

use fenlamp_model::feed::{Feedstock, Mixture, loading_rate_kg_vs_m3_d, retention_time_d};
use fenlamp_model::plan::Plan;
use fenlamp_model::world::mix;
use uom::si::volume::{cubic_meter, liter};

use crate::plan_file::Opened;

/// What follows from a plan without running it.
#[derive(Debug)]
pub struct Understood<'a> {
    /// The plan.
    pub opened: &'a Opened,
    /// One for each month with feed.
    pub months: Vec<MonthFeed>,
    /// Carbon to nitrogen of a year's feed, or of the fill when nothing is fed.
    pub carbon_to_nitrogen: Option<f64>,
    /// Feedstocks of feed, fill and heap, with where they go.
    pub feedstocks: Vec<(&'a Feedstock, &'static str)>,
}

/// The feed of one month at the central figures.
#[derive(Debug)]
pub struct MonthFeed {
    /// Month, 0 = January.
    pub month: usize,
    /// Fresh feed a day, kg.
    pub fresh_kg: f64,
    /// Water a day, kg.
    pub water_kg: f64,
    /// Total solids of the mix, share.
    pub solids_share: f64,
    /// Days the feed stays; a litre is taken to weigh a kilogram.
    pub retention_d: f64,
    /// Volatile solids, kg/(m3 d).
    pub loading_kg_vs_m3_d: f64,
}

/// Works out what follows from a plan.
pub fn understand(opened: &Opened) -> Understood<'_> {
    let plan = &opened.plan;
    let mixes: Vec<(usize, Mixture<'_>)> = (0..12)
        .filter_map(|month| Some((month, mix::of_month(plan, month)?)))
        .collect();
    let liquid = plan.vessel.liquid;
    let months = mixes
        .iter()
        .filter_map(|(month, mix)| {
            Some(MonthFeed {
                month: *month,
                fresh_kg: mix.mass_kg() - mix.water_kg(),
                water_kg: mix.water_kg(),
                solids_share: mix.total_solids_share()?,
                retention_d: retention_time_d(liquid.get::<liter>(), mix.mass_kg())?,
                loading_kg_vs_m3_d: loading_rate_kg_vs_m3_d(
                    mix.volatile_solids_kg(),
                    liquid.get::<cubic_meter>(),
                )?,
            })
        })
        .collect();
    Understood {
        opened,
        months,
        carbon_to_nitrogen: mix::carbon_to_nitrogen(plan),
        feedstocks: feedstocks(plan),
    }
}

fn feedstocks(plan: &Plan) -> Vec<(&Feedstock, &'static str)> {
    plan.feedstocks
        .iter()
        .enumerate()
        .map(|(i, f)| {
            let fed = plan.waste.iter().any(|w| w.feedstock == i);
            let filled = plan.first_fill.feed.iter().any(|(j, _)| *j == i);
            let heaped = plan
                .heap
                .as_ref()
                .is_some_and(|h| h.parts.iter().any(|(j, _)| *j == i));
            let place = match (fed, filled, heaped) {
                (true, true, _) => "feed, fill",
                (true, false, _) => "feed",
                (false, true, _) => "fill",
                (false, false, true) => "heap",
                (false, false, false) => "not used",
            };
            (f, place)
        })
        .collect()
}
