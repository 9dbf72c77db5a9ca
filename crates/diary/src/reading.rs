//! One reading of an instrument.

use jiff::Timestamp;
use serde::{Deserialize, Serialize};

/// What a device measures. The number is the file's own and never changes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Quantity {
    /// Slurry, K.
    SlurryTemperature,
    /// Air, K.
    AirTemperature,
    /// Counter of a gas meter, m3.
    GasCounter,
    /// Fill of the store, share.
    StoreFill,
    /// Pressure of the gas, Pa above the air.
    GasPressure,
    /// pH of the slurry.
    Ph,
    /// Methane of the dry gas, share.
    MethaneShare,
    /// Hydrogen sulfide, ppm by volume.
    SulfidePpm,
}

impl Quantity {
    /// Every quantity with its number in the file and its name.
    pub const ALL: [(Quantity, i64, &'static str); 8] = [
        (Quantity::SlurryTemperature, 1, "slurry_temperature"),
        (Quantity::AirTemperature, 2, "air_temperature"),
        (Quantity::GasCounter, 3, "gas_counter"),
        (Quantity::StoreFill, 4, "store_fill"),
        (Quantity::GasPressure, 5, "gas_pressure"),
        (Quantity::Ph, 6, "ph"),
        (Quantity::MethaneShare, 7, "methane_share"),
        (Quantity::SulfidePpm, 8, "sulfide_ppm"),
    ];

    fn row(self) -> (i64, &'static str) {
        Self::ALL
            .iter()
            .find(|(q, ..)| *q == self)
            .map_or((0, ""), |(_, n, name)| (*n, *name))
    }

    /// Its name.
    pub fn name(self) -> &'static str {
        self.row().1
    }

    pub(crate) fn number(self) -> i64 {
        self.row().0
    }

    pub(crate) fn of_number(number: i64) -> Option<Self> {
        Self::ALL.iter().find(|(_, n, _)| *n == number).map(|r| r.0)
    }

    /// By name.
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.iter().find(|(.., n)| *n == name).map(|r| r.0)
    }
}

/// One reading, SI.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Reading {
    /// What was measured.
    pub quantity: Quantity,
    /// When, by the device's clock.
    pub at: Timestamp,
    /// Value in the unit of the quantity.
    pub value: f64,
}

/// A reading as it lies in the diary.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Received {
    /// Name of the device.
    pub device: String,
    /// The reading.
    #[serde(flatten)]
    pub reading: Reading,
    /// When it arrived.
    pub received: Timestamp,
    /// It is not believed (out of range, or a jump).
    pub doubted: bool,
}
