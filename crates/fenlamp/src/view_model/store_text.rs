//! The part of a forecast about store and uses.

use fenlamp_model::band::Quantiles;
use fenlamp_model::forecast::gas_train::{GasTrain, UseBand, WashBands};
use fenlamp_model::gas::appliances::Appliance;
use fenlamp_model::plan::UnitSystem;
use fenlamp_model::say;
use fenlamp_quantity::{Pressure, Quantity, Units, print};

use crate::answer::Answer;
use crate::page::wrap;

/// Store and uses in a few lines; empty when the plan has none.
pub fn write(answer: &Answer) -> String {
    let lines = lines(answer);
    if lines.is_empty() {
        return String::new();
    }
    let mut out = "Store and uses\n".to_owned();
    for line in lines {
        out += &wrap(&line, "  ", "  ");
    }
    out.push('\n');
    out
}

/// What is to be said of uses, store, washes and trap, a line each.
pub fn lines(answer: &Answer) -> Vec<String> {
    let Some(train) = &answer.gas_train else {
        return Vec::new();
    };
    let units = match answer.stamp.units_of_words {
        UnitSystem::Metric => Units::Metric,
        UnitSystem::Us => Units::Us,
    };
    let mut lines: Vec<String> = train
        .uses
        .iter()
        .enumerate()
        .map(|(i, u)| use_line(train, i, u, units))
        .collect();
    if !train.uses.is_empty() {
        lines.push(waste_line(train, units));
    }
    lines.extend(store_line(train, units));
    lines.extend(train.washes.iter().map(|w| wash_line(answer, w, units)));
    lines.extend(trap_line(train));
    lines
}

/// Name of an appliance at the head of a line.
pub fn name(appliance: Appliance) -> &'static str {
    match appliance {
        Appliance::Stove => "Stove",
        Appliance::Kettle => "Kettle",
        Appliance::Lamp => "Lamp",
        Appliance::WaterHeater => "Water heater",
        Appliance::PasteurisingPot => "Pasteurising pot",
        Appliance::Refrigerator => "Refrigerator",
        Appliance::Generator => "Engine",
        Appliance::SpaceHeater => "Heater",
        Appliance::YoungStockHeater => "Heater for young stock",
        Appliance::Vehicle | Appliance::Compressor => "Not worked out",
    }
}

fn percent(q: Quantiles) -> String {
    let whole = |v: f64| (100.0 * v).round();
    let (low, high) = (whole(q.p10), whole(q.p90));
    if low == high {
        format!("{low} %")
    } else {
        format!("{low} to {high} %")
    }
}

fn use_line(train: &GasTrain, i: usize, u: &UseBand, units: Units) -> String {
    let mut text = format!(
        "{}: covered {} of the {} {} wanted (middle {:.0} %).",
        name(u.appliance),
        percent(u.covered_share),
        say::number_band(u.wanted, u.wanted),
        u.unit,
        100.0 * u.covered_share.p50
    );
    // The months in which the middle world misses a fifth and more.
    let poor: Vec<&str> = (1..=12)
        .filter(|m| {
            let (wanted, missed) = train
                .months
                .iter()
                .filter(|r| r.month == *m)
                .filter_map(|r| r.uses.get(i))
                .fold((0.0, 0.0), |(w, s), u| (w + u.wanted, s + u.missed.p50));
            wanted > 0.0 && missed >= 0.2 * wanted
        })
        .map(say::month)
        .collect();
    if !poor.is_empty() && poor.len() < 12 {
        text += &format!(" Short in {}.", say::list(&poor));
    }
    if let Some(burner) = &u.burner {
        let pressure = |pa: f64| print(Pressure::from_si(pa), units);
        text += &format!(
            " Pressure at the burner {} with the store half full.",
            pressure(burner.half_full_pa)
        );
    }
    text
}

fn waste_line(train: &GasTrain, units: Units) -> String {
    let wasted = train.whole.wasted_l;
    format!(
        "Let go though it would burn: {} of the gas, {} in all (counted dry). Hours short: {:.0} to {:.0} of {:.0}.",
        percent(train.wasted_share),
        say::gas_band(wasted.p10, wasted.p90, units),
        train.short_hours.p10,
        train.short_hours.p90,
        train.wanted_hours
    )
}

fn store_line(train: &GasTrain, units: Units) -> Option<String> {
    let store = &train.store;
    let smallest = store.smallest_l.map(|q| {
        format!(
            "A store of {} would be enough: a larger one saves less than {:.0} % of the gas.",
            say::gas_band(q.p10, q.p90, units),
            100.0 * store.chosen_loss_share
        )
    });
    let Some((full, half)) = store.full_l.zip(store.half_full_pa) else {
        return smallest.map(|s| format!("No store. {s}"));
    };
    let mut text = format!(
        "Store: holds {} at most, pressure {} half full.",
        say::gas(full, units),
        print(Pressure::from_si(half), units)
    );
    if let Some(smallest) = smallest {
        text += &format!(" {smallest}");
    }
    Some(text)
}

fn wash_line(answer: &Answer, w: &WashBands, units: Units) -> String {
    let label = say::capital(&w.label);
    let Some((dates, gas)) = w.spent_dates.zip(w.gas_per_filling_l) else {
        return format!("{label}: not spent in this time.");
    };
    let one_year = dates[0].year() == dates[2].year();
    let start = answer.stamp.start.parse().unwrap_or(dates[0]);
    let date = |d: jiff::civil::Date| {
        if one_year {
            say::date(d, start)
        } else {
            format!("{} {}", say::date(d, d), d.year())
        }
    };
    let (first, last) = (date(dates[0]), date(dates[2]));
    let when = if first == last {
        first
    } else {
        format!("{first} to {last}")
    };
    let some = if w.spent_share_of_worlds < 0.995 {
        format!(
            ", in {}",
            say::worlds_of(w.spent_share_of_worlds, answer.stamp.worlds)
        )
    } else {
        String::new()
    };
    format!(
        "{label}: the first filling is spent by {when}{some}, after {} of gas. With the renewals \
         planned it is spent on {} of the days.",
        say::gas_band(gas.p10, gas.p90, units),
        percent(w.spent_share_of_days)
    )
}

fn trap_line(train: &GasTrain) -> Option<String> {
    let trap = train.trap?;
    let days = trap.days_to_fill;
    let mut text = if days.p10 >= 365.0 {
        "Trap: not full within a year.".to_owned()
    } else {
        format!(
            "Trap: full in {} at the wettest.",
            say::days_band(days.p10, days.p90.min(365.0))
        )
    };
    if trap.freezing_days_per_year.p50 >= 1.0 {
        text += &format!(
            " It may freeze on {} a year.",
            say::days_band(
                trap.freezing_days_per_year.p10,
                trap.freezing_days_per_year.p90
            )
        );
    }
    Some(text)
}
