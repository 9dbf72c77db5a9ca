//! Burning where people breathe, and what the gas's sulfur does.

use super::case::{Case, found, number};
use super::leak::{flow_m3_h, room_of, room_words};
use super::{Evidence, Found, Severity};
use fenlamp_model::gas::appliances::Appliance;
use fenlamp_model::gas::room::{Flame, For, Fumes, Need, Room, air_after, fresh_air_needs, fumes};
use fenlamp_model::plan::GasUse;
use fenlamp_model::reference::gas_constant;
use fenlamp_model::say::number_band;

/// A use in a room without a flue.
struct Burning<'a> {
    of: &'a GasUse,
    room: Room,
    is_told: bool,
    greenhouse: bool,
    fumes: Fumes,
    needs: Vec<Need>,
}

impl Burning<'_> {
    fn need(&self, of: &str) -> Option<&Need> {
        self.needs.iter().find(|n| n.of == of)
    }
}

/// Every use that gives its fumes to a room, with a yellow flame: the flame that
/// someone has left alone.
fn burning_in_rooms<'a>(case: &'a Case<'_>, whom: For) -> Vec<Burning<'a>> {
    let Some(gas) = case.burned_gas() else {
        return Vec::new();
    };
    let uses = case
        .plan
        .gas_side
        .uses
        .iter()
        .filter(|u| !u.flue && u.room.is_some());
    uses.filter_map(|of| {
        let (room, is_told) = room_of(of.room.as_ref())?;
        let fumes = fumes(&gas, flow_m3_h(of), Flame::Yellow, &room).ok()?;
        Some(Burning {
            needs: fresh_air_needs(&room, &fumes, whom).ok()?,
            greenhouse: of.room.is_some_and(|r| r.greenhouse),
            of,
            room,
            is_told,
            fumes,
        })
    })
    .collect()
}

fn name(a: Appliance) -> &'static str {
    match a {
        Appliance::Stove => "stove",
        Appliance::Kettle => "kettle burner",
        Appliance::Lamp => "lamp",
        Appliance::WaterHeater => "water heater",
        Appliance::PasteurisingPot => "pot burner",
        Appliance::Refrigerator => "refrigerator",
        Appliance::Generator => "engine",
        Appliance::SpaceHeater => "heater",
        Appliance::YoungStockHeater => "young stock heater",
        Appliance::Vehicle | Appliance::Compressor => "appliance",
    }
}

/// Carbon dioxide, monoxide and lack of oxygen.
pub(super) fn burning(case: &Case<'_>) -> Option<Found> {
    let all = burning_in_rooms(case, For::People);
    let most = |b: &Burning<'_>| {
        let needs = b.needs.iter().filter(|n| n.of != "sulfur dioxide");
        needs.map(|n| n.air_changes_per_h).fold(0.0, f64::max)
    };
    // The room that lacks most air.
    let short = |b: &Burning<'_>| most(b) / b.room.air_changes_per_h;
    let b = all.iter().max_by(|a, b| short(a).total_cmp(&short(b)))?;
    if b.is_told && short(b) <= 1.0 {
        return None;
    }
    let hours = b.of.hours_per_day().clamp(0.25, 24.0);
    let air = air_after(&b.room, &b.fumes, Some(hours)).ok()?;
    let (co2, co) = (b.need("carbon dioxide")?, b.need("carbon monoxide")?);
    let over = air.co2_ppm > co2.limit || air.co_ppm > co.limit;
    let severity = if over { Severity::Stop } else { Severity::Care };
    let greenhouse = if b.greenhouse {
        " In a greenhouse 1000 ppm of carbon dioxide is all that crops use; burn in daylight with \
         people out, never with the house shut tight."
    } else {
        ""
    };
    let words = format!(
        "The {} gives its fumes to {}. With a poor yellow flame, {} hours of it bring carbon dioxide to \
         {} ppm (limit for a working day {:.0}) and carbon monoxide to {} ppm (eight-hour guideline \
         {:.1}). Keeping to both needs {} air changes an hour: openings high and low that cannot be \
         shut, or a flue. Carbon monoxide alarm; headache in more than one person: out, and get help.\
         {greenhouse}",
        name(b.of.appliance),
        room_words(case, &b.room, b.is_told),
        number_band(hours, hours),
        number_band(air.co2_ppm, air.co2_ppm),
        co2.limit,
        number_band(air.co_ppm, air.co_ppm),
        co.limit,
        number_band(most(b), most(b))
    );
    let evidence = vec![
        number("room_m3", b.room.volume_m3),
        number("air_changes_per_h", b.room.air_changes_per_h),
        number("hours_a_day", hours),
        number("limit_co2_ppm", co2.limit),
        number("co2_ppm", air.co2_ppm),
        number("limit_co_ppm", co.limit),
        number("co_ppm", air.co_ppm),
        number("oxygen_percent", air.oxygen_pct),
        number("needed_air_changes_per_h", most(b)),
    ];
    let mut keys = vec![co2.source_key.as_str(), co.source_key.as_str(), "GTZ1989"];
    if b.greenhouse {
        keys.extend(["OMAFRA2002", "CO2-BMET", "MANITOBA"]);
    }
    found(severity, words, evidence, &keys)
}

