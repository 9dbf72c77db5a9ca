//! Which states can move, and how rates and slopes are summed into them.
//!
//! A process whose substance or group is wholly absent, and made by nothing that
//! runs, has a rate of exactly zero. A [`Layout`] leaves such processes out, and
//! the states that no process left touches: what remains is the same system.

use std::ops::Range;
use std::sync::Arc;

use super::acid_base::CHARGE_STATES;
use super::kinetics::{FEED_FACTOR, H, NONE, Rates};
use super::state::*;
use super::stoichiometry::Row;
use crate::solver::{Lu, Num, Pattern, Stepper};

/// The equations of the states that can move, planned once.
#[derive(Debug, Clone)]
pub struct Layout {
    pub(super) lu: Arc<Lu>,
    /// Which processes run.
    pub(super) active: Vec<bool>,
    /// Process and factor of each term of each row's rate, row by row.
    rate_terms: Vec<(u16, f64)>,
    rate_start: Vec<u32>,
    /// Entries of the Jacobian by their number of terms.
    entries: Vec<Entries>,
    /// Entries that are only filled by the elimination, or are zero.
    empty: Vec<u32>,
    /// The charge balance on each of its states and on H; `None` where the state rests.
    charge: [Option<u32>; CHARGE_STATES.len() + 1],
    /// Entries of [`FEED_FACTOR`] on its variables, with the slope; its own comes after.
    feed_factor: Vec<(u32, u16)>,
    feed_factor_itself: Option<u32>,
    feed_carbon: Option<FeedCarbon>,
    /// Rows and entries of the headspace, per m3 of which its states stand.
    headspace: Vec<(usize, Range<usize>)>,
    /// Rows and entries of the gas that has left.
    left: Vec<(usize, Range<usize>)>,
    /// Rows and diagonal entries of what moves with the liquid, with the state.
    carried: Vec<(usize, usize, usize)>,
    held: usize,
}

/// Entries that are sums of `terms` slopes.
#[derive(Debug, Clone)]
struct Entries {
    terms: usize,
    places: Vec<u32>,
    slopes: Vec<u16>,
    factors: Vec<f64>,
}

/// Where the carbon goes that a world's feed pools hold beyond their stoichiometry.
#[derive(Debug, Clone)]
struct FeedCarbon {
    /// Row of S_IC.
    row: usize,
    /// Feed pools that run, each with the entry of S_IC on it.
    pools: Vec<(usize, u32)>,
    /// Entry of S_IC on [`FEED_FACTOR`].
    factor: u32,
}

/// What a model is made of, for a layout.
pub(super) struct Parts<'a> {
    pub rows: &'a [Row],
    pub variables: &'a [Vec<usize>],
    /// Variables of [`FEED_FACTOR`].
    pub feed_factor: &'a [usize],
    pub needs: &'a [Vec<Vec<usize>>],
    pub states: usize,
}

impl Layout {
    /// Everything runs and moves.
    pub(super) fn full(parts: &Parts) -> Self {
        let ever = parts.needs.iter().map(|sets| !sets.is_empty()).collect();
        Self::new(parts, ever, &vec![true; parts.states])
    }

    /// What can move from where the states in `present` are not zero.
    pub(super) fn from_present(parts: &Parts, present: &[bool]) -> Self {
        let mut present = present.to_vec();
        let mut active = vec![false; parts.rows.len()];
        let mut moves = vec![false; parts.states];
        loop {
            let mut grown = false;
            for (p, needs) in parts.needs.iter().enumerate() {
                if active[p] || !needs.iter().any(|all| all.iter().all(|&i| present[i])) {
                    continue;
                }
                (active[p], grown) = (true, true);
                for &(i, _) in &parts.rows[p] {
                    (present[i], moves[i]) = (true, true);
                }
            }
            if !grown {
                return Self::new(parts, active, &moves);
            }
        }
    }

