//! What was learned, put together.

use jiff::civil::Date;
use serde::Serialize;

use super::observe::{Doubt, spells};
use super::record::Record;
use super::{Bent, Foresight, SPELL_DAYS};
use fenlamp_model::band::Quantiles;
use fenlamp_model::plan::Plan;
use fenlamp_model::world::WorldRun;
use fenlamp_model::world::draw::InputKind;

/// One uncertain input before and after.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LearnedInput {
    /// Id, as the forecast's levers have it.
    pub id: String,
    /// Its name.
    pub name: String,
    /// Kind.
    pub kind: InputKind,
    /// Index in the plan's feedstocks.
    #[serde(skip)]
    pub feedstock: Option<usize>,
    /// Its band before anything was seen.
    pub before: Quantiles,
    /// Its band now.
    pub now: Quantiles,
    /// Width now over width before, on the scale on which it was drawn.
    pub narrowed: f64,
    /// Whether it is worth a sentence.
    #[serde(skip)]
    pub tells: bool,
    /// What was learned, in words; empty when little was.
    pub words: String,
}

/// One day to come (or gone), before and after learning; L of gas as a bag shows it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DayAhead {
    /// Date.
    pub date: Date,
    /// Gas before anything was seen, with the feed of the diary.
    pub gas_wet_l_before: Quantiles,
    /// Gas now.
    pub gas_wet_l: Quantiles,
    /// pH now.
    pub ph: Quantiles,
    /// Slurry now, degC.
    pub slurry_c: Quantiles,
}

/// What a diary taught.
#[derive(Debug, Clone)]
pub struct Learned {
    /// The plan with the diary's wastes, run on into the days ahead.
    pub plan: Plan,
    /// Day of the run that is today.
    pub today: u32,
    /// The worlds as they are now.
    pub worlds: Bent,
    /// Their runs to the end of the days ahead.
    pub runs: Vec<WorldRun>,
    /// The inputs, most learned first.
    pub inputs: Vec<LearnedInput>,
    /// Every day of the run.
    pub days: Vec<DayAhead>,
    /// How well the last days were foreseen; `None` without enough of a diary.
    pub foresight: Option<Foresight>,
    /// Readings that were not believed.
    pub doubts: Vec<Doubt>,
    /// Readings that were used.
    pub used: usize,
    /// What was learned, in sentences.
    pub words: Vec<String>,
}

/// Narrower than this, an input counts as learned (judgement).
pub const LEARNED: f64 = 0.8;
/// Or shifted by so much of its width (judgement).
const SHIFTED: f64 = 0.7;
/// A band whose ends are farther apart is not worth a sentence (judgement).
const WIDEST: f64 = 2.5;

pub(super) fn gather(
    record: &Record,
    plan: Plan,
    (before, before_runs): (&Bent, &[WorldRun]),
    (worlds, runs): (Bent, Vec<WorldRun>),
    foresight: Option<Foresight>,
) -> Learned {
    let (then, now) = (before.draws(&plan, record), worlds.draws(&plan, record));
    let mut inputs: Vec<LearnedInput> = worlds
        .axes
        .acting
        .iter()
        .enumerate()
        .map(|(place, &axis)| {
            let input = &worlds.axes.inputs[axis];
            let of = |draws: &[fenlamp_model::world::draw::WorldDraw]| {
                Quantiles::of(&mut draws.iter().map(|d| d.values[axis]).collect::<Vec<_>>())
            };
            let narrowed = width(&worlds.z, place) / width(&before.z, place).max(1e-9);
            let mut learned = LearnedInput {
                tells: false,
                id: input.id.clone(),
                name: input.name.clone(),
                kind: input.kind,
                feedstock: input.feedstock,
                before: of(&then),
                now: of(&now),
                narrowed,
                words: String::new(),
            };
            let telling =
                learned.now.p90 < WIDEST * learned.now.p10 || learned.kind == InputKind::YearWarmth;
            learned.tells = telling && (narrowed < LEARNED || shifted(&worlds.z, place) > SHIFTED);
            learned
        })
        .collect();
    inputs.sort_by(|a, b| a.narrowed.total_cmp(&b.narrowed));
    let days = (0..plan.days as usize)
        .map(|d| {
            let band = |runs: &[WorldRun], f: fn(&fenlamp_model::world::DayRow) -> f64| {
                Quantiles::of(&mut runs.iter().map(|r| f(&r.days[d])).collect::<Vec<_>>())
            };
            DayAhead {
                date: record.date(d as u32),
                gas_wet_l_before: band(before_runs, |r| r.gas_wet_l),
                gas_wet_l: band(&runs, |r| r.gas_wet_l),
                ph: band(&runs, |r| r.ph),
                slurry_c: band(&runs, |r| r.slurry_c),
            }
        })
        .collect();
    let (used, doubts) = spells(&record.seen, 0..record.today + 1, SPELL_DAYS);
    Learned {
        plan,
        today: record.today,
        worlds,
        runs,
        inputs,
        days,
        foresight,
        doubts,
        used: used.iter().map(|s| s.days.len()).sum(),
        words: Vec::new(),
    }
}

fn width(z: &[Vec<f64>], axis: usize) -> f64 {
    let n = z.len() as f64;
    let mean = z.iter().map(|w| w[axis]).sum::<f64>() / n;
    (z.iter().map(|w| (w[axis] - mean).powi(2)).sum::<f64>() / n).sqrt()
}

fn shifted(z: &[Vec<f64>], axis: usize) -> f64 {
    (z.iter().map(|w| w[axis]).sum::<f64>() / z.len() as f64).abs()
}

impl Learned {
    /// Mean gas a day over some days of the run, before learning and now, L.
    pub fn mean_gas_l(&self, days: std::ops::Range<usize>) -> Quantiles {
        let days = days.start.min(self.days.len())..days.end.min(self.days.len());
        let n = days.len().max(1) as f64;
        Quantiles::of(
            &mut self
                .runs
                .iter()
                .map(|r| {
                    r.days[days.clone()]
                        .iter()
                        .map(|d| d.gas_wet_l)
                        .sum::<f64>()
                        / n
                })
                .collect::<Vec<_>>(),
        )
    }
}
