//! What a caller reads: one quantity, a row, an amount by mass or by volume.

use crate::error::{Fault, QuantityError};
use crate::kind::Quantity;
use crate::parse::{LONGEST, parse, parse_row};
use crate::print::Units;
use uom::si::f64::{Angle, Mass, MassRate, Volume, VolumeRate};

/// What a bucket holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BucketSize(pub Volume);

impl BucketSize {
    /// The household bucket of 10 L (common practice, no source).
    pub fn metric() -> Self {
        Self(Volume::new::<uom::si::volume::liter>(10.0))
    }

    /// The US bucket of 5 gal (common practice, no source).
    pub fn us() -> Self {
        Self(Volume::new::<uom::si::volume::gallon>(5.0))
    }
}

/// What a reader must know besides the text.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Context {
    /// Size of "a bucket".
    pub bucket: BucketSize,
}

impl Default for Context {
    fn default() -> Self {
        Self {
            bucket: BucketSize::metric(),
        }
    }
}

impl Context {
    /// The context of a plan in these units.
    pub fn of(units: Units) -> Self {
        match units {
            Units::Metric => Self {
                bucket: BucketSize::metric(),
            },
            Units::Us => Self {
                bucket: BucketSize::us(),
            },
        }
    }
}

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

/// Nearest of some words to a misspelt one, if one is near enough to offer.
pub fn nearest_word<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let word = word.to_lowercase();
    let length = word.chars().count();
    if length == 0 || length > LONGEST {
        return None;
    }
    known
        .into_iter()
        .map(|k| (strsim::osa_distance(&word, &k.to_lowercase()), k))
        .filter(|(d, k)| {
            *d <= (length.max(k.chars().count()) / 3).clamp(usize::from(length > 1), 3)
        })
        .min_by_key(|(d, _)| *d)
        .map(|(_, k)| k)
}
