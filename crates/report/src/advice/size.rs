//! The smallest vessel, heap, insulation, store or wash that meets a wish with a
//! stated chance. Every size is tried in the same worlds, so that designs are
//! compared fairly.

mod part;
mod search;
#[cfg(test)]
mod tests;
mod trade;
mod words;

use serde::Serialize;

use super::check;
use super::wish::Wish;
use crate::advice::said::Said;
use fenlamp_model::forecast::gas_train;
use fenlamp_model::forecast::runs::Control;
use fenlamp_model::plan::{GasUse, Plan, Wanted};
use fenlamp_model::world::draw;
use fenlamp_model::world::draw::WorldDraw;
use fenlamp_model::world::outcome::soured;
use fenlamp_model::world::{Shared, WorldError, WorldRun};

pub use part::Part;
pub use search::Tried;
pub use trade::{Trade, TradePoint};

/// How a size is sought.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SizeSettings {
    /// Share of the worlds that shall have the wish.
    pub chance: f64,
    /// Worlds of each trial.
    pub worlds: u32,
}

impl Default for SizeSettings {
    fn default() -> Self {
        SizeSettings {
            chance: 0.8,
            worlds: 16,
        }
    }
}

/// Why there is no size.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum SizeError {
    /// The plan has no such part.
    #[error("the plan has no {0} to size")]
    NoSuchPart(&'static str),
    /// A wish without an amount fits any size.
    #[error("a size needs a wish with an amount")]
    NoAmount,
    /// The engine failed, or was stopped.
    #[error(transparent)]
    World(#[from] WorldError),
}

/// A part's size for a wish.
#[derive(Debug, Clone, Serialize)]
pub struct Sized {
    /// The answer in sentences.
    pub words: Vec<Said>,
    /// What was sized.
    pub part: Part,
    /// The wish.
    pub wish: Wish,
    /// Share of the worlds that shall have it.
    pub chance: f64,
    /// Worlds counted in each trial: for a store those whose vessel makes enough gas.
    pub worlds: u32,
    /// Size in the plan, in the unit of [`Part::unit`].
    pub now: f64,
    /// Unit of the sizes.
    pub unit: &'static str,
    /// Share of the worlds that have the wish as the plan stands.
    pub met_share_now: f64,
    /// The smallest size that meets it; `None` when none does.
    pub smallest: Option<f64>,
    /// Share of the worlds that have the wish at that size, or at the best tried.
    pub met_share: f64,
    /// Share of the worlds that turn sour there.
    pub sour_share: f64,
    /// Month that fails first there, 1 = January, for parts that act on the gas made.
    pub hardest_month: Option<i8>,
    /// Every size tried, smallest first.
    pub tried: Vec<Tried>,
    /// The plan with that size.
    #[serde(skip)]
    pub plan: Option<Plan>,
}

/// Share of the need that counts as covered when hours are looked at (judgement).
const COVERED: f64 = 0.95;
/// Share of the days on which a wash may be spent (judgement).
const SPENT: f64 = 0.05;
/// Smallest and largest size tried, on that of the plan.
const FROM: f64 = 0.1;
const TO: f64 = 10.0;

/// The smallest `part` that gives `wish` in `settings.chance` of the worlds.
///
/// # Errors
/// [`SizeError`].
pub fn size(
    plan: &Plan,
    wish: &Wish,
    settings: &SizeSettings,
    part: Part,
    control: &Control,
) -> Result<Sized, SizeError> {
    let now = part.of(plan).ok_or(SizeError::NoSuchPart(part.name()))?;
    if part.needs_amount() && wish.methane_l_per_day().is_none() {
        return Err(SizeError::NoAmount);
    }
    let worlds = Worlds::new(plan, wish, settings, part, control)?;
    let met = |factor: f64| worlds.met_share(&part.scaled(plan, factor));
    let found = search::smallest(FROM, TO, settings.chance, &met, control)?;
    let at = found.smallest.unwrap_or(found.best);
    let sized = part.scaled(plan, at);
    let (sour_share, hardest_month) = worlds.about(&sized)?;
    let mut out = Sized {
        words: Vec::new(),
        part,
        wish: wish.clone(),
        chance: settings.chance,
        worlds: worlds.count() as u32,
        now,
        unit: part.unit(),
        met_share_now: met(1.0)?,
        smallest: found.smallest.map(|f| f * now),
        met_share: found.share_at(at),
        sour_share,
        hardest_month,
        tried: found
            .tried
            .iter()
            .map(|t| Tried {
                size: t.size * now,
                ..*t
            })
            .collect(),
        plan: found.smallest.map(|_| sized),
    };
    out.words = words::all(plan, &out);
    Ok(out)
}

/// The curve of the smallest `part` for each of some sizes of `against`.
///
/// # Errors
/// [`SizeError`].
pub fn trade(
    plan: &Plan,
    wish: &Wish,
    settings: &SizeSettings,
    part: Part,
    against: Part,
    control: &Control,
) -> Result<Trade, SizeError> {
    let mut trade = trade::trade(plan, wish, settings, part, against, control)?;
    trade.words = words::of_trade(plan, &trade);
    Ok(trade)
}

/// The worlds that every size is tried in.
struct Worlds<'a> {
    wish: &'a Wish,
    part: Part,
    draws: Vec<WorldDraw>,
    /// Runs of the plan itself, for parts behind the vessel.
    runs: Vec<WorldRun>,
    /// Worlds that count: for a store those whose vessel makes enough gas for it.
    counted: Vec<bool>,
    control: &'a Control<'a>,
}

