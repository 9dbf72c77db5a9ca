//! Figures in the plan's units and the catalogue's words.

use fenlamp_model::plan::Plan;
use fenlamp_quantity::{Length, Quantity, Ratio, Units, format_number, print, print_gas};
use fenlamp_words::Words;
use uom::si::length::meter;
use uom::si::ratio::ratio;

/// Says figures in the plan's units and the catalogue's words.
#[derive(Debug, Clone, Copy)]
pub struct Say<'a> {
    /// The words.
    pub words: &'a Words,
    /// The plan's units.
    pub units: Units,
}

impl<'a> Say<'a> {
    /// For a plan.
    pub fn new(plan: &Plan, words: &'a Words) -> Self {
        Say {
            words,
            units: plan.units.into(),
        }
    }

    /// A quantity, its figure held to its unit.
    pub fn figure<Q: Quantity>(&self, q: Q) -> String {
        held(&self.words.figure(&print(q, self.units)))
    }

    /// A size that a shop knows: fractions of an inch where they fit.
    pub fn size(&self, length: Length) -> String {
        let inches = length.get::<meter>() / 0.0254;
        if self.units == Units::Metric || !(0.0..24.0).contains(&inches) {
            return self.figure(length);
        }
        let parts = (inches * 16.0).round();
        if parts > 0.0 && (parts / 16.0 - inches).abs() <= 0.02 * inches {
            return held(&format!("{} in", fraction(parts as u32, 16)));
        }
        if inches < 0.25 {
            let mm = self
                .words
                .figure(&format_number(length.get::<meter>() * 1000.0, 2));
            let inches = self.words.figure(&format_number(inches, 2));
            return held(&format!("{inches} in ({mm} mm)"));
        }
        self.figure(length)
    }

    /// A volume or flow of gas.
    pub fn gas<Q: Quantity>(&self, q: Q) -> String {
        held(&self.words.figure(&print_gas(q, self.units)))
    }

    /// A length.
    pub fn metres(&self, m: f64) -> String {
        self.figure(Length::new::<meter>(m))
    }

    /// A share in percent.
    pub fn share(&self, share: Ratio) -> String {
        let percent = format_number(100.0 * share.get::<ratio>(), 2);
        held(&self.words.figure(&format!("{percent} %")))
    }

    /// A plain number, three figures.
    pub fn number(&self, x: f64) -> String {
        self.words.figure(&format_number(x, 3))
    }

    /// Words with their blanks filled.
    pub fn fill(&self, key: &str, blanks: &[(&str, &str)]) -> String {
        self.words.fill(key, blanks)
    }
}

/// A figure and its unit on one line.
fn held(text: &str) -> String {
    text.replace(' ', "\u{a0}")
}

/// "3/8", "1 1/2", "2".
pub(crate) fn fraction(mut parts: u32, mut of: u32) -> String {
    while parts.is_multiple_of(2) && of > 1 {
        (parts, of) = (parts / 2, of / 2);
    }
    match (parts / of, parts % of) {
        (whole, 0) => whole.to_string(),
        (0, part) => format!("{part}/{of}"),
        (whole, part) => format!("{whole} {part}/{of}"),
    }
}
