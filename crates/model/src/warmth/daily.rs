//! From hours to the rows of the result.

use super::coefficients as c;
use super::heap::Shells;
use super::{Ledger, WarmthResult};

/// Seconds of a day.
const DAY_S: f64 = 86_400.0;

/// Sums of one day.
#[derive(Default)]
pub(crate) struct Day {
    pub(crate) mean_c: f64,
    pub(crate) min_c: f64,
    pub(crate) max_c: f64,
    pub(crate) loss_j: f64,
    pub(crate) dried_j: f64,
    pub(crate) sun_j: f64,
    pub(crate) heater_j: f64,
    pub(crate) feed_j: f64,
    pub(crate) heap_j: f64,
    pub(crate) heap_to_slurry_j: f64,
    pub(crate) heap_c: f64,
}

impl Day {
    /// A day before its first hour.
    pub(crate) fn new() -> Self {
        Day {
            min_c: f64::MAX,
            max_c: f64::MIN,
            ..Day::default()
        }
    }
}

impl WarmthResult {
    /// Empty columns for so many days.
    pub(crate) fn with_days(days: usize, heap: bool) -> Self {
        let column = || Vec::with_capacity(days);
        let heap_column = || heap.then(column);
        WarmthResult {
            slurry_daily_c: column(),
            slurry_min_c: column(),
            slurry_max_c: column(),
            heap_daily_c: heap_column(),
            heap_hottest_c: heap_column(),
            heap_moisture: heap_column(),
            heap_heat_w: heap_column(),
            heap_to_slurry_w: heap_column(),
            loss_w_daily: column(),
            evaporated_kg_daily: column(),
            sun_w_daily: column(),
            heater_w_daily: column(),
            feed_w_daily: column(),
            ice_share: column(),
            frozen_days: 0,
            ledger: Ledger::default(),
        }
    }

    /// Add a day. The heap comes with the air's mean as long as it is not built.
    pub(crate) fn record(&mut self, day: &Day, ice: f64, heap: Option<(&Shells, Option<f64>)>) {
        self.slurry_daily_c.push(day.mean_c);
        self.slurry_min_c.push(day.min_c.min(day.mean_c));
        self.slurry_max_c.push(day.max_c.max(day.mean_c));
        self.loss_w_daily.push(day.loss_j / DAY_S);
        self.evaporated_kg_daily
            .push(day.dried_j / c::rows().latent_water_j_kg);
        self.sun_w_daily.push(day.sun_j / DAY_S);
        self.heater_w_daily.push(day.heater_j / DAY_S);
        self.feed_w_daily.push(-day.feed_j / DAY_S);
        self.ice_share.push(ice);
        self.frozen_days += u32::from(ice > 0.0);
        let Some((shells, unbuilt_c)) = heap else {
            return;
        };
        let push = |column: &mut Option<Vec<f64>>, value: f64| {
            if let Some(values) = column {
                values.push(value);
            }
        };
        push(&mut self.heap_daily_c, unbuilt_c.unwrap_or(day.heap_c));
        push(
            &mut self.heap_hottest_c,
            unbuilt_c.unwrap_or_else(|| shells.hottest_c()),
        );
        push(&mut self.heap_moisture, shells.moisture());
        push(&mut self.heap_heat_w, day.heap_j / DAY_S);
        push(&mut self.heap_to_slurry_w, day.heap_to_slurry_j / DAY_S);
    }
}
