//! Temperature of the slurry: vessel, insulation, heap, sun, ground, feed.
//!
//! [`slurry_temperatures`] steps an hourly balance. The slurry is one mixed body whose linear
//! balance is solved exactly within the hour; a heap around it is four shells solved implicitly
//! with it, and the earth round a sunk vessel six, followed from its undisturbed state. Left out:
//! layering inside the vessel (a published cold-climate tank showed 6 K from top to bottom,
//! PERR12) except under ice, heat of digestion, rain, snow on vessel or ice.

mod check;
pub mod coefficients;
pub mod conduction;
mod curve;
mod daily;
mod earth;
mod envelope;
pub mod geometry;
pub mod heap;
pub mod moist_air;
mod run;
mod slurry;
mod surface;
pub mod surroundings;

#[cfg(test)]
pub(crate) mod tests;

use jiff::civil::Date;

use crate::feed::Feedstock;
use crate::plan::{Heap, Heater, InsulationLayer, Vessel};
use crate::weather::HourlyWeather;
use crate::weather::Place;

pub use heap::HeapDraw;
pub use surface::StillTop;

/// How one world's warmth departs from the central figures.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WarmthDraw {
    /// Factor on the conductivity of the insulation (wet, gaps: above 1).
    pub insulation_factor: f64,
    /// Factor on the wind.
    pub wind_factor: f64,
    /// Factor on the conductivity of the ground.
    pub ground_factor: f64,
    /// Surface of the ground over the air in the year's mean, K.
    pub ground_over_air_k: f64,
    /// Feed against what it is taken for, K.
    pub feed_offset_k: f64,
    /// Stillness of a top that is no lid.
    pub still_top: StillTop,
    /// The heap.
    pub heap: HeapDraw,
}

impl Default for WarmthDraw {
    fn default() -> Self {
        WarmthDraw {
            insulation_factor: 1.0,
            wind_factor: 1.0,
            ground_factor: 1.0,
            ground_over_air_k: 0.0,
            feed_offset_k: 0.0,
            still_top: StillTop::NONE,
            heap: HeapDraw::default(),
        }
    }
}

/// Everything the balance reads.
#[derive(Debug, Clone, Copy)]
pub struct WarmthInput<'a> {
    /// Weather from the first day; its length is the run.
    pub weather: &'a HourlyWeather,
    /// Where it stands.
    pub place: &'a Place,
    /// The vessel.
    pub vessel: &'a Vessel,
    /// Insulation.
    pub insulation: &'a [InsulationLayer],
    /// A heap around it.
    pub heap: Option<&'a Heap>,
    /// Heat put in.
    pub heater: Option<&'a Heater>,
    /// Feed and water of each day, kg, fed at noon.
    pub feed_kg_per_day: &'a [f64],
    /// Temperature of the feed of each day, degC; `None`: half at the day's air, half at tap
    /// temperature (ground at 1 m), never below 1 degC (judgement).
    pub feed_c: Option<&'a [f64]>,
    /// First day.
    pub start: Date,
    /// This world.
    pub draw: WarmthDraw,
    /// Feedstocks that the heap's parts index.
    pub feedstocks: &'a [Feedstock],
}

