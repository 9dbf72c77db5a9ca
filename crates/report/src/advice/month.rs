//! One month as a small linear program: what may be fed, and what it gives.

use serde::Serialize;

use super::grid::Measure;
use super::stream::Stream;
use crate::hazard::{limit, limit_at};
use fenlamp_adm1::biology::arrhenius;
use fenlamp_model::feed::Feedstock;
use fenlamp_model::reference::LimitState;
use fenlamp_model::world::inferred::Inferred;

/// What holds a recipe back.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case", tag = "of", content = "waste")]
pub enum Limit {
    /// No more of a waste is at hand (its place in the plan).
    AtHand(usize),
    /// Volatile solids that the slurry's temperature bears.
    Load,
    /// Time that the feed must stay at its temperature.
    Stay,
    /// Largest single feed.
    Slug,
    /// Ammonium.
    Ammonium,
    /// Carbon to nitrogen.
    Nitrogen,
    /// Fibrous greens.
    Fibre,
    /// Sulfur.
    Sulfur,
    /// Buffer against acids.
    Buffer,
}

/// How far the published limits are drawn in after a failed check.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Tightness {
    /// Factor on the load.
    pub load: f64,
    /// Factor on the least alkalinity.
    pub buffer: f64,
}

impl Default for Tightness {
    fn default() -> Self {
        Tightness {
            load: 1.0,
            buffer: 1.0,
        }
    }
}

/// What a month's program is made from.
#[derive(Debug, Clone)]
pub(super) struct Setting<'a> {
    pub streams: &'a [Stream],
    pub measure: Measure,
    /// Slurry, L.
    pub slurry_l: f64,
    /// Mean slurry temperature of each month; `None` for one outside the forecast.
    pub slurry_c: [Option<f64>; 12],
    /// Days between feedings.
    pub every_days: f64,
    /// Solids that water brings the feed down to, kg/kg.
    pub thinned_to: f64,
    pub tightness: Tightness,
}

/// `sum(feed * parts) + water * litres <= bound`.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Row {
    pub limit: Limit,
    /// For one part of each waste.
    pub feed: Vec<f64>,
    /// For one litre of water a day.
    pub water: f64,
    pub bound: f64,
    /// What the row's slack is counted in.
    pub scale: f64,
}

/// A month.
#[derive(Debug, Clone)]
pub(super) struct Program {
    pub rows: Vec<Row>,
    /// Parts at hand of each waste.
    pub most: Vec<u32>,
    /// Methane of one part of each, dry normal L/day.
    pub methane_l: Vec<f64>,
    /// Water that one part of each asks for, L/day; negative for what is thin.
    pub water_l: Vec<f64>,
    /// Litres of slurry that one part of each makes, L/day.
    pub feed_l: Vec<f64>,
    /// Days the feed should stay.
    pub stay_days: f64,
    /// Safe load, kg VS/(m3 d).
    pub safe_load: f64,
    /// Load from which acids rise, before tightening.
    pub most_load: f64,
}

/// Published figures that need no temperature.
struct Plain {
    slug_share: f64,
    ammonium_kg_l: f64,
    sulfur_kg_l: f64,
    carbon_to_nitrogen: f64,
    fibre_share: f64,
    alkalinity_eq_l: f64,
}

/// g CaCO3 in one equivalent.
const CHALK_G_PER_EQ: f64 = 50.04;

impl Plain {
    /// From `digestion_limits.csv`.
    fn limits() -> Option<Self> {
        use LimitState::{Act, Good, Watch};
        let any = |_: &_| true;
        Some(Plain {
            slug_share: limit("daily_feed_volume", Act, any)?.low? / 100.0,
            ammonium_kg_l: limit("total_ammonia_nitrogen", Act, |l| l.low == Some(3000.0))?.low?
                * 1e-6,
            // The published span is of sulfide; all sulfur that iron leaves free is
            // counted, of which much goes off in the gas: its upper end (judgement).
            sulfur_kg_l: limit("dissolved_sulfide", Act, any)?.high? * 1e-6,
            carbon_to_nitrogen: limit("feed_c_to_n", Watch, any)?.high?,
            fibre_share: limit("fibrous_share_of_vs", Good, any)?.high?,
            alkalinity_eq_l: limit("bicarbonate_alkalinity", Act, any)?.high?
                / 1000.0
                / CHALK_G_PER_EQ,
        })
    }
}

