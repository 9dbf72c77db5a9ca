//! The uncertain inputs by name, in the order of the unit cube's axes.

use serde::Serialize;

use crate::plan::{Plan, Siting, SlurryTemperature, Top, VesselMode};
use crate::reference;

/// What an uncertain input is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum InputKind {
    /// Total solids of a feedstock, kg/kg.
    Solids,
    /// Methane potential of a feedstock, m3/kg volatile solids.
    Potential,
    /// Share of a feedstock's degradable matter that dissolves at once.
    Soluble,
    /// Methanogens a feedstock brings along, kg COD/kg total solids.
    OwnMethanogens,
    /// Buffer a feedstock carries, factor.
    Buffer,
    /// Share of a feedstock's bicarbonate whose carbon is not its own.
    Carbonate,
    /// Sulfur of a feedstock that turns to sulfide, factor.
    Sulfur,
    /// Iron of a feedstock that sulfide can reach, factor.
    Iron,
    /// Hydrolysis rate of a feedstock, 1/d at 35 degC.
    Rate,
    /// Amount of a waste that really comes, factor.
    Amount,
    /// Acetoclasts of a seed, kg COD/kg volatile solids.
    Seed,
    /// Fermenters of the seed per acetoclast, factor.
    SeedFermenters,
    /// How much longer solids stay than liquid, factor.
    SolidsStay,
    /// Uptake of all groups, factor.
    Uptake,
    /// A constant inferred from data, in the unit of its row.
    Inferred,
    /// The year against the normals, K.
    YearWarmth,
    /// Conductivity of the insulation as built, factor.
    Insulation,
    /// Heat of the heap, factor.
    HeapHeat,
    /// Share of the heap that burns, factor.
    HeapFuel,
    /// Draught of the heap, factor.
    HeapAir,
    /// Conductivity of the heap, factor.
    HeapConductivity,
    /// What a wash holds, place in its band.
    WashCapacity,
    /// How well gas and wash meet, place in its band.
    WashContact,
    /// Leak of the store, share a day.
    StoreLeak,
    /// Sun on the plant, factor.
    Sun,
    /// Wind about the vessel, factor.
    Wind,
    /// Conductivity of the ground, factor.
    Ground,
    /// Surface of the ground over the air, K.
    GroundWarmth,
    /// Feed against what it is taken for, K.
    FeedWarmth,
    /// Still layer on slurry without a lid, m.
    StillTop,
    /// Carbon per COD of a feedstock's degradable matter, factor.
    Carbon,
}

/// One axis of the unit cube.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Input {
    /// Stable id: the kind, with the feedstock or the number of the waste.
    pub id: String,
    /// Name a person reads.
    pub name: String,
    /// Its upper side as the subject of a sentence: "more seed".
    pub more: String,
    /// Kind.
    pub kind: InputKind,
    /// Index in `Plan::feedstocks`, for an input of a feedstock or a waste.
    pub feedstock: Option<usize>,
    /// Whether the plan has anything for it to act on.
    pub acts: bool,
}

