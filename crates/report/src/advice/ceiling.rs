//! What the waste could give at most, told before anything is asked in detail.

use serde::Serialize;

use super::wish::{Wish, months_in_words};
use fenlamp_model::feed::Feedstock;
use fenlamp_model::plan::Plan;
use fenlamp_model::world::calendar::DAY_S;
use uom::si::mass_rate::kilogram_per_second;

/// The physical ceiling of a wish: all the waste at its full methane potential.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Ceiling {
    /// Methane of each month's waste, dry normal L/day, January first.
    pub methane_dry_normal_l_per_day: [f64; 12],
    /// Methane the wish takes a day; `None` for all there is.
    pub wanted_dry_normal_l_per_day: Option<f64>,
    /// False when no vessel whatever could meet the wish.
    pub may_be_met: bool,
    /// In one sentence.
    pub words: String,
}

/// Share of the potential from which little doubt is left that a plain household
/// plant stays below (judgement: real plants reach 45 to 87 % of it, FRIMAN84 in
/// `worked_examples_yield.md`).
const HARD_SHARE: f64 = 0.6;

impl Ceiling {
    /// Of a plan's waste.
    pub fn of(plan: &Plan, wish: &Wish) -> Self {
        let months = std::array::from_fn(|m| {
            plan.waste
                .iter()
                .filter_map(|w| {
                    let kg = w.fresh[m].get::<kilogram_per_second>() * DAY_S;
                    Some(kg * potential_l_per_kg(plan.feedstocks.get(w.feedstock)?))
                })
                .sum()
        });
        Self::told(months, wish)
    }

    /// Of so many kilograms a day of some feedstocks, every month alike: for asking
    /// before there is a plan.
    pub fn of_waste(waste: &[(&Feedstock, f64)], wish: &Wish) -> Self {
        let litres = waste
            .iter()
            .map(|(f, kg)| kg.max(0.0) * potential_l_per_kg(f))
            .sum();
        Self::told([litres; 12], wish)
    }

    fn told(months: [f64; 12], wish: &Wish) -> Self {
        let wanted = wish.methane_l_per_day();
        let wished: Vec<f64> = (0..12)
            .filter(|m| wish.months[*m])
            .map(|m| months[m])
            .collect();
        let poorest = wished.iter().copied().fold(f64::INFINITY, f64::min);
        let mean = wished.iter().sum::<f64>() / wished.len().max(1) as f64;
        let may_be_met = wanted.is_none_or(|w| w <= mean);
        Ceiling {
            methane_dry_normal_l_per_day: months,
            wanted_dry_normal_l_per_day: wanted,
            may_be_met,
            words: words(wish, wanted, poorest, mean),
        }
    }
}

/// Dry normal L/kg fresh.
fn potential_l_per_kg(f: &Feedstock) -> f64 {
    1000.0 * f.total_solids.mid * f.volatile_of_ts * f.bmp.mid
}

fn words(wish: &Wish, wanted: Option<f64>, poorest: f64, mean: f64) -> String {
    let count = |litres: f64| format!("{} a day", wish.counted_words(litres));
    let when = months_in_words(&wish.months);
    let Some(wanted) = wanted else {
        return format!(
            "All the waste at its full methane potential would be worth {} {when}; a household \
             plant gets about half to three quarters of it where it is warm, less where it is \
             cold.",
            count(mean)
        );
    };
    let head = format!(
        "All the waste {when} at its full methane potential would be worth {}; the wish takes {}",
        count(mean),
        count(wanted)
    );
    let (poor, share) = (count(poorest), wanted / mean.max(1e-9));
    if wanted > mean {
        format!("{head}: no vessel, however large or warm, can meet that.")
    } else if share > HARD_SHARE {
        format!("{head}: out of reach for most household plants, which get less than that share.")
    } else if poorest <= 0.0 {
        format!(
            "{head}: enough on the whole, but in some month asked for there is no waste at all."
        )
    } else if wanted > poorest {
        format!("{head}: enough on the whole, but the poorest month's waste holds only {poor}.")
    } else {
        format!(
            "{head}, {:.0} % of it: within what the waste can give; warmth and room decide.",
            (100.0 * share).max(1.0)
        )
    }
}
