//! What a plan feeds in a month and fills at the start, as mixtures at the
//! central figures of the feedstocks.

use uom::si::mass::kilogram;
use uom::si::mass_rate::kilogram_per_second;
use uom::si::ratio::ratio;
use uom::si::volume::liter;

use super::calendar::{self, DAY_S};
use crate::feed::{self, Mixture, Part};
use crate::plan::{Plan, VesselMode};

/// A day's feed of a month (0 = January) with its water, the ramp of the start not
/// counted; `None` when nothing comes.
pub fn of_month(plan: &Plan, month: usize) -> Option<Mixture<'_>> {
    if plan.vessel.mode == VesselMode::Batch {
        return None;
    }
    let parts = plan
        .waste
        .iter()
        .map(|w| {
            let fresh = w.fresh.get(month)?.get::<kilogram_per_second>() * DAY_S;
            Some(Part {
                feedstock: plan.feedstocks.get(w.feedstock)?,
                fresh_kg: fresh,
            })
        })
        .collect::<Option<Vec<_>>>()?;
    let fresh: Vec<f64> = parts.iter().map(|p| p.fresh_kg).collect();
    let solids: Vec<f64> = parts.iter().map(|p| p.feedstock.total_solids.mid).collect();
    if fresh.iter().sum::<f64>() <= 0.0 {
        return None;
    }
    Mixture::new(parts, calendar::water(&plan.feeding.water, &fresh, &solids))
}

/// The feedstocks of the first fill, without water and seed.
pub fn of_fill(plan: &Plan) -> Option<Mixture<'_>> {
    let parts = plan
        .first_fill
        .feed
        .iter()
        .map(|(i, mass)| {
            Some(Part {
                feedstock: plan.feedstocks.get(*i)?,
                fresh_kg: mass.get::<kilogram>(),
            })
        })
        .collect::<Option<Vec<_>>>()?;
    Mixture::new(parts, 0.0)
}

/// Water of the first fill, L: as told, or up to the full level beside feed and
/// seed at their central figures (a litre of either taken to weigh a kilogram).
pub fn fill_water_l(plan: &Plan) -> f64 {
    let fill = &plan.first_fill;
    if let Some(mass) = fill.water {
        return mass.get::<kilogram>();
    }
    let filler = plan.vessel.filler.get::<ratio>();
    let full = plan.vessel.liquid.get::<liter>() * (1.0 - filler);
    let feed: f64 = fill.feed.iter().map(|(_, m)| m.get::<kilogram>()).sum();
    let seed = fill.seed_volume().get::<liter>();
    (full - feed - seed).max(0.0)
}

/// C:N by mass balance of a year's feed, or of the fill when nothing is fed.
pub fn carbon_to_nitrogen(plan: &Plan) -> Option<f64> {
    let months: Vec<Mixture<'_>> = (0..12).filter_map(|m| of_month(plan, m)).collect();
    if months.is_empty() {
        return of_fill(plan)?.carbon_to_nitrogen();
    }
    feed::carbon_to_nitrogen(months.iter().map(|m| (m.carbon_kg(), m.nitrogen_kg())))
}
