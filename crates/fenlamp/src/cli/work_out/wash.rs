//! Wash jars and iron packings.

use clap::{Args, ValueEnum};
use fenlamp_model::band::Band;
use fenlamp_model::gas::wash::ash_bed::ash_bed;
use fenlamp_model::gas::wash::cautions;
use fenlamp_model::gas::wash::iron::{CONTACT_WANTED_S, Medium, Packing, packing};
use fenlamp_model::gas::wash::life::{Jar, RawGas, SpentRule};
use fenlamp_model::gas::wash::liquor::{Alkali, ash_lye, in_jar, titrated};
use fenlamp_model::gas::wash::span::span;
use fenlamp_quantity::{Length, Mass, Ratio, Time, Volume, VolumeRate, format_number};

use super::ask::{Say, air_pa, celsius, maybe, number, refuse};
use super::sheet::Sheet;
use crate::failure::Failure;

const SECONDS_PER_DAY: f64 = 86_400.0;

/// What the lye is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Lye {
    /// Wood ash, of any strength
    Ash,
    /// Potassium carbonate
    Potash,
    /// Potassium hydroxide
    CausticPotash,
    /// Sodium hydroxide
    CausticSoda,
    /// Sodium carbonate without its water
    WashingSoda,
    /// Calcium hydroxide
    SlakedLime,
}

impl Lye {
    fn alkali(self) -> Option<Alkali> {
        match self {
            Lye::Ash => None,
            Lye::Potash => Some(Alkali::PotassiumCarbonate),
            Lye::CausticPotash => Some(Alkali::PotassiumHydroxide),
            Lye::CausticSoda => Some(Alkali::SodiumHydroxide),
            Lye::WashingSoda => Some(Alkali::SodiumCarbonate),
            Lye::SlakedLime => Some(Alkali::SlakedLime),
        }
    }
}

/// Options of `wash`.
#[derive(Debug, Args)]
pub struct WashOptions {
    /// What the lye is made of
    #[arg(long, value_enum, default_value = "ash")]
    lye: Lye,
    /// How much of it in each jar
    #[arg(
        long,
        allow_hyphen_values = true,
        required_unless_present = "titrated",
        conflicts_with = "titrated"
    )]
    mass: Option<String>,
    /// Or the strength of the lye by titration, equivalents a litre
    #[arg(long, allow_negative_numbers = true)]
    titrated: Option<f64>,
    /// Water in each jar
    #[arg(long, allow_hyphen_values = true)]
    water: String,
    /// Jars one behind the other
    #[arg(long, default_value_t = 1)]
    jars: u8,
    /// How deep the gas enters under the surface
    #[arg(long, default_value = "15 cm", allow_hyphen_values = true)]
    depth: String,
    /// Temperature of the jars
    #[arg(long, default_value = "20 °C", allow_hyphen_values = true)]
    temperature: String,
    /// Carbon dioxide in the dry gas
    #[arg(long, default_value = "40 %", allow_hyphen_values = true)]
    co2: String,
    /// Hydrogen sulfide in the dry gas
    #[arg(long, default_value = "2000 ppm", allow_hyphen_values = true)]
    h2s: String,
    /// Hydrogen sulfide that may come through
    #[arg(long, default_value = "100 ppm", allow_hyphen_values = true)]
    limit: String,
    /// Gas a day, for the days a filling lasts
    #[arg(long, allow_hyphen_values = true)]
    gas: Option<String>,
    /// Height above the sea
    #[arg(long, default_value = "0 m", allow_hyphen_values = true)]
    altitude: String,
}

