//! A small dose of air into the headspace: bacteria turn H2S to sulfur.

use serde::Serialize;

use super::iron::SULFUR_G_MOL;
use crate::band::Band;
use crate::gas::error::{GasError, within};
use crate::reference::gas_value;

/// Oxygen at which the store is called dangerous, share: the limiting oxygen
/// of CH4 less two points (`loc_ch4_n2`; margin as NFPA 69, memory).
fn oxygen_ceiling() -> f64 {
    gas_value("loc_ch4_n2") / 100.0 - 0.02
}

/// How a dose compares with practice (`air_dose_lo`, `air_dose_hi`).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub enum Dose {
    /// Under the practical band, or under what the sulfide needs.
    Little,
    /// In the band.
    Usual,
    /// Above it: do not.
    TooMuch,
}

/// What a dose of air does.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct AirDose {
    /// Air that turns the H2S to sulfur exactly, share of the raw gas.
    pub air_needed_share: f64,
    /// How the dose compares with practice.
    pub dose: Dose,
    /// Share of H2S removed: low a third of what was measured (judgement),
    /// mid and high as measured at 2 and 4 h (`microair_2h`, `microair_4h`); over cold
    /// digestate in a vessel of its own it was between them (`microair_cold`).
    /// Bounded by the oxygen there is.
    pub removal: Band,
    /// H2S afterwards, ppm of the diluted gas; `low` is the best case.
    pub h2s_after_ppm: Band,
    /// Sulfur left behind in the middle case, g/d.
    pub sulfur_g_day: f64,
    /// Air a day, L.
    pub air_l_day: f64,
    /// Oxygen in the gas if nothing reacts, share.
    pub oxygen_share: f64,
    /// Nitrogen in the gas, share.
    pub nitrogen_share: f64,
    /// Methane after dilution, share.
    pub methane_share: f64,
    /// Hours in which a pump left running, with no gas made, brings a full
    /// store to the oxygen ceiling.
    pub hours_stuck_pump: f64,
}

/// A dose of `air_share` (of the raw gas) into `daily_l` of gas a day (dry,
/// normal) with `methane_share` and `h2s_ppm`; `store_l` is all the gas space.
///
/// # Errors
/// Amounts out of range; a dose above 12 % (twice the practical limit) is
/// refused, since what it makes is on the way to an explosive store.
pub fn air_dose(
    daily_l: f64,
    methane_share: f64,
    h2s_ppm: f64,
    air_share: f64,
    store_l: f64,
) -> Result<AirDose, GasError> {
    let daily_l = within("gas of a day", "L", daily_l, 0.001, 1e7)?;
    let methane = within("methane in the gas", "(share)", methane_share, 0.01, 0.95)?;
    let h2s_ppm = within("H2S in the gas", "ppm", h2s_ppm, 0.0, 50_000.0)?;
    let most = 2.0 * gas_value("air_dose_hi") / 100.0;
    let air = within("dose of air", "(share)", air_share, 0.0, most)?;
    let store_l = within("gas space", "L", store_l, 0.1, 1e8)?;

    let oxygen = gas_value("x_o2_air");
    let h2s = h2s_ppm * 1e-6;
    let needed = 0.5 * h2s / oxygen;
    let usual = |id| gas_value(id) / 100.0;
    let dose = if air > usual("air_dose_hi") {
        Dose::TooMuch
    } else if air < usual("air_dose_lo") || air < needed {
        Dose::Little
    } else {
        Dose::Usual
    };
    let bound = if needed > 0.0 {
        (air / needed).min(1.0)
    } else {
        1.0
    };
    let share = |id| (gas_value(id) / 100.0).min(bound);
    let removal = Band {
        low: (gas_value("microair_2h") / 300.0).min(bound),
        mid: share("microair_2h"),
        high: share("microair_4h"),
    };
    let all = 1.0 + air;
    let after = |removed: f64| h2s_ppm * (1.0 - removed) / all;
    let ceiling = oxygen_ceiling() / oxygen;
    let air_l_day = daily_l * air;
    Ok(AirDose {
        air_needed_share: needed,
        dose,
        removal,
        h2s_after_ppm: Band {
            low: after(removal.high),
            mid: after(removal.mid),
            high: after(removal.low),
        },
        sulfur_g_day: daily_l * h2s * removal.mid / gas_value("vm_ideal_0c") * SULFUR_G_MOL,
        air_l_day,
        oxygen_share: air * oxygen / all,
        nitrogen_share: air * (1.0 - oxygen) / all,
        methane_share: methane / all,
        // Displacing would take longer than filling up: no gas is let out here.
        hours_stuck_pump: store_l * ceiling / (1.0 - ceiling) / (air_l_day / 24.0),
    })
}
