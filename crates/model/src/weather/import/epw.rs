//! The open weather format of the building trade (EPW): eight header lines, then hourly rows.
//!
//! Field numbers and missing-value marks from the format's public description (from memory):
//! dry bulb 6 (99.9), global horizontal radiation 13 (9999, Wh/m2 in the hour), wind speed 21
//! (999).

use jiff::civil::Date;

use crate::weather::WeatherSeries;

use super::{AIR, ImportError, Quantity, SUN, WIND};

/// Longest gap that is filled between its neighbours, h.
const LONGEST_FILLED_GAP_H: usize = 3;

/// Read an EPW weather file.
///
/// `origin` holds the place named in the file and, when hours were missing, how many were filled
/// with a straight line between their neighbours (gaps of at most 3 h).
///
/// # Errors
/// The first line that cannot be read, is out of order, or begins a gap longer than 3 h.
pub fn import_epw(text: &str) -> Result<WeatherSeries, ImportError> {
    let mut lines = text.lines().enumerate().map(|(i, line)| (i + 1, line));
    let mut header = Vec::new();
    for _ in 0..8 {
        match lines.next() {
            Some((_, line)) => header.push(line),
            None => {
                return Err(ImportError::new(
                    header.len() + 1,
                    "fewer than 8 header lines",
                ));
            }
        }
    }
    if !header[0]
        .trim_start_matches('\u{feff}')
        .to_uppercase()
        .starts_with("LOCATION,")
    {
        return Err(ImportError::new(
            1,
            "the first line does not begin with LOCATION",
        ));
    }
    let mut rows: Vec<Row> = Vec::new();
    for (line, content) in lines.filter(|(_, content)| !content.trim().is_empty()) {
        let row = Row::read(line, content)?;
        if let Some(before) = rows.last() {
            row.follows(before)?;
        } else if row.hour != 1 {
            return Err(ImportError::new(
                line,
                "the first row is not hour 1 of a day",
            ));
        }
        rows.push(row);
    }
    let Some(first) = rows.first() else {
        return Err(ImportError::new(9, "no rows after the 8 header lines"));
    };
    if !rows.len().is_multiple_of(24) {
        let line = rows.last().map_or(9, |row| row.line);
        return Err(ImportError::new(
            line,
            format!("the last day has {} of 24 hours", rows.len() % 24),
        ));
    }
    let first_day = first_day(first, &rows)?;
    let lines: Vec<usize> = rows.iter().map(|row| row.line).collect();
    let mut filled = 0;
    let mut column = |pick: fn(&Row) -> Option<f64>, quantity: Quantity| {
        let (values, count) = fill_gaps(&lines, rows.iter().map(pick).collect(), quantity)?;
        filled += count;
        Ok::<_, ImportError>(values)
    };
    let air_c = column(|row| row.air_c, AIR)?;
    let sun_w_m2 = column(|row| row.sun_w_m2, SUN)?;
    let wind_m_s = column(|row| row.wind_m_s, WIND)?;
    let place: Vec<&str> = header[0]
        .split(',')
        .skip(1)
        .take(3)
        .map(str::trim)
        .collect();
    let mut origin = place.join(", ");
    if filled > 0 {
        origin.push_str(&format!(
            "; {filled} missing values filled between their neighbours"
        ));
    }
    Ok(WeatherSeries {
        first: first_day,
        step_hours: 1,
        air_c,
        sun_w_m2,
        wind_m_s,
        origin,
    })
}

/// One data row; `None` where the file marks a value as missing.
struct Row {
    line: usize,
    year: i16,
    month: i8,
    day: i8,
    hour: i8,
    air_c: Option<f64>,
    sun_w_m2: Option<f64>,
    wind_m_s: Option<f64>,
}

impl Row {
    fn read(line: usize, content: &str) -> Result<Self, ImportError> {
        let fields: Vec<&str> = content.split(',').map(str::trim).collect();
        if fields.len() < 22 {
            return Err(ImportError::new(
                line,
                format!("{} fields, at least 22 are needed", fields.len()),
            ));
        }
        let whole = |field: usize, name: &str| -> Result<i16, ImportError> {
            fields[field].parse().map_err(|_| {
                ImportError::new(
                    line,
                    format!("{name} \"{}\" is not a number", fields[field]),
                )
            })
        };
        let small = |field: usize, name: &str, high: i16| -> Result<i8, ImportError> {
            let value = whole(field, name)?;
            if (1..=high).contains(&value) {
                Ok(value as i8)
            } else {
                Err(ImportError::new(
                    line,
                    format!("{name} {value} is not 1 to {high}"),
                ))
            }
        };
        Ok(Row {
            line,
            year: whole(0, "year")?,
            month: small(1, "month", 12)?,
            day: small(2, "day", 31)?,
            hour: small(3, "hour", 24)?,
            air_c: measured(AIR, line, fields[6], 99.9)?,
            sun_w_m2: measured(SUN, line, fields[13], 9999.0)?.map(|sun| sun.max(0.0)),
            wind_m_s: measured(WIND, line, fields[21], 999.0)?,
        })
    }

