//! [[wash]], [trap], [line], [relief] and [flash_back]; see `store` and `uses`.

use super::table::yes;
use super::{Section, store, uses};
use crate::gas::wash::ash_bed::BULK_KG_L;
use crate::gas::wash::iron::Medium;
use crate::gas::wash::liquor::{Alkali, ash_lye};
use crate::plan::gas_side::days;
use crate::plan::{FlashBackStop, GasLine, GasSide, JarAlkali, Relief, Runs, Trap, Wash, WashKind};
use fenlamp_quantity::{Length, Mass, Pressure, Quantity, Time, Volume};
use uom::si::length::centimeter;

/// Depth of a dip tube when the plan does not say. Judgement.
const BUBBLE_DEPTH_CM: f64 = 5.0;

pub(super) const RUNS: &[(&str, Runs)] = &[
    ("outdoors", Runs::Outdoors),
    ("indoors", Runs::Indoors),
    ("buried", Runs::Buried),
];

pub(super) fn gas_side(root: &Section<'_>) -> Option<GasSide> {
    let washes = root.sections("wash");
    let count = washes.len();
    let washes: Vec<Wash> = washes.iter().filter_map(wash).collect();
    let trap = optional(root, "trap", trap);
    let line = optional(root, "line", line);
    let store = optional(root, "store", store::store);
    let relief = optional(root, "relief", relief);
    let flash_back = optional(root, "flash_back", flash_back);
    let uses = uses::uses(root);
    let side = GasSide {
        washes: (washes.len() == count).then_some(washes)?,
        trap: trap?,
        line: line?,
        store: store?,
        relief: relief?,
        flash_back: flash_back?,
        uses: uses?,
    };
    store::relief_and_store(root, &side);
    Some(side)
}

