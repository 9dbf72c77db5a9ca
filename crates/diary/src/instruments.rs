//! Whether an instrument is to be believed, and readings as devices write them.

use fenlamp_quantity::{Context, Quantity as _, ThermodynamicTemperature, read};
use jiff::Timestamp;
use serde::Serialize;

use crate::reading::{Quantity, Reading, Received};

/// The mark of a reading that is not believed.
pub(crate) const DOUBTED: i64 = 1;

/// What a quantity may be, and how fast it may move in an hour (judgement: a
/// household vessel's slurry cannot take up heat faster; air may).
fn sense(quantity: Quantity) -> (f64, f64, f64) {
    match quantity {
        // 85 °C and -127 °C are what cheap probes say when they cannot measure
        // (common practice, no source); slurry is never that warm.
        Quantity::SlurryTemperature => (268.15, 348.15, 6.0),
        Quantity::AirTemperature => (203.15, 333.15, 25.0),
        Quantity::GasCounter => (0.0, 1e6, 5.0),
        Quantity::StoreFill => (-0.02, 1.1, f64::INFINITY),
        Quantity::GasPressure => (-2000.0, 20_000.0, f64::INFINITY),
        Quantity::Ph => (2.0, 12.0, 2.0),
        Quantity::MethaneShare => (0.0, 1.0, 0.5),
        Quantity::SulfidePpm => (0.0, 50_000.0, f64::INFINITY),
    }
}

/// Least jump that is one, whatever the time between: twice the hourly pace.
const LEAST_JUMP_HOURS: f64 = 2.0;

/// Why a reading is not believed; `before` is the last believed one (ms, value).
pub(crate) fn doubt(reading: &Reading, before: Option<(i64, f64)>) -> Option<String> {
    let (low, high, per_hour) = sense(reading.quantity);
    if !(low..=high).contains(&reading.value) {
        return Some("out of range: the sensor or its wire is broken".to_owned());
    }
    let (at, value) = before?;
    let hours = (reading.at.as_millisecond() - at) as f64 / 3.6e6;
    // After a day anything may have happened.
    if hours > 24.0 {
        return None;
    }
    let allowed = per_hour * hours.max(LEAST_JUMP_HOURS);
    if reading.quantity == Quantity::GasCounter && reading.value < value {
        return Some("the counter runs backwards: changed or reset".to_owned());
    }
    ((reading.value - value).abs() > allowed).then(|| "a jump faster than can be".to_owned())
}

/// What is wrong with a sensor.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Lie {
    /// The same value for so many hours.
    Stuck {
        /// Hours.
        hours: f64,
        /// The value.
        value: f64,
    },
    /// So many of the last day's readings are out of range.
    OutOfRange {
        /// How many.
        count: usize,
    },
    /// So many jumps.
    Jumps {
        /// How many.
        count: usize,
    },
    /// Nothing for so many hours.
    Silent {
        /// Hours.
        hours: f64,
    },
}

/// Hours of one value that make a sensor stuck, and readings at least (judgement:
/// a probe that resolves a tenth of a kelvin moves within a day).
const STUCK_HOURS: f64 = 36.0;
const STUCK_READINGS: usize = 12;
/// Hours without a word, counted in usual spans between readings (judgement).
const SILENT_SPANS: f64 = 10.0;

/// What is wrong with one device's readings of one quantity, in order of time.
pub fn lies(readings: &[Received], now: Timestamp) -> Vec<Lie> {
    let mut out = Vec::new();
    let hours =
        |a: Timestamp, b: Timestamp| (b.as_millisecond() - a.as_millisecond()) as f64 / 3.6e6;
    let (Some(first), Some(last)) = (readings.first(), readings.last()) else {
        return out;
    };
    let same: Vec<_> = readings
        .iter()
        .rev()
        .take_while(|r| r.reading.value == last.reading.value)
        .collect();
    // A counter that stands still means no gas; a store may well stay full.
    let moves = !matches!(
        last.reading.quantity,
        Quantity::GasCounter | Quantity::StoreFill | Quantity::SulfidePpm
    );
    if let Some(since) = same.last()
        && moves
        && same.len() >= STUCK_READINGS
    {
        let hours = hours(since.reading.at, last.reading.at);
        if hours >= STUCK_HOURS {
            out.push(Lie::Stuck {
                hours,
                value: last.reading.value,
            });
        }
    }
    let (low, high, _) = sense(last.reading.quantity);
    let recent = || {
        readings
            .iter()
            .rev()
            .take_while(|r| hours(r.reading.at, last.reading.at) <= 24.0)
            .filter(|r| r.doubted)
    };
    let beyond = recent()
        .filter(|r| !(low..=high).contains(&r.reading.value))
        .count();
    let jumps = recent().count() - beyond;
    if beyond > 0 {
        out.push(Lie::OutOfRange { count: beyond });
    }
    if jumps > 0 {
        out.push(Lie::Jumps { count: jumps });
    }
    let span = hours(first.reading.at, last.reading.at) / (readings.len().max(2) - 1) as f64;
    let silent = hours(last.reading.at, now);
    if readings.len() > 3 && silent > (SILENT_SPANS * span).max(3.0) {
        out.push(Lie::Silent { hours: silent });
    }
    out
}

/// A reading as a device writes it.
#[derive(Debug, Clone, PartialEq, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Sent {
    /// Name of the quantity (see [`Quantity::ALL`]).
    pub quantity: String,
    /// Number.
    pub value: f64,
    /// Unit, as people write it; may be left out for pH.
    #[serde(default)]
    pub unit: String,
    /// RFC 3339, or seconds since 1970; left out: the moment it arrives.
    #[serde(default)]
    pub at: Option<Moment>,
}

