//! Names people use for materials, and their rows in `thermal_properties.csv`.

use super::Section;
use crate::plan::lookup;
use crate::plan::section::plain_words;

/// Insulation.
pub(super) const INSULATION: &[(&str, &str)] = &[
    ("straw bale", "k_straw_airdry"),
    ("dry straw bale", "k_straw_dry"),
    ("wet straw bale", "k_straw_wet"),
    ("loose straw", "k_bulking_light"),
    ("hay", "k_bulking_light"),
    ("leaves", "k_bulking_light"),
    ("wood shavings", "k_bulking_light"),
    ("sawdust", "k_bulking_dense"),
    ("dry wood chips", "k_chips_dry"),
    ("damp wood chips", "k_chips_wet"),
    ("polystyrene board", "k_eps"),
    ("eps", "k_eps"),
    ("xps", "k_xps"),
    ("polyurethane foam", "k_pur"),
    ("pur", "k_pur"),
    ("pir", "k_pir"),
    ("phenolic foam", "k_phenolic"),
    ("cellular glass", "k_cellglass"),
    ("stone wool", "k_stonewool_dry"),
    ("mineral wool", "k_minwool"),
    ("softwood", "k_softwood"),
];

/// Walls of vessels.
pub(super) const WALLS: &[(&str, &str)] = &[
    ("hdpe", "k_hdpe"),
    ("plastic", "k_hdpe"),
    ("pvc", "k_pvc"),
    ("rubber", "k_rubber"),
    ("steel", "k_steel"),
    ("stainless steel", "k_stainless"),
    ("concrete", "k_concrete"),
    ("brick", "k_concrete"),
    ("glass", "k_glass"),
    ("wood", "k_softwood"),
    ("aluminium", "k_aluminium"),
];

/// A material by name or by the id of its row.
pub(super) fn material(
    s: &Section<'_>,
    key: &'static str,
    known: &[(&'static str, &'static str)],
) -> Option<String> {
    let given = s.text(key)?.value;
    let plain = plain_words(given);
    if let Some((_, id)) = known.iter().find(|(name, _)| *name == plain) {
        return Some((*id).to_owned());
    }
    if given.starts_with("k_") && lookup::thermal(given).is_some() {
        return Some(given.to_owned());
    }
    s.unknown(key, given, "material", known.iter().map(|m| m.0));
    None
}
