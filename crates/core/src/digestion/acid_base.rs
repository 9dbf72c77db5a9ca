//! Acid-base equilibrium: the proton concentration from the charge balance.
//!
//! The balance rises monotonically with H, so Newton from the last value
//! converges in a few steps; the step is held to a factor of ten either way.

use super::constants::Constants;
use super::state::*;
use super::temperature::vant_hoff;
use crate::solver::Num;

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

/// States on which the charge balance depends.
pub const CHARGE_STATES: [usize; 11] = [
    S_VA, S_BU, S_PRO, S_AC, S_IC, S_IN, S_CAT, S_AN, S_SO4, S_IS, S_FE,
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
    let inverse = T::one() / (k + h);
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
    let inverse = T::one() / (k + h);
    let per_total = k * inverse;
    Species {
        value: total * per_total,
        per_total,
        per_h: -(total * k * inverse * inverse),
    }
}

/// Charge balance (kmol/m3, zero when solved) and its slope on H.
#[inline(always)]
pub fn charge<T: Num>(a: &AcidConstants<T>, y: &[T], h: T) -> (T, T) {
    let nh3 = dissociated(y[S_IN], a.nitrogen, h);
    let hco3 = dissociated(y[S_IC], a.co2, h);
    let hs = dissociated(y[S_IS], a.h2s, h);
    let va = dissociated(y[S_VA].scale(1.0 / COD_VA), a.va, h);
    let bu = dissociated(y[S_BU].scale(1.0 / COD_BU), a.bu, h);
    let pro = dissociated(y[S_PRO].scale(1.0 / COD_PRO), a.pro, h);
    let ac = dissociated(y[S_AC].scale(1.0 / COD_AC), a.ac, h);
    let oh = a.w / h;
    let balance = y[S_CAT] + y[S_FE].scale(2.0) + (y[S_IN] - nh3.value) + h
        - hco3.value
        - hs.value
        - va.value
        - bu.value
        - pro.value
        - ac.value
        - oh
        - y[S_AN]
        - y[S_SO4].scale(2.0);
    let slope = T::one() + oh / h
        - nh3.per_h
        - hco3.per_h
        - hs.per_h
        - va.per_h
        - bu.per_h
        - pro.per_h
        - ac.per_h;
    (balance, slope)
}

/// Slopes of the balance on [`CHARGE_STATES`], in that order.
#[inline(always)]
pub fn charge_slopes<T: Num>(a: &AcidConstants<T>, h: T) -> [T; 11] {
    let share = |k: T| k / (k + h);
    [
        -share(a.va).scale(1.0 / COD_VA),
        -share(a.bu).scale(1.0 / COD_BU),
        -share(a.pro).scale(1.0 / COD_PRO),
        -share(a.ac).scale(1.0 / COD_AC),
        -share(a.co2),
        T::one() - share(a.nitrogen),
        T::one(),
        -T::one(),
        T::constant(-2.0),
        -share(a.h2s),
        T::constant(2.0),
    ]
}

/// Solves the balance for H (kmol/m3), starting from `guess`.
#[inline(always)]
pub fn solve<T: Num>(a: &AcidConstants<T>, y: &[T], guess: T) -> T {
    let mut h = guess.larger(T::constant(1e-14)).smaller(T::constant(1.0));
    let mut settled = 0;
    for _ in 0..100 {
        let (e, slope) = charge(a, y, h);
        let next = (h - e / slope).larger(h.scale(0.1)).smaller(h.scale(10.0));
        let change = ((next - h) / h).worst();
        h = next;
        // The error after a Newton step is of the order of its change squared; the
        // derivative part of a dual number lags by one step.
        settled += usize::from(change < 1e-8);
        if settled > T::LAG {
            break;
        }
    }
    h
}