/// Temperatures and flows day by day; W are means of the day.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct WarmthResult {
    /// Mean slurry temperature, degC.
    pub slurry_daily_c: Vec<f64>,
    /// Lowest of the day, degC.
    pub slurry_min_c: Vec<f64>,
    /// Highest of the day, degC.
    pub slurry_max_c: Vec<f64>,
    /// Mean temperature of the heap, degC; the air's while there is no heap yet.
    pub heap_daily_c: Option<Vec<f64>>,
    /// Hottest shell of the heap at the day's end, degC.
    pub heap_hottest_c: Option<Vec<f64>>,
    /// Water of the heap, kg per kg wet.
    pub heap_moisture: Option<Vec<f64>>,
    /// Heat made in the heap, W.
    pub heap_heat_w: Option<Vec<f64>>,
    /// Heat from the heap into the slurry, W (negative: the slurry warms the heap).
    pub heap_to_slurry_w: Option<Vec<f64>>,
    /// Loss of the slurry to air, sky, ground and by drying off, W, the sun not counted.
    pub loss_w_daily: Vec<f64>,
    /// Water that dried off an open surface or a wet film, kg (negative: dew). The volume of
    /// the slurry is not changed by it.
    pub evaporated_kg_daily: Vec<f64>,
    /// Sun reaching the slurry or taken up by its open surface, W.
    pub sun_w_daily: Vec<f64>,
    /// Heat put in by the heater, W.
    pub heater_w_daily: Vec<f64>,
    /// Heat that the feed takes from the slurry, W.
    pub feed_w_daily: Vec<f64>,
    /// Share of the slurry's water that is ice at the day's end.
    pub ice_share: Vec<f64>,
    /// Days with ice in the slurry.
    pub frozen_days: u32,
    /// Sums of the run.
    pub ledger: Ledger,
}

/// Heat of a whole run, J; what came in less what went out is what is stored.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Ledger {
    /// Slurry and ice on it: change of their heat.
    pub slurry_stored_j: f64,
    /// To the air through walls, lid and base.
    pub air_loss_j: f64,
    /// To the sky.
    pub sky_loss_j: f64,
    /// To the ground.
    pub ground_loss_j: f64,
    /// By drying off.
    pub evaporation_j: f64,
    /// From the sun.
    pub sun_j: f64,
    /// From the heater.
    pub heater_j: f64,
    /// With the feed, less what ran out.
    pub feed_j: f64,
    /// From the heap into the slurry.
    pub heap_to_slurry_j: f64,
    /// Heap: change of its heat.
    pub heap_stored_j: f64,
    /// Heat made in it.
    pub heap_made_j: f64,
    /// Gone with its vapour.
    pub heap_vapour_j: f64,
    /// Through its surface.
    pub heap_surface_j: f64,
    /// Into the ground below it.
    pub heap_ground_j: f64,
    /// Brought by building and watering.
    pub heap_carried_j: f64,
    /// All flows added without sign, to measure a fault against.
    pub throughput_j: f64,
}

impl Ledger {
    /// Heat of the slurry that the flows do not explain, J; rounding only.
    pub fn slurry_fault_j(&self) -> f64 {
        self.slurry_stored_j
            - (self.sun_j + self.heater_j + self.feed_j + self.heap_to_slurry_j
                - self.air_loss_j
                - self.sky_loss_j
                - self.evaporation_j
                - self.ground_loss_j)
    }

    /// Heat of the heap that the flows do not explain, J; rounding only.
    pub fn heap_fault_j(&self) -> f64 {
        self.heap_stored_j
            - (self.heap_made_j + self.heap_carried_j
                - self.heap_vapour_j
                - self.heap_surface_j
                - self.heap_ground_j
                - self.heap_to_slurry_j)
    }
}

/// Why no temperature can be computed.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum WarmthError {
    /// A material without a row.
    #[error("no conductivity is known for the material \"{0}\"")]
    Material(String),
    /// The vessel is not usable.
    #[error("the vessel cannot be computed: {0}")]
    Vessel(&'static str),
    /// The heap is not usable.
    #[error("the heap cannot be computed: {0}")]
    Heap(&'static str),
    /// Weather, feed or a draw is not usable.
    #[error("{0}")]
    Input(&'static str),
}

/// Slurry temperature and heat flows of one world.
///
/// # Errors
/// Materials without a row, measures that are not above zero, and series that are shorter than
/// the weather or hold something that is not a number.
pub fn slurry_temperatures(input: &WarmthInput) -> Result<WarmthResult, WarmthError> {
    run::Run::new(input)?.all_days()
}
