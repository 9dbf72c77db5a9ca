//! The joints of a plan with their pieces.

use fenlamp_core::forecast::gas_train::GasTrain;
use fenlamp_core::gas::appliances::Appliance;
use fenlamp_core::gas::store::{Shape as StoreShape, Standing};
use fenlamp_core::plan::{Faces, FlashBackStop, Plan, VesselMode, Wash, WashKind};
use fenlamp_core::warmth::geometry::measures;
use fenlamp_quantity::format_number;
use uom::si::length::{meter, millimeter};
use uom::si::mass::kilogram;
use uom::si::volume::cubic_meter;
use uom::si::volume_rate::cubic_meter_per_second;

use super::burner::{Head, head};
use super::piece::{Amount, Item, Joint, Use};
use super::shop;
use crate::plant::{Kind, alkali_key, appliance_key, iron_key, sizes};

/// Bore where a plan tells of no line, mm (common practice, no source).
const USUAL_BORE_MM: f64 = 13.0;
/// Hose between two neighbours on the bench, m (judgement).
const SHORT_M: f64 = 0.4;
/// Pipe that feeds and overflows a vessel: mm and inches (common practice, no source).
const FEED_PIPE: &str = "75 mm (3 in)";

/// The burner heads of a plan, by the pressures of its forecast; bought
/// appliances have none.
pub fn heads(plan: &Plan, train: Option<&GasTrain>) -> Vec<Option<Head>> {
    let altitude = plan.place.altitude.get::<meter>();
    plan.gas_side
        .uses
        .iter()
        .enumerate()
        .map(|(i, u)| {
            let open = matches!(
                u.appliance,
                Appliance::Stove | Appliance::Kettle | Appliance::PasteurisingPot
            );
            let pressure = train?.uses.get(i)?.burner?.half_full_pa;
            let flow = u.flow.get::<cubic_meter_per_second>() * 3600.0;
            head(flow, pressure, altitude, plan.units.into()).filter(|_| open)
        })
        .collect()
}

fn n(key: &'static str, size: impl Into<String>, count: u32) -> Use {
    some(key, size, Amount::Count(count))
}

fn some(key: &'static str, size: impl Into<String>, amount: Amount) -> Use {
    Use {
        item: Item {
            key,
            what: "",
            size: size.into(),
        },
        amount,
    }
}

fn made_of(mut used: Use, what: &'static str) -> Use {
    used.item.what = what;
    used
}

