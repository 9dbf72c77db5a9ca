//! What a check is worth: an identity, a fit, or evidence.

use std::collections::BTreeMap;
use std::fmt::Write;

use crate::{Check, Evidence, Published};

/// The three parts with their counts, and how our bands did on figures never used.
pub fn summary(out: &mut String, checks: &[&Check]) {
    let of = |word: &str| checks.iter().filter(|c| c.evidence.word() == word).count();
    out.push_str("| part | checks | what it says |\n|---|---:|---|\n");
    let _ = writeln!(
        out,
        "| identities and library oracles | {} | the equations are written as published |\n\
         | figures that a constant was fitted or chosen on | {} | the fit is what it claims to be, no more |\n\
         | figures never used | {} | evidence |\n",
        of("identity"),
        of("fitted"),
        of("unused")
    );
    let banded: Vec<&&Check> = checks
        .iter()
        .filter(|c| c.evidence == Evidence::Unused && c.band.is_some())
        .collect();
    let inside = banded.iter().filter(|c| c.difference() == 0.0).count();
    let mut ratios: Vec<f64> = banded.iter().filter_map(|c| ratio(c)).collect();
    ratios.sort_by(f64::total_cmp);
    let scores: Vec<f64> = banded.iter().filter_map(|c| interval_score(c)).collect();
    if let Some(median) = ratios.get(ratios.len() / 2) {
        let _ = writeln!(
            out,
            "Of {} figures never used for which we say a band of eight in ten, {inside} reach into it; \
             the median of ours over published is {median:.2}, the mean interval score of the \
             logarithms {:.2} (width, and ten times what lies outside; less is better).\n",
            banded.len(),
            scores.iter().sum::<f64>() / scores.len().max(1) as f64,
        );
    }
}

/// Figures never used by part of the job: how many reach into our band.
pub fn parts(out: &mut String, checks: &[&Check]) {
    let mut by: BTreeMap<(u8, &str), Vec<&Check>> = BTreeMap::new();
    let unused = checks.iter().filter(|c| c.evidence == Evidence::Unused);
    for check in unused {
        let Some(part) = &check.part else { continue };
        by.entry((0, "all")).or_default().push(check);
        by.entry((1, part)).or_default().push(check);
    }
    out.push_str(
        "## Figures gathered and never used\n\nPublished figures that steered nothing, whose \
         conditions a run can take (`validation/figures/gathered.csv`; each stands in a table \
         below).\n\n| | figures | inside | share | median of ours over published |\n\
         |---|---:|---:|---:|---:|\n",
    );
    for ((_, name), all) in by {
        let inside = all.iter().filter(|c| c.difference() == 0.0).count();
        let mut ratios: Vec<f64> = all.iter().filter_map(|c| ratio(c)).collect();
        ratios.sort_by(f64::total_cmp);
        let median = ratios.get(ratios.len() / 2).copied().unwrap_or(f64::NAN);
        let _ = writeln!(
            out,
            "| {name} | {} | {inside} | {:.0} % | {median:.2} |",
            all.len(),
            100.0 * inside as f64 / all.len() as f64
        );
    }
    out.push('\n');
}

fn middle(published: Published) -> Option<f64> {
    match published {
        Published::Value(v) if v > 0.0 => Some(v),
        Published::Range(low, high) if low > 0.0 && high.is_finite() => Some((low * high).sqrt()),
        _ => None,
    }
}

fn ratio(check: &Check) -> Option<f64> {
    Some(check.ours / middle(check.published)?)
}

/// Interval score of a band of eight in ten on the logarithm (Gneiting and Raftery
/// 2007, from memory).
fn interval_score(check: &Check) -> Option<f64> {
    let at = middle(check.published)?.ln();
    let (low, high) = check.band.filter(|b| b.0 > 0.0)?;
    let (low, high) = (low.ln(), high.ln());
    Some(high - low + 10.0 * ((low - at).max(0.0) + (at - high).max(0.0)))
}

/// Figures of each source foretold by constants fitted without it, as the calibration
/// program left them (`calibration/left_out.csv`).
pub fn left_out(out: &mut String) {
    const LEFT_OUT: &str = include_str!("../../calibration/left_out.csv");
    let mut by: BTreeMap<(u8, String), [f64; 2]> = BTreeMap::new();
    let mut reader = csv::Reader::from_reader(LEFT_OUT.as_bytes());
    for row in reader.records().flatten() {
        let cell = |k: usize| row.get(k).unwrap_or_default().to_owned();
        for key in [(0, "all".to_owned()), (1, cell(1)), (2, cell(0))] {
            let counts = by.entry(key).or_default();
            counts[0] += 1.0;
            counts[1] += cell(9).parse::<f64>().unwrap_or(0.0);
        }
    }
    out.push_str(
        "## Each source foretold without itself\n\nThe honest measure: the constants fitted anew \
         without a source, then asked for its figures; how many lie in our band of eight in ten \
         (`docs/calibration.md` has each figure).\n\n| | figures | inside | share |\n|---|---:|---:|---:|\n",
    );
    for ((_, name), [all, inside]) in by {
        let _ = writeln!(
            out,
            "| {name} | {all} | {inside:.0} | {:.0} % |",
            100.0 * inside / all.max(1.0)
        );
    }
    out.push('\n');
}
