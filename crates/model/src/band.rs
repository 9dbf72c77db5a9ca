//! An uncertain figure: as the tables give it, and as many worlds say it.

use serde::Serialize;

/// A value with its plausible range, all in the unit the field's name states.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Band {
    /// Low end (about the 10 % world).
    pub low: f64,
    /// Central value.
    pub mid: f64,
    /// High end (about the 90 % world).
    pub high: f64,
}

impl Band {
    /// A band without width.
    pub fn exact(value: f64) -> Self {
        Self {
            low: value,
            mid: value,
            high: value,
        }
    }

    /// All three figures times `factor`; a negative factor would turn the band
    /// round, so use it with factors of zero or more.
    pub fn scaled(self, factor: f64) -> Self {
        Self {
            low: self.low * factor,
            mid: self.mid * factor,
            high: self.high * factor,
        }
    }

    /// True if all figures are finite and `low <= mid <= high`.
    pub fn is_ordered(self) -> bool {
        self.low.is_finite()
            && self.high.is_finite()
            && self.low <= self.mid
            && self.mid <= self.high
    }
}

/// The band of an uncertain figure: two worlds in ten lie outside it.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize)]
pub struct Quantiles {
    /// One world in ten is below.
    pub p10: f64,
    /// The middle world.
    pub p50: f64,
    /// One world in ten is above.
    pub p90: f64,
}

impl Quantiles {
    /// Of a sample, by linear interpolation between the order statistics
    /// (Hyndman and Fan 1996, type 7). Empty gives NaN.
    pub fn of(values: &mut [f64]) -> Self {
        values.sort_unstable_by(f64::total_cmp);
        let at = |share: f64| {
            let Some(last) = values.len().checked_sub(1) else {
                return f64::NAN;
            };
            let place = share * last as f64;
            let (low, part) = (place.floor() as usize, place.fract());
            let high = (low + 1).min(last);
            values[low] + part * (values[high] - values[low])
        };
        Quantiles {
            p10: at(0.1),
            p50: at(0.5),
            p90: at(0.9),
        }
    }

    /// Each figure through `f`, which must not fall.
    pub fn map(self, f: impl Fn(f64) -> f64) -> Self {
        Quantiles {
            p10: f(self.p10),
            p50: f(self.p50),
            p90: f(self.p90),
        }
    }
}
