//! Gas lines; water columns and weights.

use clap::{Args, ValueEnum};
use fenlamp_model::gas::GasError;
use fenlamp_model::gas::line::{Fitting, Line, Regime};
use fenlamp_model::gas::properties::{State, density_kg_m3, viscosity_pa_s};
use fenlamp_model::gas::relief::{Liquid, depth_cm, drum_area_m2, pressure_pa, weight_kg};
use fenlamp_model::reference::gas_value;
use fenlamp_quantity::{Length, Mass, Pressure, VolumeRate, format_number};

use super::ask::{GasOptions, Say, celsius, maybe, number, refuse};
use super::sheet::Sheet;
use crate::failure::Failure;

/// Options of `line`.
#[derive(Debug, Args)]
pub struct LineOptions {
    /// Gas through the line
    #[arg(long, allow_hyphen_values = true)]
    gas: String,
    /// Length of the line
    #[arg(long, allow_hyphen_values = true)]
    length: String,
    /// Inner bore; without it the least bore is worked out
    #[arg(long, allow_hyphen_values = true)]
    bore: Option<String>,
    /// Pressure the line may lose
    #[arg(long, default_value = "1 mbar", allow_hyphen_values = true)]
    allowed: String,
    /// Rise from the store to the burner; a fall with a minus
    #[arg(long, default_value = "0 m", allow_hyphen_values = true)]
    rise: String,
    /// Elbows
    #[arg(long, default_value_t = 0)]
    elbows: u16,
    /// Tees the gas turns in
    #[arg(long, default_value_t = 0)]
    tees: u16,
    /// Ball valves, open
    #[arg(long, default_value_t = 0)]
    valves: u16,
    /// Hose tails
    #[arg(long, default_value_t = 0)]
    hose_tails: u16,
    /// Galvanized pipe in place of smooth plastic
    #[arg(long)]
    galvanized: bool,
    /// Temperature of the gas
    #[arg(long, default_value = "20 °C", allow_hyphen_values = true)]
    temperature: String,
    #[command(flatten)]
    mix: GasOptions,
}

/// Answers `line`.
///
/// # Errors
/// [`Failure::Input`].
pub fn line(q: &LineOptions, say: Say) -> Result<Sheet, Failure> {
    let gas = q.mix.gas()?;
    let t_c = celsius("--temperature", &q.temperature)?;
    let state = State {
        t_c,
        ..State::NORMAL
    };
    let flow = 3600.0 * number::<VolumeRate>("--gas", &q.gas)?;
    let allowed = number::<Pressure>("--allowed", &q.allowed)?;
    let fittings = [
        (q.elbows, Fitting::Elbow),
        (q.tees, Fitting::TeeBranch),
        (q.valves, Fitting::BallValve),
        (q.hose_tails, Fitting::HoseTail),
    ];
    let bore = maybe::<Length>("--bore", q.bore.as_deref())?.map(|m| 1000.0 * m);
    let mut tube = Line {
        bore_mm: bore.unwrap_or(10.0),
        length_m: number::<Length>("--length", &q.length)?,
        roughness_m: gas_value(if q.galvanized {
            "rough_galvanized"
        } else {
            "rough_plastic"
        }),
        fittings: fittings
            .into_iter()
            .map(|(n, f)| f64::from(n) * f.loss_coefficient())
            .sum(),
        rise_m: number::<Length>("--rise", &q.rise)?,
        density_kg_m3: density_kg_m3(&gas, state).map_err(refuse)?,
        viscosity_pa_s: viscosity_pa_s(&gas, t_c).map_err(refuse)?,
        t_c,
    };
    let least = match tube.least_bore_mm(flow, allowed) {
        Ok(mm) => Some(mm),
        // With a bore given, one that suits is only a hint.
        Err(GasError::NoAnswer { .. }) if bore.is_some() => None,
        Err(e) => return Err(refuse(e)),
    };
    tube.bore_mm = bore.or(least).unwrap_or(tube.bore_mm);
    let loss = tube.loss(flow).map_err(refuse)?;
    let flows = match loss.regime {
        Regime::Laminar => "in layers (laminar)",
        Regime::Transition => "neither laminar nor turbulent; 25 % either way",
        Regime::Turbulent => "turbulent",
    };
    let answer = if bore.is_none() {
        format!("It needs a bore of {} at least.", say.small(tube.bore_mm))
    } else if loss.total_pa < 0.0 {
        format!(
            "The line gains {}: the gas's own lift is more than it loses.",
            say.pressure(-loss.total_pa)
        )
    } else if loss.total_pa <= allowed {
        format!("The line loses {}.", say.pressure(loss.total_pa))
    } else {
        let wider = least.map_or(String::new(), |mm| {
            format!(", or a bore of {} at least", say.small(mm))
        });
        format!(
            "The line loses {}, more than the {} allowed: it needs less gas{wider}.",
            say.pressure(loss.total_pa),
            say.pressure(allowed)
        )
    };
    let mut sheet = Sheet::new(
        "line",
        answer,
        "Darcy-Weisbach; f = 64/Re below Re 2300 (Hagen-Poiseuille), from there Serghides' form of \
         Colebrook's equation; fittings as K velocity heads (from memory)",
    );
    sheet.figure("lost", loss.total_pa, "Pa", say.pressure(loss.total_pa));
    sheet.figure(
        "  along the tube",
        loss.tube_pa,
        "Pa",
        say.pressure(loss.tube_pa),
    );
    sheet.figure(
        "  in fittings",
        loss.fittings_pa,
        "Pa",
        say.pressure(loss.fittings_pa),
    );
    sheet.figure(
        "  gained by lift",
        loss.lift_pa,
        "Pa",
        say.pressure(loss.lift_pa),
    );
    sheet.figure("bore", tube.bore_mm, "mm", say.small(tube.bore_mm));
    sheet.figure(
        "flow",
        loss.reynolds,
        "Re",
        format!("{flows}, Re {}", format_number(loss.reynolds, 3)),
    );
    if let Ok(most) = tube.most_flow_m3_h(allowed) {
        sheet.figure(
            format!("most gas for {}", say.pressure(allowed)),
            most,
            "m3/h",
            say.flow(most),
        );
    }
    sheet.caution(
        "Slope the line to a trap: water in a low spot blocks gas and relief alike. Prove every joint with soap, \
         never a flame.",
    );
    sheet.taken(if q.galvanized {
        "new galvanized pipe"
    } else {
        "smooth plastic tube"
    });
    sheet.taken(format!("dry gas of {} methane", q.mix.methane));
    for key in ["TEXTBOOK", "GTZ-DIGEST"] {
        sheet.source(key);
    }
    Ok(sheet)
}

