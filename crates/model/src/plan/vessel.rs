//! The vessel, what keeps it warm, and its gas outlet.

use jiff::civil::Date;
use uom::si::f64::{Length, Power, Pressure, Ratio, ThermodynamicTemperature, Volume};

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
    /// What stands over it.
    pub roof: Roof,
    /// What closes the slurry to the air.
    pub top: Top,
    /// Share of the sides above the ground against which earth is banked, 0..1.
    pub earth_bank: Ratio,
    /// Temperature of the first filling; `None`: that of a day's feed.
    pub fill_temperature: Option<ThermodynamicTemperature>,
    /// Share of local wind that reaches it, 0..1.
    pub wind_exposure: f64,
    /// Share of the slurry space taken by filler that does not digest (chips).
    pub filler: Ratio,
    /// Times longer that solids stay than liquid (1 = the same); `None`: not told, and
    /// drawn by the kind of vessel.
    pub solids_retention_factor: Option<f64>,
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
    /// Sunk, wholly or in part: depth of the vessel's middle below the surface.
    InGround {
        /// Depth of the middle; zero when it is half in the ground, negative when less of it is.
        depth: Length,
    },
}

/// What stands over a vessel that is out of doors.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Roof {
    /// Nothing.
    None,
    /// A low tent of clear film, closed all day: warm and damp under it.
    Tent,
    /// A roof on posts or against a wall: no sun from above, no sky, half the wind.
    LeanTo,
}

/// What closes the slurry to the air.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Top {
    /// A lid with gas between it and the slurry.
    Lid,
    /// Nothing: an open store, whose gas is lost.
    Open,
    /// A film that lies on the slurry, with the insulation of the top upon it.
    Film {
        /// Rain stands on it or slurry wets it, and dries off.
        wet: bool,
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
    /// Heap material below the vessel; zero: the vessel stands on the ground.
    pub bed: Length,
    /// Temperature of the material when it is built; `None`: by what it is made of and the day.
    pub temperature: Option<ThermodynamicTemperature>,
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

/// The gas side as far as it acts on the vessel.
#[derive(Debug, Clone, Copy)]
pub struct GasOutlet {
    /// Back-pressure of wash jar, trap, line and store.
    pub back_pressure: Pressure,
    /// Air dosed into the headspace, as a share of the gas made (0 = none).
    pub air_dose: Ratio,
}
