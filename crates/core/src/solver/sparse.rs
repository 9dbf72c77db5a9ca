//! Sparse LU whose elimination is planned once per structure.
//!
//! Pivots stay on the diagonal, in an order that keeps the fill small
//! (Markowitz count). That is safe for `I/(h g) - J` of a kinetic system at
//! the steps the error control allows, and is the usual choice for chemical
//! kinetics (Sandu and others, Atmos. Environ. 31, 1997; from memory).

use super::Num;

/// A square sparsity pattern: for each row the sorted columns held.
#[derive(Debug, Clone)]
pub struct Pattern {
    rows: Vec<Vec<usize>>,
    start: Vec<usize>,
}

impl Pattern {
    /// Pattern of size `n` with the given entries; the diagonal is always held.
    pub fn new(n: usize, entries: impl IntoIterator<Item = (usize, usize)>) -> Self {
        let mut rows: Vec<Vec<usize>> = (0..n).map(|i| vec![i]).collect();
        for (i, j) in entries {
            rows[i].push(j);
        }
        let mut start = vec![0];
        for row in &mut rows {
            row.sort_unstable();
            row.dedup();
            start.push(start[start.len() - 1] + row.len());
        }
        Pattern { rows, start }
    }

    /// Number of rows.
    pub fn size(&self) -> usize {
        self.rows.len()
    }

    /// Number of stored entries.
    pub fn entries(&self) -> usize {
        self.start[self.rows.len()]
    }

    /// Place of the first entry of row `i` (`size()` gives the end).
    pub fn row_start(&self, i: usize) -> usize {
        self.start[i]
    }

    /// Place of entry `(i, j)` in the value array, if held.
    pub fn place(&self, i: usize, j: usize) -> Option<usize> {
        self.rows[i]
            .binary_search(&j)
            .ok()
            .map(|k| self.start[i] + k)
    }
}

/// The planned elimination of one pattern.
#[derive(Debug, Clone)]
pub struct Lu {
    n: usize,
    /// Filled pattern: number of values.
    values: usize,
    /// Input value `k` goes to `scatter[k]` of the filled array.
    scatter: Vec<u32>,
    /// Place of each diagonal entry in the filled array, in original numbering.
    diagonal: Vec<u32>,
    /// Elimination order.
    order: Vec<u32>,
    /// For each pivot: the multipliers below it, each with its row updates.
    steps: Vec<Step>,
    multipliers: Vec<Multiplier>,
    updates: Vec<(u32, u32)>,
    /// Upper part of each pivot row: (value place, column).
    upper: Vec<(u32, u32)>,
}

#[derive(Debug, Clone, Copy)]
struct Step {
    pivot_place: u32,
    multipliers: (u32, u32),
    upper: (u32, u32),
}

#[derive(Debug, Clone, Copy)]
struct Multiplier {
    place: u32,
    row: u32,
    /// Updates `(target, source in the pivot row)`.
    updates: (u32, u32),
}

impl Lu {
    /// Plans the elimination of `pattern`.
    pub fn plan(pattern: &Pattern) -> Self {
        let n = pattern.size();
        let mut held: Vec<Vec<bool>> = vec![vec![false; n]; n];
        for (i, row) in pattern.rows.iter().enumerate() {
            for &j in row {
                held[i][j] = true;
            }
        }
        let order = markowitz(&mut held);

        // `held` now carries the fill. Number the entries row by row.
        let mut place = vec![vec![u32::MAX; n]; n];
        let mut values = 0u32;
        for i in 0..n {
            for j in 0..n {
                if held[i][j] {
                    place[i][j] = values;
                    values += 1;
                }
            }
        }
        let mut scatter = Vec::with_capacity(pattern.entries());
        for (i, row) in pattern.rows.iter().enumerate() {
            scatter.extend(row.iter().map(|&j| place[i][j]));
        }
        let mut rank = vec![0usize; n];
        for (r, &p) in order.iter().enumerate() {
            rank[p] = r;
        }
        let (mut steps, mut multipliers, mut updates, mut upper) =
            (Vec::new(), Vec::new(), Vec::new(), Vec::new());
        for &p in &order {
            let later = |j: usize| rank[j] > rank[p];
            let upper_from = upper.len() as u32;
            for j in (0..n).filter(|&j| held[p][j] && later(j)) {
                upper.push((place[p][j], j as u32));
            }
            let from = multipliers.len() as u32;
            for i in (0..n).filter(|&i| held[i][p] && later(i)) {
                let updates_from = updates.len() as u32;
                for j in (0..n).filter(|&j| held[p][j] && later(j)) {
                    updates.push((place[i][j], place[p][j]));
                }
                multipliers.push(Multiplier {
                    place: place[i][p],
                    row: i as u32,
                    updates: (updates_from, updates.len() as u32),
                });
            }
            steps.push(Step {
                pivot_place: place[p][p],
                multipliers: (from, multipliers.len() as u32),
                upper: (upper_from, upper.len() as u32),
            });
        }
        Lu {
            n,
            values: values as usize,
            scatter,
            diagonal: (0..n).map(|i| place[i][i]).collect(),
            order: order.iter().map(|&p| p as u32).collect(),
            steps,
            multipliers,
            updates,
            upper,
        }
    }