/// `Some(None)`: the table is not there. `None`: it is, and wrong.
#[allow(clippy::option_option)]
fn optional<T>(
    root: &Section<'_>,
    key: &'static str,
    read: impl Fn(&Section<'_>) -> Option<T>,
) -> Option<Option<T>> {
    match root.section(key) {
        Some(s) => read(&s).map(Some),
        None => (!root.has(key)).then_some(None),
    }
}

/// A kind of wash by its word.
#[derive(Clone, Copy)]
enum Kind {
    LyeJar,
    AshBed,
    IronPacking,
}

fn wash(s: &Section<'_>) -> Option<Wash> {
    let kinds = &[
        ("lye jar", Kind::LyeJar),
        ("ash bed", Kind::AshBed),
        ("iron packing", Kind::IronPacking),
    ];
    if !s.has("kind") {
        s.missing(
            "kind",
            "write kind = \"lye jar\", \"ash bed\" or \"iron packing\"",
        );
    }
    let named = s.word("kind", kinds);
    let mass = s.need::<Mass>("mass", "1 g", "500 kg");
    let renewed = s.quantity::<Time>("renewed_every", "1 day", "10 years");
    let kind = match named {
        Some(Kind::LyeJar) => lye_jar(s, mass),
        Some(Kind::AshBed) => ash_bed(s, mass),
        Some(Kind::IronPacking) => iron_packing(s, mass),
        None => {
            for key in [
                "alkali",
                "liquor",
                "bubble_depth",
                "iron",
                "bed",
                "regenerated",
            ] {
                s.get(key);
            }
            None
        }
    };
    s.finish();
    Some(Wash {
        kind: kind?,
        mass: mass?,
        renewed_every_days: renewed.map(days),
    })
}

fn lye_jar(s: &Section<'_>, mass: Option<Mass>) -> Option<WashKind> {
    use JarAlkali::{Pure, WoodAsh};
    let alkalis = &[
        ("wood ash", WoodAsh),
        ("potash", Pure(Alkali::PotassiumCarbonate)),
        ("caustic potash", Pure(Alkali::PotassiumHydroxide)),
        ("caustic soda", Pure(Alkali::SodiumHydroxide)),
        ("washing soda", Pure(Alkali::SodiumCarbonate)),
        ("slaked lime", Pure(Alkali::SlakedLime)),
    ];
    if !s.has("alkali") {
        s.missing("alkali", "write alkali = \"wood ash\", \"potash\", \"caustic potash\", \"caustic soda\", \"washing soda\" or \"slaked lime\"");
    }
    let alkali = s.word("alkali", alkalis);
    let liquor = s.need::<Volume>("liquor", "0.1 L", "1000 L");
    let depth = depth(s, "bubble_depth", "1 mm", "1 m");
    let (alkali, liquor, depth, mass) = (alkali?, liquor?, depth?, mass?);
    // A litre of water is a kilogram to the precision of a jar.
    let water_kg = liquor.to_si() * 1000.0;
    let made = match alkali {
        WoodAsh => ash_lye(mass.to_si(), water_kg).map(|_| ()),
        Pure(a) => a.dissolved(mass.to_si() * 1000.0, water_kg).map(|_| ()),
    };
    if let Err(e) = made {
        s.fault(
            "mass",
            format!("this makes a lye stronger than can be reckoned: {e}"),
            "take less of it, or more liquor",
        );
        return None;
    }
    Some(WashKind::LyeJar {
        alkali,
        liquor,
        bubble_depth: depth,
    })
}

/// A depth of bubbles: [`BUBBLE_DEPTH_CM`] when not told.
fn depth(s: &Section<'_>, key: &'static str, low: &str, high: &str) -> Option<Length> {
    if s.has(key) {
        s.quantity(key, low, high)
    } else {
        Some(Length::new::<centimeter>(BUBBLE_DEPTH_CM))
    }
}

/// Mass of a litre of packing, kg: loose turnings, wool pressed by hand, crushed
/// ore, oxide on chips (judgement).
fn bulk_kg_l(medium: Medium) -> f64 {
    match medium {
        Medium::Filings => 1.5,
        Medium::SteelWool => 0.1,
        Medium::BogIron => 1.0,
        Medium::OxideMedium => 0.7,
    }
}

fn ash_bed(s: &Section<'_>, mass: Option<Mass>) -> Option<WashKind> {
    let bed = s.quantity::<Volume>("bed", "0.1 L", "1000 L");
    if s.has("bed") && bed.is_none() {
        return None;
    }
    let usual = Volume::from_si(mass?.to_si() / BULK_KG_L / 1000.0);
    Some(WashKind::AshBed {
        bed: bed.unwrap_or(usual),
    })
}

fn iron_packing(s: &Section<'_>, mass: Option<Mass>) -> Option<WashKind> {
    let media = &[
        ("iron filings", Medium::Filings),
        ("steel wool", Medium::SteelWool),
        ("bog iron", Medium::BogIron),
        ("iron oxide", Medium::OxideMedium),
    ];
    if !s.has("iron") {
        s.missing(
            "iron",
            "write iron = \"steel wool\", \"iron filings\", \"bog iron\" or \"iron oxide\"",
        );
    }
    let medium = s.word("iron", media);
    let bed = s.quantity::<Volume>("bed", "0.1 L", "1000 L");
    let regenerated = s
        .count("regenerated", "how many times air brings it back", 0..=5)
        .or_else(|| (!s.has("regenerated")).then_some(0));
    let (medium, mass, regenerated) = (medium?, mass?, regenerated?);
    if regenerated > 0 && !medium.regenerates() {
        s.fault(
            "regenerated",
            format!("{} cannot be brought back with air", medium.name()),
            "leave this line out, or take \"bog iron\" or \"iron oxide\"",
        );
        return None;
    }
    if s.has("bed") && bed.is_none() {
        return None;
    }
    Some(WashKind::IronPacking {
        medium,
        bed: bed.unwrap_or(Volume::from_si(mass.to_si() / bulk_kg_l(medium) / 1000.0)),
        regenerated: regenerated as u32,
    })
}

fn trap(s: &Section<'_>) -> Option<Trap> {
    let volume = s.need::<Volume>("volume", "10 mL", "200 L");
    let at_low_point = yes(s, "at_low_point", true);
    let runs = runs(s, "stands");
    s.finish();
    Some(Trap {
        volume: volume?,
        at_low_point: at_low_point?,
        runs: runs?,
    })
}

/// Out of doors unless told.
fn runs(s: &Section<'_>, key: &'static str) -> Option<Runs> {
    if s.has(key) {
        s.word(key, RUNS)
    } else {
        Some(Runs::Outdoors)
    }
}

fn line(s: &Section<'_>) -> Option<GasLine> {
    let bore = s.need::<Length>("bore", "2 mm", "200 mm");
    let length = s.need::<Length>("length", "0.1 m", "1000 m");
    let pieces = |key: &'static str, what: &str| {
        s.count(key, what, 0..=200)
            .or_else(|| (!s.has(key)).then_some(0))
            .map(|n| n as u32)
    };
    let elbows = pieces("elbows", "the number of elbows");
    let valves = pieces("valves", "the number of valves");
    let tees = pieces("tees", "the number of tees");
    let runs = runs(s, "runs");
    let low_point_drained = yes(s, "low_point_drained", false);
    s.finish();
    Some(GasLine {
        bore: bore?,
        length: length?,
        elbows: elbows?,
        valves: valves?,
        tees: tees?,
        runs: runs?,
        low_point_drained: low_point_drained?,
    })
}

fn relief(s: &Section<'_>) -> Option<Relief> {
    let depth = s.need::<Pressure>("depth", "1 cm wc", "50 cm wc");
    let runs = runs(s, "stands");
    s.finish();
    Some(Relief {
        depth: depth?,
        runs: runs?,
    })
}

fn flash_back(s: &Section<'_>) -> Option<FlashBackStop> {
    let kinds = &[("water seal", true), ("mesh", false)];
    if !s.has("kind") {
        s.missing("kind", "write kind = \"water seal\" or \"mesh\"");
    }
    let seal = s.word("kind", kinds);
    let stop = match seal {
        Some(true) => {
            depth(s, "depth", "1 mm", "50 cm").map(|depth| FlashBackStop::WaterSeal { depth })
        }
        Some(false) => s
            .need::<Length>("gap", "0.05 mm", "20 mm")
            .map(|gap| FlashBackStop::Mesh { gap }),
        None => {
            s.get("depth");
            s.get("gap");
            None
        }
    };
    s.finish();
    stop
}
