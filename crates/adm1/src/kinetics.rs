//! Rates of the processes and their partial derivatives.
//!
//! Each rate is written once, as a product of factors that know their own
//! slopes; [`Kinetics::fill`] asks for the slopes only when a Jacobian is due.
//! Rates are per m3 of liquid and day.

use super::acid_base::{Inverses, acid, base};
use super::coefficients::Coefficients;
use super::constants::Constants;
use super::factors::*;
use super::state::*;
use super::stoichiometry::Families;
use crate::solver::{Num, reciprocals};

/// Marks the proton concentration among the variables of a rate.
pub const H: usize = usize::MAX;
/// Marks a variable on which a rate does not depend in plain ADM1.
pub const NONE: usize = usize::MAX - 1;
/// Marks the factor that the hydrolysis of every feed pool shares: an unknown of its
/// own in the matrix, for without it each pool's row would hold every other pool, two
/// groups, H and four acids.
pub const FEED_FACTOR: usize = usize::MAX - 2;

/// Variables of each process, in the order in which slopes are pushed; without the
/// household additions what those bring is [`NONE`].
pub fn variables(pools: usize, household: bool) -> Vec<Vec<usize>> {
    let ours = |v: usize| if household { v } else { NONE };
    let h = ours(H);
    let mut v: Vec<Vec<usize>> = (0..PLAIN_POOLS).map(|k| vec![POOLS + k, h]).collect();
    v.extend((PLAIN_POOLS..pools).map(|k| vec![POOLS + k, FEED_FACTOR]));
    v.push(vec![S_SU, X_SU, S_IN, ours(S_AC), H]);
    v.push(vec![S_AA, X_AA, S_IN, ours(S_AC), H]);
    v.push(vec![S_FA, X_FA, S_IN, S_H2, H]);
    v.push(vec![S_VA, S_BU, X_C4, S_IN, S_H2, S_IS, H]);
    v.push(vec![S_BU, S_VA, X_C4, S_IN, S_H2, S_IS, H]);
    v.push(vec![S_PRO, X_PRO, S_IN, S_H2, S_IS, H]);
    v.extend((0..GUILDS).map(|g| vec![S_AC, X_AC + g, S_IN, S_IS, H]));
    v.extend((0..GUILDS).map(|g| vec![S_H2, X_H2 + g, S_IN, S_IS, ours(S_AC), H]));
    v.push(vec![S_H2, X_SRB, S_SO4, S_IN, H]);
    v.push([S_H2, X_SU, S_IN, H].map(ours).to_vec());
    v.push([S_SU, X_SU, S_IN, S_AC, H].map(ours).to_vec());
    v.push([S_LA, X_SU, S_IN, H].map(ours).to_vec());
    v.extend((X_SU..=X_SRB).map(|i| vec![i]));
    v.push(vec![S_H2, G_H2]);
    v.push(vec![S_CH4, G_CH4]);
    v.push(vec![S_IC, G_CO2, H]);
    v.push(vec![S_IS, G_H2S, H]);
    v.extend((0..GASES).map(|_| (G_H2..=G_O2).collect::<Vec<_>>()));
    v.push(vec![S_FE, S_IS]);
    v.push(vec![G_O2, S_AC]);
    v.push(vec![G_O2, G_H2S]);
    debug_assert_eq!(v.len(), Families::new(pools).count);
    v
}

/// Variables of [`FEED_FACTOR`], in the order of its slopes.
pub fn feed_factor_variables(pools: usize) -> Vec<usize> {
    (POOLS + PLAIN_POOLS..POOLS + pools)
        .chain([X_SU, X_AA, H])
        .chain(ACIDS)
        .collect()
}

