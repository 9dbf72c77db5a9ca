//! The joints of a plan with their pieces.

use fenlamp_model::forecast::gas_train::GasTrain;
use fenlamp_model::gas::appliances::Appliance;
use fenlamp_model::plan::{FlashBackStop, Plan, VesselMode, WashKind};
use uom::si::length::{meter, millimeter};
use uom::si::volume_rate::cubic_meter_per_second;

use super::burner::{Head, head};
use super::gas_pieces::{burner, jar_with_lid, line, outlet, store, wash};
use super::piece::{Amount, Joint, Use, n, some};
use super::shop::{self, clamp, mesh_words, size_mm, tail};
use super::vessel_pieces::{feed, vessel, warmth};
use crate::plant::{Kind, sizes};

/// Bore where a plan tells of no line, mm (common practice, no source).
const USUAL_BORE_MM: f64 = 13.0;

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
            WashKind::AshBed { .. } => "ash_bed",
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
