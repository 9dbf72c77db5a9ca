//! One text: a number, a unit, a check that the value can be meant.

use crate::context::{Context, LONGEST, Units, nearest_word};
use crate::error::{Fault, QuantityError};
use crate::kind::Kind;
use crate::number::{self, Reading};
use crate::print::print_si;
use crate::resolve::{Resolved, flow_words, resolve};
use crate::units;
use std::ops::Range;

/// Longest text taken for a row, bytes (judgement).
const LONGEST_ROW: usize = 600;

/// Reads one text to SI.
pub(crate) fn parse(text: &str, kind: Kind, cx: &Context) -> Result<f64, QuantityError> {
    let start = text.len() - text.trim_start().len();
    let body = text.trim();
    let fail = |fault, at: Range<usize>| {
        Err(QuantityError::new(
            text,
            kind,
            fault,
            start + at.start..start + at.end,
        ))
    };
    if body.is_empty() {
        return fail(Fault::Empty, 0..0);
    }
    if body.len() > LONGEST {
        return fail(Fault::TooLong, 0..body.len());
    }
    if let Some(at) = number::not_finite(body) {
        return fail(Fault::NotFinite, at);
    }
    if kind == Kind::Ratio
        && let Some(share) = parts(body)
    {
        return check(share, kind, text, start..start + body.len());
    }
    let Some(number) = number::leading(body, false) else {
        return fail(Fault::NoNumber, 0..body.len());
    };
    let (digits, tail) = body.split_at(number.len);
    let unit = tail.trim_start();
    let at = body.len() - unit.len()..body.len();
    if unit.is_empty() {
        return fail(bare(digits, kind), 0..digits.len());
    }
    if is_range(unit) {
        return fail(Fault::Range, 0..body.len());
    }
    let (resolved, rest) = match resolve(kind, unit, cx) {
        Some(r) => (r, 0.0),
        None => match compound(kind, unit, cx) {
            Some(r) => r,
            None => return fail(unknown(kind, unit, cx), at),
        },
    };
    let x = match sure(&number.reading, resolved.us, unit) {
        Ok(x) => x,
        Err(fault) => return fail(fault, 0..digits.len()),
    };
    let rest = if x < 0.0 { -rest } else { rest };
    check(
        resolved.offset + resolved.scale * x + rest,
        kind,
        text,
        start..start + body.len(),
    )
}

/// "ft 6 in", "° 12' N": the unit of the first number and the value of the rest.
fn compound(kind: Kind, unit: &str, cx: &Context) -> Option<(Resolved, f64)> {
    if kind == Kind::Latitude {
        return minutes(unit);
    }
    if !matches!(kind, Kind::Length | Kind::Mass | Kind::Time | Kind::Volume) {
        return None;
    }
    let mut previous = ' ';
    for (i, c) in unit.char_indices() {
        if c.is_ascii_digit()
            && !previous.is_ascii_digit()
            && let Some(first) = resolve(kind, &unit[..i], cx)
        {
            let rest = parse(&unit[i..], kind, cx).ok()?;
            return Some((first, rest));
        }
        previous = c;
    }
    None
}

/// "° 12' N" after the whole degrees.
fn minutes(unit: &str) -> Option<(Resolved, f64)> {
    let rest = unit.strip_prefix('°')?.trim_start();
    let number = number::leading(rest, true)?;
    let Reading::Sure(minutes) = number.reading else {
        return None;
    };
    if !(0.0..60.0).contains(&minutes) {
        return None;
    }
    let side = rest[number.len..]
        .trim_start()
        .strip_prefix(['\'', '′', '’'])?;
    let side = resolve(Kind::Latitude, side, &Context::default())?;
    Some((side, side.scale * minutes / 60.0))
}

/// "1:1" or "2 : 3" as a share of the second part.
fn parts(body: &str) -> Option<f64> {
    let (a, b) = body.split_once(':')?;
    let one = |t: &str| match number::leading(t.trim(), false) {
        Some(n) if n.len == t.trim().len() => match n.reading {
            Reading::Sure(x) => Some(x),
            _ => None,
        },
        _ => None,
    };
    Some(one(a)? / one(b)?)
}

fn sure(reading: &Reading, us: bool, unit: &str) -> Result<f64, Fault> {
    match reading {
        Reading::Sure(x) => Ok(*x),
        Reading::Comma { thousands, .. } if us => Ok(*thousands),
        Reading::Comma { thousands, decimal } => Err(Fault::Ambiguous {
            write: vec![format!("{thousands} {unit}"), format!("{decimal} {unit}")],
        }),
        Reading::Unclear => Err(Fault::Ambiguous { write: Vec::new() }),
    }
}

