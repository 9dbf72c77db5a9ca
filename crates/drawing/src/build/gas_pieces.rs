//! Pieces of the gas side.

use fenlamp_model::gas::appliances::Appliance;
use fenlamp_model::gas::store::{Shape as StoreShape, Standing};
use fenlamp_model::plan::{JarAlkali, Plan, Wash, WashKind};
use uom::si::length::meter;
use uom::si::mass::kilogram;

use super::burner::Head;
use super::piece::{Amount, Use, made_of, n, some};
use super::shop::{self, clamp, size_mm, tail};
use crate::plant::{alkali_key, appliance_key, iron_key, sizes};

/// Hose between two neighbours on the bench, m (judgement).
const SHORT_M: f64 = 0.4;

pub(super) fn outlet(plan: &Plan, bore_mm: f64) -> Vec<Use> {
    let thread = format!("{} in", shop::thread(bore_mm).0);
    let mut uses = vec![
        n("gas_fitting", thread.clone(), 1),
        n("washer", thread.clone(), 2),
    ];
    if plan.gas_side.is_empty() {
        uses.push(n("hose_tail", tail(bore_mm), 1));
        return uses;
    }
    uses.push(n("valve", thread.clone(), 1));
    uses.push(n("hose_tail", tail(bore_mm), 1));
    uses.push(n("clamp", clamp(bore_mm), 1));
    // The water gauge: a U of clear hose, twice as high as the relief's column.
    let high = plan
        .gas_side
        .relief
        .as_ref()
        .map_or(0.3, |r| sizes::relief(r).dip_m);
    uses.push(some(
        "gauge_hose",
        "6 mm (1/4 in)",
        Amount::Length(4.0 * high + 0.4),
    ));
    uses.push(n("gauge_tee", shop::hose_words(bore_mm), 1));
    uses
}

pub(super) fn jar_with_lid(volume_m3: f64, pipes: u32, bore_mm: f64) -> Vec<Use> {
    let thread = format!("{} in", shop::thread(bore_mm).0);
    vec![
        n("jar", shop::jar(volume_m3), 1),
        n("gas_fitting", thread.clone(), pipes),
        n("washer", thread, 2 * pipes),
        n("hose_tail", tail(bore_mm), pipes),
    ]
}

pub(super) fn wash(w: &Wash, bore_mm: f64) -> Vec<Use> {
    let jar = sizes::wash(w);
    let mut uses = jar_with_lid(jar.volume_m3(), 2, bore_mm);
    let hose = shop::hose_words(bore_mm);
    let kg = w.mass.get::<kilogram>();
    match w.kind {
        WashKind::LyeJar { alkali, .. } => {
            let long = jar.height_m - jar.level_m + jar.dip_m + 0.05;
            uses.push(some("dip_pipe", hose, Amount::Length(long + 0.08)));
            // Catch jars, empty, before and behind: lye that is pushed or sucked stays there.
            for u in jar_with_lid(jar.volume_m3(), 4, bore_mm) {
                uses.push(match u.item.key {
                    "jar" => Use {
                        amount: Amount::Count(2),
                        ..u
                    },
                    _ => u,
                });
            }
            uses.push(n("clamp", clamp(bore_mm), 6));
            uses.push(made_of(
                some("alkali", "", Amount::Mass(kg)),
                alkali_key(alkali),
            ));
        }
        WashKind::AshBed { .. } | WashKind::IronPacking { .. } => {
            uses.push(some("dip_pipe", hose, Amount::Length(jar.height_m + 0.05)));
            uses.push(n("grid", "", 2));
            uses.push(n("clamp", clamp(bore_mm), 2));
            let (item, what) = match w.kind {
                WashKind::IronPacking { medium, .. } => ("iron", iron_key(medium)),
                _ => ("alkali", alkali_key(JarAlkali::WoodAsh)),
            };
            uses.push(made_of(some(item, "", Amount::Mass(kg)), what));
        }
    }
    uses
}