/// Every joint of a plan, in the order of the work.
pub fn joints(plan: &Plan, heads: &[Option<Head>]) -> Vec<Joint> {
    let side = &plan.gas_side;
    let bore_mm = side
        .line
        .as_ref()
        .map_or(USUAL_BORE_MM, |l| l.bore.get::<millimeter>());
    let mut made: Vec<(String, &'static str, Vec<Use>)> = Vec::new();
    made.push(("vessel".to_owned(), "vessel", vessel(plan)));
    if plan.vessel.mode != VesselMode::Batch {
        made.push(("feed".to_owned(), "feed", feed(plan)));
    }
    if !plan.insulation.is_empty() || plan.heap.is_some() {
        made.push(("warmth".to_owned(), "warmth", warmth(plan)));
    }
    made.push((Kind::Outlet.id(), "outlet", outlet(plan, bore_mm)));
    for (i, w) in side.washes.iter().enumerate() {
        let key = match w.kind {
            WashKind::LyeJar { .. } => "lye_jar",
            WashKind::IronPacking { .. } => "iron_packing",
        };
        made.push((Kind::Wash(i).id(), key, wash(w, bore_mm)));
    }
    if let Some(t) = &side.trap {
        let jar = sizes::trap(t);
        let mut uses = jar_with_lid(jar.volume_m3(), 1, bore_mm);
        uses.push(n("tee", shop::hose_words(bore_mm), 1));
        uses.push(n("clamp", clamp(bore_mm), 4));
        made.push((Kind::Trap.id(), "trap", uses));
    }
    if let Some(r) = &side.relief {
        let jar = sizes::relief(r);
        made.push((
            Kind::Relief.id(),
            "relief",
            vec![
                n("column", size_mm(jar.diameter_m, jar.height_m), 1),
                some(
                    "dip_pipe",
                    shop::hose_words(bore_mm),
                    Amount::Length(jar.height_m + 0.1),
                ),
                n("tee", shop::hose_words(bore_mm), 1),
                n("clamp", clamp(bore_mm), 3),
            ],
        ));
    }
    if side.store.is_some() {
        made.push((Kind::Store.id(), "store", store(plan, bore_mm)));
    }
    match &side.flash_back {
        Some(FlashBackStop::Mesh { gap }) => made.push((
            Kind::FlashBack.id(),
            "mesh",
            vec![
                n("mesh", mesh_words(gap.get::<millimeter>()), 3),
                n("union", shop::thread(bore_mm).0.to_owned() + " in", 1),
                n("hose_tail", tail(bore_mm), 2),
                n("clamp", clamp(bore_mm), 2),
            ],
        )),
        Some(stop @ FlashBackStop::WaterSeal { .. }) => {
            if let Some(jar) = sizes::seal(stop) {
                let mut uses = jar_with_lid(jar.volume_m3(), 2, bore_mm);
                let long = jar.height_m - jar.level_m + jar.dip_m + 0.05;
                uses.push(some(
                    "dip_pipe",
                    shop::hose_words(bore_mm),
                    Amount::Length(long + 0.08),
                ));
                uses.push(n("clamp", clamp(bore_mm), 2));
                made.push((Kind::FlashBack.id(), "water_seal", uses));
            }
        }
        None => {}
    }
    for (i, u) in side.uses.iter().enumerate() {
        let head = heads.get(i).copied().flatten();
        made.push((
            Kind::Use(i).id(),
            "burner",
            burner(u.appliance, head, bore_mm),
        ));
    }
    if side.line.is_some() {
        let others: u32 = made.iter().map(|m| count_of(&m.2, "tee")).sum();
        let valves: u32 = made.iter().map(|m| count_of(&m.2, "valve")).sum();
        made.push((Kind::Line.id(), "line", line(plan, bore_mm, others, valves)));
    }
    made.into_iter()
        .enumerate()
        .map(|(i, (id, key, uses))| Joint {
            letter: letter(i),
            id,
            key,
            uses: uses
                .into_iter()
                .filter(|u| u.amount.value() > 0.0)
                .collect(),
        })
        .collect()
}

/// A, B, ... Z, AA.
fn letter(i: usize) -> String {
    let one = |i: usize| char::from(b'A' + (i % 26) as u8).to_string();
    if i < 26 {
        one(i)
    } else {
        one(i / 26 - 1) + &one(i)
    }
}

fn count_of(uses: &[Use], key: &str) -> u32 {
    uses.iter()
        .filter(|u| u.item.key == key)
        .map(|u| match u.amount {
            Amount::Count(n) => n,
            _ => 0,
        })
        .sum()
}

fn clamp(bore_mm: f64) -> String {
    // A clamp goes round the hose: bore and two walls of about 3 mm.
    shop::inches(shop::hose_mm(bore_mm).0 + 6.0)
}

fn tail(bore_mm: f64) -> String {
    format!(
        "{} in, {}",
        shop::thread(bore_mm).0,
        shop::hose_words(bore_mm)
    )
}

fn size_mm(diameter_m: f64, height_m: f64) -> String {
    let (d, h) = (
        shop::inches(diameter_m * 1000.0),
        shop::inches(height_m * 1000.0),
    );
    format!("{d} x {h}")
}

fn mesh_words(gap_mm: f64) -> String {
    format!(
        "{} mm ({} in)",
        format_number(gap_mm, 2),
        format_number(gap_mm / 25.4, 2)
    )
}

fn volume_words(m3: f64) -> String {
    // Litres of a US gallon (exact from the inch).
    let l = m3 * 1000.0;
    format!(
        "{} L ({} gal)",
        format_number(l, 3),
        format_number(l / 3.785_411_784, 3)
    )
}

fn vessel(plan: &Plan) -> Vec<Use> {
    use fenlamp_core::plan::VesselKind;
    let key = match plan.vessel.kind {
        VesselKind::Drum => "vessel_drum",
        VesselKind::Tote => "vessel_tote",
        VesselKind::Tank | VesselKind::SunkenTank => "vessel_tank",
        VesselKind::LongBag => "vessel_bag",
    };
    let mut uses = vec![n(
        key,
        volume_words(plan.vessel.volume.get::<cubic_meter>()),
        1,
    )];
    if plan.vessel.kind != VesselKind::LongBag {
        uses.push(n("lid_seal", "", 1));
    }
    uses
}

fn feed(plan: &Plan) -> Vec<Use> {
    let m = measures(&plan.vessel);
    let lying = plan.vessel.kind == fenlamp_core::plan::VesselKind::LongBag;
    let inlet = if lying { 1.2 } else { m.height_m + 0.3 };
    let mut uses = vec![
        some("feed_pipe", FEED_PIPE, Amount::Length(inlet)),
        n("wall_fitting", FEED_PIPE, 1),
        n("washer", FEED_PIPE, 2),
        n("funnel", "", 1),
        n("cap", FEED_PIPE, 1),
    ];
    match plan.vessel.mode {
        VesselMode::Overflow => {
            let out = if lying { 1.2 } else { 0.6 * m.height_m + 0.6 };
            uses[0].amount = Amount::Length(inlet + out);
            uses[1].amount = Amount::Count(2);
            uses[2].amount = Amount::Count(4);
            uses.push(n("pipe_elbow", FEED_PIPE, 2));
            uses.push(n("tub", "", 1));
        }
        VesselMode::DrawOff { .. } => uses.push(n("drain_valve", "50 mm (2 in)", 1)),
        VesselMode::TopUp | VesselMode::Batch => {}
    }
    uses
}

fn warmth(plan: &Plan) -> Vec<Use> {
    let m = measures(&plan.vessel);
    let mut uses: Vec<Use> = plan
        .insulation
        .iter()
        .map(|layer| {
            let area = match layer.on {
                Faces::All => m.side_m2 + m.top_m2 + m.base_m2,
                Faces::Sides => m.side_m2,
                Faces::Top => m.top_m2,
                Faces::Base => m.base_m2,
            };
            let thick = shop::inches(layer.thickness.get::<millimeter>());
            let id =
                fenlamp_core::reference::thermal(&layer.material).map_or("", |r| r.id.as_str());
            made_of(some("insulation", thick, Amount::Area(area)), id)
        })
        .collect();
    if let Some(h) = &plan.heap {
        uses.push(some(
            "heap",
            "",
            Amount::Volume(h.volume.get::<cubic_meter>()),
        ));
    }
    uses
}

fn outlet(plan: &Plan, bore_mm: f64) -> Vec<Use> {
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

fn jar_with_lid(volume_m3: f64, pipes: u32, bore_mm: f64) -> Vec<Use> {
    let thread = format!("{} in", shop::thread(bore_mm).0);
    vec![
        n("jar", shop::jar(volume_m3), 1),
        n("gas_fitting", thread.clone(), pipes),
        n("washer", thread, 2 * pipes),
        n("hose_tail", tail(bore_mm), pipes),
    ]
}

fn wash(w: &Wash, bore_mm: f64) -> Vec<Use> {
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
        WashKind::IronPacking { medium, .. } => {
            uses.push(some("dip_pipe", hose, Amount::Length(jar.height_m + 0.05)));
            uses.push(n("grid", "", 2));
            uses.push(n("clamp", clamp(bore_mm), 2));
            uses.push(made_of(
                some("iron", "", Amount::Mass(kg)),
                iron_key(medium),
            ));
        }
    }
    uses
}

fn store(plan: &Plan, bore_mm: f64) -> Vec<Use> {
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

fn burner(appliance: Appliance, head: Option<Head>, bore_mm: f64) -> Vec<Use> {
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

fn line(plan: &Plan, bore_mm: f64, tees: u32, valves: u32) -> Vec<Use> {
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
