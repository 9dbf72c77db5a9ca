//! Infers the constants of the digestion and writes what follows from them.
//!
//! `cargo run --profile fit -p fenlamp-calibration -- fit | forms | leave-one-out`,
//! in the project's folder; `quick` fits a small ensemble and writes nothing; `prior`
//! writes the table as it was before the data, which a new constant needs once.

use std::fs;

use fenlamp_calibration::ensemble::{Ensemble, Size};
use fenlamp_calibration::prior::{Prior, priors};
use fenlamp_calibration::{report, score, table, trials};

/// One seed: the same digits on every run.
const SEED: u64 = 1;
/// The table that every world draws from.
const BIOLOGY: &str = "reference/biology.csv";
/// Where the sources left out are kept.
const LEFT_OUT: &str = "calibration/left_out.csv";

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let priors = priors(include_str!("../priors.csv"))?;
    match std::env::args().nth(1).as_deref() {
        Some("fit") => fit(&priors),
        Some("quick") => quick(&priors),
        Some("prior") => Ok(fs::write(BIOLOGY, table::before(&priors)?)?),
        Some("forms") => forms(&priors),
        Some("leave-one-out") => leave_one_out(&priors),
        _ => Err("say what to do: fit, forms, leave-one-out, quick or prior".into()),
    }
}

fn fit(priors: &[Prior]) -> Result<(), Box<dyn std::error::Error>> {
    let trials = trials::all();
    let ensemble = Ensemble::fitted(priors, &trials, Size::WHOLE, SEED)?;
    fs::write(BIOLOGY, table::biology(priors, &ensemble)?)?;
    let forecast = ensemble.forecast(priors, &trials, SEED + 1);
    let scores = score::of(&trials, &forecast.answers(priors, &trials)?);
    fs::write("calibration/fitted.csv", score::csv(&scores)?)?;
    report::write(&report::Told {
        priors,
        trials: &trials,
        fitted: &ensemble,
        forecast: &forecast,
        scores: &scores,
        forms: &fs::read_to_string("calibration/forms.csv").unwrap_or_default(),
        left_out: &fs::read_to_string(LEFT_OUT).unwrap_or_default(),
    })?;
    println!("{}", score::summary(&scores));
    Ok(())
}

/// A small fit that writes nothing: to try a form.
fn quick(priors: &[Prior]) -> Result<(), Box<dyn std::error::Error>> {
    let trials = trials::all();
    let ensemble = Ensemble::fitted(priors, &trials, Size::SMALL, SEED)?;
    let forecast = ensemble.forecast(priors, &trials, SEED + 1);
    let scores = score::of(&trials, &forecast.answers(priors, &trials)?);
    print!("{}", table::biology(priors, &ensemble)?);
    print!("{}", score::csv(&scores)?);
    println!("{}", score::summary(&scores));
    Ok(())
}

/// Fits again without each term that can be switched off.
fn forms(priors: &[Prior]) -> Result<(), Box<dyn std::error::Error>> {
    let trials = trials::all();
    let mut out = String::from("without,misfit,inside,readings\n");
    let names = std::iter::once(None).chain(priors.iter().filter(|p| p.off.is_some()).map(Some));
    for name in names {
        let mut held = priors.to_vec();
        for p in &mut held {
            p.is_off = name.is_some_and(|n| n.id == p.id);
        }
        let ensemble = Ensemble::fitted(&held, &trials, Size::SMALL, SEED)?;
        let scores = score::of(&trials, &ensemble.answers(&held, &trials)?);
        let line = format!(
            "{},{:.3},{},{}\n",
            name.map_or("nothing", |n| n.id.as_str()),
            score::misfit(&scores),
            scores.iter().map(|s| s.inside()).sum::<f64>().round(),
            scores.len()
        );
        print!("{line}");
        out.push_str(&line);
        fs::write("calibration/forms.csv", &out)?;
    }
    Ok(())
}

/// Fits without each source and foretells it. Sources named after the command are
/// done anew and the others' rows kept; with no name all are.
fn leave_one_out(priors: &[Prior]) -> Result<(), Box<dyn std::error::Error>> {
    let named: Vec<String> = std::env::args().skip(2).collect();
    let mut sources: Vec<&str> = trials::all().iter().map(|t| t.source).collect();
    sources.dedup();
    let wanted = |source: &str| named.is_empty() || named.iter().any(|n| n == source);
    for source in sources.into_iter().filter(|s| wanted(s)) {
        let (left_out, kept): (Vec<_>, Vec<_>) =
            trials::all().into_iter().partition(|t| t.source == source);
        let ensemble = Ensemble::fitted(priors, &kept, Size::SMALL, SEED)?;
        let forecast = ensemble.forecast(priors, &left_out, SEED + 1);
        let mine = score::of(&left_out, &forecast.answers(priors, &left_out)?);
        println!("{source}: {}", score::summary(&mine));
        let before = fs::read_to_string(LEFT_OUT).unwrap_or_default();
        let table = score::replaced(&before, source, &mine)?;
        report::retell_left_out(&table)?;
        fs::write(LEFT_OUT, table)?;
    }
    Ok(())
}