    /// Check that this row is the hour after another. Typical years join months of different
    /// years, so the year itself is not compared.
    fn follows(&self, before: &Row) -> Result<(), ImportError> {
        let fault = |what: &str| {
            Err(ImportError::new(
                self.line,
                format!(
                    "{what}: month {} day {} hour {} after month {} day {} hour {}",
                    self.month, self.day, self.hour, before.month, before.day, before.hour
                ),
            ))
        };
        let same_day = (self.month, self.day) == (before.month, before.day);
        if same_day && self.hour == before.hour {
            return fault("hour twice");
        }
        if before.hour < 24 {
            return if same_day && self.hour == before.hour + 1 {
                Ok(())
            } else {
                fault("hours missing or out of order")
            };
        }
        let last_of_month = match before.month {
            2 => before.day >= 28,
            4 | 6 | 9 | 11 => before.day == 30,
            _ => before.day == 31,
        };
        let next_month = before.month % 12 + 1;
        let next_day = (self.month == before.month && self.day == before.day + 1)
            || (last_of_month && self.month == next_month && self.day == 1);
        if next_day && self.hour == 1 {
            Ok(())
        } else {
            fault("days missing or out of order")
        }
    }
}

/// A value, `None` for the mark of a missing one, or the fault.
fn measured(
    quantity: Quantity,
    line: usize,
    text: &str,
    missing: f64,
) -> Result<Option<f64>, ImportError> {
    if let Ok(value) = text.parse::<f64>()
        && value >= missing
        && value <= missing * 1.2
    {
        return Ok(None);
    }
    quantity.read(line, text).map(Some)
}

/// First day; a year that cannot hold the rows (a typical year of joined months) gives way to
/// the plain year before it.
fn first_day(first: &Row, rows: &[Row]) -> Result<Date, ImportError> {
    let date = |year: i16| {
        Date::new(year, first.month, first.day)
            .map_err(|_| ImportError::new(first.line, "no such date"))
    };
    let day = date(first.year)?;
    let joined = rows
        .iter()
        .any(|row| row.year != first.year && row.month > first.month);
    let lacks_leap_day = day.in_leap_year()
        && rows.iter().any(|row| row.month == 2 && row.day == 28)
        && !rows.iter().any(|row| row.month == 2 && row.day == 29);
    if joined || lacks_leap_day {
        let mut year = first.year;
        while date(year)?.in_leap_year() {
            year -= 1;
        }
        return date(year);
    }
    Ok(day)
}

/// Fill short gaps with a straight line; counts the filled values.
fn fill_gaps(
    lines: &[usize],
    values: Vec<Option<f64>>,
    quantity: Quantity,
) -> Result<(Vec<f64>, usize), ImportError> {
    let mut filled = Vec::with_capacity(values.len());
    let mut count = 0;
    let mut index = 0;
    while index < values.len() {
        if let Some(value) = values[index] {
            filled.push(value);
            index += 1;
            continue;
        }
        let gap = values[index..]
            .iter()
            .take_while(|value| value.is_none())
            .count();
        let after = values.get(index + gap).copied().flatten();
        let before = filled.last().copied();
        let (Some(before), Some(after)) = (before, after) else {
            return Err(ImportError::new(
                lines[index],
                format!("{} missing at the end of the record", quantity.name),
            ));
        };
        if gap > LONGEST_FILLED_GAP_H {
            return Err(ImportError::new(
                lines[index],
                format!(
                    "{} missing for {gap} h; at most {LONGEST_FILLED_GAP_H} h are filled",
                    quantity.name
                ),
            ));
        }
        for step in 1..=gap {
            let share = step as f64 / (gap + 1) as f64;
            filled.push(before + (after - before) * share);
        }
        count += gap;
        index += gap;
    }
    Ok((filled, count))
}
