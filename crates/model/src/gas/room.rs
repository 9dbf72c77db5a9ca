//! Burning and leaking in a closed room or greenhouse, fully mixed.
//!
//! One-box balance: `rise = g / (V n) (1 - exp(-n t))`. A mixed-room sum never
//! clears a room: leaks lie in layers and are explosive near the hole.

use serde::Serialize;

use super::error::{GasError, gas_flow, within};
use super::flammability::{LimitTable, limits};
use super::mixture::Mixture;
use super::properties::{ZERO_C, oxygen_need, stoichiometric_air};
use crate::reference::{SafetyLimit, gas_value, safety_limits};

/// A closed space with fresh air coming in.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Room {
    /// Volume, m3.
    pub volume_m3: f64,
    /// Air changes per hour.
    pub air_changes_per_h: f64,
    /// Temperature, degC.
    pub t_c: f64,
}

impl Room {
    /// A room at 20 degC.
    ///
    /// # Errors
    /// [`GasError::OutOfRange`] for a room without volume, or without any air change.
    pub fn new(volume_m3: f64, air_changes_per_h: f64) -> Result<Self, GasError> {
        Self {
            volume_m3,
            air_changes_per_h,
            t_c: 20.0,
        }
        .checked()
    }

    /// The same, if it makes sense. Even a shut room changes a hundredth of its
    /// air an hour.
    ///
    /// # Errors
    /// [`GasError::OutOfRange`].
    pub fn checked(self) -> Result<Self, GasError> {
        within("a room", "m3", self.volume_m3, 0.5, 1e6)?;
        within(
            "air change",
            "per hour",
            self.air_changes_per_h,
            0.01,
            200.0,
        )?;
        within("a room temperature", "degC", self.t_c, -40.0, 60.0)?;
        Ok(self)
    }

    /// Fresh air, m3/h.
    pub fn fresh_air_m3_h(&self) -> f64 {
        self.volume_m3 * self.air_changes_per_h
    }

    /// Share of the room's air that a source of `m3_h` makes up after `hours`.
    ///
    /// # Errors
    /// [`GasError::OutOfRange`].
    pub fn share_after(&self, m3_h: f64, hours: f64) -> Result<f64, GasError> {
        within("a source", "m3/h", m3_h, 0.0, 1000.0)?;
        within("a time", "h", hours, 0.0, 1e6)?;
        let gone = -(-self.air_changes_per_h * hours).exp_m1();
        Ok(m3_h / self.fresh_air_m3_h() * gone)
    }

    /// The share at which it settles.
    ///
    /// # Errors
    /// [`GasError::OutOfRange`].
    pub fn share_at_last(&self, m3_h: f64) -> Result<f64, GasError> {
        within("a source", "m3/h", m3_h, 0.0, 1000.0)?;
        Ok(m3_h / self.fresh_air_m3_h())
    }

    /// Hours until a source of `m3_h` reaches `share`; `None` if the fresh air
    /// keeps it below for ever.
    ///
    /// # Errors
    /// [`GasError::OutOfRange`].
    pub fn hours_to(&self, m3_h: f64, share: f64) -> Result<Option<f64>, GasError> {
        within("a share to reach", "%", 100.0 * share, 0.0, 100.0)?;
        let last = self.share_at_last(m3_h)?;
        Ok((share < last).then(|| -(-share / last).ln_1p() / self.air_changes_per_h))
    }

    /// Room volume of a dry normal volume.
    fn warmed(&self, normal: f64) -> f64 {
        normal * (self.t_c + ZERO_C) / ZERO_C
    }
}

/// How the flame burns.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Flame {
    /// Blue and steady: carbon monoxide at the ceiling of a stove standard
    /// (`co_gb3606`).
    Blue,
    /// Yellow, starved of air: `co_yellow_factor` times that (judgement).
    Yellow,
}

/// What a flame without a flue gives a room, and takes from it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Fumes {
    /// Carbon dioxide made, m3/h at the room's temperature.
    pub co2_m3_h: f64,
    /// Carbon monoxide made, m3/h.
    pub co_m3_h: f64,
    /// Sulfur dioxide made, m3/h: all the hydrogen sulfide burns to it.
    pub so2_m3_h: f64,
    /// Water made, kg/h.
    pub water_kg_h: f64,
    /// Oxygen taken, m3/h.
    pub oxygen_m3_h: f64,
    /// Heat, kW net: without a flue all of it stays in the room.
    pub heat_kw: f64,
}