impl<'a> Worlds<'a> {
    fn new(
        plan: &Plan,
        wish: &'a Wish,
        settings: &SizeSettings,
        part: Part,
        control: &'a Control<'a>,
    ) -> Result<Self, WorldError> {
        let draws = draw::latin_hypercube(plan, settings.worlds as usize, plan.seed);
        let runs = if part.is_behind_the_vessel() {
            run(plan, &draws, control)?
        } else {
            Vec::new()
        };
        let mut worlds = Worlds {
            wish,
            part,
            counted: vec![true; draws.len()],
            draws,
            runs,
            control,
        };
        if part == Part::Store {
            // A store brings no gas: a world that an ample one does not serve tells nothing.
            worlds.counted = worlds.covered(&part.scaled(plan, TO));
        }
        Ok(worlds)
    }

    fn count(&self) -> usize {
        self.counted.iter().filter(|c| **c).count()
    }

    /// Share of the worlds that have the wish with this plan.
    fn met_share(&self, plan: &Plan) -> Result<f64, WorldError> {
        let met = match self.part {
            Part::Store => self.covered(plan),
            Part::Wash => self.unspent(plan),
            _ => self.gas_enough(&run(plan, &self.draws, self.control)?, plan),
        };
        let met = met
            .iter()
            .zip(&self.counted)
            .filter(|(m, c)| **m && **c)
            .count();
        Ok(met as f64 / self.count().max(1) as f64)
    }

    /// Worlds with enough methane in every wished month.
    fn gas_enough(&self, runs: &[WorldRun], plan: &Plan) -> Vec<bool> {
        let need = self.wish.methane_l_per_day().unwrap_or(0.0);
        let days = settled(plan);
        let enough = |r: &WorldRun| {
            self.wished(&days)
                .all(|m| check::mean(r, &days[m], |d| d.methane_l) >= need)
        };
        runs.iter().map(enough).collect()
    }

    fn wished<'d>(&'d self, days: &'d [Vec<usize>; 12]) -> impl Iterator<Item = usize> + 'd {
        (0..12).filter(|m| self.wish.months[*m] && !days[*m].is_empty())
    }

