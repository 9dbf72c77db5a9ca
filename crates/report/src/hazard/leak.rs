//! Gas that gets loose where people are.

use uom::si::volume::cubic_meter;
use uom::si::volume_rate::cubic_meter_per_hour;

use super::case::{Case, found, number, safety};
use super::{Evidence, Found, Severity};
use fenlamp_model::gas::flammability::LimitTable;
use fenlamp_model::gas::room;
use fenlamp_model::gas::room::Room;
use fenlamp_model::gas::store::Standing;
use fenlamp_model::plan::{Runs, Siting, UseRoom};
use fenlamp_model::say;
use fenlamp_model::say::number_band;

/// Room taken where the plan gives none, m3: a small kitchen (judgement).
pub(super) const USUAL_ROOM_M3: f64 = 30.0;
/// Air changes an hour where none are told: windows shut (judgement).
pub(super) const SHUT_AIR_CHANGES: f64 = 0.5;

/// Even a shut room changes a hundredth of its air an hour: a plan that says none
/// gets this, not silence.
const LEAST_AIR_CHANGES: f64 = 0.01;

/// The room as told, with our figures where nothing is told; true if it was told.
pub(super) fn room_of(told: Option<&UseRoom>) -> Option<(Room, bool)> {
    let volume = told.map_or(USUAL_ROOM_M3, |r| r.volume.get::<cubic_meter>());
    let changes = told.and_then(|r| r.air_changes_per_h);
    let room = Room::new(
        volume,
        changes.unwrap_or(SHUT_AIR_CHANGES).max(LEAST_AIR_CHANGES),
    )
    .ok()?;
    Some((room, told.is_some() && changes.is_some()))
}

/// "a room of 30 m3 with 0.5 air changes an hour (assumed)".
pub(super) fn room_words(case: &Case<'_>, room: &Room, told: bool) -> String {
    let volume = match case.units {
        fenlamp_quantity::Units::Metric => {
            format!("{} m3", number_band(room.volume_m3, room.volume_m3))
        }
        fenlamp_quantity::Units::Us => {
            let cu_ft = 1000.0 * room.volume_m3 / say::L_PER_CU_FT;
            format!("{} cu ft", number_band(cu_ft, cu_ft))
        }
    };
    let assumed = if told { "" } else { " (assumed)" };
    let changes = number_band(room.air_changes_per_h, room.air_changes_per_h);
    format!("{volume} with {changes} air changes an hour{assumed}")
}

/// What a hose that comes off does to a room: the words, and the numbers.
fn hose_off(case: &Case<'_>, told: Option<&UseRoom>) -> Option<(String, Vec<Evidence>)> {
    let gas = case.raw_gas()?;
    let (room, is_told) = room_of(told)?;
    let day_l = case.best_day_l();
    let leak_m3_h = (day_l / 24.0 / 1000.0).max(1e-6);
    let leak = room::leak(&room, &gas, leak_m3_h, LimitTable::Iec60079).ok()?;
    let (h2s_leave, _) = safety("hydrogen sulfide", "REL ceiling")?;
    let when = match leak.hours_to_quarter {
        Some(h) if h < 1.0 => format!("is reached in {} minutes", number_band(60.0 * h, 60.0 * h)),
        Some(h) => format!("is reached in {} hours", number_band(h, h)),
        None => "would not be reached if the air were well mixed, which it is not".to_owned(),
    };
    let poison = if leak.h2s_ppm >= h2s_leave {
        format!(
            " Its hydrogen sulfide settles at {} ppm; people must leave at {h2s_leave:.0}.",
            number_band(leak.h2s_ppm, leak.h2s_ppm)
        )
    } else {
        String::new()
    };
    let words = format!(
        "A hose off on a good day lets {} an hour into {}: a quarter of the lower explosive limit {when}. Near the leak, and under the ceiling, it is explosive at once.{poison}",
        say::gas(day_l / 24.0, case.units),
        room_words(case, &room, is_told)
    );
    let evidence = vec![
        number("room_m3", room.volume_m3),
        number("air_changes_per_h", room.air_changes_per_h),
        number("leak_l_per_h", day_l / 24.0),
        number(
            "hours_to_quarter_of_lower_limit",
            leak.hours_to_quarter.unwrap_or(f64::INFINITY),
        ),
        number("methane_share_at_last", leak.methane_share),
        number("h2s_ppm_at_last", leak.h2s_ppm),
    ];
    // JSON has no infinity: a time that never comes is left out.
    Some((
        words,
        evidence
            .into_iter()
            .filter(|e| e.value.is_finite())
            .collect(),
    ))
}

