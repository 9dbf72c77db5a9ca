//! The plan: what the user has, as checked domain types.
//!
//! A [`Plan`] is made by reading a plan file, which reports every fault of the
//! text at once. Quantities are typed (SI inside); the printing side uses
//! [`UnitSystem`] to speak the user's units.

mod error;
mod lookup;
mod read;
mod section;

#[cfg(test)]
mod tests;

pub use error::{PlanError, PlanErrors};
pub use read::{Files, NoFiles, read, read_bytes};

use jiff::civil::Date;
use uom::si::f64::{
    Length, Mass, MassRate, Power, Pressure, Ratio, ThermodynamicTemperature, Volume,
};

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

/// Everything the user told us, checked.
#[derive(Debug, Clone)]
pub struct Plan {
    /// Short name of the plant.
    pub name: String,
    /// One or two sentences; demos say here that they are invented.
    pub about: String,
    /// Units of the report.
    pub units: UnitSystem,
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
}

/// Where the plant stands.
#[derive(Debug, Clone)]
pub struct Place {
    /// Name shown.
    pub name: String,
    /// Degrees north (south negative).
    pub latitude_deg: f64,
    /// Height above sea.
    pub altitude: Length,
    /// Thermal class of the ground.
    pub soil: Soil,
}

/// Ground around and under the vessel.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Soil {
    /// Sandy, free draining.
    Sand,
    /// Clay or loam.
    Clay,
}

/// Weather of the place.
#[derive(Debug, Clone)]
pub enum Weather {
    /// Twelve monthly normals, January first.
    Normals(MonthlyNormals),
    /// Hourly or daily records; the year is repeated when the forecast is longer.
    Series(WeatherSeries),
}

/// Monthly normals, January first.
#[derive(Debug, Clone, PartialEq)]
pub struct MonthlyNormals {
    /// Mean daily high, degC.
    pub high_c: [f64; 12],
    /// Mean daily low, degC.
    pub low_c: [f64; 12],
    /// Global horizontal sun, kWh/(m2 day).
    pub sun_kwh_m2_day: [f64; 12],
    /// Mean wind, m/s.
    pub wind_m_s: [f64; 12],
}

/// An imported series, evenly spaced from its first time stamp.
#[derive(Debug, Clone, PartialEq)]
pub struct WeatherSeries {
    /// First day of the record.
    pub first: Date,
    /// Hours between rows: 1 or 24.
    pub step_hours: u32,
    /// Air temperature, degC.
    pub air_c: Vec<f64>,
    /// Global horizontal sun, W/m2 (mean of the step).
    pub sun_w_m2: Vec<f64>,
    /// Wind, m/s.
    pub wind_m_s: Vec<f64>,
    /// Where it came from (file name), for the report.
    pub origin: String,
}

/// The vessel.
#[derive(Debug, Clone)]
pub struct Vessel {
    /// Kind, which sets the shape.
    pub kind: VesselKind,
    /// Inside volume to the brim.
    pub volume: Volume,
    /// Slurry when full (to the overflow).
    pub liquid: Volume,
    /// Shape, inside.
    pub shape: Shape,
    /// Wall material: an id in `thermal_properties.csv` (`k_hdpe`, `k_steel`, ...).
    pub wall_material: String,
    /// Wall thickness.
    pub wall_thickness: Length,
    /// Solar absorptance of the outermost surface, 0..1.
    pub absorptance: f64,
    /// Where it stands.
    pub siting: Siting,
    /// Share of local wind that reaches it, 0..1.
    pub wind_exposure: f64,
    /// Share of the slurry space taken by filler that does not digest (chips).
    pub filler: Ratio,
    /// Times longer that solids stay than liquid (1 = the same).
    pub solids_retention_factor: f64,
    /// Tanks in series (long bag: 3, else 1).
    pub stages: u32,
    /// How it is run.
    pub mode: VesselMode,
}

