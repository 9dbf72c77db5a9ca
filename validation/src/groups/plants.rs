//! Invented plants run through the whole heat balance for the checks.

use fenlamp_model::plan::{
    Faces, Heap, Heater, InsulationLayer, Roof, Shape, Siting, Top, Vessel, VesselKind, VesselMode,
};
use fenlamp_model::reference::feedstock;
use fenlamp_model::warmth::{WarmthDraw, WarmthInput, WarmthResult, slurry_temperatures};
use fenlamp_model::weather::{AirYear, HourlyWeather, WeatherDraw, hourly};
use fenlamp_model::weather::{MonthlyNormals, Place, Soil, Weather};
use jiff::civil::{Date, date};
use uom::si::f64::{Length, Power, Ratio, ThermodynamicTemperature, Volume};
use uom::si::length::meter;
use uom::si::power::watt;
use uom::si::ratio::ratio;
use uom::si::thermodynamic_temperature::degree_celsius;
use uom::si::volume::cubic_meter;

const START: Date = date(2030, 9, 1);

/// An invented cool place: January -1, July 17 degC.
fn normals() -> Weather {
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

fn place() -> Place {
    Place {
        name: "Invented".into(),
        latitude_deg: 52.0,
        altitude: Length::new::<meter>(150.0),
        soil: Soil::Clay,
    }
}

/// Air, ground and all at one temperature, without sun or wind.
fn still(air_c: f64, days: usize) -> HourlyWeather {
    HourlyWeather {
        air_c: vec![air_c; 24 * days],
        sun_w_m2: vec![0.0; 24 * days],
        wind_m_s: vec![0.0; 24 * days],
        air_year: AirYear {
            mean_c: air_c,
            amplitude_k: 0.0,
            coldest_day: 20.0,
        },
    }
}

pub(super) fn stands(liquid_m3: f64, siting: Siting) -> Vessel {
    let side = (liquid_m3 * 1.1).cbrt();
    Vessel {
        kind: VesselKind::Tank,
        volume: Volume::new::<cubic_meter>(liquid_m3 * 1.1),
        liquid: Volume::new::<cubic_meter>(liquid_m3),
        shape: Shape::Box {
            length: Length::new::<meter>(side),
            width: Length::new::<meter>(side),
            height: Length::new::<meter>(side),
        },
        wall_material: "k_hdpe".into(),
        wall_thickness: Length::new::<meter>(0.005),
        absorptance: 0.7,
        siting,
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

fn room(t_c: f64) -> Siting {
    Siting::Room(ThermodynamicTemperature::new::<degree_celsius>(t_c))
}

fn input<'a>(
    weather: &'a HourlyWeather,
    place: &'a Place,
    vessel: &'a Vessel,
    feed_kg: &'a [f64],
    feed_c: Option<&'a [f64]>,
) -> WarmthInput<'a> {
    WarmthInput {
        weather,
        place,
        vessel,
        insulation: &[],
        heap: None,
        heater: None,
        feed_kg_per_day: feed_kg,
        feed_c,
        start: START,
        draw: WarmthDraw::default(),
        feedstocks: &[],
    }
}

/// Mean heat that warming the daily feed takes from a large tank held at `to_c`, W.
pub(super) fn feed_heat_w(feed_kg: f64, from_c: f64, to_c: f64) -> f64 {
    let days = 20;
    let (weather, place) = (still(to_c, days), place());
    // So large that a feed does not move its temperature.
    let vessel = stands(100.0, room(to_c));
    let feed = vec![feed_kg; days];
    // The fill comes at the first day's feed temperature: the tank starts warm.
    let mut temperature = vec![from_c; days];
    temperature[0] = to_c;
    let heater = Heater {
        power: Power::new::<watt>(1e6),
        up_to: ThermodynamicTemperature::new::<degree_celsius>(to_c),
    };
    let run = slurry_temperatures(&WarmthInput {
        heater: Some(&heater),
        ..input(&weather, &place, &vessel, &feed, Some(&temperature))
    });
    run.map_or(f64::NAN, |r| {
        r.feed_w_daily[1..].iter().sum::<f64>() / (days - 1) as f64
    })
}

/// A tank of `liquid_m3` in 100 mm polystyrene cooling from 35 degC in a room at `room_c`:
/// its conductance on the second day (W/K) and its mean temperature of each day.
pub(super) fn cooling(liquid_m3: f64, room_c: f64, days: usize) -> (f64, Vec<f64>) {
    let (weather, place, vessel) = (
        still(room_c, days),
        place(),
        stands(liquid_m3, room(room_c)),
    );
    let insulation = [InsulationLayer {
        on: Faces::All,
        material: "k_eps".into(),
        thickness: Length::new::<meter>(0.1),
    }];
    let (none, warm) = (vec![0.0; days], vec![35.0; days]);
    let run = slurry_temperatures(&WarmthInput {
        insulation: &insulation,
        ..input(&weather, &place, &vessel, &none, Some(&warm))
    });
    run.map_or((f64::NAN, vec![f64::NAN; days]), |r| {
        (
            r.loss_w_daily[1] / (r.slurry_daily_c[1] - room_c),
            r.slurry_daily_c,
        )
    })
}

/// A year of a heap of chips (share of dry matter) and manure round a small tank.
pub(super) fn heap_year(volume_m3: f64, chips: f64) -> Option<WarmthResult> {
    let (place, vessel) = (place(), stands(0.2, Siting::Outdoors));
    let weather = hourly(&normals(), &place, START, 365, &WeatherDraw::default());
    let feedstocks = [
        feedstock("wood_chips_hardwood")?.clone(),
        feedstock("cattle_manure_straw")?.clone(),
    ];
    let heap = Heap {
        volume: Volume::new::<cubic_meter>(volume_m3),
        density_kg_m3: DENSITY_KG_M3,
        moisture: Ratio::new::<ratio>(MOISTURE),
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
    let none = vec![0.0; 365];
    slurry_temperatures(&WarmthInput {
        heap: Some(&heap),
        feedstocks: &feedstocks,
        ..input(&weather, &place, &vessel, &none, None)
    })
    .ok()
}

const DENSITY_KG_M3: f64 = 400.0;
const MOISTURE: f64 = 0.55;

/// Mean heat made over the first `days`, W per kg of dry matter as built.
pub(super) fn mean_heat_w_kg(year: &WarmthResult, volume_m3: f64, days: usize) -> f64 {
    let heat = year.heap_heat_w.as_deref().unwrap_or_default();
    let sum: f64 = heat.iter().take(days).sum();
    sum / days as f64 / (volume_m3 * DENSITY_KG_M3 * (1.0 - MOISTURE))
}

/// Second year, from May, of a round store of 190 m3 with its rim at the ground, at Ottawa by its
/// monthly normals (from memory; mean 6.6 degC): per day the slurry, degC, and the evaporation, mm.
pub(super) fn store_year(top: Top) -> Option<[Vec<f64>; 2]> {
    let weather = Weather::Normals(MonthlyNormals {
        high_c: [
            -5.8, -3.1, 2.4, 11.4, 19.0, 24.1, 26.6, 25.4, 20.5, 12.8, 5.5, -2.0,
        ],
        low_c: [
            -14.4, -12.5, -6.8, 1.5, 8.0, 13.3, 15.7, 14.5, 9.7, 3.7, -1.6, -9.2,
        ],
        sun_kwh_m2_day: [1.6, 2.6, 3.9, 4.7, 5.5, 5.9, 5.9, 5.0, 3.8, 2.3, 1.4, 1.2],
        wind_m_s: [3.8, 3.8, 3.9, 3.9, 3.4, 3.1, 2.8, 2.7, 2.9, 3.3, 3.6, 3.6],
    });
    let place = Place {
        latitude_deg: 45.3,
        altitude: Length::new::<meter>(79.0),
        ..place()
    };
    let (diameter, height) = (9.0, 3.33);
    let vessel = Vessel {
        volume: Volume::new::<cubic_meter>(212.0),
        liquid: Volume::new::<cubic_meter>(190.0),
        shape: Shape::StandingCylinder {
            diameter: Length::new::<meter>(diameter),
            height: Length::new::<meter>(height),
        },
        wall_material: "k_concrete".into(),
        wall_thickness: Length::new::<meter>(0.2),
        wind_exposure: 0.6,
        top,
        ..stands(
            190.0,
            Siting::InGround {
                depth: Length::new::<meter>(0.5 * height),
            },
        )
    };
    let days = 730;
    let start = date(2030, 5, 1);
    let weather = hourly(
        &weather,
        &place,
        start,
        days as u32,
        &WeatherDraw::default(),
    );
    let none = vec![0.0; days];
    let run = slurry_temperatures(&WarmthInput {
        start,
        ..input(&weather, &place, &vessel, &none, None)
    })
    .ok()?;
    let area = std::f64::consts::FRAC_PI_4 * diameter * diameter;
    let second = |values: &[f64]| values[365..].to_vec();
    Some([
        second(&run.slurry_daily_c),
        second(&run.evaporated_kg_daily)
            .iter()
            .map(|kg| kg / area)
            .collect(),
    ])
}

/// Weather of a place by its months, and the month in which a run begins.
pub(super) struct Climate {
    pub(super) latitude_deg: f64,
    pub(super) month: i8,
    /// Mean highest and lowest of the day, degC, January first.
    pub(super) high_c: [f64; 12],
    pub(super) low_c: [f64; 12],
    /// Sun on the level, kWh/(m2 d).
    pub(super) sun: [f64; 12],
}

/// Place, latitude, first month, what it holds, January first, source, note.
type ClimateRow = (String, f64, i8, String, [f64; 12], String, String);

impl Climate {
    /// One temperature, without sun.
    pub(super) fn still(air_c: f64) -> Self {
        Climate {
            latitude_deg: 52.0,
            month: 5,
            high_c: [air_c; 12],
            low_c: [air_c; 12],
            sun: [0.0; 12],
        }
    }

    /// By its name in `validation/figures/climates.csv`.
    pub(super) fn of(name: &str) -> Self {
        let mut table =
            csv::Reader::from_reader(include_str!("../../figures/climates.csv").as_bytes());
        let mut climate = Self::still(0.0);
        let mut found = 0;
        for row in table.deserialize::<ClimateRow>() {
            let (place, latitude_deg, month, what, months, _, _) = row.expect("a row of a climate");
            if place != name {
                continue;
            }
            (climate.latitude_deg, climate.month) = (latitude_deg, month);
            match what.as_str() {
                "high_c" => climate.high_c = months,
                "low_c" => climate.low_c = months,
                "sun" => climate.sun = months,
                _ => panic!("{name}: there is no {what} of a climate"),
            }
            found += 1;
        }
        assert_eq!(found, 3, "{name}: highs, lows and sun");
        climate
    }

    fn start(&self) -> Date {
        date(2030, self.month, 1)
    }

    fn place(&self) -> Place {
        Place {
            latitude_deg: self.latitude_deg,
            ..place()
        }
    }

    fn weather(&self, days: usize, draw: &WeatherDraw) -> HourlyWeather {
        let normals = Weather::Normals(MonthlyNormals {
            high_c: self.high_c,
            low_c: self.low_c,
            sun_kwh_m2_day: self.sun,
            // A sheltered yard; common practice, no source.
            wind_m_s: [3.0; 12],
        });
        hourly(&normals, &self.place(), self.start(), days as u32, draw)
    }
}

/// What a forecast draws of heat and weather.
fn warmth_draws() -> Vec<(WarmthDraw, WeatherDraw)> {
    let draws = crate::bench::draws(crate::bench::HEATED, crate::bench::MANY_DRAWS);
    draws.into_iter().map(|d| (d.warmth, d.weather)).collect()
}

/// A barn warmed by its cattle, degC. Judgement.
const WARM_BARN_C: f64 = 20.0;
/// Coldest slurry that still runs, degC. Judgement.
const COLD_SLURRY_C: f64 = 2.0;

/// Vessel and feed of a world, kg/d and where its temperature lies between the outside air of the
/// season (0) and a warm barn (1), `None` as a forecast takes it; the two places from 0 to 1 are
/// for what a text leaves open.
pub(super) type Left<'a> = &'a dyn Fn(f64, f64) -> (Vessel, f64, Option<f64>);

/// A vessel fed through the weather of each world.
pub(super) fn drawn(left: Left, climate: &Climate, days: usize) -> Vec<WarmthResult> {
    let place = climate.place();
    warmth_draws()
        .into_iter()
        .enumerate()
        .filter_map(|(k, (draw, weather))| {
            // Even spread over the square (Roberts' sequence).
            let place_of = |step: f64| (0.5 + step * k as f64).fract();
            let (vessel, feed_kg, barn) = left(place_of(0.754_877_666), place_of(0.569_840_291));
            let feed = vec![feed_kg; days];
            let weather = climate.weather(days, &weather);
            let warm = barn.map(|share| -> Vec<f64> {
                let first = f64::from(climate.start().day_of_year());
                (0..days)
                    .map(|day| {
                        let air_c = weather.air_year.at(first + day as f64);
                        (air_c + share * (WARM_BARN_C - air_c).max(0.0)).max(COLD_SLURRY_C)
                    })
                    .collect()
            });
            slurry_temperatures(&WarmthInput {
                start: climate.start(),
                draw,
                ..input(&weather, &place, &vessel, &feed, warm.as_deref())
            })
            .ok()
        })
        .collect()
}

/// A heap of materials (id and share of dry matter) round next to nothing.
pub(super) struct LoneHeap<'a> {
    pub(super) volume_m3: f64,
    pub(super) density_kg_m3: f64,
    pub(super) moisture: f64,
    pub(super) parts: &'a [(&'a str, f64)],
    /// Material as built, degC, where it is said.
    pub(super) built_c: Option<f64>,
    /// Resistance of bin or cover, m2 K/W.
    pub(super) wall_m2k_w: f64,
}

