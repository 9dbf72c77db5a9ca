//! What a heap does month by month: how warm it is and what it gives the vessel.

use jiff::civil::Date;
use serde::Serialize;

use crate::band::Quantiles;
use crate::plan::Plan;
use crate::world::WorldRun;
use crate::world::heap::{HeapMonth, standing};

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
    use crate::warmth::WarmthResult;
    use crate::world::heap::{dates, months};

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
