//! The life of a wash with its doubt: strength of the lye and contact of the bubbles.

use serde::Serialize;

use super::cautions::{self, Caution};
use super::constants::Constants;
use super::equilibrium::closed;
use super::life::{Contact, Jar, Life, RawGas, SpentRule, life};
use crate::band::Band;
use crate::gas::error::{GasError, within};

/// Points of a life kept for a picture.
const SHOWN: usize = 120;

/// What can be said of a row of jars before it is used.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Span {
    /// pH of the first jar when fresh; the ends by the strength of the lye.
    pub fresh_ph: Band,
    /// Gas until the H2S rule is broken, L; 0 where the bubbles are too big to
    /// keep it from the start. `None` in no world of the band.
    pub until_h2s_l: Option<Band>,
    /// Gas until the last jar is at the pH of the rule, or idle if it never
    /// gets there, L: when to change the filling.
    pub until_spent_l: Option<Band>,
    /// H2S after the fresh wash, ppm.
    pub h2s_fresh_ppm: Band,
    /// Most H2S that comes out in the life, ppm.
    pub peak_h2s_ppm: Band,
    /// CO2 after the fresh wash, share of the dry gas.
    pub co2_fresh_share: Band,
    /// Pressure the jars hold back, Pa.
    pub back_pressure_pa: f64,
    /// The life with every bubble in balance and the middle lye, thinned.
    pub in_balance: Life,
    /// Cautions.
    pub cautions: Vec<Caution>,
}

/// The life of the jars, for lyes of low, middle and high strength (three
/// times the same if it is known), over poor to full contact.
///
/// The middle is the middle lye at middling contact; the ends are the least
/// and the most of all combinations.
///
/// # Errors
/// As [`life`]; rows of different length.
pub fn span(
    strengths: &[Vec<Jar>; 3],
    gas: RawGas,
    outside_pa: f64,
    rule: SpentRule,
) -> Result<Span, GasError> {
    let jars = strengths[1].len() as f64;
    for row in strengths {
        within("number of jars", "(number)", row.len() as f64, jars, jars)?;
    }
    let in_balance = life(&strengths[1], gas, outside_pa, Contact::BALANCE, rule)?;
    let depth = strengths[1]
        .iter()
        .map(|j| j.depth_m)
        .fold(f64::MAX, f64::min);
    // A tube that ends at the surface still wets the gas a little.
    let [poor, middling, good] = Contact::in_jar(depth.max(0.01));
    let mut lives = Vec::new();
    for (i, row) in strengths.iter().enumerate() {
        let repeated = i > 0 && row == &strengths[0] && strengths[1] == strengths[0];
        for (j, contact) in [poor, middling, good, Contact::BALANCE]
            .into_iter()
            .enumerate()
        {
            let middle = i == 1 && j == 1;
            if !repeated || middle {
                lives.push((middle, life(row, gas, outside_pa, contact, rule)?));
            }
        }
    }
    let band = |value: &dyn Fn(&Life) -> f64| {
        let all = || lives.iter().map(|(_, life)| value(life));
        let mid = lives
            .iter()
            .find(|(middle, _)| *middle)
            .map(|(_, life)| value(life));
        Band {
            low: all().fold(f64::INFINITY, f64::min),
            mid: mid.unwrap_or(f64::NAN),
            high: all().fold(f64::NEG_INFINITY, f64::max),
        }
    };
    let if_known = |value: &dyn Fn(&Life) -> Option<f64>| {
        let known = lives.iter().all(|(_, life)| value(life).is_some());
        known.then(|| band(&|life| value(life).unwrap_or(f64::NAN)))
    };
    let fresh = |jars: &[Jar]| -> Result<_, GasError> {
        let jar = jars[0];
        Ok(closed(&Constants::at(jar.t_c)?, &jar.liquor))
    };
    let [weak, middle, strong] = [
        fresh(&strengths[0])?,
        fresh(&strengths[1])?,
        fresh(&strengths[2])?,
    ];
    Ok(Span {
        fresh_ph: Band {
            low: weak.ph,
            mid: middle.ph,
            high: strong.ph,
        },
        until_h2s_l: if_known(&|life| life.until_h2s_l),
        until_spent_l: if_known(&|life| life.until_ph_l.or(life.until_idle_l)),
        h2s_fresh_ppm: band(&|life| life.moments[0].h2s_ppm),
        peak_h2s_ppm: band(&Life::peak_h2s_ppm),
        co2_fresh_share: band(&|life| life.moments[0].co2_share),
        back_pressure_pa: in_balance.back_pressure_pa,
        in_balance: thinned(in_balance),
        cautions: cautions::jar(&strong),
    })
}

/// The same life with at most [`SHOWN`] moments, the first and the last among them.
fn thinned(mut life: Life) -> Life {
    let n = life.moments.len();
    if n > SHOWN {
        let keep = |i: usize| i * (n - 1) / (SHOWN - 1);
        life.moments = (0..SHOWN).map(|i| life.moments[keep(i)].clone()).collect();
    }
    life
}