/// A vessel where people are.
pub(super) fn vessel_indoors(case: &Case<'_>) -> Option<Found> {
    let (place, also) = match case.plan.vessel.siting {
        Siting::Room(_) => (
            "in a room",
            " A bench test needs a fume hood or a wide open window, a meter, and no flame.",
        ),
        Siting::Greenhouse => ("in a greenhouse", ""),
        _ => return None,
    };
    let (house_m, key) = safety("methane and biogas", "unit to home distance")?;
    let (water_m, _) = safety("methane and biogas", "unit to water supply distance")?;
    let feet = |m: f64| match case.units {
        fenlamp_quantity::Units::Metric => format!("{m:.0} m"),
        fenlamp_quantity::Units::Us => format!("{:.0} ft", (m / 0.3048).ceil()),
    };
    let (leak, mut evidence) = hose_off(case, None).unwrap_or_default();
    let words = format!(
        "The vessel stands {place}. Leaks gather under a roof: hydrogen sulfide poisons first, then \
         methane explodes. Never put a vessel or store where people work or sleep; keep it out of \
         doors, {} from the house and {} from water. {leak}{also}",
        feet(house_m),
        feet(water_m)
    );
    evidence.push(number("distance_to_house_m", house_m));
    evidence.push(number("distance_to_water_m", water_m));
    found(Severity::Stop, words, evidence, &[key, "PSU", "TEXTBOOK"])
}

/// A store indoors.
pub(super) fn store_indoors(case: &Case<'_>) -> Option<Found> {
    let store = case.plan.gas_side.store.as_ref()?;
    if store.stands != Standing::Indoors {
        return None;
    }
    let (leak, mut evidence) = hose_off(case, store.room.as_ref())?;
    let (room, _) = room_of(store.room.as_ref())?;
    let mut all = String::new();
    if let Some(full_l) = case.store_full_l()
        && let Some(gas) = case.raw_gas()
        && let Ok(share) = room::store_let_go(&room, &gas, full_l / 1000.0, LimitTable::Iec60079)
    {
        all = format!(
            " The whole store let go at once is {:.0} % of that limit with the air well mixed, and \
             far over it before it mixes.",
            100.0 * share
        );
        evidence.push(number("store_l", full_l));
        evidence.push(number("store_of_lower_limit_share", share));
    }
    let words = format!(
        "The gas store stands indoors: move it out of doors, shaded and fenced, and bring only the \
         line in, with a shut-off outside. {leak}{all}"
    );
    found(
        Severity::Stop,
        words,
        evidence,
        &["CODES", "GTZ-DIGEST", "IEC60079-20-1"],
    )
}

/// A line indoors.
pub(super) fn line_indoors(case: &Case<'_>) -> Option<Found> {
    let side = &case.plan.gas_side;
    if side.line.as_ref()?.runs != Runs::Indoors {
        return None;
    }
    let told = side.uses.iter().find_map(|u| u.room.as_ref());
    let (leak, evidence) = hose_off(case, told)?;
    let words = format!(
        "The gas line runs indoors. As little of it inside as can be: rigid pipe, through the wall in \
         a sleeve sealed to the room, a shut-off outside and one at each burner, both shut at night; \
         fuel-gas and carbon monoxide alarms. {leak}"
    );
    found(
        Severity::Care,
        words,
        evidence,
        &["CODES", "GTZ1989", "IEC60079-20-1"],
    )
}

/// Flow of a use, m3/h.
pub(super) fn flow_m3_h(u: &fenlamp_model::plan::GasUse) -> f64 {
    u.flow.get::<cubic_meter_per_hour>()
}
