//! Points of the unit cube: Latin hypercubes batch by batch, some axes tied.

use rand::seq::SliceRandom;
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

/// Worlds of a full batch. Each batch is a Latin hypercube of its own, so that
/// more worlds never change those already run.
pub const BATCH: usize = 60;

/// Batch `number` with `worlds` points of `axes` coordinates. `ties` are parent,
/// child and rank correlation; a child must not be a parent.
///
/// The order of a child's values is made over, the values are kept, so every axis
/// stays a Latin hypercube. It is the restricted pairing of Iman and Conover
/// 1982 (Commun. Stat. B11:311; from memory), pair by pair: the child follows
/// `rho` of the parent's normal scores and the rest of its own, its own first
/// freed of what chance tied to the parent.
pub(super) fn batch(
    axes: usize,
    ties: &[(usize, usize, f64)],
    together: &Correlated,
    worlds: usize,
    seed: u64,
    number: u64,
) -> Vec<Vec<f64>> {
    let mut generator = ChaCha8Rng::seed_from_u64(seed);
    generator.set_stream(number);
    let mut columns: Vec<Vec<f64>> = Vec::with_capacity(axes);
    for _ in 0..axes {
        let mut strata: Vec<usize> = (0..worlds).collect();
        strata.shuffle(&mut generator);
        columns.push(
            strata
                .iter()
                .map(|&s| (s as f64 + generator.random::<f64>()) / worlds as f64)
                .collect(),
        );
    }
    together.apply(&mut columns);
    for &(parent, child, rho) in ties {
        columns[child] = tied(&columns[parent], &columns[child], rho);
    }
    (0..worlds)
        .map(|w| columns.iter().map(|c| c[w]).collect())
        .collect()
}

/// A set of axes whose normal scores have the correlations given.
#[derive(Debug, Clone)]
pub(super) struct Correlated<'a> {
    /// The first of the axes, which follow each other.
    pub first: usize,
    /// Correlation of each with each.
    pub correlation: Vec<&'a [f64]>,
}

impl Correlated<'_> {
    /// Puts the values of the axes in an order that has the correlations, near
    /// enough; the values are kept (Iman and Conover, as above).
    fn apply(&self, columns: &mut [Vec<f64>]) {
        let own: Vec<Vec<f64>> = columns[self.first..]
            .iter()
            .take(self.correlation.len())
            .map(|c| scores(c))
            .collect();
        for (k, row) in lower_root(&self.correlation).iter().enumerate() {
            let target: Vec<f64> = (0..own[k].len())
                .map(|w| row.iter().zip(&own).map(|(l, s)| l * s[w]).sum())
                .collect();
            let column = &mut columns[self.first + k];
            let mut sorted = column.clone();
            sorted.sort_unstable_by(f64::total_cmp);
            *column = places(&target).into_iter().map(|r| sorted[r]).collect();
        }
    }
}

/// Lower triangle L with L L^T the matrix given (Cholesky); where rounding of the
/// table leaves no positive root, the rest of that row is its own.
fn lower_root(of: &[&[f64]]) -> Vec<Vec<f64>> {
    let mut root: Vec<Vec<f64>> = Vec::with_capacity(of.len());
    for (k, row) in of.iter().enumerate() {
        let mut line = Vec::with_capacity(k + 1);
        for j in 0..k {
            let known: f64 = (0..j).map(|m| line[m] * root[j][m]).sum();
            line.push((row[j] - known) / root[j][j]);
        }
        let left: f64 = line.iter().map(|v| v * v).sum();
        line.push((row[k] - left).max(1e-3).sqrt());
        root.push(line);
    }
    root
}

/// The values of `child` in an order that has about the rank correlation `rho`
/// with `parent`.
fn tied(parent: &[f64], child: &[f64], rho: f64) -> Vec<f64> {
    let (p, c) = (scores(parent), scores(child));
    let square: f64 = p.iter().map(|v| v * v).sum();
    let by_chance = p.iter().zip(&c).map(|(a, b)| a * b).sum::<f64>() / square.max(1e-12);
    let own: Vec<f64> = c.iter().zip(&p).map(|(b, a)| b - by_chance * a).collect();
    let left: f64 = own.iter().map(|v| v * v).sum();
    if left < 1e-9 * square || square < 1e-12 {
        return child.to_vec();
    }
    let rho = from_rank(rho);
    let stretch = ((1.0 - rho * rho) * square / left).sqrt();
    let target: Vec<f64> = p
        .iter()
        .zip(&own)
        .map(|(a, b)| rho * a + stretch * b)
        .collect();
    let mut sorted = child.to_vec();
    sorted.sort_unstable_by(f64::total_cmp);
    places(&target).into_iter().map(|r| sorted[r]).collect()
}

/// Correlation of two normals whose ranks correlate by `rho` (Pearson 1907; from memory).
fn from_rank(rho: f64) -> f64 {
    2.0 * (std::f64::consts::PI * rho / 6.0).sin()
}

/// Place of each value in the order, from 0; equal values keep their order.
fn places(values: &[f64]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..values.len()).collect();
    order.sort_by(|&a, &b| values[a].total_cmp(&values[b]));
    let mut out = vec![0; values.len()];
    for (place, &i) in order.iter().enumerate() {
        out[i] = place;
    }
    out
}

/// Normal scores of the ranks, near enough: the lambda form of Tukey (Joiner and
/// Rosenblatt 1971; from memory) is within 0.01 of the normal where ranks stand.
fn scores(values: &[f64]) -> Vec<f64> {
    let n = values.len() as f64;
    places(values)
        .into_iter()
        .map(|place| {
            let p = (place as f64 + 1.0) / (n + 1.0);
            4.91 * (p.powf(0.14) - (1.0 - p).powf(0.14))
        })
        .collect()
}
