//! Invented vessels, heaps and weather for the tests.

use jiff::civil::{Date, date};
use uom::si::f64::{Length, Ratio, Volume};
use uom::si::length::{meter, millimeter};
use uom::si::ratio::ratio;
use uom::si::volume::cubic_meter;

use crate::feed::Feedstock;
use crate::plan::*;
use crate::reference::feedstock;
use crate::weather::{HourlyWeather, MonthlyNormals, Place, Soil, Weather, WeatherDraw, hourly};

pub(crate) const START: Date = date(2030, 9, 1);

/// A cool temperate place, invented: January -1, July 17 degC, breezy.
pub(crate) fn normals() -> Weather {
    Weather::Normals(MonthlyNormals {
        high_c: [
            2.0, 3.0, 7.0, 12.0, 17.0, 20.0, 22.0, 22.0, 18.0, 13.0, 7.0, 3.0,
        ],
        low_c: [
            -4.0, -4.0, -1.0, 2.0, 6.0, 9.0, 12.0, 11.0, 8.0, 5.0, 1.0, -2.0,
        ],
        sun_kwh_m2_day: [0.7, 1.4, 2.6, 4.0, 5.1, 5.6, 5.4, 4.5, 3.1, 1.7, 0.8, 0.5],
        wind_m_s: [4.0, 4.0, 4.0, 3.5, 3.0, 3.0, 3.0, 3.0, 3.0, 3.5, 4.0, 4.0],
    })
}

pub(crate) fn place() -> Place {
    Place {
        name: "Invented".into(),
        latitude_deg: 52.0,
        altitude: Length::new::<meter>(150.0),
        soil: Soil::Clay,
    }
}

pub(crate) fn year() -> HourlyWeather {
    hourly(&normals(), &place(), START, 365, &WeatherDraw::default())
}

pub(crate) fn drum() -> Vessel {
    Vessel {
        kind: VesselKind::Drum,
        volume: Volume::new::<cubic_meter>(0.22),
        liquid: Volume::new::<cubic_meter>(0.18),
        shape: Shape::StandingCylinder {
            diameter: Length::new::<meter>(0.57),
            height: Length::new::<meter>(0.88),
        },
        wall_material: "k_steel".into(),
        wall_thickness: Length::new::<millimeter>(1.2),
        absorptance: 0.7,
        siting: Siting::Outdoors,
        roof: Roof::None,
        top: Top::Lid,
        earth_bank: Ratio::new::<ratio>(0.0),
        fill_temperature: None,
        wind_exposure: 1.0,
        filler: Ratio::new::<ratio>(0.0),
        solids_retention_factor: None,
        stages: 1,
        mode: VesselMode::Overflow,
    }
}

pub(crate) fn tote() -> Vessel {
    Vessel {
        kind: VesselKind::Tote,
        volume: Volume::new::<cubic_meter>(1.0),
        liquid: Volume::new::<cubic_meter>(0.9),
        shape: Shape::Box {
            length: Length::new::<meter>(1.1),
            width: Length::new::<meter>(0.95),
            height: Length::new::<meter>(0.96),
        },
        wall_material: "k_hdpe".into(),
        wall_thickness: Length::new::<millimeter>(2.0),
        ..drum()
    }
}

/// Chips (share of dry matter) with manure.
pub(crate) fn chip_heap(volume_m3: f64, chips: f64) -> (Heap, Vec<Feedstock>) {
    let heap = Heap {
        volume: Volume::new::<cubic_meter>(volume_m3),
        density_kg_m3: 400.0,
        moisture: Ratio::new::<ratio>(0.55),
        parts: vec![
            (0, Ratio::new::<ratio>(chips)),
            (1, Ratio::new::<ratio>(1.0 - chips)),
        ],
        built: START,
        rebuilt_every_days: None,
        watered_every_days: Some(60),
        covers: Ratio::new::<ratio>(0.9),
        cover_r_m2k_w: 1.0,
        bed: Length::new::<meter>(0.0),
        temperature: None,
    };
    let stuff = |id: &str| feedstock(id).expect("a reference feedstock").clone();
    (
        heap,
        vec![stuff("wood_chips_hardwood"), stuff("horse_manure")],
    )
}
