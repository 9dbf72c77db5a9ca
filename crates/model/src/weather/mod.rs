//! Weather of the place: normals or records to hours, and the ground below.
//!
//! Everything here is deterministic. Hours are local solar time, hour 0 is 00-01 h of the first
//! day.

pub mod ground;
pub mod solar;

pub mod anomaly;
mod calendar;
mod import;
mod normals;
mod series;
mod site;

#[cfg(test)]
mod tests;

use jiff::civil::Date;

pub use calendar::{day_in_plain_year, days_after, days_between};
pub use ground::AirYear;
pub use import::{ImportError, import_csv, import_daily_temperature, import_epw};
pub use series::uncovered_days;
pub use site::{MonthlyNormals, Place, Soil, Weather, WeatherSeries};

/// Hour at which the day is warmest, local solar time. Judgement: mid-afternoon.
const WARMEST_HOUR: f64 = 15.0;

/// Weather hour by hour from the plan's first day.
#[derive(Debug, Clone, PartialEq)]
pub struct HourlyWeather {
    /// Air temperature, degC (mean of the hour).
    pub air_c: Vec<f64>,
    /// Global sun on a horizontal surface, W/m2 (mean of the hour).
    pub sun_w_m2: Vec<f64>,
    /// Wind, m/s.
    pub wind_m_s: Vec<f64>,
    /// Yearly wave of the daily mean air, for the ground.
    pub air_year: AirYear,
}

impl HourlyWeather {
    /// Whole days held.
    pub fn days(&self) -> usize {
        self.air_c.len() / 24
    }

    /// Mean air of each day, degC.
    pub fn daily_air_c(&self) -> Vec<f64> {
        self.air_c
            .chunks_exact(24)
            .map(|day| day.iter().sum::<f64>() / 24.0)
            .collect()
    }
}

/// How one world's weather departs from the normals or the record.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WeatherDraw {
    /// Whole run warmer (or colder) by so much, K.
    pub air_offset_k: f64,
    /// Seed of the day-to-day anomalies; `None` leaves them out.
    pub persistence_noise_seed: Option<u64>,
    /// Standard deviation of the daily anomaly, K; 0 gives the plain course.
    /// [`anomaly::USUAL_NOISE_K`] is usual for normals; an imported real year has its own.
    pub noise_k: f64,
    /// Factor on the sun.
    pub sun_factor: f64,
}

impl Default for WeatherDraw {
    /// The plain normals or record.
    fn default() -> Self {
        WeatherDraw {
            air_offset_k: 0.0,
            persistence_noise_seed: None,
            noise_k: 0.0,
            sun_factor: 1.0,
        }
    }
}

/// Weather hour by hour for `days` days from `start`.
///
/// Normals: each month's mean is kept; the air runs as a sinusoid between the day's low and high
/// with its top at 15 h (judgement), so that the day's mean is (high + low)/2; the day's sun
/// follows the sine of the sun's altitude and its sum keeps the normal. A record is taken as it
/// is, repeated by calendar day; see [`uncovered_days`] for a record that does not span the year.
pub fn hourly(
    weather: &Weather,
    place: &Place,
    start: Date,
    days: u32,
    draw: &WeatherDraw,
) -> HourlyWeather {
    let mut hours = match weather {
        Weather::Normals(normals) => from_normals(
            &normals::daily_year(normals, place.latitude_deg),
            ground::fit_months(&std::array::from_fn(|m| {
                0.5 * (normals.high_c[m] + normals.low_c[m])
            })),
            place.latitude_deg,
            start,
            days,
        ),
        Weather::Series(record) => series::from_series(record, place.latitude_deg, start, days),
    };
    apply_draw(&mut hours, draw);
    hours
}

fn from_normals(
    year: &normals::DailyYear,
    air_year: AirYear,
    latitude_deg: f64,
    start: Date,
    days: u32,
) -> HourlyWeather {
    let mut hours = empty(days, air_year);
    for day in 0..days {
        let in_year = day_in_plain_year(days_after(start, i64::from(day)));
        let shares = solar::SunPath::new(latitude_deg, in_year as f64 + 1.0).hourly_shares();
        for (hour, share) in shares.iter().enumerate() {
            hours
                .air_c
                .push(year.mean_c[in_year] + year.half_range_k[in_year] * daily_wave(hour));
            hours.sun_w_m2.push(year.sun_wh_m2[in_year] * share);
            hours.wind_m_s.push(year.wind_m_s[in_year]);
        }
    }
    hours
}

/// The day's course of the air in an hour: +1 at the warmest, -1 twelve hours away.
pub(crate) fn daily_wave(hour: usize) -> f64 {
    // Mean over the hour of a cosine is its middle value times sinc(pi/24), about 0.997: left out
    // so that high and low are reached by an hour's value.
    let from_top = hour as f64 + 0.5 - (WARMEST_HOUR - 0.5);
    (from_top * std::f64::consts::PI / 12.0).cos()
}

pub(crate) fn empty(days: u32, air_year: AirYear) -> HourlyWeather {
    let hours = days as usize * 24;
    HourlyWeather {
        air_c: Vec::with_capacity(hours),
        sun_w_m2: Vec::with_capacity(hours),
        wind_m_s: Vec::with_capacity(hours),
        air_year,
    }
}

/// Lay a world's departures over the plain course.
fn apply_draw(hours: &mut HourlyWeather, draw: &WeatherDraw) {
    hours.air_year.mean_c += draw.air_offset_k;
    for value in &mut hours.air_c {
        *value += draw.air_offset_k;
    }
    for value in &mut hours.sun_w_m2 {
        *value *= draw.sun_factor.max(0.0);
    }
    let Some(seed) = draw.persistence_noise_seed else {
        return;
    };
    if draw.noise_k <= 0.0 {
        return;
    }
    // An anomaly belongs to noon and runs straight to the next, so that midnight has no step.
    let anomalies = anomaly::daily_anomalies_k(seed, draw.noise_k, hours.days() + 2);
    for (index, value) in hours.air_c.iter_mut().enumerate() {
        let position = index as f64 / 24.0 + 0.5 + 0.5 / 24.0;
        let before = position as usize;
        let share = position - before as f64;
        *value += anomalies[before] * (1.0 - share) + anomalies[before + 1] * share;
    }
}
