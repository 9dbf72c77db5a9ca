//! What can be wrong with a quantity, in words that say what to write instead.

use crate::kind::Kind;
use crate::units;
use std::fmt;
use std::ops::Range;

/// A text that is not the quantity asked for.
#[derive(Debug, Clone, PartialEq)]
pub struct QuantityError {
    /// The text as given.
    pub given: String,
    /// What was asked for.
    pub kind: Kind,
    /// A second kind that would do as well (mass or volume).
    pub or: Option<Kind>,
    /// What is wrong.
    pub fault: Fault,
    /// Bytes of `given` that are at fault, where known.
    pub at: Option<Range<usize>>,
}

/// What is wrong.
#[derive(Debug, Clone, PartialEq)]
pub enum Fault {
    /// Nothing written.
    Empty,
    /// Far longer than any quantity.
    TooLong,
    /// Text that does not begin with a number.
    NoNumber,
    /// NaN, infinity, or too large to hold.
    NotFinite,
    /// A number without its unit; with what to write.
    Bare {
        /// The number with a likely unit.
        write: String,
    },
    /// A unit nobody here knows.
    UnknownUnit {
        /// As written.
        unit: String,
        /// Nearest known name, if one is near.
        nearest: Option<String>,
    },
    /// A unit of something else.
    WrongKind {
        /// As written.
        unit: String,
        /// What it measures.
        measures: Kind,
    },
    /// Dots and commas that can be read in two ways, or in none.
    Ambiguous {
        /// Unmistakable ways to write it.
        write: Vec<String>,
    },
    /// Below zero where that has no meaning.
    Negative,
    /// Beyond what can be meant.
    OutOfRange {
        /// Least value, printed.
        least: String,
        /// Greatest value, printed.
        greatest: String,
    },
    /// "5 to 10 L" where one value is wanted.
    Range,
    /// A row with too few or too many numbers.
    Count {
        /// Wanted.
        wanted: usize,
        /// Given.
        given: usize,
    },
    /// East or west where north or south is wanted.
    Longitude,
}

impl QuantityError {
    pub(crate) fn new(given: &str, kind: Kind, fault: Fault, at: Range<usize>) -> Self {
        Self {
            given: given.to_owned(),
            kind,
            or: None,
            fault,
            at: Some(at),
        }
    }

    /// Units that are understood for this kind, as they are printed.
    pub fn known_units(&self) -> Vec<String> {
        let mut names = units::names(self.kind);
        names.extend(self.or.iter().flat_map(|kind| units::names(*kind)));
        names
    }

    /// Nearest valid unit, if one is near.
    pub fn nearest(&self) -> Option<&str> {
        match &self.fault {
            Fault::UnknownUnit { nearest, .. } => nearest.as_deref(),
            _ => None,
        }
    }

    /// What to write instead.
    pub fn help(&self) -> String {
        let known = self.known_units().join(", ");
        let example = self.kind.example();
        match &self.fault {
            Fault::Empty | Fault::NoNumber | Fault::TooLong => {
                format!("write a number, a space and a unit, like \"{example}\"; units: {known}")
            }
            Fault::NotFinite => format!("write an ordinary number, like \"{example}\""),
            Fault::Bare { write } => format!("a number needs its unit; write \"{write}\""),
            Fault::UnknownUnit {
                nearest: Some(n), ..
            } => format!("did you mean \"{n}\"? Units: {known}"),
            Fault::UnknownUnit { nearest: None, .. } => format!("units: {known}"),
            Fault::WrongKind { .. } => format!("write it like \"{example}\"; units: {known}"),
            Fault::Ambiguous { write } if write.is_empty() => {
                "write the number with one decimal point and nothing between the thousands"
                    .to_owned()
            }
            Fault::Ambiguous { write } => {
                let ways: Vec<_> = write.iter().map(|w| format!("\"{w}\"")).collect();
                format!("write {}", ways.join(" or "))
            }
            Fault::Negative => format!("write it like \"{example}\""),
            Fault::OutOfRange { least, greatest } => format!("from {least} to {greatest}"),
            Fault::Range => "write the one value you count on".to_owned(),
            Fault::Count { wanted, .. } => {
                format!("write {wanted} numbers and one unit at the end, parted by spaces")
            }
            Fault::Longitude => "latitude is degrees north or south, like \"56.5 °N\"".to_owned(),
        }
    }
}

impl fmt::Display for QuantityError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let kind = self.kind.name();
        let given = shorten(&self.given);
        let part = self.at.clone().and_then(|at| self.given.get(at));
        let part = part
            .filter(|p| !p.is_empty())
            .map_or(given.clone(), shorten);
        match &self.fault {
            Fault::Empty => write!(f, "nothing is written where {kind} should stand"),
            Fault::TooLong => write!(f, "\"{given}\" is too long for {kind}"),
            Fault::NoNumber => write!(
                f,
                "\"{given}\" does not begin with a number; {kind} is needed"
            ),
            Fault::NotFinite => write!(f, "\"{part}\" is not a finite number"),
            Fault::Bare { .. } => write!(f, "a bare number where {kind} is needed: \"{given}\""),
            Fault::UnknownUnit { unit, .. } => {
                write!(f, "unknown unit \"{}\" for {kind}", shorten(unit))
            }
            Fault::WrongKind { unit, measures } => {
                write!(
                    f,
                    "\"{}\" measures {}; {kind} is needed",
                    shorten(unit),
                    measures.name()
                )
            }
            Fault::Ambiguous { .. } => write!(
                f,
                "the comma or dot in \"{part}\" can be read in more than one way"
            ),
            Fault::Negative => write!(f, "\"{part}\" is below zero, which {kind} cannot be"),
            Fault::OutOfRange { .. } => write!(f, "\"{part}\" is out of range for {kind}"),
            Fault::Range => write!(f, "\"{given}\" is a range where one value is needed"),
            Fault::Count { wanted, given } => {
                write!(f, "{given} numbers where {wanted} are needed")
            }
            Fault::Longitude => write!(f, "\"{given}\" is a longitude"),
        }
    }
}

impl std::error::Error for QuantityError {}

/// Long texts are cut: a message must stay one line.
pub(crate) fn shorten(text: &str) -> String {
    let clean: String = text
        .chars()
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect();
    if clean.chars().count() <= 60 {
        return clean;
    }
    let head: String = clean.chars().take(57).collect();
    format!("{head}...")
}