impl LoneHeap<'_> {
    /// Hottest part day by day in still air of one temperature.
    pub(super) fn in_still_air(&self, air_c: f64, days: usize) -> Option<Vec<f64>> {
        self.run(&still(air_c, days), START, days, WarmthDraw::default())?
            .heap_hottest_c
    }

    /// Through the weather of each world of a forecast.
    pub(super) fn drawn(&self, climate: &Climate, days: usize) -> Vec<WarmthResult> {
        warmth_draws()
            .into_iter()
            .filter_map(|(draw, weather)| {
                self.run(
                    &climate.weather(days, &weather),
                    climate.start(),
                    days,
                    draw,
                )
            })
            .collect()
    }

    /// The same from a day (counted from 1 September) of the invented cool place.
    pub(super) fn in_the_cool_place(&self, day: i64, days: usize) -> Option<Vec<f64>> {
        let start = START
            .checked_add(jiff::Span::new().days(day))
            .unwrap_or(START);
        let weather = hourly(
            &normals(),
            &place(),
            start,
            days as u32,
            &WeatherDraw::default(),
        );
        self.run(&weather, start, days, WarmthDraw::default())?
            .heap_hottest_c
    }

    fn run(
        &self,
        weather: &HourlyWeather,
        start: Date,
        days: usize,
        draw: WarmthDraw,
    ) -> Option<WarmthResult> {
        let (place, vessel) = (place(), stands(0.015, Siting::Outdoors));
        let feedstocks: Option<Vec<_>> = self
            .parts
            .iter()
            .map(|(id, _)| feedstock(id).cloned())
            .collect();
        let feedstocks = feedstocks?;
        let heap = Heap {
            volume: Volume::new::<cubic_meter>(self.volume_m3),
            density_kg_m3: self.density_kg_m3,
            moisture: Ratio::new::<ratio>(self.moisture),
            parts: self
                .parts
                .iter()
                .enumerate()
                .map(|(i, (_, share))| (i, Ratio::new::<ratio>(*share)))
                .collect(),
            built: start,
            rebuilt_every_days: None,
            watered_every_days: None,
            covers: Ratio::new::<ratio>(1.0),
            cover_r_m2k_w: self.wall_m2k_w,
            bed: Length::new::<meter>(0.0),
            temperature: self
                .built_c
                .map(ThermodynamicTemperature::new::<degree_celsius>),
        };
        let none = vec![0.0; days];
        slurry_temperatures(&WarmthInput {
            heap: Some(&heap),
            feedstocks: &feedstocks,
            start,
            draw,
            ..input(weather, &place, &vessel, &none, None)
        })
        .ok()
    }
}
