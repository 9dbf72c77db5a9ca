//! Souring, ammonia, hydrogen sulfide.

use super::case::{Case, found, limit, number, safety};
use super::{Found, Severity};
use fenlamp_model::plan::AdditiveKind;
use fenlamp_model::reference::{LimitState, gas_constant};
use fenlamp_model::say::{days_band, number_band, worlds_of};
use fenlamp_model::world::DayRow;
use fenlamp_model::world::outcome::{SOUR_PH, soured};

/// Share of sour worlds worth a word, and from which the plan should wait (judgement).
const SOUR_WORD: f64 = 0.05;
const SOUR_STOP: f64 = 0.5;

/// Worlds that turn sour.
pub(super) fn souring(case: &Case<'_>) -> Option<Found> {
    let share = case.forecast.sour_share_of_worlds;
    if share < SOUR_WORD {
        return None;
    }
    let row = limit("pH", LimitState::Act, |r| r.high == Some(6.0))?;
    let mut lowest: Vec<f64> = case
        .runs
        .iter()
        .filter(|r| soured(&r.days))
        .map(|r| r.days.iter().map(|d| d.ph).fold(f64::INFINITY, f64::min))
        .collect();
    let ph = fenlamp_model::band::Quantiles::of(&mut lowest);
    let severity = if share >= SOUR_STOP {
        Severity::Stop
    } else {
        Severity::Care
    };
    let words = format!(
        "{} turn sour: the pH stays below {SOUR_PH} for two weeks or more and falls to about \
         {:.1}. Below 6.0 methane making usually ends. Stop feeding when the pH falls below 6.8; \
         if it goes on falling, dilute with healthy digestate and add bicarbonate in small doses.",
        fenlamp_model::say::capital(&worlds_of(share, case.forecast.worlds)),
        ph.p50
    );
    let evidence = vec![
        number("limit_ph", SOUR_PH),
        number("share_of_worlds", share),
        number("lowest_ph_of_sour_worlds_p50", ph.p50),
    ];
    found(severity, words, evidence, &[&row.source_key, "MEM-AD"])
}

/// Days from which an ammonia band is worth a word (judgement).
const AMMONIA_DAYS: f64 = 7.0;

/// Ammonium and ammonia together.
pub(super) fn ammonia_total(case: &Case<'_>) -> Option<Found> {
    let watch = limit("total_ammonia_nitrogen", LimitState::Watch, |r| {
        r.low == Some(1500.0)
    })?;
    let act = limit("total_ammonia_nitrogen", LimitState::Act, |r| {
        r.low == Some(3000.0)
    })?;
    ammonia(
        case,
        ["ammonium and ammonia", "mg N/L"],
        (watch.low?, act.low?),
        |d| d.ammonium_mg_n_l,
        &[&watch.source_key, &act.source_key],
    )
}

/// Free ammonia, which does the harm.
pub(super) fn ammonia_free(case: &Case<'_>) -> Option<Found> {
    let watch = limit("free_ammonia", LimitState::Watch, |r| r.low == Some(50.0))?;
    let act = limit("free_ammonia", LimitState::Act, |_| true)?;
    ammonia(
        case,
        ["free ammonia", "mg NH3-N/L"],
        (watch.low?, act.low?),
        |d| d.free_ammonia_mg_n_l,
        &[&watch.source_key, "CALLI05"],
    )
}

fn ammonia(
    case: &Case<'_>,
    [what, unit]: [&str; 2],
    (watch, act): (f64, f64),
    of: fn(&DayRow) -> f64,
    keys: &[&str],
) -> Option<Found> {
    let over_watch = case.days(|d| of(d) > watch);
    let over_act = case.days(|d| of(d) > act);
    if over_watch.p50 < AMMONIA_DAYS {
        return None;
    }
    let highest = case.over(|r| r.days.iter().map(of).fold(0.0, f64::max));
    let severity = if over_act.p50 >= AMMONIA_DAYS {
        Severity::Care
    } else {
        Severity::Note
    };
    let words = format!(
        "The {what} stand above {watch:.0} {unit} on {}, with a top of {} {unit}. From there an \
         unused culture slows, above {act:.0} it may fail; a culture raised slowly over months \
         bears several times more. Less poultry, pig or urine, more water or carbon-rich greens.",
        days_band(over_watch.p10, over_watch.p90),
        number_band(highest.p10, highest.p90)
    );
    let evidence = vec![
        number("limit_watch_mg_n_l", watch),
        number("limit_act_mg_n_l", act),
        number("days_over_watch_p50", over_watch.p50),
        number("days_over_act_p50", over_act.p50),
        number("highest_mg_n_l_p50", highest.p50),
        number("highest_mg_n_l_p90", highest.p90),
    ];
    found(
        severity,
        words.replace("free ammonia stand", "free ammonia stands"),
        evidence,
        keys,
    )
}

