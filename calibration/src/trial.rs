//! One published trial: the plan that stands for it, and what was read.

use fenlamp_adm1::biology::RateFactors;
use fenlamp_model::plan::{NoFiles, Plan, read};
use fenlamp_model::world::draw::{InputKind, WorldDraw, inputs};
use fenlamp_model::world::inferred::Inferred;
use fenlamp_model::world::{Shared, WorldError, WorldRun};
use statrs::distribution::ContinuousCDF;

use crate::prior::standard;

/// What part of the biology a trial tells of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Group {
    /// Fed and warm.
    Warm,
    /// Below 20 degC.
    Cold,
    /// Unseeded or freshly seeded.
    Start,
    /// Acid.
    Sour,
    /// Much ammonia.
    Ammonia,
    /// Sulfide.
    Sulfide,
}

impl Group {
    /// Word of the report.
    pub fn word(self) -> &'static str {
        match self {
            Group::Warm => "warm",
            Group::Cold => "cold",
            Group::Start => "start",
            Group::Sour => "sour",
            Group::Ammonia => "ammonia",
            Group::Sulfide => "sulfide",
        }
    }
}

/// How a reading is compared.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Scale {
    /// By its logarithm; the spread is that of the logarithm.
    Log,
    /// As it stands; the spread is in its unit.
    Linear,
}

/// One reading of a trial.
pub struct Reading {
    /// What was read.
    pub what: String,
    /// Its published value.
    pub published: f64,
    /// One standard deviation of reading and model together, on `scale`.
    pub sd: f64,
    /// How it is compared.
    pub scale: Scale,
    /// Unit.
    pub unit: &'static str,
    /// What each laboratory read, where the published value is their median.
    pub laboratories: Vec<f64>,
    /// The engine's answer.
    pub of: Box<dyn Fn(&WorldRun) -> f64 + Sync + Send>,
}

/// Least value on a logarithmic scale, so that nothing made is still a number.
const LEAST: f64 = 1e-3;

impl Reading {
    /// A figure on the reading's scale.
    pub fn scaled(&self, value: f64) -> f64 {
        match self.scale {
            Scale::Log => value.max(LEAST * self.published.abs()).ln(),
            Scale::Linear => value,
        }
    }
}

/// What answers for a trial.
enum Bench {
    /// A plan, run as a forecast runs it, and the axes drawn beside the constants.
    Plan {
        plan: Box<Plan>,
        shared: Box<Shared>,
        axes: Vec<usize>,
        /// Of these, the ones left at their middle in a fit.
        held: Vec<bool>,
    },
    /// The rate of a living culture at some temperatures, degC, over that at the
    /// last; its own coordinates are the logarithms of cold and warm over mid guild.
    Culture { celsius: Vec<f64> },
}

/// Middle and spread of the logarithm of the cold and of the warm guild's share on
/// the mid guild's in a culture of unknown past (judgement).
const CULTURE: [(f64, f64); 2] = [(-1.5, 1.2), (-2.0, 1.8)];

/// A published trial.
pub struct Trial {
    /// Name.
    pub name: String,
    /// Source key.
    pub source: &'static str,
    /// Part of the biology.
    pub group: Group,
    bench: Bench,
    /// What was read.
    pub readings: Vec<Reading>,
}

impl Trial {
    /// From the text of a plan.
    ///
    /// # Panics
    /// If the plan cannot be read: the texts are our own.
    pub fn new(name: &str, source: &'static str, group: Group, text: &str) -> Self {
        let plan = read(text, name, &NoFiles).unwrap_or_else(|e| panic!("{e}\n{text}"));
        let axes: Vec<usize> = inputs(&plan)
            .iter()
            .enumerate()
            .filter(|(_, input)| input.acts && input.kind != InputKind::Inferred)
            .map(|(k, _)| k)
            .collect();
        Trial {
            name: name.to_owned(),
            source,
            group,
            bench: Bench::Plan {
                shared: Box::new(Shared::new(&plan)),
                plan: Box::new(plan),
                held: vec![false; axes.len()],
                axes,
            },
            readings: Vec::new(),
        }
    }

    /// Rates of a culture at temperatures (degC, rate, spread of its logarithm), the
    /// last of which the others are held against.
    pub fn culture(
        name: &str,
        source: &'static str,
        group: Group,
        rates: &[(f64, f64, f64)],
    ) -> Self {
        let (_, top, _) = rates.last().copied().unwrap_or((35.0, 1.0, 1.0));
        let readings = rates.iter().map(|&(t_c, rate, sd)| Reading {
            what: format!("rate at {t_c:.1} degC"),
            published: rate / top,
            sd,
            scale: Scale::Log,
            unit: "",
            laboratories: Vec::new(),
            of: Box::new(|_| f64::NAN),
        });
        Trial {
            name: name.to_owned(),
            source,
            group,
            bench: Bench::Culture {
                celsius: rates.iter().map(|r| r.0).collect(),
            },
            readings: readings.collect(),
        }
    }

