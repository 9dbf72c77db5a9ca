//! What a tape measure says of a gas store.

use clap::{Args, ValueEnum};
use fenlamp_model::gas::properties::dry_normal_factor;
use fenlamp_model::gas::store::{Load, Shape, Skin, skin::Material};
use fenlamp_model::gas::uses::of_methane;
use fenlamp_model::reference::gas_value;
use fenlamp_quantity::{Length, Mass, format_number};

use super::ask::{Say, maybe, number, refuse};
use super::sheet::Sheet;
use crate::failure::Failure;

/// Forms of a store.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Form {
    /// Inner tubes of tyres
    Tubes,
    /// A bag
    Bag,
    /// A drum upside down in water
    Drum,
}

/// What it is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Of {
    /// Butyl, as in inner tubes
    Butyl,
    /// Natural rubber
    NaturalRubber,
    /// Neoprene
    Neoprene,
    /// Pond liner
    Epdm,
    /// Greenhouse sheet
    PeFilm,
    /// Hard polyethylene
    Hdpe,
    /// Soft PVC, as in tarpaulin
    Pvc,
    /// Steel
    Steel,
}

impl Of {
    fn material(self) -> Material {
        match self {
            Of::Butyl => Material::Butyl,
            Of::NaturalRubber => Material::NaturalRubber,
            Of::Neoprene => Material::Neoprene,
            Of::Epdm => Material::Epdm,
            Of::PeFilm => Material::PeFilm,
            Of::Hdpe => Material::Hdpe,
            Of::Pvc => Material::Pvc,
            Of::Steel => Material::Tight,
        }
    }
}

/// Options of `store`.
#[derive(Debug, Args)]
pub struct StoreOptions {
    /// What it is
    #[arg(long, value_enum)]
    form: Form,
    /// Tubes: how many
    #[arg(long, default_value_t = 1)]
    count: u32,
    /// Tubes: across the ring, from the middle of the tube to the middle of the tube
    #[arg(long, allow_hyphen_values = true)]
    ring: Option<String>,
    /// Tubes and bags: around it when taut (a bag: twice its flat width)
    #[arg(long, allow_hyphen_values = true)]
    girth: Option<String>,
    /// Bags: length when flat
    #[arg(long, allow_hyphen_values = true)]
    length: Option<String>,
    /// Drums: across
    #[arg(long, allow_hyphen_values = true)]
    diameter: Option<String>,
    /// Drums: how far it rises
    #[arg(long, allow_hyphen_values = true)]
    travel: Option<String>,
    /// Weight on it; of a drum its own, less what the water carries
    #[arg(long, allow_hyphen_values = true)]
    weight: Option<String>,
    /// Material; the usual one of its form unless given
    #[arg(long, value_enum)]
    material: Option<Of>,
    /// Thickness of the skin; the usual one of its material unless given
    #[arg(long, allow_hyphen_values = true)]
    thickness: Option<String>,
}

/// Longest side believed, m: a household store.
const LONGEST_M: f64 = 50.0;

impl StoreOptions {
    fn side(&self, option: &str, given: Option<&str>) -> Result<f64, Failure> {
        let Some(text) = given else {
            return Err(Failure::input(
                format!("{option} is missing"),
                match self.form {
                    Form::Tubes => "tubes need --ring and --girth",
                    Form::Bag => "a bag needs --length and --girth",
                    Form::Drum => "a drum needs --diameter and --travel",
                },
            ));
        };
        let metres = number::<Length>(option, text)?;
        if metres > 0.0 && metres <= LONGEST_M {
            return Ok(metres);
        }
        Err(Failure::input(
            format!("{option}: \"{text}\" is no side of a household store"),
            "above 0, at most 50 m",
        ))
    }

