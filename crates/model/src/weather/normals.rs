//! Monthly normals to a smooth plain year.

use crate::weather::MonthlyNormals;

use super::calendar::{MONTH_DAYS, MONTH_FIRST, MONTH_MID, YEAR_DAYS};
use super::solar::SunPath;

/// One value for each day of a plain year.
pub(crate) type YearOfDays = [f64; YEAR_DAYS];

/// Daily values of a plain year made of monthly normals.
pub(crate) struct DailyYear {
    /// Daily mean air, degC.
    pub(crate) mean_c: YearOfDays,
    /// Half the daily range, K.
    pub(crate) half_range_k: YearOfDays,
    /// Sum of the day's sun, Wh/m2.
    pub(crate) sun_wh_m2: YearOfDays,
    /// Wind, m/s.
    pub(crate) wind_m_s: YearOfDays,
}

/// Daily values whose mean over each month is the month's normal.
///
/// Straight lines between mid-months, through corrected values that bring the mean of each month
/// back to its normal (Killworth 1996, "Time interpolation of forcing fields in ocean models",
/// J. Phys. Oceanogr. 26:136-143; from memory).
pub(crate) fn mean_preserving(normals: &[f64; 12]) -> YearOfDays {
    // Weights of each day on the two mid-months around it.
    let around = |day: usize| -> (usize, usize, f64) {
        let t = day as f64 + 0.5;
        let next = MONTH_MID.iter().position(|mid| *mid > t);
        let (before, after) = match next {
            Some(0) | None => (11, 0),
            Some(n) => (n - 1, n),
        };
        let span = (MONTH_MID[after] - MONTH_MID[before]).rem_euclid(365.0);
        (
            before,
            after,
            (t - MONTH_MID[before]).rem_euclid(365.0) / span,
        )
    };
    let mut system = [[0.0_f64; 13]; 12];
    for month in 0..12 {
        for day in MONTH_FIRST[month]..MONTH_FIRST[month] + MONTH_DAYS[month] {
            let (before, after, share) = around(day);
            system[month][before] += (1.0 - share) / MONTH_DAYS[month] as f64;
            system[month][after] += share / MONTH_DAYS[month] as f64;
        }
        system[month][12] = normals[month];
    }
    let nodes = solve_dominant(system);
    std::array::from_fn(|day| {
        let (before, after, share) = around(day);
        nodes[before] * (1.0 - share) + nodes[after] * share
    })
}

/// Like [`mean_preserving`] for a quantity that cannot be negative: where the lines would dip
/// below zero the day takes zero and the month's other days are scaled to keep its mean.
pub(crate) fn mean_preserving_positive(normals: &[f64; 12]) -> YearOfDays {
    let mut days = mean_preserving(normals).map(|value| value.max(0.0));
    keep_monthly_means(&mut days, normals);
    days
}

/// Scale each month so that its mean is the normal again; a month without any stays so.
fn keep_monthly_means(days: &mut YearOfDays, normals: &[f64; 12]) {
    for month in 0..12 {
        let span = MONTH_FIRST[month]..MONTH_FIRST[month] + MONTH_DAYS[month];
        let mean = days[span.clone()].iter().sum::<f64>() / MONTH_DAYS[month] as f64;
        if mean > 1e-12 {
            let factor = normals[month].max(0.0) / mean;
            for value in &mut days[span] {
                *value *= factor;
            }
        }
    }
}

/// Gaussian elimination without pivoting: each month's own weight outweighs its neighbours'.
fn solve_dominant(mut m: [[f64; 13]; 12]) -> [f64; 12] {
    for i in 0..12 {
        let pivot = m[i];
        for row in m.iter_mut().skip(i + 1) {
            let factor = row[i] / pivot[i];
            if factor != 0.0 {
                for (cell, above) in row.iter_mut().zip(pivot).skip(i) {
                    *cell -= factor * above;
                }
            }
        }
    }
    let mut x = [0.0; 12];
    for i in (0..12).rev() {
        let known: f64 = (i + 1..12).map(|j| m[i][j] * x[j]).sum();
        x[i] = (m[i][12] - known) / m[i][i];
    }
    x
}

/// A plain year of days from the normals of a place at a latitude.
pub(crate) fn daily_year(normals: &MonthlyNormals, latitude_deg: f64) -> DailyYear {
    let mean: [f64; 12] = std::array::from_fn(|m| 0.5 * (normals.high_c[m] + normals.low_c[m]));
    let half: [f64; 12] = std::array::from_fn(|m| 0.5 * (normals.high_c[m] - normals.low_c[m]));
    let sun: [f64; 12] = std::array::from_fn(|m| 1000.0 * normals.sun_kwh_m2_day[m]);
    let mut sun_wh_m2 = mean_preserving_positive(&sun);
    // A day on which the sun does not rise has none; the month's other days carry its mean.
    for (day, value) in sun_wh_m2.iter_mut().enumerate() {
        let path = SunPath::new(latitude_deg, day as f64 + 1.0);
        if path.hours_of_full_sun(0.0, 24.0) <= 1e-9 {
            *value = 0.0;
        }
    }
    keep_monthly_means(&mut sun_wh_m2, &sun);
    DailyYear {
        mean_c: mean_preserving(&mean),
        half_range_k: mean_preserving_positive(&half),
        sun_wh_m2,
        wind_m_s: mean_preserving_positive(&normals.wind_m_s),
    }
}
