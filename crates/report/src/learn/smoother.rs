//! The ensemble smoother with multiple data assimilation (Emerick and Reynolds
//! 2013, Comput. Geosci. 55:3; from memory).
//!
//! Every world is moved towards what was seen, by the covariance of its inputs with
//! what it foretells; in several small steps, because the plant is not linear. Few
//! worlds find ties that are chance: each covariance is shrunk by how sure its
//! correlation is (after Furrer and Bengtsson 2007, J. Multivar. Anal. 98:227; from
//! memory). What lies far off is believed less the farther it lies (Huber 1964).

use super::normal::Draws;

/// Which side of the value was seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Side {
    /// The value itself.
    At,
    /// The value or more: a store seen full.
    AtLeast,
    /// The value or less: a store found empty.
    AtMost,
}

/// A value that was seen, with its error as a standard deviation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Datum {
    /// Value.
    pub value: f64,
    /// Standard deviation of its error.
    pub sd: f64,
    /// Which side of it.
    pub side: Side,
}

impl Datum {
    /// How far `foretold` is from what was seen; nothing on the side that was left open.
    pub fn miss(&self, foretold: f64) -> f64 {
        let miss = self.value - foretold;
        match self.side {
            Side::At => miss,
            Side::AtLeast => miss.max(0.0),
            Side::AtMost => miss.min(0.0),
        }
    }
}

/// Misses beyond so many standard deviations are believed less and less, and
/// beyond so many not at all (2.5: usual for Huber's weights; 6: judgement).
pub const DOUBT_FROM: f64 = 2.5;
/// See [`DOUBT_FROM`].
pub const NOT_BELIEVED_FROM: f64 = 6.0;

/// How far each datum lies from the worlds, in standard deviations of both.
pub fn surprise(data: &[Datum], foretold: &[Vec<f64>]) -> Vec<f64> {
    let n = foretold.len() as f64;
    data.iter()
        .enumerate()
        .map(|(i, d)| {
            let mean = foretold.iter().map(|w| w[i]).sum::<f64>() / n;
            let variance = foretold.iter().map(|w| (w[i] - mean).powi(2)).sum::<f64>() / n;
            d.miss(mean) / (d.sd * d.sd + variance).sqrt()
        })
        .collect()
}

