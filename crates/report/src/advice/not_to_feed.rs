//! What not to feed, as far as it fits the plan's waste.

use serde::Serialize;

use crate::advice::said::Said;
use fenlamp_model::plan::Plan;
use fenlamp_model::reference::{NotToFeed, Standing, not_to_feed, source};

/// A warning of a feed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct KeepOut {
    /// Stable id of the row.
    pub id: String,
    /// What it is.
    pub thing: String,
    /// What it does, how much is borne, what to do with it.
    pub words: String,
    /// Key of its source; `PRACTICE` is common practice without one.
    pub source_key: String,
    /// How the figure was got.
    pub standing: Standing,
}

/// The rows of `not_to_feed.csv` that go with the plan's waste and fill.
pub fn keep_out(plan: &Plan) -> Vec<KeepOut> {
    let used = plan
        .waste
        .iter()
        .map(|w| w.feedstock)
        .chain(plan.first_fill.feed.iter().map(|f| f.0));
    let groups: Vec<_> = used
        .filter_map(|i| Some(plan.feedstocks.get(i)?.group))
        .collect();
    let fits =
        |row: &&NotToFeed| row.groups.is_empty() || row.groups.iter().any(|g| groups.contains(g));
    not_to_feed().iter().filter(fits).map(told).collect()
}

fn told(row: &NotToFeed) -> KeepOut {
    // A row may stand for one that has its number elsewhere.
    let limit = row
        .limit
        .split_once(" (a row of digestion_limits): ")
        .map_or(row.limit.as_str(), |(_, words)| words);
    let borne = if limit == "none" {
        "none of it".to_owned()
    } else {
        limit.to_owned()
    };
    KeepOut {
        id: row.id.clone(),
        thing: row.thing.clone(),
        words: format!("{}. Borne: {borne}. Instead: {}.", row.why, row.remedy),
        source_key: row.source_key.clone(),
        standing: source(&row.source_key).map_or(Standing::Judgement, |s| s.standing),
    }
}

/// The warnings in one sentence.
pub(super) fn said(rows: &[KeepOut]) -> Option<Said> {
    if rows.is_empty() {
        return None;
    }
    let things: Vec<String> = rows.iter().map(|r| lower(&r.thing)).collect();
    Some(Said {
        about: "keep_out",
        words: format!("Keep out of the vessel: {}.", things.join("; ")),
    })
}

fn lower(text: &str) -> String {
    let mut chars = text.chars();
    chars
        .next()
        .map_or_else(String::new, |c| c.to_lowercase().chain(chars).collect())
}
