//! Water in the line, and buffer for the slurry.

use clap::Args;
use fenlamp_model::gas::buffer::{Buffer, Slurry, plan};
use fenlamp_model::gas::trap::{Stretch, condensate, fill_days};
use fenlamp_model::gas::wash::cautions;
use fenlamp_quantity::{Mass, MassDensity, Ratio, Time, Volume, VolumeRate, format_number};

use super::ask::{Say, air_pa, celsius, maybe, number, refuse};
use super::sheet::Sheet;
use super::wash::mass_band;
use crate::failure::Failure;

const SECONDS_PER_DAY: f64 = 86_400.0;

/// Options of `trap`.
#[derive(Debug, Args)]
pub struct TrapOptions {
    /// Gas a day
    #[arg(long, allow_hyphen_values = true)]
    gas: String,
    /// Temperature of the slurry the gas leaves
    #[arg(long, default_value = "35 °C", allow_hyphen_values = true)]
    slurry: String,
    /// Temperature of the line, once for each stretch in the order of the flow
    #[arg(long, required = true, allow_hyphen_values = true)]
    line: Vec<String>,
    /// What the trap holds
    #[arg(long, default_value = "500 mL", allow_hyphen_values = true)]
    trap: String,
    /// Height above the sea
    #[arg(long, default_value = "0 m", allow_hyphen_values = true)]
    altitude: String,
}

/// Answers `trap`.
///
/// # Errors
/// [`Failure::Input`].
pub fn trap(q: &TrapOptions, say: Say) -> Result<Sheet, Failure> {
    let daily_l = 1000.0 * SECONDS_PER_DAY * number::<VolumeRate>("--gas", &q.gas)?;
    let slurry_c = celsius("--slurry", &q.slurry)?;
    let trap_l = 1000.0 * number::<Volume>("--trap", &q.trap)?;
    let stretches = q
        .line
        .iter()
        .map(|text| {
            Ok(Stretch {
                name: text.clone(),
                t_c: celsius("--line", text)?,
            })
        })
        .collect::<Result<Vec<_>, Failure>>()?;
    let total_bar = air_pa(&q.altitude)? / 1e5;
    let found = condensate(daily_l, slurry_c, &stretches, total_bar).map_err(refuse)?;
    let days = fill_days(trap_l, found.g_day).map_err(refuse)?;
    let ml = |g: f64| say.any::<Volume>(g / 1e6);
    let answer = match days {
        Some(days) => format!(
            "{} of water falls a day; the trap is full in {}.",
            ml(found.g_day),
            say.any::<Time>(SECONDS_PER_DAY * days)
        ),
        None => "No water falls: the line is no colder than the slurry.".to_owned(),
    };
    let mut sheet = Sheet::new(
        "trap",
        answer,
        "803.75 p_w / (p - p_w) g of water a dry normal m3; p_w by the Magnus form of the WMO guide, over \
         ice below 0 °C (from memory)",
    );
    sheet.figure("water a day", found.g_day, "g", ml(found.g_day));
    sheet.figure("water a week", found.g_week, "g", ml(found.g_week));
    if let Some(days) = days {
        sheet.figure(
            "trap full in",
            days,
            "d",
            say.any::<Time>(SECONDS_PER_DAY * days),
        );
    }
    for (i, s) in found.stretches.iter().enumerate() {
        let most = if found.most_at == Some(i) {
            ": most, put the trap here"
        } else {
            ""
        };
        let ice = if s.freezes { ", as ice" } else { "" };
        sheet.figure(
            format!("stretch {} at {}", i + 1, s.name),
            s.g_day,
            "g/d",
            format!("{} a day{ice}{most}", ml(s.g_day)),
        );
    }
    if found.frost {
        for caution in cautions::FROST {
            sheet.caution(caution.words);
        }
    }
    sheet.caution("Slope the line to the trap; water standing in a low spot holds the gas back.");
    sheet.taken("gas counted dry at 0 °C; wet when it leaves the slurry; a gram is a millilitre");
    sheet.source("GTZ1989");
    Ok(sheet)
}

