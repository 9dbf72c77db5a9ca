//! Moves an ensemble of constants to where the engine meets the readings.
//!
//! The ensemble smoother with multiple data assimilation (Emerick and Reynolds 2013,
//! Comput. Geosci. 55, 3; from memory): the same readings are taken in some rounds,
//! each with its error inflated by their number, so that a curved model is met by
//! small steps. Constants are moved by every reading; what is a trial's own (its
//! lot of waste, its seed) by the readings of that trial alone, for across trials a
//! correlation could only be chance.

use fenlamp_model::world::inferred::Inferred;
use fenlamp_model::world::{WorldError, WorldRun};
use nalgebra::{Cholesky, DMatrix, DVector};
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};
use statrs::distribution::ContinuousCDF;

use crate::prior::{Prior, constants, standard};
use crate::trial::Trial;

/// Coordinates on which nothing depends: what the readings narrow of them, they narrow
/// by the chance correlations of few members. The constants are spread again by as much
/// after each round (Evensen 2009, Data Assimilation, adaptive inflation; from memory).
const DUMMIES: usize = 24;

/// How large an ensemble, in how many rounds (each with the readings' variance times
/// their number).
#[derive(Debug, Clone, Copy)]
pub struct Size {
    /// Members.
    pub members: usize,
    /// Rounds.
    pub rounds: usize,
}

impl Size {
    /// For the table: ten members a constant and more. Fits of 240 that differed in little
    /// but their random numbers had constants up to a standard deviation apart.
    pub const WHOLE: Size = Size {
        members: 300,
        rounds: 6,
    };
    /// For what is done many times over: to compare, not to publish.
    pub const SMALL: Size = Size {
        members: 96,
        rounds: 3,
    };
}

/// Why a fit could not be made.
#[derive(Debug, thiserror::Error)]
pub enum FitError {
    /// A world could not be run.
    #[error("trial {trial}: {source}")]
    World {
        /// Name of the trial.
        trial: String,
        /// Why.
        source: WorldError,
    },
    /// An answer is not a number.
    #[error("trial {trial}: {reading} is not a number in member {member}")]
    NotFinite {
        /// Name of the trial.
        trial: String,
        /// What was read.
        reading: String,
        /// Member of the ensemble.
        member: usize,
    },
    /// The readings' covariance could not be inverted.
    #[error("the covariance of the readings is singular")]
    Singular,
}

/// An ensemble: a row of standard normal coordinates a member, the constants first,
/// then what is each trial's own, then the dummies.
#[derive(Debug, Clone)]
pub struct Ensemble {
    /// Coordinates: members by axes.
    pub z: DMatrix<f64>,
    /// Constants.
    pub constants: usize,
    /// First axis of each trial's own, and their number.
    own: Vec<(usize, usize)>,
}

impl Ensemble {
    /// Before the data, what is the trials' own drawn as a forecast draws it.
    pub fn prior(priors: &[Prior], trials: &[Trial], members: usize, seed: u64) -> Self {
        let mut own = Vec::new();
        let mut axes = priors.len();
        for trial in trials {
            own.push((axes, trial.own()));
            axes += trial.own();
        }
        let mut normals = Normals::new(seed);
        Ensemble {
            z: DMatrix::from_fn(members, axes + DUMMIES, |_, _| normals.next()),
            constants: priors.len(),
            own,
        }
    }

    /// Puts what a fit leaves at its middle there; what does not spread is not moved.
    fn hold(&mut self, trials: &[Trial]) {
        for (trial, &(first, count)) in trials.iter().zip(&self.own) {
            for own in (0..count).filter(|&own| trial.is_held(own)) {
                self.z.column_mut(first + own).fill(0.0);
            }
        }
    }

    /// The constants of a member.
    pub fn member(&self, priors: &[Prior], m: usize) -> Inferred {
        let z: Vec<f64> = self.z.row(m).iter().take(self.constants).copied().collect();
        constants(priors, &z)
    }

    /// Runs one trial in every member.
    ///
    /// # Errors
    /// [`FitError::World`].
    pub fn run(
        &self,
        priors: &[Prior],
        trial: &Trial,
        number: usize,
    ) -> Result<Vec<WorldRun>, FitError> {
        self.with_members(priors, trial, number, |m| trial.run(m))
    }

    /// One trial's answers (not yet on the readings' scales), a row a member.
    ///
    /// # Errors
    /// [`FitError::World`].
    pub fn answers_of(
        &self,
        priors: &[Prior],
        trial: &Trial,
        number: usize,
    ) -> Result<Vec<Vec<f64>>, FitError> {
        self.with_members(priors, trial, number, |m| trial.answers(m))
    }

    fn with_members<T>(
        &self,
        priors: &[Prior],
        trial: &Trial,
        number: usize,
        run: impl FnOnce(&[(Inferred, &[f64])]) -> Result<T, WorldError>,
    ) -> Result<T, FitError> {
        let (first, count) = self.own[number];
        let own: Vec<Vec<f64>> = (0..self.z.nrows())
            .map(|m| (first..first + count).map(|a| self.z[(m, a)]).collect())
            .collect();
        let members: Vec<(Inferred, &[f64])> = own
            .iter()
            .enumerate()
            .map(|(m, own)| (self.member(priors, m), own.as_slice()))
            .collect();
        run(&members).map_err(|source| FitError::World {
            trial: trial.name.clone(),
            source,
        })
    }

