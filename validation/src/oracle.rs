//! Values stored from general-purpose libraries (`validation/oracles/`).

use std::path::{Path, PathBuf};

/// One row of `oracles.csv`.
#[derive(Debug, Clone, serde::Deserialize)]
pub struct Oracle {
    /// Id, unique in the file.
    pub id: String,
    /// Inputs in words.
    pub inputs: String,
    /// Value in `unit`.
    pub value: f64,
    /// Unit.
    pub unit: String,
    /// Library it came from.
    pub library: String,
    /// Its version.
    pub version: String,
    /// The call that gives it.
    pub call: String,
    /// Share of the value the engine may be off by.
    pub tolerance: f64,
}

impl Oracle {
    /// Words for the source column.
    pub fn origin(&self) -> String {
        format!("{} {} (computed)", self.library, self.version)
    }

    /// A check of ours against this value, with its tolerance.
    pub fn check(&self, what: &str, ours: f64) -> crate::Check {
        crate::Check::new(&self.id, what, self.value, ours, &self.unit)
            .inputs(self.inputs.clone())
            .relative(self.tolerance)
            .source(self.origin())
    }
}

/// All stored library values.
///
/// # Panics
/// If the stored file is unreadable: it is part of the source tree.
pub fn oracles() -> Vec<Oracle> {
    csv::Reader::from_path(path("oracles/oracles.csv"))
        .and_then(|mut file| file.deserialize().collect())
        .expect("validation/oracles/oracles.csv is readable")
}

/// The stored value of an id.
///
/// # Panics
/// If there is none: ids are written in the code only.
pub fn oracle(id: &str) -> Oracle {
    oracles()
        .into_iter()
        .find(|row| row.id == id)
        .unwrap_or_else(|| panic!("no oracle {id}"))
}

/// A file below `validation/`.
pub fn path(below: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(below)
}
