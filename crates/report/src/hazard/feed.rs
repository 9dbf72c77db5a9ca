//! What goes in: how much, how thick, and with how much seed.

use super::case::{Case, found, limit, limit_at, number};
use super::{Found, Severity};
use fenlamp_model::plan::VesselMode;
use fenlamp_model::reference::LimitState;
use fenlamp_model::say;
use fenlamp_model::say::number_band;
use fenlamp_model::world::mix;
use fenlamp_quantity::{Units, Volume, print};
use uom::si::volume::cubic_meter;

/// Volatile solids fed against the load that the slurry's temperature bears.
pub(super) fn loading(case: &Case<'_>) -> Option<Found> {
    let mut heavy: Vec<(usize, f64, f64, f64)> = Vec::new();
    let mut over_act = 0;
    let mut key = "";
    for (month, days) in case.months() {
        let load = case.mean(&days, |d| d.loading_kg_vs_m3_d);
        let slurry = case.mean(&days, |d| d.slurry_c);
        let act = limit_at("organic_loading_rate", LimitState::Act, slurry)?;
        let good = limit_at("organic_loading_rate", LimitState::Good, slurry)?;
        let (safe, most) = (good.high?, act.low?);
        key = &act.source_key;
        over_act += usize::from(load > most);
        if load > safe {
            heavy.push((month, load, safe, slurry));
        }
    }
    // The worst month by load against what it bears.
    let &(month, load, safe, slurry) = heavy
        .iter()
        .max_by(|a, b| (a.1 / a.2).total_cmp(&(b.1 / b.2)))?;
    let severity = if over_act > 0 {
        Severity::Care
    } else {
        Severity::Note
    };
    let overload = if over_act > 0 {
        format!(", of them {over_act} so far that acids rise")
    } else {
        String::new()
    };
    let words = format!(
        "In {} of the {} months more is fed than an unstirred household vessel bears at its \
         temperature{overload}. Worst is {}: {} a day at {}, where {} is the safe load. Feed less \
         while it is cold, or warm the slurry; test the pH weekly.",
        heavy.len(),
        case.months().len(),
        say::MONTHS[month],
        load_words(load, case.units),
        say::temperature(slurry, case.units),
        load_words(safe, case.units)
    );
    let evidence = vec![
        number("months_over_safe_load", heavy.len() as f64),
        number("months_over_act_load", over_act as f64),
        number("worst_loading_kg_vs_m3_d", load),
        number("worst_safe_loading_kg_vs_m3_d", safe),
        number("worst_slurry_c", slurry),
    ];
    found(severity, words, evidence, &[key])
}

pub(crate) fn load_words(kg_vs_m3: f64, units: Units) -> String {
    match units {
        Units::Metric => format!("{} kg VS per m3", number_band(kg_vs_m3, kg_vs_m3)),
        // lb/cu ft in a kg/m3, exact from the pound and the foot.
        Units::Us => {
            let lb = 100.0 * kg_vs_m3 * 0.062_427_960_576_145;
            format!("{} lb VS per 100 cu ft", number_band(lb, lb))
        }
    }
}

/// How long the feed stays against what its temperature needs.
pub(super) fn retention(case: &Case<'_>) -> Option<Found> {
    if !case.is_fed()
        || !matches!(
            case.plan.vessel.mode,
            VesselMode::Overflow | VesselMode::DrawOff { .. }
        )
    {
        return None;
    }
    let liquid_l = case.plan.vessel.liquid.get::<cubic_meter>() * 1000.0;
    let mut short: Vec<(usize, f64, f64, f64)> = Vec::new();
    let mut fed_months = 0;
    let mut key = "";
    for (month, days) in case.months() {
        // A litre of feed weighs about a kilogram.
        let fed = case.mean(&days, |d| d.fed_kg);
        if fed <= 0.0 {
            continue;
        }
        fed_months += 1;
        let stays = liquid_l / fed;
        let slurry = case.mean(&days, |d| d.slurry_c);
        let row = limit_at("retention_time", LimitState::Good, slurry)?;
        let needed = row.low?;
        key = &row.source_key;
        if stays < needed {
            short.push((month, stays, needed, slurry));
        }
    }
    let &(month, stays, needed, slurry) = short
        .iter()
        .max_by(|a, b| (a.2 / a.1).total_cmp(&(b.2 / b.1)))?;
    let severity = if needed > 2.0 * stays {
        Severity::Care
    } else {
        Severity::Note
    };
    let words = format!(
        "In {} of {fed_months} fed months the feed stays shorter than its temperature asks for: \
         in {} {} at {}, where {} or more is the usual design. What leaves undigested is gas \
         lost. Less water, less feed, a larger vessel or warmer slurry.",
        short.len(),
        say::MONTHS[month],
        say::days_word(stays),
        say::temperature(slurry, case.units),
        say::days_word(needed)
    );
    let evidence = vec![
        number("months_too_short", short.len() as f64),
        number("shortest_retention_days", stays),
        number("needed_retention_days", needed),
        number("slurry_c", slurry),
    ];
    found(severity, words, evidence, &[key])
}

