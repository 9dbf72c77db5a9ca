//! Where the plant stands, and its weather.

use jiff::civil::Date;
use uom::si::f64::Length;

/// Where the plant stands.
#[derive(Debug, Clone)]
pub struct Place {
    /// Name shown.
    pub name: String,
    /// Degrees north (south negative).
    pub latitude_deg: f64,
    /// Height above sea.
    pub altitude: Length,
    /// Thermal class of the ground.
    pub soil: Soil,
}

/// Ground around and under the vessel.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Soil {
    /// Sandy, free draining.
    Sand,
    /// Clay or loam.
    Clay,
}

/// Weather of the place.
// A plan holds one of these: boxing would save nothing and blur every use.
#[allow(clippy::large_enum_variant)]
#[derive(Debug, Clone)]
pub enum Weather {
    /// Twelve monthly normals, January first.
    Normals(MonthlyNormals),
    /// Hourly or daily records; the year is repeated when the forecast is longer.
    Series(WeatherSeries),
}

/// Monthly normals, January first.
#[derive(Debug, Clone, PartialEq)]
pub struct MonthlyNormals {
    /// Mean daily high, degC.
    pub high_c: [f64; 12],
    /// Mean daily low, degC.
    pub low_c: [f64; 12],
    /// Global horizontal sun, kWh/(m2 day).
    pub sun_kwh_m2_day: [f64; 12],
    /// Mean wind, m/s.
    pub wind_m_s: [f64; 12],
}

/// An imported series, evenly spaced from its first time stamp.
#[derive(Debug, Clone, PartialEq)]
pub struct WeatherSeries {
    /// First day of the record.
    pub first: Date,
    /// Hours between rows: 1 or 24.
    pub step_hours: u32,
    /// Air temperature, degC.
    pub air_c: Vec<f64>,
    /// Global horizontal sun, W/m2 (mean of the step).
    pub sun_w_m2: Vec<f64>,
    /// Wind, m/s.
    pub wind_m_s: Vec<f64>,
    /// Where it came from (file name), for the report.
    pub origin: String,
}
