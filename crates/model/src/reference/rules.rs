//! The rules that fill gaps: `feedstock_classes.csv` and `group_defaults.csv`.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use super::embedded;
use super::feedstock_rows::key_group;
use super::sheet::{Fault, Sheet, sorted_out};
use super::sources::Standing;
use crate::feed::How;

/// Class of each feedstock and the rules of the classes.
#[derive(Debug, Clone)]
pub(super) struct Rules {
    classes: BTreeMap<String, Class>,
    rules: Vec<Rule>,
}

#[derive(Debug, Clone)]
pub(super) struct Class {
    pub(super) class: String,
    pub(super) like: Option<String>,
}

#[derive(Debug, Clone)]
pub(super) struct Rule {
    scope: String,
    quantity: String,
    pub(super) low: Option<f64>,
    pub(super) mid: f64,
    pub(super) high: Option<f64>,
    pub(super) how: How,
    pub(super) source_key: String,
    pub(super) replaces: bool,
}

impl Rules {
    /// Class and like row of a feedstock.
    pub(super) fn class(&self, id: &str) -> Option<&Class> {
        self.classes.get(id)
    }

    /// The rule for a quantity with just this scope.
    pub(super) fn find(&self, scope: &str, quantity: &str) -> Option<&Rule> {
        self.rules
            .iter()
            .find(|rule| rule.scope == scope && rule.quantity == quantity)
    }
}

/// Class of a feedstock in `feedstock_classes.csv`.
pub fn feedstock_class(id: &str) -> Option<&'static str> {
    rules().classes.get(id).map(|class| class.class.as_str())
}

/// Feedstock and field of every published central figure that a rule replaces.
pub fn replaced_figures() -> Vec<(&'static str, &'static str)> {
    let replacing = rules().rules.iter().filter(|rule| rule.replaces);
    replacing
        .map(|rule| (rule.scope.as_str(), rule.quantity.as_str()))
        .collect()
}

/// The spread of a stated or measured figure, as a factor on it: a row of
/// `group_defaults.csv` with the scope `any` ("amount_weighed"). For quantities that
/// stand there; a test holds the rows to their users.
pub fn spread(quantity: &str) -> crate::band::Band {
    let rule = rules().find("any", quantity);
    let rule = rule.unwrap_or_else(|| panic!("group_defaults.csv has a row any,{quantity}"));
    crate::band::Band {
        low: rule.low.unwrap_or(rule.mid),
        mid: rule.mid,
        high: rule.high.unwrap_or(rule.mid),
    }
}

pub(super) fn rules() -> &'static Rules {
    static RULES: OnceLock<Rules> = OnceLock::new();
    RULES.get_or_init(|| {
        parse(embedded::FEEDSTOCK_CLASSES, embedded::GROUP_DEFAULTS)
            .expect("embedded feedstock_classes.csv and group_defaults.csv are tested")
    })
}

pub(super) fn parse(classes: &str, defaults: &str) -> Result<Rules, Vec<Fault>> {
    let columns = ["id", "class", "like", "source_key", "reason"];
    let sheet = Sheet::read("feedstock_classes", classes, &columns)?;
    let twice = sheet.twice("id");
    if !twice.is_empty() {
        return Err(twice);
    }
    let classes = sorted_out(sheet.rows("id").map(|row| {
        row.filled("reason")?;
        let like = Some(row.text("like").to_owned()).filter(|like| !like.is_empty());
        Ok((
            row.filled("id")?,
            Class {
                class: row.filled("class")?,
                like,
            },
        ))
    }))?;
    let columns = [
        "scope",
        "quantity",
        "low",
        "mid",
        "high",
        "how",
        "source_key",
        "reason",
    ];
    let sheet = Sheet::read("group_defaults", defaults, &columns)?;
    let rules = sorted_out(sheet.rows("scope").map(|row| {
        row.filled("reason")?;
        row.ordered("low", "mid", "high")?;
        let standing = Standing::parse(row.text("how")).ok_or_else(|| row.unknown("how"))?;
        Ok(Rule {
            scope: row.filled("scope")?,
            quantity: row.filled("quantity")?,
            low: row.maybe("low")?,
            mid: row.number("mid")?,
            high: row.maybe("high")?,
            how: standing.into(),
            source_key: row.text("source_key").to_owned(),
            replaces: match row.text("replaces") {
                "" => false,
                "yes" => true,
                _ => return Err(row.unknown("replaces")),
            },
        })
    }))?;
    Ok(Rules {
        classes: classes.into_iter().collect(),
        rules,
    })
}

/// Fields that rules may fill, for checks of `group_defaults.csv`.
pub(super) fn is_rule_quantity(quantity: &str) -> bool {
    key_group(quantity).is_some()
        || matches!(
            quantity,
            "fresh_ph"
                | "acids_of_ts"
                | "soluble_share"
                | "mineral_alkalinity_eq_kg"
                | "iron_of_ts"
                | "ammonium_share"
                | "own_methanogens"
                | "bmp_spread"
                | "total_solids_spread"
        )
        || SPREADS.contains(&quantity)
}

/// Spreads of what a user states or measures, and of what the tables leave open, as
/// factors.
pub(super) const SPREADS: [&str; 11] = [
    "carbon_per_cod",
    "amount_stated",
    "amount_weighed",
    "amount_by_volume",
    "bulk_density_spread",
    "bulk_density_measured",
    "total_solids_measured",
    "bmp_measured",
    "hydrolysis_per_d_measured",
    "sulfur_of_ts_measured",
    "iron_of_ts_measured",
];
/// Scopes of the rules that are neither a class, an id nor `any`.
pub(super) fn stray_scopes(rules: &Rules) -> Vec<String> {
    let known = |scope: &str| {
        scope == "any"
            || rules.classes.contains_key(scope)
            || rules.classes.values().any(|class| class.class == scope)
    };
    rules
        .rules
        .iter()
        .filter(|rule| !known(&rule.scope))
        .map(|rule| rule.scope.clone())
        .collect()
}
