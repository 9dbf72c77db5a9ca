//! Figures of the forecast as the booklet shows them: each carries the place in
//! the forecast's JSON that it comes from.

use fenlamp_model::say;
use fenlamp_model::say::number_band;
use fenlamp_quantity::{Mass, Pressure, Units, Volume, print, print_band};
use maud::{Markup, html};
use serde_json::Value;
use uom::si::mass::kilogram;
use uom::si::pressure::pascal;
use uom::si::volume::liter;

/// What a figure measures, for its unit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum As {
    /// Litres of gas.
    GasL,
    /// Degrees Celsius.
    Celsius,
    /// A share, shown in percent.
    Share,
    /// A plain number.
    Number,
    /// Days.
    Days,
    /// Litres of slurry.
    Litres,
    /// Kilograms.
    Kilograms,
    /// Pascal.
    Pascal,
}

impl As {
    fn name(self) -> &'static str {
        match self {
            As::GasL => "gas-l",
            As::Celsius => "celsius",
            As::Share => "share",
            As::Number => "number",
            As::Days => "days",
            As::Litres => "litres",
            As::Kilograms => "kilograms",
            As::Pascal => "pascal",
        }
    }

    /// A band in words.
    fn band(self, low: f64, high: f64, units: Units) -> String {
        let v = Volume::new::<liter>;
        match self {
            As::GasL => say::gas_band(low, high, units),
            As::Celsius => say::temperature_band(low, high, units),
            As::Share => format!("{} %", number_band(100.0 * low, 100.0 * high)),
            As::Number => number_band(low, high),
            As::Days => say::days_band(low, high),
            As::Litres => print_band(v(low), v(high), units),
            As::Kilograms => print_band(
                Mass::new::<kilogram>(low),
                Mass::new::<kilogram>(high),
                units,
            ),
            As::Pascal => print(Pressure::new::<pascal>(high), units),
        }
    }
}

/// Figures of one answer in one language.
pub struct Figures<'a> {
    /// The answer as JSON.
    pub json: Value,
    /// Units of the plan.
    pub units: Units,
    /// The words.
    pub words: &'a fenlamp_words::Words,
}

impl Figures<'_> {
    fn at(&self, pointer: &str) -> Option<f64> {
        self.json.pointer(pointer).and_then(Value::as_f64)
    }

    /// One figure.
    pub fn one(&self, pointer: &str, kind: As) -> Markup {
        match self.at(pointer) {
            Some(v) => self.data(pointer, "", kind, &kind.band(v, v, self.units)),
            None => html! { "–" },
        }
    }

    /// The middle of a band.
    pub fn middle(&self, pointer: &str, kind: As) -> Markup {
        self.one(&format!("{pointer}/p50"), kind)
    }

    /// A band, low to high.
    pub fn band(&self, pointer: &str, kind: As) -> Markup {
        let (low, high) = (format!("{pointer}/p10"), format!("{pointer}/p90"));
        match (self.at(&low), self.at(&high)) {
            (Some(a), Some(b)) => self.data(&low, &high, kind, &kind.band(a, b, self.units)),
            _ => html! { "–" },
        }
    }

    fn data(&self, from: &str, to: &str, kind: As, text: &str) -> Markup {
        let (until, text) = (self.words.figure(" to "), self.words.figure(text));
        // A figure stays with its unit; a band may part at its "to".
        let held: Vec<String> = text
            .split(&until)
            .map(|t| t.replace(' ', "\u{a0}"))
            .collect();
        let text = held.join(&until);
        html! {
            data class="q" data-from=(from) data-to=[(!to.is_empty()).then_some(to)] data-as=(kind.name()) { (text) }
        }
    }
}
