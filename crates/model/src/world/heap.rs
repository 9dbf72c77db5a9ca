//! What one world's heap does month by month.

use jiff::civil::Date;

use super::calendar;
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

/// First day of the run on which the heap stands.
fn first_day(plan: &Plan) -> Option<usize> {
    let built = plan.heap.as_ref()?.built;
    usize::try_from(days_between(plan.start, built).max(0)).ok()
}

/// The days of each month on which the heap stands, months without left out.
pub(crate) fn standing(plan: &Plan, dates: &[Date]) -> Vec<std::ops::Range<usize>> {
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
pub(crate) fn dates(plan: &Plan) -> Vec<Date> {
    (0..plan.days)
        .map(|day| days_after(plan.start, i64::from(day)))
        .collect()
}

/// Months of one world's heat balance.
pub(crate) fn months(plan: &Plan, result: &WarmthResult) -> Vec<HeapMonth> {
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