/// Fumes of `normal_m3_h` dry normal m3/h of gas burned in a room.
///
/// # Errors
/// [`GasError::OutOfRange`], [`GasError::NothingBurns`].
pub fn fumes(
    gas: &Mixture,
    normal_m3_h: f64,
    flame: Flame,
    room: &Room,
) -> Result<Fumes, GasError> {
    gas_flow(normal_m3_h)?;
    room.checked()?;
    let dry = gas.dry();
    if dry.combustible() <= 0.0 {
        return Err(GasError::NothingBurns);
    }
    let x = dry.shares();
    let co2 = x.ch4 + x.co2;
    // Dry fumes without excess air, the basis of the stove standard.
    let air = stoichiometric_air(&dry);
    let dry_fumes = co2 + x.h2s + x.n2 + air * (1.0 - gas_value("x_o2_air"));
    let more = match flame {
        Flame::Blue => 1.0,
        Flame::Yellow => gas_value("co_yellow_factor"),
    };
    let co = dry_fumes * gas_value("co_gb3606") / 100.0 * more;
    let kmol = gas_value("vm_ideal_0c");
    let water_mol = 2.0 * x.ch4 + x.h2s + x.h2;
    let flow = room.warmed(normal_m3_h);
    Ok(Fumes {
        co2_m3_h: flow * co2,
        co_m3_h: flow * co,
        so2_m3_h: flow * x.h2s,
        water_kg_h: normal_m3_h * water_mol / kmol * gas_value("mm_h2o"),
        oxygen_m3_h: flow * oxygen_need(&dry),
        heat_kw: normal_m3_h * super::properties::net_mj_per_normal_m3(&dry) / 3.6,
    })
}

/// Shares in a room's air.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct RoomAir {
    /// Carbon dioxide with that of outdoor air, ppm.
    pub co2_ppm: f64,
    /// Carbon monoxide, ppm.
    pub co_ppm: f64,
    /// Sulfur dioxide, ppm.
    pub so2_ppm: f64,
    /// Oxygen, %.
    pub oxygen_pct: f64,
}

/// Air of a room after `hours` of burning; `None` for where it settles.
///
/// # Errors
/// [`GasError::OutOfRange`].
pub fn air_after(room: &Room, fumes: &Fumes, hours: Option<f64>) -> Result<RoomAir, GasError> {
    let share = |m3_h: f64| match hours {
        Some(h) => room.share_after(m3_h, h),
        None => room.share_at_last(m3_h),
    };
    let oxygen = gas_value("x_o2_air") - share(fumes.oxygen_m3_h)?;
    Ok(RoomAir {
        co2_ppm: gas_value("x_co2_air") + 1e6 * share(fumes.co2_m3_h)?,
        co_ppm: 1e6 * share(fumes.co_m3_h)?,
        so2_ppm: 1e6 * share(fumes.so2_m3_h)?,
        // A flame dies before the oxygen is gone.
        oxygen_pct: 100.0 * oxygen.max(0.0),
    })
}

/// Who must be well in the room.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum For {
    /// People.
    People,
    /// Plants, with no person inside.
    Plants,
}

/// A limit for people from `safety_limits.csv`, in its own unit.
///
/// # Panics
/// If there is none: for names written in the code only.
fn limit(hazard: &str, name: &str) -> (&'static SafetyLimit, f64) {
    let row = safety_limits()
        .iter()
        .find(|row| row.hazard.starts_with(hazard) && row.name == name)
        .unwrap_or_else(|| panic!("no limit {hazard}, {name}"));
    (row, row.value.unwrap_or(f64::NAN))
}

/// One limit and the fresh air that keeps to it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Need {
    /// What is limited.
    pub of: &'static str,
    /// The limit, ppm (oxygen: %).
    pub limit: f64,
    /// Unit of the limit.
    pub unit: &'static str,
    /// Name, time and issuer of the limit.
    pub from: String,
    /// Its source key.
    pub source_key: String,
    /// Fresh air that keeps to it, m3/h.
    pub fresh_air_m3_h: f64,
    /// The same in air changes per hour of the room.
    pub air_changes_per_h: f64,
}

