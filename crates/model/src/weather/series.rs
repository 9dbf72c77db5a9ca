//! An imported record to hours.

use jiff::civil::Date;

use crate::weather::WeatherSeries;

use super::calendar::{day_in_plain_year, days_after, days_between};
use super::ground::{self, AirYear};
use super::solar::{SunPath, extraterrestrial_j_m2_day};
use super::{HourlyWeather, daily_wave, empty};

/// Half the daily range given to a record of daily means, K. Judgement: the published normals of
/// worked example 21 run from 2.8 to 9.6 K; the middle.
const DAILY_HALF_RANGE_K: f64 = 5.0;

/// Wind where the record has none, m/s: FAO Irrigation and Drainage Paper 56 takes 2 m/s as the
/// world's mean over some 2000 stations (from memory).
const WIND_UNKNOWN_M_S: f64 = 2.0;

/// Coefficient of Hargreaves' radiation formula inland, 1/sqrt(K): FAO Irrigation and Drainage
/// Paper 56, eq. 50 (from memory). Used only where the record has no sun.
const HARGREAVES_INLAND: f64 = 0.16;

/// Whole days in a record.
fn days_in(record: &WeatherSeries) -> usize {
    match record.step_hours {
        24 => record.air_c.len(),
        _ => record.air_c.len() / 24,
    }
}

/// The record's day that stands for a date, and whether it is of the same calendar day.
fn day_for(record: &WeatherSeries, date: Date) -> (usize, bool) {
    let held = days_in(record) as i64;
    let direct = days_between(record.first, date);
    if (0..held).contains(&direct) {
        return (direct as usize, true);
    }
    // Same calendar day in one of the record's years, the first that has it.
    let wanted = day_in_plain_year(date) as i64;
    let first = day_in_plain_year(record.first) as i64;
    let ahead = (wanted - first).rem_euclid(365);
    for shift in [0, 1, -1] {
        let candidate = ahead + shift;
        if (0..held).contains(&candidate)
            && day_in_plain_year(days_after(record.first, candidate)) as i64 == wanted
        {
            return (candidate as usize, true);
        }
    }
    if ahead < held {
        return (ahead as usize, true);
    }
    // Not covered: the nearer end of the record in the round of the year.
    let past_end = ahead - (held - 1);
    let before_first = 365 - ahead;
    let nearest = if past_end <= before_first {
        held - 1
    } else {
        0
    };
    (nearest.max(0) as usize, false)
}

/// Days of a run whose calendar day the record does not hold.
///
/// [`super::hourly`] fills them with the nearest day of the record; a plan should be refused, or
/// the reader told, when this is not zero.
pub fn uncovered_days(record: &WeatherSeries, start: Date, days: u32) -> u32 {
    if days_in(record) == 0 {
        return days;
    }
    let missing = (0..days)
        .filter(|day| !day_for(record, days_after(start, i64::from(*day))).1)
        .count();
    missing as u32
}

/// Yearly wave of a record: fitted when it spans most of a year, else its mean with no wave.
fn air_year(record: &WeatherSeries) -> AirYear {
    let held = days_in(record);
    let first = day_in_plain_year(record.first) as f64 + 0.5;
    let per_day = if record.step_hours == 24 { 1 } else { 24 };
    let means = record
        .air_c
        .chunks_exact(per_day)
        .map(|day| day.iter().sum::<f64>() / per_day as f64);
    if held >= 330 {
        return ground::fit_year(means.enumerate().map(|(day, c)| (first + day as f64, c)));
    }
    let mean_c = means.sum::<f64>() / held.max(1) as f64;
    AirYear {
        mean_c,
        amplitude_k: 0.0,
        coldest_day: 0.0,
    }
}

/// A day's sun guessed from the range of its temperature, Wh/m2 (Hargreaves, FAO 56 eq. 50).
fn sun_from_range_wh_m2(latitude_deg: f64, n: f64, range_k: f64) -> f64 {
    HARGREAVES_INLAND * range_k.max(0.0).sqrt() * extraterrestrial_j_m2_day(latitude_deg, n)
        / 3600.0
}

pub(crate) fn from_series(
    record: &WeatherSeries,
    latitude_deg: f64,
    start: Date,
    days: u32,
) -> HourlyWeather {
    let mut hours = empty(days, air_year(record));
    if days_in(record) == 0 {
        // The importers refuse an empty record; a hand-made one has nothing to say.
        for column in [&mut hours.air_c, &mut hours.sun_w_m2, &mut hours.wind_m_s] {
            column.resize(days as usize * 24, f64::NAN);
        }
        return hours;
    }
    for day in 0..days {
        let date = days_after(start, i64::from(day));
        let (index, _) = day_for(record, date);
        let n = day_in_plain_year(date) as f64 + 1.0;
        let shares = SunPath::new(latitude_deg, n).hourly_shares();
        let step = if record.step_hours == 24 { 1 } else { 24 };
        let row = |hour: usize| index * step + if step == 24 { hour } else { 0 };
        let range_k = if step == 24 {
            let of_day = &record.air_c[index * 24..index * 24 + 24];
            let high = of_day.iter().copied().fold(f64::MIN, f64::max);
            let low = of_day.iter().copied().fold(f64::MAX, f64::min);
            high - low
        } else {
            2.0 * DAILY_HALF_RANGE_K
        };
        for (hour, share) in shares.iter().enumerate() {
            let swing = if step == 24 {
                0.0
            } else {
                DAILY_HALF_RANGE_K * daily_wave(hour)
            };
            hours.air_c.push(record.air_c[row(hour)] + swing);
            hours.sun_w_m2.push(match record.sun_w_m2.get(row(hour)) {
                Some(sun) if step == 24 => *sun,
                Some(sun) => 24.0 * sun * share,
                None => sun_from_range_wh_m2(latitude_deg, n, range_k) * share,
            });
            hours.wind_m_s.push(
                record
                    .wind_m_s
                    .get(row(hour))
                    .copied()
                    .unwrap_or(WIND_UNKNOWN_M_S),
            );
        }
    }
    hours
}
