//! Jets, throats, ports; gaps against flash-back.

use clap::Args;
use fenlamp_model::gas::burner::{
    metric_drill, number_drill, port_area_mm2, ports, primary_air, throat_mm,
};
use fenlamp_model::gas::jet::{Supply, diameter_mm, fits, flow_m3_h, jet_coefficient};
use fenlamp_model::gas::quench::{FlashBack, Gap, flash_back, widest_mm};
use fenlamp_model::reference::gas_value;
use fenlamp_quantity::{Length, Pressure, Ratio, Units, VolumeRate, format_number};

use super::ask::{GasOptions, Say, air_pa, celsius, maybe, number, port_speed, refuse};
use super::sheet::Sheet;
use crate::failure::Failure;

/// Options of `jet`.
#[derive(Debug, Args)]
pub struct Jet {
    /// Gas the burner shall have, as it comes from the store
    #[arg(
        long,
        allow_hyphen_values = true,
        required_unless_present = "diameter",
        conflicts_with = "diameter"
    )]
    gas: Option<String>,
    /// Or the jet there is
    #[arg(long, allow_hyphen_values = true)]
    diameter: Option<String>,
    /// Pressure before the jet, above the air's
    #[arg(long, allow_hyphen_values = true)]
    pressure: String,
    /// Bore of the tube or holder the jet sits in
    #[arg(long, allow_hyphen_values = true)]
    tube: Option<String>,
    /// Share of the air drawn in before the flame
    #[arg(long, default_value = "50 %", allow_hyphen_values = true)]
    primary: String,
    /// Temperature of the gas
    #[arg(long, default_value = "20 °C", allow_hyphen_values = true)]
    temperature: String,
    /// Height above the sea
    #[arg(long, default_value = "0 m", allow_hyphen_values = true)]
    altitude: String,
    #[command(flatten)]
    mix: GasOptions,
}

/// Answers `jet`.
///
/// # Errors
/// [`Failure::Input`].
pub fn jet(q: &Jet, say: Say) -> Result<Sheet, Failure> {
    let gas = q.mix.gas()?;
    let pressure_pa = number::<Pressure>("--pressure", &q.pressure)?;
    let supply = Supply {
        gas,
        pressure_pa,
        t_c: celsius("--temperature", &q.temperature)?,
        air_pa: air_pa(&q.altitude)?,
        wet: true,
    }
    .checked()
    .map_err(refuse)?;
    let rho = supply.density_kg_m3().map_err(refuse)?;
    let cd = jet_coefficient();
    let primary = number::<Ratio>("--primary", &q.primary)?;
    let air = primary_air(&gas, primary).map_err(refuse)?;
    let wanted = maybe::<VolumeRate>("--gas", q.gas.as_deref())?.map(|m3_s| 3600.0 * m3_s);
    let given = maybe::<Length>("--diameter", q.diameter.as_deref())?.map(|m| 1000.0 * m);
    let exact = match (wanted, given) {
        (Some(flow), _) => diameter_mm(flow, pressure_pa, rho, cd).map_err(refuse)?,
        (None, Some(mm)) => mm,
        (None, None) => return Err(Failure::input("give --gas or --diameter", "")),
    };
    let drill = if say.0 == Units::Us {
        number_drill(exact).map(|(number, mm)| (format!("number {number} drill"), mm))
    } else {
        metric_drill(exact).map(|mm| (format!("{} mm drill", format_number(mm, 3)), mm))
    };
    let bore = match (&drill, given) {
        (_, Some(mm)) => mm,
        (Some((_, mm)), None) => *mm,
        (None, None) => exact,
    };
    if let Some(tube) = maybe::<Length>("--tube", q.tube.as_deref())? {
        fits(bore, 1000.0 * tube).map_err(refuse)?;
    }
    let flow = flow_m3_h(bore, pressure_pa, rho, cd).map_err(refuse)?;
    let kw = supply.heat_kw(flow).map_err(refuse)?;
    let answer = match (&drill, given) {
        (_, Some(_)) => format!(
            "This jet passes {} of gas, {} of heat.",
            say.flow(flow),
            say.power(kw)
        ),
        (Some((name, _)), _) => format!(
            "Drill the jet {}; a {name} passes {}, {} of heat.",
            say.small(exact),
            say.flow(flow),
            say.power(kw)
        ),
        (None, _) => format!(
            "A jet of {}: finer than any drill; {} of heat.",
            say.small(exact),
            say.power(kw)
        ),
    };
    let mut sheet = Sheet::new(
        "jet",
        answer,
        "Q = Cd A sqrt(2 dp / density); throat dt = dj (r / sqrt(s) + 1) [FULFORD1996]; ports: mixture \
         flow over the burning velocity",
    );
    let throat = throat_mm(bore, &gas, air).map_err(refuse)?;
    let speed = port_speed(&gas)?;
    let area = port_area_mm2(flow, air, speed).map_err(refuse)?;
    sheet.figure("jet", bore, "mm", say.small(bore));
    if given.is_none() {
        sheet.figure("jet, undrilled", exact, "mm", say.small(exact));
    }
    sheet.figure("gas", flow, "m3/h", say.flow(flow));
    sheet.figure("heat, net", kw, "kW", say.power(kw));
    sheet.figure("throat", throat, "mm", say.small(throat));
    // Drills of a workshop; 3/32 and 7/64 in where inches are the measure.
    let drills = match say.0 {
        Units::Metric => [("2.5 mm", 2.5), ("3 mm", 3.0)],
        Units::Us => [
            ("3/32 in", 25.4 * 3.0 / 32.0),
            ("7/64 in", 25.4 * 7.0 / 64.0),
        ],
    };
    for (name, mm) in drills {
        let p = ports(area, mm).map_err(refuse)?;
        let shown = format!("{} holes", p.holes);
        sheet.figure(
            format!("flame ports of {name}"),
            f64::from(p.holes),
            "holes",
            shown,
        );
    }
    let (low, high) = (gas_value("p_stove_lo"), gas_value("p_stove_hi"));
    if pressure_pa < low || pressure_pa > high {
        sheet.caution(format!(
            "Stoves are meant for {} to {}.",
            say.pressure(low),
            say.pressure(high)
        ));
    }
    sheet.caution(
        "Start small and open out: a jet too wide cannot be closed again. A burner of one's own making is \
         for the open air.",
    );
    sheet.taken(format!("gas wet, Cd {}", format_number(cd, 2)));
    sheet.taken(format!(
        "{} of the air drawn in before the flame",
        say.share(primary)
    ));
    sheet.taken(format!("port speed {} m/s", format_number(speed, 3)));
    for key in ["FULFORD1996", "CANTERA320"] {
        sheet.source(key);
    }
    Ok(sheet)
}

