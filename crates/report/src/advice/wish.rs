//! What is wanted, read from words.

use serde::Serialize;

use fenlamp_model::gas::uses;
use fenlamp_model::gas::uses::Uses;
use fenlamp_model::plan::month_span;
use fenlamp_model::say;

/// What is wanted, and when.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Wish {
    /// What.
    pub want: Want,
    /// Months, January first.
    pub months: [bool; 12],
}

/// How much is wanted a day.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "snake_case", tag = "of", content = "a_day")]
pub enum Want {
    /// As much as the waste allows.
    Everything,
    /// Kettles of 1.5 L brought to the boil.
    Kettles(f64),
    /// Hours of one stove burner.
    CookingHours(f64),
    /// Hours of one mantle lamp.
    LampHours(f64),
    /// Heat in the gas, kWh.
    HeatKwh(f64),
    /// Electricity of a small engine, kWh.
    ElectricityKwh(f64),
}

/// Words that are no wish.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("\"{0}\" says no wish that can be reckoned with")]
pub struct WishError(pub String);

/// How wishes are written, for messages.
pub const HOW_TO_WISH: &str = "write it like \"2 kettles/day Apr-Oct\", \"1 hour of cooking a day\", \
                               \"3 lamp hours/day\", \"2 kWh of heat a day\" or \"all of it\"";

/// Largest wish, of any kind a day (judgement: beyond it a figure is a slip).
const LARGEST: f64 = 1000.0;

impl Wish {
    /// As much as the waste allows, the year through.
    pub fn everything() -> Self {
        Wish {
            want: Want::Everything,
            months: [true; 12],
        }
    }

    /// Reads words such as "2 kettles/day Apr-Oct".
    ///
    /// # Errors
    /// [`WishError`] with the words when they name no amount, no use, or months
    /// that are none.
    pub fn parse(text: &str) -> Result<Self, WishError> {
        let wrong = || WishError(text.trim().chars().take(60).collect());
        let plain = plain(text);
        let (head, months) = split_months(&plain).ok_or_else(wrong)?;
        let want = want(&head).ok_or_else(wrong)?;
        if !months.contains(&true) {
            return Err(wrong());
        }
        Ok(Wish { want, months })
    }

    /// Methane that it takes a day, dry normal L; `None` for everything there is.
    pub fn methane_l_per_day(&self) -> Option<f64> {
        let of = uses::of_methane(1000.0);
        let litres = |amount: f64, per_m3: f64| 1000.0 * amount / per_m3;
        Some(match self.want {
            Want::Everything => return None,
            Want::Kettles(n) => litres(n, of.kettles),
            Want::CookingHours(h) => litres(h, of.stove_hours),
            Want::LampHours(h) => litres(h, of.lamp_hours),
            Want::HeatKwh(e) => litres(e, of.heat_kwh),
            Want::ElectricityKwh(e) => litres(e, of.electricity_kwh),
        })
    }

    /// The same in words: "1 kettle", "2.4 hours of one burner".
    pub fn counted_words(&self, methane_l: f64) -> String {
        let (n, unit) = self.counted(methane_l);
        let number = say::number_band(n, n);
        let unit = if number == "1" {
            unit.replace("kettles", "kettle").replace("hours", "hour")
        } else {
            unit.to_owned()
        };
        format!("{number} {unit}")
    }

    /// What so much methane gives of the thing wished for, and its name.
    pub fn counted(&self, methane_l: f64) -> (f64, &'static str) {
        let Uses {
            kettles,
            stove_hours,
            lamp_hours,
            heat_kwh,
            electricity_kwh,
        } = uses::of_methane(methane_l);
        match self.want {
            Want::Everything | Want::Kettles(_) => (kettles, "kettles"),
            Want::CookingHours(_) => (stove_hours, "hours of one burner"),
            Want::LampHours(_) => (lamp_hours, "hours of one lamp"),
            Want::HeatKwh(_) => (heat_kwh, "kWh of heat"),
            Want::ElectricityKwh(_) => (electricity_kwh, "kWh of electricity"),
        }
    }

    /// The wish in words: "2 kettles a day from April to October".
    pub fn words(&self) -> String {
        let number = |n: f64, one: &str, many: &str| {
            let unit = if n == 1.0 { one } else { many };
            format!("{} {unit}", fenlamp_quantity::format_number(n, 3))
        };
        let what = match self.want {
            Want::Everything => "as much gas as the waste allows".to_owned(),
            Want::Kettles(n) => number(n, "kettle a day", "kettles a day"),
            Want::CookingHours(n) => number(n, "hour of cooking a day", "hours of cooking a day"),
            Want::LampHours(n) => number(n, "hour of one lamp a day", "hours of one lamp a day"),
            Want::HeatKwh(n) => number(n, "kWh of heat a day", "kWh of heat a day"),
            Want::ElectricityKwh(n) => {
                number(n, "kWh of electricity a day", "kWh of electricity a day")
            }
        };
        match months_in_words(&self.months).as_str() {
            "" => what,
            months => format!("{what} {months}"),
        }
    }
}

/// "from April to October", "in June", "in June and August", "the year through".
pub(super) fn months_in_words(months: &[bool; 12]) -> String {
    let on: Vec<usize> = (0..12).filter(|&m| months[m]).collect();
    if on.len() == 12 {
        return "the year through".to_owned();
    }
    // Runs of months, over the turn of the year too.
    let starts: Vec<usize> = on
        .iter()
        .copied()
        .filter(|&m| !months[(m + 11) % 12])
        .collect();
    let runs: Vec<String> = starts
        .into_iter()
        .map(|start| {
            let length = (0..12).take_while(|i| months[(start + i) % 12]).count();
            let (first, last) = (start as i8 + 1, ((start + length - 1) % 12) as i8 + 1);
            match length {
                1 => format!("in {}", say::month(first)),
                2 => format!("in {} and {}", say::month(first), say::month(last)),
                _ => format!("from {} to {}", say::month(first), say::month(last)),
            }
        })
        .collect();
    say::list(&runs)
}

