//! What an ensemble says: every uncertain figure as a band. Field names carry the
//! unit, for they are also those of the JSON.

use jiff::civil::Date;
use serde::Serialize;

use super::gas_train::GasTrain;
use super::heap::Heap;
use crate::band::Quantiles;
use crate::digestate::Digestate;
use crate::gas::uses::{self, Uses};

/// One day over all worlds. Field names carry the unit.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DayBand {
    /// Calendar day.
    pub date: Date,
    /// Days since the fill, from 0.
    pub day: u32,
    /// Mean slurry temperature.
    pub slurry_temperature_c: Quantiles,
    /// Feed and water.
    pub fed_kg: Quantiles,
    /// Gas, dry at 0 degC and 101.325 kPa.
    pub gas_dry_normal_l: Quantiles,
    /// Gas as a bag at the air's temperature shows it.
    pub gas_wet_l: Quantiles,
    /// Methane, dry normal.
    pub methane_dry_normal_l: Quantiles,
    /// Methane of the run up to this day's end, dry normal.
    pub methane_total_dry_normal_l: Quantiles,
    /// Methane share of the dry gas, mol/mol.
    pub methane_share: Quantiles,
    /// Hydrogen sulfide in the dry gas.
    pub h2s_ppm: Quantiles,
    /// pH of the slurry.
    pub ph: Quantiles,
    /// Volatile acids as acetic acid.
    pub acids_mg_l: Quantiles,
    /// Ammonium and ammonia nitrogen.
    pub ammonium_mg_n_l: Quantiles,
    /// Oxygen of the headspace, mol/mol dry.
    pub headspace_oxygen_share: Quantiles,
    /// Methane of the headspace, mol/mol dry.
    pub headspace_methane_share: Quantiles,
}

/// One calendar month, means of its days.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MonthBand {
    /// Year.
    pub year: i16,
    /// Month, 1 = January.
    pub month: i8,
    /// Days of it inside the forecast.
    pub days: u32,
    /// Mean slurry temperature.
    pub slurry_temperature_c: Quantiles,
    /// Feed and water a day.
    pub fed_kg_per_day: Quantiles,
    /// Gas a day, dry normal.
    pub gas_dry_normal_l_per_day: Quantiles,
    /// Gas a day as a bag shows it.
    pub gas_wet_l_per_day: Quantiles,
    /// Methane a day, dry normal.
    pub methane_dry_normal_l_per_day: Quantiles,
    /// Methane share of the gas.
    pub methane_share: Quantiles,
    /// Methane of the run up to the month's end, dry normal.
    pub methane_total_dry_normal_l: Quantiles,
    /// Volatile solids fed in the month; the first filling is no feed.
    pub vs_fed_kg: Quantiles,
    /// Methane of the month per kilogram of volatile solids fed in it, dry normal; `None`
    /// for a month without feed in some world.
    pub methane_l_per_kg_vs: Option<Quantiles>,
    /// Volatile solids broken down in the month, of those put in during it (in the first
    /// with filling and seed); above one where older ones go. `None` when none went in.
    pub vs_removed_share: Option<Quantiles>,
    /// What the day's gas can do.
    pub uses_per_day: UseBands,
}

/// Uses with their bands; each stands for all of the gas.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct UseBands {
    /// Kettles of 1.5 L.
    pub kettles: Quantiles,
    /// Hours of one stove burner.
    pub stove_hours: Quantiles,
    /// Hours of one mantle lamp.
    pub lamp_hours: Quantiles,
    /// Heat, kWh.
    pub heat_kwh: Quantiles,
    /// Electricity by a small engine, kWh.
    pub electricity_kwh: Quantiles,
}

impl UseBands {
    /// Of a band of methane, dry normal litres.
    pub fn of(methane_l: Quantiles) -> Self {
        let by = |f: fn(&Uses) -> f64| methane_l.map(|v| f(&uses::of_methane(v)));
        UseBands {
            kettles: by(|u| u.kettles),
            stove_hours: by(|u| u.stove_hours),
            lamp_hours: by(|u| u.lamp_hours),
            heat_kwh: by(|u| u.heat_kwh),
            electricity_kwh: by(|u| u.electricity_kwh),
        }
    }
}

/// The whole run, sums and means.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Whole {
    /// Gas of the run, dry normal.
    pub gas_dry_normal_l: Quantiles,
    /// Methane of the run, dry normal.
    pub methane_dry_normal_l: Quantiles,
    /// Methane per kilogram of volatile solids put in, fill included and seed left out,
    /// dry normal; `None` when none went in.
    pub methane_l_per_kg_vs: Option<Quantiles>,
    /// Volatile solids broken down, of all put in, those of fill and seed included; `None`
    /// when none went in.
    pub vs_removed_share: Option<Quantiles>,
    /// Mean loading on feeding days, kg VS/(m3 d).
    pub loading_kg_vs_m3_d: Quantiles,
    /// What the run's gas can do.
    pub uses: UseBands,
}

/// The first steady flame.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FirstFlame {
    /// Share of the worlds that have one within the forecast.
    pub share_of_worlds: f64,
    /// Day since the fill, over the worlds that have one; `None` when none has.
    pub day: Option<Quantiles>,
    /// The same as dates: one world in ten before the first, one after the last.
    pub dates: Option<[Date; 3]>,
}

/// The ensemble's answer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Forecast {
    /// Worlds run.
    pub worlds: u32,
    /// Seed of the generator (ChaCha8).
    pub seed: u64,
    /// Day by day.
    pub days: Vec<DayBand>,
    /// Month by month.
    pub months: Vec<MonthBand>,
    /// The whole run.
    pub whole: Whole,
    /// First steady flame.
    pub first_flame: FirstFlame,
    /// Share of the worlds that turn sour.
    pub sour_share_of_worlds: f64,
    /// Wash, store and uses, where the plan has any.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub gas_train: Option<GasTrain>,
    /// The heap round the vessel, where there is one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub heap: Option<Heap>,
    /// What is left, and where it may go.
    pub digestate: Digestate,
}
