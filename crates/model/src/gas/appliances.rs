//! What burns the gas, in a household's words: how much an hour, and what a
//! day's gas does. Uses from the handbook rows `use_*`, which are for gas of about
//! 60 % methane as a store holds it; other gas is taken by its heat.

use serde::Serialize;

use super::error::{GasError, within};
use super::mixture::Mixture;
use super::properties::{CombustionTemperature, State, heating_value, net_mj_per_normal_m3};
use crate::band::Band;
use crate::reference::{gas_value, safety_limits, thermal_value};

/// Something to do with gas.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Appliance {
    /// One stove burner.
    Stove,
    /// Boiling water from 15 degC.
    Kettle,
    /// Mantle lamp.
    Lamp,
    /// Instant water heater with a flue, 15 to 50 degC.
    WaterHeater,
    /// Pot held over a burner, 15 to 70 degC.
    PasteurisingPot,
    /// Absorption refrigerator of 100 L.
    Refrigerator,
    /// Small engine and generator.
    Generator,
    /// Space heater with a flue.
    SpaceHeater,
    /// Radiant heater for young animals.
    YoungStockHeater,
    /// Car, tractor, motorcycle.
    Vehicle,
    /// Compressor, bottle, cylinder.
    Compressor,
}

impl Appliance {
    /// Everything that is worked out.
    pub const WORKED_OUT: [Self; 9] = [
        Self::Stove,
        Self::Kettle,
        Self::Lamp,
        Self::WaterHeater,
        Self::PasteurisingPot,
        Self::Refrigerator,
        Self::Generator,
        Self::SpaceHeater,
        Self::YoungStockHeater,
    ];
}

/// What an amount of gas does in an appliance.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Use {
    /// The appliance.
    pub appliance: Appliance,
    /// Gas while it runs, m3/h of 60 % methane as a store holds it; `None` where
    /// it follows the job, not the hour.
    pub gas_m3_h: Option<Band>,
    /// What the gas asked about does, low to high, in `of`.
    pub does: Band,
    /// Unit of `does`, in words.
    pub of: &'static str,
    /// What must hold for it.
    pub provided: String,
    /// Source keys of the figures.
    pub sources: &'static [&'static str],
}

/// Temperature to which a water heater heats, degC (common practice, no source).
const WASHING_C: f64 = 50.0;
/// Temperature of cold water, degC (as `dh_water_15_100`).
const COLD_C: f64 = 15.0;

fn row_band(low: &str, high: &str) -> Band {
    let (low, high) = (gas_value(low), gas_value(high));
    Band {
        low,
        mid: f64::midpoint(low, high),
        high,
    }
}

