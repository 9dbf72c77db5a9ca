//! [[waste]]: by amount, by month, by animals or in steps.

use super::feedstocks::Feedstocks;
use super::{Fault, MONTHS, Section, shorten};
use crate::band::Band;
use crate::feed::{Feedstock, How};
use crate::plan::how_known::{HowKnown, OF_AMOUNT};
use crate::plan::lookup;
use crate::plan::section::{behind, plain_words};
use crate::plan::{FeedStep, Waste, WasteBasis};
use crate::reference::Animal;
use fenlamp_quantity::{
    EitherRate, MassRate, Quantity, QuantityError, Ratio, mass_or_volume_rate,
    mass_or_volume_rate_row, nearest_word, read,
};
use jiff::civil::Date;

/// Largest stream of a household plan, kg/day: beyond it a figure is a slip. Judgement.
const LARGEST_KG_DAY: f64 = 20_000.0;

const HOW_TO_GIVE: &str = "write amount = \"2 kg/day\", or animal = \"goat\" with head = 6, or by_month with twelve numbers, or steps = \"1 kg/day from day 1, 2 kg/day from day 30\"";

/// Latest day that a step may name, and steps of one waste: beyond them a figure is a slip.
const LATEST_DAY: u32 = 3650;
const MOST_STEPS: usize = 50;
/// Largest share of a step: beyond it a figure is a slip. Judgement.
const LARGEST_SHARE: f64 = 10.0;