pub(super) fn store(plan: &Plan, bore_mm: f64) -> Vec<Use> {
    let Some(s) = &plan.gas_side.store else {
        return Vec::new();
    };
    let hose = shop::hose_words(bore_mm);
    let kg = s.weight.get::<kilogram>();
    let mut uses = match s.shape {
        StoreShape::Tubes {
            count,
            ring_m,
            girth_m,
        } => {
            let each = count.round().max(1.0) as u32;
            let size = format!(
                "{} x {}",
                shop::inches(ring_m * 1000.0),
                shop::inches(girth_m / std::f64::consts::PI * 1000.0)
            );
            vec![
                n("tube", size, each),
                n("tee", hose.clone(), each.saturating_sub(1)),
                n("clamp", clamp(bore_mm), 3 * each),
            ]
        }
        StoreShape::Bag { length_m, girth_m } => vec![
            n(
                "bag",
                format!(
                    "{} x {}",
                    shop::inches(length_m * 1000.0),
                    shop::inches(girth_m * 500.0)
                ),
                1,
            ),
            n("gas_fitting", format!("{} in", shop::thread(bore_mm).0), 1),
            n("washer", format!("{} in", shop::thread(bore_mm).0), 2),
            n("hose_tail", tail(bore_mm), 1),
            n("clamp", clamp(bore_mm), 1),
        ],
        StoreShape::Drum {
            diameter_m,
            travel_m,
        } => vec![
            n("bell", size_mm(diameter_m, travel_m + 0.1), 1),
            n("bath", size_mm(diameter_m * 1.16, travel_m + 0.05), 1),
            n("guide", shop::inches(travel_m * 1900.0), 3),
            some(
                "dip_pipe",
                hose.clone(),
                Amount::Length(travel_m + 0.5 * diameter_m + 0.2),
            ),
            n("clamp", clamp(bore_mm), 2),
        ],
    };
    uses.push(n("tee", hose, 1));
    uses.push(n("clamp", clamp(bore_mm), 3));
    if kg > 0.0 && !matches!(s.shape, StoreShape::Drum { .. }) {
        uses.push(some("weight", "", Amount::Mass(kg)));
        uses.push(n("plank", "", 4));
    }
    if s.stands != Standing::Indoors {
        uses.push(n("tie_down", "", 2));
    }
    uses
}

pub(super) fn burner(appliance: Appliance, head: Option<Head>, bore_mm: f64) -> Vec<Use> {
    let thread = format!("{} in", shop::thread(bore_mm).0);
    let mut uses = vec![
        n("valve", thread.clone(), 1),
        n("hose_tail", tail(bore_mm), 2),
        n("clamp", clamp(bore_mm), 2),
    ];
    match head {
        Some(h) => {
            uses.push(n("jet_plug", thread, 1));
            uses.push(n("mixing_tube", shop::inches(h.throat_mm), 1));
            uses.push(n("burner_head", "", 1));
            uses.push(n("trivet", "", 1));
        }
        None => uses.push(made_of(n("appliance", "", 1), appliance_key(appliance))),
    }
    uses.push(n("co_alarm", "", 1));
    uses
}

pub(super) fn line(plan: &Plan, bore_mm: f64, tees: u32, valves: u32) -> Vec<Use> {
    let Some(l) = &plan.gas_side.line else {
        return Vec::new();
    };
    let hose = shop::hose_words(bore_mm);
    let side = &plan.gas_side;
    let stations = side.washes.len()
        + usize::from(side.trap.is_some())
        + usize::from(side.relief.is_some())
        + usize::from(side.store.is_some())
        + usize::from(side.flash_back.is_some());
    let whole = l.length.get::<meter>();
    // Short pieces between neighbours, and the rest in one long run.
    let short = SHORT_M.min(0.5 * whole / stations.max(1) as f64);
    let short_all = short * stations as f64;
    let further = (side.uses.len() as u32).saturating_sub(1);
    vec![
        some("hose", hose.clone(), Amount::Length(short_all)),
        some("hose", hose.clone(), Amount::Length(whole - short_all)),
        n("elbow", hose.clone(), l.elbows),
        n("tee", hose, further.max(l.tees.saturating_sub(tees))),
        n(
            "valve",
            format!("{} in", shop::thread(bore_mm).0),
            l.valves.saturating_sub(valves),
        ),
        n("clamp", clamp(bore_mm), 2 * l.elbows + 3 * further),
        n("hanger", "", (whole / 0.5).ceil().min(200.0) as u32),
    ]
}