/// Kinds of vessel a household uses.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum VesselKind {
    /// Steel or plastic drum (barrel).
    Drum,
    /// Caged tote of about 1000 L.
    Tote,
    /// A built or plastic tank, above ground.
    Tank,
    /// A tank sunk in the ground.
    SunkenTank,
    /// A long flexible bag lying in a trench.
    LongBag,
}

/// Inside shape.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Shape {
    /// Standing cylinder.
    StandingCylinder {
        /// Inside diameter.
        diameter: Length,
        /// Inside height.
        height: Length,
    },
    /// Lying cylinder.
    LyingCylinder {
        /// Inside diameter.
        diameter: Length,
        /// Inside length.
        length: Length,
    },
    /// Box.
    Box {
        /// Inside length.
        length: Length,
        /// Inside width.
        width: Length,
        /// Inside height.
        height: Length,
    },
}

/// Where the vessel stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Siting {
    /// In the open, on the ground.
    Outdoors,
    /// Under a roof without heating (shed): no sun, no wind.
    Shed,
    /// In a room kept at a temperature.
    Room(ThermodynamicTemperature),
    /// In a greenhouse or polytunnel.
    Greenhouse,
    /// Sunk: depth of the vessel's middle below the surface.
    InGround {
        /// Depth of the middle.
        depth: Length,
    },
}

/// How the vessel is run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum VesselMode {
    /// Filled once and left.
    Batch,
    /// Fed, and as much runs out as goes in.
    Overflow,
    /// Fed without outlet; every so many days drawn down to a share of the full level.
    DrawOff {
        /// Days between draw-offs.
        every_days: u32,
        /// Share of the full slurry left in.
        leave: Ratio,
    },
    /// Filled once, then topped up until full, then left.
    TopUp,
}

/// One layer of insulation.
#[derive(Debug, Clone)]
pub struct InsulationLayer {
    /// Faces it covers.
    pub on: Faces,
    /// Id in `thermal_properties.csv`.
    pub material: String,
    /// Thickness.
    pub thickness: Length,
}

/// Faces of the vessel.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Faces {
    /// Sides, top and base.
    All,
    /// Sides only.
    Sides,
    /// Top only.
    Top,
    /// Base only.
    Base,
}

/// A composting heap around the vessel.
#[derive(Debug, Clone)]
pub struct Heap {
    /// Volume as built, vessel not counted.
    pub volume: Volume,
    /// Bulk density as built, kg/m3.
    pub density_kg_m3: f64,
    /// Water, kg per kg wet.
    pub moisture: Ratio,
    /// What it is made of: feedstock index in `Plan::feedstocks` and share of the dry matter.
    pub parts: Vec<(usize, Ratio)>,
    /// Day it was built.
    pub built: Date,
    /// Rebuilt with fresh material every so many days.
    pub rebuilt_every_days: Option<u32>,
    /// Wetted back to the built moisture every so many days.
    pub watered_every_days: Option<u32>,
    /// Share of the vessel's side and top it covers.
    pub covers: Ratio,
    /// Thermal resistance of the skin over the heap (straw, fleece), m2 K/W.
    pub cover_r_m2k_w: f64,
}

/// Steady heat into the slurry.
#[derive(Debug, Clone)]
pub struct Heater {
    /// Heat delivered.
    pub power: Power,
    /// Slurry temperature at which it switches off.
    pub up_to: ThermodynamicTemperature,
}

/// Where the slurry temperature comes from.
#[derive(Debug, Clone)]
pub enum SlurryTemperature {
    /// The heat balance.
    HeatBalance,
    /// Held (laboratory).
    Fixed(ThermodynamicTemperature),
    /// Imported: mean of each day, degC, from the first day; repeated when shorter.
    Series {
        /// One value a day, degC.
        daily_c: Vec<f64>,
        /// File it came from.
        origin: String,
    },
}