/// States without which each process rests: it runs where one of the sets is wholly
/// there; with no set it never does. Processes in the order of [`variables`].
pub fn needs(pools: usize, household: bool) -> Vec<Vec<Vec<usize>>> {
    let all = |states: &[usize]| vec![states.to_vec()];
    let either = |a: usize, b: usize| vec![vec![a], vec![b]];
    let mut v: Vec<Vec<Vec<usize>>> = (0..pools).map(|k| all(&[POOLS + k])).collect();
    v.extend([
        all(&[S_SU, X_SU]),
        all(&[S_AA, X_AA]),
        all(&[S_FA, X_FA]),
        all(&[S_VA, X_C4]),
        all(&[S_BU, X_C4]),
        all(&[S_PRO, X_PRO]),
    ]);
    v.extend((0..GUILDS).map(|g| all(&[S_AC, X_AC + g])));
    v.extend((0..GUILDS).map(|g| all(&[S_H2, X_H2 + g])));
    v.push(all(&[S_H2, X_SRB, S_SO4]));
    for food in [S_H2, S_SU, S_LA] {
        v.push(if household {
            all(&[food, X_SU])
        } else {
            Vec::new()
        });
    }
    v.extend((X_SU..=X_SRB).map(|i| all(&[i])));
    v.push(either(S_H2, G_H2));
    v.push(either(S_CH4, G_CH4));
    v.push(either(S_IC, G_CO2));
    v.push(either(S_IS, G_H2S));
    v.extend((G_H2..=G_O2).map(|i| all(&[i])));
    v.push(all(&[S_FE, S_IS]));
    v.push(all(&[G_O2, S_AC]));
    v.push(all(&[G_O2, G_H2S]));
    debug_assert_eq!(v.len(), Families::new(pools).count);
    v
}

/// Fixed part of the kinetics.
#[derive(Debug, Clone)]
pub struct Kinetics {
    c: Constants,
    ph_aa: Hill,
    half_aa: f64,
    /// pH inhibition of acetoclasts.
    pub ph_ac: Hill,
    ph_h2: Hill,
    half_h2: f64,
    /// Slowing of lactic fermentation by the square of protons, m6/kmol2.
    lactic_end: f64,
}

/// Rates, and slopes flattened in the order of [`variables`].
#[derive(Debug, Clone)]
pub struct Rates<T> {
    /// One rate a process.
    pub rate: Vec<T>,
    /// Slopes.
    pub slope: Vec<T>,
    /// Slopes of [`FEED_FACTOR`], in the order of [`feed_factor_variables`].
    pub feed_factor: Vec<T>,
}

/// Where the rates are asked for.
pub struct At<'a, T> {
    /// Coefficients.
    pub k: &'a Coefficients<T>,
    /// State.
    pub y: &'a [T],
    /// Protons, kmol/m3.
    pub h: T,
    /// Inverses at `h`.
    pub inverses: &'a Inverses<T>,
    /// Which processes run.
    pub active: &'a [bool],
}

/// Receives rates and slopes by `put!`; processes at rest are passed over.
struct Sink<'a, T> {
    active: &'a [bool],
    rates: &'a mut [T],
    slopes: &'a mut [T],
    next_rate: usize,
    next_slope: usize,
    with_slopes: bool,
}

/// Hands the next process's rate and slopes to a sink, each worked out only where it is
/// wanted. No closures: those are functions of their own, and one that the compiler does
/// not draw in is not compiled for the width at hand.
macro_rules! put {
    ($sink:expr, $rate:expr, $count:literal, $slopes:expr) => {
        if $sink.active[$sink.next_rate] {
            $sink.rates[$sink.next_rate] = $rate;
            if $sink.with_slopes {
                let slopes: [T; $count] = $slopes;
                let from = $sink.next_slope;
                $sink.slopes[from..from + $count].copy_from_slice(&slopes);
            }
        }
        $sink.next_rate += 1;
        $sink.next_slope += $count;
    };
}

impl Kinetics {
    /// From the constants.
    pub fn new(c: &Constants) -> Self {
        let ph_aa = Hill::new(c.ph_ul_aa, c.ph_ll_aa);
        let ph_h2 = Hill::new(c.ph_ul_h2, c.ph_ll_h2);
        Kinetics {
            ph_aa,
            half_aa: ph_aa.half(None),
            ph_ac: Hill::new(c.ph_ul_ac, c.ph_ll_ac),
            ph_h2,
            half_h2: ph_h2.half(None),
            lactic_end: 10f64.powf(2.0 * c.ph_half_la),
            c: c.clone(),
        }
    }

