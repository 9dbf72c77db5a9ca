//! [vessel] and [[insulation]].

use super::Section;
use super::materials::{INSULATION, WALLS, material};
use super::shape::shape;
use super::standing::{roof, siting, top};
use crate::plan::lookup;
use crate::plan::{Faces, InsulationLayer, Vessel, VesselKind, VesselMode};
use fenlamp_quantity::{Length, Ratio, ThermodynamicTemperature, Volume};
use uom::si::length::millimeter;
use uom::si::ratio::{percent, ratio};

/// Slurry as a share of the volume when the plan does not say: room for foam and gas. Judgement.
const FULL_SHARE: f64 = 0.8;
/// Share of what stays in a vessel that is drawn down, when the plan does not say. Judgement.
const LEFT_SHARE: f64 = 0.5;
/// Tanks in series that stand for a long bag. Judgement.
const BAG_STAGES: u32 = 3;

const KINDS: &[(&str, VesselKind)] = &[
    ("drum", VesselKind::Drum),
    ("barrel", VesselKind::Drum),
    ("tote", VesselKind::Tote),
    ("tank", VesselKind::Tank),
    ("sunken tank", VesselKind::SunkenTank),
    ("long bag", VesselKind::LongBag),
];

/// Wall material and thickness (mm) usual for a kind (common practice, no source).
fn usual_wall(kind: VesselKind) -> (&'static str, f64) {
    match kind {
        VesselKind::Drum => ("k_hdpe", 2.5),
        VesselKind::Tote => ("k_hdpe", 2.0),
        VesselKind::Tank => ("k_hdpe", 6.0),
        VesselKind::SunkenTank => ("k_concrete", 100.0),
        VesselKind::LongBag => ("k_pvc", 0.8),
    }
}

pub(super) fn vessel(root: &Section<'_>, is_fed: bool) -> Option<Vessel> {
    let Some(s) = root.section("vessel") else {
        if !root.has("vessel") {
            root.missing(
                "vessel",
                "add [vessel] with kind = \"tote\" and volume = \"1000 L\"",
            );
        }
        return None;
    };
    if !s.has("kind") {
        s.missing(
            "kind",
            "write kind = \"drum\", \"tote\", \"tank\", \"sunken tank\" or \"long bag\"",
        );
    }
    let kind = s.word("kind", KINDS);
    let volume = s.need::<Volume>("volume", "5 L", "2000 m3");
    let slurry = s.quantity::<Volume>("slurry", "1 L", "2000 m3");
    let shape = shape(&s, kind.unwrap_or(VesselKind::Tank), volume);
    let wall = material(&s, "wall", WALLS);
    let thickness = s.quantity::<Length>("wall_thickness", "0.1 mm", "1 m");
    let absorptance = surface(&s, kind);
    let siting = siting(&s, kind, shape);
    let (roof, top) = (roof(&s, siting), top(&s, root, shape, siting));
    let earth_bank = s
        .quantity::<Ratio>("earth_bank", "0 %", "100 %")
        .unwrap_or_else(|| Ratio::new::<percent>(0.0));
    let fill_temperature =
        s.quantity::<ThermodynamicTemperature>("fill_temperature", "0 °C", "65 °C");
    // Share of the open wind; judgement.
    let wind = s
        .word(
            "wind",
            &[("sheltered", 0.3), ("normal", 0.6), ("exposed", 1.0)],
        )
        .unwrap_or(0.6);
    let filler = s
        .quantity::<Ratio>("filler", "0 %", "70 %")
        .unwrap_or_else(|| Ratio::new::<percent>(0.0));
    let solids = s.number(
        "solids_stay",
        "how many times longer solids stay than liquid",
        1.0..=10.0,
    );
    let mode = mode(&s, is_fed);
    s.finish();
    let (kind, volume) = (kind?, volume?);
    let liquid = slurry.unwrap_or(volume * FULL_SHARE);
    if liquid >= volume {
        s.fault(
            "slurry",
            "the slurry fills the whole vessel",
            "leave a tenth or more of the volume for gas and foam",
        );
    }
    let (usual, usual_mm) = usual_wall(kind);
    Some(Vessel {
        kind,
        volume,
        liquid,
        shape: shape?,
        wall_material: wall.unwrap_or_else(|| usual.to_owned()),
        wall_thickness: thickness.unwrap_or_else(|| Length::new::<millimeter>(usual_mm)),
        absorptance,
        siting: siting?,
        roof,
        top,
        earth_bank,
        fill_temperature,
        wind_exposure: wind,
        filler,
        solids_retention_factor: solids,
        stages: if kind == VesselKind::LongBag {
            BAG_STAGES
        } else {
            1
        },
        mode: mode?,
    })
}

