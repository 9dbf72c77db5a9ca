//! `docs/calibration.md` and its pictures.

use std::collections::BTreeMap;
use std::error::Error;
use std::fmt::Write as _;
use std::path::Path;

use fenlamp_model::world::{DayRow, WorldRun};

use crate::data::{SlurryDay, rates, slurry};
use crate::ensemble::{Ensemble, Size, quantile};
use crate::picture::{self, Axes, Band};
use crate::prior::Prior;
use crate::score::{self, Score};
use crate::trial::Trial;

/// Folder of the pictures, from the project's.
const PICTURES: &str = "docs/calibration";

/// Everything the document tells.
pub struct Told<'a> {
    /// Constants before the data.
    pub priors: &'a [Prior],
    /// The trials.
    pub trials: &'a [Trial],
    /// Constants after the data.
    pub fitted: &'a Ensemble,
    /// The same with what is the trials' own drawn anew.
    pub forecast: &'a Ensemble,
    /// The forecast's bands.
    pub scores: &'a [Score],
    /// `forms.csv` as it stands.
    pub forms: &'a str,
    /// `left_out.csv` as it stands.
    pub left_out: &'a str,
}

/// Writes the document and the pictures.
///
/// # Errors
/// If a file cannot be written or a world cannot be run.
pub fn write(told: &Told) -> Result<(), Box<dyn Error>> {
    // Pictures are numbered by trial: none of an older set may stay.
    if Path::new(PICTURES).exists() {
        std::fs::remove_dir_all(PICTURES)?;
    }
    std::fs::create_dir_all(PICTURES)?;
    let mut out = String::from(HEAD);
    left_out(&mut out, told.left_out)?;
    constants(&mut out, told)?;
    forms(&mut out, told.forms)?;
    out.push_str("\n## What each source shows\n\nBands are those of a forecast: the constants as inferred, each trial's own lot of waste and seed drawn anew from the tables.\n");
    let mut sources: Vec<&str> = told.trials.iter().map(|t| t.source).collect();
    sources.dedup();
    for source in sources {
        writeln!(out, "\n### {source}\n")?;
        for (number, trial) in told
            .trials
            .iter()
            .enumerate()
            .filter(|(_, t)| t.source == source)
        {
            pictures(&mut out, told, number, trial)?;
            if trial.is_culture() {
                culture(&mut out, told, number, trial)?;
            }
        }
        let mine: Vec<Score> = told
            .scores
            .iter()
            .filter(|s| s.source == source)
            .cloned()
            .collect();
        writeln!(out, "{}.\n", score::summary(&mine))?;
        if source != "ELSGAARD16" {
            readings(&mut out, &mine)?;
        }
    }
    std::fs::write(DOCUMENT, out)?;
    Ok(())
}

/// Tells the sources left out anew in the document as it stands.
///
/// # Errors
/// If the document or the table cannot be read or written.
pub fn retell_left_out(csv: &str) -> Result<(), Box<dyn Error>> {
    let old = std::fs::read_to_string(DOCUMENT)?;
    let (Some(from), Some(to)) = (old.find(LEFT_OUT_HEAD), old.find(CONSTANTS_HEAD)) else {
        return Err(format!("{DOCUMENT} lacks a heading; run fit").into());
    };
    let mut new = old[..from].to_owned();
    left_out(&mut new, csv)?;
    new.push_str(&old[to..]);
    std::fs::write(DOCUMENT, new)?;
    Ok(())
}

const DOCUMENT: &str = "docs/calibration.md";
const LEFT_OUT_HEAD: &str = "\n## Each source foretold without itself\n\n";
const CONSTANTS_HEAD: &str = "\n## The constants\n\n";

const HEAD: &str = "# The constants of the digestion, inferred from open data

Written by the calibration program; nobody types these numbers:

    cargo run --profile fit -p fenlamp-calibration -- fit
    cargo run --profile fit -p fenlamp-calibration -- leave-one-out
    cargo run --profile fit -p fenlamp-calibration -- forms

It runs the engine of the forecasts on published trials (`calibration/data`,
`calibration/src/trials`) and moves an ensemble of constants, by an ensemble smoother
with multiple data assimilation, from what was believed before (`calibration/priors.csv`)
to where the answers meet the readings; what few members learn by chance is measured on
coordinates that nothing depends on and given back as spread. The worlds of every forecast draw from the
table it writes, `reference/biology.csv`, with its correlations. What is said here is a
fit: evidence is only the table of sources left out, and `docs/validation.md`.
";