/// Options of `gap`.
#[derive(Debug, Args)]
#[group(required = true, multiple = false)]
pub struct GapOptions {
    /// Opening of a woven mesh
    #[arg(long, allow_hyphen_values = true)]
    mesh: Option<String>,
    /// Diameter of a hole
    #[arg(long, allow_hyphen_values = true)]
    hole: Option<String>,
    /// Width of a slit
    #[arg(long, allow_hyphen_values = true)]
    slit: Option<String>,
}

/// Answers `gap`.
///
/// # Errors
/// [`Failure::Input`].
pub fn gap(q: &GapOptions, say: Say) -> Result<Sheet, Failure> {
    let (kind, name, text) = match (&q.mesh, &q.hole, &q.slit) {
        (Some(text), _, _) => (Gap::Mesh, "--mesh", text),
        (_, Some(text), _) => (Gap::Hole, "--hole", text),
        (_, _, Some(text)) => (Gap::Slit, "--slit", text),
        _ => return Err(Failure::input("give --mesh, --hole or --slit", "")),
    };
    let mm = 1000.0 * number::<Length>(name, text)?;
    let answer = match flash_back(kind, mm).map_err(refuse)? {
        FlashBack::Holds => {
            "A still methane flame does not pass. That makes it no tested flame arrester."
        }
        FlashBack::MaySlow => "It may slow a flame. Do not count on it.",
        FlashBack::Passes => "A flame passes.",
    };
    let mut sheet = Sheet::new(
        "gap",
        answer.to_owned(),
        "quenching diameter and distance, maximum experimental safe gap of methane",
    );
    let widest = widest_mm(kind);
    sheet.figure("opening", mm, "mm", say.small(mm));
    sheet.figure("must be under", widest, "mm", say.small(widest));
    sheet.caution(
        "Home-made mesh slows a flame but clogs, and lets a hot or fast flame through; put a water seal or \
         a tested arrester between store and burner.",
    );
    for key in ["LEWIS1987", "IEC60079-20-1", "AHMADU2021"] {
        sheet.source(key);
    }
    Ok(sheet)
}