/// Solar absorptance by the colour of the outside.
fn surface(s: &Section<'_>, kind: Option<VesselKind>) -> f64 {
    let usual = match kind {
        Some(VesselKind::LongBag) => "abs_black",
        Some(VesselKind::Tote) => "abs_white",
        _ => "abs_colour",
    };
    let row = s
        .word(
            "surface",
            &[
                ("black", "abs_black"),
                ("white", "abs_white"),
                ("coloured", "abs_colour"),
                ("colored", "abs_colour"),
            ],
        )
        .unwrap_or(usual);
    lookup::thermal(row).unwrap_or(f64::NAN)
}

#[derive(Clone, Copy, PartialEq)]
enum Run {
    Batch,
    Overflow,
    DrawOff,
    TopUp,
}

fn mode(s: &Section<'_>, is_fed: bool) -> Option<VesselMode> {
    let word = s.word(
        "run",
        &[
            ("batch", Run::Batch),
            ("overflow", Run::Overflow),
            ("draw off", Run::DrawOff),
            ("topped up", Run::TopUp),
        ],
    );
    if s.has("run") && word.is_none() {
        return None;
    }
    let run = word.unwrap_or(if is_fed { Run::Overflow } else { Run::Batch });
    let every = s.days("draw_off_every", "1 day", "2 years");
    let leaves = s.quantity::<Ratio>("draw_off_leaves", "5 %", "95 %");
    if run != Run::DrawOff {
        for key in ["draw_off_every", "draw_off_leaves"] {
            if s.has(key) {
                s.fault(
                    key,
                    "nothing is drawn off in this way of running",
                    "write run = \"draw-off\"",
                );
            }
        }
    }
    match run {
        Run::Batch => {
            if is_fed {
                s.fault(
                    "run",
                    "a batch is filled once, but the plan has [[waste]] going in through the year",
                    "write run = \"overflow\", or put the waste under [[first_fill.feed]]",
                );
            }
            Some(VesselMode::Batch)
        }
        Run::Overflow => Some(VesselMode::Overflow),
        Run::TopUp => Some(VesselMode::TopUp),
        Run::DrawOff => {
            if !s.has("draw_off_every") {
                s.missing("draw_off_every", "write how often, like \"30 days\"");
            }
            let leave = leaves.unwrap_or_else(|| Ratio::new::<ratio>(LEFT_SHARE));
            Some(VesselMode::DrawOff {
                every_days: every?,
                leave,
            })
        }
    }
}

pub(super) fn insulation(root: &Section<'_>) -> Option<Vec<InsulationLayer>> {
    let faces = &[
        ("all", Faces::All),
        ("sides", Faces::Sides),
        ("top", Faces::Top),
        ("base", Faces::Base),
    ];
    let mut layers = Vec::new();
    let sections = root.sections("insulation");
    for s in &sections {
        let on = s.word("on", faces);
        if !s.has("material") {
            s.missing("material", "write material = \"straw bale\" or another");
        }
        let material = material(s, "material", INSULATION);
        let thickness = s.need::<Length>("thickness", "1 mm", "3 m");
        s.finish();
        if let (Some(material), Some(thickness)) = (material, thickness) {
            layers.push(InsulationLayer {
                on: on.unwrap_or(Faces::All),
                material,
                thickness,
            });
        }
    }
    (layers.len() == sections.len()).then_some(layers)
}
