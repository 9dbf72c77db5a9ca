//! The one place where the reader meets the reference rows.

use crate::reference::{self, Animal};

pub(super) use crate::reference::{animals, feedstock, spread};

pub(super) fn feedstock_ids() -> Vec<String> {
    reference::feedstocks()
        .iter()
        .map(|f| f.id.clone())
        .collect()
}

pub(super) fn nearest_feedstock(text: &str) -> Option<String> {
    reference::nearest_feedstock(text).map(|f| f.id.clone())
}

/// An animal by id, singular or plural.
pub(super) fn animal(id: &str) -> Option<&'static Animal> {
    reference::animal(id).or_else(|| reference::animal(id.strip_suffix('s')?))
}

pub(super) fn nearest_animal(text: &str) -> Option<String> {
    reference::nearest_animal(text).map(|a| a.id.clone())
}

/// Middle figure of a row of `thermal_properties.csv`.
pub(super) fn thermal(id: &str) -> Option<f64> {
    reference::thermal(id)?.value
}