    /// Worlds whose store carries the wish over its hours.
    fn covered(&self, plan: &Plan) -> Vec<bool> {
        let plan = with_use(plan, self.wish);
        let days = settled(&plan);
        let counted: Vec<usize> = self.wished(&days).flat_map(|m| days[m].clone()).collect();
        gas_train::service(&plan, &self.draws, &self.runs)
            .iter()
            .map(|s| {
                let met = |d: &usize| s.met.first()?.get(*d).copied().filter(|v| !v.is_nan());
                let met: Vec<f64> = counted.iter().filter_map(met).collect();
                met.iter().sum::<f64>() >= COVERED * met.len() as f64
            })
            .collect()
    }

    /// Worlds whose washes are seldom spent.
    fn unspent(&self, plan: &Plan) -> Vec<bool> {
        let most = SPENT * f64::from(plan.days);
        gas_train::service(plan, &self.draws, &self.runs)
            .iter()
            .map(|s| s.spent_days.iter().all(|d| f64::from(*d) <= most))
            .collect()
    }

    /// Share of sour worlds with a plan, and the month that fewest have the wish in.
    fn about(&self, plan: &Plan) -> Result<(f64, Option<i8>), WorldError> {
        let runs = if self.part.is_behind_the_vessel() {
            self.runs.clone()
        } else {
            run(plan, &self.draws, self.control)?
        };
        let sour = runs.iter().filter(|r| soured(&r.days)).count();
        let days = settled(plan);
        let need = self.wish.methane_l_per_day();
        let hardest = need.and_then(|need| {
            let met = |m: usize| {
                runs.iter()
                    .filter(|r| check::mean(r, &days[m], |d| d.methane_l) >= need)
                    .count()
            };
            self.wished(&days).min_by_key(|m| met(*m))
        });
        Ok((
            sour as f64 / runs.len().max(1) as f64,
            hardest
                .filter(|_| !self.part.is_behind_the_vessel())
                .map(|m| m as i8 + 1),
        ))
    }
}

fn run(plan: &Plan, draws: &[WorldDraw], control: &Control) -> Result<Vec<WorldRun>, WorldError> {
    let again: Vec<WorldDraw> = draws.iter().map(|d| d.again(plan)).collect();
    // Each size is one trial of many: their own counts would make the bar jump.
    let quiet = Control {
        progress: &|_, _| {},
        cancelled: control.cancelled,
    };
    fenlamp_model::forecast::runs::run_watched(plan, &Shared::new(plan), &again, &quiet)
}

/// Hours of a wish when the plan names no use: morning and afternoon (judgement).
const USUAL_HOURS: [usize; 4] = [6, 7, 16, 17];

/// The plan with the wish as its only use, at the hours of its first one.
fn with_use(plan: &Plan, wish: &Wish) -> Plan {
    let mut out = plan.clone();
    let litres = wish.methane_l_per_day().unwrap_or(0.0);
    let kettles = fenlamp_model::gas::uses::of_methane(litres).kettles;
    let mut hours = [0.0; 24];
    USUAL_HOURS.iter().for_each(|h| hours[*h] = 1.0);
    let flow = plan.gas_side.uses.first().map_or_else(
        || {
            let m3_h = fenlamp_model::reference::gas_value("use_stove_gtz");
            fenlamp_quantity::VolumeRate::new::<uom::si::volume_rate::cubic_meter_per_second>(
                m3_h / 3600.0,
            )
        },
        |u| u.flow,
    );
    out.gas_side.uses = vec![GasUse {
        appliance: fenlamp_model::gas::appliances::Appliance::Kettle,
        wanted: Wanted::Kettles(kettles),
        hours: plan.gas_side.uses.first().map_or(hours, |u| u.hours),
        months: wish.months,
        flow,
        room: None,
        flue: false,
    }];
    out
}

/// Days of the last year by month without the start; with it when nothing else is left.
fn settled(plan: &Plan) -> [Vec<usize>; 12] {
    let settled = check::settled_by_month(plan);
    if settled.iter().all(Vec::is_empty) {
        check::days_by_month(plan)
    } else {
        settled
    }
}
