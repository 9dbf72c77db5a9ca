//! What goes into the vessel on each day.

use crate::plan::{Dilution, Plan, VesselMode};
use crate::weather::{self, HourlyWeather, WeatherDraw};
use jiff::ToSpan;
use jiff::civil::Date;
use std::ops::Range;
use uom::si::mass_rate::kilogram_per_second;
use uom::si::ratio::ratio;

/// Seconds of a day.
pub const DAY_S: f64 = 86_400.0;

/// The feed of one day.
#[derive(Debug, Clone, PartialEq)]
pub struct DayFeed {
    /// Fresh mass of each waste of the plan, kg.
    pub fresh_kg: Vec<f64>,
    /// Water with it, kg.
    pub water_kg: f64,
}

impl DayFeed {
    /// Everything together, kg.
    pub fn total_kg(&self) -> f64 {
        self.fresh_kg.iter().sum::<f64>() + self.water_kg
    }
}

/// Month index (0 = January) of each day of the plan.
pub fn months(plan: &Plan) -> Vec<usize> {
    let mut date = plan.start;
    (0..plan.days)
        .map(|_| {
            let month = date.month() as usize - 1;
            date = date.saturating_add(1.day());
            month
        })
        .collect()
}

/// Days of each calendar month of a run, in order; a month cut short stands too.
pub fn month_ranges(dates: &[Date]) -> Vec<Range<usize>> {
    let mut from = 0;
    dates
        .chunk_by(|a, b| (a.year(), a.month()) == (b.year(), b.month()))
        .map(|days| {
            let range = from..from + days.len();
            from = range.end;
            range
        })
        .collect()
}

/// The plan's weather as its normals or record have it, no world's own.
pub fn usual_weather(plan: &Plan) -> HourlyWeather {
    weather::hourly(
        &plan.weather,
        &plan.place,
        plan.start,
        plan.days,
        &WeatherDraw::default(),
    )
}

/// Feed of every day. `total_solids[w]` is that of waste `w` in this world.
///
/// On a feeding day goes in what has come together since the last one, times
/// the ramp; a batch gets nothing after its fill.
pub fn daily_feed(plan: &Plan, total_solids: &[f64]) -> Vec<DayFeed> {
    let months = months(plan);
    let feeding = &plan.feeding;
    let mut since = vec![0.0; plan.waste.len()];
    (0..plan.days)
        .map(|day| {
            let mut feed = DayFeed {
                fresh_kg: vec![0.0; plan.waste.len()],
                water_kg: 0.0,
            };
            if plan.vessel.mode == VesselMode::Batch
                || day < feeding.first_day
                || feeding.is_away(day)
            {
                return feed;
            }
            for (sum, waste) in since.iter_mut().zip(&plan.waste) {
                *sum += waste.fresh[months[day as usize]].get::<kilogram_per_second>() * DAY_S;
            }
            let run = day - feeding.first_day;
            if !run.is_multiple_of(feeding.every_days.max(1)) {
                return feed;
            }
            let ramp = match feeding.ramp_days {
                0 => 1.0,
                days => (f64::from(run + 1) / f64::from(days)).min(1.0),
            };
            for (kg, sum) in feed.fresh_kg.iter_mut().zip(&mut since) {
                *kg = ramp * *sum;
                *sum = 0.0;
            }
            feed.water_kg = water(&feeding.water, &feed.fresh_kg, total_solids);
            feed
        })
        .collect()
}

/// Water for a feed, kg.
pub(super) fn water(dilution: &Dilution, fresh_kg: &[f64], total_solids: &[f64]) -> f64 {
    let fresh: f64 = fresh_kg.iter().sum();
    match dilution {
        Dilution::None => 0.0,
        Dilution::PerFeed(per_kg) => per_kg * fresh,
        Dilution::ToSolids(wanted) => {
            let solids: f64 = fresh_kg
                .iter()
                .zip(total_solids)
                .map(|(kg, ts)| kg * ts)
                .sum();
            (solids / wanted.get::<ratio>() - fresh).max(0.0)
        }
    }
}
