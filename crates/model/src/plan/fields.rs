//! Typed fields of a table: texts, quantities, counts, words, dates.
//!
//! Every helper reports what is wrong and returns `None`, so that reading goes
//! on and the rest of the faults are found too.

use super::MONTHS;
use super::error::Fault;
use super::how_known::{self, HowKnown};
use super::section::{At, LISTED, Section, plain_words, shorten};
use fenlamp_quantity::{Context, Quantity, QuantityError, nearest_word, read, read_row};
use jiff::civil::Date;
use std::ops::RangeInclusive;
use toml::de::DeValue;

impl<'a> Section<'a> {
    /// A text as it stands.
    pub fn text(&self, key: &'static str) -> Option<At<&'a str>> {
        let value = self.get(key)?;
        match value.get_ref() {
            DeValue::String(s) => Some(At {
                value: s,
                span: value.span(),
            }),
            other => {
                self.wrong_type(key, other, "write a text in quotes");
                None
            }
        }
    }

    pub fn wrong_type(&self, key: &'static str, value: &DeValue<'_>, help: &str) {
        let what = match value {
            DeValue::String(_) => "a text",
            DeValue::Integer(_) | DeValue::Float(_) => "a number",
            DeValue::Boolean(_) => "true or false",
            DeValue::Datetime(_) => "a date",
            DeValue::Array(_) => "a list",
            DeValue::Table(_) => "a table",
        };
        self.fault(key, format!("{what} cannot stand here"), help);
    }

    /// A text, or a bare number as text: the quantity reader then says which unit is missing.
    fn words(&self, key: &'static str, example: &str) -> Option<At<String>> {
        let value = self.get(key)?;
        let text = match value.get_ref() {
            DeValue::String(s) => s.to_string(),
            DeValue::Integer(i) => i.as_str().replace('_', ""),
            DeValue::Float(f) => f.as_str().replace('_', ""),
            other => {
                self.wrong_type(
                    key,
                    other,
                    &format!("write a text in quotes, like \"{example}\""),
                );
                return None;
            }
        };
        Some(At {
            value: text,
            span: value.span(),
        })
    }

    /// Anything a quantity reader takes.
    pub fn quantity_by<T>(
        &self,
        key: &'static str,
        example: &str,
        reader: impl Fn(&str, &Context) -> Result<T, QuantityError>,
    ) -> Option<At<T>> {
        let text = self.words(key, example)?;
        match reader(&text.value, &self.cx) {
            Ok(value) => Some(At {
                value,
                span: text.span,
            }),
            Err(e) => {
                match how_known::split(&text.value) {
                    Some((value, word))
                        if how_known::meaning(word, how_known::OF_AMOUNT).is_ok()
                            && reader(value, &self.cx).is_ok() =>
                    {
                        self.word_out_of_place(key, &text, value, word);
                    }
                    _ => self.quantity_fault(key, &text, &e),
                }
                None
            }
        }
    }

    /// As [`Section::quantity_by`], where a word may say how the value is known.
    pub fn known_by<T>(
        &self,
        key: &'static str,
        example: &str,
        words: &[(&'static str, HowKnown)],
        reader: impl Fn(&str, &Context) -> Result<T, QuantityError>,
    ) -> Option<(T, HowKnown)> {
        let text = self.words(key, example)?;
        let e = match reader(&text.value, &self.cx) {
            Ok(value) => return Some((value, HowKnown::Stated)),
            Err(e) => e,
        };
        if let Some((value, word)) = how_known::split(&text.value) {
            match (reader(value, &self.cx), how_known::meaning(word, words)) {
                (Ok(value), Ok(known)) => return Some((value, known)),
                (Err(e), _) => self.quantity_fault(key, &text, &e),
                (Ok(_), Err(nearest)) => self.unknown_word(key, &text, word, words, nearest),
            }
            return None;
        }
        match how_known::without_comma(&text.value) {
            Some((value, word)) if reader(value, &self.cx).is_ok() => {
                let write = format!("{value}, {word}");
                let help = format!("a comma parts them: write \"{write}\"");
                let message = format!("\"{word}\" is no unit");
                self.word_fault(key, &text, word, message, help, words, Some(write));
            }
            _ => self.quantity_fault(key, &text, &e),
        }
        None
    }

    fn unknown_word(
        &self,
        key: &'static str,
        text: &At<String>,
        word: &str,
        words: &[(&'static str, HowKnown)],
        nearest: Option<&str>,
    ) {
        let list: Vec<String> = words.iter().map(|(w, _)| format!("\"{w}\"")).collect();
        let list = list.join(" or ");
        let help = match nearest {
            Some(n) => format!("did you mean \"{n}\"? Behind the comma stands {list}, or nothing"),
            None => format!("behind the comma stands {list}, or nothing"),
        };
        let message = format!("\"{}\" does not say how the value is known", shorten(word));
        let nearest = nearest.map(str::to_owned);
        self.word_fault(key, text, word, message, help, words, nearest);
    }

    fn word_out_of_place(&self, key: &'static str, text: &At<String>, value: &str, word: &str) {
        let help = format!(
            "amounts of feed and what stands under [[feedstock]] may carry it; here write \"{value}\""
        );
        let message = format!("\"{word}\" cannot stand here");
        self.word_fault(key, text, word, message, help, &[], Some(value.to_owned()));
    }

    /// A fault at the word behind a value.
    #[allow(clippy::too_many_arguments, reason = "the parts of one message")]
    fn word_fault(
        &self,
        key: &'static str,
        text: &At<String>,
        word: &str,
        message: String,
        help: String,
        allowed: &[(&'static str, HowKnown)],
        nearest: Option<String>,
    ) {
        let at = text.value.rfind(word).unwrap_or(0);
        self.report.add(
            self.path(key),
            self.inside(text, at..at + word.len()),
            Fault {
                message,
                given: Some(text.value.clone()),
                allowed: allowed.iter().map(|(w, _)| (*w).to_owned()).collect(),
                nearest,
                help,
            },
        );
    }

    /// Bytes of the plan where a part of a text stands: exact when the text stands in
    /// plain quotes without escapes, else the whole text.
    fn inside(&self, text: &At<String>, part: std::ops::Range<usize>) -> std::ops::Range<usize> {
        let inside = text.span.start + 1..text.span.end.saturating_sub(1);
        let plain = self.report.text.get(inside.clone()) == Some(text.value.as_str());
        if plain && !part.is_empty() {
            inside.start + part.start..inside.start + part.end
        } else {
            text.span.clone()
        }
    }

    fn quantity_fault(&self, key: &'static str, text: &At<String>, e: &QuantityError) {
        let span = self.inside(text, e.at.clone().unwrap_or(0..0));
        self.report.add(
            self.path(key),
            span,
            Fault {
                message: e.to_string(),
                given: Some(text.value.clone()),
                allowed: e.known_units(),
                nearest: e.nearest().map(str::to_owned),
                help: e.help(),
            },
        );
    }

    /// A quantity from `low` to `high`, both written as a person would.
    pub fn quantity<Q: Quantity>(&self, key: &'static str, low: &str, high: &str) -> Option<Q> {
        let found = self.quantity_by(key, Q::KIND.example(), read::<Q>)?;
        self.within(key, found.value, low, high)
    }

    /// As [`Section::quantity`], for a composition that may be measured.
    pub fn composition<Q: Quantity>(
        &self,
        key: &'static str,
        low: &str,
        high: &str,
    ) -> Option<(Q, HowKnown)> {
        let words = how_known::OF_COMPOSITION;
        let (q, known) = self.known_by(key, Q::KIND.example(), words, read::<Q>)?;
        Some((self.within(key, q, low, high)?, known))
    }

    fn within<Q: Quantity>(&self, key: &'static str, q: Q, low: &str, high: &str) -> Option<Q> {
        let bound = |text: &str| read::<Q>(text, &self.cx).map_or(f64::NAN, Quantity::to_si);
        let (least, greatest) = (bound(low), bound(high));
        let hair = 1e-9 * greatest.abs();
        if (least - hair..=greatest + hair).contains(&q.to_si()) {
            return Some(q);
        }
        let given = self.words(key, "").map(|t| t.value);
        let shown = given.clone().unwrap_or_default();
        self.report.add(
            self.path(key),
            self.at(key),
            Fault {
                message: format!("\"{}\" is out of range", shorten(&shown)),
                given,
                help: format!("from {low} to {high}"),
                ..Fault::default()
            },
        );
        None
    }

    /// As [`Section::quantity`], and the key must be there.
    pub fn need<Q: Quantity>(&self, key: &'static str, low: &str, high: &str) -> Option<Q> {
        if !self.has(key) {
            self.missing(
                key,
                format!("write for instance {key} = \"{}\"", Q::KIND.example()),
            );
            return None;
        }
        self.quantity(key, low, high)
    }

    /// Twelve numbers with one unit, January first.
    pub fn months<Q: Quantity>(&self, key: &'static str, low: &str, high: &str) -> Option<[Q; 12]> {
        if !self.has(key) {
            self.missing(
                key,
                "write twelve numbers, January first, and one unit at the end",
            );
            return None;
        }
        let row = self.quantity_by(key, "1 2 3 4 5 6 7 8 9 10 11 12 °C", read_row::<Q, 12>)?;
        for (value, month) in row.value.iter().zip(MONTHS) {
            let bound = |text: &str| read::<Q>(text, &self.cx).map_or(f64::NAN, Quantity::to_si);
            if !(bound(low) - 1e-9..=bound(high) + 1e-9).contains(&value.to_si()) {
                self.fault(
                    key,
                    format!("the number for {month} is out of range"),
                    format!("from {low} to {high}"),
                );
                return None;
            }
        }
        Some(row.value)
    }

    /// A length of time in whole days.
    pub fn days(&self, key: &'static str, low: &str, high: &str) -> Option<u32> {
        let time: fenlamp_quantity::Time = self.quantity(key, low, high)?;
        Some((time.value / 86_400.0).round() as u32)
    }

    /// A bare number (a count, a pH): `what` names it.
    pub fn number(&self, key: &'static str, what: &str, range: RangeInclusive<f64>) -> Option<f64> {
        let value = self.get(key)?;
        let text = match value.get_ref() {
            DeValue::Integer(i) => i.as_str().replace('_', ""),
            DeValue::Float(f) => f.as_str().replace('_', ""),
            other => {
                self.wrong_type(
                    key,
                    other,
                    &format!("write {what} as a bare number, without quotes"),
                );
                return None;
            }
        };
        match text.parse::<f64>() {
            Ok(x) if range.contains(&x) => Some(x),
            _ => {
                let (low, high) = (range.start(), range.end());
                self.fault(
                    key,
                    format!("{} is out of range for {what}", shorten(&text)),
                    format!("from {low} to {high}"),
                );
                None
            }
        }
    }

    /// As [`Section::number`], for a figure that may be measured: then a text, "7.2, measured".
    pub fn known_number(
        &self,
        key: &'static str,
        what: &str,
        range: RangeInclusive<f64>,
    ) -> Option<(f64, HowKnown)> {
        let text = self.get(key)?.get_ref().as_str();
        let Some((number, word)) = text.and_then(how_known::split) else {
            return Some((self.number(key, what, range)?, HowKnown::Stated));
        };
        let text = self.words(key, "")?;
        let words = how_known::OF_COMPOSITION;
        match (
            number.trim().parse::<f64>(),
            how_known::meaning(word, words),
        ) {
            (Ok(x), Ok(known)) if range.contains(&x) => return Some((x, known)),
            (Ok(x), Err(nearest)) if range.contains(&x) => {
                self.unknown_word(key, &text, word, words, nearest);
            }
            _ => {
                let (low, high) = (range.start(), range.end());
                self.fault(
                    key,
                    format!("\"{}\" is no value for {what}", shorten(number)),
                    format!("from {low} to {high}"),
                );
            }
        }
        None
    }

    /// A bare whole number.
    pub fn count(&self, key: &'static str, what: &str, range: RangeInclusive<u64>) -> Option<u64> {
        let x = self.number(key, what, *range.start() as f64..=*range.end() as f64)?;
        if x.fract() != 0.0 {
            self.fault(
                key,
                format!("{x} is not a whole number"),
                format!("write {what} as a whole number"),
            );
            return None;
        }
        Some(x as u64)
    }

    /// One of a list of words.
    pub fn word<T: Copy>(&self, key: &'static str, choices: &[(&'static str, T)]) -> Option<T> {
        let text = self.text(key)?;
        let plain = plain_words(text.value);
        if let Some((_, value)) = choices.iter().find(|(w, _)| *w == plain) {
            return Some(*value);
        }
        let what = match key {
            "kind" => "kind",
            _ => "choice",
        };
        self.unknown(key, text.value, what, choices.iter().map(|c| c.0));
        None
    }

    /// Reports a name that is not in a list, with the nearest that is.
    pub fn unknown<'w>(
        &self,
        key: &'static str,
        given: &str,
        what: &str,
        known: impl Iterator<Item = &'w str>,
    ) {
        let allowed: Vec<String> = known.map(str::to_owned).collect();
        let nearest = nearest_word(&plain_words(given), allowed.iter().map(String::as_str))
            .map(str::to_owned);
        self.unknown_near(key, given, what, allowed, nearest);
    }

    /// As [`Section::unknown`], the nearest being known already.
    pub fn unknown_near(
        &self,
        key: &'static str,
        given: &str,
        what: &str,
        allowed: Vec<String>,
        nearest: Option<String>,
    ) {
        // A long list drowns the message; it stays in `allowed`.
        let shown = allowed.len().min(LISTED);
        let list = match allowed.len() - shown {
            0 => allowed.join(", "),
            more => format!("{} and {more} more", allowed[..shown].join(", ")),
        };
        let help = match &nearest {
            Some(n) if allowed.len() > LISTED => format!("did you mean \"{n}\"?"),
            Some(n) => format!("did you mean \"{n}\"? Known: {list}"),
            None => format!("known: {list}"),
        };
        self.report.add(
            self.path(key),
            self.at(key),
            Fault {
                message: format!("unknown {what} \"{}\"", shorten(given)),
                given: Some(given.to_owned()),
                allowed,
                nearest,
                help,
            },
        );
    }

    /// A date, as a TOML date or in quotes.
    pub fn date(&self, key: &'static str) -> Option<Date> {
        let value = self.get(key)?;
        let text = match value.get_ref() {
            DeValue::String(s) => s.to_string(),
            DeValue::Datetime(d) => match d.date {
                Some(d) => d.to_string(),
                None => String::new(),
            },
            other => {
                self.wrong_type(key, other, "write a date, like 2026-04-01");
                return None;
            }
        };
        match text.trim().parse::<Date>() {
            Ok(d) if (1950..=2199).contains(&d.year()) => Some(d),
            Ok(_) => {
                self.fault(
                    key,
                    format!("\"{text}\" is out of range"),
                    "dates from 1950 to 2199",
                );
                None
            }
            Err(_) => {
                let given = self.report.text.get(self.at(key)).unwrap_or("");
                self.fault(
                    key,
                    format!("{} is not a date", shorten(given)),
                    "write year-month-day, like 2026-04-01",
                );
                None
            }
        }
    }
}