/// `start`: day of the first fill, where it could be read.
pub(super) fn waste(
    sections: &[Section<'_>],
    feedstocks: &mut Feedstocks,
    start: Option<Date>,
) -> Option<Vec<Waste>> {
    let streams: Vec<Option<Waste>> = sections
        .iter()
        .map(|s| {
            let stream = stream(s, feedstocks, start);
            s.finish();
            stream
        })
        .collect();
    streams.into_iter().collect()
}

fn stream(s: &Section<'_>, feedstocks: &mut Feedstocks, start: Option<Date>) -> Option<Waste> {
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
    let mut ways: Vec<&'static str> = ["animal", "amount", "by_month"]
        .into_iter()
        .filter(|k| s.has(k))
        .collect();
    let alone = ways.is_empty();
    if alone && s.has("steps") {
        ways.push("steps");
    }
    let steps = if s.has("steps") {
        steps(s, start, alone)
    } else {
        Some(Vec::new())
    };
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
    let mut waste = match ways.first() {
        None => {
            s.report.add(
                s.path(""),
                s.span.clone(),
                Fault::new("no amount is given", HOW_TO_GIVE),
            );
            None
        }
        Some(&"animal") => by_animal(s, row, head, collected, feedstock, months),
        Some(&"steps") => by_steps(s, steps.as_deref()?, feedstock, &stock?, months?),
        Some(&"amount") => {
            let (flow, known) = s.known_by("amount", "2 kg/day", OF_AMOUNT, mass_or_volume_rate)?;
            let by_volume = matches!(flow, EitherRate::Volume(_));
            weighed_by_mass(s, "amount", known, by_volume).then_some(())?;
            let stock = stock?;
            let each = kg_per_s(flow, &stock);
            check_size(s, "amount", &[each])?;
            let months = months?;
            Some(Waste {
                feedstock: feedstock?,
                label: format!("{}, {}{}", stock.name, words(s, "amount"), when(s)),
                fresh: months.map(|on| MassRate::from_si(if on { each } else { 0.0 })),
                steps: Vec::new(),
                basis: WasteBasis::Amount,
                spread: spread(known, by_volume, &stock),
            })
        }
        Some(_) => {
            let (row, known) = s.known_by(
                "by_month",
                "0 0 0 10 20 25 20 15 10 5 0 0 kg/week",
                OF_AMOUNT,
                mass_or_volume_rate_row::<12>,
            )?;
            let by_volume = matches!(row[0], EitherRate::Volume(_));
            weighed_by_mass(s, "by_month", known, by_volume).then_some(())?;
            let stock = stock?;
            let each = row.map(|flow| kg_per_s(flow, &stock));
            check_size(s, "by_month", &each)?;
            Some(Waste {
                feedstock: feedstock?,
                label: format!("{}, by month", stock.name),
                fresh: each.map(MassRate::from_si),
                steps: Vec::new(),
                basis: WasteBasis::Amount,
                spread: spread(known, by_volume, &stock),
            })
        }
    }?;
    let steps = steps?;
    if !alone && !steps.is_empty() {
        take_shares(s, &mut waste, &steps)?;
    }
    Some(waste)
}

/// One step as it is written.
struct Written {
    from_day: u32,
    much: Much,
}

/// How much a step says.
enum Much {
    Share(f64),
    Amount(EitherRate),
}

/// "half from day 1, all from day 30"; alone (without another key that says the amount)
/// "1 kg/day from day 1, 2 kg/day from 2026-06-01".
fn steps(s: &Section<'_>, start: Option<Date>, alone: bool) -> Option<Vec<Written>> {
    let text = s.text("steps")?.value;
    // A decimal comma has no blank behind it.
    let parts: Vec<&str> = text
        .split([';', '\n'])
        .flat_map(|t| t.split(", "))
        .collect();
    if parts.len() > MOST_STEPS {
        s.fault(
            "steps",
            format!("{} steps are more than a plan has", parts.len()),
            format!("at most {MOST_STEPS}"),
        );
        return None;
    }
    let mut out: Vec<Written> = Vec::with_capacity(parts.len());
    for part in parts {
        let step = step(s, part.trim(), start, alone)?;
        if let Some(before) = out.last()
            && step.from_day <= before.from_day
        {
            let message = format!(
                "the step \"{}\" begins on day {}, not after day {} of the one before it",
                shorten(part.trim()),
                step.from_day,
                before.from_day
            );
            step_fault(
                s,
                part.trim(),
                message,
                "write the steps in the order of their days",
            );
            return None;
        }
        out.push(step);
    }
    Some(out)
}

fn step_fault(s: &Section<'_>, given: &str, message: String, help: impl Into<String>) {
    let fault = Fault {
        given: Some(given.to_owned()),
        ..Fault::new(message, help)
    };
    s.report.add(s.path("steps"), s.at("steps"), fault);
}

fn step(s: &Section<'_>, part: &str, start: Option<Date>, alone: bool) -> Option<Written> {
    let example = if alone {
        "2 kg/day from day 30"
    } else {
        "half from day 1"
    };
    let Some(at) = part.to_ascii_lowercase().find(" from ") else {
        let message = format!("\"{}\" does not say from when", shorten(part));
        step_fault(
            s,
            part,
            message,
            format!("write each step like \"{example}\""),
        );
        return None;
    };
    let (much, when) = (part[..at].trim(), part[at + " from ".len()..].trim());
    let much = if alone {
        amount_of_step(s, much)
    } else {
        share_of_step(s, much)
    };
    let from_day = day_of_step(s, when, start);
    Some(Written {
        much: much?,
        from_day: from_day?,
    })
}

fn amount_of_step(s: &Section<'_>, text: &str) -> Option<Much> {
    if share_words(text).is_some() || text.ends_with('%') {
        let message = format!(
            "\"{}\" is a share of an amount that is not given",
            shorten(text)
        );
        step_fault(
            s,
            text,
            message,
            "write the amount too, like amount = \"2 kg/day\", or amounts in the steps",
        );
        return None;
    }
    match mass_or_volume_rate(text, &s.cx) {
        Ok(rate) => Some(Much::Amount(rate)),
        Err(e) => {
            unreadable(s, text, &e);
            None
        }
    }
}

fn unreadable(s: &Section<'_>, given: &str, e: &QuantityError) {
    s.report.add(
        s.path("steps"),
        s.at("steps"),
        Fault {
            message: e.to_string(),
            given: Some(given.to_owned()),
            allowed: e.known_units(),
            nearest: e.nearest().map(str::to_owned),
            help: e.help(),
        },
    );
}

/// Shares that have a word of their own.
const SHARE_WORDS: [(&str, f64); 3] = [("all", 1.0), ("half", 0.5), ("none", 0.0)];

fn share_words(text: &str) -> Option<f64> {
    let plain = plain_words(text);
    let found = SHARE_WORDS.iter().find(|(word, _)| *word == plain)?;
    Some(found.1)
}

fn share_of_step(s: &Section<'_>, text: &str) -> Option<Much> {
    if let Some(share) = share_words(text) {
        return Some(Much::Share(share));
    }
    if !text.contains(|c: char| c.is_ascii_digit()) {
        let allowed: Vec<String> = SHARE_WORDS.iter().map(|w| w.0.to_owned()).collect();
        let nearest = nearest_word(&plain_words(text), allowed.iter().map(String::as_str));
        let nearest = nearest.map(str::to_owned);
        let list = allowed.join(", ");
        s.report.add(
            s.path("steps"),
            s.at("steps"),
            Fault {
                message: format!("\"{}\" is no share", shorten(text)),
                given: Some(text.to_owned()),
                help: match &nearest {
                    Some(n) => {
                        format!("did you mean \"{n}\"? A share like \"50 %\", or one of: {list}")
                    }
                    None => format!("write a share like \"50 %\", or one of: {list}"),
                },
                allowed,
                nearest,
            },
        );
        return None;
    }
    if mass_or_volume_rate(text, &s.cx).is_ok() {
        let message = format!(
            "\"{}\" is an amount, and the amount is given already",
            shorten(text)
        );
        step_fault(
            s,
            text,
            message,
            "write shares of it in the steps, like \"50 %\", or leave the other out",
        );
        return None;
    }
    match read::<Ratio>(text, &s.cx) {
        Ok(share) if (0.0..=LARGEST_SHARE).contains(&share.to_si()) => {
            Some(Much::Share(share.to_si()))
        }
        Ok(_) => {
            let message = format!("\"{}\" is out of range", shorten(text));
            let help = format!("from 0 % to {:.0} %", 100.0 * LARGEST_SHARE);
            step_fault(s, text, message, help);
            None
        }
        Err(e) => {
            unreadable(s, text, &e);
            None
        }
    }
}

/// "day 30" or a date, as a day counted from the fill.
fn day_of_step(s: &Section<'_>, text: &str, start: Option<Date>) -> Option<u32> {
    if let Some(number) = behind(text, "day") {
        let day = number.parse::<u32>().ok().filter(|d| *d <= LATEST_DAY);
        if day.is_none() {
            let message = format!("\"{}\" is not a day", shorten(text));
            step_fault(s, text, message, format!("from day 0 to day {LATEST_DAY}"));
        }
        return day;
    }
    let Ok(date) = text.parse::<Date>() else {
        let message = format!("\"{}\" is neither a day nor a date", shorten(text));
        let help = "write \"day 30\" (counted from the fill) or a date, like 2026-05-01";
        step_fault(s, text, message, help);
        return None;
    };
    // Without a start of the plan that fault is told, and the date means nothing yet.
    let days = date.since(start?).ok()?.get_days();
    let day = u32::try_from(days).ok().filter(|d| *d <= LATEST_DAY);
    if day.is_none() {
        let start = start?;
        let message = if days < 0 {
            format!("{date} is before the plan's start, {start}")
        } else {
            format!("{date} is more than ten years after the plan's start, {start}")
        };
        step_fault(s, text, message, format!("a date from {start} on"));
    }
    day
}

/// The steps say the amounts.
fn by_steps(
    s: &Section<'_>,
    steps: &[Written],
    feedstock: Option<usize>,
    stock: &Feedstock,
    months: [bool; 12],
) -> Option<Waste> {
    let amounts: Vec<f64> = steps
        .iter()
        .filter_map(|step| match step.much {
            Much::Amount(rate) => Some(kg_per_s(rate, stock)),
            Much::Share(_) => None,
        })
        .collect();
    check_size(s, "steps", &amounts)?;
    let most = amounts.iter().copied().fold(0.0, f64::max);
    Some(Waste {
        feedstock: feedstock?,
        label: format!("{}, {}{}", stock.name, words(s, "steps"), when(s)),
        fresh: months.map(|on| MassRate::from_si(if on { most } else { 0.0 })),
        steps: steps
            .iter()
            .zip(&amounts)
            .map(|(step, amount)| FeedStep {
                from_day: step.from_day,
                share: amount / most,
            })
            .collect(),
        basis: WasteBasis::Amount,
        spread: lookup::spread("amount_stated"),
    })
}

/// Steps that are shares of an amount given beside them; the greatest becomes the whole.
fn take_shares(s: &Section<'_>, waste: &mut Waste, steps: &[Written]) -> Option<()> {
    let share = |step: &Written| match step.much {
        Much::Share(share) => share,
        Much::Amount(_) => 0.0,
    };
    let most = steps.iter().map(share).fold(0.0, f64::max);
    if most <= 0.0 {
        s.fault(
            "steps",
            "no step feeds anything",
            "write how much there is, or leave out this [[waste]]",
        );
        return None;
    }
    waste.fresh = waste.fresh.map(|fresh| fresh * most);
    check_size(s, "steps", &waste.fresh.map(|fresh| fresh.to_si()))?;
    waste.steps = steps
        .iter()
        .map(|step| FeedStep {
            from_day: step.from_day,
            share: share(step) / most,
        })
        .collect();
    waste.label = format!("{}, {}", waste.label, words(s, "steps"));
    Some(())
}

/// The words of a key, for a label.
fn words<'a>(s: &Section<'a>, key: &'static str) -> &'a str {
    s.text(key).map_or("", |t| t.value)
}

/// ", Apr-Oct" where months are written.
fn when(s: &Section<'_>) -> String {
    match words(s, "months") {
        "" => String::new(),
        months => format!(", {months}"),
    }
}

fn kg_per_s(flow: EitherRate, stock: &Feedstock) -> f64 {
    match flow {
        EitherRate::Mass(m) => m.to_si(),
        EitherRate::Volume(v) => v.to_si() * stock.bulk_density_kg_m3,
    }
}

/// Whether an amount said to be weighed is a mass; reports one that is not.
pub(super) fn weighed_by_mass(
    s: &Section<'_>,
    key: &'static str,
    known: HowKnown,
    by_volume: bool,
) -> bool {
    let fits = known != HowKnown::Weighed || !by_volume;
    if !fits {
        s.fault(
            key,
            "a volume is not weighed",
            "write \"measured\" after it, or the mass",
        );
    }
    fits
}

/// Density above which a material pours and lies without gaps, kg/m3. Judgement: water
/// and thin slurry are 1000, heaped dung 950 at most.
const POURS_KG_M3: f64 = 960.0;

/// How far what comes may be from the amount given, as a factor.
fn spread(known: HowKnown, by_volume: bool, stock: &Feedstock) -> Band {
    match known {
        HowKnown::Stated => lookup::spread("amount_stated"),
        // A mass that is measured has been on a scale.
        HowKnown::Weighed => lookup::spread("amount_weighed"),
        HowKnown::Measured if !by_volume => lookup::spread("amount_weighed"),
        HowKnown::Measured => {
            let volume = lookup::spread("amount_by_volume");
            let density = match stock.origin("bulk_density_kg_m3").map(|o| o.how) {
                Some(How::Measured) => lookup::spread("bulk_density_measured"),
                _ if stock.bulk_density_kg_m3 >= POURS_KG_M3 => Band::exact(1.0),
                _ => lookup::spread("bulk_density_spread"),
            };
            // Independent errors add by their squares.
            Band {
                low: 1.0 - (1.0 - volume.low).hypot(1.0 - density.low),
                mid: 1.0,
                high: 1.0 + (volume.high - 1.0).hypot(density.high - 1.0),
            }
        }
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
    Some(Waste {
        feedstock: feedstock?,
        label: format!(
            "{}: dung of {head}, {:.0} % gathered{}",
            row.name,
            100.0 * collected.to_si(),
            when(s)
        ),
        fresh: months.map(|on| MassRate::from_si(if on { kg_day / 86_400.0 } else { 0.0 })),
        steps: Vec::new(),
        basis: WasteBasis::Animals {
            animal: row.id.clone(),
            head,
            collected: collected.to_si(),
        },
        spread: lookup::spread("amount_stated"),
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
pub fn month_span(text: &str) -> Option<[bool; 12]> {
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
