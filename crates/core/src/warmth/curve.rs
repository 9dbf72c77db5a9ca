//! A function of temperature as a table with straight lines between its points.

/// Points per kelvin.
const PER_K: f64 = 4.0;

#[derive(Debug, Clone)]
pub(crate) struct Curve {
    from: f64,
    values: Vec<f64>,
}

impl Curve {
    /// Table of `f` from one temperature to another; beyond them the end value holds.
    pub(crate) fn new(from: f64, to: f64, f: impl Fn(f64) -> f64) -> Self {
        let points = ((to - from) * PER_K) as usize + 1;
        Curve {
            from,
            values: (0..points).map(|i| f(from + i as f64 / PER_K)).collect(),
        }
    }

    pub(crate) fn at(&self, t: f64) -> f64 {
        let last = self.values.len() - 2;
        let position = ((t - self.from) * PER_K).clamp(0.0, (last + 1) as f64);
        let index = (position as usize).min(last);
        let share = position - index as f64;
        self.values[index] + (self.values[index + 1] - self.values[index]) * share
    }
}