/// Answers `wash`.
///
/// # Errors
/// [`Failure::Input`].
pub fn wash(q: &WashOptions, say: Say) -> Result<Sheet, Failure> {
    // A litre of water is a kilogram within 0.3 %.
    let water_kg = 1000.0 * number::<Volume>("--water", &q.water)?;
    let mass_kg = maybe::<Mass>("--mass", q.mass.as_deref())?;
    let t_c = celsius("--temperature", &q.temperature)?;
    let liquors = match (mass_kg, q.titrated, q.lye.alkali()) {
        (_, Some(eq_l), _) => [titrated(eq_l).map_err(refuse)?; 3],
        (Some(kg), None, None) => ash_lye(kg, water_kg).map_err(refuse)?,
        (Some(kg), None, Some(alkali)) => {
            in_jar(alkali, 1000.0 * kg, water_kg, t_c).map_err(refuse)?
        }
        (None, None, _) => return Err(Failure::input("give --mass or --titrated", "")),
    };
    let depth_m = number::<Length>("--depth", &q.depth)?;
    let rows = liquors.map(|liquor| {
        let jar = Jar {
            water_kg,
            liquor,
            depth_m,
            t_c,
        };
        vec![jar; usize::from(q.jars)]
    });
    let co2 = number::<Ratio>("--co2", &q.co2)?;
    let h2s_ppm = 1e6 * number::<Ratio>("--h2s", &q.h2s)?;
    let gas = RawGas::new(co2, h2s_ppm).map_err(refuse)?;
    let rule = SpentRule {
        h2s_ppm: 1e6 * number::<Ratio>("--limit", &q.limit)?,
        ..SpentRule::default()
    };
    let daily_l = maybe::<VolumeRate>("--gas", q.gas.as_deref())?
        .map(|m3_s| 1000.0 * SECONDS_PER_DAY * m3_s)
        .filter(|l| *l > 0.0);
    let found = span(&rows, gas, air_pa(&q.altitude)?, rule).map_err(refuse)?;

    let litres = |band: Band| gas_band(say, band.scaled(0.001));
    let spent = found.until_spent_l;
    let answer = match spent {
        Some(band) => format!(
            "Spent after {} of gas. Carbon dioxide spends it; from then on it is a bubble counter.",
            litres(band)
        ),
        None => "It takes up no more than water does.".to_owned(),
    };
    let mut sheet = Sheet::new(
        "wash",
        answer,
        "charge balance of carbonate, sulfide and hydroxide with activities, gas stepped through litre by \
         litre; spent at pH 8.5",
    );
    if let Some(l) = spent {
        sheet.band("gas until spent", l, "L", litres(l));
        if let Some(daily_l) = daily_l {
            let days = l.scaled(1.0 / daily_l);
            sheet.band("a filling lasts", days, "d", days_band(say, days));
        }
    }
    if let Some(l) = found.until_h2s_l {
        let name = format!("until over {} ppm", format_number(rule.h2s_ppm, 3));
        sheet.band(name, l, "L", litres(l));
    }
    let ppm = |b: Band| format!("{} ppm", low_high(b));
    let (fresh, peak) = (found.h2s_fresh_ppm, found.peak_h2s_ppm);
    sheet.band("sulfide left at first", fresh, "ppm", ppm(fresh));
    sheet.band("most that comes out", peak, "ppm", ppm(peak));
    let ph = found.fresh_ph;
    sheet.band("pH when fresh", ph, "pH", low_high(ph));
    sheet.figure(
        "holds the gas back",
        found.back_pressure_pa,
        "Pa",
        say.pressure(found.back_pressure_pa),
    );
    if peak.mid > 1.1 * h2s_ppm {
        sheet.caution(
            "A nearly spent jar gives back sulfide that carbon dioxide pushes out: more than goes in.",
        );
    }
    if fresh.mid > rule.h2s_ppm {
        sheet.caution(
            "Bubbles of a plain tube are too big to keep the limit even when fresh: size iron for the sulfide.",
        );
    }
    for caution in found.cautions {
        sheet.caution(caution.words);
    }
    sheet.taken("low, middle, high by bubble contact (judgement)");
    if q.lye == Lye::Ash && q.titrated.is_none() {
        sheet.taken("ash of 0.5, 1.5 or 3 equivalents a kilogram (low trust: titrate it)");
    }
    if q.lye == Lye::SlakedLime && q.titrated.is_none() {
        sheet.taken(
            "of the lime at least what dissolves at once, at most all of it (middle by judgement)",
        );
    }
    sheet.taken("gas counted dry at 0 °C");
    for key in ["PHREEQC", "ETIEGNI1991", "KOHL1997"] {
        sheet.source(key);
    }
    Ok(sheet)
}

