//! Pieces of the vessel and of what keeps it warm.

use fenlamp_model::plan::{Faces, Plan, VesselMode};
use fenlamp_model::warmth::geometry::measures;
use fenlamp_quantity::format_number;
use uom::si::length::millimeter;
use uom::si::volume::cubic_meter;

use super::piece::{Amount, Use, made_of, n, some};
use super::shop;

/// Pipe that feeds and overflows a vessel: mm and inches (common practice, no source).
const FEED_PIPE: &str = "75 mm (3 in)";

fn volume_words(m3: f64) -> String {
    // Litres of a US gallon (exact from the inch).
    let l = m3 * 1000.0;
    format!(
        "{} L ({} gal)",
        format_number(l, 3),
        format_number(l / 3.785_411_784, 3)
    )
}

pub(super) fn vessel(plan: &Plan) -> Vec<Use> {
    use fenlamp_model::plan::VesselKind;
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

pub(super) fn feed(plan: &Plan) -> Vec<Use> {
    let m = measures(&plan.vessel);
    let lying = plan.vessel.kind == fenlamp_model::plan::VesselKind::LongBag;
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

pub(super) fn warmth(plan: &Plan) -> Vec<Use> {
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
                fenlamp_model::reference::thermal(&layer.material).map_or("", |r| r.id.as_str());
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
