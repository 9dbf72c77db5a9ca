//! Sparse LU whose elimination is planned once per structure.
//!
//! Pivots stay on the diagonal, in an order that keeps the fill small
//! (Markowitz count). That is safe for `I/(h g) - J` of a kinetic system at
//! the steps the error control allows, and is the usual choice for chemical
//! kinetics (Sandu and others, Atmos. Environ. 31, 1997; from memory).
//!
//! Everything lies in the order of elimination: the Jacobian is written straight
//! into its row-by-row array, factored there, and solved with vectors in the same
//! order.

use super::Num;

/// A square sparsity pattern: for each row the sorted columns held.
#[derive(Debug, Clone)]
pub struct Pattern {
    rows: Vec<Vec<usize>>,
}

impl Pattern {
    /// Pattern of size `n` with the given entries; the diagonal is always held.
    pub fn new(n: usize, entries: impl IntoIterator<Item = (usize, usize)>) -> Self {
        let mut rows: Vec<Vec<usize>> = (0..n).map(|i| vec![i]).collect();
        for (i, j) in entries {
            rows[i].push(j);
        }
        for row in &mut rows {
            row.sort_unstable();
            row.dedup();
        }
        Pattern { rows }
    }

    /// Number of rows.
    pub fn size(&self) -> usize {
        self.rows.len()
    }

    /// Number of entries held.
    pub fn entries(&self) -> usize {
        self.rows.iter().map(Vec::len).sum()
    }
}

/// The planned elimination of one pattern.
#[derive(Debug, Clone)]
pub struct Lu {
    /// Unknown of each place in the order of elimination.
    order: Vec<usize>,
    /// Start of each row's entries; one more for the end.
    rows: Vec<u32>,
    /// Column of each entry, as its place in the order.
    columns: Vec<u16>,
    pivots: Vec<Pivot>,
    /// Entries below the pivots, pivot by pivot.
    multipliers: Vec<u32>,
    /// What each multiplier changes: one entry for every one right of its pivot.
    targets: Vec<u32>,
}

/// One elimination step. Entries of its row: left of the diagonal, it, right of it.
#[derive(Debug, Clone, Copy)]
struct Pivot {
    diagonal: u32,
    row_end: u32,
    multipliers: (u32, u32),
    targets: u32,
}

impl Lu {
    /// Plans the elimination of `pattern` by the Markowitz count.
    pub fn plan(pattern: &Pattern) -> Self {
        Self::ordered(pattern, Cost::Count)
    }

    /// Plans it by the fill that each step brings: slower to plan, and better where an
    /// algebraic row ties much together, which the count alone leaves to the end.
    pub fn plan_by_fill(pattern: &Pattern) -> Self {
        Self::ordered(pattern, Cost::Fill)
    }

    fn ordered(pattern: &Pattern, cost: Cost) -> Self {
        let n = pattern.size();
        let mut held: Vec<Vec<bool>> = vec![vec![false; n]; n];
        for (i, row) in pattern.rows.iter().enumerate() {
            for &j in row {
                held[i][j] = true;
            }
        }
        let order = order(&mut held, cost);

        // `held` now carries the fill. Number the entries row by row, in the order.
        let held = |a: usize, b: usize| held[order[a]][order[b]];
        let mut place = vec![vec![u32::MAX; n]; n];
        let (mut rows, mut columns) = (vec![0u32], Vec::new());
        for a in 0..n {
            for b in 0..n {
                if held(a, b) {
                    place[a][b] = columns.len() as u32;
                    columns.push(b as u16);
                }
            }
            rows.push(columns.len() as u32);
        }
        let (mut pivots, mut multipliers, mut targets) = (Vec::new(), Vec::new(), Vec::new());
        for p in 0..n {
            let (from, first_target) = (multipliers.len() as u32, targets.len() as u32);
            for a in (p + 1..n).filter(|&a| held(a, p)) {
                multipliers.push(place[a][p]);
                targets.extend((p + 1..n).filter(|&b| held(p, b)).map(|b| place[a][b]));
            }
            pivots.push(Pivot {
                diagonal: place[p][p],
                row_end: rows[p + 1],
                multipliers: (from, multipliers.len() as u32),
                targets: first_target,
            });
        }
        Lu {
            order,
            rows,
            columns,
            pivots,
            multipliers,
            targets,
        }
    }

    /// The same plan with other names for the unknowns.
    #[must_use]
    pub fn renamed(mut self, name: impl Fn(usize) -> usize) -> Self {
        for unknown in &mut self.order {
            *unknown = name(*unknown);
        }
        self
    }

