//! Writes `reference/biology.csv`, from which the worlds draw.

use nalgebra::DMatrix;
use statrs::statistics::Statistics;

use crate::ensemble::{Ensemble, quantile};
use crate::prior::Prior;

/// Correlations of the logarithms of the constants.
pub fn correlations(priors: &[Prior], ensemble: &Ensemble) -> DMatrix<f64> {
    let columns: Vec<Vec<f64>> = logarithms(priors, ensemble);
    DMatrix::from_fn(columns.len(), columns.len(), |a, b| {
        let (a, b) = (&columns[a], &columns[b]);
        a.iter().population_covariance(b.iter())
            / (a.iter().population_std_dev() * b.iter().population_std_dev())
    })
}

fn logarithms(priors: &[Prior], ensemble: &Ensemble) -> Vec<Vec<f64>> {
    let column = |(k, p): (usize, &Prior)| {
        let z = ensemble.z.column(k);
        z.iter().map(|&z| p.at(z).ln()).collect()
    };
    priors.iter().enumerate().map(column).collect()
}

/// The table: band and correlation of the logarithms of each constant.
///
/// # Errors
/// If a row cannot be written.
pub fn biology(priors: &[Prior], ensemble: &Ensemble) -> Result<String, csv::Error> {
    let columns = logarithms(priors, ensemble);
    let band = |column: &Vec<f64>| [0.1, 0.5, 0.9].map(|share| quantile(column, share).exp());
    let bands: Vec<[f64; 3]> = columns.iter().map(band).collect();
    written(priors, &bands, &correlations(priors, ensemble))
}

/// The table before the data.
///
/// # Errors
/// If a row cannot be written.
pub fn before(priors: &[Prior]) -> Result<String, csv::Error> {
    let bands: Vec<[f64; 3]> = priors.iter().map(|p| p.band).collect();
    written(priors, &bands, &DMatrix::identity(bands.len(), bands.len()))
}

fn written(
    priors: &[Prior],
    bands: &[[f64; 3]],
    correlations: &DMatrix<f64>,
) -> Result<String, csv::Error> {
    let mut out = csv::Writer::from_writer(Vec::new());
    let head = ["id", "name", "more", "unit", "low", "mid", "high"].map(str::to_owned);
    out.write_record(
        head.into_iter()
            .chain(priors.iter().map(|p| format!("r_{}", p.id))),
    )?;
    for (k, p) in priors.iter().enumerate() {
        let band = bands[k].map(figure);
        let words = [&p.id, &p.name, &p.more, &p.unit].map(Clone::clone);
        let correlation = correlations
            .row(k)
            .iter()
            .map(|r| format!("{r:.2}"))
            .collect::<Vec<_>>();
        out.write_record(words.into_iter().chain(band).chain(correlation))?;
    }
    let bytes = out.into_inner().map_err(|e| e.into_error())?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

/// Four figures: more than the data know, enough to be written and read back.
fn figure(value: f64) -> String {
    let digits = (3 - value.abs().log10().floor() as i32).max(0) as usize;
    format!("{value:.digits$}")
}
