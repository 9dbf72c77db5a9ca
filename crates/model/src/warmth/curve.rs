//! Functions of temperature as a table with straight lines between its points.

/// Points per kelvin.
const PER_K: f64 = 4.0;

/// So many functions in one table, looked up together.
#[derive(Debug, Clone)]
pub(crate) struct Curve<const N: usize> {
    from: f64,
    values: Vec<[f64; N]>,
}

/// A place in the tables of one range: it serves all of them.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Point {
    index: usize,
    share: f64,
}

impl<const N: usize> Curve<N> {
    /// Table of `f` from one temperature to another; beyond them the end value holds.
    pub(crate) fn new(from: f64, to: f64, f: impl Fn(f64) -> [f64; N]) -> Self {
        let points = ((to - from) * PER_K) as usize + 1;
        Curve {
            from,
            values: (0..points).map(|i| f(from + i as f64 / PER_K)).collect(),
        }
    }

    /// Where a temperature lies in this table, and in any other of the same range.
    pub(crate) fn point(&self, t: f64) -> Point {
        let last = self.values.len() - 2;
        let position = ((t - self.from) * PER_K).clamp(0.0, (last + 1) as f64);
        let index = (position as usize).min(last);
        Point {
            index,
            share: position - index as f64,
        }
    }

    /// The values at a place.
    pub(crate) fn at(&self, point: Point) -> [f64; N] {
        let (low, high) = (&self.values[point.index], &self.values[point.index + 1]);
        std::array::from_fn(|k| low[k] + (high[k] - low[k]) * point.share)
    }
}