fn check(si: f64, kind: Kind, text: &str, at: Range<usize>) -> Result<f64, QuantityError> {
    let (least, greatest) = kind.range();
    // A limit written out ("-100 °C") may land a hair beyond itself.
    let hair = 1e-9 * (greatest - least);
    let fault = if !si.is_finite() {
        Fault::NotFinite
    } else if si < 0.0 && least == 0.0 {
        Fault::Negative
    } else if !(least - hair..=greatest + hair).contains(&si) {
        let shown = |v| print_si(kind, v, Units::Metric, false);
        Fault::OutOfRange {
            least: shown(least),
            greatest: shown(greatest),
        }
    } else {
        return Ok(si);
    };
    Err(QuantityError::new(text, kind, fault, at))
}

fn bare(digits: &str, kind: Kind) -> Fault {
    let unit = kind.example().split_once(' ').map_or("", |(_, u)| u);
    Fault::Bare {
        write: format!("{} {unit}", digits.trim()),
    }
}

fn is_range(unit: &str) -> bool {
    let after = ["to ", "-", "–", "—", "±", "+-", ".."]
        .iter()
        .find_map(|p| unit.strip_prefix(p));
    after.is_some_and(|r| r.trim_start().starts_with(|c: char| c.is_ascii_digit()))
}

fn unknown(kind: Kind, unit: &str, cx: &Context) -> Fault {
    let last = unit.trim_start_matches('°').trim().to_lowercase();
    if kind == Kind::Latitude && matches!(last.as_str(), "e" | "w" | "east" | "west") {
        return Fault::Longitude;
    }
    let measures = Kind::ALL
        .into_iter()
        .filter(|k| *k != kind && *k != Kind::Latitude)
        .find(|k| resolve(*k, unit, cx).is_some());
    if let Some(measures) = measures {
        return Fault::WrongKind {
            unit: unit.to_owned(),
            measures,
        };
    }
    Fault::UnknownUnit {
        unit: unit.to_owned(),
        nearest: nearest(kind, unit),
    }
}

/// Nearest known unit, each half of a rate by itself.
fn nearest(kind: Kind, unit: &str) -> Option<String> {
    let Some(amount) = units::flowing(kind) else {
        let known = units::of(kind).flat_map(|u| u.names.iter().copied());
        return nearest_word(unit.trim(), known).map(str::to_owned);
    };
    let flow = flow_words(unit);
    let Some((top, time)) = flow.rsplit_once('/') else {
        let top = units::find(amount, &flow)
            .map(|u| u.names[0].to_owned())
            .or_else(|| nearest(amount, &flow))?;
        return Some(format!("{top}/day"));
    };
    let half = |kind: Kind, name: &str| match units::find(kind, name) {
        Some(_) => Some(name.trim().to_owned()),
        None => nearest(kind, name),
    };
    Some(format!(
        "{}/{}",
        half(amount, top)?,
        half(Kind::Time, time)?
    ))
}

/// Reads a row of numbers with one unit to SI.
pub(crate) fn parse_row<const N: usize>(
    text: &str,
    kind: Kind,
    cx: &Context,
) -> Result<[f64; N], QuantityError> {
    let fail = |fault, at: Range<usize>| Err(QuantityError::new(text, kind, fault, at));
    if text.trim().is_empty() {
        return fail(Fault::Empty, 0..text.len());
    }
    if text.len() > LONGEST_ROW {
        return fail(Fault::TooLong, 0..text.len());
    }
    let mut numbers: Vec<(Reading, Range<usize>)> = Vec::new();
    let mut at = 0;
    loop {
        at += text[at..].len() - text[at..].trim_start().len();
        let rest = &text[at..];
        let token = rest.split(char::is_whitespace).next().unwrap_or("");
        if let Some(bad) = number::not_finite(token) {
            return fail(Fault::NotFinite, at..at + bad.end);
        }
        let clean = token.trim_end_matches([',', ';']);
        let Some(number) = number::leading(clean, true) else {
            break;
        };
        numbers.push((number.reading, at..at + number.len));
        if number.len < clean.len() {
            at += number.len;
            break;
        }
        at += token.len();
    }
    let unit = text[at..].trim();
    if numbers.is_empty() {
        return fail(Fault::NoNumber, 0..text.len());
    }
    if unit.is_empty() {
        return fail(bare(text, kind), 0..text.len());
    }
    let Some(resolved) = resolve(kind, unit, cx) else {
        return fail(unknown(kind, unit, cx), at..text.len());
    };
    if numbers.len() != N {
        return fail(
            Fault::Count {
                wanted: N,
                given: numbers.len(),
            },
            0..text.len(),
        );
    }
    let mut out = [0.0; N];
    for (slot, (reading, span)) in out.iter_mut().zip(numbers) {
        let x = match sure(&reading, resolved.us, unit) {
            Ok(x) => x,
            Err(fault) => return fail(fault, span),
        };
        *slot = check(resolved.offset + resolved.scale * x, kind, text, span)?;
    }
    Ok(out)
}
