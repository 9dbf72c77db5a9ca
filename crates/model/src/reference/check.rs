//! One check for every table: the tests run it on the embedded texts and on
//! doctored ones.

use super::embedded;
use super::sheet::{Fault, FaultKind, Sheet};
use super::sources::{self, Source};
use super::{
    advice, analyses, animals, biology, dung, feedstock_rows, feedstocks, limits, rows, rules,
};
use crate::feed::Feedstock;

/// A file in `reference/`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[allow(missing_docs, reason = "the names are the file names")]
pub enum Table {
    Sources,
    Feedstocks,
    FeedstockClasses,
    GroupDefaults,
    Animals,
    AnimalDung,
    ThermalProperties,
    GasConstants,
    DigestionLimits,
    SafetyLimits,
    NotToFeed,
    Fuels,
    Biology,
    UltimateAnalyses,
}

impl Table {
    /// Every table.
    pub const ALL: [Self; 14] = [
        Self::Sources,
        Self::Feedstocks,
        Self::FeedstockClasses,
        Self::GroupDefaults,
        Self::Animals,
        Self::AnimalDung,
        Self::ThermalProperties,
        Self::GasConstants,
        Self::DigestionLimits,
        Self::SafetyLimits,
        Self::NotToFeed,
        Self::Fuels,
        Self::Biology,
        Self::UltimateAnalyses,
    ];

    /// The embedded text.
    pub fn text(self) -> &'static str {
        match self {
            Self::Sources => embedded::SOURCES,
            Self::Feedstocks => embedded::FEEDSTOCKS,
            Self::FeedstockClasses => embedded::FEEDSTOCK_CLASSES,
            Self::GroupDefaults => embedded::GROUP_DEFAULTS,
            Self::Animals => embedded::ANIMALS,
            Self::AnimalDung => embedded::ANIMAL_DUNG,
            Self::ThermalProperties => embedded::THERMAL,
            Self::GasConstants => embedded::GAS,
            Self::DigestionLimits => embedded::DIGESTION_LIMITS,
            Self::SafetyLimits => embedded::SAFETY_LIMITS,
            Self::NotToFeed => embedded::NOT_TO_FEED,
            Self::Fuels => embedded::FUELS,
            Self::Biology => embedded::BIOLOGY,
            Self::UltimateAnalyses => embedded::ULTIMATE_ANALYSES,
        }
    }
}

/// Faults of all embedded tables.
pub fn check_all() -> Vec<Fault> {
    Table::ALL
        .into_iter()
        .flat_map(|table| check(table, table.text()))
        .collect()
}

