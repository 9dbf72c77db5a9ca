//! Where the sun stands, and how a day's sun is shared among its hours.
//!
//! Hours are local solar time: noon is when the sun is highest. The equation of
//! time and the distance to the middle of the time zone (together up to about an
//! hour) do not matter to a vessel whose time constant is hours to weeks.

use std::f64::consts::PI;

/// Solar constant, W/m2 (from memory: Duffie & Beckman, "Solar Engineering of Thermal
/// Processes", ch. 1).
const SOLAR_CONSTANT_W_M2: f64 = 1367.0;

/// Declination of the sun, rad, on day `n` of the year (1 = 1 January).
///
/// Spencer's series (1971; from memory: Duffie & Beckman, ch. 1, eq. 1.6.1b). Cooper's one-term
/// form is half a degree off in March, which is 2.5 % of the day's sun.
pub fn declination_rad(n: f64) -> f64 {
    let b = 2.0 * PI * (n - 1.0) / 365.0;
    0.006918 - 0.399912 * b.cos() + 0.070257 * b.sin() - 0.006758 * (2.0 * b).cos()
        + 0.000907 * (2.0 * b).sin()
        - 0.002697 * (3.0 * b).cos()
        + 0.00148 * (3.0 * b).sin()
}

/// The day's sun at one latitude: sine of the altitude is `a + b cos(hour angle)`.
#[derive(Debug, Clone, Copy)]
pub struct SunPath {
    a: f64,
    b: f64,
    /// Hour angle of sunset, rad, 0..=pi.
    sunset_rad: f64,
}

impl SunPath {
    /// Sun path on day `n` of the year (1 = 1 January) at a latitude in degrees north.
    pub fn new(latitude_deg: f64, n: f64) -> Self {
        let phi = latitude_deg.clamp(-90.0, 90.0).to_radians();
        let delta = declination_rad(n);
        let a = phi.sin() * delta.sin();
        let b = phi.cos() * delta.cos();
        let cos_sunset = if b.abs() < 1e-12 {
            if a > 0.0 { -1.0 } else { 1.0 }
        } else {
            (-a / b).clamp(-1.0, 1.0)
        };
        SunPath {
            a,
            b,
            sunset_rad: cos_sunset.acos(),
        }
    }

    /// Sine of the sun's altitude at a solar hour (12 = noon); negative at night.
    pub fn sin_altitude(&self, solar_hour: f64) -> f64 {
        self.a + self.b * ((solar_hour - 12.0) * PI / 12.0).cos()
    }

    /// Integral of the sine of altitude over daylight between two solar hours, h.
    pub fn hours_of_full_sun(&self, from_hour: f64, to_hour: f64) -> f64 {
        let w1 = ((from_hour - 12.0) * PI / 12.0).clamp(-self.sunset_rad, self.sunset_rad);
        let w2 = ((to_hour - 12.0) * PI / 12.0).clamp(-self.sunset_rad, self.sunset_rad);
        ((self.a * (w2 - w1) + self.b * (w2.sin() - w1.sin())) * 12.0 / PI).max(0.0)
    }

    /// Share of the day's sun falling in each hour; all zero in the polar night.
    pub fn hourly_shares(&self) -> [f64; 24] {
        let whole = self.hours_of_full_sun(0.0, 24.0);
        let mut shares = [0.0; 24];
        if whole > 1e-9 {
            for (hour, share) in shares.iter_mut().enumerate() {
                *share = self.hours_of_full_sun(hour as f64, hour as f64 + 1.0) / whole;
            }
        }
        shares
    }
}

/// Sun on a horizontal surface above the air, J/m2 in a day.
pub fn extraterrestrial_j_m2_day(latitude_deg: f64, n: f64) -> f64 {
    let distance = 1.0 + 0.033 * (2.0 * PI * n / 365.0).cos();
    SOLAR_CONSTANT_W_M2
        * distance
        * SunPath::new(latitude_deg, n).hours_of_full_sun(0.0, 24.0)
        * 3600.0
}
