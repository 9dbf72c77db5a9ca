//! Plain CSV with a header line.

use jiff::civil::{Date, DateTime};

use crate::weather::WeatherSeries;

use super::super::calendar::days_between;
use super::{AIR, ImportError, Quantity, SLURRY, SUN, WIND};

/// Read a weather record.
///
/// The first line names the columns: `time` (hourly, `2031-01-01 00:00`) or `date` (daily,
/// `2031-01-01`), `air_c`, and if wanted `sun_w_m2` (mean over the step) and `wind_m_s`. Rows
/// follow each other without gap; an hourly record starts at 00:00 and ends with a whole day.
/// `origin` is left empty for the caller to fill.
///
/// # Errors
/// The first line that is not readable, out of order, doubled, missing a step, not a number or
/// out of range.
pub fn import_csv(text: &str) -> Result<WeatherSeries, ImportError> {
    let mut table = Table::read(text, &["time", "date", "air_c", "sun_w_m2", "wind_m_s"])?;
    let hourly = match (table.column("time"), table.column("date")) {
        (Some(_), None) => true,
        (None, Some(_)) => false,
        (Some(_), Some(_)) => {
            return Err(ImportError::new(1, "give either time or date, not both"));
        }
        (None, None) => {
            return Err(ImportError::new(
                1,
                "no column \"time\" (hourly) or \"date\" (daily)",
            ));
        }
    };
    let Some(air) = table.column("air_c") else {
        return Err(ImportError::new(1, "no column \"air_c\""));
    };
    let stamp = table
        .column(if hourly { "time" } else { "date" })
        .unwrap_or(0);
    let (sun, wind) = (table.column("sun_w_m2"), table.column("wind_m_s"));

    let mut series = WeatherSeries {
        first: Date::ZERO,
        step_hours: if hourly { 1 } else { 24 },
        air_c: Vec::new(),
        sun_w_m2: Vec::new(),
        wind_m_s: Vec::new(),
        origin: String::new(),
    };
    let mut clock = Clock::new(series.step_hours);
    let mut last_line = 1;
    while let Some((line, row)) = table.next_row()? {
        last_line = line;
        let first = clock.advance(line, &row[stamp], hourly)?;
        if series.air_c.is_empty() {
            series.first = first;
        }
        series.air_c.push(AIR.read(line, &row[air])?);
        if let Some(column) = sun {
            series.sun_w_m2.push(SUN.read(line, &row[column])?.max(0.0));
        }
        if let Some(column) = wind {
            series.wind_m_s.push(WIND.read(line, &row[column])?);
        }
    }
    if series.air_c.is_empty() {
        return Err(ImportError::new(last_line, "no rows after the header"));
    }
    let over = series.air_c.len() % 24;
    if hourly && over != 0 {
        return Err(ImportError::new(
            last_line,
            format!("the last day has {over} of 24 hours: complete it or take it out"),
        ));
    }
    Ok(series)
}

/// Read slurry temperatures, one a day: columns `date` and `temperature_c`.
///
/// # Errors
/// The first line that is not readable, out of order, doubled, missing a day, not a number or
/// out of range.
pub fn import_daily_temperature(text: &str) -> Result<Vec<f64>, ImportError> {
    let mut table = Table::read(text, &["date", "temperature_c"])?;
    let (Some(date), Some(temperature)) = (table.column("date"), table.column("temperature_c"))
    else {
        return Err(ImportError::new(
            1,
            "the columns are \"date\" and \"temperature_c\"",
        ));
    };
    let mut clock = Clock::new(24);
    let mut daily_c = Vec::new();
    while let Some((line, row)) = table.next_row()? {
        clock.advance(line, &row[date], false)?;
        daily_c.push(read(SLURRY, line, &row[temperature])?);
    }
    if daily_c.is_empty() {
        return Err(ImportError::new(1, "no rows after the header"));
    }
    Ok(daily_c)
}

fn read(quantity: Quantity, line: usize, text: &str) -> Result<f64, ImportError> {
    quantity.read(line, text)
}

/// Rows of a CSV text under a checked header.
struct Table<'a> {
    header: Vec<String>,
    rows: csv::StringRecordsIntoIter<&'a [u8]>,
}