/// Coldest slurry that is fed, degC: no published load begins lower
/// (`organic_loading_rate` rows).
pub(super) const COLDEST_FED_C: f64 = 10.0;

/// Safe load, kg VS/(m3 d), and least stay, days, at a slurry temperature.
pub(super) fn load_and_stay(slurry_c: f64) -> Option<(f64, f64)> {
    let load = limit_at("organic_loading_rate", LimitState::Good, slurry_c)?.high?;
    let stay = limit_at("retention_time", LimitState::Good, slurry_c)?.low?;
    let load = if slurry_c < COLDEST_FED_C { 0.0 } else { load };
    Some((load, stay))
}

/// Methane of a steady feed, dry normal L/day: first-order breakdown in one stirred
/// tank at `slurry_c`, over the days it stays. What a recipe is proposed with; the
/// engine has the last word.
pub fn steady_methane_l(
    feedstock: &Feedstock,
    kg_per_day: f64,
    slurry_c: f64,
    stays_days: f64,
) -> f64 {
    kg_per_day * Stream::plain(feedstock).methane_l(pace(slurry_c), stays_days)
}

/// Least slurry, L, for a feed of `through_l_per_day` with its water that brings
/// `volatile_kg_per_day`: by the time it must stay and the load it may be at
/// `slurry_c` (`retention_time` and `organic_loading_rate` rows). `None` where it
/// is too cold for any published load.
pub fn least_slurry_l(
    through_l_per_day: f64,
    volatile_kg_per_day: f64,
    slurry_c: f64,
) -> Option<f64> {
    let (load, stay) = load_and_stay(slurry_c)?;
    let by_load = if volatile_kg_per_day > 0.0 {
        (load > 0.0).then(|| 1000.0 * volatile_kg_per_day / load)?
    } else {
        0.0
    };
    Some(by_load.max(through_l_per_day * stay))
}

/// Pace of breakdown on that at 35 degC.
fn pace(slurry_c: f64) -> f64 {
    arrhenius(
        1000.0 * Inferred::middle().hydrolysis_kj_mol,
        slurry_c + 273.15,
    )
}

/// Load from which acids rise, kg VS/(m3 d): the engine tells whether a plant bears
/// what lies between the safe load and this.
fn most_load(slurry_c: f64) -> Option<f64> {
    let load = limit_at("organic_loading_rate", LimitState::Act, slurry_c)?.low?;
    Some(if slurry_c < COLDEST_FED_C { 0.0 } else { load })
}