    /// Fills `out` with the rates (and slopes) of the processes that run.
    #[inline(always)]
    pub fn fill<T: Num>(&self, at: &At<T>, out: &mut Rates<T>, with_slopes: bool) {
        let (k, y) = (at.k, at.y);
        let mut sink = Sink {
            active: at.active,
            rates: &mut out.rate,
            slopes: &mut out.slope,
            next_rate: 0,
            next_slope: 0,
            with_slopes,
        };
        hydrolysis(at, &mut out.feed_factor, &mut sink);
        self.uptake(at, &mut sink);
        for (i, &rate) in k.decay.iter().enumerate() {
            put!(sink, rate * y[X_SU + i], 1, [rate]);
        }
        gas_side(at, &mut sink);
        self.chemistry(k, y, &mut sink);
        debug_assert_eq!(sink.next_rate, sink.rates.len());
        debug_assert_eq!(sink.next_slope, sink.slopes.len());
    }

    #[inline(always)]
    fn uptake<T: Num>(&self, at: &At<T>, sink: &mut Sink<T>) {
        let (c, k, y, h, inv) = (&self.c, at.k, at.y, at.h, at.inverses);
        let free_h2 = positive(y[S_H2]);
        let nh3 = base(y[S_IN], k.acid.nitrogen, inv.nitrogen);
        let h2s = acid(y[S_IS], k.acid.h2s, h, inv.h2s);
        let acetic = acid(y[S_AC], k.acid.ac, h, inv.ac);
        let (free_nh3, free_h2s) = (positive(nh3.value), positive(h2s.value));
        let free_acetic = positive(acetic.value);
        let (i_fa, i_c4, i_pro) = (
            T::constant(c.k_i_h2_fa),
            T::constant(c.k_i_h2_c4),
            T::constant(c.k_i_h2_pro),
        );
        let (half_aa, half_h2) = (T::constant(self.half_aa), T::constant(self.half_h2));
        // Every division of the family, four at a time.
        let [of_aa, of_ac, of_h2, of_in] = reciprocals([
            self.ph_aa.below(half_aa, h),
            self.ph_ac.below(k.acetoclasts_half_h, h),
            self.ph_h2.below(half_h2, h),
            saturation(y[S_IN], c.k_s_in),
        ]);
        let [of_su, of_s_aa, of_fa, of_pro] = reciprocals([
            saturation(y[S_SU], c.k_s_su),
            saturation(y[S_AA], c.k_s_aa),
            saturation(y[S_FA], c.k_s_fa),
            saturation(y[S_PRO], c.k_s_pro),
        ]);
        let [of_va, of_bu, of_c4, of_s_ac] = reciprocals([
            saturation(y[S_VA], c.k_s_c4),
            saturation(y[S_BU], c.k_s_c4),
            together(y[S_VA], y[S_BU]),
            saturation(y[S_AC], c.k_s_ac),
        ]);
        let [of_s_h2, of_i_fa, of_i_c4, of_i_pro] = reciprocals([
            saturation(y[S_H2], c.k_s_h2),
            i_fa + free_h2.value,
            i_c4 + free_h2.value,
            i_pro + free_h2.value,
        ]);
        let zero = T::zero();
        let [of_nh3, of_others, of_ferment, of_acetic] = reciprocals([
            slowing(free_nh3.value, k.nh3[0], k.nh3[1]),
            slowing(free_nh3.value, zero, k.nh3_others),
            slowing(free_acetic.value, k.acetic[0], zero),
            slowing(free_acetic.value, k.acetic[1], zero),
        ]);
        let [of_hac, of_h2s, of_srb, of_so4] = reciprocals([
            saturation(y[S_H2], c.k_s_h2_hac),
            k.k_i_h2s + free_h2s.value,
            saturation(y[S_H2], c.k_s_h2_srb),
            saturation(y[S_SO4], c.k_s_so4),
        ]);
        let lactic_end = T::constant(self.lactic_end);
        let [of_mixed, of_lactic, of_la, _] = reciprocals([
            slowing(h, zero, k.lactic),
            slowing(h, zero, lactic_end),
            saturation(y[S_LA], c.k_s_la),
            T::one(),
        ]);
        let (aa, ac, h2) = (
            self.ph_aa.of(half_aa, h, of_aa),
            self.ph_ac.of(k.acetoclasts_half_h, h, of_ac),
            self.ph_h2.of(half_h2, h, of_h2),
        );
        // Fermenting sugar goes to the mixed acids, the more acid the more to lactate.
        let protons = Factor {
            value: h,
            slope: T::one(),
        };
        let mixed = slowed(protons, zero, k.lactic, of_mixed);
        let bear = slowed(protons, zero, lactic_end, of_lactic);
        let lactic = Factor {
            value: (T::one() - mixed.value) * bear.value,
            slope: (T::one() - mixed.value) * bear.slope - mixed.slope * bear.value,
        };
        let aa_mixed = Factor {
            value: aa.value * mixed.value,
            slope: aa.slope * mixed.value + aa.value * mixed.slope,
        };
        let nitrogen = monod(y[S_IN], c.k_s_in, of_in);
        let by_nh3 = through(slowed(free_nh3, k.nh3[0], k.nh3[1], of_nh3), &nh3);
        let others_nh3 = through(slowed(free_nh3, zero, k.nh3_others, of_others), &nh3);
        let fermenters = through(slowed(free_acetic, k.acetic[0], zero, of_ferment), &acetic);
        let by_acetic = through(slowed(free_acetic, k.acetic[1], zero, of_acetic), &acetic);
        let by_h2s = through(inhibited(free_h2s, k.k_i_h2s, of_h2s), &h2s);

        for (i, (s, x, half, of_s, aa)) in [
            (S_SU, X_SU, c.k_s_su, of_su, aa_mixed),
            (S_AA, X_AA, c.k_s_aa, of_s_aa, aa),
        ]
        .into_iter()
        .enumerate()
        {
            let m = monod(y[s], half, of_s);
            let common = k.k_m[i] * nitrogen.value * aa.value * fermenters.value;
            put!(sink, common * m.value * y[x], 5, {
                let kx = k.k_m[i] * m.value * y[x];
                [
                    common * m.slope * y[x],
                    common * m.value,
                    kx * aa.value * fermenters.value * nitrogen.slope,
                    kx * nitrogen.value * aa.value * fermenters.per_total,
                    kx * nitrogen.value
                        * (aa.slope * fermenters.value + aa.value * fermenters.per_h),
                ]
            });
        }

        let m = monod(y[S_FA], c.k_s_fa, of_fa);
        let by_h2 = inhibited(free_h2, i_fa, of_i_fa);
        let common = k.k_m[2] * nitrogen.value * aa.value * by_h2.value;
        put!(sink, common * m.value * y[X_FA], 5, {
            let kx = k.k_m[2] * m.value * y[X_FA];
            [
                common * m.slope * y[X_FA],
                common * m.value,
                kx * aa.value * by_h2.value * nitrogen.slope,
                kx * aa.value * nitrogen.value * by_h2.slope,
                kx * nitrogen.value * by_h2.value * aa.slope,
            ]
        });

        let by_h2 = inhibited(free_h2, i_c4, of_i_c4);
        for (a, b, of_a) in [(S_VA, S_BU, of_va), (S_BU, S_VA, of_bu)] {
            let m = monod(y[a], c.k_s_c4, of_a);
            let (part, part_a, part_b) = share(y[a], y[b], of_c4);
            let inhibition = nitrogen.value * aa.value * by_h2.value * by_h2s.value;
            let common = k.k_m[3] * inhibition;
            put!(sink, common * m.value * part * y[X_C4], 7, {
                let kx = k.k_m[3] * m.value * part * y[X_C4];
                let soft = aa.value * by_h2.value;
                [
                    common * y[X_C4] * (m.slope * part + m.value * part_a),
                    common * y[X_C4] * m.value * part_b,
                    common * m.value * part,
                    kx * soft * by_h2s.value * nitrogen.slope,
                    kx * nitrogen.value * aa.value * by_h2s.value * by_h2.slope,
                    kx * nitrogen.value * soft * by_h2s.per_total,
                    kx * nitrogen.value
                        * by_h2.value
                        * (aa.slope * by_h2s.value + aa.value * by_h2s.per_h),
                ]
            });
        }

        let m = monod(y[S_PRO], c.k_s_pro, of_pro);
        let by_h2 = inhibited(free_h2, i_pro, of_i_pro);
        let of_nitrogen = both(nitrogen, &others_nh3);
        let common = k.k_m[4] * of_nitrogen.value * aa.value * by_h2.value * by_h2s.value;
        put!(sink, common * m.value * y[X_PRO], 6, {
            let kx = k.k_m[4] * m.value * y[X_PRO];
            let soft = aa.value * by_h2.value;
            [
                common * m.slope * y[X_PRO],
                common * m.value,
                kx * soft * by_h2s.value * of_nitrogen.per_total,
                kx * of_nitrogen.value * aa.value * by_h2s.value * by_h2.slope,
                kx * of_nitrogen.value * soft * by_h2s.per_total,
                kx * by_h2.value
                    * (of_nitrogen.value * (aa.slope * by_h2s.value + aa.value * by_h2s.per_h)
                        + of_nitrogen.per_h * aa.value * by_h2s.value),
            ]
        });

        // Acetate feeds and, undissociated, slows: both slopes on one total.
        let m = monod(y[S_AC], c.k_s_ac, of_s_ac);
        let of_nitrogen = both(nitrogen, &by_nh3);
        for g in 0..GUILDS {
            let x = y[X_AC + g];
            let soft = ac.value * by_h2s.value;
            let common = k.k_m_ac[g] * of_nitrogen.value * soft;
            put!(sink, common * m.value * by_acetic.value * x, 5, {
                let kx = k.k_m_ac[g] * m.value * by_acetic.value * x;
                [
                    common * (m.slope * by_acetic.value + m.value * by_acetic.per_total) * x,
                    common * m.value * by_acetic.value,
                    kx * soft * of_nitrogen.per_total,
                    kx * of_nitrogen.value * ac.value * by_h2s.per_total,
                    kx * (soft * of_nitrogen.per_h
                        + of_nitrogen.value * (ac.slope * by_h2s.value + ac.value * by_h2s.per_h))
                        + common * m.value * by_acetic.per_h * x,
                ]
            });
        }

        let m = monod(y[S_H2], c.k_s_h2, of_s_h2);
        let of_nitrogen = both(nitrogen, &others_nh3);
        for g in 0..GUILDS {
            let x = y[X_H2 + g];
            let soft = h2.value * by_h2s.value * by_acetic.value;
            let common = k.k_m_h2[g] * of_nitrogen.value * soft;
            put!(sink, common * m.value * x, 6, {
                let kx = k.k_m_h2[g] * m.value * x;
                let calm = of_nitrogen.value * by_acetic.value;
                [
                    common * m.slope * x,
                    common * m.value,
                    kx * soft * of_nitrogen.per_total,
                    kx * calm * h2.value * by_h2s.per_total,
                    kx * of_nitrogen.value * h2.value * by_h2s.value * by_acetic.per_total,
                    kx * (soft * of_nitrogen.per_h
                        + calm * (h2.slope * by_h2s.value + h2.value * by_h2s.per_h)
                        + of_nitrogen.value * h2.value * by_h2s.value * by_acetic.per_h),
                ]
            });
        }

        let m = monod(y[S_H2], c.k_s_h2_srb, of_srb);
        let sulfate = monod(y[S_SO4], c.k_s_so4, of_so4);
        let common = k.k_m_srb * nitrogen.value * h2.value * sulfate.value;
        let x = y[X_SRB];
        put!(sink, common * m.value * x, 5, {
            let kx = k.k_m_srb * m.value * x;
            [
                common * m.slope * x,
                common * m.value,
                kx * nitrogen.value * h2.value * sulfate.slope,
                kx * sulfate.value * h2.value * nitrogen.slope,
                kx * sulfate.value * nitrogen.value * h2.slope,
            ]
        });

        let m = monod(y[S_H2], c.k_s_h2_hac, of_hac);
        let common = k.k_m_hac * nitrogen.value * aa.value;
        put!(sink, common * m.value * y[X_SU], 4, {
            let kx = k.k_m_hac * y[X_SU];
            [
                common * m.slope * y[X_SU],
                common * m.value,
                kx * m.value * aa.value * nitrogen.slope,
                kx * m.value * nitrogen.value * aa.slope,
            ]
        });

        let m = monod(y[S_SU], c.k_s_su, of_su);
        let common = k.k_m[0] * nitrogen.value * lactic.value * fermenters.value;
        put!(sink, common * m.value * y[X_SU], 5, {
            let kx = k.k_m[0] * m.value * y[X_SU];
            [
                common * m.slope * y[X_SU],
                common * m.value,
                kx * lactic.value * fermenters.value * nitrogen.slope,
                kx * nitrogen.value * lactic.value * fermenters.per_total,
                kx * nitrogen.value
                    * (lactic.slope * fermenters.value + lactic.value * fermenters.per_h),
            ]
        });

        let m = monod(y[S_LA], c.k_s_la, of_la);
        let common = k.k_m_la * nitrogen.value * aa_mixed.value;
        put!(sink, common * m.value * y[X_SU], 4, {
            let kx = k.k_m_la * y[X_SU];
            [
                common * m.slope * y[X_SU],
                common * m.value,
                kx * m.value * aa_mixed.value * nitrogen.slope,
                kx * m.value * nitrogen.value * aa_mixed.slope,
            ]
        });
    }

