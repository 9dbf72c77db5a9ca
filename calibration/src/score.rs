//! How well bands hold: count inside, ratio of medians, interval score.

use nalgebra::DMatrix;

use crate::ensemble::quantile;
use crate::trial::{Group, Scale, Trial};

/// One reading and the engine's band of eight in ten.
#[derive(Debug, Clone)]
pub struct Score {
    /// Source key.
    pub source: &'static str,
    /// Part of the biology.
    pub group: Group,
    /// Name of the trial.
    pub trial: String,
    /// What was read.
    pub what: String,
    /// Unit.
    pub unit: &'static str,
    /// Published.
    pub published: f64,
    /// The engine's 10, 50 and 90 %.
    pub band: [f64; 3],
    /// Standard deviation of reading and model, on the reading's scale.
    pub sd: f64,
    /// How it is compared.
    pub scale: Scale,
    /// What each laboratory read, where the published value is their median.
    pub laboratories: Vec<f64>,
}

impl Score {
    fn scaled(&self, value: f64) -> f64 {
        match self.scale {
            Scale::Log => value.abs().max(1e-9).ln(),
            Scale::Linear => value,
        }
    }

    fn figures(&self) -> &[f64] {
        match self.laboratories.as_slice() {
            [] => std::slice::from_ref(&self.published),
            each => each,
        }
    }

    /// Share of the laboratories' figures that lie in the band; of one figure, all or
    /// nothing.
    pub fn inside(&self) -> f64 {
        let figures = self.figures();
        let inside = |v: &&f64| (self.band[0]..=self.band[2]).contains(*v);
        figures.iter().filter(inside).count() as f64 / figures.len() as f64
    }

    /// Our band's width over the laboratories' own, as logarithms.
    pub fn width_on_laboratories(&self) -> Option<f64> {
        let ln: Vec<f64> = self.laboratories.iter().map(|v| v.ln()).collect();
        (ln.len() > 4)
            .then(|| (self.band[2] / self.band[0]).ln() / (quantile(&ln, 0.9) - quantile(&ln, 0.1)))
    }

    /// Ours over published, for what has a ratio.
    pub fn ratio(&self) -> Option<f64> {
        (self.scale == Scale::Log).then(|| self.band[1] / self.published)
    }

    /// The interval score of a band of eight in ten (Gneiting and Raftery 2007, J. Am.
    /// Stat. Assoc. 102, 359; from memory) on the reading's scale, in its standard
    /// deviations: width, and ten times what a figure lies outside. Less is better.
    pub fn interval_score(&self) -> f64 {
        let [low, _, high] = self.band.map(|v| self.scaled(v));
        let figures = self.figures().iter().map(|&v| self.scaled(v));
        let outside: f64 = figures
            .map(|at| (low - at).max(0.0) + (at - high).max(0.0))
            .sum();
        (high - low + 10.0 * outside / self.figures().len() as f64) / self.sd
    }
}

/// Scores of answers (members by readings, on the readings' scales).
pub fn of(trials: &[Trial], answers: &DMatrix<f64>) -> Vec<Score> {
    let readings = trials
        .iter()
        .flat_map(|t| t.readings.iter().map(move |r| (t, r)));
    readings
        .zip(answers.column_iter())
        .map(|((trial, r), column)| {
            let values: Vec<f64> = column.iter().copied().collect();
            let back = |v: f64| if r.scale == Scale::Log { v.exp() } else { v };
            Score {
                source: trial.source,
                group: trial.group,
                trial: trial.name.clone(),
                what: r.what.clone(),
                unit: r.unit,
                published: r.published,
                band: [0.1, 0.5, 0.9].map(|share| back(quantile(&values, share))),
                sd: r.sd,
                scale: r.scale,
                laboratories: r.laboratories.clone(),
            }
        })
        .collect()
}

/// Mean square of the distance of the middle from the published, in standard deviations.
pub fn misfit(scores: &[Score]) -> f64 {
    let square = |s: &Score| ((s.scaled(s.band[1]) - s.scaled(s.published)) / s.sd).powi(2);
    scores.iter().map(square).sum::<f64>() / scores.len().max(1) as f64
}

/// Count inside, median ratio and mean interval score, in a line.
pub fn summary(scores: &[Score]) -> String {
    let ratios: Vec<f64> = scores.iter().filter_map(Score::ratio).collect();
    let inside: f64 = scores.iter().map(Score::inside).sum();
    format!(
        "{inside:.0} of {} inside, median of ours over published {:.2}, interval score {:.1}, misfit {:.2}",
        scores.len(),
        if ratios.is_empty() {
            f64::NAN
        } else {
            quantile(&ratios, 0.5)
        },
        scores.iter().map(Score::interval_score).sum::<f64>() / scores.len().max(1) as f64,
        misfit(scores)
    )
}

/// A table with the rows of one source replaced.
///
/// # Errors
/// If a row cannot be written.
pub fn replaced(table: &str, source: &str, scores: &[Score]) -> Result<String, csv::Error> {
    let mine = csv(scores)?;
    let own = format!("{source},");
    let kept = table.lines().skip(1).filter(|l| !l.starts_with(&own));
    let lines: Vec<&str> = mine.lines().chain(kept).collect();
    Ok(lines.join("\n") + "\n")
}

/// The scores as a table.
///
/// # Errors
/// If a row cannot be written.
pub fn csv(scores: &[Score]) -> Result<String, csv::Error> {
    let mut out = csv::Writer::from_writer(Vec::new());
    out.write_record([
        "source",
        "group",
        "trial",
        "what",
        "unit",
        "published",
        "low",
        "mid",
        "high",
        "inside",
        "interval_score",
        "ratio",
    ])?;
    for s in scores {
        let number = |v: f64| format!("{v:.4}");
        out.write_record([
            s.source.to_owned(),
            s.group.word().to_owned(),
            s.trial.clone(),
            s.what.clone(),
            s.unit.to_owned(),
            number(s.published),
            number(s.band[0]),
            number(s.band[1]),
            number(s.band[2]),
            format!("{:.2}", s.inside()),
            number(s.interval_score()),
            s.ratio().map(number).unwrap_or_default(),
        ])?;
    }
    let bytes = out.into_inner().map_err(|e| e.into_error())?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}
