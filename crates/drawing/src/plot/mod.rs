//! Plots: bands over days, a store through the day, uses covered and missed.

mod band;
mod bars;
mod data;
mod day_store;
mod scale;

#[cfg(test)]
mod tests;

use fenlamp_model::band::Quantiles;
use fenlamp_model::forecast::bands::DayBand;
use jiff::civil::Date;

pub use band::band;
pub use bars::{Bar, Bars, bars};
pub use data::data_json;
pub use day_store::{DayStore, Season, day_store};

/// Short English names of the months.
pub const MONTHS: [&str; 12] = [
    "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
];

/// A plot of days: a band or two over dates, and under it, if wanted, a second
/// panel on the same dates. Figures come in the unit that is shown.
#[derive(Debug, Clone)]
pub struct BandPlot {
    /// Begins the ids inside the picture: two plots of one page need two.
    pub id: String,
    /// Title, read out and not drawn.
    pub title: String,
    /// One or two sentences for who cannot see it; not drawn.
    pub about: String,
    /// First day shown.
    pub from: Date,
    /// Last day shown; before `from` counts as `from`.
    pub to: Date,
    /// Width in CSS pixels, at least 240.
    pub width: f64,
    /// Height in CSS pixels, at least 240.
    pub height: f64,
    /// The upper panel.
    pub upper: Panel,
    /// The lower panel.
    pub lower: Option<Panel>,
    /// Days to mark.
    pub marks: Vec<Mark>,
    /// Short names of the months, January first.
    pub months: [&'static str; 12],
}

/// A panel with its own scale upwards.
#[derive(Debug, Clone)]
pub struct Panel {
    /// What is shown, with its unit; stands above the panel.
    pub label: String,
    /// One series, or a second beside it (a changed plan); more are left out.
    pub series: Vec<Series>,
    /// The scale starts from zero.
    pub from_zero: bool,
    /// It shows gas, and so may use the flame ink.
    pub gas: bool,
}

/// A band day by day.
#[derive(Debug, Clone)]
pub struct Series {
    /// Name; drawn when the panel has two.
    pub name: String,
    /// Unit.
    pub unit: String,
    /// Day of the first entry.
    pub start: Date,
    /// One entry a day; a figure that is not finite leaves a gap.
    pub days: Vec<Band>,
}

impl Series {
    /// Of the days of a forecast; `figure` picks the band in the unit shown.
    pub fn of_days(
        name: &str,
        unit: &str,
        days: &[DayBand],
        figure: impl Fn(&DayBand) -> Quantiles,
    ) -> Self {
        Series {
            name: name.to_owned(),
            unit: unit.to_owned(),
            start: days.first().map_or(Date::ZERO, |d| d.date),
            days: days.iter().map(|d| figure(d).into()).collect(),
        }
    }
}

/// Low, middle and high of one day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Band {
    /// One world in ten is below.
    pub low: f64,
    /// The middle world.
    pub middle: f64,
    /// One world in ten is above.
    pub high: f64,
}

impl Band {
    fn is_whole(&self) -> bool {
        self.low.is_finite() && self.middle.is_finite() && self.high.is_finite()
    }
}

impl From<Quantiles> for Band {
    fn from(q: Quantiles) -> Self {
        Band {
            low: q.p10,
            middle: q.p50,
            high: q.p90,
        }
    }
}

/// A day to mark, with its own doubt if it has one.
#[derive(Debug, Clone)]
pub struct Mark {
    /// The day.
    pub date: Date,
    /// Earliest and latest.
    pub span: Option<(Date, Date)>,
    /// In a word or two: "first flame".
    pub label: String,
}
