//! Reading what was typed, and saying figures in the reader's units.

use clap::Args;
use fenlamp_model::gas::properties::burning_velocity_m_s;
use fenlamp_model::gas::{GasError, Mixture};
use fenlamp_model::reference::source;
use fenlamp_model::warmth::moist_air::pressure_at_pa;
use fenlamp_quantity::{
    Context, Length, Pressure, Quantity, Ratio, ThermodynamicTemperature, Units, format_number,
    print, read,
};

use crate::failure::Failure;
use crate::page::wrap;

/// How the answer is wanted.
#[derive(Debug, Clone, Copy, Args)]
pub struct Wanted {
    /// The answer as JSON, figures metric
    #[arg(long, global = true)]
    pub json: bool,
    /// The answer in inches, cubic feet and degrees Fahrenheit
    #[arg(long, global = true)]
    pub us: bool,
}

/// Gas in the store.
#[derive(Debug, Args)]
pub struct GasOptions {
    /// Methane in the dry gas
    #[arg(long, default_value = "60 %", allow_hyphen_values = true)]
    pub methane: String,
    /// Hydrogen sulfide in the dry gas
    #[arg(long, default_value = "0 ppm", allow_hyphen_values = true)]
    pub h2s: String,
}

impl GasOptions {
    /// The dry gas; the rest is carbon dioxide.
    ///
    /// # Errors
    /// [`Failure::Input`].
    pub fn gas(&self) -> Result<Mixture, Failure> {
        let methane = number::<Ratio>("--methane", &self.methane)?;
        let h2s = number::<Ratio>("--h2s", &self.h2s)?;
        Mixture::biogas_with_h2s(methane, 1e6 * h2s).map_err(refuse)
    }
}

/// SI value of an option.
///
/// # Errors
/// [`Failure::Input`] with what to write.
pub fn number<Q: Quantity>(option: &str, text: &str) -> Result<f64, Failure> {
    read::<Q>(text, &Context::default())
        .map(Q::to_si)
        .map_err(|e| Failure::input(format!("{option}: {e}"), e.help()))
}

/// SI value of an option that may be missing.
///
/// # Errors
/// [`Failure::Input`] with what to write.
pub fn maybe<Q: Quantity>(option: &str, text: Option<&str>) -> Result<Option<f64>, Failure> {
    text.map(|text| number::<Q>(option, text)).transpose()
}

/// A temperature, degC.
///
/// # Errors
/// [`Failure::Input`].
pub fn celsius(option: &str, text: &str) -> Result<f64, Failure> {
    Ok(number::<ThermodynamicTemperature>(option, text)? - 273.15)
}

/// Pressure of the air, Pa, from a height above the sea.
///
/// # Errors
/// [`Failure::Input`].
pub fn air_pa(altitude: &str) -> Result<f64, Failure> {
    let metres = number::<Length>("--altitude", altitude)?;
    if (-430.0..=6000.0).contains(&metres) {
        return Ok(pressure_at_pa(metres));
    }
    Err(Failure::input(
        format!("--altitude: nobody digests at {altitude}"),
        "from -430 m to 6000 m",
    ))
}

/// A refusal of the core as a failure of what was typed.
pub fn refuse(error: GasError) -> Failure {
    let mut message = error.to_string();
    let help = match &error {
        GasError::Refused {
            what,
            reason,
            source_key,
        } => {
            message = format!("{what} is not worked out here");
            let citation = source(source_key).map_or("", |s| s.citation.as_str());
            // The caller indents the first line only.
            wrap(&format!("{reason} [{source_key}: {citation}]"), "  ", "  ")
                .trim()
                .to_owned()
        }
        GasError::JetTooWide { .. } => "the jet must be smaller than what it sits in".to_owned(),
        GasError::SharesDoNotSum { .. } => "leave one share out; it becomes the rest".to_owned(),
        _ => "change that figure; --help shows every option and how it is written".to_owned(),
    };
    Failure::input(message, help)
}

/// Speed at which the mixture may leave flame ports: the design figure, or the
/// burning velocity where that is slower.
///
/// # Errors
/// [`Failure::Input`] for gas whose flame is not known.
pub fn port_speed(gas: &Mixture) -> Result<f64, Failure> {
    let design = fenlamp_model::gas::burner::design_port_speed_m_s();
    Ok(burning_velocity_m_s(gas).map_err(refuse)?.min(design))
}

/// Says figures.
#[derive(Debug, Clone, Copy)]
pub struct Say(pub Units);

const M3_PER_CU_FT: f64 = 0.028_316_846_592;
const BTU_PER_KWH: f64 = 3412.142;

impl Say {
    /// In the units wanted.
    pub fn of(wanted: Wanted) -> Self {
        Self(if wanted.us { Units::Us } else { Units::Metric })
    }

    fn us(self) -> bool {
        self.0 == Units::Us
    }

    /// Any quantity.
    pub fn any<Q: Quantity>(self, si: f64) -> String {
        print(Q::from_si(si), self.0)
    }

    /// A gas flow.
    pub fn flow(self, m3_h: f64) -> String {
        if self.us() {
            format!("{} cu ft/h", format_number(m3_h / M3_PER_CU_FT, 3))
        } else if m3_h < 0.1 {
            format!("{} L/h", format_number(1000.0 * m3_h, 3))
        } else {
            format!("{} m3/h", format_number(m3_h, 3))
        }
    }

    /// An amount of gas or air.
    pub fn gas(self, m3: f64) -> String {
        if self.us() {
            format!("{} cu ft", format_number(m3 / M3_PER_CU_FT, 3))
        } else if m3 < 1.0 {
            format!("{} L", format_number(1000.0 * m3, 3))
        } else {
            format!("{} m3", format_number(m3, 3))
        }
    }

    /// A bore or a hole.
    pub fn small(self, mm: f64) -> String {
        if self.us() {
            format!("{} in", format_number(mm / 25.4, 3))
        } else {
            format!("{} mm", format_number(mm, 3))
        }
    }

    /// A gas pressure.
    pub fn pressure(self, pa: f64) -> String {
        if self.us() {
            self.any::<Pressure>(pa)
        } else {
            format!("{} mbar", format_number(pa / 100.0, 3))
        }
    }

    /// A power.
    pub fn power(self, kw: f64) -> String {
        if self.us() {
            format!("{} Btu/h", format_number(kw * BTU_PER_KWH, 3))
        } else {
            format!("{} kW", format_number(kw, 3))
        }
    }

    /// Heat of a volume of gas.
    pub fn heat(self, mj_m3: f64) -> String {
        if self.us() {
            let btu = mj_m3 / 3.6 * BTU_PER_KWH * M3_PER_CU_FT;
            format!("{} Btu/cu ft", format_number(btu, 3))
        } else {
            format!(
                "{} MJ/m3 ({} kWh/m3)",
                format_number(mj_m3, 4),
                format_number(mj_m3 / 3.6, 3)
            )
        }
    }

    /// A share, in percent.
    pub fn share(self, share: f64) -> String {
        format!("{} %", format_number(100.0 * share, 3))
    }
}
