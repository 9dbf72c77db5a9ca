//! What a caller reads: one quantity, a row, an amount by mass or by volume.

use crate::context::Context;
use crate::error::{Fault, QuantityError};
use crate::kind::Quantity;
use crate::parse::{parse, parse_row};
use uom::si::f64::{Angle, Mass, MassRate, Volume, VolumeRate};

/// An amount given by mass or by volume.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum EitherMass {
    /// Weighed.
    Mass(Mass),
    /// Measured in buckets or litres.
    Volume(Volume),
}

/// A flow given by mass or by volume.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum EitherRate {
    /// Weighed.
    Mass(MassRate),
    /// Measured in buckets or litres.
    Volume(VolumeRate),
}

/// Reads one quantity.
///
/// # Errors
/// Says what was given, what is allowed and what is nearest; see [`Fault`].
pub fn read<Q: Quantity>(text: &str, cx: &Context) -> Result<Q, QuantityError> {
    parse(text, Q::KIND, cx).map(Q::from_si)
}

/// Reads a row of `N` numbers with one unit at the end.
///
/// # Errors
/// As [`read`]; [`Fault::Count`] says how many numbers were given.
pub fn read_row<Q: Quantity, const N: usize>(
    text: &str,
    cx: &Context,
) -> Result<[Q; N], QuantityError> {
    let row = parse_row::<N>(text, Q::KIND, cx)?;
    Ok(row.map(Q::from_si))
}

/// Reads a latitude, degrees north (south negative): "56.5 °N", "33 S", "57° 12' N".
///
/// # Errors
/// As [`read`].
pub fn latitude(text: &str) -> Result<f64, QuantityError> {
    let angle: Angle = read(text, &Context::default())?;
    Ok(angle.value.to_degrees())
}

/// Reads an amount by mass ("80 kg") or by volume ("3 buckets").
///
/// # Errors
/// As [`read`].
pub fn mass_or_volume(text: &str, cx: &Context) -> Result<EitherMass, QuantityError> {
    either(read(text, cx).map(EitherMass::Mass), || {
        read(text, cx).map(EitherMass::Volume)
    })
}

/// Reads a flow by mass ("2 kg/day") or by volume ("3 buckets/week").
///
/// # Errors
/// As [`read`].
pub fn mass_or_volume_rate(text: &str, cx: &Context) -> Result<EitherRate, QuantityError> {
    either(read(text, cx).map(EitherRate::Mass), || {
        read(text, cx).map(EitherRate::Volume)
    })
}

/// Reads a row of flows by mass or by volume.
///
/// # Errors
/// As [`read_row`].
pub fn mass_or_volume_rate_row<const N: usize>(
    text: &str,
    cx: &Context,
) -> Result<[EitherRate; N], QuantityError> {
    either(
        read_row(text, cx).map(|r: [MassRate; N]| r.map(EitherRate::Mass)),
        || read_row(text, cx).map(|r: [VolumeRate; N]| r.map(EitherRate::Volume)),
    )
}

/// The more telling of two refusals, when both readings fail.
fn either<T>(
    by_mass: Result<T, QuantityError>,
    by_volume: impl FnOnce() -> Result<T, QuantityError>,
) -> Result<T, QuantityError> {
    let first = match by_mass {
        Ok(x) => return Ok(x),
        Err(e) => e,
    };
    let second = match by_volume() {
        Ok(x) => return Ok(x),
        Err(e) => e,
    };
    // A unit that the other reading understood is at home there.
    let volume_unit =
        matches!(&first.fault, Fault::WrongKind { measures, .. } if *measures == second.kind);
    let nearer = first.nearest().is_none() && second.nearest().is_some();
    let (first, second) = if volume_unit || nearer {
        (second, first)
    } else {
        (first, second)
    };
    Err(QuantityError {
        or: Some(second.kind),
        ..first
    })
}