/// What `normal_l` dry normal litres of `gas` do in an appliance.
///
/// # Errors
/// [`GasError::Refused`] for vehicles and compression, with the reason;
/// [`GasError::OutOfRange`] for no gas at all or gas too poor to burn steadily.
pub fn of_gas(appliance: Appliance, gas: &Mixture, normal_l: f64) -> Result<Use, GasError> {
    if let Some(refusal) = refusal(appliance) {
        return Err(refusal);
    }
    within("an amount of gas", "L", normal_l, 1e-3, 1e9)?;
    let least = match appliance {
        Appliance::Generator => gas_value("ch4_min_engine"),
        _ => gas_value("ch4_min_flame"),
    };
    let methane = 100.0 * gas.dry().shares().ch4;
    within("methane for a steady flame", "%", methane, least, 100.0)?;
    let mj = normal_l / 1000.0 * net_mj_per_normal_m3(gas);
    let hours = |use_m3_h: Band| over(mj, use_m3_h.scaled(handbook_mj_m3()));
    let heating = |to_c: f64, low: f64, mid: f64, high: f64| {
        let kj_l = heat_kj_per_l(COLD_C, to_c);
        Band { low, mid, high }.scaled(mj * 1000.0 / kj_l)
    };
    let stove = (
        gas_value("eff_stove_lo") / 100.0,
        gas_value("eff_stove_typ") / 100.0,
        gas_value("eff_stove_fao") / 100.0,
    );
    let by_the_hour = |low: &str, high: &str, of, provided: &str, sources| {
        let use_m3_h = row_band(low, high);
        Use {
            appliance,
            gas_m3_h: Some(use_m3_h),
            does: hours(use_m3_h),
            of,
            provided: provided.to_owned(),
            sources,
        }
    };
    let by_the_job = |does, of, provided: String, sources| Use {
        appliance,
        gas_m3_h: None,
        does,
        of,
        provided,
        sources,
    };
    Ok(match appliance {
        Appliance::Stove => by_the_hour(
            "use_burner_lo",
            "use_burner_hi",
            "hours of one burner",
            "one household burner, gas at 5 to 20 mbar",
            &["SSWM"],
        ),
        Appliance::Lamp => by_the_hour(
            "use_lamp_lo",
            "use_lamp_gtz_hi",
            "hours of one mantle lamp",
            "as bright as a 60 W bulb",
            &["SSWM", "GTZ1993"],
        ),
        Appliance::Refrigerator => {
            let low = gas_value("use_fridge_lo");
            let high = gas_value("use_fridge_gtz") / 24.0;
            let use_m3_h = Band {
                low,
                mid: gas_value("use_fridge_hi"),
                high,
            };
            Use {
                appliance,
                gas_m3_h: Some(use_m3_h),
                does: hours(use_m3_h),
                of: "hours of a 100 L refrigerator",
                provided: "an absorption refrigerator built for gas; it must run all day"
                    .to_owned(),
                sources: &["SSWM", "GTZ1993"],
            }
        }
        Appliance::YoungStockHeater => by_the_hour(
            "use_heater_lo",
            "use_heater_hi",
            "hours of one radiant heater",
            "fumes led outside or the house well aired",
            &["GTZ1993"],
        ),
        Appliance::Kettle => by_the_job(
            {
                let kj = heat_kj_per_l(COLD_C, BOIL_C);
                let (low, mid, high) = stove;
                Band { low, mid, high }.scaled(mj * 1000.0 / kj)
            },
            "litres of water boiled",
            "from 15 degC, kettle not counted".to_owned(),
            &["CES2001", "GTZ-DIGEST", "FAO1996", "COOLPROP800"],
        ),
        Appliance::WaterHeater => {
            let eff = gas_value("eff_heater") / 100.0;
            by_the_job(
                heating(WASHING_C, eff, eff, eff),
                "litres of water of 50 degC",
                "an instant heater with a flue, water from 15 degC".to_owned(),
                &["TEXTBOOK"],
            )
        }
        Appliance::PasteurisingPot => {
            let to = pasteurising_c();
            by_the_job(
                heating(to, stove.0, stove.1, stove.2),
                "litres heated for pasteurising",
                format!(
                    "from 15 to {to:.0} degC, held there an hour under a lid and straw; the holding is not counted"
                ),
                &["EU142-2011", "CES2001", "GTZ-DIGEST", "FAO1996"],
            )
        }
        Appliance::Generator => {
            let share = |id: &str| gas_value(id) / 100.0;
            let (low, high) = (share("eff_gen_lo"), share("eff_gen_hi"));
            let mid = share("eff_gen_gtz");
            let h2s = gas.dry().shares().h2s * 1e6;
            let limit = gas_value("h2s_limit_engine");
            let provided = if h2s > limit {
                format!(
                    "the gas is washed: {h2s:.0} ppm hydrogen sulfide is over the {limit:.0} ppm an engine lives with; fumes outside"
                )
            } else {
                format!("hydrogen sulfide under {limit:.0} ppm; fumes outside")
            };
            by_the_job(
                Band { low, mid, high }.scaled(mj / 3.6),
                "kWh of electricity",
                provided,
                &["MITZLAFF1988", "GTZ1993", "EEER1242"],
            )
        }
        Appliance::SpaceHeater => {
            let eff = gas_value("eff_heater") / 100.0;
            by_the_job(
                Band::exact(mj / 3.6 * eff),
                "kWh of room heat",
                "a flued heater of 80 %; without a flue the fumes stay in the room".to_owned(),
                &["TEXTBOOK"],
            )
        }
        // Refused above.
        Appliance::Vehicle | Appliance::Compressor => return Err(compression()),
    })
}

/// Highest use gives the fewest hours.
fn over(mj: f64, use_mj_h: Band) -> Band {
    Band {
        low: mj / use_mj_h.high,
        mid: mj / use_mj_h.mid,
        high: mj / use_mj_h.low,
    }
}

/// Heat of an m3 of the handbooks' gas: 60 % methane at 15 degC, MJ (`lhv_bg60_15`).
fn handbook_mj_m3() -> f64 {
    gas_value("lhv_bg60_15")
}

