//! Heat, density, Wobbe index, air need, burning velocity and viscosity of a gas.
//!
//! Volumes and heats follow ISO 6976: ideal sums over the mixture, a stated
//! volume state and a stated combustion temperature, and its summation form for
//! the small departure from the ideal gas.

use serde::Serialize;

use super::error::{GasError, air_pressure, gas_temperature, within};
use super::mixture::Mixture;
use super::volume::saturation_bar;
use crate::reference::gas_value;

/// 0 degC, K.
pub(crate) const ZERO_C: f64 = 273.15;

/// Temperature and absolute pressure at which a volume is counted.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct State {
    /// Temperature, degC.
    pub t_c: f64,
    /// Absolute pressure, Pa.
    pub p_pa: f64,
}

impl State {
    /// 0 degC and 101.325 kPa (DIN 1343).
    pub const NORMAL: Self = Self {
        t_c: 0.0,
        p_pa: 101_325.0,
    };
    /// 15 degC and 101.325 kPa.
    pub const AT_15: Self = Self {
        t_c: 15.0,
        p_pa: 101_325.0,
    };
    /// 20 degC and 101.325 kPa.
    pub const AT_20: Self = Self {
        t_c: 20.0,
        p_pa: 101_325.0,
    };

    fn checked(self) -> Result<Self, GasError> {
        gas_temperature(self.t_c)?;
        within("an absolute pressure", "Pa", self.p_pa, 20_000.0, 200_000.0)?;
        Ok(self)
    }

    /// Volume of a mole of ideal gas, L (`r_gas`).
    fn molar_volume_l(self) -> f64 {
        gas_value("r_gas") * (self.t_c + ZERO_C) / self.p_pa * 1000.0
    }
}

/// Temperature at which the heat of burning is counted; moves it by up to 0.3 %.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub enum CombustionTemperature {
    /// 0 degC.
    C0,
    /// 15 degC.
    C15,
    /// 20 degC.
    C20,
    /// 25 degC.
    C25,
}

impl CombustionTemperature {
    fn id(self, kind: &str) -> String {
        let t = match self {
            Self::C0 => "0c",
            Self::C15 => "15c",
            Self::C20 => "20c",
            Self::C25 => "25c",
        };
        format!("{kind}_ch4_{t}")
    }
}

/// A heat twice: with the water of burning as vapour (net) and as liquid (gross).
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Heat {
    /// Net (inferior), MJ/m3.
    pub net_mj_m3: f64,
    /// Gross (superior), MJ/m3.
    pub gross_mj_m3: f64,
}

/// Heating value per m3 of the gas as it is (wet if it holds water), ideal gas
/// (ISO 6976). Rows `hi_ch4_*`, `hs_ch4_*`; hydrogen and hydrogen sulfide by
/// their 25 degC rows at every combustion temperature (below 0.1 % of the sum).
///
/// # Errors
/// [`GasError::OutOfRange`] for a state no small plant has.
pub fn heating_value(
    gas: &Mixture,
    volume: State,
    combustion: CombustionTemperature,
) -> Result<Heat, GasError> {
    let litres = volume.checked()?.molar_volume_l();
    let x = gas.shares();
    let sum = |kind: &str| {
        x.ch4 * gas_value(&combustion.id(kind))
            + x.h2s * gas_value(&format!("{kind}_h2s_25c"))
            + x.h2 * gas_value(&format!("{kind}_h2_25c"))
    };
    Ok(Heat {
        net_mj_m3: sum("hi") / litres,
        gross_mj_m3: sum("hs") / litres,
    })
}

/// Net heat of a dry normal m3, MJ (0 degC volume, 25 degC combustion).
pub fn net_mj_per_normal_m3(gas: &Mixture) -> f64 {
    let x = gas.dry().shares();
    (x.ch4 * gas_value("hi_ch4_25c")
        + x.h2s * gas_value("hi_h2s_25c")
        + x.h2 * gas_value("hi_h2_25c"))
        / State::NORMAL.molar_volume_l()
}

