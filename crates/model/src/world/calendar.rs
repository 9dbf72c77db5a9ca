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
/// On a feeding day goes in what has come together since the last one, by the steps
/// of the waste or else times the ramp; a batch gets nothing after its fill.
pub fn daily_feed(plan: &Plan, total_solids: &[f64]) -> Vec<DayFeed> {
    let months = months(plan);
    let feeding = &plan.feeding;
    let first = plan.first_feed_day();
    let mut since = vec![0.0; plan.waste.len()];
    (0..plan.days)
        .map(|day| {
            let mut feed = DayFeed {
                fresh_kg: vec![0.0; plan.waste.len()],
                water_kg: 0.0,
            };
            if plan.vessel.mode == VesselMode::Batch || day < first || feeding.is_away(day) {
                return feed;
            }
            let begun = day >= feeding.first_day;
            for (sum, waste) in since.iter_mut().zip(&plan.waste) {
                let whole = f64::from(u8::from(begun));
                *sum += waste.step_share(day).unwrap_or(whole)
                    * (waste.fresh[months[day as usize]].get::<kilogram_per_second>() * DAY_S);
            }
            if !(day - first).is_multiple_of(feeding.every_days.max(1)) {
                return feed;
            }
            let ramp = match feeding.ramp_days {
                _ if !begun => 0.0,
                0 => 1.0,
                days => {
                    let run = day - feeding.first_day;
                    (f64::from(run + 1) / f64::from(days)).min(1.0)
                }
            };
            for ((kg, sum), waste) in feed.fresh_kg.iter_mut().zip(&mut since).zip(&plan.waste) {
                let rise = if waste.steps.is_empty() { ramp } else { 1.0 };
                *kg = rise * *sum;
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{FeedStep, NoFiles, read};
    use proptest::prelude::*;

    fn larch() -> Plan {
        let text = include_str!("../../../../examples/high-larch-farm.toml");
        read(text, "high-larch-farm.toml", &NoFiles).unwrap_or_else(|e| panic!("{e}"))
    }

    #[test]
    fn steps_begin_on_their_own_days_and_the_others_keep_their_ramp() {
        let mut plan = larch();
        plan.feeding.every_days = 1;
        let solids = vec![0.2; plan.waste.len()];
        let before = daily_feed(&plan, &solids);
        let begins = plan.feeding.first_day;
        plan.waste[0].steps = vec![
            FeedStep {
                from_day: 1,
                share: 0.5,
            },
            FeedStep {
                from_day: 30,
                share: 1.0,
            },
        ];
        let after = daily_feed(&plan, &solids);
        assert_eq!(plan.first_feed_day(), 1);
        assert_eq!(after[0].total_kg(), 0.0);
        assert!(begins > 1 && after[1].fresh_kg[0] > 0.0);
        let months = months(&plan);
        for (day, feed) in after.iter().enumerate() {
            let whole = plan.waste[0].fresh[months[day]].get::<kilogram_per_second>() * DAY_S;
            let share = [0.0, 0.5, 1.0][usize::from(day >= 1) + usize::from(day >= 30)];
            assert!((feed.fresh_kg[0] - share * whole).abs() < 1e-9, "day {day}");
            assert_eq!(feed.fresh_kg[1], before[day].fresh_kg[1], "day {day}");
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(48))]

        /// Nothing is lost or made: what the steps say is fed by the last feeding day.
        #[test]
        fn fed_is_what_the_steps_say(
            every in 1u32..9,
            first in 0u32..40,
            second in 1u32..40,
            share in 0.0f64..1.0,
        ) {
            let mut plan = larch();
            plan.feeding.every_days = every;
            for waste in &mut plan.waste {
                waste.steps = vec![
                    FeedStep { from_day: first, share },
                    FeedStep { from_day: first + second, share: 1.0 },
                ];
            }
            let feeds = daily_feed(&plan, &vec![0.2; plan.waste.len()]);
            let months = months(&plan);
            let last = feeds.len() as u32 - 1;
            let last_fed = last - (last - first) % every;
            for (w, waste) in plan.waste.iter().enumerate() {
                let fed: f64 = feeds.iter().map(|f| f.fresh_kg[w]).sum();
                let said: f64 = (first..=last_fed)
                    .map(|day| {
                        let part = if day < first + second { share } else { 1.0 };
                        part * waste.fresh[months[day as usize]].get::<kilogram_per_second>() * DAY_S
                    })
                    .sum();
                prop_assert!((fed - said).abs() < 1e-9 * said.max(1.0), "{fed} {said}");
            }
        }
    }
}