/// What is asked for but not worked out.
fn refusal(appliance: Appliance) -> Option<GasError> {
    match appliance {
        Appliance::Compressor => Some(compression()),
        Appliance::Vehicle => Some(GasError::Refused {
            what: "biogas in a vehicle",
            reason: "a vehicle needs gas at some 200 bar, and handbooks rule high pressure out for \
                     small plants: wet gas with hydrogen sulfide makes bottles burst",
            source_key: "GTZ-DIGEST",
        }),
        _ => None,
    }
}

/// Why nothing here is compressed or bottled.
pub fn compression() -> GasError {
    GasError::Refused {
        what: "compressing or bottling biogas",
        reason: "handbooks rule high pressure out for small plants: wet gas with hydrogen sulfide \
                 eats steel until it bursts, and carbon dioxide fills most of the bottle",
        source_key: "GTZ-DIGEST",
    }
}

/// Temperature of pasteurising, degC (EU Reg. 142/2011, of `safety_limits.csv`).
fn pasteurising_c() -> f64 {
    safety_limits()
        .iter()
        .find(|row| row.name == "hygienization temperature")
        .and_then(|row| row.value)
        .expect("the reference holds the hygienization temperature")
}

/// Boiling point of water at the normal pressure, degC (as `dh_water_15_100`).
const BOIL_C: f64 = 99.974;

/// Heat to bring a litre (weighed at 15 degC) from one temperature to another,
/// kJ: the row `dh_water_15_100` scaled by the degrees.
fn heat_kj_per_l(from_c: f64, to_c: f64) -> f64 {
    let cold = thermal_value("rho_w_5");
    let warm = thermal_value("rho_w_20");
    // Ten of fifteen degrees from the 5 degC row to the 20 degC row.
    let kg_l = (cold + (warm - cold) * 10.0 / 15.0) / 1000.0;
    let per_k = gas_value("dh_water_15_100") / (BOIL_C - COLD_C);
    kg_l * per_k * (to_c - from_c)
}

/// A kettle brought to the boil.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Boil {
    /// Heat into the water, kJ.
    pub heat_kj: f64,
    /// Minutes.
    pub minutes: f64,
    /// Gas used, dry normal litres.
    pub gas_normal_l: f64,
    /// Gas per litre of water, dry normal litres.
    pub gas_normal_l_per_l: f64,
}

/// Brings `litres` from `from_c` to the boil on a burner of `flow_normal_m3_h`
/// dry normal m3/h with a stove efficiency of `efficiency` (worked example 17).
/// The kettle itself is not counted (0.6 kg of steel adds about 5 %).
///
/// # Errors
/// [`GasError::OutOfRange`].
pub fn boil(
    litres: f64,
    from_c: f64,
    gas: &Mixture,
    flow_normal_m3_h: f64,
    efficiency: f64,
) -> Result<Boil, GasError> {
    within("water", "L", litres, 0.01, 1_000.0)?;
    within("a water temperature", "degC", from_c, 0.0, 99.0)?;
    super::error::gas_flow(flow_normal_m3_h)?;
    within("a stove's efficiency", "%", 100.0 * efficiency, 5.0, 95.0)?;
    let methane = 100.0 * gas.dry().shares().ch4;
    let least = gas_value("ch4_min_flame");
    within("methane for a steady flame", "%", methane, least, 100.0)?;
    let heat_kj = litres * heat_kj_per_l(from_c, BOIL_C);
    let mj_m3 = net_mj_per_normal_m3(gas);
    let gas_normal_l = heat_kj / efficiency / mj_m3;
    Ok(Boil {
        heat_kj,
        minutes: 60.0 * gas_normal_l / 1000.0 / flow_normal_m3_h,
        gas_normal_l,
        gas_normal_l_per_l: gas_normal_l / litres,
    })
}

/// Heat of a burner, kW net, for a flow counted at a state.
///
/// # Errors
/// [`GasError::OutOfRange`].
pub fn burner_kw(gas: &Mixture, flow_m3_h: f64, state: State) -> Result<f64, GasError> {
    super::error::gas_flow(flow_m3_h)?;
    let heat = heating_value(gas, state, CombustionTemperature::C25)?;
    Ok(flow_m3_h * heat.net_mj_m3 / 3.6)
}
