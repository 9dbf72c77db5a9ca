//! The plan: what the user has, as checked domain types.
//!
//! A [`Plan`] is made by reading a plan file, which reports every fault of the
//! text at once; the demos in `examples/` show the file. Quantities are typed
//! (SI inside); the printing side uses [`UnitSystem`] to speak the user's units.

mod error;
mod fields;
pub mod gas_side;
mod how_known;
mod input;
mod lookup;
mod read;
mod section;
mod vessel;

#[cfg(test)]
mod tests;

pub use gas_side::{
    FlashBackStop, GasLine, GasSide, GasStore, GasUse, JarAlkali, Relief, Runs, Trap, UseRoom,
    Wanted, Wash, WashKind,
};
pub use how_known::HowKnown;
pub use input::{
    Additive, AdditiveKind, Away, Dilution, DoseTime, FeedStep, Feeding, FirstFill, Seed, SeedKind,
    Waste, WasteBasis,
};

pub use vessel::{
    Faces, GasOutlet, Heap, Heater, InsulationLayer, Roof, Shape, Siting, SlurryTemperature, Top,
    Vessel, VesselKind, VesselMode,
};

pub use error::{PlanError, PlanErrors};
pub use read::month_span;
pub use read::{Files, NoFiles, read, read_bytes};

use crate::weather::{Place, Weather};
use jiff::civil::Date;

/// Units the user thinks in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum UnitSystem {
    /// Litres, kilograms, degrees Celsius.
    Metric,
    /// US gallons, pounds, degrees Fahrenheit.
    Us,
}

impl From<UnitSystem> for fenlamp_quantity::Units {
    fn from(units: UnitSystem) -> Self {
        match units {
            UnitSystem::Metric => fenlamp_quantity::Units::Metric,
            UnitSystem::Us => fenlamp_quantity::Units::Us,
        }
    }
}

/// Names of the months, January first.
pub const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// Everything the user told us, checked.
#[derive(Debug, Clone)]
pub struct Plan {
    /// Short name of the plant.
    pub name: String,
    /// One or two sentences; demos say here that they are invented.
    pub about: String,
    /// Units of the report.
    pub units: UnitSystem,
    /// What a bucket holds.
    pub bucket: fenlamp_quantity::Volume,
    /// Day of the first fill.
    pub start: Date,
    /// Length of the forecast, days.
    pub days: u32,
    /// Worlds of the ensemble.
    pub worlds: u32,
    /// Seed of the named generator.
    pub seed: u64,
    /// Where it stands.
    pub place: Place,
    /// Its weather.
    pub weather: Weather,
    /// The vessel.
    pub vessel: Vessel,
    /// Insulation, from the wall outwards within each side.
    pub insulation: Vec<InsulationLayer>,
    /// A composting heap around the vessel.
    pub heap: Option<Heap>,
    /// Steady heat put into the slurry (hot-water coil, electric), if any.
    pub heater: Option<Heater>,
    /// Where the slurry temperature comes from.
    pub slurry_temperature: SlurryTemperature,
    /// Every feedstock the plan uses, resolved; `Waste::feedstock` indexes here.
    pub feedstocks: Vec<crate::feed::Feedstock>,
    /// What goes in through the year.
    pub waste: Vec<Waste>,
    /// How it is fed.
    pub feeding: Feeding,
    /// What is in the vessel on the first day.
    pub first_fill: FirstFill,
    /// Ash, lime, bicarbonate, iron.
    pub additives: Vec<Additive>,
    /// The gas side as far as it acts on the vessel.
    pub gas_outlet: GasOutlet,
    /// Wash, trap, line, store, relief and uses.
    pub gas_side: GasSide,
}

impl Plan {
    /// Whether nothing fresh ever goes in: seed and water alone, as in the blank of a test.
    pub fn is_blank(&self) -> bool {
        self.waste.is_empty() && self.first_fill.feed.is_empty()
    }

    /// Day of the first feed after the fill: the earliest step of a waste, or the day on
    /// which feeding begins for those without steps.
    pub fn first_feed_day(&self) -> u32 {
        let first = |w: &Waste| {
            w.steps
                .first()
                .map_or(self.feeding.first_day, |s| s.from_day)
        };
        let of_wastes = self.waste.iter().map(first).min();
        of_wastes.unwrap_or(self.feeding.first_day)
    }

    /// Day by which every waste has come in full: its greatest step has begun, or the
    /// ramp has ended.
    pub fn full_feed_day(&self) -> u32 {
        let ramp_ends = self.feeding.first_day + self.feeding.ramp_days;
        let full = |w: &Waste| {
            let greatest = w.steps.iter().find(|s| s.share >= 1.0);
            greatest.map_or(ramp_ends, |s| s.from_day)
        };
        self.waste.iter().map(full).max().unwrap_or(ramp_ends)
    }
}