/// Options of `ash-bed`.
#[derive(Debug, Args)]
pub struct AshBedOptions {
    /// Ash in the bed, weighed dry
    #[arg(long, allow_hyphen_values = true)]
    mass: String,
    /// Carbon dioxide in the dry gas
    #[arg(long, default_value = "40 %", allow_hyphen_values = true)]
    co2: String,
    /// Gas a day, for the days a filling lasts
    #[arg(long, allow_hyphen_values = true)]
    gas: Option<String>,
}

/// Answers `ash-bed`.
///
/// # Errors
/// [`Failure::Input`].
pub fn bed_of_ash(q: &AshBedOptions, say: Say) -> Result<Sheet, Failure> {
    let ash_kg = number::<Mass>("--mass", &q.mass)?;
    let co2 = number::<Ratio>("--co2", &q.co2)?;
    let daily_l = maybe::<VolumeRate>("--gas", q.gas.as_deref())?
        .map(|m3_s| 1000.0 * SECONDS_PER_DAY * m3_s)
        .filter(|l| *l > 0.0);
    let found = ash_bed(ash_kg, co2).map_err(refuse)?;
    let spent = gas_band(say, found.until_spent_l.scaled(0.001));
    let mut sheet = Sheet::new(
        "ash-bed",
        format!("Carbon dioxide breaks through after {spent} of gas; then the bed is spent."),
        "carbon dioxide a kilogram of dry ash takes up, over what the gas brings",
    );
    sheet.band("gas until spent", found.until_spent_l, "L", spent);
    if let Some(daily_l) = daily_l {
        let days = found.until_spent_l.scaled(1.0 / daily_l);
        sheet.band("a filling lasts", days, "d", days_band(say, days));
    }
    let methane = found.methane_share.scaled(100.0);
    sheet.band("methane behind it", methane, "%", with_unit(methane, "%"));
    let grams = found.capacity_g;
    sheet.band("CO2 it takes up", grams, "g", mass_band(say, grams));
    for caution in cautions::ASH_BED {
        sheet.caution(caution.words);
    }
    sheet.taken("0.04 to 0.20 kg of CO2 a kilogram: the top is a laboratory's, the rest judgement");
    sheet.taken("gas counted dry at 0 °C; without its other gases, only methane and CO2");
    for key in ["ANDERSSON17", "WIKIASH"] {
        sheet.source(key);
    }
    Ok(sheet)
}

/// What a packing is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Of {
    Filings,
    SteelWool,
    BogIron,
    OxideMedium,
}

impl Of {
    fn medium(self) -> Medium {
        match self {
            Of::Filings => Medium::Filings,
            Of::SteelWool => Medium::SteelWool,
            Of::BogIron => Medium::BogIron,
            Of::OxideMedium => Medium::OxideMedium,
        }
    }
}

/// Options of `iron`.
#[derive(Debug, Args)]
pub struct IronOptions {
    /// What the packing is of
    #[arg(long, value_enum)]
    packing: Of,
    /// Its dry mass
    #[arg(long, allow_hyphen_values = true)]
    mass: String,
    /// Volume it fills
    #[arg(long, allow_hyphen_values = true)]
    bed: String,
    /// Gas a day
    #[arg(long, allow_hyphen_values = true)]
    gas: String,
    /// Gas while it flows; spread over the day without
    #[arg(long, allow_hyphen_values = true)]
    flow: Option<String>,
    /// Hydrogen sulfide in the gas that reaches it
    #[arg(long, default_value = "2000 ppm", allow_hyphen_values = true)]
    h2s: String,
    /// Moisture of the packing
    #[arg(long, allow_hyphen_values = true)]
    moisture: Option<String>,
    /// Times it is brought back with air
    #[arg(long, default_value_t = 0)]
    regenerations: u32,
}

