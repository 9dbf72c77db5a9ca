//! When a wash is spent in the year, and what it takes to keep it going.

use jiff::civil::Date;
use serde::Serialize;

use crate::band::Band;
use crate::gas::error::{GasError, within};

/// When something with a life in gas is spent; `None` is after the last day given.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct SpentBy {
    /// Much gas, short life.
    pub earliest: Option<Date>,
    /// Middle gas, middle life.
    pub middle: Option<Date>,
    /// Little gas, long life.
    pub latest: Option<Date>,
}

/// The day on which the gas since `start` uses up the life.
///
/// `daily_l` is the gas of each day from `start` on (L dry, normal), `life_l`
/// the life in the same litres.
///
/// # Errors
/// Gas or life below zero, not a number, or out of order.
pub fn spent_by(start: Date, daily_l: &[Band], life_l: Band) -> Result<SpentBy, GasError> {
    ordered("life of the wash", life_l)?;
    for day in daily_l {
        ordered("gas of a day", *day)?;
    }
    let day = |gas: fn(&Band) -> f64, life: f64| {
        let mut passed = 0.0;
        let i = daily_l.iter().position(|day| {
            passed += gas(day);
            passed >= life
        })?;
        start.checked_add(jiff::Span::new().days(i as i64)).ok()
    };
    Ok(SpentBy {
        earliest: day(|b| b.high, life_l.low),
        middle: day(|b| b.mid, life_l.mid),
        latest: day(|b| b.low, life_l.high),
    })
}

fn ordered(what: &'static str, band: Band) -> Result<(), GasError> {
    within(what, "L", band.low, 0.0, 1e12)?;
    within(what, "L", band.mid, band.low, 1e12)?;
    within(what, "L", band.high, band.mid, 1e12)?;
    Ok(())
}

/// Fillings that a steady gas asks for.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Upkeep {
    /// Days a filling lasts.
    pub days_per_filling: f64,
    /// Alkali (or ash) a day, in the unit of the filling.
    pub alkali_per_day: f64,
}

/// Upkeep of a wash that lasts `life_l` of gas and takes `alkali` a filling,
/// at `daily_l` of gas a day.
///
/// # Errors
/// No gas, no life, or less than no alkali.
pub fn upkeep(life_l: f64, alkali: f64, daily_l: f64) -> Result<Upkeep, GasError> {
    let life_l = within("life of the wash", "L", life_l, 1e-6, 1e12)?;
    let daily_l = within("gas of a day", "L", daily_l, 1e-6, 1e12)?;
    let alkali = within("alkali of a filling", "kg", alkali, 0.0, 1e9)?;
    let days_per_filling = life_l / daily_l;
    Ok(Upkeep {
        days_per_filling,
        alkali_per_day: alkali / days_per_filling,
    })
}
