//! Washes: lye that burns, iron that heats, jars that are spent or too deep.

use uom::si::length::centimeter;
use uom::si::pressure::pascal;

use super::case::{Case, found, number, safety};
use super::{Found, Severity};
use fenlamp_model::plan::WashKind;
use fenlamp_model::say;
use fenlamp_model::world::pressures::back_pressure;

fn has(case: &Case<'_>, kind: fn(&WashKind) -> bool) -> bool {
    case.plan.gas_side.washes.iter().any(|w| kind(&w.kind))
}

/// A jar of lye or ash.
pub(super) fn lye(case: &Case<'_>) -> Option<Found> {
    if !has(case, |k| matches!(k, WashKind::LyeJar { .. })) {
        return None;
    }
    let (minutes, key) = safety("caustic (lye, potash)", "eye flush with water")?;
    let words = format!(
        "The wash is lye: it burns eyes in seconds and skin in minutes, and a slippery feel means skin \
         is going. Goggles, long gloves, water running before the jar is opened. Eyes: water at once \
         for {minutes:.0} minutes, lids open, then a doctor; no vinegar. Lye or ash into cold water, \
         slowly, never water onto it; no aluminium, zinc or tin. Spent wash holds sulfide: no acid, no \
         drain, empty it out of doors and upwind. An empty catch jar on each side; a dry jar is no seal."
    );
    let evidence = vec![number("eye_flush_minutes", minutes)];
    found(
        Severity::Care,
        words,
        evidence,
        &[key, "OSHA-NAOH", "LIBERTY", "PHREEQC"],
    )
}

/// A bed of moist ash.
pub(super) fn ash_bed(case: &Case<'_>) -> Option<Found> {
    if !has(case, |k| matches!(k, WashKind::AshBed { .. })) {
        return None;
    }
    let (minutes, key) = safety("caustic (lye, potash)", "eye flush with water")?;
    let words = format!(
        "Ash dust is caustic to eyes, skin and lungs: tight goggles, dust mask, long gloves, out of \
         doors. Eyes: water at once for {minutes:.0} minutes, lids open, then a doctor. Cold ash of \
         clean wood only; fresh ash heats up when it is wetted, so wet it slowly in open steel and \
         let it cool before it is closed in. Caked ash holds the gas back: a loose bed, and a relief \
         before it. When it is spent carbon dioxide comes through at once; it is no wash against \
         sulfide. Behind it the gas burns hotter: set the burner's air anew."
    );
    let evidence = vec![number("eye_flush_minutes", minutes)];
    found(
        Severity::Care,
        words,
        evidence,
        &[key, "OSHA-NAOH", "WIKIASH", "ANDERSSON17"],
    )
}

/// Iron that has taken up sulfur.
pub(super) fn iron(case: &Case<'_>) -> Option<Found> {
    if !has(case, |k| matches!(k, WashKind::IronPacking { .. })) {
        return None;
    }
    let words = "Iron that has taken up sulfur heats in air and can set fire to itself and to what \
                 holds it. Never open it on a live line; open it wet, spread it damp on bare ground \
                 or metal, away from buildings, for a day or two."
        .to_owned();
    found(Severity::Care, words, Vec::new(), &["KOHL1997"])
}

/// Share of days spent from which a wash is worth a word (judgement).
const SPENT_SHARE: f64 = 0.1;

/// A wash that no longer washes.
pub(super) fn spent(case: &Case<'_>) -> Option<Found> {
    let train = case.forecast.gas_train.as_ref()?;
    let worst = train.washes.iter().max_by(|a, b| {
        a.spent_share_of_days
            .p50
            .total_cmp(&b.spent_share_of_days.p50)
    })?;
    let share = worst.spent_share_of_days;
    if share.p50 < SPENT_SHARE {
        return None;
    }
    let when = worst
        .spent_dates
        .map_or(String::new(), |[early, middle, _]| {
            let start = case.plan.start;
            format!(
                " The first filling may be gone by {}, most likely near {}.",
                say::date(early, start),
                say::date(middle, start)
            )
        });
    let words = format!(
        "The wash ({}) is spent on {} % of the days: raw gas passes it, hydrogen sulfide and all.{when} \
         Carbon dioxide uses up a lye long before the sulfide is out. Test the gas after the wash; do \
         not go by its age or by the nose.",
        worst.label,
        say::number_band(100.0 * share.p10, 100.0 * share.p90)
    );
    let evidence = vec![
        number("limit_share_of_days", SPENT_SHARE),
        number("spent_share_of_days_p50", share.p50),
    ];
    found(Severity::Care, words, evidence, &["PHREEQC"])
}

/// Jars that hold back more than the relief lets out.
pub(super) fn too_deep(case: &Case<'_>) -> Option<Found> {
    let side = &case.plan.gas_side;
    let relief = side.relief.as_ref()?;
    let depth_pa = relief.depth.get::<pascal>();
    let jars_pa = back_pressure(case.plan).jars_pa;
    if jars_pa <= 0.0 || jars_pa < depth_pa {
        return None;
    }
    let depth: f64 = side
        .washes
        .iter()
        .map(|w| match w.kind {
            WashKind::LyeJar { bubble_depth, .. } => bubble_depth.get::<centimeter>(),
            WashKind::AshBed { .. } | WashKind::IronPacking { .. } => 0.0,
        })
        .sum();
    let words = format!(
        "The jars hold the gas back by {depth:.0} cm of liquid, and the relief opens before that: all \
         gas blows out of the relief instead of through the wash. Shallower jars, or a deeper relief \
         if the vessel bears it."
    );
    let evidence = vec![
        number("jars_pa", jars_pa),
        number("relief_depth_pa", depth_pa),
    ];
    found(Severity::Care, words, evidence, &["ARITH"])
}