    fn shape(&self) -> Result<Shape, Failure> {
        Ok(match self.form {
            Form::Tubes => {
                if self.count == 0 || self.count > 1000 {
                    return Err(Failure::input(
                        format!("--count: {} tubes", self.count),
                        "from 1 to 1000",
                    ));
                }
                let ring_m = self.side("--ring", self.ring.as_deref())?;
                let girth_m = self.side("--girth", self.girth.as_deref())?;
                if girth_m >= std::f64::consts::PI * ring_m {
                    return Err(Failure::input(
                        "--girth: the tube is thicker than its ring leaves room for",
                        "measure --girth around the tube, --ring across the wheel",
                    ));
                }
                Shape::Tubes {
                    count: f64::from(self.count),
                    ring_m,
                    girth_m,
                }
            }
            Form::Bag => Shape::Bag {
                length_m: self.side("--length", self.length.as_deref())?,
                girth_m: self.side("--girth", self.girth.as_deref())?,
            },
            Form::Drum => Shape::Drum {
                diameter_m: self.side("--diameter", self.diameter.as_deref())?,
                travel_m: self.side("--travel", self.travel.as_deref())?,
            },
        })
    }

    fn skin(&self) -> Result<Skin, Failure> {
        let usual = match self.form {
            Form::Tubes => Of::Butyl,
            Form::Bag => Of::PeFilm,
            Form::Drum => Of::Steel,
        };
        let material = self.material.unwrap_or(usual).material();
        let thickness_mm = match maybe::<Length>("--thickness", self.thickness.as_deref())? {
            Some(m) if m > 0.0 && m <= 0.05 => 1000.0 * m,
            Some(_) => {
                return Err(Failure::input(
                    "--thickness: no skin of a store",
                    "0 to 5 cm",
                ));
            }
            None => material.usual_mm(),
        };
        Ok(Skin {
            material,
            thickness_mm,
        })
    }
}

/// Answers `store`.
///
/// # Errors
/// [`Failure::Input`].
pub fn store(q: &StoreOptions, say: Say) -> Result<Sheet, Failure> {
    let (shape, skin) = (q.shape()?, q.skin()?);
    let weight_kg = maybe::<Mass>("--weight", q.weight.as_deref())?.unwrap_or(0.0);
    let load = Load { weight_kg };
    let volume = shape.volume_m3();
    let middle_pa = load.pressure_pa(&shape, &skin, 0.5 * volume);
    // 60/40 gas, wet, at 20 degC.
    let dry = dry_normal_factor(20.0, 0.0, gas_value("p_normal")).map_err(refuse)?;
    let hours = of_methane(1000.0 * volume * 0.6 * dry).stove_hours;
    let mut sheet = Sheet::new(
        "store",
        format!(
            "It holds {} when taut: {} hours of one stove burner.",
            say.gas(volume),
            format_number(hours, 2)
        ),
        match q.form {
            Form::Tubes => "torus: volume = pi ring x girth^2 / (4 pi)",
            Form::Bag => "flat bag blown up: w^3 (h/(pi w) - 0.142 (1 - 10^(-h/w)))",
            Form::Drum => "cylinder: pi/4 d^2 x travel",
        },
    );
    sheet.figure("volume when taut", 1000.0 * volume, "L", say.gas(volume));
    sheet.figure(
        "pressure half full",
        middle_pa,
        "Pa",
        say.pressure(middle_pa),
    );
    let [methane, carbon_dioxide, _] = skin.conductance_l_h_atm(shape.skin_m2());
    let through = 24.0 * (0.6 * methane + 0.4 * carbon_dioxide);
    sheet.figure(
        "gas through the skin a day",
        through,
        "L",
        say.gas(through / 1000.0),
    );
    sheet.taken("gas of 60 % methane, wet, at 20 degC; the skin full of gas all day");
    sheet.taken("without a weight a soft store has next to no pressure until it is full");
    sheet.caution(
        "Seams, valves and clips leak far more than the skin: soap every one. Out of doors, \
         shaded, fenced, off the ground, far from any flame; a water relief of its own that \
         cannot be shut off; weights smooth and unable to roll. Never bottle or compress this gas.",
    );
    for key in ["PAULY1999", "GTZ-DIGEST", "TEXTBOOK"] {
        sheet.source(key);
    }
    Ok(sheet)
}