/// What fills the relief.
#[derive(Debug, Clone, Copy, ValueEnum)]
enum Fill {
    Water,
    Salt10,
    Salt20,
    Glycol30,
    Glycol40,
}

impl Fill {
    fn liquid(self) -> Liquid {
        match self {
            Self::Water => Liquid::Water,
            Self::Salt10 => Liquid::Salt10,
            Self::Salt20 => Liquid::Salt20,
            Self::Glycol30 => Liquid::Glycol30,
            Self::Glycol40 => Liquid::Glycol40,
        }
    }
}

/// Options of `relief`.
#[derive(Debug, Args)]
pub struct Relief {
    /// Pressure at which gas shall be let go
    #[arg(
        long,
        allow_hyphen_values = true,
        required_unless_present = "depth",
        conflicts_with = "depth"
    )]
    pressure: Option<String>,
    /// Or the depth of the dip there is
    #[arg(long, allow_hyphen_values = true)]
    depth: Option<String>,
    /// What fills it
    #[arg(long, value_enum, default_value = "water")]
    liquid: Fill,
    /// Temperature of the liquid
    #[arg(long, default_value = "15 °C", allow_hyphen_values = true)]
    temperature: String,
    /// Diameter of a floating drum, for its weight
    #[arg(long, allow_hyphen_values = true)]
    drum: Option<String>,
}

/// Answers `relief`.
///
/// # Errors
/// [`Failure::Input`].
pub fn relief(q: &Relief, say: Say) -> Result<Sheet, Failure> {
    let liquid = q.liquid.liquid();
    let t_c = celsius("--temperature", &q.temperature)?;
    let given = maybe::<Length>("--depth", q.depth.as_deref())?.map(|m| 100.0 * m);
    let pa = match (
        maybe::<Pressure>("--pressure", q.pressure.as_deref())?,
        given,
    ) {
        (Some(pa), _) => pa,
        (None, Some(cm)) => pressure_pa(cm, liquid, t_c).map_err(refuse)?,
        (None, None) => return Err(Failure::input("give --pressure or --depth", "")),
    };
    let cm = depth_cm(pa, liquid, t_c).map_err(refuse)?;
    let answer = if given.is_some() {
        format!("It gives way at {}.", say.pressure(pa))
    } else {
        format!(
            "Dip the relief {} deep in {}.",
            say.any::<Length>(cm / 100.0),
            liquid.name()
        )
    };
    let mut sheet = Sheet::new("relief", answer, "pressure = density x g x depth");
    sheet.figure("pressure", pa, "Pa", say.pressure(pa));
    sheet.figure("depth", cm, "cm", say.any::<Length>(cm / 100.0));
    let freezes = liquid.freezes_c();
    sheet.figure(
        "freezes at",
        freezes,
        "degC",
        say.any::<fenlamp_quantity::ThermodynamicTemperature>(freezes + 273.15),
    );
    if let Some(drum) = maybe::<Length>("--drum", q.drum.as_deref())? {
        let kg = weight_kg(pa, drum_area_m2(drum).map_err(refuse)?).map_err(refuse)?;
        sheet.figure(
            "drum floats at it with",
            kg,
            "kg",
            format!("{}, net of the wetted wall's buoyancy", say.any::<Mass>(kg)),
        );
    }
    sheet.caution(
        "Every closed gas space needs a relief of its own that no valve can shut, vented high and away from \
         openings; look at its level weekly and after frost and heat.",
    );
    sheet.caution("The dip must let go the most gas the digester makes: give its tube the line's bore or more.");
    for key in ["GTZ1989", "COOLPROP800"] {
        sheet.source(key);
    }
    Ok(sheet)
}
