//! What the rules look at, and the published limits they compare with.

use super::{Evidence, Found, Severity};
use fenlamp_model::band::Quantiles;
use fenlamp_model::forecast::bands::Forecast;
use fenlamp_model::gas::Mixture as Gas;
use fenlamp_model::plan::{Plan, VesselMode};
use fenlamp_model::reference::{LimitState, OperatingLimit, digestion_limits, safety_limits};
use fenlamp_model::world::{DayRow, WorldRun};
use fenlamp_quantity::Units;

/// A plan and its forecast, as the rules see them.
pub(super) struct Case<'a> {
    pub plan: &'a Plan,
    pub forecast: &'a Forecast,
    pub runs: &'a [WorldRun],
    /// Units of the words.
    pub units: Units,
}

impl<'a> Case<'a> {
    pub fn new(plan: &'a Plan, forecast: &'a Forecast, runs: &'a [WorldRun]) -> Self {
        Case {
            plan,
            forecast,
            runs,
            units: plan.units.into(),
        }
    }

    /// A figure of each world.
    pub fn over(&self, f: impl Fn(&WorldRun) -> f64) -> Quantiles {
        Quantiles::of(&mut self.runs.iter().map(f).collect::<Vec<_>>())
    }

    /// Days of a world for which `f` holds.
    pub fn days(&self, f: impl Fn(&DayRow) -> bool) -> Quantiles {
        self.over(|r| r.days.iter().filter(|d| f(d)).count() as f64)
    }

    /// Whether one world in ten or more has such days at all.
    pub fn happens(&self, days: Quantiles) -> bool {
        days.p90 >= 1.0
    }

    /// Gas of the best day, L as a bag shows it: one world in ten has a better one.
    pub fn best_day_l(&self) -> f64 {
        self.over(|r| r.days.iter().map(|d| d.gas_wet_l).fold(0.0, f64::max))
            .p90
    }

    /// Mean over the gas of a world, litre by litre; `None` without gas.
    fn of_gas(&self, f: impl Fn(&DayRow) -> f64) -> Option<Quantiles> {
        let all = |r: &WorldRun| r.days.iter().map(|d| d.gas_dry_l).sum::<f64>();
        let mut values: Vec<f64> = self
            .runs
            .iter()
            .filter(|r| all(r) > 0.0)
            .map(|r| r.days.iter().map(|d| d.gas_dry_l * f(d)).sum::<f64>() / all(r))
            .collect();
        (!values.is_empty()).then(|| Quantiles::of(&mut values))
    }

    /// The vessel's own gas on the safe side for leaks: middle methane, high sulfide.
    pub fn raw_gas(&self) -> Option<Gas> {
        let methane = self.of_gas(|d| d.methane_share)?.p50;
        let ppm = self.of_gas(|d| d.h2s_ppm)?.p90;
        Gas::biogas_with_h2s(methane.clamp(0.0, 0.9), ppm.clamp(0.0, 50_000.0)).ok()
    }

    /// Hydrogen sulfide of the gas burned, ppm: after the wash where the plan has
    /// one, one world in ten has more.
    pub fn burned_h2s_ppm(&self) -> f64 {
        // Where nothing is burned the train says zero, which is no clean gas.
        let train = self.forecast.gas_train.as_ref();
        let washed = train
            .filter(|t| t.whole.burned_l.p50 > 0.0)
            .map(|t| t.burned_h2s_ppm.p90);
        let raw = || self.of_gas(|d| d.h2s_ppm).map_or(0.0, |q| q.p90);
        washed.filter(|v| v.is_finite()).unwrap_or_else(raw)
    }

    /// The gas burned.
    pub fn burned_gas(&self) -> Option<Gas> {
        let methane = self.of_gas(|d| d.methane_share)?.p50;
        // Only gas that holds a flame is burned.
        let methane = methane.clamp(fenlamp_model::world::outcome::FLAME_METHANE_SHARE, 0.9);
        Gas::biogas_with_h2s(methane, self.burned_h2s_ppm().clamp(0.0, 50_000.0)).ok()
    }

    /// Gas of the full store, L.
    pub fn store_full_l(&self) -> Option<f64> {
        self.forecast
            .gas_train
            .as_ref()?
            .store
            .full_l
            .filter(|l| *l > 0.0)
    }

    /// Days of the forecast.
    pub fn length(&self) -> f64 {
        f64::from(self.plan.days)
    }