/// Compression factor Z by the summation form of ISO 6976, `1 - (sum x b)^2`,
/// with b from the real densities at 0 degC (`z_ch4_0`, `rho_co2_0`,
/// `rho_h2s_0`); the other gases count as ideal. Taken to other states as
/// `1 - Z ~ p / T^3` (Berthelot's equation, from memory): within 0.05 % of
/// CoolProp from 0 to 40 degC near the air's pressure.
///
/// # Errors
/// [`GasError::OutOfRange`] for a state no small plant has.
pub fn compression_factor(gas: &Mixture, state: State) -> Result<f64, GasError> {
    let state = state.checked()?;
    let litres = State::NORMAL.molar_volume_l();
    let b = |ideal: f64, real: f64| (1.0 - ideal / real).max(0.0).sqrt();
    let x = gas.shares();
    let sum = x.ch4 * (1.0 - gas_value("z_ch4_0")).sqrt()
        + x.co2 * b(gas_value("mm_co2") / litres, gas_value("rho_co2_0"))
        + x.h2s * b(gas_value("mm_h2s") / litres, gas_value("rho_h2s_0"));
    let colder = ZERO_C / (state.t_c + ZERO_C);
    Ok(1.0 - sum * sum * state.p_pa / gas_value("p_normal") * colder.powi(3))
}

/// Density of the gas as it is, kg/m3, with the departure from the ideal gas.
///
/// # Errors
/// [`GasError::OutOfRange`] for a state no small plant has.
pub fn density_kg_m3(gas: &Mixture, state: State) -> Result<f64, GasError> {
    Ok(ideal_density_kg_m3(gas, state)? / compression_factor(gas, state)?)
}

/// Density as an ideal gas, kg/m3.
///
/// # Errors
/// [`GasError::OutOfRange`] for a state no small plant has.
pub fn ideal_density_kg_m3(gas: &Mixture, state: State) -> Result<f64, GasError> {
    Ok(gas.molar_mass_g_mol() / state.checked()?.molar_volume_l())
}

/// Density of dry air, kg/m3 (`mm_air`).
///
/// # Errors
/// [`GasError::OutOfRange`] for a state no small plant has.
pub fn air_density_kg_m3(state: State) -> Result<f64, GasError> {
    Ok(gas_value("mm_air") / state.checked()?.molar_volume_l())
}

/// Density relative to dry air, ideal; above 1 the gas sinks.
pub fn relative_density(gas: &Mixture) -> f64 {
    gas.molar_mass_g_mol() / gas_value("mm_air")
}

/// Wobbe index, net and gross: heat over the root of the relative density (ISO 6976).
///
/// # Errors
/// As [`heating_value`].
pub fn wobbe(
    gas: &Mixture,
    volume: State,
    combustion: CombustionTemperature,
) -> Result<Heat, GasError> {
    let heat = heating_value(gas, volume, combustion)?;
    let root = relative_density(gas).sqrt();
    Ok(Heat {
        net_mj_m3: heat.net_mj_m3 / root,
        gross_mj_m3: heat.gross_mj_m3 / root,
    })
}

/// Oxygen that burns one volume of the gas fully, less the oxygen it holds.
pub fn oxygen_need(gas: &Mixture) -> f64 {
    let x = gas.shares();
    (2.0 * x.ch4 + 1.5 * x.h2s + 0.5 * x.h2 - x.o2).max(0.0)
}

/// Dry air that burns one m3 of the gas fully, m3 (`x_o2_air`).
pub fn stoichiometric_air(gas: &Mixture) -> f64 {
    oxygen_need(gas) / gas_value("x_o2_air")
}

/// The same by mass, kg of air per kg of gas.
pub fn stoichiometric_air_by_mass(gas: &Mixture) -> f64 {
    stoichiometric_air(gas) / relative_density(gas)
}

/// Burning velocity of the gas with just enough air at 25 degC, m/s: straight
/// lines between the computed rows `sl_bg40` to `sl_ch4`. Nitrogen counts as
/// carbon dioxide, which errs on the slow side.
///
/// # Errors
/// [`GasError::BeyondTable`] below 40 % methane (dry), with more than 10 % of
/// nitrogen and oxygen, or with more than 1 % of hydrogen, which burns far faster.
pub fn burning_velocity_m_s(gas: &Mixture) -> Result<f64, GasError> {
    let x = gas.dry().shares();
    let refuse = |given: String| {
        Err(GasError::BeyondTable {
            what: "the burning velocity",
            known: "40 to 100 % methane, the rest mostly carbon dioxide",
            given,
        })
    };
    let percent = |v: f64| fenlamp_quantity::format_number(100.0 * v, 3);
    if x.h2 > 0.01 {
        return refuse(format!("{} % hydrogen", percent(x.h2)));
    }
    if x.n2 + x.o2 > 0.10 {
        return refuse(format!("{} % nitrogen and oxygen", percent(x.n2 + x.o2)));
    }
    let table = [
        (0.4, "sl_bg40"),
        (0.5, "sl_bg50"),
        (0.6, "sl_bg60"),
        (0.65, "sl_bg65"),
        (0.7, "sl_bg70"),
        (1.0, "sl_ch4"),
    ]
    .map(|(share, id)| (share, gas_value(id)));
    match between(&table, x.ch4) {
        Some(v) => Ok(v),
        None => refuse(format!("{} % methane", percent(x.ch4))),
    }
}