/// The axes for `plan`: the one list that the drawing, the ties and the levers read.
pub fn inputs(plan: &Plan) -> Vec<Input> {
    use InputKind::*;
    let mut out = Vec::new();
    let digested = |i: usize| {
        plan.first_fill.feed.iter().any(|&(of, _)| of == i)
            || (fed(plan) && plan.waste.iter().any(|w| w.feedstock == i))
    };
    for (i, f) in plan.feedstocks.iter().enumerate() {
        let name = short(&f.name);
        let acts = digested(i);
        let mut put = |kind, id: &str, plain: &str, more: &str| {
            out.push(Input {
                id: format!("{id}_{}", f.id),
                name: format!("{plain} {name}"),
                more: format!("{more} {name}"),
                kind,
                feedstock: Some(i),
                acts,
            });
        };
        put(Solids, "solids", "dry matter of", "more dry matter in");
        put(
            Potential,
            "potential",
            "methane potential of",
            "a higher methane potential of",
        );
        put(
            Soluble,
            "soluble",
            "sugars ready in",
            "more sugars ready in",
        );
        put(
            OwnMethanogens,
            "own_methanogens",
            "methane makers in fresh",
            "more methane makers in fresh",
        );
        put(Buffer, "buffer", "buffer of", "more buffer in");
        put(
            Carbonate,
            "carbonate",
            "carbonate that comes with",
            "more carbonate with",
        );
        put(Sulfur, "sulfur", "sulfur of", "more sulfur in");
        put(Iron, "iron", "iron of", "more iron in");
        put(
            Rate,
            "rate",
            "speed of breakdown of",
            "a faster breakdown of",
        );
    }
    for (i, w) in plan.waste.iter().enumerate() {
        let name = plan
            .feedstocks
            .get(w.feedstock)
            .map_or_else(String::new, |f| short(&f.name));
        out.push(Input {
            id: format!("amount_{}", i + 1),
            name: format!("amount of {name}"),
            more: format!("more {name}"),
            kind: Amount,
            feedstock: Some(w.feedstock),
            acts: fed(plan),
        });
    }
    let warm = matches!(plan.slurry_temperature, SlurryTemperature::HeatBalance);
    let heap = warm && plan.heap.is_some();
    let siting = plan.vessel.siting;
    let grounded = warm && !matches!(siting, Siting::Room(_));
    let mut single = |(kind, id, name, more, acts): (InputKind, &str, &str, &str, bool)| {
        out.push(Input {
            id: id.to_owned(),
            name: name.to_owned(),
            more: more.to_owned(),
            kind,
            feedstock: None,
            acts,
        });
    };
    let seeds = &plan.first_fill.seeds;
    let seeded = !seeds.is_empty();
    for i in 0..seed_axes(plan) {
        // A seed alone keeps the name that it has always had.
        let (id, of) = match seeds.get(i) {
            Some(s) if seeds.len() > 1 => {
                let which = format!("seed {} ({})", i + 1, s.kind.name());
                (format!("seed_{}", i + 1), which)
            }
            _ => ("seed".to_owned(), "seed".to_owned()),
        };
        let (name, more) = (format!("strength of the {of}"), format!("a stronger {of}"));
        single((Seed, &id, &name, &more, seeded));
    }
    let microbes = [
        (
            SeedFermenters,
            "breakers_of_seed",
            "breakers in this seed",
            "more breakers in this seed",
            seeded,
        ),
        (
            SolidsStay,
            "solids_stay",
            "how long solids stay in the vessel",
            "solids that stay longer",
            fed(plan),
        ),
        (
            Uptake,
            "uptake",
            "vigour of the microbes",
            "more vigorous microbes",
            true,
        ),
    ];
    microbes.into_iter().for_each(&mut single);
    for row in reference::inferred() {
        let acts = seeded || !row.id.starts_with("seed_");
        single((Inferred, &row.id, &row.name, &row.more, acts));
    }
    let plain = [
        (
            YearWarmth,
            "year_warmth",
            "the year's weather",
            "a warmer year",
            warm,
        ),
        (
            Insulation,
            "insulation",
            "leakiness of the insulation",
            "leakier insulation",
            warm && !plan.insulation.is_empty(),
        ),
        (
            HeapHeat,
            "heap_heat",
            "pace of the heap's burning",
            "a faster burning heap",
            heap,
        ),
        (
            HeapFuel,
            "heap_fuel",
            "fuel of the heap",
            "more fuel in the heap",
            heap,
        ),
        (
            HeapAir,
            "heap_air",
            "draught of the heap",
            "a stronger draught in the heap",
            heap,
        ),
        (
            HeapConductivity,
            "heap_conductivity",
            "conductivity of the heap",
            "a better conducting heap",
            heap,
        ),
        (
            WashCapacity,
            "wash_capacity",
            "what the wash holds",
            "a wash that holds more",
            !plan.gas_side.washes.is_empty(),
        ),
        (
            WashContact,
            "wash_contact",
            "contact of gas and wash",
            "a better contact of gas and wash",
            !plan.gas_side.washes.is_empty(),
        ),
        (
            StoreLeak,
            "store_leak",
            "leak of the store",
            "a leakier store",
            plan.gas_side.store.is_some(),
        ),
        (
            Sun,
            "sun",
            "sun on the plant",
            "more sun on the plant",
            warm && !matches!(siting, Siting::Shed | Siting::Room(_)),
        ),
        (
            Wind,
            "wind",
            "wind about the vessel",
            "more wind about the vessel",
            warm && matches!(siting, Siting::Outdoors | Siting::InGround { .. }),
        ),
        (
            Ground,
            "ground",
            "conductivity of the ground",
            "a better conducting ground",
            grounded,
        ),
        (
            GroundWarmth,
            "ground_warmth",
            "warmth of the ground",
            "a warmer ground",
            // Tap water has it too.
            grounded || (warm && fed(plan)),
        ),
        (
            FeedWarmth,
            "feed_warmth",
            "warmth of the feed",
            "warmer feed",
            warm && fed(plan),
        ),
        (
            StillTop,
            "still_top",
            "crust on the slurry",
            "a thicker crust on the slurry",
            warm && plan.vessel.top != Top::Lid,
        ),
    ];
    plain.into_iter().for_each(single);
    // After all that was there before it, so that the worlds keep their other places.
    for (i, f) in plan.feedstocks.iter().enumerate() {
        let name = short(&f.name);
        out.push(Input {
            id: format!("carbon_{}", f.id),
            name: format!("carbon in {name}"),
            more: format!("more carbon in {name}"),
            kind: Carbon,
            feedstock: Some(i),
            acts: digested(i),
        });
    }
    out
}

