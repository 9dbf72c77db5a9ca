//! What a reader must know besides the text, and the words it may have meant.

use uom::si::f64::Volume;

/// Longest text taken for one quantity, bytes (judgement).
pub(crate) const LONGEST: usize = 120;

/// Units of the reader.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Units {
    /// Litres, kilograms, degrees Celsius.
    Metric,
    /// US gallons, pounds, degrees Fahrenheit.
    Us,
}

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
