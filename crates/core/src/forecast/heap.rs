//! What a heap does month by month: how warm it is and what it gives the vessel.

use jiff::civil::Date;
use serde::Serialize;

use super::calendar;
use super::world::WorldRun;
use crate::band::Quantiles;
use crate::plan::Plan;
use crate::warmth::WarmthResult;
use crate::weather::{days_after, days_between};

/// A month of one world's heap, means of the days on which it stands.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct HeapMonth {
    /// Mean temperature of the whole heap, degC.
    pub mean_c: f64,
    /// Its hottest part, degC.
    pub hottest_c: f64,
    /// Water, kg per kg wet.
    pub moisture: f64,
    /// Heat made, W.
    pub made_w: f64,
    /// Heat into the slurry, W; negative: the slurry warms the heap.
    pub to_slurry_w: f64,
}

/// The heap of an ensemble. Field names carry the unit.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Heap {
    /// Month by month, from the month in which it is built.
    pub months: Vec<HeapBand>,
}

/// One calendar month, means of the days on which the heap stands.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct HeapBand {
    /// Year.
    pub year: i16,
    /// Month, 1 = January.
    pub month: i8,
    /// Days of it inside the forecast on which the heap stands.
    pub days: u32,
    /// Mean temperature of the whole heap.
    pub temperature_c: Quantiles,
    /// Temperature of its hottest part.
    pub hottest_c: Quantiles,
    /// Water, kg per kg wet.
    pub moisture_share: Quantiles,
    /// Heat made in it.
    pub heat_made_w: Quantiles,
    /// Heat into the slurry; negative: the slurry warms the heap.
    pub heat_to_slurry_w: Quantiles,
}

/// First day of the run on which the heap stands.
fn first_day(plan: &Plan) -> Option<usize> {
    let built = plan.heap.as_ref()?.built;
    usize::try_from(days_between(plan.start, built).max(0)).ok()
}

/// The days of each month on which the heap stands, months without left out.
fn standing(plan: &Plan, dates: &[Date]) -> Vec<std::ops::Range<usize>> {
    let Some(first) = first_day(plan) else {
        return Vec::new();
    };
    calendar::month_ranges(dates)
        .into_iter()
        .map(|month| month.start.max(first)..month.end)
        .filter(|days| !days.is_empty())
        .collect()
}

/// Every day of the run.
fn dates(plan: &Plan) -> Vec<Date> {
    (0..plan.days)
        .map(|day| days_after(plan.start, i64::from(day)))
        .collect()
}

/// Months of one world's heat balance.
pub(super) fn months(plan: &Plan, result: &WarmthResult) -> Vec<HeapMonth> {
    let (Some(mean), Some(hottest), Some(moisture), Some(made), Some(given)) = (
        &result.heap_daily_c,
        &result.heap_hottest_c,
        &result.heap_moisture,
        &result.heap_heat_w,
        &result.heap_to_slurry_w,
    ) else {
        return Vec::new();
    };
    standing(plan, &dates(plan))
        .into_iter()
        .map(|days| {
            let of = |values: &[f64]| values[days.clone()].iter().sum::<f64>() / days.len() as f64;
            HeapMonth {
                mean_c: of(mean),
                hottest_c: of(hottest),
                moisture: of(moisture),
                made_w: of(made),
                to_slurry_w: of(given),
            }
        })
        .collect()
}

/// The worlds' heaps together; `None` without a heap, or where no heat balance ran.
pub(super) fn summarise(plan: &Plan, dates: &[Date], runs: &[WorldRun]) -> Option<Heap> {
    let standing = standing(plan, dates);
    let complete = |run: &WorldRun| run.heap.len() == standing.len();
    if standing.is_empty() || runs.is_empty() || !runs.iter().all(complete) {
        return None;
    }
    let months = standing
        .into_iter()
        .enumerate()
        .map(|(i, days)| {
            let over = |f: fn(&HeapMonth) -> f64| {
                Quantiles::of(&mut runs.iter().map(|r| f(&r.heap[i])).collect::<Vec<_>>())
            };
            HeapBand {
                year: dates[days.start].year(),
                month: dates[days.start].month(),
                days: days.len() as u32,
                temperature_c: over(|m| m.mean_c),
                hottest_c: over(|m| m.hottest_c),
                moisture_share: over(|m| m.moisture),
                heat_made_w: over(|m| m.made_w),
                heat_to_slurry_w: over(|m| m.to_slurry_w),
            }
        })
        .collect();
    Some(Heap { months })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::Plan;

    fn plan() -> Plan {
        let text = include_str!("../../../../examples/hollin-croft.toml");
        crate::plan::read(text, "hollin-croft.toml", &crate::plan::NoFiles)
            .unwrap_or_else(|e| panic!("{e}"))
    }

    /// Two worlds by hand: each month's band lies between them, and a heap built in the middle of
    /// a month counts from that day on.
    #[test]
    fn months_of_two_worlds() {
        let mut plan = plan();
        plan.days = 90;
        plan.start = jiff::civil::date(2030, 1, 1);
        if let Some(heap) = &mut plan.heap {
            heap.built = jiff::civil::date(2030, 2, 15);
        }
        let dates = dates(&plan);
        let world = |warmer: f64| {
            let column = |f: fn(f64, f64) -> f64| {
                Some(
                    (0..90)
                        .map(|d| f(f64::from(d), warmer))
                        .collect::<Vec<f64>>(),
                )
            };
            let result = WarmthResult {
                heap_daily_c: column(|d, w| d + w),
                heap_hottest_c: column(|d, w| d + w + 10.0),
                heap_moisture: column(|_, _| 0.6),
                heap_heat_w: column(|_, w| 100.0 + w),
                heap_to_slurry_w: column(|_, w| 20.0 + w),
                ..WarmthResult::default()
            };
            WorldRun {
                heap: months(&plan, &result),
                ..WorldRun::default()
            }
        };
        let heap = summarise(&plan, &dates, &[world(0.0), world(10.0)]).expect("a heap");
        let [february, march] = heap.months.as_slice() else {
            panic!("{heap:?}")
        };
        assert_eq!((february.month, february.days), (2, 14));
        assert_eq!((march.month, march.days), (3, 31));
        // 15 to 28 February are the days 45 to 58.
        assert!((february.temperature_c.p50 - (51.5 + 5.0)).abs() < 1e-9);
        assert!((february.hottest_c.p10 - (61.5 + 1.0)).abs() < 1e-9);
        assert!((march.heat_to_slurry_w.p90 - 29.0).abs() < 1e-9);
        plan.heap = None;
        assert!(summarise(&plan, &dates, &[WorldRun::default()]).is_none());
    }
}