    /// Number of values of the filled matrix.
    pub fn filled(&self) -> usize {
        self.values
    }

    /// Multiplications of one factorisation.
    pub fn multiplications(&self) -> usize {
        self.updates.len()
    }

    /// Puts `diag I - J` into `lu` and factors it in place. `j` is in the
    /// pattern's order; rows in `algebraic` get no diagonal term.
    #[inline(always)]
    pub fn factor<T: Num>(&self, diag: f64, j: &[T], algebraic: &[usize], lu: &mut [T]) {
        lu.iter_mut().for_each(|v| *v = T::zero());
        for (&k, &v) in self.scatter.iter().zip(j) {
            lu[k as usize] = -v;
        }
        for (i, &d) in self.diagonal.iter().enumerate() {
            if !algebraic.contains(&i) {
                lu[d as usize] += T::constant(diag);
            }
        }
        for s in &self.steps {
            let inverse = T::one() / lu[s.pivot_place as usize];
            lu[s.pivot_place as usize] = inverse;
            for m in &self.multipliers[s.multipliers.0 as usize..s.multipliers.1 as usize] {
                let f = lu[m.place as usize] * inverse;
                lu[m.place as usize] = f;
                for &(target, source) in &self.updates[m.updates.0 as usize..m.updates.1 as usize] {
                    let u = lu[source as usize];
                    lu[target as usize] -= f * u;
                }
            }
        }
    }

    /// Solves with a factored `lu`; `b` is overwritten by the solution.
    #[inline(always)]
    pub fn solve<T: Num>(&self, lu: &[T], b: &mut [T]) {
        debug_assert_eq!(b.len(), self.n);
        for (s, &p) in self.steps.iter().zip(&self.order) {
            let x = b[p as usize];
            for m in &self.multipliers[s.multipliers.0 as usize..s.multipliers.1 as usize] {
                b[m.row as usize] -= lu[m.place as usize] * x;
            }
        }
        for (s, &p) in self.steps.iter().zip(&self.order).rev() {
            let mut x = b[p as usize];
            for &(place, column) in &self.upper[s.upper.0 as usize..s.upper.1 as usize] {
                x -= lu[place as usize] * b[column as usize];
            }
            b[p as usize] = x * lu[s.pivot_place as usize];
        }
    }
}

/// Order of diagonal pivots by least fill; adds the fill to `held`.
fn markowitz(held: &mut [Vec<bool>]) -> Vec<usize> {
    let n = held.len();
    let mut left: Vec<usize> = (0..n).collect();
    let mut order = Vec::with_capacity(n);
    while !left.is_empty() {
        let cost = |p: usize| {
            let row = left.iter().filter(|&&j| j != p && held[p][j]).count();
            let column = left.iter().filter(|&&i| i != p && held[i][p]).count();
            (row * column, p)
        };
        let p = left
            .iter()
            .copied()
            .min_by_key(|&p| cost(p))
            .unwrap_or(left[0]);
        left.retain(|&q| q != p);
        for &i in &left {
            if held[i][p] {
                for &j in &left {
                    if held[p][j] {
                        held[i][j] = true;
                    }
                }
            }
        }
        order.push(p);
    }
    order
}
