//! A composting heap around the vessel, as half-ball shells that burn, dry and conduct.
//!
//! Four shells carry their own temperature, fuel and water, because a hot core in a cool rind is
//! what a heap is. Rain on the heap, sun on it and the freezing of its water are left out.

pub mod decay;
mod shells;

use jiff::civil::Date;
use uom::si::ratio::ratio;
use uom::si::volume::cubic_meter;

use crate::feed::Feedstock;
use crate::plan;

use super::WarmthError;
use super::coefficients as c;
use super::curve::Curve;
use super::moist_air;
use decay::CLASSES;
pub(crate) use shells::{Bed, Core, Outside, Shells};

/// How one world's heap departs from the central figures; every factor is 1 in the middle.
///
/// Bands worth drawing (compost_heat.md sections 3 and 6: nothing about a heap is known
/// closely): rate 0.4-1.7, fuel 0.6-1.5, conductivity 0.6-1.5, air 0.5-2.5.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeapDraw {
    /// Factor on every rate of decay.
    pub rate_factor: f64,
    /// Factor on the share that burns.
    pub fuel_factor: f64,
    /// Factor on the heap's conductivity.
    pub conductivity_factor: f64,
    /// Factor on the air drawn through.
    pub air_factor: f64,
}

impl Default for HeapDraw {
    fn default() -> Self {
        HeapDraw {
            rate_factor: 1.0,
            fuel_factor: 1.0,
            conductivity_factor: 1.0,
            air_factor: 1.0,
        }
    }
}

/// What a heap is made of, ready to be filled into shells.
#[derive(Debug, Clone)]
pub(crate) struct Recipe {
    pub(crate) volume_m3: f64,
    /// Dry matter, kg/m3.
    pub(crate) dry_kg_m3: f64,
    /// Water, kg/m3.
    pub(crate) water_kg_m3: f64,
    /// Water share as built.
    pub(crate) moisture: f64,
    /// Fuel of each class, kg/m3.
    pub(crate) fuel_kg_m3: [f64; CLASSES],
    /// Rates at the best temperature, 1/s.
    pub(crate) rates_per_s: [f64; CLASSES],
    pub(crate) conductivity_w_mk: f64,
    /// Dry air drawn through per heat, kg/J.
    pub(crate) air_kg_j: f64,
    /// Dry air drawn through by warmth, kg/(s m3 K).
    pub(crate) draught_kg_s_m3k: f64,
    pub(crate) cover_m2k_w: f64,
}

impl Recipe {
    pub(crate) fn new(
        heap: &plan::Heap,
        feedstocks: &[Feedstock],
        draw: &HeapDraw,
    ) -> Result<Self, WarmthError> {
        let moisture = heap.moisture.get::<ratio>();
        let volume_m3 = heap.volume.get::<cubic_meter>();
        let sound = volume_m3.is_finite()
            && volume_m3 > 0.0
            && heap.density_kg_m3.is_finite()
            && heap.density_kg_m3 > 0.0
            && (0.0..1.0).contains(&moisture)
            && heap.cover_r_m2k_w.is_finite()
            && heap.cover_r_m2k_w >= 0.0;
        if !sound {
            return Err(WarmthError::Heap(
                "volume, density, moisture or cover is not usable",
            ));
        }
        let dry_kg_m3 = heap.density_kg_m3 * (1.0 - moisture);
        let shares: f64 = heap
            .parts
            .iter()
            .map(|(_, share)| share.get::<ratio>())
            .sum();
        if !(shares.is_finite() && shares > 0.0) {
            return Err(WarmthError::Heap("it has no parts"));
        }
        let mut fuel_kg_m3 = [0.0; CLASSES];
        for (index, share) in &heap.parts {
            let feedstock = feedstocks
                .get(*index)
                .ok_or(WarmthError::Heap("a part is no feedstock of the plan"))?;
            let (burns, classes) = decay::fuel_of_group(feedstock.group);
            let burns = (burns * draw.fuel_factor).clamp(0.0, 0.95);
            let volatile = dry_kg_m3 * share.get::<ratio>() / shares * feedstock.volatile_of_ts;
            for (fuel, class) in fuel_kg_m3.iter_mut().zip(classes) {
                *fuel += volatile * burns * class;
            }
        }
        let leaving = c::AIR_OXYGEN_MASS_SHARE * (1.0 - c::HEAP_OXYGEN_PCT / c::AIR_OXYGEN_PCT);
        Ok(Recipe {
            volume_m3,
            dry_kg_m3,
            water_kg_m3: heap.density_kg_m3 * moisture,
            moisture,
            fuel_kg_m3,
            rates_per_s: decay::class_rates_per_day().map(|k| k * draw.rate_factor / 86_400.0),
            conductivity_w_mk: c::rows().heap_conductivity_w_mk * draw.conductivity_factor,
            air_kg_j: draw.air_factor / (c::rows().heat_per_oxygen_j_kg * leaving),
            draught_kg_s_m3k: draw.air_factor * c::HEAP_DRAUGHT_KG_S_M3K
                / (1.0 + heap.cover_r_m2k_w / c::HEAP_DRAUGHT_HALVED_M2K_W),
            cover_m2k_w: heap.cover_r_m2k_w,
        })
    }
}

/// Days on which a heap is built anew or wetted.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Care {
    pub(crate) built: Date,
    pub(crate) rebuilt_every_days: Option<u32>,
    pub(crate) watered_every_days: Option<u32>,
}

/// What happens to a heap on a day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Event {
    Build,
    Water,
    None,
}

impl Care {
    /// What happens on the day so many days after the heap was first built.
    pub(crate) fn on(&self, age_days: i64) -> Event {
        let due = |every: Option<u32>| {
            every.is_some_and(|days| days > 0 && age_days % i64::from(days) == 0)
        };
        if age_days == 0 || (age_days > 0 && due(self.rebuilt_every_days)) {
            Event::Build
        } else if age_days > 0 && due(self.watered_every_days) {
            Event::Water
        } else {
            Event::None
        }
    }
}

/// Curves of temperature that the hourly loop looks up instead of computing.
#[derive(Debug, Clone)]
pub(crate) struct Curves {
    pub(crate) rate: Curve,
    pub(crate) humidity: Curve,
    pub(crate) enthalpy: Curve,
}

impl Curves {
    pub(crate) fn new(altitude_m: f64) -> Self {
        let pressure_pa = moist_air::pressure_at_pa(altitude_m);
        let humidity = |t: f64| moist_air::humidity_ratio(t, 1.0, pressure_pa);
        Curves {
            rate: Curve::new(-40.0, 90.0, decay::temperature_factor),
            humidity: Curve::new(-40.0, 90.0, humidity),
            enthalpy: Curve::new(-40.0, 90.0, |t| moist_air::enthalpy_j_kg(t, humidity(t))),
        }
    }
}
