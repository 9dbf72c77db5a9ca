//! RODAS3: a linearly implicit one-step method of order 3, four stages,
//! L-stable and stiffly accurate, with an embedded order 2.
//!
//! Coefficients: A. Sandu and others, "Benchmarking stiff ODE solvers for
//! atmospheric chemistry problems II: Rosenbrock solvers", Atmos. Environ. 31
//! (1997) 3459-3472 (from memory; the order is checked by a test).
//!
//! A one-step method loses nothing when a feeding makes the state jump, where
//! a multistep method starts again at order one.

use super::{Lu, Num};

/// The equations `y' = f(y)` with an exact Jacobian.
///
/// The Jacobian may carry algebraic rows after the states (one unknown each):
/// they stand for a constraint already solved inside `f`, kept in the matrix
/// because eliminating it there is cheaper than filling in its columns.
pub trait System<T: Num> {
    /// Number of states.
    fn states(&self) -> usize;
    /// Right-hand side, per day.
    fn rates(&mut self, y: &[T], f: &mut [T]);
    /// Right-hand side and Jacobian values in the pattern's order.
    fn rates_and_jacobian(&mut self, y: &[T], f: &mut [T], j: &mut [T]);
}

/// Error tolerance: `relative` for all states, `absolute` per state; a state
/// with infinite `absolute` is not controlled.
#[derive(Debug, Clone)]
pub struct Tolerance {
    /// Relative tolerance.
    pub relative: f64,
    /// Absolute tolerance of each state, in its own unit.
    pub absolute: Vec<f64>,
}

/// Work done, for benchmarks and tests of efficiency.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Effort {
    /// Accepted steps.
    pub steps: u64,
    /// Rejected steps.
    pub rejected: u64,
    /// Jacobians.
    pub jacobians: u64,
}

/// The stepper gave up.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[error(
    "the digestion equations could not be solved past day {day:.4} (step {step_days:.3e} d after {tries} tries)"
)]
pub struct Failure {
    /// Time reached within the interval, days.
    pub day: f64,
    /// Last step tried, days.
    pub step_days: f64,
    /// Steps tried in the interval.
    pub tries: u64,
}

const GAMMA: f64 = 0.5;
const MAX_TRIES: u64 = 20_000;

/// Work space and step memory.
#[derive(Debug, Clone)]
pub struct Stepper<T> {
    lu: Lu,
    algebraic: Vec<usize>,
    j: Vec<T>,
    factored: Vec<T>,
    f: Vec<T>,
    stage: Vec<T>,
    k: [Vec<T>; 4],
    weight: Vec<T>,
    /// First accepted step after the last jump, days.
    restart_step: f64,
    /// Effort so far.
    pub effort: Effort,
}

impl<T: Num> Stepper<T> {
    /// A stepper for `states` states and a matrix planned as `lu` with
    /// `entries` Jacobian values; rows past the states are algebraic.
    pub fn new(lu: Lu, entries: usize, states: usize, size: usize) -> Self {
        let zeros = |n: usize| vec![T::zero(); n];
        Stepper {
            algebraic: (states..size).collect(),
            j: zeros(entries),
            factored: zeros(lu.filled()),
            f: zeros(states),
            stage: zeros(states),
            k: std::array::from_fn(|_| zeros(size)),
            weight: zeros(states),
            lu,
            restart_step: 1e-4,
            effort: Effort::default(),
        }
    }

