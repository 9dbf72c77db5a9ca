//! Quantities as people write them: "55 gal", "98 °F", "6 in wc", "3 buckets/week".
//!
//! Text is read into `uom` types (SI inside) and printed back in the units a
//! person thinks in. Nothing here touches files or the terminal, and no text,
//! however odd, makes it panic.
//!
//! ```
//! use fenlamp_quantity::{read, print, Context, Pressure, Units, Volume};
//! let cx = Context::default();
//! let drum: Volume = read("55 gal", &cx)?;
//! assert_eq!(print(drum, Units::Metric), "208 L");
//! let head: Pressure = read("6 in wc", &cx)?;
//! assert_eq!(print(head, Units::Us), "6 in wc");
//! let wrong = read::<Volume>("208", &cx).unwrap_err();
//! assert_eq!(wrong.help(), r#"a number needs its unit; write "208 L""#);
//! # Ok::<(), fenlamp_quantity::QuantityError>(())
//! ```
//!
//! A decimal comma is read ("36,6 °C"). A comma before exactly three digits
//! could be either ("1,100 L"): it is refused, unless the unit is a US
//! customary one ("1,100 gal"), where it can only part the thousands. Gallons,
//! pints, cups and bushels are US ones; the imperial gallon is "gal (UK)".

mod context;
mod error;
mod kind;
mod number;
mod parse;
mod print;
mod read;
mod resolve;
mod units;

#[cfg(test)]
mod tests;

pub use context::{BucketSize, Context, Units, nearest_word};
pub use error::{Fault, QuantityError};
pub use kind::{Kind, Quantity, ThermalInsulance};
pub use print::{format_number, print, print_band, print_gas, print_gas_band};
pub use read::{
    EitherMass, EitherRate, latitude, mass_or_volume, mass_or_volume_rate, mass_or_volume_rate_row,
    read, read_row,
};
pub use uom::si::f64::{
    Angle, Energy, Frequency, HeatFluxDensity, Length, Mass, MassDensity, MassRate, Power,
    Pressure, Ratio, SpecificVolume, TemperatureInterval, ThermalConductivity,
    ThermodynamicTemperature, Time, Velocity, Volume, VolumeRate,
};
