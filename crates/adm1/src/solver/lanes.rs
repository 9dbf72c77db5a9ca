//! Several worlds in lockstep: one array of numbers, one operation for all.
//!
//! Plain arrays that the compiler turns into vector instructions, once the loop
//! around them is compiled for the machine at hand ([`at_best_width`]). No
//! operation is fused or reordered, so a lane holds the digits that a lone
//! world would with the same steps.

use std::ops::{Add, AddAssign, Div, Mul, MulAssign, Neg, Sub, SubAssign};

use super::Num;

/// `L` numbers in lockstep.
#[derive(Debug, Clone, Copy, PartialEq)]
#[repr(align(64))]
pub struct Lanes<const L: usize>(pub [f64; L]);

macro_rules! each {
    ($trait:ident, $method:ident, $op:tt) => {
        impl<const L: usize> $trait for Lanes<L> {
            type Output = Self;
            #[inline(always)]
            fn $method(self, o: Self) -> Self {
                let mut out = self;
                for i in 0..L {
                    out.0[i] = self.0[i] $op o.0[i];
                }
                out
            }
        }
    };
}
each!(Add, add, +);
each!(Sub, sub, -);
each!(Mul, mul, *);
each!(Div, div, /);

impl<const L: usize> Neg for Lanes<L> {
    type Output = Self;
    #[inline(always)]
    fn neg(self) -> Self {
        let mut out = self;
        for v in &mut out.0 {
            *v = -*v;
        }
        out
    }
}
impl<const L: usize> AddAssign for Lanes<L> {
    #[inline(always)]
    fn add_assign(&mut self, o: Self) {
        *self = *self + o;
    }
}
impl<const L: usize> SubAssign for Lanes<L> {
    #[inline(always)]
    fn sub_assign(&mut self, o: Self) {
        *self = *self - o;
    }
}
impl<const L: usize> MulAssign for Lanes<L> {
    #[inline(always)]
    fn mul_assign(&mut self, o: Self) {
        *self = *self * o;
    }
}

impl<const L: usize> Lanes<L> {
    #[inline(always)]
    fn map(mut self, f: impl Fn(f64) -> f64) -> Self {
        for v in &mut self.0 {
            *v = f(*v);
        }
        self
    }
}

impl<const L: usize> Num for Lanes<L> {
    #[inline(always)]
    fn constant(x: f64) -> Self {
        Lanes([x; L])
    }
    #[inline(always)]
    fn larger(self, o: Self) -> Self {
        let mut out = self;
        for i in 0..L {
            out.0[i] = self.0[i].max(o.0[i]);
        }
        out
    }
    #[inline(always)]
    fn smaller(self, o: Self) -> Self {
        let mut out = self;
        for i in 0..L {
            out.0[i] = self.0[i].min(o.0[i]);
        }
        out
    }
    #[inline(always)]
    fn above_zero(self) -> Self {
        self.map(|v| if v > 0.0 { 1.0 } else { 0.0 })
    }
    #[inline(always)]
    fn worst(self) -> f64 {
        // Not `max`, which would drop a NaN.
        let mut worst = 0.0f64;
        for v in self.0 {
            let v = v.abs();
            if v > worst || v.is_nan() {
                worst = v;
            }
        }
        worst
    }
    #[inline(always)]
    fn all_finite(self) -> bool {
        self.0.iter().all(|v| v.is_finite())
    }
}

/// A number that can be filled from and read out to single worlds.
pub trait Pack: Num {
    /// Worlds it carries.
    const WIDTH: usize;
    /// From one value a world; `each` is called with the lane.
    fn gather(each: impl FnMut(usize) -> f64) -> Self;
    /// The value of one world.
    fn lane(&self, i: usize) -> f64;
}

impl Pack for f64 {
    const WIDTH: usize = 1;
    #[inline(always)]
    fn gather(mut each: impl FnMut(usize) -> f64) -> Self {
        each(0)
    }
    #[inline(always)]
    fn lane(&self, _: usize) -> f64 {
        *self
    }
}

impl<const L: usize> Pack for Lanes<L> {
    const WIDTH: usize = L;
    #[inline(always)]
    fn gather(mut each: impl FnMut(usize) -> f64) -> Self {
        let mut out = [0.0; L];
        for (i, v) in out.iter_mut().enumerate() {
            *v = each(i);
        }
        Lanes(out)
    }
    #[inline(always)]
    fn lane(&self, i: usize) -> f64 {
        self.0[i]
    }
}

/// Lanes that this machine carries best: 8 with 512-bit registers, else 4.
pub fn best_width() -> usize {
    match pulp::Arch::new() {
        #[cfg(target_arch = "x86_64")]
        pulp::Arch::V4(_) => 8,
        _ => 4,
    }
}

/// Work to be compiled once for each width; a closure would not be, for it is a
/// function of its own.
pub use pulp::NullaryFnOnce as WideWork;

/// Runs `work` on numbers `T` compiled for the machine at hand: a lone world
/// plainly, eight for 512-bit registers, four for 256-bit ones. Only the pairs
/// that [`best_width`] can choose are compiled.
#[inline(always)]
pub fn at_best_width<T: Pack, W: WideWork>(work: W) -> W::Output {
    #[cfg(target_arch = "x86_64")]
    {
        match pulp::Arch::new() {
            pulp::Arch::V4(simd) if T::WIDTH == 8 => return simd.vectorize(work),
            pulp::Arch::V3(simd) if T::WIDTH == 4 => return simd.vectorize(work),
            // Four lanes on a machine for eight take its 256-bit instructions.
            pulp::Arch::V4(_) if T::WIDTH == 4 => {
                if let Some(simd) = pulp::x86::V3::try_new() {
                    return simd.vectorize(work);
                }
            }
            _ => {}
        }
    }
    work.call()
}
