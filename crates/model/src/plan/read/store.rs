//! [store] and the room it stands in.

use super::Section;
use super::table::{at_table, yes};
use crate::gas::store::{Load, Shape, Skin, Standing, skin::Material};
use crate::plan::{GasSide, GasStore, UseRoom};
use fenlamp_quantity::{Length, Mass, Quantity, Units, Volume, print};
use uom::si::length::{meter, millimeter};

#[derive(Clone, Copy, PartialEq)]
enum Kind {
    Tubes,
    Bag,
    WeightedBag,
    Drum,
}

const MATERIALS: &[(&str, Material)] = &[
    ("butyl", Material::Butyl),
    ("natural rubber", Material::NaturalRubber),
    ("neoprene", Material::Neoprene),
    ("epdm", Material::Epdm),
    ("pe film", Material::PeFilm),
    ("hdpe", Material::Hdpe),
    ("pvc", Material::Pvc),
    ("steel", Material::Tight),
];

/// Material when the plan does not say: the usual one (common practice, no source).
fn usual(kind: Kind) -> Material {
    match kind {
        Kind::Tubes => Material::Butyl,
        Kind::Bag | Kind::WeightedBag => Material::Pvc,
        Kind::Drum => Material::Hdpe,
    }
}

pub(super) fn store(s: &Section<'_>) -> Option<GasStore> {
    let kinds = &[
        ("soft tubes", Kind::Tubes),
        ("bag", Kind::Bag),
        ("weighted bag", Kind::WeightedBag),
        ("floating drum", Kind::Drum),
    ];
    let refused = refuse_bottles(s);
    if !s.has("kind") {
        s.missing(
            "kind",
            "write kind = \"soft tubes\", \"bag\", \"weighted bag\" or \"floating drum\"",
        );
    }
    let kind = if refused { None } else { s.word("kind", kinds) };
    let shape = kind.and_then(|kind| shape(s, kind));
    let weight = weight(s, kind);
    let material = if s.has("material") {
        s.word("material", MATERIALS)
    } else {
        kind.map(usual)
    };
    let thickness = if s.has("thickness") {
        s.quantity::<Length>("thickness", "0.02 mm", "20 mm")
    } else {
        material.map(|m| Length::new::<millimeter>(m.usual_mm()))
    };
    let stands = if s.has("stands") {
        let places = &[
            ("in the sun", Standing::Sun),
            ("in the shade", Standing::Shade),
            ("indoors", Standing::Indoors),
        ];
        s.word("stands", places)
    } else {
        Some(Standing::Sun)
    };
    let bath = bath(s, kind, shape.as_ref());
    let room = room(s);
    if kind.is_none() {
        for key in ["count", "ring", "girth", "length", "diameter", "travel"] {
            s.get(key);
        }
    }
    s.finish();
    Some(GasStore {
        shape: shape?,
        material: material?,
        thickness: thickness?,
        weight: weight?,
        bath: bath?,
        stands: stands?,
        room: room?,
    })
}

/// Bottles are refused with the reason, not as an unknown word.
fn refuse_bottles(s: &Section<'_>) -> bool {
    let Some(kind) = s.text("kind") else {
        return false;
    };
    let words = kind.value.to_lowercase();
    let hard = [
        "bottle",
        "cylinder",
        "compress",
        "pressure tank",
        "high pressure",
    ];
    let refused = hard.iter().any(|w| words.contains(w));
    if refused {
        s.fault(
            "kind",
            crate::gas::appliances::compression().to_string(),
            "keep the gas soft and at low pressure: \"bag\", \"soft tubes\" or \"floating drum\"",
        );
    }
    refused
}