    /// The months of the forecast as ranges of days, with the month (0 = January).
    pub fn months(&self) -> Vec<(usize, std::ops::Range<usize>)> {
        let months = fenlamp_model::world::calendar::months(self.plan);
        let mut out: Vec<(usize, std::ops::Range<usize>)> = Vec::new();
        for (day, month) in months.into_iter().enumerate() {
            match out.last_mut() {
                Some((last, range)) if *last == month => range.end = day + 1,
                _ => out.push((month, day..day + 1)),
            }
        }
        out
    }

    /// Mean over the days of a range in the middle world.
    pub fn mean(&self, days: &std::ops::Range<usize>, f: impl Fn(&DayRow) -> f64) -> f64 {
        self.over(|r| {
            let rows = r.days.get(days.clone()).unwrap_or(&[]);
            rows.iter().map(&f).sum::<f64>() / rows.len().max(1) as f64
        })
        .p50
    }

    /// Whether anything is fed after the fill.
    pub fn is_fed(&self) -> bool {
        self.plan.vessel.mode != VesselMode::Batch && !self.plan.waste.is_empty()
    }

    /// The feedstocks that go into the vessel, by feed or by fill (not the heap's).
    pub fn in_vessel(&self) -> Vec<&'a fenlamp_model::feed::Feedstock> {
        let plan = self.plan;
        let fed = self
            .is_fed()
            .then_some(plan.waste.iter().map(|w| w.feedstock));
        let mut used: Vec<usize> = fed
            .into_iter()
            .flatten()
            .chain(plan.first_fill.feed.iter().map(|f| f.0))
            .collect();
        used.sort_unstable();
        used.dedup();
        used.into_iter().map(|i| &plan.feedstocks[i]).collect()
    }
}

/// A row of `digestion_limits.csv`.
pub(crate) fn limit(
    parameter: &str,
    state: LimitState,
    which: impl Fn(&OperatingLimit) -> bool,
) -> Option<&'static OperatingLimit> {
    digestion_limits()
        .iter()
        .find(|row| row.parameter == parameter && row.state == state && which(row))
}

/// The row of a design table that goes by slurry temperature ("25-30 degC, ...");
/// colder than the table takes its coldest row.
pub(crate) fn limit_at(
    parameter: &str,
    state: LimitState,
    slurry_c: f64,
) -> Option<&'static OperatingLimit> {
    let rows = || {
        digestion_limits()
            .iter()
            .filter(|row| row.parameter == parameter && row.state == state)
            .filter_map(|row| Some((temperature_span(&row.conditions)?, row)))
    };
    let within = rows().find(|((low, high), _)| (*low..*high).contains(&slurry_c));
    let coldest = || rows().min_by(|a, b| a.0.0.total_cmp(&b.0.0));
    let warmest = || rows().max_by(|a, b| a.0.1.total_cmp(&b.0.1));
    within
        .or_else(|| coldest().filter(|((low, _), _)| slurry_c < *low))
        .or_else(|| warmest().filter(|((_, high), _)| slurry_c >= *high))
        .map(|(_, row)| row)
}

/// "digester 25-30 degC, manure" gives (25, 30).
fn temperature_span(conditions: &str) -> Option<(f64, f64)> {
    let (before, _) = conditions.split_once(" degC")?;
    let (low, high) = before.rsplit(' ').next()?.split_once('-')?;
    Some((low.parse().ok()?, high.parse().ok()?))
}

/// Value and source key of a row of `safety_limits.csv`.
pub(super) fn safety(hazard: &str, name: &str) -> Option<(f64, &'static str)> {
    let row = safety_limits()
        .iter()
        .find(|r| r.hazard == hazard && r.name == name)?;
    Some((row.value?, &row.source_key))
}

/// A number behind a finding.
pub(super) fn number(name: &'static str, value: f64) -> Evidence {
    Evidence { name, value }
}

/// A finding.
pub(super) fn found(
    severity: Severity,
    words: String,
    evidence: Vec<Evidence>,
    keys: &[&str],
) -> Option<Found> {
    let mut source_keys: Vec<String> = Vec::new();
    for key in keys {
        if !source_keys.iter().any(|k| k == key) {
            source_keys.push((*key).to_owned());
        }
    }
    Some(Found {
        severity,
        words,
        evidence,
        source_keys,
    })
}
