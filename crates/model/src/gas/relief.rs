//! Water columns, weights and drums: what holds the pressure and lets it go.

use std::f64::consts::PI;

use serde::Serialize;

use super::error::{GasError, gauge_pressure, within};
use super::properties::{ZERO_C, between};
use crate::reference::{gas_value, thermal_value};

/// What fills a relief, seal or gauge.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Liquid {
    /// Plain water.
    Water,
    /// 10 % common salt by mass.
    Salt10,
    /// 20 % common salt by mass; rusts iron.
    Salt20,
    /// 30 % propylene glycol by mass.
    Glycol30,
    /// 40 % propylene glycol by mass.
    Glycol40,
}

impl Liquid {
    /// Every liquid.
    pub const ALL: [Self; 5] = [
        Self::Water,
        Self::Salt10,
        Self::Salt20,
        Self::Glycol30,
        Self::Glycol40,
    ];

    /// In words.
    pub fn name(self) -> &'static str {
        match self {
            Self::Water => "water",
            Self::Salt10 => "10 % salt brine",
            Self::Salt20 => "20 % salt brine",
            Self::Glycol30 => "30 % propylene glycol",
            Self::Glycol40 => "40 % propylene glycol",
        }
    }

    fn row(self) -> Option<&'static str> {
        match self {
            Self::Water => None,
            Self::Salt10 => Some("nacl_10"),
            Self::Salt20 => Some("nacl_20"),
            Self::Glycol30 => Some("mpg_30"),
            Self::Glycol40 => Some("mpg_40"),
        }
    }

    /// Where it begins to freeze, degC.
    pub fn freezes_c(self) -> f64 {
        self.row()
            .map_or(0.0, |row| gas_value(&format!("freeze_{row}")))
    }

    /// Density, kg/m3: water by its rows `rho_w_*`, the others by their row at
    /// 0 degC (1 % less when warm).
    ///
    /// # Errors
    /// [`GasError::OutOfRange`] below freezing or above 55 degC.
    pub fn density_kg_m3(self, t_c: f64) -> Result<f64, GasError> {
        within(
            "the liquid's temperature",
            "degC",
            t_c,
            self.freezes_c(),
            55.0,
        )?;
        if let Some(row) = self.row() {
            return Ok(gas_value(&format!("rho_{row}")));
        }
        let points = [5.0, 20.0, 35.0, 55.0].map(|t| (t, thermal_value(&format!("rho_w_{t:.0}"))));
        Ok(between(&points, t_c.max(5.0)).unwrap_or(points[0].1))
    }
}

/// Depth of liquid that gives way at a pressure, cm (`rho g h`).
///
/// # Errors
/// [`GasError::OutOfRange`].
pub fn depth_cm(pressure_pa: f64, liquid: Liquid, t_c: f64) -> Result<f64, GasError> {
    gauge_pressure(pressure_pa)?;
    Ok(100.0 * pressure_pa / (liquid.density_kg_m3(t_c)? * gas_value("g_n")))
}

/// Pressure at which a depth of liquid gives way, Pa.
///
/// # Errors
/// [`GasError::OutOfRange`].
pub fn pressure_pa(depth_cm: f64, liquid: Liquid, t_c: f64) -> Result<f64, GasError> {
    within("a depth", "cm", depth_cm, 0.01, 500.0)?;
    Ok(depth_cm / 100.0 * liquid.density_kg_m3(t_c)? * gas_value("g_n"))
}

/// Pressure under a weight on a flat area, Pa. For a floating drum the weight
/// is what is left after the buoyancy of its wetted wall.
///
/// # Errors
/// [`GasError::OutOfRange`].
pub fn weight_pressure_pa(weight_kg: f64, area_m2: f64) -> Result<f64, GasError> {
    within("a weight", "kg", weight_kg, 0.0, 1e5)?;
    within("an area", "m2", area_m2, 1e-3, 1e4)?;
    Ok(weight_kg * gas_value("g_n") / area_m2)
}

/// Weight on a flat area that gives a pressure, kg.
///
/// # Errors
/// [`GasError::OutOfRange`].
pub fn weight_kg(pressure_pa: f64, area_m2: f64) -> Result<f64, GasError> {
    gauge_pressure(pressure_pa)?;
    within("an area", "m2", area_m2, 1e-3, 1e4)?;
    Ok(pressure_pa * area_m2 / gas_value("g_n"))
}

/// Area of a round drum, m2.
///
/// # Errors
/// [`GasError::OutOfRange`].
pub fn drum_area_m2(diameter_m: f64) -> Result<f64, GasError> {
    within("a drum's diameter", "m", diameter_m, 0.05, 50.0)?;
    Ok(PI / 4.0 * diameter_m * diameter_m)
}

/// Volume and skin of an inner tube, m3 and m2: a torus.
///
/// # Errors
/// [`GasError::OutOfRange`] unless the tube is thinner than its ring.
pub fn inner_tube(ring_radius_m: f64, tube_radius_m: f64) -> Result<(f64, f64), GasError> {
    within("a ring radius", "m", ring_radius_m, 0.05, 5.0)?;
    within("a tube radius", "m", tube_radius_m, 0.005, ring_radius_m)?;
    let round = 2.0 * PI * ring_radius_m;
    let (r, section) = (tube_radius_m, PI * tube_radius_m * tube_radius_m);
    Ok((round * section, round * 2.0 * PI * r))
}

/// Pressure that a rigid sealed space gains per kelvin of warming, Pa/K
/// (`p / T`): why nothing rigid goes without relief.
///
/// # Errors
/// [`GasError::OutOfRange`].
pub fn sealed_pa_per_k(t_c: f64) -> Result<f64, GasError> {
    super::error::gas_temperature(t_c)?;
    Ok(gas_value("p_normal") / (t_c + ZERO_C))
}