fn left_out(out: &mut String, csv: &str) -> Result<(), Box<dyn Error>> {
    /// Inside, interval score, ratio.
    type Row = (f64, f64, Option<f64>);
    let mut by: BTreeMap<(u8, String), Vec<Row>> = BTreeMap::new();
    for row in csv::Reader::from_reader(csv.as_bytes()).deserialize() {
        let row: BTreeMap<String, String> = row?;
        let cell = |k: &str| row.get(k).cloned().unwrap_or_default();
        let value = (
            cell("inside").parse()?,
            cell("interval_score").parse()?,
            cell("ratio").parse().ok(),
        );
        by.entry((0, "all".into())).or_default().push(value);
        by.entry((1, cell("group"))).or_default().push(value);
        by.entry((2, cell("source"))).or_default().push(value);
    }
    let Size { members, rounds } = Size::SMALL;
    out.push_str(LEFT_OUT_HEAD);
    write!(
        out,
        "Fitted anew without a source (a smaller ensemble: {members} members, {rounds} rounds), then foretold: how many readings lie in the band of eight in ten (of readings of many laboratories, the share of them), the median of ours over the published, and the mean interval score (in standard deviations of the readings; less is better, a sharp right band has 2.6).\n\n"
    )?;
    out.push_str("| | readings | inside | share | median of ours over published | interval score |\n|---|---:|---:|---:|---:|---:|\n");
    for ((_, name), all) in by {
        let inside: f64 = all.iter().map(|v| v.0).sum();
        let ratios: Vec<f64> = all.iter().filter_map(|v| v.2).collect();
        let ratio = if ratios.is_empty() {
            "".into()
        } else {
            format!("{:.2}", quantile(&ratios, 0.5))
        };
        let score = all.iter().map(|v| v.1).sum::<f64>() / all.len() as f64;
        writeln!(
            out,
            "| {name} | {} | {inside:.0} | {:.0} % | {ratio} | {score:.1} |",
            all.len(),
            100.0 * inside / all.len() as f64
        )?;
    }
    Ok(())
}

fn constants(out: &mut String, told: &Told) -> Result<(), Box<dyn Error>> {
    out.push_str(CONSTANTS_HEAD);
    out.push_str("Low, middle and high are the values that a tenth, half and nine tenths lie below. *Learned* is how much narrower the data made the band of the logarithm.\n\n| constant | before | after | unit | learned | what it is, and whence the belief |\n|---|---|---|---|---:|---|\n");
    let columns: Vec<Vec<f64>> = told
        .priors
        .iter()
        .enumerate()
        .map(|(k, p)| told.fitted.z.column(k).iter().map(|&z| p.at(z)).collect())
        .collect();
    for (p, values) in told.priors.iter().zip(&columns) {
        let q = [0.1, 0.5, 0.9].map(|s| quantile(values, s));
        let width = |b: [f64; 3]| (b[2] / b[0]).ln();
        writeln!(
            out,
            "| `{}` | {} ({} to {}) | {} ({} to {}) | {} | {:.0} % | {} ({}, {}) |",
            p.id,
            say(p.band[1]),
            say(p.band[0]),
            say(p.band[2]),
            say(q[1]),
            say(q[0]),
            say(q[2]),
            p.unit,
            100.0 * (1.0 - width(q) / width(p.band)),
            p.what,
            p.source_key,
            p.how
        )?;
    }
    out.push_str(
        "\nConstants that the data tie together (correlation of the logarithms beyond 0.35):",
    );
    let table = crate::table::correlations(told.priors, told.fitted);
    let mut none = true;
    for a in 0..told.priors.len() {
        for b in a + 1..told.priors.len() {
            if table[(a, b)].abs() > 0.35 {
                write!(
                    out,
                    "{} `{}` with `{}` {:+.2}",
                    if none { "" } else { ";" },
                    told.priors[a].id,
                    told.priors[b].id,
                    table[(a, b)]
                )?;
                none = false;
            }
        }
    }
    out.push_str(if none { " none.\n" } else { ".\n" });
    Ok(())
}

