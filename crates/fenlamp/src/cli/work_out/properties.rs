//! What a gas is, and what a meter counted.

use clap::Args;
use fenlamp_model::gas::properties::{
    CombustionTemperature, Gwp, State, burning_velocity_m_s, density_kg_m3, dry_normal_factor,
    heating_value, leaked_kg_co2e_per_normal_m3, net_mj_per_normal_m3, relative_density,
    stoichiometric_air, viscosity_pa_s, wobbe,
};
use fenlamp_model::gas::{Mixture, Shares};
use fenlamp_quantity::{MassDensity, Pressure, Ratio, Volume, format_number};

use super::ask::{GasOptions, Say, air_pa, celsius, number, refuse};
use super::sheet::Sheet;
use crate::failure::Failure;

/// Options of `mix`.
#[derive(Debug, Args)]
pub struct Mix {
    #[command(flatten)]
    mix: GasOptions,
    /// Nitrogen
    #[arg(long, default_value = "0 %", allow_hyphen_values = true)]
    nitrogen: String,
    /// Oxygen
    #[arg(long, default_value = "0 %", allow_hyphen_values = true)]
    oxygen: String,
    /// Hydrogen
    #[arg(long, default_value = "0 %", allow_hyphen_values = true)]
    hydrogen: String,
    /// Temperature at which density and viscosity are wanted
    #[arg(long, default_value = "20 °C", allow_hyphen_values = true)]
    temperature: String,
}

/// Answers `mix`.
///
/// # Errors
/// [`Failure::Input`].
pub fn mix(q: &Mix, say: Say) -> Result<Sheet, Failure> {
    let share = |name: &str, text: &str| number::<Ratio>(name, text);
    let known = Shares {
        ch4: share("--methane", &q.mix.methane)?,
        h2s: share("--h2s", &q.mix.h2s)?,
        n2: share("--nitrogen", &q.nitrogen)?,
        o2: share("--oxygen", &q.oxygen)?,
        h2: share("--hydrogen", &q.hydrogen)?,
        ..Shares::default()
    };
    let gas = with_rest(known)?;
    let t_c = celsius("--temperature", &q.temperature)?;
    let state = State {
        t_c,
        ..State::NORMAL
    };
    let normal = heating_value(&gas, State::NORMAL, CombustionTemperature::C25).map_err(refuse)?;
    let warm = heating_value(&gas, State::AT_15, CombustionTemperature::C15).map_err(refuse)?;
    let index = wobbe(&gas, State::NORMAL, CombustionTemperature::C25).map_err(refuse)?;
    let relative = relative_density(&gas);
    let density = density_kg_m3(&gas, state).map_err(refuse)?;
    let viscosity = viscosity_pa_s(&gas, t_c).map_err(refuse)?;
    let air = stoichiometric_air(&gas);
    let answer = format!(
        "A m3 of this gas, dry at 0 °C, holds {} kWh of net heat; it is {} than air.",
        format_number(normal.net_mj_m3 / 3.6, 3),
        if relative < 1.0 { "lighter" } else { "heavier" }
    );
    let mut sheet = Sheet::new(
        "mix",
        answer,
        "ideal sums of ISO 6976; Z by its summation form; viscosity by Wilke's rule",
    );
    let mut figure = |name: &str, value, unit, shown| sheet.figure(name, value, unit, shown);
    figure(
        "net heat, 0 °C",
        normal.net_mj_m3,
        "MJ/m3",
        say.heat(normal.net_mj_m3),
    );
    figure(
        "gross heat, 0 °C",
        normal.gross_mj_m3,
        "MJ/m3",
        say.heat(normal.gross_mj_m3),
    );
    figure(
        "net heat, 15 °C",
        warm.net_mj_m3,
        "MJ/m3",
        say.heat(warm.net_mj_m3),
    );
    figure(
        "Wobbe index, net",
        index.net_mj_m3,
        "MJ/m3",
        say.heat(index.net_mj_m3),
    );
    figure(
        "relative density",
        relative,
        "-",
        format!("{} of air", format_number(relative, 3)),
    );
    figure("density", density, "kg/m3", say.any::<MassDensity>(density));
    figure(
        "viscosity",
        1e6 * viscosity,
        "uPa s",
        format!("{} µPa s", format_number(1e6 * viscosity, 4)),
    );
    figure(
        "air to burn it",
        air,
        "m3/m3",
        format!("{} volumes", format_number(air, 3)),
    );
    match burning_velocity_m_s(&gas) {
        Ok(v) => figure(
            "burning velocity",
            v,
            "m/s",
            say.any::<fenlamp_quantity::Velocity>(v),
        ),
        Err(e) => sheet.taken(e.to_string()),
    }
    let co2e = leaked_kg_co2e_per_normal_m3(&gas, Gwp::Years100);
    sheet.figure(
        "if let go unburned",
        co2e,
        "kg CO2e/m3",
        format!("{} kg CO2e a m3 over 100 years", format_number(co2e, 3)),
    );
    if relative > 1.0 {
        sheet.caution("This gas sinks: it lies in pits and hollows.");
    }
    for key in ["ISO6976-1995", "CANTERA320", "COOLPROP800", "IPCC-AR6"] {
        sheet.source(key);
    }
    Ok(sheet)
}