/// Sulfur dioxide from unwashed gas.
pub(super) fn sulfur_dioxide(case: &Case<'_>) -> Option<Found> {
    let whom = |b: &Burning<'_>| {
        if b.greenhouse {
            For::Plants
        } else {
            For::People
        }
    };
    let all = burning_in_rooms(case, For::People);
    let mut worst: Option<(f64, f64, Need, &Burning<'_>)> = None;
    for b in &all {
        let needs = fresh_air_needs(&b.room, &b.fumes, whom(b)).ok()?;
        let need = needs.into_iter().find(|n| n.of == "sulfur dioxide")?;
        let air = air_after(
            &b.room,
            &b.fumes,
            Some(b.of.hours_per_day().clamp(0.25, 24.0)),
        )
        .ok()?;
        let short = need.air_changes_per_h / b.room.air_changes_per_h;
        if worst.as_ref().is_none_or(|w| short > w.0) {
            worst = Some((short, air.so2_ppm, need, b));
        }
    }
    let (_, ppm, need, b) = worst?;
    if ppm <= need.limit {
        return None;
    }
    let h2s = case.burned_h2s_ppm();
    let whom = if b.greenhouse { "crops" } else { "people" };
    let words = format!(
        "Gas with {} ppm of hydrogen sulfide burns to sulfur dioxide: {} ppm in {} where {} bear \
         {} ppm. It wants {} air changes an hour, a flue, or gas washed and tested after the wash.",
        number_band(h2s, h2s),
        number_band(ppm, ppm),
        room_words(case, &b.room, b.is_told),
        whom,
        need.limit,
        number_band(need.air_changes_per_h, need.air_changes_per_h)
    );
    let evidence = vec![
        number("limit_so2_ppm", need.limit),
        number("so2_ppm", ppm),
        number("h2s_ppm", h2s),
        number("needed_air_changes_per_h", need.air_changes_per_h),
    ];
    let severity = if b.greenhouse {
        Severity::Care
    } else {
        Severity::Stop
    };
    found(severity, words, evidence, &[&need.source_key, "NIOSH-SO2"])
}

/// Hydrogen sulfide against what an engine or heater bears.
pub(super) fn appliance_h2s(case: &Case<'_>) -> Option<Found> {
    let uses = &case.plan.gas_side.uses;
    let has = |kinds: &[Appliance]| uses.iter().find(|u| kinds.contains(&u.appliance));
    let engine = has(&[Appliance::Generator]).map(|u| (u, "h2s_limit_engine"));
    let heater =
        has(&[Appliance::WaterHeater, Appliance::SpaceHeater]).map(|u| (u, "h2s_limit_boiler"));
    let ppm = case.burned_h2s_ppm();
    let over = |(u, id): (&'static str, &'static str)| {
        let row = gas_constant(id)?;
        let limit = row.value?;
        (ppm > limit).then_some((u, limit, row))
    };
    let (what, limit, row) = [engine, heater]
        .into_iter()
        .flatten()
        .find_map(|(u, id)| over((name(u.appliance), id)))?;
    let most = gas_constant("air_dose_hi")?;
    let most_air = most.value?;
    let words = format!(
        "The {what} gets gas with {} ppm of hydrogen sulfide and wants less than {limit:.0}: its oil \
         and metal go first. A little air dosed into the room for gas comes first (never \
         more than {most_air} % of the gas, and as local codes let you), then iron; test the gas behind it. Exhaust goes outside, never near a \
         door or window. The limit saves metal; it does not make the gas fit to breathe.",
        number_band(ppm, ppm)
    );
    let evidence: Vec<Evidence> = vec![number("limit_h2s_ppm", limit), number("h2s_ppm", ppm)];
    let keys = [row.source_key.as_str(), "PSU", &most.source_key, "CODES"];
    found(Severity::Care, words, evidence, &keys)
}