fn forms(out: &mut String, csv: &str) -> Result<(), Box<dyn Error>> {
    if csv.is_empty() {
        out.push_str("\n## The forms\n");
        out.push_str(FORMS);
        return Ok(());
    }
    out.push_str("\n## The forms\n\nThe same fit (smaller) without each term that can be switched off. Misfit is the mean square of middle against published in standard deviations of the readings: a term whose loss does not raise it is not asked for by these data.\n\n| without | misfit | inside their own fit |\n|---|---:|---:|\n");
    for row in csv::Reader::from_reader(csv.as_bytes()).records() {
        let row = row?;
        writeln!(
            out,
            "| {} | {} | {} of {} |",
            &row[0], &row[1], &row[2], &row[3]
        )?;
    }
    out.push_str(FORMS);
    Ok(())
}

/// How near the curve comes with the culture's own shares of the guilds inferred.
fn culture(
    out: &mut String,
    told: &Told,
    number: usize,
    trial: &Trial,
) -> Result<(), Box<dyn Error>> {
    let answers = told.fitted.answers_of(told.priors, trial, number)?;
    let off = trial.readings.iter().enumerate().map(|(k, r)| {
        let each: Vec<f64> = answers.iter().map(|a| a[k]).collect();
        (&r.what, (quantile(&each, 0.5) / r.published).log10())
    });
    let all: Vec<(&String, f64)> = off.collect();
    let within = all.iter().filter(|(_, v)| v.abs() <= NEAR).count();
    let worst = all.iter().max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()));
    if let Some((what, by)) = worst {
        writeln!(
            out,
            "{}, its own shares of the guilds inferred: {within} of {} within {NEAR} in log10, \
             farthest {by:+.2} ({what}).\n",
            trial.name,
            all.len()
        )?;
    }
    Ok(())
}

/// Distance in log10 at which a rate counts as met.
const NEAR: f64 = 0.15;

const FORMS: &str = "
Left out: a fourth guild of methanogens (three meet the four temperature curves within
a factor of 1.4 from 5 to 40 degC); inhibition by long-chain fatty acids (a fit with
it moved its half-rate from 2 to 7 kg COD/m3, beyond what feeds reach, and the lag of the
fat-rich bottles by seed ratio was met as well without); a single Contois constant
(fresh slurry wants one so large that slow fibre hardly digests in a working vessel: the
constant now follows each pool's rate); a factor on the speed of all methanogens (it came
back at 0.83, 0.63 to 1.18, and the fit was no better); a lower pH of half rate for
fermenters in place of lactic acid (soured drums moved from pH 4.9 to 4.85 only).
Acids brake breakdown by their square: with the first power slurry at 15 degC goes on
souring, where the measured one stands still for weeks. Lactic acid by itself moved the
low end of the soured drums only (4.74 to 4.66), for breakdown had stopped before: the pH
that halves it stood at 5.9 before the data, recalled; a second recollection of the same
source is 5.3, so that the band before the data holds both now. A half-saturation
of acetate ten times ADM1's, as for a store that nobody stirs, left the slurry at 25 degC
without acids by day 85 all the same (0.08 g/L in the middle, 3.1 measured), and 99 of the
144 figures inside instead of 102. Not
tried yet: a slow and a fast pool for each feed beside its soluble share; a dead share of
the vessel; methanogens that settle in an unstirred store, for want of which slurry at
25 degC uses up its acids too soon.
";

