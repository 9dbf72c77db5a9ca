//! Pressures along the train: what holds the vessel's gas back, and what is
//! left at the burner.

use serde::Serialize;
use uom::si::length::{centimeter, meter, millimeter};
use uom::si::mass::kilogram;
use uom::si::pressure::pascal;
use uom::si::volume::liter;
use uom::si::volume_rate::cubic_meter_per_second;

use crate::gas::line::{Fitting, Line};
use crate::gas::properties::{density_kg_m3, viscosity_pa_s};
use crate::gas::store::{Load, Skin, Store};
use crate::gas::{Mixture, State};
use crate::plan::{FlashBackStop, GasStore, GasUse, Plan, WashKind};
use crate::reference::gas_value;

/// What holds the vessel's gas back, Pa.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct BackPressure {
    /// Depth of the wash jars.
    pub jars_pa: f64,
    /// The store when half full.
    pub store_pa: f64,
    /// Both.
    pub total_pa: f64,
    /// Worked out from wash and store; if not, it is the plan's figure or the usual one.
    pub worked_out: bool,
}

/// Back-pressure of the plan: worked out where it has a jar or a store.
pub fn back_pressure(plan: &Plan) -> BackPressure {
    let side = &plan.gas_side;
    let jars_pa = side
        .washes
        .iter()
        .map(|w| match w.kind {
            WashKind::LyeJar { bubble_depth, .. } => column_pa(bubble_depth.get::<centimeter>()),
            // A loose bed; what cakes is a fault that its caution names.
            WashKind::AshBed { .. } | WashKind::IronPacking { .. } => 0.0,
        })
        // A sum of nothing is minus zero.
        .fold(0.0, |sum, pa| sum + pa);
    let store_pa = side.store.as_ref().map_or(0.0, |s| {
        let half = store(s).pressure_pa(0.5);
        side.relief
            .as_ref()
            .map_or(half, |r| half.min(r.depth.get::<pascal>()))
    });
    let worked_out = side.store.is_some() || jars_pa > 0.0;
    let total_pa = if worked_out {
        jars_pa + store_pa
    } else {
        plan.gas_outlet.back_pressure.get::<pascal>()
    };
    BackPressure {
        jars_pa,
        store_pa,
        total_pa,
        worked_out,
    }
}

/// Pressure of centimetres of water, Pa (`cm_wg`).
fn column_pa(cm: f64) -> f64 {
    cm * gas_value("cm_wg")
}

/// The plan's store as the sums take it.
pub(crate) fn store(s: &GasStore) -> Store {
    Store {
        shape: s.shape,
        load: Load {
            weight_kg: s.weight.get::<kilogram>(),
        },
        skin: Skin {
            material: s.material,
            thickness_mm: s.thickness.get::<millimeter>(),
        },
        bath_l: s.bath.get::<liter>(),
        standing: s.stands,
    }
}

/// Where a store without a relief lets go, Pa: a jar or trap is blown empty at
/// about this (judgement).
const NO_RELIEF_PA: f64 = 1500.0;

/// Gauge pressure at which the store is full, Pa. A drum lets gas out at its rim.
pub(crate) fn full_pa(plan: &Plan) -> f64 {
    let side = &plan.gas_side;
    let opens = side
        .relief
        .as_ref()
        .map_or(NO_RELIEF_PA, |r| r.depth.get::<pascal>());
    match &side.store {
        Some(s) if matches!(s.shape, crate::gas::store::Shape::Drum { .. }) => {
            store(s).pressure_pa(1.0)
        }
        _ => opens,
    }
}

/// Pressure at the burner while one use burns, Pa.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct BurnerPressure {
    /// The store a tenth full.
    pub nearly_empty_pa: f64,
    /// Half full.
    pub half_full_pa: f64,
    /// Nine tenths full.
    pub nearly_full_pa: f64,
    /// Lost in line and fittings at this use's flow.
    pub line_loss_pa: f64,
    /// Taken by a water seal against flash-back.
    pub seal_pa: f64,
}

/// Pressure left at the burner; `None` without a store or with a line that
/// cannot carry the flow.
pub(crate) fn burner(plan: &Plan, burn: &GasUse) -> Option<BurnerPressure> {
    let side = &plan.gas_side;
    let store = store(side.store.as_ref()?);
    let flow = burn.flow.get::<cubic_meter_per_second>() * 3600.0;
    let line_loss_pa = match &side.line {
        None => 0.0,
        Some(line) => line_loss(line, flow)?,
    };
    let seal_pa = match side.flash_back {
        Some(FlashBackStop::WaterSeal { depth }) => column_pa(depth.get::<centimeter>()),
        _ => 0.0,
    };
    let opens = full_pa(plan);
    let left = |filled: f64| {
        (store.pressure_pa(filled).min(opens.max(0.0)) - line_loss_pa - seal_pa).max(0.0)
    };
    Some(BurnerPressure {
        nearly_empty_pa: left(0.1),
        half_full_pa: left(0.5),
        nearly_full_pa: left(0.9),
        line_loss_pa,
        seal_pa,
    })
}

/// Loss at a flow of 60/40 gas at 20 degC, Pa.
fn line_loss(line: &crate::plan::GasLine, flow_m3_h: f64) -> Option<f64> {
    let gas = Mixture::biogas(0.6).ok()?;
    let state = State {
        t_c: 20.0,
        ..State::NORMAL
    };
    let density = density_kg_m3(&gas, state).ok()?;
    let viscosity = viscosity_pa_s(&gas, 20.0).ok()?;
    let pieces = |n: u32, f: Fitting| f64::from(n) * f.loss_coefficient();
    let mut tube = Line::plastic(
        line.bore.get::<millimeter>(),
        line.length.get::<meter>(),
        density,
        viscosity,
    );
    tube.fittings = pieces(line.elbows, Fitting::Elbow)
        + pieces(line.valves, Fitting::BallValve)
        + pieces(line.tees, Fitting::TeeBranch)
        + Fitting::Entry.loss_coefficient()
        + Fitting::Outlet.loss_coefficient();
    tube.loss(flow_m3_h).ok().map(|l| l.total_pa)
}