/// One stream of waste.
#[derive(Debug, Clone)]
pub struct Waste {
    /// Index in `Plan::feedstocks`.
    pub feedstock: usize,
    /// Words for the report ("manure of 6 goats, 60 % collected").
    pub label: String,
    /// Fresh mass a day in each month, January first.
    pub fresh: [MassRate; 12],
    /// Where the mass came from.
    pub basis: WasteBasis,
}

/// How the amount was given.
#[derive(Debug, Clone, PartialEq)]
pub enum WasteBasis {
    /// An amount by the user.
    Amount,
    /// Heads of an animal of `animals.csv`.
    Animals {
        /// Animal id.
        animal: String,
        /// Heads.
        head: f64,
        /// Share of the dung that is collected.
        collected: f64,
    },
}

/// How the vessel is fed.
#[derive(Debug, Clone)]
pub struct Feeding {
    /// Days between feedings.
    pub every_days: u32,
    /// First day of feeding after the fill.
    pub first_day: u32,
    /// Days over which the feed rises from nothing to the full amount.
    pub ramp_days: u32,
    /// Water.
    pub water: Dilution,
}

/// How much water goes with the feed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Dilution {
    /// None.
    None,
    /// Kilograms of water per kilogram of fresh feed.
    PerFeed(f64),
    /// As much as brings the mix to this share of total solids.
    ToSolids(Ratio),
}

/// What is in the vessel on the first day.
#[derive(Debug, Clone)]
pub struct FirstFill {
    /// Fresh feedstocks: index in `Plan::feedstocks` and mass.
    pub feed: Vec<(usize, Mass)>,
    /// Seed sludge.
    pub seed: Option<Seed>,
    /// Water; `None` fills up to the liquid level.
    pub water: Option<Mass>,
}

/// Seed (inoculum).
#[derive(Debug, Clone)]
pub struct Seed {
    /// Kind.
    pub kind: SeedKind,
    /// Volume put in.
    pub volume: Volume,
    /// Temperature it was grown at, which decides which guilds it carries.
    pub grown_at: ThermodynamicTemperature,
    /// Volatile solids, share of the wet mass, where known (laboratory).
    pub volatile_solids: Option<Ratio>,
    /// Days since it left a working digester, kept closed.
    pub age_days: f64,
}

/// Kinds of seed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SeedKind {
    /// Effluent of a working digester on manure or mixed feed.
    Digestate,
    /// Slurry that has long lain in a pit or lagoon.
    OldSlurry,
    /// Contents of a cow's rumen, or fresh ruminant dung used as seed.
    Rumen,
    /// Sediment of a pond or marsh.
    PondMud,
}

/// Something added that is not feed.
#[derive(Debug, Clone)]
pub struct Additive {
    /// Kind.
    pub kind: AdditiveKind,
    /// Mass of one dose.
    pub dose: Mass,
    /// When.
    pub when: DoseTime,
}

/// Kinds of additive.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AdditiveKind {
    /// Wood ash.
    WoodAsh,
    /// Slaked lime, Ca(OH)2.
    SlakedLime,
    /// Sodium bicarbonate, NaHCO3.
    Bicarbonate,
    /// Iron(II) chloride, counted as FeCl2.
    IronChloride,
    /// Gypsum, CaSO4.2H2O: sulfate, for laboratory and warning cases.
    Gypsum,
}

/// When a dose is given.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum DoseTime {
    /// On the first day, into the fill.
    AtFill,
    /// Once, so many days after the fill.
    OnDay(u32),
    /// Every so many days.
    Every(u32),
}

/// The gas side as far as it acts on the vessel.
#[derive(Debug, Clone, Copy)]
pub struct GasOutlet {
    /// Back-pressure of wash jar, trap, line and store.
    pub back_pressure: Pressure,
    /// Air dosed into the headspace, as a share of the gas made (0 = none).
    pub air_dose: Ratio,
}