/// Single feeds that are large for the vessel.
pub(super) fn slug(case: &Case<'_>) -> Option<Found> {
    let row = limit("daily_feed_volume", LimitState::Act, |_| true)?;
    let most = row.low? / 100.0;
    let share = |d: &fenlamp_model::world::DayRow| d.fed_kg / d.slurry_l.max(1e-9);
    let days = case.days(|d| share(d) > most);
    if days.p50 < 1.0 {
        return None;
    }
    let largest = case.over(|r| r.days.iter().map(share).fold(0.0, f64::max));
    let words = format!(
        "On {} more than {:.1} % of the slurry is fed at once, up to {} %. Large feeds upset the \
         balance: split them over the days.",
        say::days_band(days.p10, days.p90),
        100.0 * most,
        number_band(100.0 * largest.p50, 100.0 * largest.p50)
    );
    let evidence = vec![
        number("limit_share_of_slurry", most),
        number("days_over_p50", days.p50),
        number("largest_share_p50", largest.p50),
    ];
    found(Severity::Note, words, evidence, &[&row.source_key])
}

/// Feed that finds no room.
pub(super) fn refused(case: &Case<'_>) -> Option<Found> {
    let refused = case.over(|r| r.days.iter().map(|d| d.refused_kg).sum());
    if refused.p50 < 1e-6 {
        return None;
    }
    let offered = case
        .over(|r| r.days.iter().map(|d| d.refused_kg + d.fed_kg).sum())
        .p50
        .max(1e-9);
    let day = case.over(|r| {
        r.days
            .iter()
            .position(|d| d.refused_kg > 0.0)
            .map_or(f64::NAN, |d| d as f64)
    });
    let mass = uom::si::f64::Mass::new::<uom::si::mass::kilogram>(refused.p50);
    let words = format!(
        "The vessel has no outlet and is full from about day {:.0}: {} of the feed, {:.0} % of \
         all, finds no room and is left out here. Fit an overflow, draw off, or feed less; never \
         overfill, for slurry in the gas line blocks the relief.",
        day.p50,
        print(mass, case.units),
        100.0 * refused.p50 / offered
    );
    let evidence = vec![
        number("refused_kg_p50", refused.p50),
        number("refused_share_p50", refused.p50 / offered),
        number("first_day_p50", day.p50),
    ];
    found(Severity::Care, words, evidence, &["GTZ1989"])
}

/// How thick the feed is with its water.
pub(super) fn solids(case: &Case<'_>) -> Option<Found> {
    if !case.is_fed() {
        return None;
    }
    let good = limit("feed_total_solids", LimitState::Good, |_| true)?;
    let act = limit("feed_total_solids", LimitState::Act, |_| true)?;
    let (thin, thick, blocks) = (good.low? / 100.0, good.high? / 100.0, act.low? / 100.0);
    let shares: Vec<f64> = (0..12)
        .filter_map(|m| mix::of_month(case.plan, m)?.total_solids_share())
        .collect();
    let low = shares.iter().copied().fold(f64::INFINITY, f64::min);
    let high = shares.iter().copied().fold(0.0, f64::max);
    let percent = number_band(100.0 * low, 100.0 * high);
    let (severity, verdict, key) = if high > blocks {
        let words = "it will crust and block; dilute it";
        (Severity::Care, words, act)
    } else if high > thick {
        (
            Severity::Note,
            "thick: expect scum and poor mixing; dilute it",
            good,
        )
    } else if low < thin {
        (
            Severity::Note,
            "thin: warmth and room are spent on water; use less of it",
            good,
        )
    } else {
        return None;
    };
    let words = format!(
        "The feed with its water has {percent} % total solids, where {:.0} to {:.0} % pours and \
         mixes: {verdict}.",
        100.0 * thin,
        100.0 * thick
    );
    let evidence = vec![
        number("good_from_share", thin),
        number("good_to_share", thick),
        number("act_from_share", blocks),
        number("lowest_share", low),
        number("highest_share", high),
    ];
    found(severity, words, evidence, &[&key.source_key])
}

/// No seed, or little.
pub(super) fn seed(case: &Case<'_>) -> Option<Found> {
    let row = limit("startup_seed_share", LimitState::Watch, |_| true)?;
    let enough = row.high? / 100.0;
    let full = case.plan.vessel.liquid.get::<cubic_meter>();
    let fill = &case.plan.first_fill;
    let volume = fill.seed_volume().get::<cubic_meter>();
    let share = volume / full.max(1e-9);
    if share >= enough {
        return None;
    }
    let wanted = Volume::new::<cubic_meter>(enough * full);
    let have = match fill.seeds.is_empty() {
        true => "No seed goes in".to_owned(),
        false => format!(
            "Seed is only {} % of the slurry",
            number_band(100.0 * share, 100.0 * share)
        ),
    };
    let words = format!(
        "{have}: the start rests on what the fresh manure carries and may take weeks longer or \
         turn sour. {} or more from a working digester on like feed (10 to 30 %) makes it surer.",
        print(wanted, case.units)
    );
    let severity = if share < 0.01 {
        Severity::Care
    } else {
        Severity::Note
    };
    let evidence = vec![number("usual_share", enough), number("seed_share", share)];
    found(severity, words, evidence, &[&row.source_key, "MEM-AD"])
}