    /// Leaves an axis at its middle in a fit: the readings are medians of many
    /// laboratories. A forecast draws it.
    #[must_use]
    pub fn middle(mut self, kind: InputKind) -> Self {
        if let Bench::Plan {
            plan, axes, held, ..
        } = &mut self.bench
        {
            let all = inputs(plan);
            for (held, &k) in held.iter_mut().zip(axes.iter()) {
                *held |= all[k].kind == kind;
            }
        }
        self
    }

    /// What each laboratory read, beside the reading added last.
    #[must_use]
    pub fn by_laboratory(mut self, each: Vec<f64>) -> Self {
        if let Some(reading) = self.readings.last_mut() {
            reading.laboratories = each;
        }
        self
    }

    /// Adds a reading.
    #[must_use]
    pub fn read(
        mut self,
        what: &str,
        (published, sd): (f64, f64),
        scale: Scale,
        unit: &'static str,
        of: impl Fn(&WorldRun) -> f64 + Sync + Send + 'static,
    ) -> Self {
        self.readings.push(Reading {
            what: what.to_owned(),
            published,
            sd,
            scale,
            unit,
            laboratories: Vec::new(),
            of: Box::new(of),
        });
        self
    }

    /// Whether it is a living culture rather than a plan.
    pub fn is_culture(&self) -> bool {
        matches!(self.bench, Bench::Culture { .. })
    }

    /// Coordinates that are the trial's own.
    pub fn own(&self) -> usize {
        match &self.bench {
            Bench::Plan { axes, .. } => axes.len(),
            Bench::Culture { .. } => CULTURE.len(),
        }
    }

    /// Whether an own coordinate stays at its middle in a fit.
    pub fn is_held(&self, own: usize) -> bool {
        matches!(&self.bench, Bench::Plan { held, .. } if held[own])
    }

    /// Every reading's answer (not yet on its scale) for each pair of constants and
    /// own coordinates.
    ///
    /// # Errors
    /// As [`fenlamp_model::forecast::runs::run_worlds`].
    pub fn answers(&self, members: &[(Inferred, &[f64])]) -> Result<Vec<Vec<f64>>, WorldError> {
        match &self.bench {
            Bench::Plan { .. } => Ok(self
                .run(members)?
                .iter()
                .map(|run| self.readings.iter().map(|r| (r.of)(run)).collect())
                .collect()),
            Bench::Culture { celsius } => Ok(members
                .iter()
                .map(|(constants, own)| relative_rates(constants, own, celsius))
                .collect()),
        }
    }

    /// Runs a world for each pair of constants and own coordinates; none for a culture.
    ///
    /// # Errors
    /// As [`fenlamp_model::forecast::runs::run_worlds`].
    pub fn run(&self, members: &[(Inferred, &[f64])]) -> Result<Vec<WorldRun>, WorldError> {
        let Bench::Plan {
            plan, shared, axes, ..
        } = &self.bench
        else {
            return Ok(Vec::new());
        };
        let dimensions = WorldDraw::dimensions(plan);
        let normal = standard();
        let draws: Vec<WorldDraw> = members
            .iter()
            .map(|(constants, own)| {
                let mut unit = vec![0.5; dimensions];
                for (&axis, &z) in axes.iter().zip(*own) {
                    unit[axis] = normal.cdf(z);
                }
                let mut draw = WorldDraw::from_unit(plan, &unit, 0);
                draw.inferred = *constants;
                draw
            })
            .collect();
        fenlamp_model::forecast::runs::run_worlds(plan, shared, &draws)
    }
}

fn relative_rates(constants: &Inferred, own: &[f64], celsius: &[f64]) -> Vec<f64> {
    let thermal = constants.thermal();
    let share = |k: usize| (CULTURE[k].0 + CULTURE[k].1 * own[k]).exp();
    let rate = |t_c: f64| {
        let guild = RateFactors::at(&thermal, t_c + 273.15).guild;
        share(0) * guild[0] + guild[1] + share(1) * guild[2]
    };
    let last = celsius.last().map_or(f64::NAN, |&t| rate(t));
    celsius.iter().map(|&t| rate(t) / last).collect()
}