    #[inline(always)]
    fn chemistry<T: Num>(&self, k: &Coefficients<T>, y: &[T], sink: &mut Sink<T>) {
        let c = &self.c;
        // Products of two small amounts: rounding may push both below zero, where
        // a product would run away. Below zero these processes rest.
        let fe = T::constant(c.k_fe);
        let (iron, sulfide) = (positive(y[S_FE]), positive(y[S_IS]));
        put!(sink, fe * iron.value * sulfide.value, 2, {
            [
                fe * iron.slope * sulfide.value,
                fe * iron.value * sulfide.slope,
            ]
        });
        let oxygen = positive(y[G_O2]);
        let o2 = k.gas_per_liquid.scale(c.k_o2);
        put!(
            sink,
            o2 * oxygen.value * rest_below_zero(y[S_AC], c.k_s_ac_o2).value,
            2,
            {
                let m = rest_below_zero(y[S_AC], c.k_s_ac_o2);
                [o2 * oxygen.slope * m.value, o2 * oxygen.value * m.slope]
            }
        );
        let sox = k.gas_per_liquid.scale(c.k_sox);
        put!(
            sink,
            sox * oxygen.value * rest_below_zero(y[G_H2S], c.k_s_sox).value,
            2,
            {
                let m = rest_below_zero(y[G_H2S], c.k_s_sox);
                [sox * oxygen.slope * m.value, sox * oxygen.value * m.slope]
            }
        );
    }
}