    fn new(parts: &Parts, active: Vec<bool>, moves: &[bool]) -> Self {
        // Unknowns of the matrix: the states that move, then H, then the factor where a
        // pool of feed breaks down.
        let states: Vec<usize> = (0..parts.states).filter(|&i| moves[i]).collect();
        let h = states.len();
        let mut running = parts
            .variables
            .iter()
            .zip(&active)
            .filter(|(_, runs)| **runs);
        let factor = running
            .any(|(vars, _)| vars.contains(&FEED_FACTOR))
            .then_some(h + 1);
        let mut number = vec![None; parts.states];
        for (k, &i) in states.iter().enumerate() {
            number[i] = Some(k);
        }
        let column = |v: usize| match v {
            H => Some(h),
            FEED_FACTOR => factor,
            NONE => None,
            state => number[state],
        };

        // Terms: row, column, slope, factor.
        let mut terms = Vec::new();
        let mut first_slope = 0;
        for (p, vars) in parts.variables.iter().enumerate() {
            if active[p] {
                for &(i, v) in &parts.rows[p] {
                    for (s, &var) in vars.iter().enumerate() {
                        if let (Some(a), Some(b)) = (number[i], column(var)) {
                            terms.push((a, b, (first_slope + s) as u16, v));
                        }
                    }
                }
            }
            first_slope += vars.len();
        }
        let charged = CHARGE_STATES.map(|j| number[j]);
        let factor_columns: Vec<(usize, u16)> = match factor {
            Some(_) => {
                let columns = parts.feed_factor.iter().zip(0u16..);
                columns
                    .filter_map(|(&v, s)| Some((column(v)?, s)))
                    .collect()
            }
            None => Vec::new(),
        };
        let pattern = Pattern::new(
            h + 1 + usize::from(factor.is_some()),
            terms
                .iter()
                .map(|&(a, b, ..)| (a, b))
                .chain(charged.iter().flatten().map(|&b| (h, b)))
                .chain(factor_columns.iter().map(|&(b, _)| (h + 1, b))),
        );
        let lu = match factor {
            Some(_) => Lu::plan_by_fill(&pattern),
            None => Lu::plan(&pattern),
        };
        let at = |a, b| lu.place(a, b).expect("the pattern holds what built it");
        let mut charge = [None; CHARGE_STATES.len() + 1];
        for (place, b) in charge.iter_mut().zip(charged.into_iter().chain([Some(h)])) {
            *place = b.map(|b| at(h, b) as u32);
        }
        let feed_factor: Vec<(u32, u16)> = factor_columns
            .iter()
            .map(|&(b, s)| (at(h + 1, b) as u32, s))
            .collect();
        let feed_factor_itself = factor.map(|f| at(f, f) as u32);
        let set: Vec<u32> = charge
            .iter()
            .copied()
            .chain([feed_factor_itself])
            .flatten()
            .chain(feed_factor.iter().map(|&(k, _)| k))
            .collect();
        let mut sums: Vec<Vec<(u16, f64)>> = vec![Vec::new(); lu.filled()];
        for &(a, b, slope, factor) in &terms {
            sums[at(a, b)].push((slope, factor));
        }
        let empty = (0..lu.filled() as u32)
            .filter(|&k| sums[k as usize].is_empty() && !set.contains(&k))
            .collect();

        // In the order of elimination, with the numbers of the whole model.
        let (mut rate_terms, mut rate_start) = (Vec::new(), vec![0]);
        let (mut headspace, mut left, mut carried) = (Vec::new(), Vec::new(), Vec::new());
        let mut carbon_row = None;
        for (row, &unknown) in lu.order().iter().enumerate() {
            if let Some(&i) = states.get(unknown) {
                for (p, of) in parts.rows.iter().enumerate().filter(|(p, _)| active[*p]) {
                    rate_terms.extend(
                        of.iter()
                            .filter(|(to, _)| *to == i)
                            .map(|&(_, v)| (p as u16, v)),
                    );
                }
                carbon_row = carbon_row.or((i == S_IC).then_some(row));
                match phase(i) {
                    Phase::Headspace => headspace.push((row, lu.row(row))),
                    Phase::Left => left.push((row, lu.row(row))),
                    _ => carried.push((row, at(unknown, unknown), i)),
                }
            }
            rate_start.push(rate_terms.len() as u32);
        }
        let feed_carbon = factor.zip(number[S_IC]).zip(carbon_row);
        let feed_carbon = feed_carbon.map(|((factor, carbon), row)| FeedCarbon {
            row,
            pools: (0..parts.states - POOLS - PLAIN_POOLS)
                .filter(|k| active[PLAIN_POOLS + k])
                .filter_map(|k| Some((k, at(carbon, number[POOLS + PLAIN_POOLS + k]?) as u32)))
                .collect(),
            factor: at(carbon, factor) as u32,
        });
        let original = |unknown: usize| match states.get(unknown) {
            Some(&state) => state,
            None => parts.states + (unknown - h),
        };
        Layout {
            held: pattern.entries(),
            entries: by_length(&sums),
            lu: Arc::new(lu.renamed(original)),
            active,
            rate_terms,
            rate_start,
            empty,
            charge,
            feed_factor,
            feed_factor_itself,
            feed_carbon,
            headspace,
            left,
            carried,
        }
    }

    /// Size of the matrix: entries, entries with fill, multiplications a factorisation.
    pub fn matrix_size(&self) -> (usize, usize, usize) {
        (self.held, self.lu.filled(), self.lu.multiplications())
    }

    /// `stepper`, with what it remembers, for what moves in this layout.
    pub(super) fn refit<T: Num>(&self, stepper: &Stepper<T>) -> Stepper<T> {
        stepper.with_plan(Arc::clone(&self.lu))
    }

