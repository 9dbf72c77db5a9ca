//! What can burn, now or with air.

use clap::Args;
use fenlamp_model::gas::flammability::{
    Headspace, LimitTable, could_become_flammable_when_mixed_with_air, headspace, limits,
    purge_volumes, purge_volumes_from_air,
};
use fenlamp_model::gas::{Mixture, Shares};
use fenlamp_model::reference::gas_value;
use fenlamp_quantity::{Ratio, format_number};

use super::ask::{Say, maybe, number, refuse};
use super::sheet::Sheet;
use crate::failure::Failure;

/// Options of `flammable`.
#[derive(Debug, Args)]
pub struct Flammable {
    /// Methane in the gas or headspace
    #[arg(long, allow_hyphen_values = true)]
    methane: String,
    /// Oxygen in it; it counts as air
    #[arg(long, default_value = "0 %", allow_hyphen_values = true)]
    oxygen: String,
    /// Carbon dioxide; without it, all that is neither named nor air
    #[arg(long, allow_hyphen_values = true)]
    carbon_dioxide: Option<String>,
    /// Hydrogen
    #[arg(long, default_value = "0 %", allow_hyphen_values = true)]
    hydrogen: String,
    /// Hydrogen sulfide
    #[arg(long, default_value = "0 ppm", allow_hyphen_values = true)]
    h2s: String,
}

impl Flammable {
    fn gas(&self) -> Result<Mixture, Failure> {
        let share = |name: &str, text: &str| number::<Ratio>(name, text);
        let known = Shares {
            ch4: share("--methane", &self.methane)?,
            o2: share("--oxygen", &self.oxygen)?,
            h2: share("--hydrogen", &self.hydrogen)?,
            h2s: share("--h2s", &self.h2s)?,
            ..Shares::default()
        };
        let burning = known.ch4 + known.h2 + known.h2s + known.o2;
        let shares = match maybe::<Ratio>("--carbon-dioxide", self.carbon_dioxide.as_deref())? {
            Some(co2) => Shares {
                co2,
                n2: (1.0 - burning - co2).max(0.0),
                ..known
            },
            None => {
                let air = Mixture::air().shares();
                let n2 = (known.o2 * air.n2 / air.o2).min((1.0 - burning).max(0.0));
                Shares {
                    n2,
                    co2: (1.0 - burning - n2).max(0.0),
                    ..known
                }
            }
        };
        Mixture::new(shares).map_err(refuse)
    }
}

/// Answers `flammable`.
///
/// # Errors
/// [`Failure::Input`].
pub fn flammable(q: &Flammable, say: Say) -> Result<Sheet, Failure> {
    let gas = q.gas()?;
    let with_air = could_become_flammable_when_mixed_with_air(&gas);
    let now = match headspace(&gas) {
        Headspace::CanBurn => "Yes: it can burn or explode as it is",
        Headspace::NothingBurns => "No: nothing in it burns",
        Headspace::TooLean => "Not now: too little in it burns",
        Headspace::TooRich => "Not now: too much in it burns for its oxygen",
        Headspace::TooLittleOxygen => "Not now: too little oxygen",
    };
    let later = match (headspace(&gas), with_air) {
        (Headspace::CanBurn, _) => "",
        (_, true) => "; with some air let in it can",
        (_, false) => ", nor with any amount of air",
    };
    let mut sheet = Sheet::new(
        "flammable",
        format!("{now}{later}."),
        "Le Chatelier's rule, inert gas ignored for the verdict (the safe side); straight line to the nose of \
         the methane envelope; purging by ln(from/to)",
    );
    let x = gas.shares();
    for (name, value) in [
        ("methane", x.ch4),
        ("carbon dioxide", x.co2),
        ("nitrogen", x.n2),
        ("oxygen", x.o2),
    ] {
        sheet.figure(name, 100.0 * value, "%", say.share(value));
    }
    if let Ok(in_air) = limits(&gas, LimitTable::Iec60079) {
        if x.o2 < 0.005 && with_air {
            let most = in_air.upper_safe;
            let text = format!(
                "{} to {} of this gas in air",
                say.share(in_air.lower),
                say.share(most)
            );
            sheet.figure(
                "counts as burning at",
                100.0 * in_air.lower,
                "% of gas in air, lower end",
                text,
            );
            let narrow = limits(&gas, LimitTable::Nfpa497).map_err(refuse)?;
            if let Some(upper) = narrow.upper_envelope {
                let text = format!("{} to {}", say.share(narrow.lower), say.share(upper));
                sheet.figure(
                    "by the narrower figures",
                    100.0 * upper,
                    "% of gas in air, upper end",
                    text,
                );
            }
        }
        sheet.figure(
            "burns only above oxygen of",
            100.0 * in_air.limiting_oxygen,
            "%",
            say.share(in_air.limiting_oxygen),
        );
    }
    let target = gas_value("purge_o2") / 100.0;
    if x.o2 > target {
        let n = purge_volumes(x.o2, target).map_err(refuse)?;
        let text = format!(
            "{} headspace volumes of gas, well mixed, to come to {} oxygen",
            format_number(n, 2),
            say.share(target)
        );
        sheet.figure("purge with", n, "headspace volumes", text);
    } else {
        let n = purge_volumes_from_air();
        let text = format!(
            "{} volumes when a space of plain air is filled with it",
            format_number(n, 2)
        );
        sheet.figure("purge with", n, "headspace volumes", text);
    }
    sheet.caution(
        "Never light the first gas, nor any gas at the vessel. Vent out of doors, high, with no flame about. Gas \
         that holds no flame is not safe gas.",
    );
    for key in ["IEC60079-20-1", "NFPA497", "ZABETAKIS1965", "COWARD1952"] {
        sheet.source(key);
    }
    Ok(sheet)
}