impl Setting<'_> {
    /// One part of a waste, kg/day.
    pub fn kg_per_part(&self, w: usize) -> f64 {
        self.streams[w].kg_per_l * self.measure.litres() / self.measure.per.days()
    }

    /// The program of a month (0 = January); `None` outside the forecast.
    pub fn program(&self, month: usize) -> Option<Program> {
        let slurry_c = self.slurry_c[month]?;
        let plain = Plain::limits()?;
        let (safe_load, stay_days) = load_and_stay(slurry_c)?;
        let pace = pace(slurry_c);
        let kg: Vec<f64> = (0..self.streams.len())
            .map(|w| self.kg_per_part(w))
            .collect();
        let each = |f: &dyn Fn(&Stream) -> f64| -> Vec<f64> {
            self.streams
                .iter()
                .zip(&kg)
                .map(|(s, kg)| kg * f(s))
                .collect()
        };
        let volatile = |s: &Stream| s.volatile;
        let row = |limit, feed, water, bound: f64, scale: f64| Row {
            limit,
            feed,
            water,
            bound,
            scale: scale.max(1e-12),
        };
        let slurry = self.slurry_l;
        let most_load = most_load(slurry_c)?;
        let load = self.tightness.load * most_load * slurry / 1000.0;
        // The coldest published load: what a row without any is counted in.
        let least_load = load_and_stay(COLDEST_FED_C).map_or(0.2, |l| l.0) * slurry / 1000.0;
        let through = slurry / stay_days;
        let slug = plain.slug_share * slurry / self.every_days;
        let alkalinity = self.tightness.buffer * plain.alkalinity_eq_l;
        let cn = plain.carbon_to_nitrogen;
        let fibre = plain.fibre_share;
        let fibrous = |s: &Stream| f64::from(u8::from(s.fibrous));
        let (n, s) = (plain.ammonium_kg_l, plain.sulfur_kg_l);
        let all = each(&|_| 1.0);
        let rows = vec![
            row(
                Limit::Load,
                each(&volatile),
                0.0,
                load,
                load.max(least_load),
            ),
            row(Limit::Stay, all.clone(), 1.0, through, through),
            row(Limit::Slug, all.clone(), 1.0, slug, slug),
            row(
                Limit::Ammonium,
                each(&|w| w.ammonium_n - n),
                -n,
                0.0,
                n * through,
            ),
            row(
                Limit::Nitrogen,
                each(&|w| w.carbon - cn * w.nitrogen),
                0.0,
                0.0,
                0.4 * least_load,
            ),
            row(
                Limit::Fibre,
                each(&|w| w.volatile * (fibrous(w) - fibre)),
                0.0,
                0.0,
                least_load,
            ),
            row(
                Limit::Sulfur,
                each(&|w| w.free_sulfur - s),
                -s,
                0.0,
                s * through,
            ),
            row(
                Limit::Buffer,
                each(&|w| alkalinity - w.alkalinity_eq),
                alkalinity,
                0.0,
                alkalinity * through,
            ),
        ];
        let most = self
            .streams
            .iter()
            .zip(&kg)
            .map(|(s, kg)| {
                // Wood gives next to nothing and takes room: it belongs in the heap.
                let parts = if s.woody {
                    0.0
                } else {
                    s.at_hand_kg_d[month] / kg
                };
                (parts + 1e-6).floor().clamp(0.0, 1e6) as u32
            })
            .collect();
        Some(Program {
            rows,
            most,
            methane_l: each(&|s| s.methane_l(pace, stay_days)),
            water_l: each(&|s| s.solids / self.thinned_to - 1.0),
            feed_l: all,
            stay_days,
            safe_load,
            most_load,
        })
    }
}

/// Rounding that a row forgives, as a share of its scale.
const ROUNDING: f64 = 1e-7;

impl Program {
    /// Water with `parts`, L/day.
    pub fn water(&self, parts: &[f64]) -> f64 {
        dot(&self.water_l, parts).max(0.0)
    }

    /// Methane of `parts`, dry normal L/day.
    pub fn methane(&self, parts: &[f64]) -> f64 {
        dot(&self.methane_l, parts)
    }

    /// Litres to carry, feed and water, L/day.
    pub fn carried(&self, parts: &[f64]) -> f64 {
        dot(&self.feed_l, parts) + self.water(parts)
    }

    /// Left side of a row less its right side, as a share of its scale.
    pub fn over(&self, row: &Row, parts: &[f64]) -> f64 {
        (dot(&row.feed, parts) + row.water * self.water(parts) - row.bound) / row.scale
    }

    /// Whether `parts` keep every limit.
    pub fn allows(&self, parts: &[f64]) -> bool {
        parts
            .iter()
            .zip(&self.most)
            .all(|(p, m)| *p <= f64::from(*m) + 1e-9)
            && self.rows.iter().all(|r| self.over(r, parts) <= ROUNDING)
    }
}

pub(super) fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}
