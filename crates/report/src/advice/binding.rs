//! Which limit binds, and what would free it.

use fenlamp_quantity::Units;
use serde::Serialize;

use super::grid::Measure;
use super::month::{Limit, Program};
use super::solve::{self, Unsolved};
use super::stream::Stream;
use crate::hazard::limit;
use fenlamp_model::reference::LimitState;
use fenlamp_model::say;

/// A limit that a wish runs into.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Binding {
    /// Month in which it is worst, 1 = January.
    pub month: i8,
    /// The limit.
    pub limit: Limit,
    /// How far it would have to give way, as a share of itself.
    pub give_share: f64,
    /// What binds and what would free it.
    pub words: String,
    /// Keys of the sources of the limit.
    pub source_keys: Vec<String>,
}

/// Limits that one part more of anything would break; supplies when nothing else does.
pub(super) fn at_their_end(program: &Program, parts: &[u32]) -> Vec<Limit> {
    let now: Vec<f64> = parts.iter().map(|p| f64::from(*p)).collect();
    let mut out = Vec::new();
    for w in 0..parts.len() {
        if parts[w] >= program.most[w] {
            if program.most[w] > 0 {
                out.push(Limit::AtHand(w));
            }
            continue;
        }
        let mut more = now.clone();
        more[w] += 1.0;
        out.extend(
            program
                .rows
                .iter()
                .filter(|r| program.over(r, &more) > 1e-7)
                .map(|r| r.limit),
        );
    }
    out.sort();
    out.dedup();
    out
}

/// What keeps a month from so much methane.
pub(super) fn short_of(
    program: &Program,
    month: usize,
    litres: f64,
    about: &About<'_>,
) -> Result<Vec<Binding>, Unsolved> {
    Ok(solve::slack(program, litres)?
        .into_iter()
        .map(|(limit, give)| Binding {
            month: month as i8 + 1,
            limit,
            give_share: give,
            words: about.freed(limit, give, program),
            source_keys: keys(limit, about.slurry_c),
        })
        .collect())
}

/// What words need to know.
pub(super) struct About<'a> {
    pub streams: &'a [Stream],
    pub measure: Measure,
    pub slurry_c: f64,
    pub units: Units,
}

impl About<'_> {
    /// Short name of a limit.
    pub fn name(&self, limit: Limit) -> String {
        match limit {
            Limit::AtHand(w) => match self.streams.get(w) {
                Some(s) => format!("the {} at hand", s.name),
                None => "the waste at hand".to_owned(),
            },
            Limit::Load => format!(
                "the load that slurry at {} bears",
                say::temperature(self.slurry_c, self.units)
            ),
            Limit::Stay => "the time the feed must stay".to_owned(),
            Limit::Slug => "the largest single feed".to_owned(),
            Limit::Ammonium => "ammonium".to_owned(),
            Limit::Nitrogen => "too little nitrogen for the carbon".to_owned(),
            Limit::Fibre => "the share of fibrous greens".to_owned(),
            Limit::Sulfur => "sulfur".to_owned(),
            Limit::Buffer => "the buffer against acids".to_owned(),
        }
    }

    fn freed(&self, limit: Limit, give: f64, program: &Program) -> String {
        let percent = (100.0 * give).max(1.0).round();
        let name = self.name(limit);
        match limit {
            Limit::AtHand(w) => {
                let most = program.most.get(w).copied().unwrap_or(0);
                let more = (give * f64::from(most.max(1))).ceil().min(1e6) as u32;
                format!(
                    "{name}: {} more {} would do",
                    self.measure.words(more),
                    self.measure.per.words()
                )
            }
            Limit::Load if program.most_load <= 0.0 => {
                "the slurry is too cold to be fed at all: more insulation, a heap round the \
                 vessel or another source of warmth"
                    .to_owned()
            }
            Limit::Load | Limit::Stay | Limit::Slug => {
                format!("{name}: a vessel {percent:.0} % larger or warmer slurry would free it")
            }
            Limit::Ammonium | Limit::Sulfur => {
                format!("{name}: more water or feeds with less of it would free it")
            }
            Limit::Nitrogen => format!("{name}: manure or urine would free it"),
            Limit::Fibre => format!("{name}: more manure or kitchen waste would free it"),
            Limit::Buffer => format!("{name}: more manure, or some ash, would free it"),
        }
    }
}

/// Keys of a limit's rows.
pub(super) fn keys(of: Limit, slurry_c: f64) -> Vec<String> {
    use LimitState::{Act, Good, Watch};
    let any = |_: &_| true;
    let at = crate::hazard::limit_at;
    let row = match of {
        Limit::AtHand(_) => None,
        Limit::Load => at("organic_loading_rate", Act, slurry_c),
        Limit::Stay => at("retention_time", Good, slurry_c),
        Limit::Slug => limit("daily_feed_volume", Act, any),
        Limit::Ammonium => limit("total_ammonia_nitrogen", Act, any),
        Limit::Nitrogen => limit("feed_c_to_n", Watch, any),
        Limit::Fibre => limit("fibrous_share_of_vs", Good, any),
        Limit::Sulfur => limit("dissolved_sulfide", Act, any),
        Limit::Buffer => limit("bicarbonate_alkalinity", Act, any),
    };
    row.map(|r| r.source_key.clone()).into_iter().collect()
}