/// Hydrolysis of every pool: first order, slowed by protons; that of the feed also
/// by acids and by want of hydrolysers (Contois on all feed pools together, so that one waste
/// written as two is the same).
#[inline(always)]
fn hydrolysis<T: Num>(at: &At<T>, factor_slopes: &mut [T], sink: &mut Sink<T>) {
    let (k, y) = (at.k, at.y);
    let zero = T::zero();
    let [va, bu, pro, ac] = ACIDS;
    let acids = [
        positive(y[va]),
        positive(y[bu]),
        positive(y[pro]),
        positive(y[ac]),
    ];
    let all_acids = acids[0].value + acids[1].value + acids[2].value + acids[3].value;
    let (plain, feed) = k.pool.split_at(PLAIN_POOLS);
    let pools = &y[POOLS + PLAIN_POOLS..];
    let mut demand = zero;
    for (&x, &rate) in pools.iter().zip(feed) {
        demand += rate * positive(x).value;
    }
    let (su, aa) = (positive(y[X_SU]), positive(y[X_AA]));
    let hydrolysers = su.value + aa.value + T::constant(LEAST_HYDROLYSERS);
    let [inverse, by_acids, of_reach, _] = reciprocals([
        slowing(at.h, k.hydrolysis_protons, zero),
        slowing(all_acids, zero, k.acids_on_hydrolysis),
        hydrolysers + k.hydrolyser_time * demand,
        T::one(),
    ]);
    let by_h = Factor {
        value: inverse,
        slope: -(inverse * inverse * k.hydrolysis_protons),
    };
    for (i, &rate) in plain.iter().enumerate() {
        let x = y[POOLS + i];
        put!(
            sink,
            rate * by_h.value * x,
            2,
            [rate * by_h.value, rate * by_h.slope * x]
        );
    }
    let reach = hydrolysers * of_reach;
    let slowed = by_h.value * by_acids;
    let factor = slowed * reach;
    for (&x, &rate) in pools.iter().zip(feed) {
        put!(sink, rate * factor * x, 2, [rate * factor, rate * x]);
    }
    if !sink.with_slopes || feed.is_empty() {
        return;
    }
    let on_demand = -(factor * of_reach * k.hydrolyser_time);
    let on_group = slowed * (T::one() - reach) * of_reach;
    let on_acid = -(factor * by_acids * k.acids_on_hydrolysis * all_acids).scale(2.0);
    let (of_pools, others) = factor_slopes.split_at_mut(pools.len());
    for ((slope, &x), &rate) in of_pools.iter_mut().zip(pools).zip(feed) {
        *slope = on_demand * rate * positive(x).slope;
    }
    let slopes = [
        on_group * su.slope,
        on_group * aa.slope,
        by_acids * reach * by_h.slope,
        on_acid * acids[0].slope,
        on_acid * acids[1].slope,
        on_acid * acids[2].slope,
        on_acid * acids[3].slope,
    ];
    others.copy_from_slice(&slopes);
}