fn pictures(
    out: &mut String,
    told: &Told,
    number: usize,
    trial: &Trial,
) -> Result<(), Box<dyn Error>> {
    let file = |what: &str| format!("{}-{number}-{what}.svg", trial.source.to_lowercase());
    let mut draw = |what: &str,
                    axes: Axes,
                    band: &Band,
                    points: &[(f64, f64)]|
     -> Result<(), Box<dyn Error>> {
        let name = file(what);
        picture::band(&Path::new(PICTURES).join(&name), axes, band, points)?;
        writeln!(out, "![{}, {what}](calibration/{name})\n", axes.title)?;
        Ok(())
    };
    match trial.source {
        "ELSGAARD16" => {
            let mut band: Band = told
                .scores
                .iter()
                .filter(|s| s.trial == trial.name)
                .filter_map(|s| {
                    let t_c = s
                        .what
                        .trim_start_matches("rate at ")
                        .trim_end_matches(" degC")
                        .parse()
                        .ok()?;
                    Some((t_c, s.band))
                })
                .collect();
            band.sort_by(|a, b| a.0.total_cmp(&b.0));
            let material = trial.name.rsplit(' ').next().unwrap_or_default();
            let all = rates(material);
            let top = all
                .iter()
                .min_by(|a, b| (a.0 - 35.0).abs().total_cmp(&(b.0 - 35.0).abs()))
                .map_or(1.0, |r| r.1);
            let points: Vec<(f64, f64)> = all
                .iter()
                .filter(|r| r.0 <= 42.0)
                .map(|r| (r.0, r.1 / top))
                .collect();
            let title = format!("{} against 35 degC", trial.name);
            draw(
                "rate",
                Axes {
                    title: &title,
                    x: "degC",
                    y: "rate",
                    log: true,
                },
                &band,
                &points,
            )
        }
        "DALBY23" => {
            let runs = told.forecast.run(told.priors, trial, number)?;
            let t_c = if trial.name.contains("15") {
                15.0
            } else {
                25.0
            };
            let days: Vec<SlurryDay> = slurry().into_iter().filter(|d| d.t_c == t_c).collect();
            let points = |of: fn(&SlurryDay) -> Option<f64>| -> Vec<(f64, f64)> {
                days.iter().filter_map(|d| Some((d.day, of(d)?))).collect()
            };
            let methane = days
                .iter()
                .filter(|d| d.methane_g_kg_d.is_some())
                .map(|d| (d.day, crate::trials::methane_until(&days, d.day)))
                .collect::<Vec<_>>();
            let mut sums: Vec<Vec<f64>> = Vec::new();
            for run in &runs {
                let mut sum = 0.0;
                sums.push(
                    run.days
                        .iter()
                        .map(|d| {
                            sum += d.methane_l;
                            sum / fenlamp_validation::bench::SLURRY_VS_KG
                        })
                        .collect(),
                );
            }
            let cumulated: Band = (0..86)
                .map(|d| (d as f64 + 1.0, middle(sums.iter().map(|s| s[d]))))
                .collect();
            draw(
                "methane",
                Axes {
                    title: &trial.name,
                    x: "day",
                    y: "L CH4/kg VS",
                    log: false,
                },
                &cumulated,
                &methane,
            )?;
            draw(
                "ph",
                Axes {
                    title: &trial.name,
                    x: "day",
                    y: "pH",
                    log: false,
                },
                &daily(&runs, |d| d.ph),
                &points(|d| d.ph),
            )?;
            draw(
                "acids",
                Axes {
                    title: &trial.name,
                    x: "day",
                    y: "acids, g/L",
                    log: false,
                },
                &daily(&runs, |d| d.acids_mg_l / 1000.0),
                &points(|d| d.acids_g_kg),
            )
        }
        _ => Ok(()),
    }
}

fn daily(runs: &[WorldRun], of: impl Fn(&DayRow) -> f64) -> Band {
    (0..runs.first().map_or(0, |r| r.days.len()))
        .map(|d| (d as f64, middle(runs.iter().map(|r| of(&r.days[d])))))
        .collect()
}

fn middle(values: impl Iterator<Item = f64>) -> [f64; 3] {
    let all: Vec<f64> = values.collect();
    [0.1, 0.5, 0.9].map(|s| quantile(&all, s))
}

fn readings(out: &mut String, scores: &[Score]) -> Result<(), Box<dyn Error>> {
    out.push_str("| trial | reading | published | ours | unit | |\n|---|---|---:|---:|---|---|\n");
    for s in scores {
        writeln!(
            out,
            "| {} | {} | {} | {} ({} to {}) | {} | {} |",
            s.trial,
            s.what,
            say(s.published),
            say(s.band[1]),
            say(s.band[0]),
            say(s.band[2]),
            s.unit,
            remark(s)
        )?;
    }
    Ok(())
}

fn remark(s: &Score) -> String {
    match s.width_on_laboratories() {
        Some(width) => format!(
            "{:.0} % of {} laboratories, {width:.1} times as wide as theirs",
            100.0 * s.inside(),
            s.laboratories.len()
        ),
        None if s.inside() > 0.5 => String::new(),
        None => "outside".into(),
    }
}

/// Two to three figures.
fn say(value: f64) -> String {
    let digits = (2 - value.abs().max(1e-9).log10().floor() as i32).clamp(0, 6) as usize;
    let text = format!("{value:.digits$}");
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}
