//! [place], [weather] and [slurry].

use super::{Files, MONTHS, Section, shorten};
use crate::plan::SlurryTemperature;
use crate::weather::{self, ImportError};
use crate::weather::{MonthlyNormals, Place, Soil, Weather};
use fenlamp_quantity::{HeatFluxDensity, Length, ThermodynamicTemperature, Velocity, latitude};
use uom::si::heat_flux_density::watt_per_square_meter;
use uom::si::length::meter;
use uom::si::thermodynamic_temperature::degree_celsius;
use uom::si::velocity::meter_per_second;

/// Air of a heated room, degC, for laboratory plans without weather. Judgement.
const ROOM_C: f64 = 20.0;

pub(super) fn place(root: &Section<'_>) -> Option<Place> {
    let Some(s) = root.section("place") else {
        if !root.has("place") {
            root.missing("place", "add [place] with name, latitude and altitude");
        }
        return None;
    };
    let name = s
        .text("name")
        .map(|t| t.value.to_owned())
        .unwrap_or_default();
    if !s.has("latitude") {
        s.missing("latitude", "write latitude = \"56.5 °N\"");
    }
    let north = s
        .quantity_by("latitude", "56.5 °N", |t, _| latitude(t))
        .map(|a| a.value);
    let altitude = s
        .quantity::<Length>("altitude", "-430 m", "5500 m")
        .unwrap_or_else(|| Length::new::<meter>(0.0));
    let soil = s.word(
        "soil",
        &[
            ("clay", Soil::Clay),
            ("loam", Soil::Clay),
            ("sand", Soil::Sand),
        ],
    );
    s.finish();
    Some(Place {
        name,
        latitude_deg: north?,
        altitude,
        soil: soil.unwrap_or(Soil::Clay),
    })
}

/// `held`: the slurry is kept at a temperature, so that weather may be left out.
pub(super) fn weather(root: &Section<'_>, files: &dyn Files, held: bool) -> Option<Weather> {
    let Some(s) = root.section("weather") else {
        if root.has("weather") {
            return None;
        }
        if held {
            return Some(Weather::Normals(MonthlyNormals {
                high_c: [ROOM_C; 12],
                low_c: [ROOM_C; 12],
                sun_kwh_m2_day: [0.0; 12],
                wind_m_s: [0.0; 12],
            }));
        }
        root.missing("weather", "add [weather] with high, low, sun and wind, twelve numbers each, or file = \"weather.csv\"");
        return None;
    };
    let file = s.has("file");
    let normals = ["high", "low", "sun", "wind"].iter().any(|k| s.has(k));
    if file && normals {
        s.fault(
            "file",
            "both a file and monthly normals are given",
            "keep one of them",
        );
        s.finish();
        return None;
    }
    let weather = if file {
        import(&s, files, |name, text| {
            let is_epw = name.to_lowercase().ends_with(".epw");
            let mut series = if is_epw {
                weather::import_epw(text)
            } else {
                weather::import_csv(text)
            }?;
            series.origin = name.to_owned();
            Ok(series)
        })
        .map(Weather::Series)
    } else {
        monthly(&s).map(Weather::Normals)
    };
    s.finish();
    weather
}

fn monthly(s: &Section<'_>) -> Option<MonthlyNormals> {
    let high = s.months::<ThermodynamicTemperature>("high", "-60 °C", "60 °C");
    let low = s.months::<ThermodynamicTemperature>("low", "-70 °C", "50 °C");
    let sun = s.months::<HeatFluxDensity>("sun", "0 kWh/m2/day", "12 kWh/m2/day");
    let wind = s.months::<Velocity>("wind", "0 m/s", "40 m/s");
    let high_c = high?.map(|t| t.get::<degree_celsius>());
    let low_c = low?.map(|t| t.get::<degree_celsius>());
    for ((high, low), month) in high_c.iter().zip(low_c).zip(MONTHS) {
        if low > *high {
            s.fault(
                "low",
                format!("in {month} the low is above the high"),
                "low is the mean of the nights, high of the days",
            );
        }
    }
    Some(MonthlyNormals {
        high_c,
        low_c,
        sun_kwh_m2_day: sun?.map(|x| x.get::<watt_per_square_meter>() * 24.0 / 1000.0),
        wind_m_s: wind?.map(|x| x.get::<meter_per_second>()),
    })
}

/// Reads the file a table names.
fn import<T>(
    s: &Section<'_>,
    files: &dyn Files,
    parse: impl Fn(&str, &str) -> Result<T, ImportError>,
) -> Option<T> {
    let name = s.text("file")?.value;
    let outside = name.starts_with(['/', '\\'])
        || name.contains(':')
        || name.split(['/', '\\']).any(|p| p == "..");
    if name.trim().is_empty() || outside {
        s.fault(
            "file",
            format!("\"{}\" is not a file beside the plan", shorten(name)),
            "put the file into the plan's folder and write its name",
        );
        return None;
    }
    let bytes = match files.get(name) {
        Ok(b) => b,
        Err(why) => {
            s.fault(
                "file",
                format!("\"{name}\" cannot be read: {why}"),
                "put the file into the plan's folder and write its name",
            );
            return None;
        }
    };
    let text = match std::str::from_utf8(&bytes) {
        Ok(t) => t,
        Err(e) => {
            s.fault(
                "file",
                format!(
                    "\"{name}\" is not UTF-8 text from byte {} on",
                    e.valid_up_to() + 1
                ),
                "save it as plain text in UTF-8",
            );
            return None;
        }
    };
    match parse(name, text) {
        Ok(x) => Some(x),
        Err(ImportError { line, message }) => {
            s.fault(
                "file",
                format!("{name}, line {line}: {message}"),
                "mend the file, or give monthly figures instead",
            );
            None
        }
    }
}

pub(super) fn slurry_temperature(
    root: &Section<'_>,
    files: &dyn Files,
) -> Option<SlurryTemperature> {
    let Some(s) = root.section("slurry") else {
        return (!root.has("slurry")).then_some(SlurryTemperature::HeatBalance);
    };
    let found = match (s.has("temperature"), s.has("file")) {
        (true, true) => {
            s.fault(
                "file",
                "both a temperature and a file are given",
                "keep one of them",
            );
            None
        }
        (false, false) => {
            s.missing("temperature", "write temperature = \"35 °C\" or file = \"probe.csv\"; or leave out [slurry], and the heat balance decides");
            None
        }
        (true, false) => s
            .quantity("temperature", "0 °C", "65 °C")
            .map(SlurryTemperature::Fixed),
        (false, true) => import(&s, files, |name, text| {
            let daily_c = weather::import_daily_temperature(text)?;
            Ok(SlurryTemperature::Series {
                daily_c,
                origin: name.to_owned(),
            })
        }),
    };
    s.finish();
    found
}
