//! Numbers as people write them, with winnow: "1 1/2", "½", "1,100.5", "36,6".

use std::ops::Range;
use winnow::ascii::digit1;
use winnow::combinator::{alt, opt, preceded, repeat, separated_pair};
use winnow::prelude::*;
use winnow::token::{one_of, take_while};

/// A number that was found at the start of a text.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Number {
    /// Value, when the reading is certain.
    pub reading: Reading,
    /// Bytes it takes at the start of the text.
    pub len: usize,
}

/// How sure the reading is.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Reading {
    /// One meaning.
    Sure(f64),
    /// "1,100": thousands or decimals.
    Comma { thousands: f64, decimal: f64 },
    /// "1.234,5" and other marks that do not go together.
    Unclear,
}

const GLYPHS: [(char, f64); 7] = [
    ('½', 0.5),
    ('¼', 0.25),
    ('¾', 0.75),
    ('⅓', 1.0 / 3.0),
    ('⅔', 2.0 / 3.0),
    ('⅛', 0.125),
    ('⅜', 0.375),
];

/// Reads one number at the start of `text`; `None` if there is none.
/// `row` forbids blanks inside a number ("1 1/2", "1 100").
pub(crate) fn leading(text: &str, row: bool) -> Option<Number> {
    let mut rest = text;
    let negative = opt(sign).parse_next(&mut rest).ok()?.unwrap_or(false);
    let reading = if row {
        alt((fraction.map(Reading::Sure), decimal)).parse_next(&mut rest)
    } else {
        alt((
            mixed.map(Reading::Sure),
            fraction.map(Reading::Sure),
            glyph.map(Reading::Sure),
            spaced.map(Reading::Sure),
            decimal,
        ))
        .parse_next(&mut rest)
    }
    .ok()?;
    let s = if negative { -1.0 } else { 1.0 };
    let reading = match reading {
        Reading::Sure(x) => Reading::Sure(s * x),
        Reading::Comma { thousands, decimal } => Reading::Comma {
            thousands: s * thousands,
            decimal: s * decimal,
        },
        Reading::Unclear => Reading::Unclear,
    };
    Some(Number {
        reading,
        len: text.len() - rest.len(),
    })
}

/// Words that stand for no finite number.
pub(crate) fn not_finite(text: &str) -> Option<Range<usize>> {
    let bare = text.trim_start_matches(['-', '+', '−']);
    let skipped = text.len() - bare.len();
    let word: usize = bare
        .chars()
        .take_while(|c| c.is_alphabetic() || *c == '∞')
        .map(char::len_utf8)
        .sum();
    let lower = bare[..word].to_lowercase();
    matches!(lower.as_str(), "nan" | "inf" | "infinity" | "∞").then_some(0..skipped + word)
}

fn sign(input: &mut &str) -> ModalResult<bool> {
    (one_of(['-', '+', '−']), take_while(0.., ' '))
        .map(|(c, _)| c != '+')
        .parse_next(input)
}

fn whole(input: &mut &str) -> ModalResult<f64> {
    digit1.parse_to::<f64>().parse_next(input)
}

fn fraction(input: &mut &str) -> ModalResult<f64> {
    separated_pair(whole, one_of(['/', '⁄']), whole)
        .map(|(a, b)| a / b)
        .parse_next(input)
}

fn glyph(input: &mut &str) -> ModalResult<f64> {
    let (n, c) = (
        opt((whole, take_while(0..2, ' '))),
        one_of(|c| GLYPHS.iter().any(|g| g.0 == c)),
    )
        .parse_next(input)?;
    let part = GLYPHS.iter().find(|g| g.0 == c).map_or(0.0, |g| g.1);
    Ok(n.map_or(0.0, |n| n.0) + part)
}

fn mixed(input: &mut &str) -> ModalResult<f64> {
    (whole, preceded(alt((take_while(1..3, ' '), "-")), fraction))
        .map(|(n, f)| n + f)
        .parse_next(input)
}

/// "1 100" or "1'100.5": groups of three after one to three digits.
fn spaced(input: &mut &str) -> ModalResult<f64> {
    let gap = one_of([' ', '\u{a0}', '\u{2009}', '\u{202f}', '\'', '_']);
    let group = preceded(gap, take_while(3..=3, |c: char| c.is_ascii_digit()));
    let groups = repeat(1.., group).fold(String::new, |mut all, g: &str| {
        all.push_str(g);
        all
    });
    let (first, rest, tail, next) = (
        take_while(1..=3, |c: char| c.is_ascii_digit()),
        groups,
        opt(preceded(one_of(['.', ',']), digit1)),
        winnow::combinator::peek(opt(winnow::token::any)),
    )
        .parse_next(input)?;
    if next.is_some_and(|c: char| c.is_ascii_digit() || matches!(c, '.' | ',' | '/')) {
        return Err(winnow::error::ErrMode::Backtrack(Default::default()));
    }
    let text = format!("{first}{rest}.{}", tail.unwrap_or("0"));
    Ok(text.parse().unwrap_or(f64::INFINITY))
}

/// A run of digits, dots and commas, with an exponent.
fn decimal(input: &mut &str) -> ModalResult<Reading> {
    let run = take_while(1.., |c: char| c.is_ascii_digit() || matches!(c, '.' | ','))
        .verify(|s: &str| s.bytes().any(|b| b.is_ascii_digit()))
        .parse_next(input)?;
    let exponent =
        opt((one_of(['e', 'E']), opt(one_of(['+', '-'])), digit1).take()).parse_next(input)?;
    let number = |s: &str| {
        format!("{s}{}", exponent.unwrap_or(""))
            .parse::<f64>()
            .map_or(Reading::Unclear, Reading::Sure)
    };
    let commas = run.matches(',').count();
    let dots = run.matches('.').count();
    Ok(match (commas, dots) {
        (0, 0 | 1) => number(run),
        (0, _) => Reading::Unclear,
        (1, 0) => comma(run, number),
        _ if grouped(run) => number(&run.replace(',', "")),
        _ => Reading::Unclear,
    })
}

/// One comma and no dot.
fn comma(run: &str, number: impl Fn(&str) -> Reading) -> Reading {
    let decimal = number(&run.replace(',', "."));
    let (whole, part) = run.split_once(',').unwrap_or((run, ""));
    let could_be_thousands =
        part.len() == 3 && (1..=3).contains(&whole.len()) && !whole.starts_with('0');
    match (decimal, number(&run.replace(',', ""))) {
        _ if part.is_empty() => Reading::Unclear,
        (Reading::Sure(decimal), Reading::Sure(thousands)) if could_be_thousands => {
            Reading::Comma { thousands, decimal }
        }
        (sure, _) => sure,
    }
}

/// "1,100.5", "1,100,000": commas between groups of three, then at most one dot.
fn grouped(run: &str) -> bool {
    let (whole, part) = run.split_once('.').unwrap_or((run, ""));
    let mut groups = whole.split(',');
    let first = groups.next().unwrap_or("");
    (1..=3).contains(&first.len())
        && groups.all(|g| g.len() == 3)
        && part.bytes().all(|b| b.is_ascii_digit())
}