/// The volatile acids.
const ACIDS: [usize; 4] = [S_VA, S_BU, S_PRO, S_AC];
/// Hydrolysers that are always there, kg COD/m3: keeps the Contois form from 0/0.
const LEAST_HYDROLYSERS: f64 = 1e-4;

/// Transfer to the headspace and outflow.
#[inline(always)]
fn gas_side<T: Num>(at: &At<T>, sink: &mut Sink<T>) {
    let (k, y) = (at.k, at.y);
    let co2 = acid(y[S_IC], k.acid.co2, at.h, at.inverses.co2);
    let h2s = acid(y[S_IS], k.acid.h2s, at.h, at.inverses.h2s);
    let mut held = k.solubility;
    for (held, &pressure) in held.iter_mut().zip(&k.pressure) {
        *held = k.k_l_a * *held * pressure;
    }
    // Headspace order h2, ch4, co2, h2s is also that of `solubility`.
    put!(
        sink,
        k.k_l_a * y[S_H2] - held[0] * y[G_H2],
        2,
        [k.k_l_a, -held[0]]
    );
    put!(
        sink,
        k.k_l_a * y[S_CH4] - held[1] * y[G_CH4],
        2,
        [k.k_l_a, -held[1]]
    );
    put!(
        sink,
        k.k_l_a * co2.value - held[2] * y[G_CO2],
        3,
        [k.k_l_a * co2.per_total, -held[2], k.k_l_a * co2.per_h]
    );
    put!(
        sink,
        k.k_l_a * h2s.value - held[3] * y[G_H2S],
        3,
        [k.k_l_a * h2s.per_total, -held[3], k.k_l_a * h2s.per_h]
    );
    let over = total_pressure(k, y) - k.p_out;
    for g in 0..GASES {
        // Below the outlet's pressure gas comes back as it left: a trace that rounding
        // pushed below zero would come back too, and grow without end. It rests.
        let gas = positive(y[G_H2 + g]);
        put!(sink, k.outlet * over * gas.value, 6, {
            let mut slopes = k.pressure;
            for slope in &mut slopes {
                *slope = k.outlet * gas.value * *slope;
            }
            slopes[g] += k.outlet * over * gas.slope;
            slopes
        });
    }
}

/// Pressure of the headspace, bar, water vapour included.
#[inline(always)]
pub fn total_pressure<T: Num>(k: &Coefficients<T>, y: &[T]) -> T {
    let mut p = k.p_h2o;
    for g in 0..GASES {
        p += k.pressure[g] * y[G_H2 + g];
    }
    p
}
