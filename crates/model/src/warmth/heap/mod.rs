//! A composting heap around the vessel, as half-ball shells that burn, dry and conduct.
//!
//! Four shells carry their own temperature, fuel, water, ice and flora, because a hot core in a
//! cool rind is what a heap is. The flora grows from what the material brings, as temperature,
//! food, water and air allow, and what burns is what it can burn. Rain on the heap and sun on it
//! are left out.

pub mod decay;
mod shells;

use std::sync::LazyLock;

use jiff::civil::Date;
use uom::si::ratio::ratio;
use uom::si::thermodynamic_temperature::degree_celsius;
use uom::si::volume::cubic_meter;

use crate::feed::{Feedstock, Group};
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
    /// Factor on every rate of decay and on the growth of the flora.
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
    /// Dry air drawn through by warmth, kg/(s m2 K): over the heap's radius, m, per m3.
    pub(crate) draught_kg_s_m2k: f64,
    /// Factor on the air that diffuses in.
    pub(crate) air_factor: f64,
    /// Factor on the growth of the flora.
    pub(crate) growth_factor: f64,
    /// Permeability against chips of the same free air space.
    pub(crate) openness: f64,
    /// Activity of the starting flora as built.
    pub(crate) awake: f64,
    /// Share that comes warm from stable or kitchen.
    pub(crate) comes_warm: f64,
    /// Temperature as built where the plan gives it, degC.
    pub(crate) built_c: Option<f64>,
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
            && heap.cover_r_m2k_w >= 0.0
            && heap
                .temperature
                .is_none_or(|t| t.get::<degree_celsius>().is_finite());
        if !sound {
            return Err(WarmthError::Heap(
                "volume, density, moisture, cover or temperature is not usable",
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
        let mut parts = Vec::with_capacity(heap.parts.len());
        for (index, share) in &heap.parts {
            let feedstock = feedstocks
                .get(*index)
                .ok_or(WarmthError::Heap("a part is no feedstock of the plan"))?;
            parts.push((feedstock, share.get::<ratio>() / shares));
        }
        let of_group = |group: Group| -> f64 {
            let mine = parts.iter().filter(|(f, _)| f.group == group);
            mine.map(|(_, share)| share).sum()
        };
        // Dung and straw burn together as far as they pair.
        let (dung, straw) = (of_group(Group::Manure), of_group(Group::Crop));
        let paired_straw = straw.min(dung / decay::DUNG_PER_STRAW);
        let paired = |group: Group| match group {
            Group::Manure if dung > 0.0 => (paired_straw * decay::DUNG_PER_STRAW / dung).min(1.0),
            Group::Crop if straw > 0.0 => paired_straw / straw,
            _ => 0.0,
        };
        let mut fuel_kg_m3 = [0.0; CLASSES];
        let (mut awake, mut comes_warm, mut openness) = (0.0, 0.0, 0.0);
        for (feedstock, share) in &parts {
            let alone = decay::fuel_of(feedstock);
            let pair = paired(feedstock.group);
            for (kind, part) in [
                (&alone, share * (1.0 - pair)),
                (&decay::HOT_MIX, share * pair),
            ] {
                let burns = (kind.burns * draw.fuel_factor).clamp(0.0, 0.95);
                let volatile = dry_kg_m3 * part * feedstock.volatile_of_ts;
                for (fuel, class) in fuel_kg_m3.iter_mut().zip(kind.classes) {
                    *fuel += volatile * burns * class;
                }
                awake += part * kind.awake;
                openness += part * kind.openness;
            }
            // Straw is cold however it is paired.
            comes_warm += share * f64::from(u8::from(alone.comes_warm));
        }
        Ok(Recipe {
            volume_m3,
            dry_kg_m3,
            water_kg_m3: heap.density_kg_m3 * moisture,
            moisture,
            fuel_kg_m3,
            rates_per_s: decay::class_rates_per_day().map(|k| k * draw.rate_factor / 86_400.0),
            conductivity_w_mk: c::rows().heap_conductivity_w_mk * draw.conductivity_factor,
            draught_kg_s_m2k: draw.air_factor * c::HEAP_DRAUGHT_KG_S_M2K
                / (1.0 + heap.cover_r_m2k_w / c::HEAP_DRAUGHT_HALVED_M2K_W),
            air_factor: draw.air_factor,
            cover_m2k_w: heap.cover_r_m2k_w,
            growth_factor: draw.rate_factor,
            openness,
            awake,
            comes_warm,
            built_c: heap.temperature.map(|t| t.get::<degree_celsius>()),
        })
    }

    /// Temperature as built on a day of the air's mean, degC: what comes from stable or kitchen
    /// is warm, chips and straw are as cold as the day, frozen in frost.
    pub(crate) fn built_c(&self, air_c: f64) -> f64 {
        let warm = air_c.max(c::STABLE_WARM_C);
        self.built_c
            .unwrap_or(self.comes_warm * warm + (1.0 - self.comes_warm) * air_c)
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

/// Ends of the curves, degC.
const CURVES_C: [f64; 2] = [-40.0, 90.0];

/// Rate of each flora fully grown, and its death by heat, 1/d: starting flora's rate, heat-loving
/// one's, then the deaths.
static FLORA: LazyLock<Curve<4>> = LazyLock::new(|| {
    Curve::new(CURVES_C[0], CURVES_C[1], |t| {
        [
            decay::flora_factor(0, t),
            decay::flora_factor(1, t),
            decay::heat_death_per_day(0, t),
            decay::heat_death_per_day(1, t),
        ]
    })
});

/// Curves of temperature that the hourly loop looks up instead of computing.
#[derive(Debug, Clone)]
pub(crate) struct Curves {
    /// See [`FLORA`].
    pub(crate) flora: &'static Curve<4>,
    /// Water of saturated air, kg/kg, and its enthalpy, J/kg.
    pub(crate) vapour: Curve<2>,
}

impl Curves {
    pub(crate) fn new(altitude_m: f64) -> Self {
        let pressure_pa = moist_air::pressure_at_pa(altitude_m);
        Curves {
            flora: &FLORA,
            vapour: Curve::new(CURVES_C[0], CURVES_C[1], |t| {
                let humidity = moist_air::humidity_ratio(t, 1.0, pressure_pa);
                [humidity, moist_air::enthalpy_j_kg(t, humidity)]
            }),
        }
    }
}
