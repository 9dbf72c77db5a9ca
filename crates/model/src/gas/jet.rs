//! Flow through a jet or a hole: `Q = Cd A sqrt(2 dp / rho)` (Bernoulli; the
//! course form of Fulford 1996 hides an air density of its own, so the SI form
//! is the one used). Holds while the pressure is under about 5 kPa.

use std::f64::consts::PI;

use serde::Serialize;

use super::error::{GasError, air_pressure, gas_flow, gas_temperature, gauge_pressure, within};
use super::mixture::Mixture;
use super::properties::{State, density_kg_m3, dry_normal_factor, net_mj_per_normal_m3};
use crate::reference::gas_value;

/// Pressure up to which the gas may count as incompressible, Pa.
pub const MOST_PRESSURE_PA: f64 = 5_000.0;

/// Gas before a jet.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Supply {
    /// The dry gas.
    pub gas: Mixture,
    /// Pressure above the air's, Pa.
    pub pressure_pa: f64,
    /// Temperature, degC.
    pub t_c: f64,
    /// Pressure of the air, Pa.
    pub air_pa: f64,
    /// Saturated with water.
    pub wet: bool,
}

impl Supply {
    /// Wet gas at 20 degC and sea level.
    ///
    /// # Errors
    /// [`GasError::OutOfRange`] for a pressure the jet formula does not hold at.
    pub fn new(gas: Mixture, pressure_pa: f64) -> Result<Self, GasError> {
        Self {
            gas,
            pressure_pa,
            t_c: 20.0,
            air_pa: gas_value("p_normal"),
            wet: true,
        }
        .checked()
    }

    /// The same, if it makes sense.
    ///
    /// # Errors
    /// [`GasError::OutOfRange`].
    pub fn checked(self) -> Result<Self, GasError> {
        gas_temperature(self.t_c)?;
        air_pressure(self.air_pa)?;
        let what = "a pressure before the jet";
        within(what, "Pa", self.pressure_pa, 1e-3, MOST_PRESSURE_PA)?;
        Ok(self)
    }

    /// Density at the jet, kg/m3.
    ///
    /// # Errors
    /// As [`Supply::checked`].
    pub fn density_kg_m3(&self) -> Result<f64, GasError> {
        let p_pa = self.air_pa + self.pressure_pa;
        let gas = if self.wet {
            self.gas.saturated(self.t_c, p_pa)?
        } else {
            self.gas.dry()
        };
        let t_c = self.t_c;
        // The jet opens into the air: its pressure is the gas's there.
        density_kg_m3(
            &gas,
            State {
                t_c,
                p_pa: self.air_pa,
            },
        )
    }

    /// Net heat of an m3 as it stands before the jet, MJ.
    ///
    /// # Errors
    /// As [`Supply::checked`].
    pub fn net_mj_m3(&self) -> Result<f64, GasError> {
        let wet = dry_normal_factor(self.t_c, self.pressure_pa, self.air_pa)?;
        let p = (self.air_pa + self.pressure_pa) / gas_value("p_normal");
        let dry = p * gas_value("t_normal") / (self.t_c + super::properties::ZERO_C);
        Ok(net_mj_per_normal_m3(&self.gas) * if self.wet { wet } else { dry })
    }

    /// Heat of a flow of this gas, kW.
    ///
    /// # Errors
    /// As [`Supply::checked`].
    pub fn heat_kw(&self, flow_m3_h: f64) -> Result<f64, GasError> {
        gas_flow(flow_m3_h)?;
        Ok(flow_m3_h * self.net_mj_m3()? / 3.6)
    }
}

/// Discharge coefficient of a drilled jet: the middle of `cd_jet_lo` and `cd_jet_hi`.
pub fn jet_coefficient() -> f64 {
    f64::midpoint(gas_value("cd_jet_lo"), gas_value("cd_jet_hi"))
}

/// Flow through a round opening, m3/h as it comes out.
///
/// # Errors
/// [`GasError::OutOfRange`] for sizes and pressures that cannot be.
pub fn flow_m3_h(
    diameter_mm: f64,
    pressure_pa: f64,
    density_kg_m3: f64,
    coefficient: f64,
) -> Result<f64, GasError> {
    within("an opening", "mm", diameter_mm, 0.01, 100.0)?;
    gauge_pressure(pressure_pa)?;
    within("a gas density", "kg/m3", density_kg_m3, 0.05, 5.0)?;
    within("a discharge coefficient", "(ratio)", coefficient, 0.1, 1.0)?;
    let area = PI / 4.0 * (diameter_mm / 1000.0).powi(2);
    Ok(coefficient * area * (2.0 * pressure_pa / density_kg_m3).sqrt() * 3600.0)
}

/// Diameter of the jet that passes a flow, mm.
///
/// # Errors
/// [`GasError::OutOfRange`] for flows and pressures that cannot be.
pub fn diameter_mm(
    flow: f64,
    pressure_pa: f64,
    density_kg_m3: f64,
    coefficient: f64,
) -> Result<f64, GasError> {
    gas_flow(flow)?;
    let of_one = flow_m3_h(1.0, pressure_pa, density_kg_m3, coefficient)?;
    let d = (flow / of_one).sqrt();
    within("the jet for this flow", "mm", d, 0.01, 100.0)
}

/// Checks that a jet is smaller than what it sits in.
///
/// # Errors
/// [`GasError::JetTooWide`].
pub fn fits(jet_mm: f64, tube_mm: f64) -> Result<(), GasError> {
    within("a tube", "mm", tube_mm, 0.1, 500.0)?;
    if jet_mm < tube_mm {
        Ok(())
    } else {
        Err(GasError::JetTooWide { jet_mm, tube_mm })
    }
}

/// Leak through a hole, L/h (`cd_hole`; worked example 14).
///
/// # Errors
/// As [`flow_m3_h`].
pub fn leak_l_h(hole_mm: f64, pressure_pa: f64, density_kg_m3: f64) -> Result<f64, GasError> {
    let hole = gas_value("cd_hole");
    Ok(1000.0 * flow_m3_h(hole_mm, pressure_pa, density_kg_m3, hole)?)
}

/// Jet of another fuel's burner brought to this gas: the factor on its diameter
/// at equal heat, `sqrt((W1/W2) sqrt(p1/p2))` (worked example 23).
///
/// # Errors
/// [`GasError::OutOfRange`] for pressures and Wobbe indices that cannot be.
pub fn diameter_factor(
    wobbe_from: f64,
    wobbe_to: f64,
    pressure_from_pa: f64,
    pressure_to_pa: f64,
) -> Result<f64, GasError> {
    for w in [wobbe_from, wobbe_to] {
        within("a Wobbe index", "MJ/m3", w, 1.0, 200.0)?;
    }
    for p in [pressure_from_pa, pressure_to_pa] {
        gauge_pressure(p)?;
    }
    Ok((wobbe_from / wobbe_to * (pressure_from_pa / pressure_to_pa).sqrt()).sqrt())
}
