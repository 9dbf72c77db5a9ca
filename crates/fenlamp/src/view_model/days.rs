//! Days and times as they are typed.

use jiff::civil::{Date, Time};
use jiff::{ToSpan, ZonedDateTime};

/// Today by the computer's clock and time zone.
pub fn today() -> Date {
    ZonedDateTime::now().date()
}

/// A day: 2026-06-01, today, yesterday.
pub fn day(text: &str) -> Result<Date, String> {
    match text {
        "today" => Ok(today()),
        "yesterday" => Ok(today().saturating_sub(1.day())),
        _ => text
            .parse()
            .map_err(|_| "write a day like 2026-06-01, today or yesterday".to_owned()),
    }
}

/// A time of day: 08:30.
pub fn time(text: &str) -> Result<Time, String> {
    text.parse()
        .map_err(|_| "write a time like 08:30".to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_and_times_are_read() {
        assert_eq!(day("2026-06-01"), Ok(jiff::civil::date(2026, 6, 1)));
        assert_eq!(
            day("yesterday").map(|d| d.saturating_add(1.day())),
            day("today")
        );
        assert!(day("1.6.2026").is_err());
        assert_eq!(time("08:30"), Ok(jiff::civil::time(8, 30, 0, 0)));
        assert!(time("half past").is_err());
    }
}
