//! ROS3: a linearly implicit one-step method of order 3, three stages of which two
//! share their rates, L-stable, with an embedded order 2.
//!
//! Coefficients: A. Sandu and others, "Benchmarking stiff ODE solvers for
//! atmospheric chemistry problems II: Rosenbrock solvers", Atmos. Environ. 31
//! (1997) 3459-3472 (from memory; the order is checked by a test).
//!
//! A one-step method loses nothing when a feeding makes the state jump, where
//! a multistep method starts again at order one.

use std::sync::Arc;

use super::number::reciprocals;
use super::{Lu, Num};

/// The equations `y' = f(y)` with an exact Jacobian. Rates and Jacobian come in the
/// order of the planned elimination ([`Lu::order`]); states it leaves out stay as
/// they are.
///
/// The Jacobian may carry algebraic rows after the states (one unknown each):
/// they stand for a constraint already solved inside `f`, kept in the matrix
/// because eliminating it there is cheaper than filling in its columns.
pub trait System<T: Num> {
    /// Number of states.
    fn states(&self) -> usize;
    /// Right-hand side, per day; algebraic rows are not looked at.
    fn rates(&mut self, y: &[T], f: &mut [T]);
    /// Right-hand side, and the Jacobian where [`Lu::factor`] wants it.
    fn rates_and_jacobian(&mut self, y: &[T], f: &mut [T], j: &mut [T]);
    /// How far the algebraic unknown `unknown` should stand, at the next `y`, from
    /// where it stood at the last Jacobian: a first guess for the constraint.
    fn expect(&mut self, _unknown: usize, _change: T) {}
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

const GAMMA: f64 = 0.435_866_521_508_459;
const C21: f64 = -1.015_617_108_387_770_2;
const C31: f64 = 4.075_995_645_253_77;
const C32: f64 = 9.207_679_429_833_079;
/// The result is `y + M k`; both later stages stand at `y + k1`.
const M: [f64; 3] = [1.0, 6.169_794_704_382_825, -0.427_722_562_543_218_6];
/// The error is `E k`.
const E: [f64; 3] = [0.5, -2.907_955_871_680_546_7, 0.223_540_698_978_115_7];

const MAX_TRIES: u64 = 20_000;
/// Error of the first step after a jump that the next jump is tried with: well
/// below one, for no two jumps are alike.
const FIRST_ERROR: f64 = 0.1;
/// Most growth of the first step from one jump to the next.
const FIRST_GROWTH: f64 = 4.0;

/// Work space and step memory.
#[derive(Debug, Clone)]
pub struct Stepper<T> {
    lu: Arc<Lu>,
    states: usize,
    /// Jacobian, then factors.
    matrix: Vec<T>,
    // In the order of elimination:
    f: Vec<T>,
    k: [Vec<T>; 3],
    weight: Vec<T>,
    error: Vec<T>,
    /// In the order of the states.
    stage: Vec<T>,
    /// Step to start with after the next jump, days.
    restart_step: f64,
    /// Effort so far.
    pub effort: Effort,
}

impl<T: Num> Stepper<T> {
    /// A stepper for `states` states and a matrix planned as `lu`; unknowns past the
    /// states are algebraic.
    pub fn new(lu: Arc<Lu>, states: usize) -> Self {
        let zeros = |n: usize| vec![T::zero(); n];
        let rows = lu.order().len();
        Stepper {
            matrix: zeros(lu.filled()),
            f: zeros(rows),
            stage: zeros(states),
            k: std::array::from_fn(|_| zeros(rows)),
            // Whole groups of four, for the reciprocals.
            weight: vec![T::one(); rows.next_multiple_of(4)],
            error: zeros(rows.next_multiple_of(4)),
            restart_step: 1e-4,
            effort: Effort::default(),
            states,
            lu,
        }
    }