/// Moves the worlds one step. `inputs[w]` are a world's inputs, each about
/// standard normal before anything was seen; `foretold[w]` what it says of each
/// datum; `share` the step's part of what was seen (all parts sum to 1).
pub fn step(
    inputs: &mut [Vec<f64>],
    foretold: &[Vec<f64>],
    data: &[Datum],
    share: f64,
    draws: &mut Draws,
) {
    let (worlds, seen) = (inputs.len(), data.len());
    if worlds < 2 || seen == 0 || share <= 0.0 {
        return;
    }
    let n = worlds as f64;
    let far = surprise(data, foretold);
    // Everything in units of the error believed.
    let error: Vec<f64> = data
        .iter()
        .zip(&far)
        .map(|(d, r)| match r.abs() {
            r if r > NOT_BELIEVED_FROM => f64::INFINITY,
            r => d.sd * (r / DOUBT_FROM).max(1.0),
        })
        .collect();
    let scaled = |w: usize, i: usize| {
        if error[i].is_finite() {
            foretold[w][i] / error[i]
        } else {
            0.0
        }
    };
    let mean_of = |i: usize| (0..worlds).map(|w| scaled(w, i)).sum::<f64>() / n;
    let means: Vec<f64> = (0..seen).map(mean_of).collect();
    let spread: Vec<Vec<f64>> = (0..worlds)
        .map(|w| (0..seen).map(|i| scaled(w, i) - means[i]).collect())
        .collect();
    let mut matrix = vec![vec![0.0; seen]; seen];
    for world in &spread {
        for i in 0..seen {
            for j in 0..=i {
                matrix[i][j] += world[i] * world[j] / (n - 1.0);
            }
        }
    }
    let sd: Vec<f64> = (0..seen).map(|i| matrix[i][i].sqrt()).collect();
    for (i, row) in matrix.iter_mut().enumerate() {
        row[i] += 1.0 / share;
    }
    let lower = cholesky(matrix);
    // What each world must be moved by, in units of the error.
    let mut weights: Vec<Vec<f64>> = Vec::with_capacity(worlds);
    for world in foretold {
        let mut miss: Vec<f64> = (0..seen)
            .map(|i| {
                let noise = draws.normal() / share.sqrt();
                if !error[i].is_finite() {
                    return 0.0;
                }
                let miss = data[i].miss(world[i]) / error[i];
                // A world on the side left open is not moved, noise included.
                match data[i].side {
                    Side::At => miss + noise,
                    _ if miss == 0.0 => 0.0,
                    _ => miss + noise,
                }
            })
            .collect();
        solve(&lower, &mut miss);
        weights.push(miss);
    }
    let axes = inputs[0].len();
    for axis in 0..axes {
        let mean = inputs.iter().map(|w| w[axis]).sum::<f64>() / n;
        let own: Vec<f64> = inputs.iter().map(|w| w[axis] - mean).collect();
        let own_sd = (own.iter().map(|v| v * v).sum::<f64>() / (n - 1.0)).sqrt();
        if own_sd < 1e-9 {
            continue;
        }
        let gain: Vec<f64> = (0..seen)
            .map(|i| {
                let with = own.iter().zip(&spread).map(|(a, s)| a * s[i]).sum::<f64>() / (n - 1.0);
                let r = with / (own_sd * sd[i]).max(1e-12);
                with * sureness(r, n)
            })
            .collect();
        for (world, weight) in inputs.iter_mut().zip(&weights) {
            let by: f64 = gain.iter().zip(weight).map(|(g, w)| g * w).sum();
            // No step of one axis is longer than its whole range.
            world[axis] += by.clamp(-4.0, 4.0);
        }
    }
}

/// Spreads the worlds about their mean by `factor`, no input wider than before
/// anything was seen.
pub fn widen(inputs: &mut [Vec<f64>], factor: f64) {
    let n = inputs.len() as f64;
    let axes = inputs.first().map_or(0, Vec::len);
    for axis in 0..axes {
        let mean = inputs.iter().map(|w| w[axis]).sum::<f64>() / n;
        let square = inputs.iter().map(|w| (w[axis] - mean).powi(2)).sum::<f64>() / n;
        let by = factor.min(1.0 / square.sqrt().max(1e-9)).max(1.0);
        for world in inputs.iter_mut() {
            world[axis] = mean + by * (world[axis] - mean);
        }
    }
}

/// What a covariance of correlation `r` over `n` worlds is to be multiplied by: 1
/// when sure, near 0 when it may be chance.
fn sureness(r: f64, n: f64) -> f64 {
    let square = r * r;
    square / (square + (1.0 + square) / n)
}

/// Lower factor of a symmetric positive matrix given by its lower half.
fn cholesky(mut a: Vec<Vec<f64>>) -> Vec<Vec<f64>> {
    let n = a.len();
    for i in 0..n {
        for j in 0..=i {
            let (upper, row) = a.split_at_mut(i);
            let other = if j < i { &upper[j] } else { &row[0] };
            let sum: f64 = (0..j).map(|k| row[0][k] * other[k]).sum();
            let left = row[0][j] - sum;
            row[0][j] = if j == i {
                left.max(1e-300).sqrt()
            } else {
                left / upper[j][j]
            };
        }
    }
    a
}

fn solve(lower: &[Vec<f64>], b: &mut [f64]) {
    let n = b.len();
    for i in 0..n {
        let sum: f64 = (0..i).map(|k| lower[i][k] * b[k]).sum();
        b[i] = (b[i] - sum) / lower[i][i];
    }
    for i in (0..n).rev() {
        let sum: f64 = (i + 1..n).map(|k| lower[k][i] * b[k]).sum();
        b[i] = (b[i] - sum) / lower[i][i];
    }
}

#[cfg(test)]
#[path = "smoother_tests.rs"]
mod tests;
