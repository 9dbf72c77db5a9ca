//! What can go wrong, and how it is told: code 2 for input, 1 for the program,
//! 130 when stopped by Ctrl-C.

use std::fmt::Write as _;
use std::io::IsTerminal;

use fenlamp_model::plan::{PlanError, PlanErrors};
use miette::{
    Diagnostic, GraphicalReportHandler, GraphicalTheme, LabeledSpan, NamedSource, Severity,
    SourceCode, ThemeCharacters, ThemeStyles,
};

/// A command that could not be done.
#[derive(Debug)]
pub enum Failure {
    /// The command line itself: clap's own words.
    Usage(clap::Error),
    /// Something the user gave cannot be used: one line, and what to do.
    Input {
        /// What is wrong.
        message: String,
        /// What to do; may be empty.
        help: String,
    },
    /// A plan with faults, and its text.
    Plan {
        /// The faults.
        errors: PlanErrors,
        /// The text they point into.
        text: String,
    },
    /// The program's own failure.
    Internal(String),
    /// Stopped by Ctrl-C.
    Stopped,
}

impl Failure {
    /// A fault of the input.
    pub fn input(message: impl Into<String>, help: impl Into<String>) -> Self {
        Failure::Input {
            message: message.into(),
            help: help.into(),
        }
    }

    /// Exit code.
    pub fn code(&self) -> u8 {
        match self {
            Failure::Usage(_) | Failure::Input { .. } | Failure::Plan { .. } => 2,
            Failure::Internal(_) => 1,
            // 128 and the number of the signal, as shells have it.
            Failure::Stopped => 130,
        }
    }

    /// What to print.
    pub fn text(&self) -> String {
        match self {
            Failure::Usage(e) => e.render().to_string(),
            Failure::Input { message, help } if help.is_empty() => format!("fenlamp: {message}\n"),
            Failure::Input { message, help } => format!("fenlamp: {message}\n  {help}\n"),
            Failure::Plan { errors, text } => faults(errors, text),
            Failure::Stopped => "fenlamp: stopped\n".to_owned(),
            Failure::Internal(message) => format!(
                "fenlamp: {message}\n  This is a failure of the program, not of your plan.\n"
            ),
        }
    }
}

/// Every fault with its line of the plan underlined.
fn faults(errors: &PlanErrors, text: &str) -> String {
    let terminal = std::io::stderr().is_terminal();
    let colour = terminal && std::env::var_os("NO_COLOR").is_none_or(|v| v.is_empty());
    let theme = GraphicalTheme {
        characters: if terminal {
            ThemeCharacters::unicode()
        } else {
            ThemeCharacters::ascii()
        },
        styles: if colour {
            ThemeStyles::ansi()
        } else {
            ThemeStyles::none()
        },
    };
    let handler = GraphicalReportHandler::new_themed(theme)
        .with_width(80)
        .with_links(false)
        .with_context_lines(1)
        .without_cause_chain();
    let count = errors.errors.len() + errors.more;
    let noun = if count == 1 { "fault" } else { "faults" };
    let mut out = format!("fenlamp: {} cannot be used: {count} {noun}\n", errors.file);
    let source = NamedSource::new(&errors.file, text.to_owned());
    for error in &errors.errors {
        let shown = Shown {
            error,
            source: &source,
            length: text.len(),
        };
        // Writing into a String cannot fail; a fault that cannot be drawn is said in plain words.
        if handler.render_report(&mut out, &shown).is_err() {
            let _ = writeln!(out, "{}:{}: {error}", errors.file, error.line);
        }
    }
    if errors.more > 0 {
        let _ = writeln!(out, "and {} more", errors.more);
    }
    out
}

/// One fault as miette draws it.
struct Shown<'a> {
    error: &'a PlanError,
    source: &'a NamedSource<String>,
    length: usize,
}

impl std::fmt::Debug for Shown<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        self.error.fmt(f)
    }
}

impl std::fmt::Display for Shown<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self.error.key.as_str() {
            "" => f.write_str(&self.error.message),
            key => write!(f, "{key}: {}", self.error.message),
        }
    }
}

impl std::error::Error for Shown<'_> {}

impl Diagnostic for Shown<'_> {
    fn severity(&self) -> Option<Severity> {
        Some(Severity::Error)
    }

    fn help<'b>(&'b self) -> Option<Box<dyn std::fmt::Display + 'b>> {
        (!self.error.help.is_empty()).then(|| Box::new(&self.error.help) as _)
    }

    fn source_code(&self) -> Option<&dyn SourceCode> {
        Some(self.source)
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        let start = self.error.span.start.min(self.length);
        let end = self.error.span.end.clamp(start, self.length);
        // A whole table is not underlined: its head is enough.
        let label = LabeledSpan::new(Some("here".to_owned()), start, end - start);
        Some(Box::new(std::iter::once(label)))
    }
}
