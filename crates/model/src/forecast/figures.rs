//! The few figures of a world that levers, what-ifs and chances compare.

use std::ops::Range;

use jiff::ToSpan;

use crate::plan::{Plan, SlurryTemperature};
use crate::world::WorldRun;
use crate::world::calendar::usual_weather;
use crate::world::outcome::{first_flame, soured};

/// Days of a year.
const YEAR_DAYS: usize = 365;
/// Coldest months that make the winter.
const WINTER_MONTHS: usize = 3;
/// Days of a month within the year that let it count (judgement).
const WHOLE_MONTH_DAYS: usize = 20;
/// Months needed to call some of them the coldest (judgement).
const MONTHS_TO_CHOOSE: usize = 6;

/// The days that count as the year and as its winter.
#[derive(Debug, Clone, PartialEq)]
pub struct Spans {
    /// The last 365 days, when the start is behind; the whole run when it is shorter.
    pub year: Range<usize>,
    /// The three coldest months by mean air, 1 = January, in the order of the year;
    /// none for a held slurry or a run of a few months.
    pub winter_months: Vec<i8>,
    /// Their days within the year.
    pub winter: Vec<usize>,
}

impl Spans {
    /// Of `plan`, by its plain weather.
    pub fn of(plan: &Plan) -> Self {
        let days = plan.days as usize;
        let year = days.saturating_sub(YEAR_DAYS)..days;
        let mut spans = Spans {
            year,
            winter_months: Vec::new(),
            winter: Vec::new(),
        };
        if !matches!(plan.slurry_temperature, SlurryTemperature::Fixed(_)) {
            spans.choose_winter(plan);
        }
        spans
    }

    fn choose_winter(&mut self, plan: &Plan) {
        let air = usual_weather(plan).daily_air_c();
        let month_of = |day: usize| plan.start.saturating_add((day as i64).days()).month();
        let mut months: Vec<(i8, f64)> = (1..=12)
            .filter_map(|month| {
                let days: Vec<usize> = self
                    .year
                    .clone()
                    .filter(|&d| month_of(d) == month)
                    .collect();
                let sum: f64 = days.iter().filter_map(|&d| air.get(d)).sum();
                (days.len() >= WHOLE_MONTH_DAYS).then(|| (month, sum / days.len() as f64))
            })
            .collect();
        if months.len() < MONTHS_TO_CHOOSE {
            return;
        }
        months.sort_by(|a, b| a.1.total_cmp(&b.1));
        let mut winter: Vec<i8> = months.iter().take(WINTER_MONTHS).map(|m| m.0).collect();
        winter.sort_unstable();
        self.winter = self
            .year
            .clone()
            .filter(|&d| winter.contains(&month_of(d)))
            .collect();
        self.winter_months = winter;
    }
}

/// Of one world.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Figures {
    /// Methane of the year, dry normal L.
    pub year_methane_l: f64,
    /// Methane of the winter, dry normal L; `None` where there is none.
    pub winter_methane_l: Option<f64>,
    /// Day of the first steady flame, from 0.
    pub first_flame: Option<usize>,
    /// Whether it turned sour.
    pub sour: bool,
}

impl Figures {
    /// Of `run`.
    pub fn of(spans: &Spans, run: &WorldRun) -> Self {
        let sum = |days: &mut dyn Iterator<Item = usize>| {
            days.filter_map(|d| run.days.get(d))
                .map(|d| d.methane_l)
                .sum::<f64>()
        };
        Figures {
            year_methane_l: sum(&mut spans.year.clone()),
            winter_methane_l: (!spans.winter.is_empty())
                .then(|| sum(&mut spans.winter.iter().copied())),
            first_flame: first_flame(&run.days),
            sour: soured(&run.days),
        }
    }

    /// Of every run.
    pub fn all(spans: &Spans, runs: &[WorldRun]) -> Vec<Self> {
        runs.iter().map(|r| Self::of(spans, r)).collect()
    }
}