/// Fresh air that keeps each limit while burning without end, most demanding
/// first. People: carbon dioxide 5000 ppm (8 h), carbon monoxide by the WHO
/// indoor 8 h guideline, sulfur dioxide 0.25 ppm (15 min), oxygen 19.5 %.
/// Plants: carbon dioxide 1000 ppm (more helps no crop), sulfur dioxide 0.2 ppm.
///
/// # Errors
/// [`GasError::OutOfRange`].
pub fn fresh_air_needs(room: &Room, fumes: &Fumes, whom: For) -> Result<Vec<Need>, GasError> {
    room.checked()?;
    let outside = gas_value("x_co2_air");
    let need = |of, row: &SafetyLimit, limit, unit, m3_h: f64, rise: f64| {
        let fresh = m3_h / rise;
        Need {
            of,
            limit,
            unit,
            from: format!("{}, {}, {}", row.name, row.averaging_time, row.issued_by),
            source_key: row.source_key.clone(),
            fresh_air_m3_h: fresh,
            air_changes_per_h: fresh / room.volume_m3,
        }
    };
    let mut out = Vec::new();
    let (co2_row, co2_ppm) = match whom {
        For::People => limit("carbon dioxide", "PEL TWA (in force)"),
        For::Plants => limit("carbon dioxide", "crop enrichment target"),
    };
    let rise = (co2_ppm - outside) * 1e-6;
    out.push(need(
        "carbon dioxide",
        co2_row,
        co2_ppm,
        "ppm",
        fumes.co2_m3_h,
        rise,
    ));
    let (so2_row, so2_ppm) = match whom {
        For::People => limit("sulfur dioxide", "TLV-STEL"),
        For::Plants => limit(
            "greenhouse fumes",
            "crop injury from sulfur dioxide in burner fumes",
        ),
    };
    out.push(need(
        "sulfur dioxide",
        so2_row,
        so2_ppm,
        "ppm",
        fumes.so2_m3_h,
        so2_ppm * 1e-6,
    ));
    if whom == For::People {
        let co_row = safety_limits().iter().find(|r| {
            r.hazard == "carbon monoxide"
                && r.name == "indoor guideline"
                && r.averaging_time == "8 h"
        });
        if let Some((row, mg_m3)) = co_row.and_then(|row| Some((row, row.value?))) {
            let ppm = mg_m3 / limit("carbon monoxide", "mass conversion").1;
            out.push(need(
                "carbon monoxide",
                row,
                ppm,
                "ppm",
                fumes.co_m3_h,
                ppm * 1e-6,
            ));
        }
        let (row, pct) = limit("oxygen", "deficient atmosphere below");
        let fall = gas_value("x_o2_air") - pct / 100.0;
        out.push(need("oxygen", row, pct, "%", fumes.oxygen_m3_h, fall));
    }
    out.sort_by(|a, b| b.fresh_air_m3_h.total_cmp(&a.fresh_air_m3_h));
    Ok(out)
}

/// A leak into a room.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Leak {
    /// Methane where it settles, share.
    pub methane_share: f64,
    /// Hydrogen sulfide where it settles, ppm.
    pub h2s_ppm: f64,
    /// Methane where it settles, share of its lower limit (safe side).
    pub of_lower_limit: f64,
    /// Hours until the gas reaches a quarter of its lower limit (`leak_share`);
    /// `None` if it never does.
    pub hours_to_quarter: Option<f64>,
    /// Fresh air that keeps it under a tenth of the lower limit, the level at
    /// which people leave, m3/h.
    pub fresh_air_m3_h: f64,
}

/// A leak of `m3_h` into a room, fully mixed; limits of `table`.
///
/// # Errors
/// [`GasError::OutOfRange`], [`GasError::NothingBurns`].
pub fn leak(room: &Room, gas: &Mixture, m3_h: f64, table: LimitTable) -> Result<Leak, GasError> {
    room.checked()?;
    gas_flow(m3_h)?;
    let lower = limits(gas, table)?.lower;
    let share = room.share_at_last(m3_h)?.min(1.0);
    let quarter = gas_value("leak_share") / 100.0 * lower;
    let leave = limit("methane and biogas", "hazardous atmosphere").1 / 100.0 * lower;
    Ok(Leak {
        methane_share: share * gas.shares().ch4,
        h2s_ppm: share * gas.shares().h2s * 1e6,
        of_lower_limit: share / lower,
        hours_to_quarter: room.hours_to(m3_h, quarter.min(1.0))?,
        fresh_air_m3_h: m3_h / leave,
    })
}

/// Share of its lower limit that a store let go at once reaches in a shut room,
/// fully mixed. Near the leak it is explosive long before.
///
/// # Errors
/// [`GasError::OutOfRange`], [`GasError::NothingBurns`].
pub fn store_let_go(
    room: &Room,
    gas: &Mixture,
    store_m3: f64,
    table: LimitTable,
) -> Result<f64, GasError> {
    room.checked()?;
    within("a store", "m3", store_m3, 1e-6, room.volume_m3)?;
    Ok(store_m3 / room.volume_m3 / limits(gas, table)?.lower)
}

/// Most hydrogen sulfide in the gas, ppm, that keeps sulfur dioxide under
/// `so2_ppm` with this fresh air (worked example 20).
///
/// # Errors
/// [`GasError::OutOfRange`].
pub fn most_h2s_ppm(flow_m3_h: f64, fresh_air_m3_h: f64, so2_ppm: f64) -> Result<f64, GasError> {
    gas_flow(flow_m3_h)?;
    within("fresh air", "m3/h", fresh_air_m3_h, 0.01, 1e6)?;
    within("a sulfur dioxide limit", "ppm", so2_ppm, 1e-3, 1e3)?;
    Ok(so2_ppm * fresh_air_m3_h / flow_m3_h)
}