/// Answers `iron`.
///
/// # Errors
/// [`Failure::Input`].
pub fn iron(q: &IronOptions, say: Say) -> Result<Sheet, Failure> {
    let p = Packing {
        medium: q.packing.medium(),
        mass_kg: number::<Mass>("--mass", &q.mass)?,
        bed_l: 1000.0 * number::<Volume>("--bed", &q.bed)?,
        moisture: maybe::<Ratio>("--moisture", q.moisture.as_deref())?,
        regenerations: q.regenerations,
    };
    let daily_l = 1000.0 * SECONDS_PER_DAY * number::<VolumeRate>("--gas", &q.gas)?;
    let flow = maybe::<VolumeRate>("--flow", q.flow.as_deref())?;
    let flow_l_h = flow.map_or(daily_l / 24.0, |m3_s| 3.6e6 * m3_s);
    let h2s_ppm = 1e6 * number::<Ratio>("--h2s", &q.h2s)?;
    let found = packing(&p, daily_l, h2s_ppm, flow_l_h).map_err(refuse)?;
    let percent = found.removal.scaled(100.0);
    let mut sheet = Sheet::new(
        "iron",
        format!(
            "Count on {} of the sulfide going, not all of it; if it caught everything it would last {}.",
            with_unit(percent, "%"),
            days_band(say, found.days_catching_all)
        ),
        "sulfur a day over what the packing holds; each regeneration loses a third",
    );
    sheet.band(
        "days if it catches all",
        found.days_catching_all,
        "d",
        days_band(say, found.days_catching_all),
    );
    sheet.band(
        "as small filters do",
        found.days_as_in_the_field,
        "d",
        days_band(say, found.days_as_in_the_field),
    );
    let after = found.h2s_after_ppm;
    sheet.band("sulfide behind it", after, "ppm", with_unit(after, "ppm"));
    let grams = found.capacity_g;
    sheet.band("sulfur it holds", grams, "g", mass_band(say, grams));
    sheet.figure(
        "sulfur a day",
        found.sulfur_g_day,
        "g",
        say.any::<Mass>(found.sulfur_g_day / 1000.0),
    );
    let contact = say.any::<Time>(found.contact_s);
    sheet.figure("time in the bed", found.contact_s, "s", contact);
    if !found.contact_enough {
        sheet.caution(format!(
            "Under {CONTACT_WANTED_S} s in the empty bed it catches less: a bigger bed or slower gas."
        ));
    }
    if found.moisture_right == Some(false) {
        sheet.caution(
            "An oxide packing wants 25 to 55 % moisture: too dry it rests, too wet it clogs.",
        );
    }
    for caution in cautions::IRON {
        sheet.caution(caution.words);
    }
    sheet.taken("gas counted dry at 0 °C; capacities wide, from rows and judgement");
    for key in ["GTZ1989", "UMD2018", "ENERGIES4793"] {
        sheet.source(key);
    }
    Ok(sheet)
}

/// "12 to 40".
pub fn low_high(b: Band) -> String {
    let (low, high) = (format_number(b.low, 3), format_number(b.high, 3));
    if low == high {
        low
    } else {
        format!("{low} to {high}, middle {}", format_number(b.mid, 3))
    }
}

fn with_unit(b: Band, unit: &str) -> String {
    let (low, high) = (format_number(b.low, 2), format_number(b.high, 2));
    if low == high {
        format!("{low} {unit}")
    } else {
        format!(
            "{low} to {high} {unit} (middle {})",
            format_number(b.mid, 2)
        )
    }
}

fn band_of(b: Band, shown: impl Fn(f64) -> String) -> String {
    let (low, mid, high) = (shown(b.low), shown(b.mid), shown(b.high));
    if low == high {
        low
    } else {
        format!("{low} to {high} (middle {mid})")
    }
}

fn gas_band(say: Say, m3: Band) -> String {
    band_of(m3, |m3| say.gas(m3))
}

fn days_band(say: Say, days: Band) -> String {
    band_of(days, |days| say.any::<Time>(SECONDS_PER_DAY * days))
}

/// A mass in g, with its band.
pub fn mass_band(say: Say, g: Band) -> String {
    band_of(g, |g| say.any::<Mass>(g / 1000.0))
}