/// Axes of the seeds: one each, and one that rests without any, so that a plan and the
/// same plan with a seed have the same worlds.
pub(super) fn seed_axes(plan: &Plan) -> usize {
    plan.first_fill.seeds.len().max(1)
}

fn fed(plan: &Plan) -> bool {
    plan.vessel.mode != VesselMode::Batch
}

/// "Vegetable peelings, no meat" as a sentence carries it: "vegetable peelings".
pub fn short(name: &str) -> String {
    let head = name.split([',', '(']).next().unwrap_or(name).trim();
    let mut chars = head.chars();
    match (chars.next(), chars.next()) {
        // An abbreviation keeps its capitals.
        (Some(a), Some(b)) if a.is_uppercase() && b.is_lowercase() => {
            a.to_lowercase().chain(head.chars().skip(1)).collect()
        }
        _ => head.to_owned(),
    }
}

/// Two kinds of input that nature ties together.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tie {
    /// Keeps its place.
    pub parent: InputKind,
    /// Is put in the parent's order; the child of no other tie.
    pub child: InputKind,
    /// Rank correlation aimed at.
    pub rank_correlation: f64,
    /// Why, and whose word it is.
    pub why: &'static str,
}

/// The ties, each within one feedstock.
pub const TIES: [Tie; 2] = [
    Tie {
        parent: InputKind::Potential,
        child: InputKind::Rate,
        rank_correlation: 0.5,
        why: "what lignin shields digests neither far nor fast (judgement)",
    },
    Tie {
        parent: InputKind::Solids,
        child: InputKind::Amount,
        rank_correlation: -0.3,
        why: "a wetter batch of the same dung weighs more (judgement)",
    },
];

/// The ties of a plan's axes: parent, child, rank correlation.
pub(super) fn ties(inputs: &[Input]) -> Vec<(usize, usize, f64)> {
    let mut out = Vec::new();
    for tie in TIES {
        for (c, child) in inputs.iter().enumerate() {
            if child.kind != tie.child {
                continue;
            }
            let parent = inputs
                .iter()
                .position(|p| p.kind == tie.parent && p.feedstock == child.feedstock);
            out.extend(parent.map(|p| (p, c, tie.rank_correlation)));
        }
    }
    out
}