/// Options of `buffer`.
#[derive(Debug, Args)]
pub struct BufferOptions {
    /// Slurry
    #[arg(long, allow_hyphen_values = true)]
    slurry: String,
    /// Its pH now
    #[arg(long, allow_negative_numbers = true)]
    ph: f64,
    /// The pH wanted
    #[arg(long, default_value_t = 7.0, allow_negative_numbers = true)]
    to: f64,
    /// Temperature of the slurry
    #[arg(long, default_value = "30 °C", allow_hyphen_values = true)]
    temperature: String,
    /// Carbon dioxide in its gas
    #[arg(long, default_value = "45 %", allow_hyphen_values = true)]
    co2: String,
    /// Volatile acids as acetic acid
    #[arg(long, default_value = "0 g/L", allow_hyphen_values = true)]
    acids: String,
    /// Ammonium, as nitrogen
    #[arg(long, default_value = "0 g/L", allow_hyphen_values = true)]
    ammonium: String,
    /// Bicarbonate alkalinity as CaCO3, if titrated
    #[arg(long, allow_hyphen_values = true)]
    alkalinity: Option<String>,
}

/// Answers `buffer`.
///
/// # Errors
/// [`Failure::Input`].
pub fn buffer(q: &BufferOptions, say: Say) -> Result<Sheet, Failure> {
    // kg/m3 is g/L.
    let mg_l = |option, text: &str| Ok::<_, Failure>(1000.0 * number::<MassDensity>(option, text)?);
    let co2_share = number::<Ratio>("--co2", &q.co2)?;
    let slurry = Slurry {
        volume_l: 1000.0 * number::<Volume>("--slurry", &q.slurry)?,
        t_c: celsius("--temperature", &q.temperature)?,
        ph: q.ph,
        co2_share,
        acids_mg_l: mg_l("--acids", &q.acids)?,
        ammonium_mg_l: mg_l("--ammonium", &q.ammonium)?,
        alkalinity_mg_l: maybe::<MassDensity>("--alkalinity", q.alkalinity.as_deref())?
            .map(|kg_m3| 1000.0 * kg_m3),
    };
    let found = plan(&slurry, q.to).map_err(refuse)?;
    let soda = found.doses.iter().find(|d| d.buffer == Buffer::Bicarbonate);
    let answer = soda.map_or(String::new(), |dose| {
        format!(
            "{} of baking soda in all; begin with {}.",
            mass_band(say, dose.mass_kg.scaled(1000.0)),
            say.any::<Mass>(dose.first_step_kg)
        )
    });
    let mut sheet = Sheet::new(
        "buffer",
        answer,
        "charge balance of the digestion model: cations missing at the wanted pH under the gas's carbon \
         dioxide",
    );
    for dose in &found.doses {
        let name = match dose.buffer {
            Buffer::Bicarbonate => "baking soda",
            Buffer::SlakedLime => "or slaked lime",
            Buffer::WoodAsh => "or wood ash",
        };
        let grams = dose.mass_kg.scaled(1000.0);
        let at_once = format_number(dose.ph_at_once, 2);
        let shown = format!("{}; pH {at_once} at once", mass_band(say, grams));
        sheet.band(name, dose.mass_kg, "kg", shown);
        // Half of what harms; food and urine bring the rest.
        if dose.sodium_mg_l > 1750.0 {
            sheet.caution(
                "That is much sodium: above 3.5 g/L in all it slows the digestion. Dilute, or reseed.",
            );
        }
        if dose.buffer == Buffer::SlakedLime {
            sheet.figure(
                "lime draws carbon dioxide",
                dose.co2_drawn_l,
                "L",
                say.gas(dose.co2_drawn_l.max(0.0) / 1000.0),
            );
            if dose.falls_out {
                sheet.caution("Above pH 6.8 part of the lime falls out as chalk and is lost.");
            }
        }
    }
    for (name, mg_l) in [
        ("alkalinity now", found.alkalinity_now_mg_l),
        ("alkalinity wanted", found.alkalinity_wanted_mg_l),
    ] {
        let shown = format!("{} mg CaCO3/L", format_number(mg_l, 3));
        sheet.figure(name, mg_l, "mg CaCO3/L", shown);
    }
    if (found.co2_share_in_balance / co2_share - 1.0).abs() > 0.5 {
        sheet.caution(format!(
            "pH, alkalinity and gas do not fit each other: they speak for {} carbon dioxide. Measure again.",
            say.share(found.co2_share_in_balance)
        ));
    }
    sheet.caution("Stop feeding first; buffer alone cures nothing.");
    for caution in cautions::BUFFER {
        sheet.caution(caution.words);
    }
    sheet.taken("pH read to 0.1; ash of 0.5, 1.5 or 3 equivalents a kilogram");
    for key in ["ROSEN06", "ETIEGNI1991", "MCCARTY64"] {
        sheet.source(key);
    }
    Ok(sheet)
}
