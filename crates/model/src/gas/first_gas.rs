//! The first gas: days on which the headspace can explode, and what to let go
//! out of doors before any flame.

use serde::Serialize;

use super::error::{GasError, within};
use super::flammability::{could_become_flammable_when_mixed_with_air, is_flammable};
use super::mixture::{Mixture, Shares};
use crate::reference::gas_value;

/// A headspace at the end of a day; what is not listed is nitrogen.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize)]
pub struct HeadspaceDay {
    /// Oxygen, share.
    pub o2: f64,
    /// Methane, share.
    pub ch4: f64,
    /// Carbon dioxide, share.
    pub co2: f64,
    /// Hydrogen, share.
    pub h2: f64,
    /// Gas made that day, L as the headspace shows it.
    pub gas_l: f64,
}

/// What the first days are like.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FirstGas {
    /// Days (counted from 0) on which the headspace can burn as it is.
    pub flammable: Vec<usize>,
    /// Days on which it can burn if some air gets in: a leak, an opened lid, a
    /// store sucked empty. Every day of good gas is one.
    pub flammable_with_air: Vec<usize>,
    /// First day from which no flammable day follows, oxygen is at or under
    /// `purge_o2` and the gas holds a flame; `None` if the series never gets there.
    pub first_flame: Option<usize>,
    /// Gas to let go out of doors before any flame, L: all made up to that day
    /// (to the end of the series if it never comes).
    pub vent_l: f64,
}

/// Judges a series of days.
///
/// # Errors
/// [`GasError::OutOfRange`] or [`GasError::SharesDoNotSum`] for a headspace
/// that cannot be.
pub fn first_gas(days: &[HeadspaceDay]) -> Result<FirstGas, GasError> {
    let gases = days.iter().map(mixture).collect::<Result<Vec<_>, _>>()?;
    let which = |test: fn(&Mixture) -> bool| {
        let hits = gases.iter().enumerate().filter(|(_, gas)| test(gas));
        hits.map(|(day, _)| day).collect::<Vec<_>>()
    };
    let flammable = which(is_flammable);
    let after = flammable.last().map_or(0, |day| day + 1);
    let first_flame = gases.iter().enumerate().skip(after).find_map(|(day, gas)| {
        let x = gas.shares();
        let purged = 100.0 * x.o2 <= gas_value("purge_o2");
        let burns = 100.0 * x.ch4 >= gas_value("ch4_min_flame");
        (purged && burns).then_some(day)
    });
    let until = first_flame.unwrap_or(days.len());
    Ok(FirstGas {
        flammable,
        flammable_with_air: which(could_become_flammable_when_mixed_with_air),
        first_flame,
        vent_l: days.iter().take(until).map(|day| day.gas_l).sum(),
    })
}

/// The headspace as a dry gas.
fn mixture(day: &HeadspaceDay) -> Result<Mixture, GasError> {
    within("gas of a day", "L", day.gas_l, 0.0, 1e9)?;
    let known = day.o2 + day.ch4 + day.co2 + day.h2;
    if known > 1.005 {
        return Err(GasError::SharesDoNotSum {
            percent: 100.0 * known,
        });
    }
    Mixture::new(Shares {
        ch4: day.ch4,
        co2: day.co2,
        o2: day.o2,
        h2: day.h2,
        n2: (1.0 - known).max(0.0),
        ..Shares::default()
    })
}