    /// The unknown at each place of vectors and rows.
    pub fn order(&self) -> &[usize] {
        &self.order
    }

    /// Number of values of the filled matrix.
    pub fn filled(&self) -> usize {
        self.columns.len()
    }

    /// Multiplications of one factorisation.
    pub fn multiplications(&self) -> usize {
        self.targets.len()
    }

    /// Places of the entries of the row at `place` of the order.
    pub fn row(&self, place: usize) -> std::ops::Range<usize> {
        self.rows[place] as usize..self.rows[place + 1] as usize
    }

    /// Place of the entry of unknowns `(i, j)` in the value array, if held.
    pub fn place(&self, i: usize, j: usize) -> Option<usize> {
        let at = |unknown| self.order.iter().position(|&o| o == unknown);
        let (row, column) = (self.row(at(i)?), at(j)?);
        let within = self.columns[row.clone()]
            .binary_search(&(column as u16))
            .ok()?;
        Some(row.start + within)
    }

    /// Factors `diag I - J` in place: `lu` comes with `J`, fill and all. Unknowns from
    /// `states` on are algebraic and get no diagonal term.
    ///
    /// It is `J - diag I` that is factored; the turned sign waits in the pivots.
    #[inline(always)]
    pub fn factor<T: Num>(&self, diag: f64, states: usize, lu: &mut [T]) {
        let diag = T::constant(diag);
        for (&unknown, pivot) in self.order.iter().zip(&self.pivots) {
            if unknown < states {
                lu[pivot.diagonal as usize] -= diag;
            }
        }
        for pivot in &self.pivots {
            let end = pivot.row_end as usize;
            let (head, tail) = lu.split_at_mut(end);
            let (diagonal, right) = match head[pivot.diagonal as usize..].split_first_mut() {
                Some(parts) => parts,
                None => continue,
            };
            let inverse = T::one() / *diagonal;
            *diagonal = -inverse;
            let multipliers =
                &self.multipliers[pivot.multipliers.0 as usize..pivot.multipliers.1 as usize];
            let mut targets = &self.targets[pivot.targets as usize..];
            for &m in multipliers {
                let m = m as usize - end;
                let f = tail[m] * inverse;
                tail[m] = f;
                let (mine, rest) = targets.split_at(right.len());
                targets = rest;
                for (&target, &u) in mine.iter().zip(&*right) {
                    tail[target as usize - end] -= f * u;
                }
            }
        }
    }

    /// Solves with a factored `lu`; `b`, in the order, is overwritten by the solution.
    #[inline(always)]
    pub fn solve<T: Num>(&self, lu: &[T], b: &mut [T]) {
        debug_assert_eq!(b.len(), self.order.len());
        for (row, pivot) in self.pivots.iter().enumerate() {
            let left = self.rows[row] as usize..pivot.diagonal as usize;
            let mut x = b[row];
            for (&l, &column) in lu[left.clone()].iter().zip(&self.columns[left]) {
                x -= l * b[column as usize];
            }
            b[row] = x;
        }
        for (row, pivot) in self.pivots.iter().enumerate().rev() {
            let right = pivot.diagonal as usize + 1..pivot.row_end as usize;
            let mut x = b[row];
            for (&u, &column) in lu[right.clone()].iter().zip(&self.columns[right]) {
                x += u * b[column as usize];
            }
            b[row] = x * lu[pivot.diagonal as usize];
        }
    }
}

/// What the next pivot is chosen by.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Cost {
    /// Entries that its step changes (Markowitz).
    Count,
    /// Entries that its step fills in; among equals, those that it changes.
    Fill,
}

/// Order of diagonal pivots, the cheapest next; adds the fill to `held`.
fn order(held: &mut [Vec<bool>], cost: Cost) -> Vec<usize> {
    let n = held.len();
    let mut left: Vec<usize> = (0..n).collect();
    let mut order = Vec::with_capacity(n);
    while !left.is_empty() {
        let of = |p: usize| {
            let others = || left.iter().copied().filter(move |&q| q != p);
            let row: Vec<usize> = others().filter(|&j| held[p][j]).collect();
            let column: Vec<usize> = others().filter(|&i| held[i][p]).collect();
            let filled = match cost {
                Cost::Count => 0,
                Cost::Fill => column
                    .iter()
                    .map(|&i| row.iter().filter(|&&j| !held[i][j]).count())
                    .sum(),
            };
            (filled, row.len() * column.len(), p)
        };
        let p = left
            .iter()
            .copied()
            .min_by_key(|&p| of(p))
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
