//! Faults of a plan text, all reported together.

use std::fmt;
use std::ops::Range;

/// One fault of a plan text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PlanError {
    /// Bytes of the text at fault.
    pub span: Range<usize>,
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
    /// Path of the key: "vessel.volume", "waste[2].amount"; empty for the text as a whole.
    pub key: String,
    /// What is wrong, with what was given.
    pub message: String,
    /// What was given, as written.
    pub given: Option<String>,
    /// What is allowed, where that is a list.
    pub allowed: Vec<String>,
    /// Nearest valid choice.
    pub nearest: Option<String>,
    /// What to write instead.
    pub help: String,
}

impl fmt::Display for PlanError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if !self.key.is_empty() {
            write!(f, "{}: ", self.key)?;
        }
        f.write_str(&self.message)?;
        if !self.help.is_empty() {
            write!(f, "; {}", self.help)?;
        }
        Ok(())
    }
}

/// Every fault found, in the order of the text. Never empty.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PlanErrors {
    /// Name of the file.
    pub file: String,
    /// The faults.
    pub errors: Vec<PlanError>,
    /// Faults beyond those kept.
    pub more: usize,
}

impl fmt::Display for PlanErrors {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, e) in self.errors.iter().enumerate() {
            if i > 0 {
                writeln!(f)?;
            }
            write!(f, "{}:{}: {e}", self.file, e.line)?;
        }
        if self.more > 0 {
            write!(f, "\n{}: and {} more", self.file, self.more)?;
        }
        Ok(())
    }
}

impl std::error::Error for PlanErrors {}

/// Faults kept; a text with more than this is not a plan with slips in it.
const KEPT: usize = 50;

/// How the message of an unknown key begins, and that of a missing one ends.
pub(super) const UNKNOWN_KEY: &str = "unknown key";
pub(super) const MISSING: &str = "is missing";

/// The path of another key in the same table.
fn sibling(path: &str, key: &str) -> String {
    match path.rsplit_once('.') {
        Some((table, _)) => format!("{table}.{key}"),
        None => key.to_owned(),
    }
}

/// Gathers faults while a text is read.
pub(super) struct Report<'t> {
    pub text: &'t str,
    pub file: &'t str,
    faults: std::cell::RefCell<Vec<PlanError>>,
}

/// A fault before its place is worked out.
#[derive(Debug, Default)]
pub(super) struct Fault {
    pub message: String,
    pub given: Option<String>,
    pub allowed: Vec<String>,
    pub nearest: Option<String>,
    pub help: String,
}

impl Fault {
    pub fn new(message: impl Into<String>, help: impl Into<String>) -> Self {
        Self {
            message: message.into(),
            help: help.into(),
            ..Self::default()
        }
    }
}

impl<'t> Report<'t> {
    pub fn new(text: &'t str, file: &'t str) -> Self {
        Self {
            text,
            file,
            faults: Default::default(),
        }
    }

    pub fn add(&self, key: impl Into<String>, span: Range<usize>, fault: Fault) {
        let (line, column) = place(self.text, span.start);
        let Fault {
            message,
            given,
            allowed,
            nearest,
            help,
        } = fault;
        let key = key.into();
        self.faults.borrow_mut().push(PlanError {
            span,
            line,
            column,
            key,
            message,
            given,
            allowed,
            nearest,
            help,
        });
    }

    pub fn is_clean(&self) -> bool {
        self.faults.borrow().is_empty()
    }

    pub fn into_errors(self) -> PlanErrors {
        let mut errors = self.faults.into_inner();
        // A key that is there but misspelt is not missing as well.
        let misspelt: Vec<String> = errors
            .iter()
            .filter(|e| e.message.starts_with(UNKNOWN_KEY))
            .filter_map(|e| Some(sibling(&e.key, e.nearest.as_deref()?)))
            .collect();
        errors.retain(|e| !(e.message.ends_with(MISSING) && misspelt.contains(&e.key)));
        errors.sort_by_key(|e| e.span.start);
        errors.dedup();
        let more = errors.len().saturating_sub(KEPT);
        errors.truncate(KEPT);
        PlanErrors {
            file: self.file.to_owned(),
            errors,
            more,
        }
    }
}

/// Line and column of a byte, both from 1; bytes inside a character count as its start.
fn place(text: &str, byte: usize) -> (usize, usize) {
    let mut end = byte.min(text.len());
    while !text.is_char_boundary(end) {
        end -= 1;
    }
    let before = &text[..end];
    let line = before.matches('\n').count() + 1;
    let column = before.rsplit('\n').next().unwrap_or("").chars().count() + 1;
    (line, column)
}