/// A moment as a device writes it.
#[derive(Debug, Clone, PartialEq, serde::Deserialize)]
#[serde(untagged)]
pub enum Moment {
    /// Seconds since 1970, UTC.
    Seconds(f64),
    /// RFC 3339.
    Text(String),
}

impl Sent {
    /// The reading in SI.
    ///
    /// # Errors
    /// What is wrong, and what is allowed.
    pub fn read(&self, received: Timestamp) -> Result<Reading, String> {
        let quantity = Quantity::named(&self.quantity).ok_or_else(|| {
            let names: Vec<&str> = Quantity::ALL.iter().map(|(.., n)| *n).collect();
            let near = fenlamp_quantity::nearest_word(&self.quantity, names.iter().copied())
                .map(|n| format!("did you mean \"{n}\"? "))
                .unwrap_or_default();
            format!("unknown quantity; {near}there are: {}", names.join(", "))
        })?;
        let at = match &self.at {
            None => received,
            Some(Moment::Seconds(s)) if s.is_finite() && s.abs() < 1e11 => {
                Timestamp::from_millisecond((s * 1000.0).round() as i64)
                    .map_err(|e| format!("the time cannot be read: {e}"))?
            }
            Some(Moment::Seconds(_)) => return Err("the time is out of range".to_owned()),
            Some(Moment::Text(text)) => text
                .parse()
                .map_err(|_| "write the time like 2026-06-01T08:30:00Z".to_owned())?,
        };
        Ok(Reading {
            quantity,
            at,
            value: si(quantity, self.value, &self.unit)?,
        })
    }
}

fn si(quantity: Quantity, value: f64, unit: &str) -> Result<f64, String> {
    if !value.is_finite() {
        return Err("the value is not a finite number".to_owned());
    }
    let written = format!("{value} {unit}");
    let cx = Context::default();
    let said = |e: fenlamp_quantity::QuantityError| format!("{e}; {}", e.help());
    let one_of = |units: &[(&str, f64)], name: &str| {
        units
            .iter()
            .find(|(u, _)| *u == unit.trim())
            .map(|(_, factor)| value * factor)
            .ok_or_else(|| {
                let known: Vec<_> = units
                    .iter()
                    .map(|u| u.0)
                    .filter(|u| !u.is_empty())
                    .collect();
                format!(
                    "unknown unit \"{unit}\" for {name}; write {}",
                    known.join(" or ")
                )
            })
    };
    match quantity {
        Quantity::SlurryTemperature | Quantity::AirTemperature => {
            // What a broken wire says must be kept as doubted, not refused.
            let celsius = match unit.trim() {
                "°C" | "C" | "degC" => Some(value),
                "°F" | "F" | "degF" => Some((value - 32.0) / 1.8),
                _ => None,
            };
            match celsius {
                Some(c) => Ok(c + 273.15),
                None => read::<ThermodynamicTemperature>(&written, &cx)
                    .map(|t| t.to_si())
                    .map_err(said),
            }
        }
        Quantity::GasCounter => read::<fenlamp_quantity::Volume>(&written, &cx)
            .map(|v| v.to_si())
            .map_err(said),
        Quantity::GasPressure => read::<fenlamp_quantity::Pressure>(&written, &cx)
            .map(|v| v.to_si())
            .map_err(said),
        Quantity::StoreFill | Quantity::MethaneShare => {
            one_of(&[("%", 0.01), ("1", 1.0)], "a share")
        }
        Quantity::Ph => one_of(&[("", 1.0), ("pH", 1.0)], "pH"),
        Quantity::SulfidePpm => one_of(&[("ppm", 1.0), ("%", 1e4)], "hydrogen sulfide"),
    }
}

/// Reads what a device sent as JSON: one reading, or a list of them.
///
/// # Errors
/// What is wrong, and at which reading.
pub fn from_json(bytes: &[u8], received: Timestamp) -> Result<Vec<Reading>, String> {
    #[derive(serde::Deserialize)]
    #[serde(untagged)]
    enum Shape {
        Many(Vec<Sent>),
        One(Sent),
    }
    let shape: Shape = serde_json::from_slice(bytes).map_err(|_| {
        "write {\"quantity\": \"slurry_temperature\", \"value\": 18.2, \"unit\": \"°C\", \"at\": \"2026-06-01T08:30:00Z\"}, or a list of such".to_owned()
    })?;
    let sent = match shape {
        Shape::Many(many) => many,
        Shape::One(one) => vec![one],
    };
    sent.iter()
        .enumerate()
        .map(|(i, s)| {
            s.read(received)
                .map_err(|why| format!("reading {}: {why}", i + 1))
        })
        .collect()
}

/// Reads a logger's CSV: a head `at,quantity,value,unit`.
///
/// # Errors
/// What is wrong, and on which line.
pub fn from_csv(text: &str, received: Timestamp) -> Result<Vec<Reading>, String> {
    let mut reader = csv::ReaderBuilder::new()
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes());
    #[derive(serde::Deserialize)]
    struct Line {
        at: String,
        quantity: String,
        value: f64,
        #[serde(default)]
        unit: String,
    }
    let mut out = Vec::new();
    for (i, line) in reader.deserialize::<Line>().enumerate() {
        let line = line.map_err(|e| format!("line {}: {e}", i + 2))?;
        let sent = Sent {
            quantity: line.quantity,
            value: line.value,
            unit: line.unit,
            at: (!line.at.is_empty()).then_some(Moment::Text(line.at)),
        };
        out.push(
            sent.read(received)
                .map_err(|why| format!("line {}: {why}", i + 2))?,
        );
    }
    Ok(out)
}
