//! How well the last days were foreseen.

use serde::Serialize;

use super::Bent;
use super::normal::Draws;
use super::record::Record;
use super::smoother::Side;
use fenlamp_model::band::Quantiles;
use fenlamp_model::world::WorldRun;

/// How the days held back compare with what was foretold of them.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Foresight {
    /// Days with a reading of gas.
    pub days: u32,
    /// Share of them inside the band of 80 %, its own reading errors counted in.
    pub inside: f64,
    /// Mean error of the middle, L a day.
    pub error_l: f64,
    /// Mean error of "the same as last week", L a day; `None` without that week.
    pub last_week_error_l: Option<f64>,
}

impl Foresight {
    /// 1 - error over the error of "the same as last week": 0 is no better, 1 is
    /// perfect.
    pub fn skill(&self) -> Option<f64> {
        let other = self.last_week_error_l?;
        (other > 0.0).then(|| 1.0 - self.error_l / other)
    }
}

/// Compares readings from `split` on with worlds that have not seen them.
pub fn foresight(
    record: &Record,
    worlds: &Bent,
    runs: &[WorldRun],
    split: u32,
) -> Option<Foresight> {
    let gas = |s: &&super::record::Seen| {
        s.what.gas_by().is_some() && s.datum.side == Side::At && s.from == s.to
    };
    let back = |ln: f64| (ln.exp() - record.least_gas_l).max(0.0);
    let last_week: Vec<f64> = record
        .seen
        .iter()
        .filter(gas)
        .filter(|s| s.to < split && s.to + 7 >= split)
        .map(|s| back(s.datum.value))
        .collect();
    let mut noise = Draws::new(11, 1 << 42);
    let (mut days, mut inside, mut error, mut other) = (0u32, 0u32, 0.0, 0.0);
    for s in record.seen.iter().filter(gas).filter(|s| s.to >= split) {
        let by = s.what.gas_by()?;
        let mut said: Vec<f64> = worlds
            .z
            .iter()
            .zip(runs)
            .map(|(z, run)| {
                let litres = run.days[s.to as usize].gas_wet_l * worlds.axes.gas_bias(z, by).exp();
                (litres + record.least_gas_l).ln() + s.datum.sd * noise.normal()
            })
            .collect();
        let band = Quantiles::of(&mut said);
        days += 1;
        inside += u32::from((band.p10..=band.p90).contains(&s.datum.value));
        let seen = back(s.datum.value);
        error += (seen - back(band.p50)).abs();
        if !last_week.is_empty() {
            let mean = last_week.iter().sum::<f64>() / last_week.len() as f64;
            other += (seen - mean).abs();
        }
    }
    (days >= 5).then(|| Foresight {
        days,
        inside: f64::from(inside) / f64::from(days),
        error_l: error / f64::from(days),
        last_week_error_l: (!last_week.is_empty()).then(|| other / f64::from(days)),
    })
}
