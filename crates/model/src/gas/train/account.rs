//! Where the gas went.

use super::Gas;

/// Where all gas of a run went, dry normal litres.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Account {
    /// Left the vessel.
    pub made: Gas,
    /// Burned in the uses.
    pub burned: Gas,
    /// Let go by the relief.
    pub vented: Gas,
    /// Taken up by the washes, spent fillings included.
    pub washed_out: Gas,
    /// Dissolved in the store's bath at the end.
    pub dissolved: Gas,
    /// Gone through the skin of the store.
    pub permeated: Gas,
    /// Gone at seams and fittings.
    pub leaked: Gas,
    /// In the store at the end.
    pub stored: Gas,
}

impl Account {
    /// Made less all that is accounted for, each gas; zero but for rounding.
    pub fn residual(&self) -> Gas {
        std::array::from_fn(|g| {
            self.made[g]
                - self.burned[g]
                - self.vented[g]
                - self.washed_out[g]
                - self.dissolved[g]
                - self.permeated[g]
                - self.leaked[g]
                - self.stored[g]
        })
    }
}

/// One day, dry normal litres.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Day {
    /// Let go by the relief.
    pub vented_l: f64,
    /// Burned.
    pub burned_l: f64,
    /// In the store at midnight.
    pub stored_l: f64,
    /// H2S behind the washes, ppm.
    pub h2s_ppm: f64,
    /// Hours in which something was wanted and not all of it could burn.
    pub short_h: f64,
}

/// A finished run.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Run {
    /// The account.
    pub account: Account,
    /// Gas let go that would have burned, dry normal litres.
    pub wasted_l: f64,
    /// Gas made that would burn, dry normal litres.
    pub burnable_l: f64,
    /// Hours short.
    pub short_h: f64,
    /// Hours in which something was wanted.
    pub wanted_h: f64,
    /// Days; empty when not asked for.
    pub days: Vec<Day>,
    /// For each use, for each day: share of the day's need that was met; NaN out of season.
    pub met: Vec<Vec<f64>>,
    /// How full the store is at the end of each hour (1 when the relief opens),
    /// summed over the days of each quarter, December to February first.
    pub filled_by_hour: [[f64; 24]; 4],
    /// Days summed for each quarter.
    pub quarter_days: [u32; 4],
    /// For each wash, the day on which it was first spent.
    pub spent: Vec<Option<usize>>,
    /// For each wash, days on which it was spent.
    pub spent_days: Vec<u32>,
    /// For each wash, gas passed before it was first spent (or so far), dry normal litres.
    pub filling_l: Vec<f64>,
}

impl Run {
    /// Before the first day, with so many washes.
    pub(super) fn of_washes(washes: usize) -> Self {
        Run {
            spent: vec![None; washes],
            spent_days: vec![0; washes],
            filling_l: vec![0.0; washes],
            ..Run::default()
        }
    }
}
