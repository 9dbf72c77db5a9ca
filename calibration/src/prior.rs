//! What is known of the constants before the data: `calibration/priors.csv`.

use fenlamp_model::world::inferred::Inferred;
use statrs::distribution::{ContinuousCDF, Normal};

/// One constant before the data, lognormal with its own spread on either side.
#[derive(Debug, Clone)]
pub struct Prior {
    /// Id: a field of [`Inferred`].
    pub id: String,
    /// Name a person reads.
    pub name: String,
    /// Its upper side as the subject of a sentence.
    pub more: String,
    /// Unit.
    pub unit: String,
    /// What eight in ten of the belief lies in, and its middle.
    pub band: [f64; 3],
    /// Value at which its term changes nothing, where it has one.
    pub off: Option<f64>,
    /// Whether it is held there.
    pub is_off: bool,
    /// Source key of the band.
    pub source_key: String,
    /// How the band was got.
    pub how: String,
    /// What it is.
    pub what: String,
}

impl Prior {
    /// The constant at a standard normal coordinate.
    pub fn at(&self, z: f64) -> f64 {
        if let (true, Some(off)) = (self.is_off, self.off) {
            return off;
        }
        let [low, mid, high] = self.band;
        let spread = if z < 0.0 { mid / low } else { high / mid };
        mid * (spread.ln() * z / decile()).exp()
    }
}

/// Standard normal coordinate that a tenth lies above.
pub fn decile() -> f64 {
    standard().inverse_cdf(0.9)
}

/// The standard normal.
///
/// # Panics
/// Never: its parameters are valid.
pub fn standard() -> Normal {
    Normal::new(0.0, 1.0).expect("a valid normal")
}

/// Reads the priors, in the file's order.
///
/// # Errors
/// A row that cannot be read, or an id that the engine does not have.
pub fn priors(text: &str) -> Result<Vec<Prior>, Box<dyn std::error::Error>> {
    let mut out = Vec::new();
    for row in csv::Reader::from_reader(text.as_bytes()).records() {
        let row = row?;
        let cell = |k: usize| row.get(k).unwrap_or_default().to_owned();
        let id = cell(0);
        if !Inferred::IDS.contains(&id.as_str()) {
            return Err(format!("priors.csv: the engine has no constant {id}").into());
        }
        out.push(Prior {
            name: cell(1),
            more: cell(2),
            unit: cell(3),
            band: [cell(4).parse()?, cell(5).parse()?, cell(6).parse()?],
            off: cell(7).parse().ok(),
            is_off: false,
            source_key: cell(8),
            how: cell(9),
            what: cell(10),
            id,
        });
    }
    Ok(out)
}

/// The engine's constants at a coordinate for each prior.
pub fn constants(priors: &[Prior], z: &[f64]) -> Inferred {
    Inferred::from_rows(|id| {
        priors
            .iter()
            .position(|p| p.id == id)
            .map_or(f64::NAN, |k| priors[k].at(z[k]))
    })
}
