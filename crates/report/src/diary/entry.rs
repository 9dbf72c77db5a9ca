//! The kinds of entry.

use jiff::civil::{Date, Time};
use serde::{Deserialize, Serialize};

use super::Titration;

/// One thing done or seen. Figures are SI; names carry the unit, for they are also
/// those of the JSON form.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case", deny_unknown_fields)]
pub enum Entry {
    /// Fed.
    Fed {
        /// Id of the feedstock.
        feedstock: String,
        /// Fresh mass, kg.
        kg: f64,
        /// Water with it, kg; `None`: as the plan says.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        water_kg: Option<f64>,
    },
    /// Slurry drawn off.
    DrawnOff {
        /// Volume, m3.
        m3: f64,
    },
    /// Temperature of the slurry.
    SlurryTemperature {
        /// Kelvin.
        kelvin: f64,
    },
    /// Temperature of the air.
    AirTemperature {
        /// Kelvin.
        kelvin: f64,
    },
    /// Gas made, wet, as the store holds it.
    Gas {
        /// Volume, m3.
        m3: f64,
        /// Days over which it came, the entry's day the last.
        days: f64,
        /// How it was judged.
        by: GasBy,
    },
    /// The counter of a gas meter.
    Meter {
        /// Reading, m3.
        m3: f64,
    },
    /// Gas burned.
    Burned {
        /// How long, seconds.
        seconds: f64,
        /// Gas while it burned, m3/s; `None`: as the plan's use says.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        m3_s: Option<f64>,
    },
    /// How full the store stands.
    Store {
        /// Level.
        level: StoreLevel,
    },
    /// How a flame looks.
    Flame {
        /// Its looks.
        looks: Flame,
    },
    /// pH of the slurry.
    Ph {
        /// pH.
        ph: f64,
        /// How it was measured.
        by: PhBy,
    },
    /// Acids and buffer by titration to two end points.
    Titration(Titration),
    /// Hydrogen sulfide of the raw gas by a strip or tube.
    Sulfide {
        /// Parts per million by volume.
        ppm: f64,
    },
    /// Smell of the gas or slurry.
    Smell {
        /// What it is like.
        smell: Smell,
    },
    /// Foam on the slurry.
    Foam {
        /// How much.
        foam: Foam,
    },
    /// Joints tested with soapy water or by the store's height.
    LeakTest {
        /// Nothing leaked.
        tight: bool,
    },
    /// A wash was changed.
    WashChanged {
        /// Which, counted from the vessel, from 1.
        wash: u32,
    },
    /// The trap was emptied.
    TrapEmptied {
        /// Water in it, m3, where looked at.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        m3: Option<f64>,
    },
    /// Buffer or other matter added, by its name of the plan's additives.
    Added {
        /// Which: `wood_ash`, `slaked_lime`, `bicarbonate`, `iron_chloride`.
        what: String,
        /// Mass, kg.
        kg: f64,
    },
    /// Free words.
    Note {},
    /// A photograph kept beside the diary.
    Photo {
        /// Name of the file.
        file: String,
    },
    /// An entry taken back: a correction that leaves nothing.
    Withdrawn {},
}

/// How an amount of gas was judged.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum GasBy {
    /// By how far a bag or drum rose, by eye.
    Rise,
    /// By a gas meter.
    Meter,
    /// By how long it burned.
    Burning,
}

/// How full a store stands, by eye.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum StoreLevel {
    /// Nothing to draw.
    Empty,
    /// About a quarter.
    Quarter,
    /// About half.
    Half,
    /// About three quarters.
    ThreeQuarters,
    /// Full; more may have been let out.
    Full,
    /// A share read off a scale, 0 to 1.
    Share(f64),
}

impl StoreLevel {
    /// Share of the store, 0 to 1.
    pub fn share(self) -> f64 {
        match self {
            StoreLevel::Empty => 0.0,
            StoreLevel::Quarter => 0.25,
            StoreLevel::Half => 0.5,
            StoreLevel::ThreeQuarters => 0.75,
            StoreLevel::Full => 1.0,
            StoreLevel::Share(s) => s,
        }
    }
}

/// How a flame looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Flame {
    /// The gas does not light.
    None,
    /// It lights and goes out.
    GoesOut,
    /// It burns blue.
    Blue,
    /// It burns yellow.
    Yellow,
}

/// How pH was measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum PhBy {
    /// Paper strip.
    Strip,
    /// Meter with a glass electrode.
    Meter,
}

/// What it smells of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Smell {
    /// Nothing unusual.
    Usual,
    /// Vinegar, rancid butter.
    Sour,
    /// Rotten eggs.
    Eggs,
    /// Sharp, of ammonia.
    Ammonia,
}

/// Foam on the slurry.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Foam {
    /// None.
    None,
    /// Some.
    Some,
    /// Much: it rises to the outlet.
    Much,
}

/// Kinds of entry as they are typed, with an example of each.
pub const KINDS: [(&str, &str); 20] = [
    ("fed", "2 bucket goat_manure"),
    ("drawn-off", "1 bucket"),
    ("slurry", "18 °C"),
    ("air", "9 °C"),
    ("gas", "120 L"),
    ("meter", "12.4 m3"),
    ("burned", "35 min"),
    ("bag", "half"),
    ("flame", "blue"),
    ("ph", "6.8 by strip"),
    ("titration", "20 mL, 0.1 N, 12.5 mL, 15 mL"),
    ("h2s", "1500 ppm"),
    ("smell", "sour"),
    ("foam", "some"),
    ("leak", "tight"),
    ("wash", "1"),
    ("trap", "emptied"),
    ("added", "200 g bicarbonate"),
    ("note", "anything"),
    ("photo", "flame.jpg"),
];

impl Entry {
    /// The kind as it is typed; `None` for an entry taken back.
    pub fn kind(&self) -> Option<&'static str> {
        Some(match self {
            Entry::Fed { .. } => "fed",
            Entry::DrawnOff { .. } => "drawn-off",
            Entry::SlurryTemperature { .. } => "slurry",
            Entry::AirTemperature { .. } => "air",
            Entry::Gas { .. } => "gas",
            Entry::Meter { .. } => "meter",
            Entry::Burned { .. } => "burned",
            Entry::Store { .. } => "bag",
            Entry::Flame { .. } => "flame",
            Entry::Ph { .. } => "ph",
            Entry::Titration(_) => "titration",
            Entry::Sulfide { .. } => "h2s",
            Entry::Smell { .. } => "smell",
            Entry::Foam { .. } => "foam",
            Entry::LeakTest { .. } => "leak",
            Entry::WashChanged { .. } => "wash",
            Entry::TrapEmptied { .. } => "trap",
            Entry::Added { .. } => "added",
            Entry::Note {} => "note",
            Entry::Photo { .. } => "photo",
            Entry::Withdrawn {} => return None,
        })
    }
}

/// An entry as a person makes it: when it happened, what it is, and their words.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Writing {
    /// Day it happened.
    pub date: Date,
    /// Time of day, where known (the plant's own clock).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub time: Option<Time>,
    /// What it is.
    #[serde(flatten)]
    pub entry: Entry,
    /// The words as they were typed.
    #[serde(default)]
    pub words: String,
}

/// An entry that has its place in the diary.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct WrittenEntry {
    /// Name of its own, the same in every copy of the diary.
    pub uid: String,
    /// Name of the entry it corrects.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub corrects: Option<String>,
    /// When it was written down, UTC, RFC 3339.
    pub written: String,
    /// The entry.
    #[serde(flatten)]
    pub writing: Writing,
}
