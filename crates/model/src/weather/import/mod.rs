//! Reading weather and slurry-temperature records from text.
//!
//! A record is refused at its first fault, with the line: a gap or a slip filled silently would
//! be a plausible wrong answer.

mod csv_text;
mod epw;

pub use csv_text::{import_csv, import_daily_temperature};
pub use epw::import_epw;

/// Why a record was refused.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("line {line}: {message}")]
pub struct ImportError {
    /// Line of the text, from 1.
    pub line: usize,
    /// What is wrong there and what would be right.
    pub message: String,
}

impl ImportError {
    fn new(line: usize, message: impl Into<String>) -> Self {
        ImportError {
            line,
            message: message.into(),
        }
    }
}

/// A quantity of a record with the range outside which a value is a fault, not weather.
#[derive(Debug, Clone, Copy)]
struct Quantity {
    name: &'static str,
    unit: &'static str,
    low: f64,
    high: f64,
}

/// Air: the coldest and hottest seen on Earth are about -89 and +57 degC.
const AIR: Quantity = Quantity {
    name: "air temperature",
    unit: "degC",
    low: -90.0,
    high: 60.0,
};

/// Sun: the solar constant with cloud-edge brightening; instruments read slightly below zero at
/// night.
const SUN: Quantity = Quantity {
    name: "sun",
    unit: "W/m2",
    low: -20.0,
    high: 1500.0,
};

/// Wind: hourly means above 75 m/s are not on record at the surface.
const WIND: Quantity = Quantity {
    name: "wind",
    unit: "m/s",
    low: 0.0,
    high: 75.0,
};

/// Slurry: liquid water with a margin.
const SLURRY: Quantity = Quantity {
    name: "temperature",
    unit: "degC",
    low: -20.0,
    high: 90.0,
};

impl Quantity {
    /// A number inside the range, or the fault.
    fn read(&self, line: usize, text: &str) -> Result<f64, ImportError> {
        let text = text.trim();
        if text.is_empty() {
            return Err(ImportError::new(line, format!("no {} here", self.name)));
        }
        let value: f64 = text.parse().map_err(|_| {
            let hint = if text.contains(',') {
                "; write decimals with a point"
            } else {
                ""
            };
            ImportError::new(
                line,
                format!("{} \"{text}\" is not a number{hint}", self.name),
            )
        })?;
        self.check(line, value)
    }

    fn check(&self, line: usize, value: f64) -> Result<f64, ImportError> {
        if !value.is_finite() {
            return Err(ImportError::new(
                line,
                format!("{} is not a number", self.name),
            ));
        }
        if value < self.low || value > self.high {
            return Err(ImportError::new(
                line,
                format!(
                    "{} {value} is outside {} to {} {}",
                    self.name, self.low, self.high, self.unit
                ),
            ));
        }
        Ok(value)
    }
}
