//! The number trait over which every equation of the engine is written once.

use std::ops::{Add, AddAssign, Div, Mul, MulAssign, Neg, Sub, SubAssign};

/// A real number, a dual number, or several reals in lockstep.
pub trait Num:
    Copy
    + Add<Output = Self>
    + Sub<Output = Self>
    + Mul<Output = Self>
    + Div<Output = Self>
    + Neg<Output = Self>
    + AddAssign
    + SubAssign
    + MulAssign
{
    /// Newton steps by which a derivative lags behind its value.
    const LAG: usize = 0;
    /// The constant `x`.
    fn constant(x: f64) -> Self;
    /// The larger of the two (lane by lane).
    fn larger(self, other: Self) -> Self;
    /// The smaller of the two (lane by lane).
    fn smaller(self, other: Self) -> Self;
    /// One where above zero, else zero (lane by lane).
    fn above_zero(self) -> Self;
    /// The largest magnitude over the lanes, for convergence tests.
    fn worst(self) -> f64;
    /// True when every lane is finite.
    fn all_finite(self) -> bool;
    /// Zero.
    #[inline(always)]
    fn zero() -> Self {
        Self::constant(0.0)
    }
    /// One.
    #[inline(always)]
    fn one() -> Self {
        Self::constant(1.0)
    }
    /// `self` times the plain number `x`.
    #[inline(always)]
    fn scale(self, x: f64) -> Self {
        self * Self::constant(x)
    }
    /// Small whole powers by multiplication: no power function in the inner loop.
    #[inline(always)]
    fn power(self, n: u32) -> Self {
        let mut out = Self::one();
        for _ in 0..n {
            out *= self;
        }
        out
    }
}

impl Num for f64 {
    #[inline(always)]
    fn constant(x: f64) -> Self {
        x
    }
    #[inline(always)]
    fn larger(self, other: Self) -> Self {
        self.max(other)
    }
    #[inline(always)]
    fn smaller(self, other: Self) -> Self {
        self.min(other)
    }
    #[inline(always)]
    fn above_zero(self) -> Self {
        f64::from(u8::from(self > 0.0))
    }
    #[inline(always)]
    fn worst(self) -> f64 {
        self.abs()
    }
    #[inline(always)]
    fn all_finite(self) -> bool {
        self.is_finite()
    }
}

/// `1 / v` of four numbers with one division, which costs as much as a dozen
/// multiplications. Their product must be a number that can be held.
#[inline(always)]
pub fn reciprocals<T: Num>(v: [T; 4]) -> [T; 4] {
    let (low, high) = (v[0] * v[1], v[2] * v[3]);
    let both = T::one() / (low * high);
    let (low, high) = (both * high, both * low);
    [low * v[1], low * v[0], high * v[3], high * v[2]]
}
