//! The gas side: wash, trap, line, store, relief, flash-back stop and uses.

use fenlamp_quantity::{Length, Mass, Pressure, Time, Volume, VolumeRate};

use crate::gas::appliances::Appliance;
use crate::gas::store::{Shape, Standing, skin::Material};
use crate::gas::wash::iron::Medium;
use crate::gas::wash::liquor::Alkali;

/// Everything between the vessel and the flame. All of it may be missing.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct GasSide {
    /// Washes, in the order the gas passes them.
    pub washes: Vec<Wash>,
    /// Water trap.
    pub trap: Option<Trap>,
    /// Hose or pipe from the vessel to the burner.
    pub line: Option<GasLine>,
    /// Store.
    pub store: Option<GasStore>,
    /// Relief.
    pub relief: Option<Relief>,
    /// Flash-back stop.
    pub flash_back: Option<FlashBackStop>,
    /// What burns the gas, most wanted first.
    pub uses: Vec<GasUse>,
}

impl GasSide {
    /// Nothing is said of the gas side.
    pub fn is_empty(&self) -> bool {
        *self == GasSide::default()
    }
}

/// A wash.
#[derive(Debug, Clone, PartialEq)]
pub struct Wash {
    /// What it is.
    pub kind: WashKind,
    /// Mass of ash, dry alkali or iron.
    pub mass: Mass,
    /// How often it is filled anew; `None`: never.
    pub renewed_every_days: Option<u32>,
}

/// Kinds of wash.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum WashKind {
    /// A jar of lye that the gas bubbles through.
    LyeJar {
        /// What the lye is made of.
        alkali: JarAlkali,
        /// Liquor in the jar.
        liquor: Volume,
        /// How deep the gas enters below the surface.
        bubble_depth: Length,
    },
    /// A bottle or box of moistened wood ash.
    AshBed {
        /// Volume of the bed.
        bed: Volume,
    },
    /// A bottle or box of iron.
    IronPacking {
        /// Which iron.
        medium: Medium,
        /// Volume of the packing.
        bed: Volume,
        /// How many times it is brought back with air before it is renewed.
        regenerated: u32,
    },
}

/// Alkali of a jar.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum JarAlkali {
    /// Wood ash, steeped.
    WoodAsh,
    /// One that is weighed.
    Pure(Alkali),
}

/// A water trap.
#[derive(Debug, Clone, PartialEq)]
pub struct Trap {
    /// Water it takes before it must be emptied.
    pub volume: Volume,
    /// It hangs at the lowest point of the line.
    pub at_low_point: bool,
    /// Where it stands.
    pub runs: Runs,
}

/// Where a line or trap is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Runs {
    /// In the open air.
    Outdoors,
    /// In a house, shed or greenhouse.
    Indoors,
    /// In the ground.
    Buried,
}

/// A gas line.
#[derive(Debug, Clone, PartialEq)]
pub struct GasLine {
    /// Bore.
    pub bore: Length,
    /// Length.
    pub length: Length,
    /// Elbows.
    pub elbows: u32,
    /// Ball valves.
    pub valves: u32,
    /// Tees, the flow turning.
    pub tees: u32,
    /// Where it runs.
    pub runs: Runs,
    /// Its lowest point can be drained.
    pub low_point_drained: bool,
}

/// A store.
#[derive(Debug, Clone, PartialEq)]
pub struct GasStore {
    /// Form and size.
    pub shape: Shape,
    /// Material.
    pub material: Material,
    /// Thickness of the skin.
    pub thickness: Length,
    /// Weight on it, or of the drum.
    pub weight: Mass,
    /// Water of a floating drum's bath; zero for bags.
    pub bath: Volume,
    /// Where it stands.
    pub stands: Standing,
    /// The room, when indoors.
    pub room: Option<UseRoom>,
}

/// A relief: a column of water that lets gas out.
#[derive(Debug, Clone, PartialEq)]
pub struct Relief {
    /// Depth of water as a pressure.
    pub depth: Pressure,
    /// Where it lets gas out.
    pub runs: Runs,
}

/// A stop against a flame running back.
#[derive(Debug, Clone, PartialEq)]
pub enum FlashBackStop {
    /// A water seal that the gas bubbles through.
    WaterSeal {
        /// Depth the gas enters below the surface.
        depth: Length,
    },
    /// Wire mesh.
    Mesh {
        /// Clear gap between the wires.
        gap: Length,
    },
}

/// A room in which gas is stored or burned.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct UseRoom {
    /// Volume.
    pub volume: Volume,
    /// Air changes per hour, as told; `None`: not known.
    pub air_changes_per_h: Option<f64>,
    /// A greenhouse.
    pub greenhouse: bool,
}

/// A use of the gas.
#[derive(Debug, Clone, PartialEq)]
pub struct GasUse {
    /// What burns it.
    pub appliance: Appliance,
    /// How much is wanted.
    pub wanted: Wanted,
    /// Share of each hour of the day, midnight first, in which it is used.
    pub hours: [f64; 24],
    /// Months in which it is used, January first.
    pub months: [bool; 12],
    /// Gas while it burns, as the store holds it at 60 % methane.
    pub flow: VolumeRate,
    /// The room; `None`: in the open or not told.
    pub room: Option<UseRoom>,
    /// A flue takes the fumes outside.
    pub flue: bool,
}

/// How much of a use is wanted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Wanted {
    /// Burning at all its hours.
    AllItsHours,
    /// Kettles of 1.5 L a day.
    Kettles(f64),
    /// Water heated a day.
    Water(Volume),
}

impl GasUse {
    /// Hours a day in which it may burn.
    pub fn hours_per_day(&self) -> f64 {
        self.hours.iter().sum()
    }
}

/// A length of time that a wash or trap waits, days.
pub(super) fn days(t: Time) -> u32 {
    (t.value / 86_400.0).round() as u32
}
