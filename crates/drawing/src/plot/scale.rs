//! Round figures upwards and days along.

use jiff::civil::Date;
use jiff::{Span, ToSpan, Unit};

/// Days from `a` to `b`, negative when `b` is earlier.
pub(super) fn days_between(a: Date, b: Date) -> i64 {
    a.until((Unit::Day, b))
        .map_or(0, |s: Span| i64::from(s.get_days()))
}

/// A day later by `n`; the calendar's end at the worst.
pub(super) fn later(date: Date, n: i64) -> Date {
    let n = n.clamp(-3_650_000, 3_650_000);
    date.saturating_add(n.days())
}

/// A scale from figures to pixels.
#[derive(Debug, Clone, Copy)]
pub(super) struct Upwards {
    pub low: f64,
    pub high: f64,
    pub step: f64,
    /// Pixel of `low` and of `high`.
    pub bottom: f64,
    pub top: f64,
}

impl Upwards {
    /// Round ends around the figures, with about `ticks` steps.
    pub fn around(
        figures: impl Iterator<Item = f64>,
        from_zero: bool,
        ticks: f64,
        (top, bottom): (f64, f64),
    ) -> Self {
        let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
        // Beyond 1e12 no figure of a household is drawn to scale.
        for x in figures
            .filter(|x| x.is_finite())
            .map(|x| x.clamp(-1e12, 1e12))
        {
            (low, high) = (low.min(x), high.max(x));
        }
        if low > high {
            (low, high) = (0.0, 1.0);
        }
        if from_zero {
            (low, high) = (low.min(0.0), high.max(0.0));
        }
        if high - low < 1e-9 * high.abs().max(1.0) {
            // All alike: show it in the middle, or at the bottom line if zero.
            let room = if high == 0.0 { 1.0 } else { high.abs() * 0.1 };
            if !(from_zero && low >= 0.0) {
                low -= room;
            }
            high += room;
        }
        let step = round_step((high - low) / ticks.max(1.0));
        Upwards {
            low: (low / step + 1e-9).floor() * step,
            high: (high / step - 1e-9).ceil() * step,
            step,
            bottom,
            top,
        }
    }

    /// Pixel of a figure.
    pub fn at(&self, x: f64) -> f64 {
        let share = (x.clamp(self.low, self.high) - self.low) / (self.high - self.low);
        self.bottom + share * (self.top - self.bottom)
    }

    /// Figures of the ticks with their words.
    pub fn ticks(&self) -> Vec<(f64, String)> {
        let n = ((self.high - self.low) / self.step).round() as usize;
        let decimals = (-self.step.log10().floor()).clamp(0.0, 9.0) as usize;
        (0..=n.min(50))
            .map(|i| {
                let x = self.low + i as f64 * self.step;
                let text = format!("{x:.decimals$}");
                let zero = text.trim_start_matches(['-', '0', '.']).is_empty();
                (x, if zero { "0".to_owned() } else { text })
            })
            .collect()
    }
}

/// 1, 2 or 5 times a power of ten, not below `rough`.
fn round_step(rough: f64) -> f64 {
    let power = 10f64.powf(rough.log10().floor());
    let lead = rough / power;
    let round = [1.0, 2.0, 5.0]
        .into_iter()
        .find(|r| lead <= r + 1e-9)
        .unwrap_or(10.0);
    round * power
}

/// Days along: the first at the left edge, the last at the right.
#[derive(Debug, Clone, Copy)]
pub(super) struct Along {
    pub from: Date,
    pub days: i64,
    pub left: f64,
    pub right: f64,
}

impl Along {
    /// Pixel of the day that is `n` after the first.
    pub fn at(&self, n: i64) -> f64 {
        let last = (self.days - 1).max(1);
        let share = (n.clamp(0, self.days - 1)) as f64 / last as f64;
        self.left + share * (self.right - self.left)
    }

    /// Pixel of a date, if it is shown.
    pub fn of(&self, date: Date) -> Option<f64> {
        let n = days_between(self.from, date);
        (0..self.days).contains(&n).then(|| self.at(n))
    }

    /// Pixels a day.
    pub fn per_day(&self) -> f64 {
        (self.right - self.left) / (self.days - 1).max(1) as f64
    }
}
