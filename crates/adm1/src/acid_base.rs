//! Acid-base equilibrium: the proton concentration from the charge balance.
//!
//! The balance rises monotonically with H, so Newton from the last value
//! converges in a few steps; the step is held to a factor of ten either way.

use super::biology::vant_hoff;
use super::constants::Constants;
use super::state::*;
use crate::solver::{Num, reciprocals};

/// Relative change of H by a Newton step after which no other is needed.
const SETTLED: f64 = 1e-6;

/// Acid constants at one temperature, kmol/m3.
#[derive(Debug, Clone, Copy)]
pub struct AcidConstants<T> {
    /// Water.
    pub w: T,
    /// Valerate.
    pub va: T,
    /// Butyrate.
    pub bu: T,
    /// Propionate.
    pub pro: T,
    /// Acetate.
    pub ac: T,
    /// Lactate.
    pub la: T,
    /// Carbonic acid, first.
    pub co2: T,
    /// Ammonium.
    pub nitrogen: T,
    /// Hydrogen sulfide, first.
    pub h2s: T,
}

impl<T: Num> AcidConstants<T> {
    /// Constants at a temperature, K; those of the organic acids do not move.
    pub fn at(c: &Constants, t_k: f64) -> Self {
        let k = T::constant;
        let ten = |pk: f64| 10f64.powf(-pk);
        AcidConstants {
            w: k(ten(c.pk_w) * vant_hoff(55_900.0, t_k)),
            va: k(ten(c.pk_a_va)),
            bu: k(ten(c.pk_a_bu)),
            pro: k(ten(c.pk_a_pro)),
            ac: k(ten(c.pk_a_ac)),
            la: k(ten(c.pk_a_la)),
            co2: k(ten(c.pk_a_co2) * vant_hoff(7_646.0, t_k)),
            nitrogen: k(ten(c.pk_a_in) * vant_hoff(51_965.0, t_k)),
            h2s: k(ten(c.pk_h2s) * vant_hoff(c.dh_h2s, t_k)),
        }
    }
}

/// kg COD per kmol of each acid.
pub const COD_VA: f64 = 208.0;
/// Butyrate.
pub const COD_BU: f64 = 160.0;
/// Propionate.
pub const COD_PRO: f64 = 112.0;
/// Acetate.
pub const COD_AC: f64 = 64.0;
/// Lactate.
pub const COD_LA: f64 = 96.0;

/// States on which the charge balance depends.
pub const CHARGE_STATES: [usize; 12] = [
    S_VA, S_BU, S_PRO, S_AC, S_LA, S_IC, S_IN, S_CAT, S_AN, S_SO4, S_IS, S_FE,
];

/// A species held by an equilibrium, with its slopes.
#[derive(Debug, Clone, Copy)]
pub struct Species<T> {
    /// Concentration.
    pub value: T,
    /// Slope on its total.
    pub per_total: T,
    /// Slope on H.
    pub per_h: T,
}

/// The undissociated part `total H / (K + H)`.
#[inline(always)]
pub fn undissociated<T: Num>(total: T, k: T, h: T) -> Species<T> {
    acid(total, k, h, T::one() / (k + h))
}

/// As [`undissociated`] with `1 / (K + H)` at hand.
#[inline(always)]
pub fn acid<T: Num>(total: T, k: T, h: T, inverse: T) -> Species<T> {
    let per_total = h * inverse;
    Species {
        value: total * per_total,
        per_total,
        per_h: total * k * inverse * inverse,
    }
}

/// The base `total K / (K + H)`.
#[inline(always)]
pub fn dissociated<T: Num>(total: T, k: T, h: T) -> Species<T> {
    base(total, k, T::one() / (k + h))
}

/// As [`dissociated`] with `1 / (K + H)` at hand.
#[inline(always)]
pub fn base<T: Num>(total: T, k: T, inverse: T) -> Species<T> {
    let per_total = k * inverse;
    Species {
        value: total * per_total,
        per_total,
        per_h: -(total * k * inverse * inverse),
    }
}

/// `1 / (K + H)` of each acid, and `1 / H`.
#[derive(Debug, Clone, Copy)]
pub struct Inverses<T> {
    /// Valerate.
    pub va: T,
    /// Butyrate.
    pub bu: T,
    /// Propionate.
    pub pro: T,
    /// Acetate.
    pub ac: T,
    /// Lactate.
    pub la: T,
    /// Carbonic acid.
    pub co2: T,
    /// Ammonium.
    pub nitrogen: T,
    /// Hydrogen sulfide.
    pub h2s: T,
    /// Protons alone.
    pub h: T,
}

