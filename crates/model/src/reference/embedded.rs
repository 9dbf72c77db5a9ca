//! The reference files as embedded text.

pub(super) const SOURCES: &str = include_str!("../../../../reference/sources.csv");
pub(super) const FEEDSTOCKS: &str = include_str!("../../../../reference/feedstocks.csv");
pub(super) const FEEDSTOCK_CLASSES: &str =
    include_str!("../../../../reference/feedstock_classes.csv");
pub(super) const GROUP_DEFAULTS: &str = include_str!("../../../../reference/group_defaults.csv");
pub(super) const ANIMALS: &str = include_str!("../../../../reference/animals.csv");
pub(super) const ANIMAL_DUNG: &str = include_str!("../../../../reference/animal_dung.csv");
pub(super) const THERMAL: &str = include_str!("../../../../reference/thermal_properties.csv");
pub(super) const GAS: &str = include_str!("../../../../reference/gas_constants.csv");
pub(super) const DIGESTION_LIMITS: &str =
    include_str!("../../../../reference/digestion_limits.csv");
pub(super) const SAFETY_LIMITS: &str = include_str!("../../../../reference/safety_limits.csv");
pub(super) const NOT_TO_FEED: &str = include_str!("../../../../reference/not_to_feed.csv");
pub(super) const FUELS: &str = include_str!("../../../../reference/fuels.csv");
pub(super) const ULTIMATE_ANALYSES: &str =
    include_str!("../../../../reference/ultimate_analyses.csv");
pub(super) const BIOLOGY: &str = include_str!("../../../../reference/biology.csv");