/// Faults of `text` taken as the content of `table`: unreadable cells, rows
/// without a source key, keys without a citation, bands out of order, and for
/// feedstocks gaps that no rule fills, compositions that do not add up and
/// central potentials above theory. Other tables are taken as embedded.
pub fn check(table: Table, text: &str) -> Vec<Fault> {
    let sources = sources::sources();
    match table {
        Table::Sources => sources::parse(text).err().unwrap_or_default(),
        Table::Feedstocks => {
            let mut faults = grouped_keys("feedstocks", text, sources);
            match feedstocks::filled_from(text, rules::rules()) {
                Ok(filled) => faults.extend(filled.iter().flat_map(feedstock_faults)),
                Err(more) => faults.extend(more),
            }
            faults
        }
        Table::FeedstockClasses => {
            let mut faults = single_keys("feedstock_classes", "id", text, sources);
            faults.extend(filled_by(text, embedded::GROUP_DEFAULTS));
            faults
        }
        Table::GroupDefaults => {
            let mut faults = single_keys("group_defaults", "scope", text, sources);
            faults.extend(strange_quantities(text));
            faults.extend(filled_by(embedded::FEEDSTOCK_CLASSES, text));
            faults
        }
        Table::Animals => {
            let mut faults = grouped_keys("animals", text, sources);
            let parsed = animals::parse(text, embedded::ANIMAL_DUNG, sources);
            faults.extend(parsed.err().unwrap_or_default());
            faults
        }
        Table::AnimalDung => {
            let mut faults = single_keys("animal_dung", "id", text, sources);
            faults.extend(dung::parse(text).err().unwrap_or_default());
            faults.extend(
                animals::parse(embedded::ANIMALS, text, sources)
                    .err()
                    .unwrap_or_default(),
            );
            faults
        }
        Table::ThermalProperties => {
            let mut faults = single_keys("thermal_properties", "id", text, sources);
            faults.extend(rows::parse_thermal(text).err().unwrap_or_default());
            faults
        }
        Table::GasConstants => {
            let mut faults = single_keys("gas_constants", "id", text, sources);
            faults.extend(rows::parse_gas(text).err().unwrap_or_default());
            faults
        }
        Table::DigestionLimits => {
            let mut faults = single_keys("digestion_limits", "parameter", text, sources);
            faults.extend(limits::parse_digestion(text).err().unwrap_or_default());
            faults
        }
        Table::SafetyLimits => {
            let mut faults = single_keys("safety_limits", "hazard", text, sources);
            faults.extend(limits::parse_safety(text).err().unwrap_or_default());
            faults
        }
        Table::NotToFeed => {
            let mut faults = single_keys("not_to_feed", "id", text, sources);
            faults.extend(advice::parse_not_to_feed(text).err().unwrap_or_default());
            faults
        }
        Table::Fuels => {
            let mut faults = single_keys("fuels", "id", text, sources);
            faults.extend(advice::parse_fuels(text).err().unwrap_or_default());
            faults
        }
        Table::Biology => biology::parse(text).err().unwrap_or_default(),
        Table::UltimateAnalyses => {
            let mut faults = single_keys("ultimate_analyses", "sample", text, sources);
            faults.extend(analyses::parse(text).err().unwrap_or_default());
            faults
        }
    }
}

/// Faults of a filled feedstock against physics: shares outside 0 to 1, bands
/// out of order, a sum of parts outside 80 to 110 %, a central potential above
/// the theoretical yield. Own feedstocks of a plan go through it as well.
pub(super) fn feedstock_faults(feedstock: &Feedstock) -> Vec<Fault> {
    let fault = |what| Fault {
        table: "feedstocks",
        line: 0,
        id: feedstock.id.clone(),
        what,
    };
    let shares = [
        ("total_solids", feedstock.total_solids.low),
        ("total_solids", feedstock.total_solids.high),
        ("volatile_of_ts", feedstock.volatile_of_ts),
        ("nitrogen_of_ts", feedstock.nitrogen_of_ts),
        ("ammonium_share", feedstock.ammonium_share),
        (
            "phosphorus_of_ts",
            feedstock.phosphorus_of_ts.unwrap_or(0.0),
        ),
        ("potassium_of_ts", feedstock.potassium_of_ts.unwrap_or(0.0)),
        ("sulfur_of_ts", feedstock.sulfur_of_ts),
        ("lignin_of_ts", feedstock.lignin_of_ts),
        ("carbohydrate_of_ts", feedstock.carbohydrate_of_ts),
        ("protein_of_ts", feedstock.protein_of_ts),
        ("fat_of_ts", feedstock.fat_of_ts),
        ("acids_of_ts", feedstock.acids_of_ts),
        ("soluble_share", feedstock.soluble_share),
        ("iron_of_ts", feedstock.iron_of_ts),
    ];
    let mut faults: Vec<Fault> = shares
        .into_iter()
        .filter(|(_, share)| !(0.0..=1.0).contains(share))
        .map(|(field, _)| fault(FaultKind::Impossible(field.to_owned())))
        .collect();
    if !(0.0..=14.0).contains(&feedstock.fresh_ph) {
        faults.push(fault(FaultKind::Impossible("fresh_ph".to_owned())));
    }
    // Pure chalk is 20 eq/kg.
    if !(0.0..=20.0).contains(&feedstock.mineral_alkalinity_eq_kg) {
        faults.push(fault(FaultKind::Impossible(
            "mineral_alkalinity_eq_kg".to_owned(),
        )));
    }
    if !(10.0..=2500.0).contains(&feedstock.bulk_density_kg_m3) {
        faults.push(fault(FaultKind::Impossible(
            "bulk_density_kg_m3".to_owned(),
        )));
    }
    let bands = [
        ("total_solids", feedstock.total_solids),
        ("bmp", feedstock.bmp),
        ("hydrolysis_per_d", feedstock.hydrolysis_per_d),
        ("own_methanogens", feedstock.own_methanogens),
    ];
    for (field, band) in bands {
        if !band.is_ordered() {
            faults.push(fault(FaultKind::Disordered(field.to_owned())));
        }
        if band.low < 0.0 {
            faults.push(fault(FaultKind::Impossible(field.to_owned())));
        }
    }
    let sum = feedstock.composition_sum_of_ts();
    if !(0.80..=1.10).contains(&sum) {
        faults.push(fault(FaultKind::CompositionSum(sum * 100.0)));
    }
    let ceiling = feedstock.theoretical_ch4_m3_per_kg_vs();
    if feedstock.bmp.mid > ceiling {
        faults.push(fault(FaultKind::AboveTheory {
            bmp: feedstock.bmp.mid,
            ceiling,
        }));
    }
    faults
}