    /// The same stepper, with what it remembers, for the same states under another
    /// plan of elimination.
    #[must_use]
    pub fn with_plan(&self, lu: Arc<Lu>) -> Self {
        Stepper {
            restart_step: self.restart_step,
            effort: self.effort,
            ..Self::new(lu, self.states)
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
        let mut t = 0.0;
        let mut h = self.restart_step.clamp(1e-9, span);
        let mut first = true;
        let mut just_rejected = false;
        let mut tries = 0;
        // States outside the plan stand there unchanged.
        self.stage.copy_from_slice(y);
        let controlled = tolerance.absolute.iter().filter(|a| a.is_finite()).count();
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
            // Also after a rejected step: its factors stand where the Jacobian stood.
            system.rates_and_jacobian(y, &mut self.f, &mut self.matrix);
            self.effort.jacobians += 1;
            let error = self.try_step(system, y, h, tolerance, controlled);
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
                if first {
                    let growth = (FIRST_ERROR / error).cbrt();
                    self.restart_step = h * growth.clamp(1.0, FIRST_GROWTH);
                    first = false;
                }
                let cap = if just_rejected { 1.0 } else { 6.0 };
                h *= factor.clamp(0.2, cap);
                just_rejected = false;
            } else {
                self.expect(system, |_| T::zero());
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

    /// Tells the system how far its algebraic unknowns will have moved; `change` is
    /// given the place in the order.
    #[inline(always)]
    fn expect<S: System<T>>(&self, system: &mut S, change: impl Fn(usize) -> T) {
        for (row, &unknown) in self.lu.order().iter().enumerate() {
            if unknown >= self.states {
                system.expect(unknown, change(row));
            }
        }
    }

    /// The solution of stage `STAGE`, from the right-hand side in its place.
    #[inline(always)]
    fn solve<const STAGE: usize>(&mut self) {
        for (row, &unknown) in self.lu.order().iter().enumerate() {
            if unknown >= self.states {
                self.k[STAGE][row] = T::zero();
            }
        }
        self.lu.solve(&self.matrix, &mut self.k[STAGE]);
    }

    /// One trial step from `y` with `self.f` and `self.matrix` at `y`; the result is
    /// in `self.stage`. Returns the weighted error (1 = just within tolerance).
    #[inline(always)]
    fn try_step<S: System<T>>(
        &mut self,
        system: &mut S,
        y: &[T],
        h: f64,
        tolerance: &Tolerance,
        controlled: usize,
    ) -> f64 {
        self.lu
            .factor(1.0 / (GAMMA * h), self.states, &mut self.matrix);
        let inverse_h = 1.0 / h;
        self.k[0].copy_from_slice(&self.f);
        self.solve::<0>();
        self.expect(system, |row| self.k[0][row]);
        let [k1, k2, k3] = &mut self.k;
        for (&s, k1) in self.lu.order().iter().zip(&*k1) {
            if s < self.states {
                self.stage[s] = y[s] + *k1;
            }
        }
        system.rates(&self.stage, k2);
        k3.copy_from_slice(k2);
        for (k2, k1) in k2.iter_mut().zip(&*k1) {
            *k2 += k1.scale(C21 * inverse_h);
        }
        self.solve::<1>();
        let [k1, k2, k3] = &mut self.k;
        for ((k3, k1), k2) in k3.iter_mut().zip(&*k1).zip(&*k2) {
            *k3 += k1.scale(C31 * inverse_h) + k2.scale(C32 * inverse_h);
        }
        self.solve::<2>();
        self.expect(system, |row| self.sum(&M, row));
        self.finish(y, tolerance, controlled)
    }

    /// `factors` times the stages at one place of the order.
    #[inline(always)]
    fn sum(&self, factors: &[f64; 3], row: usize) -> T {
        self.k[0][row].scale(factors[0])
            + self.k[1][row].scale(factors[1])
            + self.k[2][row].scale(factors[2])
    }

    /// Result and error: the root of the mean square over all controlled states, in
    /// the worst lane.
    #[inline(always)]
    fn finish(&mut self, y: &[T], tolerance: &Tolerance, controlled: usize) -> f64 {
        // Zero while all is finite, else not a number.
        let mut spoilt = T::zero();
        for (row, &s) in self.lu.order().iter().enumerate() {
            if s >= self.states {
                continue;
            }
            let next = y[s] + self.sum(&M, row);
            self.stage[s] = next;
            spoilt += next.scale(0.0);
            let absolute = tolerance.absolute[s];
            if absolute.is_finite() {
                let size = y[s].larger(-y[s]).larger(next.larger(-next));
                self.weight[row] = T::constant(absolute) + size.scale(tolerance.relative);
                self.error[row] = self.sum(&E, row);
            }
        }
        if !spoilt.all_finite() {
            return f64::INFINITY;
        }
        let mut sum = T::zero();
        for (error, weight) in self.error.chunks_exact(4).zip(self.weight.chunks_exact(4)) {
            let inverse = reciprocals([weight[0], weight[1], weight[2], weight[3]]);
            for (e, w) in error.iter().zip(inverse) {
                let e = *e * w;
                sum += e * e;
            }
        }
        (sum.worst() / controlled.max(1) as f64).sqrt()
    }
}