fn shape(s: &Section<'_>, kind: Kind) -> Option<Shape> {
    let m = |key: &'static str, low: &str, high: &str| {
        s.need::<Length>(key, low, high).map(|l| l.get::<meter>())
    };
    match kind {
        Kind::Tubes => {
            if !s.has("count") {
                s.missing("count", "write how many tubes, like count = 4");
            }
            let count = s.count("count", "the number of tubes", 1..=100);
            let (ring, girth) = (m("ring", "20 cm", "3 m"), m("girth", "10 cm", "3 m"));
            let (count, ring_m, girth_m) = (count?, ring?, girth?);
            if girth_m > std::f64::consts::PI * ring_m {
                s.fault(
                    "girth",
                    "the tube is thicker than its ring is wide",
                    "\"ring\" is across it from the middle of the tube to the middle of the tube, \"girth\" once around the tube when taut",
                );
                return None;
            }
            Some(Shape::Tubes {
                count: count as f64,
                ring_m,
                girth_m,
            })
        }
        Kind::Bag | Kind::WeightedBag => {
            let (length, girth) = (m("length", "20 cm", "50 m"), m("girth", "20 cm", "20 m"));
            Some(Shape::Bag {
                length_m: length?,
                girth_m: girth?,
            })
        }
        Kind::Drum => {
            let (across, travel) = (m("diameter", "10 cm", "5 m"), m("travel", "5 cm", "4 m"));
            Some(Shape::Drum {
                diameter_m: across?,
                travel_m: travel?,
            })
        }
    }
}

fn weight(s: &Section<'_>, kind: Option<Kind>) -> Option<Mass> {
    let needed = matches!(kind, Some(Kind::WeightedBag | Kind::Drum));
    if !s.has("weight") {
        if needed {
            s.missing(
                "weight",
                "write the weight that presses on the gas, like weight = \"20 kg\"",
            );
            return None;
        }
        return Some(Mass::from_si(0.0));
    }
    s.quantity("weight", "0 kg", "5000 kg")
}

/// A drum's bath holds about what the drum does, unless told (judgement).
fn bath(s: &Section<'_>, kind: Option<Kind>, shape: Option<&Shape>) -> Option<Volume> {
    if kind.is_some_and(|k| k != Kind::Drum) {
        return Some(Volume::from_si(0.0));
    }
    if s.has("bath") {
        return s.quantity("bath", "1 L", "20 m3");
    }
    Some(Volume::from_si(shape?.volume_m3()))
}

/// `room = { volume = "30 m3", air_changes = 1, greenhouse = true }`.
#[allow(clippy::option_option)]
pub(super) fn room(s: &Section<'_>) -> Option<Option<UseRoom>> {
    let Some(r) = s.section("room") else {
        return (!s.has("room")).then_some(None);
    };
    let volume = r.need::<Volume>("volume", "1 m3", "100000 m3");
    let air = r.number("air_changes", "air changes an hour", 0.0..=100.0);
    let unread = r.has("air_changes") && air.is_none();
    let greenhouse = yes(&r, "greenhouse", false);
    r.finish();
    if unread {
        return None;
    }
    Some(Some(UseRoom {
        volume: volume?,
        air_changes_per_h: air,
        greenhouse: greenhouse?,
    }))
}

/// A relief that opens before the store is full, or a drum it can never lift.
pub(super) fn relief_and_store(root: &Section<'_>, side: &GasSide) {
    let (Some(store), Some(relief)) = (&side.store, &side.relief) else {
        return;
    };
    let skin = Skin {
        material: store.material,
        thickness_mm: store.thickness.get::<millimeter>(),
    };
    let load = Load {
        weight_kg: store.weight.to_si(),
    };
    let opens = relief.depth.to_si();
    let rises = load.pressure_pa(&store.shape, &skin, 0.0);
    if opens <= rises {
        let Some(s) = root.section("relief") else {
            return;
        };
        let message = format!(
            "the relief opens at {}, before the store lifts its weight at {}",
            print(relief.depth, Units::Metric),
            print(fenlamp_quantity::Pressure::from_si(rises), Units::Metric)
        );
        at_table(&s, message, "make the relief deeper, or the weight less");
    }
}