/// The shares given, the rest carbon dioxide.
fn with_rest(known: Shares) -> Result<Mixture, Failure> {
    let sum = known.ch4 + known.h2s + known.n2 + known.o2 + known.h2;
    let co2 = (1.0 - sum).max(0.0);
    Mixture::new(Shares { co2, ..known }).map_err(refuse)
}

/// Options of `dry-gas`.
#[derive(Debug, Args)]
pub struct DryGas {
    /// What the meter counted
    #[arg(long, allow_hyphen_values = true)]
    reading: String,
    /// Temperature of the gas at the meter
    #[arg(long, allow_hyphen_values = true)]
    temperature: String,
    /// Pressure of the gas above the air's
    #[arg(long, default_value = "0 mbar", allow_hyphen_values = true)]
    pressure: String,
    /// Height above the sea, for the pressure of the air
    #[arg(long, default_value = "0 m", allow_hyphen_values = true)]
    altitude: String,
    /// Methane in the dry gas, for its heat
    #[arg(long, default_value = "60 %", allow_hyphen_values = true)]
    methane: String,
}

/// Answers `dry-gas`.
///
/// # Errors
/// [`Failure::Input`].
pub fn dry_gas(q: &DryGas, say: Say) -> Result<Sheet, Failure> {
    let read = number::<Volume>("--reading", &q.reading)?;
    let t_c = celsius("--temperature", &q.temperature)?;
    let gauge = number::<Pressure>("--pressure", &q.pressure)?;
    let air = air_pa(&q.altitude)?;
    let methane = number::<Ratio>("--methane", &q.methane)?;
    let gas = Mixture::biogas(methane).map_err(refuse)?;
    let factor = dry_normal_factor(t_c, gauge, air).map_err(refuse)?;
    let dry = read * factor;
    let kwh = dry * net_mj_per_normal_m3(&gas) / 3.6;
    let mut sheet = Sheet::new(
        "dry-gas",
        format!(
            "{} on the meter are {} of dry gas at 0 °C and 101.325 kPa.",
            say.gas(read),
            say.gas(dry)
        ),
        "V (p - p_w) / 101.325 kPa x 273.15 K / T (VDI 4630, from memory); p_w by the Magnus form of the WMO \
         guide (from memory)",
    );
    sheet.figure("dry normal gas", 1000.0 * dry, "L", say.gas(dry));
    sheet.figure("factor", factor, "m3/m3", format_number(factor, 4));
    sheet.figure(
        "net heat",
        kwh,
        "kWh",
        format!("{} kWh", format_number(kwh, 3)),
    );
    sheet.taken("gas saturated with water");
    sheet.taken(format!("air of {} kPa", format_number(air / 1000.0, 4)));
    sheet.source("DIN1343");
    Ok(sheet)
}
