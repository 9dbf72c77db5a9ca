//! The pages as HTML. Every view takes what it shows and gives markup; none runs
//! a plan or touches a file.

pub mod advice;
pub mod cautions;
pub mod diary;
pub mod figure;
pub mod form;
pub mod layout;
pub mod live;
pub mod plant;
pub mod plot;
pub mod print;
pub mod reference;
pub mod shelf;
pub mod start;
pub mod tables;
pub mod text;

use fenlamp_model::band::Quantiles;
use fenlamp_model::plan::UnitSystem;
use fenlamp_model::say;
use fenlamp_quantity::Units;

use super::desk::Clash;
use super::run::Read;

/// A plan as a view sees it.
#[derive(Debug, Clone)]
pub struct Look {
    /// Name in addresses.
    pub id: String,
    /// What the plan calls itself.
    pub name: String,
    /// Its file in words; `None` for a demo that was never kept.
    pub file: Option<String>,
    /// Grows with every step.
    pub rev: u64,
    /// As it is kept.
    pub kept: Read,
    /// With the changes on top.
    pub trial: Read,
    /// Text with the changes on top.
    pub trial_text: String,
    /// The changes in words.
    pub changes: Vec<String>,
    /// How many could be done again.
    pub undone: usize,
    /// Where two have written.
    pub clashes: Vec<Clash>,
}

impl Look {
    /// Whether anything is tried.
    pub fn is_tried(&self) -> bool {
        !self.changes.is_empty()
    }

    /// The page's place among the others.
    pub fn at<'a>(&'a self, page: &'a str) -> layout::Where<'a> {
        layout::Where {
            plan: Some((&self.id, &self.name)),
            page,
        }
    }
}

/// Figures in the reader's units.
#[derive(Debug, Clone, Copy)]
pub struct Shown {
    units: Units,
}

impl Shown {
    /// For a plan's units.
    pub fn of(units: UnitSystem) -> Self {
        Shown {
            units: units.into(),
        }
    }

    /// The units.
    pub fn units(self) -> Units {
        self.units
    }

    /// Name of the unit of gas: litres or cubic feet.
    pub fn gas_unit(self) -> &'static str {
        match self.units {
            Units::Metric => "L",
            Units::Us => "cu ft",
        }
    }

    /// Litres in that unit.
    pub fn gas(self, q: Quantiles) -> Quantiles {
        match self.units {
            Units::Metric => q,
            Units::Us => q.map(|v| v / say::L_PER_CU_FT),
        }
    }

    /// "°C" or "°F".
    pub fn degree(self) -> &'static str {
        match self.units {
            Units::Metric => "°C",
            Units::Us => "°F",
        }
    }

    /// Degrees Celsius in that.
    pub fn temperature(self, q: Quantiles) -> Quantiles {
        match self.units {
            Units::Metric => q,
            Units::Us => q.map(|v| 1.8 * v + 32.0),
        }
    }
}

/// "98 to 220", two figures each.
pub fn band(q: Quantiles) -> String {
    say::number_band(q.p10, q.p90)
}

/// Whole numbers, as of degrees.
pub fn whole_band(q: Quantiles) -> String {
    let one = |v: f64| {
        let text = format!("{v:.0}");
        if text == "-0" { "0".to_owned() } else { text }
    };
    let (low, high) = (one(q.p10), one(q.p90));
    if low == high {
        low
    } else {
        format!("{low} to {high}")
    }
}