fn filled_by(classes: &str, defaults: &str) -> Vec<Fault> {
    let rules = match rules::parse(classes, defaults) {
        Ok(rules) => rules,
        Err(faults) => return faults,
    };
    let mut faults: Vec<Fault> = rules::stray_scopes(&rules)
        .into_iter()
        .map(|scope| Fault {
            table: "group_defaults",
            line: 0,
            id: scope.clone(),
            what: FaultKind::NoSuchRow(scope),
        })
        .collect();
    match feedstocks::filled_from(embedded::FEEDSTOCKS, &rules) {
        Ok(filled) => faults.extend(filled.iter().flat_map(feedstock_faults)),
        Err(more) => faults.extend(more),
    }
    faults
}

fn strange_quantities(text: &str) -> Vec<Fault> {
    let Ok(sheet) = Sheet::read("group_defaults", text, &["quantity"]) else {
        return Vec::new();
    };
    sheet
        .rows("scope")
        .filter(|row| !rules::is_rule_quantity(row.text("quantity")))
        .map(|row| row.unknown("quantity"))
        .collect()
}

/// Keys of a `source_key` column: one or several joined by `+`.
fn single_keys(name: &'static str, id: &'static str, text: &str, sources: &[Source]) -> Vec<Fault> {
    let sheet = match Sheet::read(name, text, &["source_key"]) {
        Ok(sheet) => sheet,
        Err(faults) => return faults,
    };
    let mut faults = Vec::new();
    for row in sheet.rows(id) {
        let keys = row.text("source_key");
        if keys.is_empty() {
            faults.push(row.fault(FaultKind::NoSourceKey("the row".to_owned())));
        }
        for key in keys.split('+').map(str::trim).filter(|key| !key.is_empty()) {
            if sources::find(sources, key).is_none() {
                faults.push(row.fault(FaultKind::NoCitation(key.to_owned())));
            }
        }
    }
    faults
}

/// Keys of a `source_keys` column: `group:A+B;group:C`. That every figure has
/// its group is checked where the figures are read.
fn grouped_keys(name: &'static str, text: &str, sources: &[Source]) -> Vec<Fault> {
    let sheet = match Sheet::read(name, text, &["source_keys"]) {
        Ok(sheet) => sheet,
        Err(faults) => return faults,
    };
    let mut faults = Vec::new();
    for row in sheet.rows("id") {
        let groups = feedstock_rows::key_groups(row.text("source_keys"));
        if groups.is_empty() {
            faults.push(row.fault(FaultKind::NoSourceKey("the row".to_owned())));
        }
        for key in groups.values().flatten() {
            if sources::find(sources, key).is_none() {
                faults.push(row.fault(FaultKind::NoCitation(key.clone())));
            }
        }
    }
    faults
}
