//! Too cold, too hot, too fast.

use super::case::{Case, found, limit, number};
use super::{Found, Severity};
use fenlamp_model::band::Quantiles;
use fenlamp_model::plan::SlurryTemperature;
use fenlamp_model::reference::LimitState;
use fenlamp_model::say::{days_band, temperature};

const TEMPERATURE: &str = "digester_temperature";

/// Slurry days below the published floor.
pub(super) fn cold(case: &Case<'_>) -> Option<Found> {
    let row = limit(TEMPERATURE, LimitState::Act, |r| r.low.is_none())?;
    let floor = row.high?;
    let days = case.days(|d| d.slurry_c < floor);
    if !case.happens(days) {
        return None;
    }
    let coldest = case.over(|r| {
        r.days
            .iter()
            .map(|d| d.slurry_c)
            .fold(f64::INFINITY, f64::min)
    });
    let words = format!(
        "The slurry is below {} on {} of {:.0}; the coldest day is near {}. Below that, gas making \
         all but stops and feed only piles up. Insulate, bring heat, or stop feeding until it is \
         warm again.",
        temperature(floor, case.units),
        days_band(days.p10, days.p90),
        case.length(),
        temperature(coldest.p50, case.units)
    );
    let evidence = vec![
        number("limit_c", floor),
        number("days_below_p10", days.p10),
        number("days_below_p50", days.p50),
        number("days_below_p90", days.p90),
        number("coldest_day_c_p50", coldest.p50),
    ];
    found(Severity::Care, words, evidence, &[&row.source_key])
}

/// Stop when the middle world has such days, care when only some worlds have.
fn graver(days: Quantiles) -> Severity {
    if days.p50 >= 1.0 {
        Severity::Stop
    } else {
        Severity::Care
    }
}

/// Ice in the slurry.
pub(super) fn frozen(case: &Case<'_>) -> Option<Found> {
    let days = case.over(|r| match &r.warmth {
        Some(w) => f64::from(w.frozen_days),
        None => r.days.iter().filter(|d| d.slurry_c <= 0.0).count() as f64,
    });
    if !case.happens(days) {
        return None;
    }
    let words = format!(
        "Ice stands in the slurry on {}. Ice can split the vessel, and a frozen low spot blocks \
         the gas line and the relief with it: gas then has no safe way out. Keep water seals and \
         the relief inside the warm part or filled with a brine or glycol of known density; never \
         thaw with a flame.",
        days_band(days.p10, days.p90)
    );
    let evidence = vec![
        number("days_with_ice_p10", days.p10),
        number("days_with_ice_p50", days.p50),
        number("days_with_ice_p90", days.p90),
    ];
    found(graver(days), words, evidence, &["TEXTBOOK"])
}

/// Slurry days above the band of a mesophilic culture.
pub(super) fn hot(case: &Case<'_>) -> Option<Found> {
    let row = limit(TEMPERATURE, LimitState::Act, |r| r.high.is_none())?;
    let ceiling = row.low?;
    let days = case.days(|d| d.slurry_c > ceiling);
    if !case.happens(days) {
        return None;
    }
    let way_out = if case.plan.heap.is_some() {
        "uncover the heap, or put a gap or insulation between heap and vessel"
    } else {
        "shade the vessel, or add cold water or feed"
    };
    let words = format!(
        "The slurry is above {} on {}: most of the culture stops there. Remedy: {way_out}.",
        temperature(ceiling, case.units),
        days_band(days.p10, days.p90)
    );
    let evidence = vec![
        number("limit_c", ceiling),
        number("days_above_p50", days.p50),
        number("days_above_p90", days.p90),
    ];
    found(graver(days), words, evidence, &[&row.source_key])
}

