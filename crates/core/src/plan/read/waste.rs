//! [[waste]]: by amount, by month or by animals.

use super::feedstocks::Feedstocks;
use super::{MONTHS, Section, shorten};
use crate::feed::Feedstock;
use crate::plan::lookup;
use crate::plan::section::plain_words;
use crate::plan::{Waste, WasteBasis};
use crate::reference::Animal;
use fenlamp_quantity::{
    EitherRate, MassRate, Quantity, Ratio, mass_or_volume_rate, mass_or_volume_rate_row,
};

/// Largest stream of a household plan, kg/day: beyond it a figure is a slip. Judgement.
const LARGEST_KG_DAY: f64 = 20_000.0;

const HOW_TO_GIVE: &str = "write amount = \"2 kg/day\", or animal = \"goat\" with head = 6, or by_month with twelve numbers";

pub(super) fn waste(sections: &[Section<'_>], feedstocks: &mut Feedstocks) -> Option<Vec<Waste>> {
    let streams: Vec<Option<Waste>> = sections
        .iter()
        .map(|s| {
            let stream = stream(s, feedstocks);
            s.finish();
            stream
        })
        .collect();
    streams.into_iter().collect()
}

fn stream(s: &Section<'_>, feedstocks: &mut Feedstocks) -> Option<Waste> {
    let animal = s.text("animal").map(|t| t.value);
    let head = s.number("head", "a number of animals", 0.1..=10_000.0);
    let collected = s.quantity::<Ratio>("collected", "1 %", "100 %");
    let months = if s.has("months") {
        months(s)
    } else {
        Some([true; 12])
    };
    let row = animal.and_then(|name| find_animal(s, name));
    let feedstock = if s.has("feedstock") {
        feedstocks.index(s, "feedstock")
    } else if s.has("animal") {
        row.and_then(|a| feedstocks.index_of(&a.feedstock_id))
    } else {
        s.missing(
            "feedstock",
            "write feedstock = \"grass_clippings\" or another",
        );
        None
    };
    let ways: Vec<&'static str> = ["animal", "amount", "by_month"]
        .into_iter()
        .filter(|k| s.has(k))
        .collect();
    if let [_, second, ..] = ways[..] {
        s.fault(
            second,
            format!("the amount is given more than once: {}", ways.join(" and ")),
            "keep one of them",
        );
    }
    if !s.has("animal") {
        for key in ["head", "collected"] {
            if s.has(key) {
                s.fault(key, format!("\"{key}\" belongs to \"animal\""), HOW_TO_GIVE);
            }
        }
    }
    if s.has("by_month") && s.has("months") {
        s.fault(
            "months",
            "twelve numbers already say which months",
            "leave out months, or write amount in place of by_month",
        );
    }
    let stock = feedstock.and_then(|i| feedstocks.used.get(i)).cloned();
    match ways.first() {
        None => {
            s.report.add(
                s.path(""),
                s.span.clone(),
                super::Fault::new("no amount is given", HOW_TO_GIVE),
            );
            None
        }
        Some(&"animal") => by_animal(s, row, head, collected, feedstock, months),
        Some(&"amount") => {
            let flow = s.quantity_by("amount", "2 kg/day", mass_or_volume_rate)?;
            let stock = stock?;
            let each = kg_per_s(flow.value, &stock);
            check_size(s, "amount", &[each])?;
            let months = months?;
            let words = s.text("amount").map_or("", |t| t.value);
            let when = s
                .text("months")
                .map(|t| format!(", {}", t.value))
                .unwrap_or_default();
            Some(Waste {
                feedstock: feedstock?,
                label: format!("{}, {words}{when}", stock.name),
                fresh: months.map(|on| MassRate::from_si(if on { each } else { 0.0 })),
                basis: WasteBasis::Amount,
            })
        }
        Some(_) => {
            let row = s.quantity_by(
                "by_month",
                "0 0 0 10 20 25 20 15 10 5 0 0 kg/week",
                mass_or_volume_rate_row::<12>,
            )?;
            let stock = stock?;
            let each = row.value.map(|flow| kg_per_s(flow, &stock));
            check_size(s, "by_month", &each)?;
            Some(Waste {
                feedstock: feedstock?,
                label: format!("{}, by month", stock.name),
                fresh: each.map(MassRate::from_si),
                basis: WasteBasis::Amount,
            })
        }
    }
}

fn kg_per_s(flow: EitherRate, stock: &Feedstock) -> f64 {
    match flow {
        EitherRate::Mass(m) => m.to_si(),
        EitherRate::Volume(v) => v.to_si() * stock.bulk_density_kg_m3,
    }
}

fn check_size(s: &Section<'_>, key: &'static str, kg_per_s: &[f64]) -> Option<()> {
    let most = kg_per_s.iter().fold(0.0f64, |a, b| a.max(*b)) * 86_400.0;
    if most <= 0.0 {
        s.fault(
            key,
            "the amount is zero",
            "write how much there is, or leave out this [[waste]]",
        );
        return None;
    }
    if most > LARGEST_KG_DAY {
        s.fault(
            key,
            format!("{most:.0} kg/day is more than a household has"),
            format!("at most {LARGEST_KG_DAY} kg/day"),
        );
        return None;
    }
    Some(())
}

fn by_animal(
    s: &Section<'_>,
    row: Option<&Animal>,
    head: Option<f64>,
    collected: Option<Ratio>,
    feedstock: Option<usize>,
    months: Option<[bool; 12]>,
) -> Option<Waste> {
    if !s.has("head") {
        s.missing("head", "write how many, like head = 6");
    }
    if !s.has("collected") {
        s.missing("collected", "write the share of the dung that you can gather: \"100 %\" when always housed, about \"50 %\" when housed at night");
    }
    let row = row?;
    let Some(each) = row.manure_fresh_kg_d else {
        s.fault(
            "animal",
            format!("no published figure for the dung of \"{}\"", row.id),
            "write amount = \"... kg/day\" and feedstock instead",
        );
        return None;
    };
    let (head, collected) = (head?, collected?);
    let kg_day = each * head * collected.to_si();
    check_size(s, "head", &[kg_day / 86_400.0])?;
    let months = months?;
    let when = s
        .text("months")
        .map(|t| format!(", {}", t.value))
        .unwrap_or_default();
    Some(Waste {
        feedstock: feedstock?,
        label: format!(
            "{}: dung of {head}, {:.0} % gathered{when}",
            row.name,
            100.0 * collected.to_si()
        ),
        fresh: months.map(|on| MassRate::from_si(if on { kg_day / 86_400.0 } else { 0.0 })),
        basis: WasteBasis::Animals {
            animal: row.id.clone(),
            head,
            collected: collected.to_si(),
        },
    })
}

fn find_animal(s: &Section<'_>, name: &str) -> Option<&'static Animal> {
    let id = plain_words(name).replace(' ', "_");
    let found = lookup::animal(&id);
    if found.is_none() {
        let allowed: Vec<String> = lookup::animals().iter().map(|a| a.id.clone()).collect();
        let singular = id.strip_suffix('s').unwrap_or(&id);
        // "cow" is near no id by spelling, but begins several.
        let nearest = lookup::nearest_animal(name).or_else(|| {
            allowed
                .iter()
                .find(|a| a.split('_').any(|w| w == singular))
                .cloned()
        });
        s.unknown_near("animal", name, "animal", allowed, nearest);
    }
    found
}

/// "Apr-Oct", "Nov to Feb", "Jun, Jul", "all year".
pub(super) fn months(s: &Section<'_>) -> Option<[bool; 12]> {
    let text = s.text("months")?.value;
    let on = month_span(text);
    if on.is_none() {
        s.fault(
            "months",
            format!("\"{}\" does not name months", shorten(text)),
            "write them like \"Apr-Oct\", \"Jun, Jul\" or \"all year\"",
        );
    }
    on
}

/// Months by their names, January first: "Apr-Oct", "Nov to Feb", "all year".
pub(crate) fn month_span(text: &str) -> Option<[bool; 12]> {
    let lower = text.trim().to_lowercase();
    let mut on = [false; 12];
    if matches!(lower.as_str(), "all" | "all year" | "every month") {
        return Some([true; 12]);
    }
    for part in lower
        .replace(" to ", "-")
        .replace(['–', '—'], "-")
        .split([',', ';'])
    {
        let mut ends = part.split('-').map(month);
        match (ends.next(), ends.next(), ends.next()) {
            (Some(Some(a)), None, _) => on[a] = true,
            (Some(Some(a)), Some(Some(b)), None) => {
                // A span may run over the turn of the year.
                for i in 0..=(b + 12 - a) % 12 {
                    on[(a + i) % 12] = true;
                }
            }
            _ => return None,
        }
    }
    Some(on)
}

fn month(word: &str) -> Option<usize> {
    let word = word.trim().trim_end_matches('.');
    (word.len() >= 3).then_some(())?;
    MONTHS
        .iter()
        .position(|m| m.to_lowercase().starts_with(word))
}