    /// The engine's answers on the readings' scales: members by readings.
    ///
    /// # Errors
    /// [`FitError::World`].
    pub fn answers(&self, priors: &[Prior], trials: &[Trial]) -> Result<DMatrix<f64>, FitError> {
        let mut columns: Vec<DVector<f64>> = Vec::new();
        for (number, trial) in trials.iter().enumerate() {
            let answers = self.answers_of(priors, trial, number)?;
            for (k, reading) in trial.readings.iter().enumerate() {
                let column: Vec<f64> = answers.iter().map(|a| reading.scaled(a[k])).collect();
                if let Some(member) = column.iter().position(|v| !v.is_finite()) {
                    return Err(FitError::NotFinite {
                        trial: trial.name.clone(),
                        reading: reading.what.clone(),
                        member,
                    });
                }
                columns.push(DVector::from_vec(column));
            }
        }
        Ok(DMatrix::from_columns(&columns))
    }

    /// The ensemble after the readings were taken in.
    ///
    /// # Errors
    /// [`FitError`].
    pub fn fitted(
        priors: &[Prior],
        trials: &[Trial],
        size: Size,
        seed: u64,
    ) -> Result<Self, FitError> {
        let mut ensemble = Self::prior(priors, trials, size.members, seed);
        ensemble.hold(trials);
        let mut normals = Normals::new(seed ^ 0x5eed);
        for _ in 0..size.rounds {
            let answers = ensemble.answers(priors, trials)?;
            ensemble.step(&answers, trials, size.rounds, &mut normals)?;
        }
        Ok(ensemble)
    }

    /// The same constants for other trials, with what is their own drawn anew: what
    /// a forecast knows.
    #[must_use]
    pub fn forecast(&self, priors: &[Prior], trials: &[Trial], seed: u64) -> Self {
        let mut ensemble = Self::prior(priors, trials, self.z.nrows(), seed);
        for k in 0..self.constants {
            ensemble.z.set_column(k, &self.z.column(k));
        }
        ensemble
    }

    fn step(
        &mut self,
        answers: &DMatrix<f64>,
        trials: &[Trial],
        rounds: usize,
        normals: &mut Normals,
    ) -> Result<(), FitError> {
        let (members, readings) = answers.shape();
        let per = 1.0 / (members - 1) as f64;
        let d = centred(answers);
        let z = centred(&self.z);
        let all: Vec<_> = trials.iter().flat_map(|t| &t.readings).collect();
        let inflated: Vec<f64> = all.iter().map(|r| rounds as f64 * r.sd * r.sd).collect();
        let mut among = d.transpose() * &d * per;
        for k in 0..readings {
            among[(k, k)] += inflated[k];
        }
        let mut with = z.transpose() * &d * per;
        let mut first = 0;
        for (trial, &(axis, count)) in trials.iter().zip(&self.own) {
            let mine = first..first + trial.readings.len();
            for a in axis..axis + count {
                for k in (0..readings).filter(|k| !mine.contains(k)) {
                    with[(a, k)] = 0.0;
                }
            }
            first = mine.end;
        }
        let solver = Cholesky::new(among).ok_or(FitError::Singular)?;
        let before = self.dummy_spread();
        for m in 0..members {
            let off = DVector::from_fn(readings, |k, _| {
                let noise = inflated[k].sqrt() * normals.next();
                all[k].scaled(all[k].published) + noise - answers[(m, k)]
            });
            let change = &with * solver.solve(&off);
            for a in 0..self.z.ncols() {
                self.z[(m, a)] += change[a];
            }
        }
        self.widen(before / self.dummy_spread());
        Ok(())
    }

    /// Mean standard deviation of the dummies.
    fn dummy_spread(&self) -> f64 {
        let dummies = self.z.columns(self.z.ncols() - DUMMIES, DUMMIES);
        let sum: f64 = dummies.column_iter().map(|c| c.variance().sqrt()).sum();
        sum / DUMMIES as f64
    }

    /// Spreads constants and dummies about their means by `factor`.
    fn widen(&mut self, factor: f64) {
        let axes = self.z.ncols();
        for a in (0..self.constants).chain(axes - DUMMIES..axes) {
            let mut column = self.z.column_mut(a);
            let mean = column.mean();
            column.apply(|z| *z = mean + factor * (*z - mean));
        }
    }
}

fn centred(of: &DMatrix<f64>) -> DMatrix<f64> {
    let mean = of.row_mean();
    DMatrix::from_fn(of.nrows(), of.ncols(), |i, j| of[(i, j)] - mean[j])
}

/// Standard normal numbers from the named generator ChaCha8.
struct Normals(ChaCha8Rng);

impl Normals {
    fn new(seed: u64) -> Self {
        Normals(ChaCha8Rng::seed_from_u64(seed))
    }

    fn next(&mut self) -> f64 {
        // 53 bits, never 0 or 1.
        let u = ((self.0.next_u64() >> 11) as f64 + 0.5) / (1u64 << 53) as f64;
        standard().inverse_cdf(u)
    }
}

/// Quantile of some values, linear between neighbours.
pub fn quantile(values: &[f64], share: f64) -> f64 {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let at = share * (sorted.len() - 1) as f64;
    let (low, high) = (at.floor() as usize, at.ceil() as usize);
    sorted[low] + (at - low as f64) * (sorted[high] - sorted[low])
}
