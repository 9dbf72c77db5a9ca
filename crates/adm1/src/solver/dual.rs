//! Dual numbers `a + b e` with `e^2 = 0`: the exact derivative along one
//! direction. They check the hand-written Jacobian.

use std::ops::{Add, AddAssign, Div, Mul, MulAssign, Neg, Sub, SubAssign};

use super::Num;

/// Value and derivative.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dual {
    /// Value.
    pub re: f64,
    /// Derivative along the chosen direction.
    pub eps: f64,
}

impl Dual {
    /// The variable itself: derivative 1.
    pub fn variable(re: f64) -> Self {
        Dual { re, eps: 1.0 }
    }
}

impl Add for Dual {
    type Output = Self;
    fn add(self, o: Self) -> Self {
        Dual {
            re: self.re + o.re,
            eps: self.eps + o.eps,
        }
    }
}
impl Sub for Dual {
    type Output = Self;
    fn sub(self, o: Self) -> Self {
        Dual {
            re: self.re - o.re,
            eps: self.eps - o.eps,
        }
    }
}
impl Mul for Dual {
    type Output = Self;
    fn mul(self, o: Self) -> Self {
        Dual {
            re: self.re * o.re,
            eps: self.re * o.eps + self.eps * o.re,
        }
    }
}
impl Div for Dual {
    type Output = Self;
    fn div(self, o: Self) -> Self {
        let q = self.re / o.re;
        Dual {
            re: q,
            eps: (self.eps - q * o.eps) / o.re,
        }
    }
}
impl Neg for Dual {
    type Output = Self;
    fn neg(self) -> Self {
        Dual {
            re: -self.re,
            eps: -self.eps,
        }
    }
}
impl AddAssign for Dual {
    fn add_assign(&mut self, o: Self) {
        *self = *self + o;
    }
}
impl SubAssign for Dual {
    fn sub_assign(&mut self, o: Self) {
        *self = *self - o;
    }
}
impl MulAssign for Dual {
    fn mul_assign(&mut self, o: Self) {
        *self = *self * o;
    }
}

impl Num for Dual {
    const LAG: usize = 1;
    fn constant(x: f64) -> Self {
        Dual { re: x, eps: 0.0 }
    }
    fn larger(self, o: Self) -> Self {
        if self.re >= o.re { self } else { o }
    }
    fn smaller(self, o: Self) -> Self {
        if self.re <= o.re { self } else { o }
    }
    fn above_zero(self) -> Self {
        Dual::constant(f64::from(u8::from(self.re > 0.0)))
    }
    fn worst(self) -> f64 {
        self.re.abs()
    }
    fn all_finite(self) -> bool {
        self.re.is_finite() && self.eps.is_finite()
    }
}