/// A heap hot enough to drive the vessel over the band though it has not done so yet.
pub(super) fn heap_overheats(case: &Case<'_>) -> Option<Found> {
    case.plan.heap.as_ref()?;
    let row = limit(TEMPERATURE, LimitState::Act, |r| r.high.is_none())?;
    let ceiling = row.low?;
    let hottest = case.over(|r| {
        let heap = r.warmth.and_then(|w| w.heap_hottest_c);
        heap.unwrap_or(f64::NEG_INFINITY)
    });
    // Heat of a heap kills the roots of the culture from 60 degC on (the row's own words).
    // No heat balance ran: nothing is known of the heap.
    if !hottest.p90.is_finite() || hottest.p90 < HEAP_HOT_C {
        return None;
    }
    let words = format!(
        "The heap reaches {} in the middle world and {} in one of ten; against the wall it can \
         push the slurry over {}. Keep a thermometer in the slurry and a way to uncover the heap. \
         A hot heap takes the oxygen and gives off carbon dioxide and monoxide: never in a closed \
         shed.",
        temperature(hottest.p50, case.units),
        temperature(hottest.p90, case.units),
        temperature(ceiling, case.units)
    );
    let evidence = vec![
        number("limit_slurry_c", ceiling),
        number("heap_hottest_c_p50", hottest.p50),
        number("heap_hottest_c_p90", hottest.p90),
    ];
    found(
        Severity::Care,
        words,
        evidence,
        &[&row.source_key, "TEXTBOOK"],
    )
}

/// Heap temperature named in the `digester_temperature` row on hot heaps, degC.
const HEAP_HOT_C: f64 = 60.0;

/// The slurry's change from one day to the next.
pub(super) fn change(case: &Case<'_>) -> Option<Found> {
    if matches!(case.plan.slurry_temperature, SlurryTemperature::Fixed(_)) {
        return None;
    }
    let watch = limit("temperature_change", LimitState::Watch, |r| {
        r.high == Some(2.0)
    })?;
    let act = limit("temperature_change", LimitState::Act, |_| true)?;
    let (slow, fast) = (watch.low?, act.low?);
    // Below the cold floor nothing works that a change could upset.
    let floor = limit(TEMPERATURE, LimitState::Act, |r| r.low.is_none())?.high?;
    let jumps = |beyond: f64| {
        case.over(|r| {
            let moved = |w: &[fenlamp_model::world::DayRow]| {
                (w[1].slurry_c - w[0].slurry_c).abs() > beyond
                    && w[0].slurry_c.max(w[1].slurry_c) > floor
            };
            r.days.windows(2).filter(|w| moved(w)).count() as f64
        })
    };
    let (over_slow, over_fast) = (jumps(slow), jumps(fast));
    if !case.happens(over_fast) && over_slow.p50 < 5.0 {
        return None;
    }
    let severity = if over_fast.p50 >= 1.0 {
        Severity::Care
    } else {
        Severity::Note
    };
    let degrees = |k: f64| match case.units {
        fenlamp_quantity::Units::Metric => format!("{k:.0} °C"),
        fenlamp_quantity::Units::Us => format!("{:.1} °F", 1.8 * k),
    };
    let words = format!(
        "The slurry moves by more than {} from one day to the next on {}, and by more than {} on \
         {}. Operators hold it under {} a day, for acids pile up when it jumps; cultures used to \
         swings bear more. Insulation and a larger mass of slurry steady it; hold the feed for a \
         day or two after a jump.",
        degrees(slow),
        days_band(over_slow.p10, over_slow.p90),
        degrees(fast),
        days_band(over_fast.p10, over_fast.p90),
        degrees(fast)
    );
    let evidence = vec![
        number("limit_watch_k_per_day", slow),
        number("limit_act_k_per_day", fast),
        number("days_over_watch_p50", over_slow.p50),
        number("days_over_act_p50", over_fast.p50),
        number("days_over_act_p90", over_fast.p90),
    ];
    found(
        severity,
        words,
        evidence,
        &[&act.source_key, "NY-OP", "ALV08"],
    )
}
