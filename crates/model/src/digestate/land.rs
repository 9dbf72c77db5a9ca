//! Where it may go and how much: waiting times, nitrogen limit, dressings,
//! dilution, and the store for the season in which nothing may be spread.
//! All from `reference/hygiene_and_digestate.md`, sections 4 and 5.

use jiff::civil::Date;

use crate::plan::Plan;
use crate::weather::Weather;

/// Most nitrogen from manure on a hectare in a year, kg: EU zones vulnerable to
/// nitrate, digestate included (CBS-NL, FJ-IE).
pub const NITROGEN_KG_HA_YEAR: f64 = 170.0;
/// Keys of it.
pub const NITROGEN_KEYS: &[&str] = &["CBS-NL", "FJ-IE"];
/// One dressing of a garden, L/m2, low and high (NVZ, from memory).
pub const DRESSING_L_M2: (f64, f64) = (1.0, 3.0);
/// Parts of water to one of digestate near growing plants (section 5, "Salt and
/// burn"; FAO29 for the salt, from memory).
pub const WATER_PARTS_NEAR_PLANTS: f64 = 9.0;
/// Nitrogen that feeds a crop in the first season, worked in within six hours in
/// spring, share of the total (RB209, from memory).
pub const FIRST_SEASON: (f64, f64) = (0.50, 0.65);
/// P2O5 in P and K2O in K, kg/kg (molar masses).
pub const P2O5_OF_P: f64 = 141.944 / (2.0 * 30.974);
/// See [`P2O5_OF_P`].
pub const K2O_OF_K: f64 = 94.196 / (2.0 * 39.098);
/// Monthly mean of the air below which nothing grows or may be spread here, degC
/// (common practice, no source; national closed seasons differ).
pub const NO_SPREADING_BELOW_C: f64 = 5.0;

/// Least land for a year's nitrogen, m2.
pub fn area_m2(nitrogen_kg_year: f64) -> f64 {
    nitrogen_kg_year / NITROGEN_KG_HA_YEAR * 10_000.0
}

/// Dressing that carries `kg_ha` of nitrogen, L/m2.
pub fn dressing_l_m2(kg_ha: f64, nitrogen_g_l: f64) -> f64 {
    kg_ha / 10.0 / nitrogen_g_l
}

/// Months (January first) with a mean air temperature too low for spreading.
pub fn cold_months(plan: &Plan) -> [bool; 12] {
    let mean_c: [f64; 12] = match &plan.weather {
        Weather::Normals(n) => std::array::from_fn(|m| 0.5 * (n.high_c[m] + n.low_c[m])),
        Weather::Series(s) => {
            let mut sum = [(0.0, 0.0); 12];
            let mut date = s.first;
            let rows_a_day = (24 / s.step_hours.max(1)).max(1) as usize;
            for day in s.air_c.chunks(rows_a_day) {
                let place = &mut sum[usize::try_from(date.month() - 1).unwrap_or(0)];
                place.0 += day.iter().sum::<f64>();
                place.1 += day.len() as f64;
                date = date.tomorrow().unwrap_or(date);
            }
            // A month without record is not called cold.
            sum.map(|(c, n)| if n > 0.0 { c / n } else { f64::INFINITY })
        }
    };
    mean_c.map(|c| c < NO_SPREADING_BELOW_C)
}

/// Most litres that run out over one unbroken cold season.
pub fn most_over_cold_season(dates: &[Date], litres: &[f64], cold: &[bool; 12]) -> f64 {
    let mut most = 0.0_f64;
    let mut season = 0.0;
    for (date, l) in dates.iter().zip(litres) {
        let is_cold = usize::try_from(date.month() - 1).is_ok_and(|m| cold[m]);
        season = if is_cold { season + l } else { 0.0 };
        most = most.max(season);
    }
    most
}
