//! Positions in a plain 365-day year.

use jiff::civil::Date;

/// Days of a year without 29 February.
pub(crate) const YEAR_DAYS: usize = 365;

/// Days in each month of a plain year, January first.
pub(crate) const MONTH_DAYS: [usize; 12] = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];

/// First day (0-based) of each month of a plain year, January first.
pub(crate) const MONTH_FIRST: [usize; 12] = [0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334];

/// Mid-day of each month counted from the start of the year (worked example 7).
pub(crate) const MONTH_MID: [f64; 12] = [
    15.5, 45.0, 74.5, 105.0, 135.5, 166.0, 196.5, 227.5, 258.0, 288.5, 319.0, 349.5,
];

/// Place of a date in a plain year, 0..=364; 29 February counts as the 28th.
pub fn day_in_plain_year(date: Date) -> usize {
    let month = (date.month() - 1) as usize;
    let day = (date.day() as usize).min(MONTH_DAYS[month]);
    MONTH_FIRST[month] + day - 1
}

/// Whole days from `earlier` to `later` (negative when it lies before).
pub fn days_between(earlier: Date, later: Date) -> i64 {
    later.duration_since(earlier).as_hours() / 24
}

/// The date so many days after `start`; the calendar's end saturates.
pub fn days_after(start: Date, days: i64) -> Date {
    start.saturating_add(jiff::SignedDuration::from_hours(days.saturating_mul(24)))
}
