//! Acids and buffer by titration with acid to two end points.

use serde::{Deserialize, Serialize};

/// A titration of filtered slurry to pH 5.0 and on to pH 4.4.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Titration {
    /// Sample, m3.
    pub sample_m3: f64,
    /// Acid, equivalents per litre.
    pub acid_eq_l: f64,
    /// Acid used to pH 5.0, m3.
    pub to_ph_5_m3: f64,
    /// Acid used to pH 4.4, counted from the start, m3.
    pub to_ph_4_4_m3: f64,
}

impl Titration {
    /// Buffer (TAC), mg CaCO3/L: 250 mg/L per mL of 0.1 N acid to pH 5.0 in a 20 mL
    /// sample, which is 50 mg CaCO3 per milliequivalent.
    pub fn buffer_mg_caco3_l(&self) -> f64 {
        250.0 * self.usual_ml(self.to_ph_5_m3)
    }

    /// Volatile acids (FOS), mg acetic acid/L: the empirical farm form
    /// (1.66 mL - 0.15) 500 for 0.1 N acid between pH 5.0 and 4.4 in a 20 mL sample
    /// (`FOSTAC` of the sources; from memory). Never below nothing.
    pub fn acids_mg_l(&self) -> f64 {
        let between = self.usual_ml(self.to_ph_4_4_m3 - self.to_ph_5_m3);
        ((1.66 * between - 0.15) * 500.0).max(0.0)
    }

    /// FOS/TAC; `None` without any buffer.
    pub fn ratio(&self) -> Option<f64> {
        let buffer = self.buffer_mg_caco3_l();
        (buffer > 0.0).then(|| self.acids_mg_l() / buffer)
    }

    /// Millilitres of 0.1 N acid for 20 mL that would have done the same.
    fn usual_ml(&self, acid_m3: f64) -> f64 {
        acid_m3 * 1e6 * (self.acid_eq_l / 0.1) * (20e-6 / self.sample_m3)
    }
}
