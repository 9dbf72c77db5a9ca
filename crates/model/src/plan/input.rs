//! What goes in: waste, water, first fill, seed and doses.

use crate::band::Band;
use uom::si::f64::{Mass, MassRate, Ratio, ThermodynamicTemperature, Volume};

/// One stream of waste.
#[derive(Debug, Clone)]
pub struct Waste {
    /// Index in `Plan::feedstocks`.
    pub feedstock: usize,
    /// Words for the report ("manure of 6 goats, 60 % collected").
    pub label: String,
    /// Fresh mass a day in each month, January first; with steps, at the greatest of them.
    pub fresh: [MassRate; 12],
    /// Steps of the amount, in the order of their days; none: it rises by the ramp of
    /// [`Feeding`].
    pub steps: Vec<FeedStep>,
    /// Where the mass came from.
    pub basis: WasteBasis,
    /// Factor on `fresh` that really comes.
    pub spread: Band,
}

/// From a day on, a share of the amount of a waste.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FeedStep {
    /// First day, counted from the fill.
    pub from_day: u32,
    /// Share of [`Waste::fresh`], 0 to 1.
    pub share: f64,
}

impl Waste {
    /// Share of [`Waste::fresh`] by the steps on `day`: nothing before the first of them.
    /// `None` for a waste without steps.
    pub fn step_share(&self, day: u32) -> Option<f64> {
        (!self.steps.is_empty()).then(|| {
            let begun = self.steps.iter().rev().find(|s| s.from_day <= day);
            begun.map_or(0.0, |s| s.share)
        })
    }
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
    /// First day of feeding after the fill, of wastes without steps.
    pub first_day: u32,
    /// Days over which their feed rises from nothing to the full amount.
    pub ramp_days: u32,
    /// Water.
    pub water: Dilution,
    /// Times in which nobody feeds; what comes together meanwhile goes elsewhere.
    pub away: Vec<Away>,
}

/// Some days without feeding.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Away {
    /// First day, counted from the fill.
    pub from_day: u32,
    /// How many.
    pub days: u32,
}

impl Feeding {
    /// Whether nobody feeds on `day`.
    pub fn is_away(&self, day: u32) -> bool {
        let on = |a: &Away| day >= a.from_day && day - a.from_day < a.days;
        self.away.iter().any(on)
    }
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
    /// Seed sludges, each with its own strength.
    pub seeds: Vec<Seed>,
    /// Water; `None` fills up to the liquid level.
    pub water: Option<Mass>,
}

impl FirstFill {
    /// All seed together.
    pub fn seed_volume(&self) -> Volume {
        self.seeds.iter().map(|s| s.volume).sum()
    }

    /// Whether a seed comes from human waste.
    pub fn has_human_seed(&self) -> bool {
        self.seeds.iter().any(|s| s.kind == SeedKind::SewageSludge)
    }
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
    /// Digested sewage sludge of a municipal works.
    SewageSludge,
}

impl SeedKind {
    /// Name in a sentence: "old slurry".
    pub fn name(self) -> &'static str {
        match self {
            SeedKind::Digestate => "digestate",
            SeedKind::OldSlurry => "old slurry",
            SeedKind::Rumen => "rumen contents",
            SeedKind::PondMud => "pond mud",
            SeedKind::SewageSludge => "digested sewage sludge",
        }
    }
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