    /// Sums the processes' rates into the states' rows; `feed_carbon` is what each feed
    /// pool frees beyond its stoichiometry.
    #[inline(always)]
    pub(super) fn rates<T: Num>(
        &self,
        rate: &[T],
        feed_carbon: &[T],
        per_headspace: T,
        liquid_m3: T,
        f: &mut [T],
    ) {
        for (f, ends) in f.iter_mut().zip(self.rate_start.windows(2)) {
            let mut sum = T::zero();
            for &(p, v) in &self.rate_terms[ends[0] as usize..ends[1] as usize] {
                sum += rate[p as usize].scale(v);
            }
            *f = sum;
        }
        if let Some(carbon) = &self.feed_carbon {
            for &(k, _) in &carbon.pools {
                f[carbon.row] += feed_carbon[k] * rate[PLAIN_POOLS + k];
            }
        }
        // From per m3 of liquid to the state's own unit.
        for (row, _) in &self.headspace {
            f[*row] *= per_headspace;
        }
        for (row, _) in &self.left {
            f[*row] *= liquid_m3;
        }
    }

    /// Sums the slopes into the Jacobian; `charge` are those of the charge balance,
    /// `feed_carbon` as in [`Layout::rates`].
    #[inline(always)]
    pub(super) fn jacobian<T: Num>(
        &self,
        rates: &Rates<T>,
        feed_carbon: &[T],
        charge: &[T; CHARGE_STATES.len() + 1],
        per_headspace: T,
        liquid_m3: T,
        j: &mut [T],
    ) {
        let slope = &rates.slope[..];
        for &k in &self.empty {
            j[k as usize] = T::zero();
        }
        for entries in &self.entries {
            match entries.terms {
                1 => entries.sum::<1, T>(slope, j),
                2 => entries.sum::<2, T>(slope, j),
                3 => entries.sum::<3, T>(slope, j),
                4 => entries.sum::<4, T>(slope, j),
                _ => entries.sum_long(slope, j),
            }
        }
        if let Some(carbon) = &self.feed_carbon {
            for &(k, entry) in &carbon.pools {
                // Each pool has two slopes, the plain ones too.
                let first = 2 * (PLAIN_POOLS + k);
                j[entry as usize] += feed_carbon[k] * slope[first];
                j[carbon.factor as usize] += feed_carbon[k] * slope[first + 1];
            }
        }
        for (_, entries) in &self.headspace {
            for v in &mut j[entries.clone()] {
                *v *= per_headspace;
            }
        }
        for (_, entries) in &self.left {
            for v in &mut j[entries.clone()] {
                *v *= liquid_m3;
            }
        }
        for (place, &v) in self.charge.iter().zip(charge) {
            if let Some(place) = place {
                j[*place as usize] = v;
            }
        }
        // What the factor is less its unknown: zero, as the charge balance is.
        for &(place, s) in &self.feed_factor {
            j[place as usize] = rates.feed_factor[s as usize];
        }
        if let Some(place) = self.feed_factor_itself {
            j[place as usize] = -T::one();
        }
    }

    /// What moves with the liquid: row, diagonal entry, state.
    pub(super) fn carried(&self) -> &[(usize, usize, usize)] {
        &self.carried
    }
}

impl Entries {
    #[inline(always)]
    fn sum<const N: usize, T: Num>(&self, slope: &[T], j: &mut [T]) {
        let (slopes, factors) = (
            self.slopes.as_chunks::<N>().0,
            self.factors.as_chunks::<N>().0,
        );
        for ((&place, slopes), factors) in self.places.iter().zip(slopes).zip(factors) {
            let mut sum = slope[slopes[0] as usize].scale(factors[0]);
            for k in 1..N {
                sum += slope[slopes[k] as usize].scale(factors[k]);
            }
            j[place as usize] = sum;
        }
    }

    #[inline(always)]
    fn sum_long<T: Num>(&self, slope: &[T], j: &mut [T]) {
        let (slopes, factors) = (
            self.slopes.chunks_exact(self.terms),
            self.factors.chunks_exact(self.terms),
        );
        for ((&place, slopes), factors) in self.places.iter().zip(slopes).zip(factors) {
            let mut sum = T::zero();
            for (&s, &v) in slopes.iter().zip(factors) {
                sum += slope[s as usize].scale(v);
            }
            j[place as usize] = sum;
        }
    }
}

/// The entries with any terms, those with equally many together.
fn by_length(sums: &[Vec<(u16, f64)>]) -> Vec<Entries> {
    let longest = sums.iter().map(Vec::len).max().unwrap_or(0);
    (1..=longest)
        .map(|terms| {
            let mine = || sums.iter().enumerate().filter(|(_, s)| s.len() == terms);
            Entries {
                terms,
                places: mine().map(|(k, _)| k as u32).collect(),
                slopes: mine().flat_map(|(_, s)| s.iter().map(|t| t.0)).collect(),
                factors: mine().flat_map(|(_, s)| s.iter().map(|t| t.1)).collect(),
            }
        })
        .filter(|e| !e.places.is_empty())
        .collect()
}
