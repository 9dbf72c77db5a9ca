//! The factors of a rate and their slopes: Monod, inhibition, pH, shares, and what acts
//! through an acid's or base's equilibrium.

use super::acid_base::Species;
use crate::solver::Num;

/// Hill constants of pH inhibition.
#[derive(Debug, Clone, Copy)]
pub struct Hill {
    exponent: u32,
    half_ph: f64,
}

impl Hill {
    /// From the upper and lower pH: n = 3/(UL - LL), K at the middle.
    pub fn new(upper: f64, lower: f64) -> Self {
        // Whole exponents need no power function; the plain limits give 2 and 3.
        let exponent = (3.0 / (upper - lower)).round().max(1.0) as u32;
        Hill {
            exponent,
            half_ph: 0.5 * (upper + lower),
        }
    }

    /// `K^n` for a half rate at `half_ph`, or where plain ADM1 has it.
    pub fn half(&self, half_ph: Option<f64>) -> f64 {
        10f64.powf(-half_ph.unwrap_or(self.half_ph) * f64::from(self.exponent))
    }

    /// `K^n + H^n`, what `K^n` is divided by.
    #[inline(always)]
    pub(crate) fn below<T: Num>(&self, k: T, h: T) -> T {
        k + h.power(self.exponent)
    }

    /// With the inverse of [`Hill::below`].
    #[inline(always)]
    pub(crate) fn of<T: Num>(&self, k: T, h: T, inverse: T) -> Factor<T> {
        let below = h.power(self.exponent - 1);
        Factor {
            value: k * inverse,
            slope: -(k * inverse * inverse * below).scale(f64::from(self.exponent)),
        }
    }
}

/// A factor of a rate and its slope on its own variable.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Factor<T> {
    pub(crate) value: T,
    pub(crate) slope: T,
}

// A trial step may push a trace below zero, by more than its half-saturation. So
// the forms below are continued past zero by the magnitude: they have no pole
// there and pull the trace back.

/// `k + |s|`, what `s` is divided by.
#[inline(always)]
pub(crate) fn saturation<T: Num>(s: T, k: f64) -> T {
    T::constant(k) + s * sign(s)
}

/// `s / (k + |s|)`, with the inverse of [`saturation`].
#[inline(always)]
pub(crate) fn monod<T: Num>(s: T, k: f64, inverse: T) -> Factor<T> {
    Factor {
        value: s * inverse,
        slope: inverse * inverse.scale(k),
    }
}

/// `1 / (1 + s/k)`, one below zero, with the inverse of `k + s`.
#[inline(always)]
pub(crate) fn inhibited<T: Num>(s: Factor<T>, k: T, inverse: T) -> Factor<T> {
    let value = k * inverse;
    Factor {
        value,
        slope: -(value * inverse) * s.slope,
    }
}

/// `1 / (1 + linear s + square s^2)`, one below zero, with its inverse at hand.
#[inline(always)]
pub(crate) fn slowed<T: Num>(s: Factor<T>, linear: T, square: T, inverse: T) -> Factor<T> {
    Factor {
        value: inverse,
        slope: -(inverse * inverse * (linear + (square * s.value).scale(2.0)) * s.slope),
    }
}

/// What [`slowed`] divides by.
#[inline(always)]
pub(crate) fn slowing<T: Num>(s: T, linear: T, square: T) -> T {
    T::one() + s * (linear + square * s)
}

/// What a share of `a` and `b` is divided by.
#[inline(always)]
pub(crate) fn together<T: Num>(a: T, b: T) -> T {
    a * sign(a) + b * sign(b) + T::constant(1e-6)
}

/// `a / (|a| + |b|)` for the shared C4 degraders, and slopes on a and b, with the
/// inverse of [`together`].
#[inline(always)]
pub(crate) fn share<T: Num>(a: T, b: T, inverse: T) -> (T, T, T) {
    let value = a * inverse;
    (
        value,
        (T::one() - value * sign(a)) * inverse,
        -(value * inverse * sign(b)),
    )
}

/// One above zero, else minus one.
#[inline(always)]
pub(crate) fn sign<T: Num>(s: T) -> T {
    s.above_zero().scale(2.0) - T::one()
}

/// The amount where above zero, else nothing.
#[inline(always)]
pub(crate) fn positive<T: Num>(s: T) -> Factor<T> {
    let slope = s.above_zero();
    Factor {
        value: s * slope,
        slope,
    }
}

/// [`monod`] of the amount where above zero, else nothing.
#[inline(always)]
pub(crate) fn rest_below_zero<T: Num>(s: T, k: f64) -> Factor<T> {
    let p = positive(s);
    let m = monod(p.value, k, T::one() / saturation(p.value, k));
    Factor {
        value: m.value,
        slope: m.slope * p.slope,
    }
}

/// A factor that acts through an equilibrium species.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Through<T> {
    pub(crate) value: T,
    pub(crate) per_total: T,
    pub(crate) per_h: T,
}

#[inline(always)]
pub(crate) fn through<T: Num>(f: Factor<T>, s: &Species<T>) -> Through<T> {
    Through {
        value: f.value,
        per_total: f.slope * s.per_total,
        per_h: f.slope * s.per_h,
    }
}

/// A factor of the total nitrogen and one of its free ammonia, as one.
#[inline(always)]
pub(crate) fn both<T: Num>(total: Factor<T>, free: &Through<T>) -> Through<T> {
    Through {
        value: total.value * free.value,
        per_total: total.slope * free.value + total.value * free.per_total,
        per_h: total.value * free.per_h,
    }
}