fn plain(text: &str) -> String {
    let lower = text.trim().to_lowercase().replace(['–', '—'], "-");
    // A stroke before a letter is "per", before a digit it is a fraction.
    let mut text = String::new();
    let mut chars = lower.chars().peekable();
    while let Some(c) = chars.next() {
        let per = c == '/' && chars.peek().is_some_and(|n| !n.is_ascii_digit());
        if per {
            text.push_str(" per ");
        } else {
            text.push(c);
        }
    }
    let text = text
        .replace(" daily", " per day")
        .replace(" each day", " per day")
        .replace(" every day", " per day")
        .replace(" a day", " per day");
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The words before the months, and the months.
fn split_months(plain: &str) -> Option<(String, [bool; 12])> {
    for tail in ["all year", "the year through", "all the year", "year round"] {
        if let Some(head) = plain.strip_suffix(tail) {
            return Some((trimmed(head), [true; 12]));
        }
    }
    // The months are the longest tail that names nothing else.
    let words: Vec<&str> = plain.split(' ').collect();
    let is_month = |w: &&str| {
        let w = w.trim_end_matches([',', ';']);
        matches!(
            w,
            "from" | "in" | "to" | "and" | "until" | "till" | "-" | "of"
        ) || w.split(['-', ',']).all(|p| month_span(p).is_some())
    };
    let tail = words.iter().rev().take_while(|w| is_month(w)).count();
    let (head, tail) = words.split_at(words.len() - tail);
    let months: Vec<&str> = tail
        .iter()
        .copied()
        .filter(|w| !matches!(*w, "from" | "in" | "of"))
        .map(|w| {
            if matches!(w, "until" | "till") {
                "to"
            } else {
                w
            }
        })
        .collect();
    let months = months.join(" ").replace(" and ", ", ");
    let months = if months.is_empty() {
        [true; 12]
    } else {
        month_span(&months)?
    };
    Some((trimmed(&head.join(" ")), months))
}

fn trimmed(head: &str) -> String {
    let mut head = head.trim();
    for tail in [" in", " from", " in the", ","] {
        head = head.strip_suffix(tail).unwrap_or(head).trim();
    }
    head.to_owned()
}

fn want(head: &str) -> Option<Want> {
    let everything = [
        "all",
        "all of it",
        "everything",
        "as much as possible",
        "max",
    ];
    if everything.contains(&head) || head.starts_with("as much as") {
        return Some(Want::Everything);
    }
    let head = head.strip_suffix(" per day").unwrap_or(head);
    let (number, rest) = match head.split_once(' ') {
        Some((first, rest)) => (amount(first)?, rest),
        None => return None,
    };
    // "1 1/2 hours"
    let (number, rest) = match rest.split_once(' ') {
        Some((more, after)) if more.contains('/') => (number + amount(more)?, after),
        _ => (number, rest),
    };
    if !(number.is_finite() && number > 0.0 && number <= LARGEST) {
        return None;
    }
    let rest = rest.replace(" per day", "");
    const KNOWN: [&str; 24] = [
        "hour",
        "hours",
        "h",
        "minute",
        "minutes",
        "min",
        "kettle",
        "kettles",
        "lamp",
        "lamps",
        "light",
        "cooking",
        "stove",
        "burner",
        "flame",
        "kwh",
        "heat",
        "electricity",
        "electric",
        "of",
        "a",
        "an",
        "one",
        "the",
    ];
    if !rest.split_whitespace().all(|w| KNOWN.contains(&w)) {
        return None;
    }
    let has = |words: &[&str]| words.iter().any(|w| rest.split(' ').any(|r| r == *w));
    let hours = has(&["hour", "hours", "h"]);
    let minutes = has(&["minute", "minutes", "min"]);
    let time = match (hours, minutes) {
        (true, false) => Some(number),
        (false, true) => Some(number / 60.0),
        _ => None,
    };
    if has(&["kettle", "kettles"]) {
        return (!hours && !minutes).then_some(Want::Kettles(number));
    }
    if has(&["lamp", "lamps", "light"]) {
        return time.map(Want::LampHours);
    }
    if has(&["cooking", "stove", "burner", "flame"]) {
        return time.map(Want::CookingHours);
    }
    if has(&["kwh"]) {
        return Some(if has(&["electricity", "electric"]) {
            Want::ElectricityKwh(number)
        } else {
            Want::HeatKwh(number)
        });
    }
    None
}

/// "2", "1.5", "1/2", "half", "two".
fn amount(word: &str) -> Option<f64> {
    const WORDS: [(&str, f64); 9] = [
        ("a", 1.0),
        ("an", 1.0),
        ("one", 1.0),
        ("half", 0.5),
        ("two", 2.0),
        ("three", 3.0),
        ("four", 4.0),
        ("five", 5.0),
        ("six", 6.0),
    ];
    if let Some((_, value)) = WORDS.iter().find(|(w, _)| *w == word) {
        return Some(*value);
    }
    let digits = |w: &str| {
        w.starts_with(|c: char| c.is_ascii_digit())
            .then(|| w.parse::<f64>().ok())?
    };
    match word.split_once('/') {
        Some((top, bottom)) => Some(digits(top)? / digits(bottom)?).filter(|v| v.is_finite()),
        None => digits(word),
    }
}