impl<'a> Table<'a> {
    fn read(text: &'a str, known: &[&str]) -> Result<Self, ImportError> {
        // Spreadsheets put a byte-order mark in front.
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        let mut reader = csv::ReaderBuilder::new()
            .trim(csv::Trim::All)
            .comment(Some(b'#'))
            .from_reader(text.as_bytes());
        let header: Vec<String> = reader
            .headers()
            .map_err(|error| ImportError::new(1, error.to_string()))?
            .iter()
            .map(str::to_lowercase)
            .collect();
        for (index, name) in header.iter().enumerate() {
            if name.contains(';') || name.contains('\t') {
                return Err(ImportError::new(1, "separate the columns with commas"));
            }
            if !known.contains(&name.as_str()) {
                return Err(ImportError::new(
                    1,
                    format!("unknown column \"{name}\"; known: {}", known.join(", ")),
                ));
            }
            if header[..index].contains(name) {
                return Err(ImportError::new(1, format!("column \"{name}\" twice")));
            }
        }
        Ok(Table {
            header,
            rows: reader.into_records(),
        })
    }

    fn column(&self, name: &str) -> Option<usize> {
        self.header.iter().position(|column| column == name)
    }

    fn next_row(&mut self) -> Result<Option<(usize, csv::StringRecord)>, ImportError> {
        let at = |position: Option<&csv::Position>| position.map_or(0, |p| p.line() as usize);
        match self.rows.next() {
            None => Ok(None),
            Some(Ok(row)) => Ok(Some((at(row.position()), row))),
            Some(Err(error)) => {
                let line = at(error.position());
                let message = match error.kind() {
                    csv::ErrorKind::UnequalLengths {
                        expected_len, len, ..
                    } => {
                        format!("{len} values where the header has {expected_len}")
                    }
                    _ => error.to_string(),
                };
                Err(ImportError::new(line, message))
            }
        }
    }
}

/// Checks that time stamps follow each other by the step.
struct Clock {
    step_hours: u32,
    last: Option<(i64, String)>,
    zero: Date,
}

impl Clock {
    fn new(step_hours: u32) -> Self {
        Clock {
            step_hours,
            last: None,
            zero: Date::ZERO,
        }
    }

    /// Take the next stamp; gives its date.
    fn advance(&mut self, line: usize, text: &str, hourly: bool) -> Result<Date, ImportError> {
        let (date, hour) = if hourly {
            read_time(line, text)?
        } else {
            (read_date(line, text)?, 0)
        };
        match &self.last {
            None => {
                if hour != 0 {
                    return Err(ImportError::new(line, "an hourly record starts at 00:00"));
                }
                self.zero = date;
            }
            Some((before, before_text)) => {
                let now = days_between(self.zero, date) * 24 + hour;
                let step = now - before;
                let wanted = i64::from(self.step_hours);
                let fault = if step == 0 {
                    Some(format!("{text} twice"))
                } else if step < 0 {
                    Some(format!("{text} comes after {before_text}: out of order"))
                } else if step != wanted {
                    let unit = if hourly { "hour(s)" } else { "day(s)" };
                    let missing = step / wanted - 1;
                    Some(format!(
                        "{missing} {unit} missing between {before_text} and {text}"
                    ))
                } else {
                    None
                };
                if let Some(message) = fault {
                    return Err(ImportError::new(line, message));
                }
            }
        }
        let now = days_between(self.zero, date) * 24 + hour;
        self.last = Some((now, text.to_owned()));
        Ok(date)
    }
}

fn read_date(line: usize, text: &str) -> Result<Date, ImportError> {
    // A civil date alone: the general reader would also take a date with a clock time.
    let plain = text.len() == 10;
    text.parse::<Date>()
        .ok()
        .filter(|_| plain)
        .ok_or_else(|| ImportError::new(line, format!("\"{text}\" is not a date like 2031-01-31")))
}

fn read_time(line: usize, text: &str) -> Result<(Date, i64), ImportError> {
    let fault = || {
        ImportError::new(
            line,
            format!("\"{text}\" is not a time like 2031-01-31 13:00"),
        )
    };
    if text.len() <= 10 {
        return Err(fault());
    }
    let time: DateTime = text.parse().map_err(|_| fault())?;
    if time.minute() != 0 || time.second() != 0 {
        return Err(ImportError::new(
            line,
            format!("\"{text}\" is not a full hour"),
        ));
    }
    Ok((time.date(), i64::from(time.hour())))
}
