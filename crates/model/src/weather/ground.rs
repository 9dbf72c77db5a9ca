//! Ground temperature from the yearly wave of the air.

use std::f64::consts::PI;

use crate::weather::Soil;

use super::calendar::MONTH_MID;

/// The yearly wave of a daily mean temperature: `mean - amplitude cos(2 pi (t - coldest)/365)`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AirYear {
    /// Mean of the year, degC.
    pub mean_c: f64,
    /// Half the range of the wave, K.
    pub amplitude_k: f64,
    /// Day of the year when the wave is coldest.
    pub coldest_day: f64,
}

impl AirYear {
    /// The wave's value on day `t` of the year, degC.
    pub fn at(&self, t: f64) -> f64 {
        self.mean_c - self.amplitude_k * (2.0 * PI * (t - self.coldest_day) / 365.0).cos()
    }
}

/// Least-squares yearly wave through `(day of year, temperature)` points spread over a year.
///
/// Worked example 21 gives the fits for five published climate tables.
pub fn fit_year(points: impl IntoIterator<Item = (f64, f64)>) -> AirYear {
    // Normal equations for T = m + p cos(wt) + q sin(wt).
    let mut m = [[0.0_f64; 4]; 3];
    for (t, value) in points {
        let w = 2.0 * PI * t / 365.0;
        let basis = [1.0, w.cos(), w.sin()];
        for i in 0..3 {
            for j in 0..3 {
                m[i][j] += basis[i] * basis[j];
            }
            m[i][3] += basis[i] * value;
        }
    }
    // Symmetric positive definite when the points cover the year: no pivoting needed.
    for i in 0..3 {
        let pivot = m[i];
        for row in m.iter_mut().skip(i + 1) {
            let factor = row[i] / pivot[i];
            for (cell, above) in row.iter_mut().zip(pivot).skip(i) {
                *cell -= factor * above;
            }
        }
    }
    let q = m[2][3] / m[2][2];
    let p = (m[1][3] - m[1][2] * q) / m[1][1];
    let mean_c = (m[0][3] - m[0][1] * p - m[0][2] * q) / m[0][0];
    AirYear {
        mean_c,
        amplitude_k: p.hypot(q),
        coldest_day: ((-q).atan2(-p) * 365.0 / (2.0 * PI)).rem_euclid(365.0),
    }
}

/// Yearly wave of twelve monthly means, January first, at the months' mid-days.
pub fn fit_months(monthly_c: &[f64; 12]) -> AirYear {
    fit_year(MONTH_MID.iter().copied().zip(monthly_c.iter().copied()))
}

/// Yearly wave of the ground's surface under an air wave.
///
/// The soil surface runs 5-15 days behind the air, and where snow lasts its amplitude is
/// 20-40 % smaller (worked example 21, from memory); half of that cut is counted as a warmer
/// mean, because snow shields only the cold side. Judgement: 10 days; the cut grows from
/// nothing at a coldest air of -3 degC to 30 % at -10 degC and below.
pub fn ground_surface(air: AirYear) -> AirYear {
    let coldest = air.mean_c - air.amplitude_k;
    let cut = 0.3 * ((-3.0 - coldest) / 7.0).clamp(0.0, 1.0);
    AirYear {
        mean_c: air.mean_c + 0.5 * cut * air.amplitude_k,
        amplitude_k: air.amplitude_k * (1.0 - cut),
        coldest_day: air.coldest_day + 10.0,
    }
}

/// Damping exponent of the yearly wave per metre of depth, for a diffusivity in m2/day.
fn damping_per_m(diffusivity_m2_day: f64) -> f64 {
    (PI / (365.0 * diffusivity_m2_day)).sqrt()
}

/// Undisturbed ground temperature at a depth (m) on day `t` of the year, degC.
///
/// Kusuda & Achenbach 1965 (KUSUDA65; worked example 5).
pub fn at_depth(surface: AirYear, depth_m: f64, diffusivity_m2_day: f64, t: f64) -> f64 {
    let b = depth_m * damping_per_m(diffusivity_m2_day);
    let phase = 2.0 * PI / 365.0 * (t - surface.coldest_day) - b;
    surface.mean_c - surface.amplitude_k * (-b).exp() * phase.cos()
}

/// Mean ground temperature from the surface down to a depth (m) on day `t`, degC.
///
/// Only for checking against tables of layer means (worked examples 6 and 7); a tank at a
/// depth takes [`at_depth`].
pub fn layer_mean(surface: AirYear, depth_m: f64, diffusivity_m2_day: f64, t: f64) -> f64 {
    let b = depth_m * damping_per_m(diffusivity_m2_day);
    let theta = 2.0 * PI / 365.0 * (t - surface.coldest_day);
    // Integral over s in 0..b of exp(-s) cos(theta - s), divided by b.
    let wave = |s: f64| -> f64 { 0.5 * (-s).exp() * (-(theta - s).cos() - (theta - s).sin()) };
    surface.mean_c - surface.amplitude_k * (wave(b) - wave(0.0)) / b
}

/// Thermal diffusivity of the ground, m2/day.
///
/// Judgement inside the ranges of FAROUKI82: coarse soil at 10 % moisture 0.089-0.11 (row
/// `k_sand_10`), clay at 20 % moisture 0.038-0.051 (row `k_clay_20`).
pub fn diffusivity_m2_day(soil: Soil) -> f64 {
    match soil {
        Soil::Sand => 0.095,
        Soil::Clay => 0.045,
    }
}
