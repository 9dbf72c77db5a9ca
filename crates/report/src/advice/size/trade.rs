//! Two parts that may stand for each other.

use serde::Serialize;

use super::{FROM, Part, SizeError, SizeSettings, TO, Worlds, search};
use crate::advice::said::Said;
use crate::advice::wish::Wish;
use fenlamp_model::forecast::runs::Control;
use fenlamp_model::plan::Plan;

/// The smallest of one part for each of some sizes of another.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Trade {
    /// In sentences.
    pub words: Vec<Said>,
    /// The part that is sized.
    pub part: Part,
    /// Unit of its sizes.
    pub unit: &'static str,
    /// The part that is given.
    pub against: Part,
    /// Unit of its sizes.
    pub against_unit: &'static str,
    /// The wish.
    pub wish: Wish,
    /// Share of the worlds that shall have it.
    pub chance: f64,
    /// The curve, by the size of `against`.
    pub points: Vec<TradePoint>,
}

/// A point of the curve.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct TradePoint {
    /// Size of the part that is given.
    pub against: f64,
    /// Smallest size of the other; `None` when no size does.
    pub smallest: Option<f64>,
    /// Share of the worlds that have the wish there, or at the best size tried.
    pub met_share: f64,
}

/// Sizes of the part that is given, on that of the plan.
const GIVEN: [f64; 5] = [0.5, 0.75, 1.0, 1.5, 2.0];

pub(super) fn trade(
    plan: &Plan,
    wish: &Wish,
    settings: &SizeSettings,
    part: Part,
    against: Part,
    control: &Control,
) -> Result<Trade, SizeError> {
    let now = part.of(plan).ok_or(SizeError::NoSuchPart(part.name()))?;
    let given = against
        .of(plan)
        .ok_or(SizeError::NoSuchPart(against.name()))?;
    if wish.methane_l_per_day().is_none() {
        return Err(SizeError::NoAmount);
    }
    let mut points = Vec::new();
    let mut guess = None;
    for factor in GIVEN {
        let plan = against.scaled(plan, factor);
        let worlds = Worlds::new(&plan, wish, settings, part, control)?;
        let met = |size: f64| worlds.met_share(&part.scaled(&plan, size));
        let found = match guess {
            Some(guess) => search::near(guess, FROM, TO, settings.chance, &met, control)?,
            None => search::smallest(FROM, TO, settings.chance, &met, control)?,
        };
        guess = found.smallest;
        points.push(TradePoint {
            against: factor * given,
            smallest: found.smallest.map(|f| f * now),
            met_share: found.share_at(found.smallest.unwrap_or(found.best)),
        });
    }
    Ok(Trade {
        words: Vec::new(),
        part,
        unit: part.unit(),
        against,
        against_unit: against.unit(),
        wish: wish.clone(),
        chance: settings.chance,
        points,
    })
}