/// Straight-line value at `x`; `None` outside the points.
pub(crate) fn between(points: &[(f64, f64)], x: f64) -> Option<f64> {
    points.windows(2).find_map(|pair| {
        let [(x0, y0), (x1, y1)] = pair else {
            return None;
        };
        // A rounding error past the last point is no other gas.
        (x >= x0 - 1e-9 && x <= x1 + 1e-9).then(|| y0 + (y1 - y0) * (x - x0) / (x1 - x0))
    })
}

/// Dynamic viscosity, Pa s: Wilke's rule (J. Chem. Phys. 18, 1950, from
/// memory) over the pure gases at 20 degC (`mu_*_20`), with the temperature by
/// the power law through `mu_bg60_0c` and `mu_bg60_30c`.
///
/// # Errors
/// [`GasError::OutOfRange`] for a temperature gas does not have.
pub fn viscosity_pa_s(gas: &Mixture, t_c: f64) -> Result<f64, GasError> {
    gas_temperature(t_c)?;
    let parts: Vec<(f64, f64, f64)> = gas
        .shares()
        .array()
        .into_iter()
        .zip(["ch4", "co2", "h2s", "n2", "o2", "h2", "h2o"])
        .filter(|(x, _)| *x > 0.0)
        .map(|(x, name)| {
            let mu = gas_value(&format!("mu_{name}_20"));
            (x, mu, gas_value(&format!("mm_{name}")))
        })
        .collect();
    let at_20: f64 = parts
        .iter()
        .map(|&(x, mu, m)| {
            let crowd: f64 = parts
                .iter()
                .map(|&(xj, muj, mj)| {
                    let root = 1.0 + (mu / muj).sqrt() * (mj / m).powf(0.25);
                    xj * root * root / (8.0 * (1.0 + m / mj)).sqrt()
                })
                .sum();
            x * mu / crowd
        })
        .sum();
    let (low, high) = (gas_value("mu_bg60_0c"), gas_value("mu_bg60_30c"));
    let power = (high / low).ln() / ((30.0 + ZERO_C) / ZERO_C).ln();
    Ok(at_20 * ((t_c + ZERO_C) / (20.0 + ZERO_C)).powf(power))
}

/// Dry normal volume in one metered volume of saturated gas (VDI 4630, from
/// memory): `(p - p_w) / 101.325 kPa x 273.15 / T`.
///
/// # Errors
/// [`GasError::OutOfRange`] for readings no meter of a small plant shows.
pub fn dry_normal_factor(t_c: f64, gauge_pa: f64, air_pa: f64) -> Result<f64, GasError> {
    gas_temperature(t_c)?;
    within("a gauge pressure", "Pa", gauge_pa, -5_000.0, 50_000.0)?;
    air_pressure(air_pa)?;
    let dry_pa = air_pa + gauge_pa - saturation_bar(t_c) * 1e5;
    within("a dry gas pressure", "Pa", dry_pa, 1.0, 200_000.0)?;
    Ok(dry_pa / gas_value("p_normal") * gas_value("t_normal") / (t_c + ZERO_C))
}

/// Warming by gas let go unburned, kg CO2e per dry normal m3: its methane by a
/// row of warming potentials (`gwp100_ch4_nonfossil`, `gwp20_ch4_nonfossil`;
/// worked example 21).
pub fn leaked_kg_co2e_per_normal_m3(gas: &Mixture, gwp: Gwp) -> f64 {
    let kg = gas.dry().shares().ch4 * gas_value("mm_ch4") / State::NORMAL.molar_volume_l();
    kg * gas_value(match gwp {
        Gwp::Years100 => "gwp100_ch4_nonfossil",
        Gwp::Years20 => "gwp20_ch4_nonfossil",
    })
}

/// Years over which warming is counted (IPCC AR6, methane that is not fossil).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub enum Gwp {
    /// A hundred years.
    Years100,
    /// Twenty years.
    Years20,
}