    /// Advances `y` by `span` days.
    ///
    /// # Errors
    /// [`Failure`] when the step falls below 1e-12 d or the tries run out.
    #[inline(always)]
    pub fn advance<S: System<T>>(
        &mut self,
        system: &mut S,
        y: &mut [T],
        span: f64,
        tolerance: &Tolerance,
    ) -> Result<(), Failure> {
        let n = system.states();
        let mut t = 0.0;
        let mut h = self.restart_step.clamp(1e-9, span);
        let mut first = true;
        let mut just_rejected = false;
        let mut tries = 0;
        let mut fresh = true;
        while t < span {
            tries += 1;
            if tries > MAX_TRIES || h < 1e-12 {
                return Err(Failure {
                    day: t,
                    step_days: h,
                    tries,
                });
            }
            // A last step that would leave a sliver is stretched or halved.
            let left = span - t;
            if h > left || left - h < 1e-9 * span {
                h = left;
            } else if h > 0.6 * left {
                h = 0.5 * left;
            }
            if fresh {
                system.rates_and_jacobian(y, &mut self.f, &mut self.j);
                self.effort.jacobians += 1;
                fresh = false;
            }
            let error = self.try_step(system, y, h, tolerance, n);
            // Order 3 with an embedded order 2: exponent 1/3.
            let factor = if error > 0.0 {
                0.9 * error.powf(-1.0 / 3.0)
            } else {
                5.0
            };
            if error <= 1.0 {
                y.copy_from_slice(&self.stage);
                t = if h == left { span } else { t + h };
                self.effort.steps += 1;
                fresh = true;
                if first {
                    self.restart_step = h;
                    first = false;
                }
                let cap = if just_rejected { 1.0 } else { 6.0 };
                h *= factor.clamp(0.2, cap);
                just_rejected = false;
            } else {
                self.effort.rejected += 1;
                just_rejected = true;
                h *= if error.is_finite() {
                    factor.clamp(0.1, 0.9)
                } else {
                    0.1
                };
                if first {
                    self.restart_step = h;
                }
            }
        }
        Ok(())
    }

    #[cfg(test)]
    pub(crate) fn restart_step_for_test(&mut self, h: f64) {
        self.restart_step = h;
    }

    /// One trial step from `y` with `self.f`, `self.j` at `y`; the result is in
    /// `self.stage`. Returns the weighted error (1 = just within tolerance).
    #[inline(always)]
    fn try_step<S: System<T>>(
        &mut self,
        system: &mut S,
        y: &[T],
        h: f64,
        tolerance: &Tolerance,
        n: usize,
    ) -> f64 {
        self.lu.factor(
            1.0 / (GAMMA * h),
            &self.j,
            &self.algebraic,
            &mut self.factored,
        );
        let inverse_h = 1.0 / h;
        let [k1, k2, k3, k4] = &mut self.k;
        // Stage 1
        k1[..n].copy_from_slice(&self.f);
        k1[n..].iter_mut().for_each(|v| *v = T::zero());
        self.lu.solve(&self.factored, k1);
        // Stage 2: same right-hand side, c21 = 4.
        for i in 0..n {
            k2[i] = self.f[i] + k1[i].scale(4.0 * inverse_h);
        }
        k2[n..].iter_mut().for_each(|v| *v = T::zero());
        self.lu.solve(&self.factored, k2);
        // Stage 3: at y + 2 k1; c31 = 1, c32 = -1.
        for i in 0..n {
            self.stage[i] = y[i] + k1[i].scale(2.0);
        }
        system.rates(&self.stage, &mut k3[..n]);
        for i in 0..n {
            k3[i] += (k1[i] - k2[i]).scale(inverse_h);
        }
        k3[n..].iter_mut().for_each(|v| *v = T::zero());
        self.lu.solve(&self.factored, k3);
        // Stage 4: at y + 2 k1 + k3; c41 = 1, c42 = -1, c43 = -8/3.
        for i in 0..n {
            self.stage[i] += k3[i];
        }
        system.rates(&self.stage, &mut k4[..n]);
        for i in 0..n {
            k4[i] += (k1[i] - k2[i] - k3[i].scale(8.0 / 3.0)).scale(inverse_h);
        }
        k4[n..].iter_mut().for_each(|v| *v = T::zero());
        self.lu.solve(&self.factored, k4);
        // Result y + 2 k1 + k3 + k4; error k4.
        let mut controlled = 0usize;
        let mut sum = T::zero();
        for i in 0..n {
            let next = self.stage[i] + k4[i];
            let absolute = tolerance.absolute[i];
            if absolute.is_finite() {
                let size = y[i].larger(-y[i]).larger(next.larger(-next));
                self.weight[i] = T::constant(absolute) + size.scale(tolerance.relative);
                let e = k4[i] / self.weight[i];
                sum += e * e;
                controlled += 1;
            }
            self.stage[i] = next;
            if !next.all_finite() {
                return f64::INFINITY;
            }
        }
        (sum.worst() / controlled.max(1) as f64).sqrt()
    }
}
