//! What parts a plan has, and their words.

use fenlamp_model::gas::appliances::Appliance;
use fenlamp_model::gas::store::Shape as StoreShape;
use fenlamp_model::plan::{FlashBackStop, Plan, Siting, VesselKind, WashKind};
use fenlamp_words::Words;

/// A part of a plant. Numbers count from 0 in the plan's order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// The vessel.
    Vessel,
    /// The slurry in it.
    Slurry,
    /// The room above the slurry.
    Headspace,
    /// A layer of insulation.
    Insulation(usize),
    /// The heap around it.
    Heap,
    /// A heater in the slurry.
    Heater,
    /// Where the gas leaves the vessel.
    Outlet,
    /// The line.
    Line,
    /// The store.
    Store,
    /// A wash.
    Wash(usize),
    /// The water trap.
    Trap,
    /// The relief.
    Relief,
    /// The stop against flash-back.
    FlashBack,
    /// A use.
    Use(usize),
}

impl Kind {
    /// Id in links and marks: `vessel`, `wash-1`, `use-2`.
    pub fn id(self) -> String {
        match self {
            Kind::Vessel => "vessel".to_owned(),
            Kind::Slurry => "slurry".to_owned(),
            Kind::Headspace => "headspace".to_owned(),
            Kind::Insulation(i) => format!("insulation-{}", i + 1),
            Kind::Heap => "heap".to_owned(),
            Kind::Heater => "heater".to_owned(),
            Kind::Outlet => "outlet".to_owned(),
            Kind::Line => "line".to_owned(),
            Kind::Store => "store".to_owned(),
            Kind::Wash(i) => format!("wash-{}", i + 1),
            Kind::Trap => "trap".to_owned(),
            Kind::Relief => "relief".to_owned(),
            Kind::FlashBack => "flash-back".to_owned(),
            Kind::Use(i) => format!("use-{}", i + 1),
        }
    }

    /// Drawn in the section; the others stand in the gas line below it.
    pub(super) fn in_scene(self) -> bool {
        self <= Kind::Store
    }
}

/// The parts of a plan, those of the section first.
pub fn parts(plan: &Plan) -> Vec<Kind> {
    let side = &plan.gas_side;
    let mut out = vec![Kind::Vessel, Kind::Slurry, Kind::Headspace];
    out.extend((0..plan.insulation.len()).map(Kind::Insulation));
    out.extend(plan.heap.iter().map(|_| Kind::Heap));
    out.extend(plan.heater.iter().map(|_| Kind::Heater));
    out.push(Kind::Outlet);
    out.extend(side.line.iter().map(|_| Kind::Line));
    out.extend(side.store.iter().map(|_| Kind::Store));
    out.extend((0..side.washes.len()).map(Kind::Wash));
    out.extend(side.trap.iter().map(|_| Kind::Trap));
    out.extend(side.relief.iter().map(|_| Kind::Relief));
    out.extend(side.flash_back.iter().map(|_| Kind::FlashBack));
    out.extend((0..side.uses.len()).map(Kind::Use));
    out
}

/// Key of an appliance's name under `part`.
pub(crate) fn appliance_key(appliance: Appliance) -> &'static str {
    match appliance {
        Appliance::Stove => "part.stove",
        Appliance::Kettle => "part.kettle",
        Appliance::Lamp => "part.lamp",
        Appliance::WaterHeater => "part.water_heater",
        Appliance::PasteurisingPot => "part.pasteurising_pot",
        Appliance::Refrigerator => "part.refrigerator",
        Appliance::Generator => "part.generator",
        Appliance::SpaceHeater => "part.space_heater",
        Appliance::YoungStockHeater => "part.young_stock_heater",
        Appliance::Vehicle => "part.vehicle",
        Appliance::Compressor => "part.compressor",
    }
}

/// What a part is called.
pub fn label(plan: &Plan, kind: Kind, words: &Words) -> String {
    let side = &plan.gas_side;
    let key = match kind {
        Kind::Vessel => match plan.vessel.kind {
            VesselKind::Drum => "part.vessel_drum",
            VesselKind::Tote => "part.vessel_tote",
            VesselKind::Tank => "part.vessel_tank",
            VesselKind::SunkenTank => "part.vessel_sunken_tank",
            VesselKind::LongBag => "part.vessel_long_bag",
        },
        Kind::Slurry => "part.slurry",
        Kind::Headspace => "part.headspace",
        Kind::Insulation(_) => "part.insulation",
        Kind::Heap => "part.heap",
        Kind::Heater => "part.heater",
        Kind::Outlet => "part.outlet",
        Kind::Line => "part.line",
        Kind::Store => match side.store.as_ref().map(|s| s.shape) {
            Some(StoreShape::Tubes { .. }) => "part.store_tubes",
            Some(StoreShape::Drum { .. }) => "part.store_drum",
            Some(StoreShape::Bag { .. }) | None => "part.store_bag",
        },
        Kind::Wash(i) => match side.washes.get(i).map(|w| w.kind) {
            Some(WashKind::LyeJar { .. }) => "part.lye_jar",
            Some(WashKind::AshBed { .. }) => "part.ash_bed",
            Some(WashKind::IronPacking { .. }) | None => "part.iron_packing",
        },
        Kind::Trap => "part.trap",
        Kind::Relief => "part.relief",
        Kind::FlashBack => match side.flash_back {
            Some(FlashBackStop::WaterSeal { .. }) => "part.water_seal",
            Some(FlashBackStop::Mesh { .. }) | None => "part.mesh",
        },
        Kind::Use(i) => side
            .uses
            .get(i)
            .map_or("part.stove", |u| appliance_key(u.appliance)),
    };
    words.say(key)
}

/// Key of where the vessel stands.
pub(super) fn siting_key(siting: Siting) -> &'static str {
    match siting {
        Siting::Outdoors => "siting.outdoors",
        Siting::Shed => "siting.shed",
        Siting::Room(_) => "siting.room",
        Siting::Greenhouse => "siting.greenhouse",
        Siting::InGround { .. } => "siting.in_ground",
    }
}