/// Hydrogen sulfide of the raw gas: for metal, and for people.
pub(super) fn h2s(case: &Case<'_>) -> Option<Found> {
    let row = limit("h2s_in_biogas", LimitState::Watch, |_| true)?;
    let (corrodes, much) = (row.low?, row.high?);
    let (deadly, deadly_key) = safety("hydrogen sulfide", "IDLH")?;
    let (leave, _) = safety("hydrogen sulfide", "REL ceiling")?;
    // Over the gas of the run, so that a day without gas counts nothing.
    let ppm = case.over(|r| {
        let gas: f64 = r.days.iter().map(|d| d.gas_dry_l).sum();
        let sulfide: f64 = r.days.iter().map(|d| d.gas_dry_l * d.h2s_ppm).sum();
        if gas > 0.0 { sulfide / gas } else { 0.0 }
    });
    if ppm.p90 < deadly {
        return None;
    }
    let (air, air_keys) = air_first()?;
    let metal = if ppm.p50 >= much {
        format!(
            "It eats burners, valves and engines quickly: clean it before any metal appliance. {air}"
        )
    } else if ppm.p90 >= corrodes {
        format!("It corrodes burners and engines in time. {air}")
    } else {
        "It does metal little harm.".to_owned()
    };
    let severity = if ppm.p50 >= corrodes {
        Severity::Care
    } else {
        Severity::Note
    };
    let words = format!(
        "The raw gas carries {} ppm of hydrogen sulfide over the run. {metal} To breathe it is \
         another matter: leave at {leave:.0} ppm; {deadly:.0} ppm is immediately dangerous and \
         puts the nose out of action. Never sniff the gas; burn it only with air enough and a way \
         out for the fumes, which hold sulfur dioxide.",
        number_band(ppm.p10, ppm.p90)
    );
    let evidence = vec![
        number("limit_corrosion_ppm", corrodes),
        number("limit_immediately_dangerous_ppm", deadly),
        number("h2s_ppm_p10", ppm.p10),
        number("h2s_ppm_p50", ppm.p50),
        number("h2s_ppm_p90", ppm.p90),
    ];
    let mut keys = vec![row.source_key.as_str(), deadly_key];
    if ppm.p90 >= corrodes {
        keys.extend(air_keys);
    }
    found(severity, words, evidence, &keys)
}

/// What to do against sulfide, in its order: air dosed into the room for gas, then iron;
/// with the keys it rests on.
pub(super) fn air_first() -> Option<(String, [&'static str; 3])> {
    let row = |id| gas_constant(id).filter(|r| r.value.is_some());
    let (low, high) = (row("air_dose_lo")?, row("air_dose_hi")?);
    let (cold, oxygen) = (row("microair_cold")?, row("microair_o2_hi")?);
    let words = format!(
        "First choice: air let into the room for gas, {} to {} % of the gas made, never more, or the \
         gas can explode; a small steady pump that stops when the gas stops, an oxygen meter, and \
         only where local codes and the gas authority let a licensed hand fit it. Over digestate up \
         to {} % of oxygen took {} % of the sulfide in a test; it needs a wet wall or slurry to grow \
         on, and some days. Second choice: an iron packing.",
        low.value?, high.value?, oxygen.value?, cold.value?
    );
    Some((words, [&high.source_key, &cold.source_key, "CODES"]))
}

/// Gypsum turns into hydrogen sulfide.
pub(super) fn sulfate(case: &Case<'_>) -> Option<Found> {
    if !case
        .plan
        .additives
        .iter()
        .any(|a| a.kind == AdditiveKind::Gypsum)
    {
        return None;
    }
    let words = "Gypsum is sulfate: in the vessel it becomes hydrogen sulfide, which poisons \
                 people, the culture and metal. Leave it out unless you test just that."
        .to_owned();
    found(Severity::Stop, words, Vec::new(), &["GTZ1985", "HANS99"])
}
