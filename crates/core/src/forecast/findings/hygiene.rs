//! People and germs.

use super::case::{Case, found, number};
use super::{Found, Severity};
use crate::plan::{AdditiveKind, Siting};

/// Whether a feedstock's id speaks of one of `words`.
fn used(case: &Case<'_>, words: &[&str]) -> bool {
    case.in_vessel()
        .iter()
        .any(|f| words.iter().any(|w| f.id.contains(w)))
}

/// Human waste: germs, law.
pub(super) fn human_waste(case: &Case<'_>) -> Option<Found> {
    if !used(case, &["human"]) {
        return None;
    }
    let words = "Human waste goes in. A vessel at these temperatures does not make it safe: worm \
                 eggs and many germs live through it. In most places this needs a permit, and \
                 never take it from, or connect it to, an existing septic tank. Keep what comes \
                 out off all food crops unless local rules and a heat step (70 °C for an hour) \
                 are met."
        .to_owned();
    found(
        Severity::Stop,
        words,
        Vec::new(),
        &["EU142-2011", "HOHENHEIM2022", "CODES"],
    )
}

/// Pig manure: worms and disease that go on to people and other pigs.
pub(super) fn pig_manure(case: &Case<'_>) -> Option<Found> {
    if !used(case, &["pig_", "meat"]) {
        return None;
    }
    let words = "Pig manure and meat can carry worms and germs that go on to people and pigs; \
                 warm digestion lowers their number and does not end them. Treat what comes out \
                 as raw manure: under the soil, 120 days before harvest where the crop touches \
                 soil, 90 where it does not (US organic rule), no pigs on that ground meanwhile; \
                 gloves, and hands washed. Local by-product rules come first."
        .to_owned();
    found(
        Severity::Care,
        words,
        Vec::new(),
        &["HOHENHEIM2022", "USDA-NOP", "EU142-2011"],
    )
}

/// A vessel where people are, or in a closed room.
pub(super) fn indoors(case: &Case<'_>) -> Option<Found> {
    let (place, also) = match case.plan.vessel.siting {
        Siting::Room(_) => (
            "in a room",
            " A bench test needs a fume hood or a wide open window, a meter, and no flame.",
        ),
        Siting::Greenhouse => ("in a greenhouse", ""),
        Siting::Shed if case.plan.heap.is_some() => (
            "with a heap in a shed",
            " The heap takes the oxygen and gives off carbon dioxide and monoxide besides.",
        ),
        _ => return None,
    };
    let words = format!(
        "The vessel stands {place}. Leaks gather under a roof: hydrogen sulfide poisons first, \
         then methane explodes. Never put a vessel or store where people work or sleep; keep it \
         out of doors, 10 m from the house and 15 m from water.{also}"
    );
    let evidence = vec![
        number("distance_to_house_m", 10.0),
        number("distance_to_water_m", 15.0),
    ];
    found(
        Severity::Stop,
        words,
        evidence,
        &["FAO1984", "PSU", "TEXTBOOK"],
    )
}

/// Ash, lime: burns of eyes and skin.
pub(super) fn caustic(case: &Case<'_>) -> Option<Found> {
    let what = case.plan.additives.iter().find_map(|a| match a.kind {
        AdditiveKind::WoodAsh => Some("Wood ash makes lye"),
        AdditiveKind::SlakedLime => Some("Slaked lime is caustic"),
        _ => None,
    })?;
    let words = format!(
        "{what}: it burns eyes in seconds and skin in minutes. Goggles, long gloves, running \
         water at hand before you start. Add it to cold water, slowly, never water onto it; no \
         aluminium or zinc. Eyes: water at once for 30 minutes, then a doctor. Only ash of clean \
         wood, cold for days."
    );
    found(
        Severity::Care,
        words,
        Vec::new(),
        &["NJ-KOH", "COOL1996", "TEXTBOOK"],
    )
}
