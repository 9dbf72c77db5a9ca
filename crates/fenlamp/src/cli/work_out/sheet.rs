//! The answer to a small question: shown as text and as JSON alike.

use fenlamp_model::band::Band;
use fenlamp_model::reference::source;
use serde::Serialize;

use crate::failure::Failure;
use crate::page::wrap;

/// Name and version of the JSON form.
const FORMAT: &str = "fenlamp-work-out-1";
/// Said under every answer.
const ALWAYS: &str = "Local fire, gas and building codes, and a licensed gas fitter where the law wants one, come first.";

/// A figure beside the answer.
#[derive(Debug, Serialize)]
pub struct Figure {
    /// What it is.
    pub name: String,
    /// Value in `unit`, metric always; the middle where there is a band.
    pub value: f64,
    /// Low and high end, where there is a band.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub band: Option<(f64, f64)>,
    /// Unit of `value`.
    pub unit: &'static str,
    /// As the reader sees it, in the reader's units.
    pub shown: String,
}

/// A source behind an answer.
#[derive(Debug, Serialize)]
struct Source {
    key: &'static str,
    citation: String,
}

/// An answer and how it came about.
#[derive(Debug, Serialize)]
pub struct Sheet {
    format: &'static str,
    question: &'static str,
    answer: String,
    figures: Vec<Figure>,
    taken: Vec<String>,
    formula: &'static str,
    cautions: Vec<String>,
    sources: Vec<Source>,
}

impl Sheet {
    /// An answer, said in a sentence or two, by a named formula.
    pub fn new(question: &'static str, answer: String, formula: &'static str) -> Self {
        Self {
            format: FORMAT,
            question,
            answer,
            figures: Vec::new(),
            taken: Vec::new(),
            formula,
            cautions: Vec::new(),
            sources: Vec::new(),
        }
    }

    /// Adds a figure.
    pub fn figure(
        &mut self,
        name: impl Into<String>,
        value: f64,
        unit: &'static str,
        shown: String,
    ) {
        self.figures.push(Figure {
            name: name.into(),
            value,
            band: None,
            unit,
            shown,
        });
    }

    /// Adds a figure with its band.
    pub fn band(&mut self, name: impl Into<String>, of: Band, unit: &'static str, shown: String) {
        self.figures.push(Figure {
            name: name.into(),
            value: of.mid,
            band: Some((of.low, of.high)),
            unit,
            shown,
        });
    }

    /// Says what was taken for granted.
    pub fn taken(&mut self, what: impl Into<String>) {
        self.taken.push(what.into());
    }

    /// Adds a caution.
    pub fn caution(&mut self, words: impl Into<String>) {
        self.cautions.push(words.into());
    }

    /// Names a source once.
    pub fn source(&mut self, key: &'static str) {
        if self.sources.iter().any(|s| s.key == key) {
            return;
        }
        if let Some(found) = source(key) {
            let citation = found.citation.clone();
            self.sources.push(Source { key, citation });
        }
    }

    /// The text, or the JSON.
    ///
    /// # Errors
    /// [`Failure::Internal`] if it could not be written.
    pub fn write(&self, json: bool) -> Result<String, Failure> {
        if !json {
            return Ok(self.text());
        }
        let mut text = serde_json::to_string_pretty(self)
            .map_err(|e| Failure::Internal(format!("the answer could not be written: {e}")))?;
        text.push('\n');
        Ok(text)
    }

    fn text(&self) -> String {
        let mut out = wrap(&self.answer, "", "");
        out.push('\n');
        let name = |f: &Figure| f.name.chars().count();
        let widest = self.figures.iter().map(name).max().unwrap_or(0);
        for f in &self.figures {
            let gap = " ".repeat(widest - name(f));
            let rest = " ".repeat(widest + 4);
            out += &wrap(&f.shown, &format!("  {}{gap}  ", f.name), &rest);
        }
        if !self.figures.is_empty() {
            out.push('\n');
        }
        for words in &self.cautions {
            out += &wrap(words, "CARE ", "     ");
        }
        if !self.taken.is_empty() {
            out += &wrap(&format!("Taken: {}.", self.taken.join("; ")), "", "  ");
        }
        out += &wrap(&format!("Formula: {}.", self.formula), "", "  ");
        for s in &self.sources {
            out += &wrap(&format!("[{}] {}", s.key, s.citation), "", "  ");
        }
        out += &wrap(ALWAYS, "", "");
        out
    }
}