impl<T: Num> Inverses<T> {
    /// At `h`.
    #[inline(always)]
    pub fn at(a: &AcidConstants<T>, h: T) -> Self {
        let [va, bu, pro, ac] = reciprocals([a.va + h, a.bu + h, a.pro + h, a.ac + h]);
        let [co2, nitrogen, h2s, h_alone] = reciprocals([a.co2 + h, a.nitrogen + h, a.h2s + h, h]);
        let la = T::one() / (a.la + h);
        Inverses {
            va,
            bu,
            pro,
            ac,
            la,
            co2,
            nitrogen,
            h2s,
            h: h_alone,
        }
    }
}

/// Charge balance (kmol/m3, zero when solved) and its slope on H; `inv` belongs to `h`.
#[inline(always)]
pub fn charge<T: Num>(a: &AcidConstants<T>, inv: &Inverses<T>, y: &[T], h: T) -> (T, T) {
    let nh3 = base(y[S_IN], a.nitrogen, inv.nitrogen);
    let hco3 = base(y[S_IC], a.co2, inv.co2);
    let hs = base(y[S_IS], a.h2s, inv.h2s);
    let va = base(y[S_VA].scale(1.0 / COD_VA), a.va, inv.va);
    let bu = base(y[S_BU].scale(1.0 / COD_BU), a.bu, inv.bu);
    let pro = base(y[S_PRO].scale(1.0 / COD_PRO), a.pro, inv.pro);
    let ac = base(y[S_AC].scale(1.0 / COD_AC), a.ac, inv.ac);
    let la = base(y[S_LA].scale(1.0 / COD_LA), a.la, inv.la);
    let oh = a.w * inv.h;
    let balance = y[S_CAT] + y[S_FE].scale(2.0) + (y[S_IN] - nh3.value) + h
        - hco3.value
        - hs.value
        - va.value
        - bu.value
        - pro.value
        - ac.value
        - la.value
        - oh
        - y[S_AN]
        - y[S_SO4].scale(2.0);
    let slope = T::one() + oh * inv.h
        - nh3.per_h
        - hco3.per_h
        - hs.per_h
        - va.per_h
        - bu.per_h
        - pro.per_h
        - ac.per_h
        - la.per_h;
    (balance, slope)
}

/// Slopes of the balance on [`CHARGE_STATES`], in that order, and on H.
#[inline(always)]
pub fn charge_slopes<T: Num>(
    a: &AcidConstants<T>,
    inv: &Inverses<T>,
    y: &[T],
    h: T,
) -> [T; CHARGE_STATES.len() + 1] {
    [
        -(a.va * inv.va).scale(1.0 / COD_VA),
        -(a.bu * inv.bu).scale(1.0 / COD_BU),
        -(a.pro * inv.pro).scale(1.0 / COD_PRO),
        -(a.ac * inv.ac).scale(1.0 / COD_AC),
        -(a.la * inv.la).scale(1.0 / COD_LA),
        -(a.co2 * inv.co2),
        T::one() - a.nitrogen * inv.nitrogen,
        T::one(),
        -T::one(),
        T::constant(-2.0),
        -(a.h2s * inv.h2s),
        T::constant(2.0),
        charge(a, inv, y, h).1,
    ]
}

/// Solves the balance for H (kmol/m3), starting from `guess`.
#[inline(always)]
pub fn solve<T: Num>(a: &AcidConstants<T>, y: &[T], guess: T) -> T {
    let mut h = guess.larger(T::constant(1e-14)).smaller(T::constant(1.0));
    let mut settled = 0;
    for _ in 0..100 {
        let inv = Inverses::at(a, h);
        let (e, slope) = charge(a, &inv, y, h);
        let next = (h - e / slope).larger(h.scale(0.1)).smaller(h.scale(10.0));
        let change = ((next - h) * inv.h).worst();
        h = next;
        // The error after a Newton step is of the order of its change squared; the
        // derivative part of a dual number lags by one step.
        settled += usize::from(change < SETTLED);
        if settled > T::LAG {
            break;
        }
    }
    h
}
