//! Kettles, and what an amount of gas does.

use clap::{Args, ValueEnum};
use fenlamp_model::gas::appliances::{Appliance, boil, of_gas};
use fenlamp_model::gas::properties::dry_normal_factor;
use fenlamp_model::reference::gas_value;
use fenlamp_quantity::{Ratio, Volume, VolumeRate, format_number};

use super::ask::{GasOptions, Say, celsius, number, refuse};
use super::sheet::Sheet;
use crate::failure::Failure;

/// Temperature at which a store's gas is counted here, degC.
const STORE_C: f64 = 20.0;

/// Dry normal volume of a volume of wet gas in the store.
fn normal() -> Result<f64, Failure> {
    dry_normal_factor(STORE_C, 0.0, gas_value("p_normal")).map_err(refuse)
}

/// Options of `kettle`.
#[derive(Debug, Args)]
pub struct Kettle {
    /// Water
    #[arg(long, default_value = "1.5 L", allow_hyphen_values = true)]
    water: String,
    /// Temperature of the water
    #[arg(long, default_value = "15 °C", allow_hyphen_values = true)]
    from: String,
    /// Gas the stove takes, wet at 20 °C
    #[arg(long, default_value = "0.3 m3/h", allow_hyphen_values = true)]
    gas: String,
    /// Share of the heat that reaches the water
    #[arg(long, default_value = "50 %", allow_hyphen_values = true)]
    efficiency: String,
    #[command(flatten)]
    mix: GasOptions,
}

/// Answers `kettle`.
///
/// # Errors
/// [`Failure::Input`].
pub fn kettle(q: &Kettle, say: Say) -> Result<Sheet, Failure> {
    let litres = 1000.0 * number::<Volume>("--water", &q.water)?;
    let from = celsius("--from", &q.from)?;
    let flow = 3600.0 * number::<VolumeRate>("--gas", &q.gas)?;
    let efficiency = number::<Ratio>("--efficiency", &q.efficiency)?;
    let gas = q.mix.gas()?;
    let dry = normal()?;
    let one = boil(litres, from, &gas, flow * dry, efficiency).map_err(refuse)?;
    let in_store = one.gas_normal_l / dry / 1000.0;
    let mut sheet = Sheet::new(
        "kettle",
        format!(
            "It boils in {} minutes and takes {} of gas from the store.",
            format_number(one.minutes, 2),
            say.gas(in_store)
        ),
        "heat into the water over efficiency and net heat of the gas",
    );
    sheet.figure(
        "time",
        one.minutes,
        "min",
        format!("{} min", format_number(one.minutes, 3)),
    );
    sheet.figure(
        "gas, wet at 20 °C",
        1000.0 * in_store,
        "L",
        say.gas(in_store),
    );
    sheet.figure(
        "gas, dry at 0 °C",
        one.gas_normal_l,
        "L",
        say.gas(one.gas_normal_l / 1000.0),
    );
    sheet.figure(
        "heat into the water",
        one.heat_kj,
        "kJ",
        say.any::<fenlamp_quantity::Energy>(1000.0 * one.heat_kj),
    );
    let published = (gas_value("use_boil_lo"), gas_value("use_boil_hi"));
    sheet.figure(
        "handbook",
        published.1,
        "L/L",
        format!(
            "{} to {} L of gas a litre of water [SSWM]",
            published.0, published.1
        ),
    );
    sheet.caution("Match first, then gas; never leave a flame alone; air the room.");
    sheet.taken("kettle itself not counted, about 5 % more; sea level");
    sheet.taken("stove efficiencies run from 32 to 60 % [CES2001, FAO1996]");
    for key in ["SSWM", "COOLPROP800"] {
        sheet.source(key);
    }
    Ok(sheet)
}

/// Things to burn gas in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum What {
    Stove,
    Kettle,
    Lamp,
    WaterHeater,
    PasteurisingPot,
    Refrigerator,
    Generator,
    SpaceHeater,
    YoungStockHeater,
    Vehicle,
    Compressor,
}

impl What {
    fn appliance(self) -> Appliance {
        match self {
            Self::Stove => Appliance::Stove,
            Self::Kettle => Appliance::Kettle,
            Self::Lamp => Appliance::Lamp,
            Self::WaterHeater => Appliance::WaterHeater,
            Self::PasteurisingPot => Appliance::PasteurisingPot,
            Self::Refrigerator => Appliance::Refrigerator,
            Self::Generator => Appliance::Generator,
            Self::SpaceHeater => Appliance::SpaceHeater,
            Self::YoungStockHeater => Appliance::YoungStockHeater,
            Self::Vehicle => Appliance::Vehicle,
            Self::Compressor => Appliance::Compressor,
        }
    }
}

/// Options of `use`.
#[derive(Debug, Args)]
pub struct UseOptions {
    /// Gas, wet at 20 °C as a store shows it
    #[arg(long, allow_hyphen_values = true)]
    gas: String,
    /// In what it is burned; everything without
    #[arg(long, value_enum)]
    appliance: Option<What>,
    #[command(flatten)]
    mix: GasOptions,
}

/// Answers `use`.
///
/// # Errors
/// [`Failure::Input`]; vehicles and compression are refused with the reason.
pub fn what_it_does(q: &UseOptions, say: Say) -> Result<Sheet, Failure> {
    let store = number::<Volume>("--gas", &q.gas)?;
    let gas = q.mix.gas()?;
    let litres = 1000.0 * store * normal()?;
    let chosen: Vec<Appliance> = match q.appliance {
        Some(what) => vec![what.appliance()],
        None => Appliance::WORKED_OUT.to_vec(),
    };
    let uses = chosen
        .into_iter()
        .map(|a| of_gas(a, &gas, litres).map_err(refuse))
        .collect::<Result<Vec<_>, _>>()?;
    let band = |low: f64, high: f64| {
        let (low, high) = (format_number(low, 2), format_number(high, 2));
        if low == high {
            low
        } else {
            format!("{low} to {high}")
        }
    };
    let first = uses
        .first()
        .ok_or_else(|| Failure::Internal("no appliance was asked for".to_owned()))?;
    let answer = format!(
        "{} of gas: {} {}.",
        say.gas(store),
        band(first.does.low, first.does.high),
        first.of
    );
    let answer = if uses.len() > 1 {
        format!(
            "{} Or any one of the lines below: each stands for all of it.",
            answer
        )
    } else {
        answer
    };
    let mut sheet = Sheet::new(
        "use",
        answer,
        "heat of the gas over the use of the appliance, or times its efficiency",
    );
    for used in &uses {
        sheet.figure(
            used.of,
            used.does.mid,
            "(as named)",
            band(used.does.low, used.does.high),
        );
        if let (Some(m3_h), 1) = (used.gas_m3_h, uses.len()) {
            sheet.figure(
                "gas it takes",
                m3_h.mid,
                "m3/h",
                format!("{} to {}", say.flow(m3_h.low), say.flow(m3_h.high)),
            );
        }
        if uses.len() == 1 {
            sheet.taken(used.provided.clone());
        }
        for key in used.sources {
            if uses.len() == 1 || *key != "COOLPROP800" {
                sheet.source(key);
            }
        }
    }
    sheet.caution(
        "Fumes go outside; fit an alarm for carbon monoxide in any room with a gas flame.",
    );
    Ok(sheet)
}
