//! Weather and ground against published and computed numbers, and the importers' faults.

use jiff::civil::{Date, date};
use uom::si::f64::Length;
use uom::si::length::meter;

use super::calendar::{MONTH_DAYS, MONTH_FIRST, MONTH_MID};
use super::ground::{AirYear, at_depth, fit_months, layer_mean};
use super::solar::{SunPath, declination_rad, extraterrestrial_j_m2_day};
use super::*;
use crate::weather::{MonthlyNormals, Soil, WeatherSeries};

mod importing;

/// Chicago's daily mean air and sun (worked example 6, TMY-CHI).
const CHICAGO_AIR: [f64; 12] = [
    -4.6, -2.2, 1.6, 8.4, 15.3, 21.1, 23.5, 21.8, 18.1, 11.7, 4.2, -2.6,
];
const CHICAGO_SUN_WH: [f64; 12] = [
    1764.0, 2594.0, 3550.0, 4801.0, 5976.0, 6294.0, 6377.0, 5161.0, 4193.0, 3037.0, 1829.0, 1403.0,
];
const CHICAGO_WIND: [f64; 12] = [4.9, 5.2, 5.4, 5.6, 3.8, 4.9, 3.5, 3.8, 3.4, 5.2, 4.6, 5.3];

fn place(latitude_deg: f64) -> Place {
    Place {
        name: "Invented".into(),
        latitude_deg,
        altitude: Length::new::<meter>(200.0),
        soil: Soil::Clay,
    }
}

fn chicago() -> MonthlyNormals {
    MonthlyNormals {
        high_c: CHICAGO_AIR.map(|t| t + 5.0),
        low_c: CHICAGO_AIR.map(|t| t - 5.0),
        sun_kwh_m2_day: CHICAGO_SUN_WH.map(|wh| wh / 1000.0),
        wind_m_s: CHICAGO_WIND,
    }
}

fn plain_year(weather: &Weather, latitude_deg: f64, draw: &WeatherDraw) -> HourlyWeather {
    hourly(weather, &place(latitude_deg), date(2031, 1, 1), 365, draw)
}

fn month_mean(values: &[f64], month: usize) -> f64 {
    let span = MONTH_FIRST[month] * 24..(MONTH_FIRST[month] + MONTH_DAYS[month]) * 24;
    values[span.clone()].iter().sum::<f64>() / span.len() as f64
}

/// Kusuda & Achenbach, worked example 5: all printed rows, and the two other soils.
#[test]
fn ground_at_depth() {
    let surface = AirYear {
        mean_c: 8.0,
        amplitude_k: 14.0,
        coldest_day: 35.0,
    };
    for (z, days) in [
        (0.0, [-5.18, 2.99, 21.05, 12.90]),
        (0.5, [-1.69, 1.83, 17.53, 14.09]),
        (1.0, [1.29, 1.49, 14.54, 14.45]),
        (1.5, [3.73, 1.73, 12.11, 14.24]),
        (2.0, [5.64, 2.32, 10.21, 13.66]),
        (3.0, [8.07, 3.97, 7.82, 12.03]),
        (5.0, [9.32, 6.87, 6.65, 9.15]),
    ] {
        for (t, wanted) in [15.0, 105.0, 196.0, 288.0].iter().zip(days) {
            let got = at_depth(surface, z, 0.05, *t);
            assert!(
                (got - wanted).abs() < 0.006,
                "z {z} day {t}: {got}, wanted {wanted}"
            );
        }
    }
    assert!((at_depth(surface, 2.0, 0.09, 46.0) - 1.141).abs() < 1e-3);
    assert!((at_depth(surface, 2.0, 0.035, 46.0) - 4.391).abs() < 1e-3);
}

/// Chicago's published layer means, worked examples 6 and 7: 0.5 K, April left out as there.
#[test]
fn ground_layer_means_of_chicago() {
    let surface = AirYear {
        mean_c: 9.6917,
        amplitude_k: 14.05,
        coldest_day: 36.0,
    };
    let table = [
        (
            0.5,
            [
                -1.9, -3.0, -1.0, 2.2, 10.4, 16.8, 21.1, 22.4, 20.2, 15.2, 8.6, 2.5,
            ],
        ),
        (
            2.0,
            [
                2.3, 0.3, 0.7, 2.4, 7.9, 12.9, 16.9, 19.0, 18.6, 15.8, 11.2, 6.4,
            ],
        ),
        (
            4.0,
            [
                5.8, 3.7, 3.2, 3.9, 7.0, 10.4, 13.5, 15.6, 16.1, 14.9, 12.2, 8.9,
            ],
        ),
    ];
    for (z, months) in table {
        for (month, wanted) in months.iter().enumerate().filter(|(month, _)| *month != 3) {
            let got = layer_mean(surface, z, 0.055_741_8, MONTH_MID[month]);
            assert!(
                (got - wanted).abs() < 0.5,
                "z {z} month {month}: {got}, wanted {wanted}"
            );
        }
    }
    // Example 7's own quadrature of example 5's formula.
    for (month, wanted) in [(0, -1.8), (3, 3.8), (6, 21.0), (9, 15.4)] {
        let got = layer_mean(surface, 0.5, 0.055_741_8, MONTH_MID[month]);
        assert!((got - wanted).abs() < 0.06, "month {month}: {got}");
    }
}

/// Harmonic fits of worked example 21 (computed with numpy there).
#[test]
fn harmonic_fits() {
    let mean = |high: [f64; 12], low: [f64; 12]| -> [f64; 12] {
        std::array::from_fn(|m| 0.5 * (high[m] + low[m]))
    };
    let of_f = |values: [f64; 12]| values.map(|f| (f - 32.0) / 1.8);
    let fairbanks = mean(
        of_f([
            1.0, 12.0, 25.0, 46.0, 62.0, 72.0, 73.0, 66.0, 55.0, 34.0, 12.0, 4.0,
        ]),
        of_f([
            -17.0, -11.0, -3.0, 22.0, 39.0, 50.0, 53.0, 48.0, 36.0, 18.0, -4.0, -13.0,
        ]),
    );
    let agassiz = mean(
        of_f([
            14.4, 21.2, 34.9, 53.2, 68.4, 76.0, 81.0, 79.1, 68.3, 56.3, 35.2, 19.4,
        ]),
        of_f([
            -8.3, -2.8, 11.7, 29.0, 41.8, 51.4, 55.9, 52.3, 42.6, 32.5, 16.9, -0.3,
        ]),
    );
    let denver = mean(
        of_f([
            43.2, 47.2, 53.7, 60.9, 70.5, 82.1, 88.0, 86.0, 77.4, 66.0, 51.5, 44.1,
        ]),
        of_f([
            15.2, 19.1, 25.4, 34.2, 43.8, 53.0, 58.7, 57.4, 47.3, 35.9, 23.5, 16.4,
        ]),
    );
    let seattle = mean(
        of_f([
            47.0, 51.0, 55.0, 59.0, 65.0, 70.0, 75.0, 75.0, 70.0, 60.0, 52.0, 47.0,
        ]),
        of_f([
            36.0, 37.0, 39.0, 43.0, 48.0, 53.0, 56.0, 57.0, 53.0, 46.0, 40.0, 36.0,
        ]),
    );
    for (months, tm, a, t0) in [
        (fairbanks, -1.95, 20.23, 8.2),
        (agassiz, 3.84, 17.76, 16.5),
        (denver, 10.07, 12.15, 17.3),
        (seattle, 11.65, 6.78, 19.5),
        (CHICAGO_AIR, 9.76, 13.93, 20.0),
    ] {
        let fit = fit_months(&months);
        assert!((fit.mean_c - tm).abs() < 0.02, "{fit:?}, wanted mean {tm}");
        assert!(
            (fit.amplitude_k - a).abs() < 0.02,
            "{fit:?}, wanted amplitude {a}"
        );
        assert!(
            (fit.coldest_day - t0).abs() < 0.2,
            "{fit:?}, wanted coldest {t0}"
        );
    }
}

/// Watts to hold 35 degC with 2 W/K, worked example 21: the monthly means behind the hourly
/// weather are the table's.
#[test]
fn watts_to_hold_35() {
    let normals = MonthlyNormals {
        high_c: [
            6.2, 8.4, 12.1, 16.1, 21.4, 27.8, 31.1, 30.0, 25.2, 18.9, 10.8, 6.7,
        ],
        low_c: [
            -9.3, -7.2, -3.7, 1.2, 6.6, 11.7, 14.8, 14.1, 8.5, 2.2, -4.7, -8.7,
        ],
        sun_kwh_m2_day: [3.0; 12],
        wind_m_s: [3.0; 12],
    };
    let year = plain_year(&Weather::Normals(normals), 39.7, &WeatherDraw::default());
    let watts = [
        73.0, 69.0, 62.0, 53.0, 42.0, 31.0, 24.0, 26.0, 36.0, 49.0, 64.0, 72.0,
    ];
    for (month, wanted) in watts.iter().enumerate() {
        let got = 2.0 * (35.0 - month_mean(&year.air_c, month));
        assert!(
            (got - wanted).abs() < 0.6,
            "month {month}: {got}, wanted {wanted}"
        );
    }
}

/// Monthly means of air, sun and wind survive the way to hours.
#[test]
fn normals_are_kept() {
    let year = plain_year(&Weather::Normals(chicago()), 41.98, &WeatherDraw::default());
    assert_eq!(year.air_c.len(), 8760);
    for month in 0..12 {
        assert!((month_mean(&year.air_c, month) - CHICAGO_AIR[month]).abs() < 1e-9);
        assert!((month_mean(&year.sun_w_m2, month) * 24.0 - CHICAGO_SUN_WH[month]).abs() < 1e-6);
        assert!((month_mean(&year.wind_m_s, month) - CHICAGO_WIND[month]).abs() < 1e-9);
    }
    // The day runs between low and high and midnight has no jump beyond the curve's own.
    let june: Vec<f64> = year.air_c[165 * 24..166 * 24].to_vec();
    let high = june.iter().copied().fold(f64::MIN, f64::max);
    let low = june.iter().copied().fold(f64::MAX, f64::min);
    assert!((high - low - 10.0).abs() < 1e-9);
    assert_eq!(june.iter().position(|t| *t == high), Some(14));
    let jump = year
        .air_c
        .windows(2)
        .map(|w| (w[1] - w[0]).abs())
        .fold(0.0, f64::max);
    assert!(jump < 1.6, "largest step {jump}");
}

/// Negative normals, polar night and the southern half-year.
#[test]
fn far_places() {
    let mut normals = chicago();
    normals.sun_kwh_m2_day = [0.02, 0.2, 1.0, 3.0, 4.5, 5.0, 4.5, 3.0, 1.5, 0.5, 0.05, 0.0];
    let year = plain_year(&Weather::Normals(normals), 72.0, &WeatherDraw::default());
    assert!(
        year.sun_w_m2
            .iter()
            .all(|sun| *sun >= 0.0 && sun.is_finite())
    );
    assert_eq!(month_mean(&year.sun_w_m2, 11), 0.0);
    assert!((month_mean(&year.sun_w_m2, 5) * 24.0 - 5000.0).abs() < 1e-6);
    let south = SunPath::new(-35.0, 355.0).hours_of_full_sun(0.0, 24.0);
    let north = SunPath::new(35.0, 355.0).hours_of_full_sun(0.0, 24.0);
    assert!(south > 2.0 * north);
}

/// Solar geometry: declination -14 degrees on 13 February (by the
/// one-term form; the series gives -13.6) and 33.8 MJ/m2 above the air at 43 N
/// on 15 April (Duffie & Beckman, ch. 1 examples; from memory).
#[test]
fn solar_geometry() {
    assert!((declination_rad(44.0).to_degrees() + 14.0).abs() < 0.5);
    let april = extraterrestrial_j_m2_day(43.0, 105.0) / 1e6;
    assert!((april - 33.8).abs() < 0.4, "{april}");
    let shares = SunPath::new(44.0, 172.0).hourly_shares();
    assert!((shares.iter().sum::<f64>() - 1.0).abs() < 1e-12);
    assert!((0..12).all(|h| (shares[h] - shares[23 - h]).abs() < 1e-12));
}

/// Clear-sky daily totals of worked example 19 (computed with pvlib, Haurwitz model, 44.47 N):
/// the same model over this sun path, 2 %: the example's sun is the apparent one, lifted by
/// refraction, which matters to a low winter sun.
#[test]
fn clear_sky_totals() {
    for (n, wanted, top) in [
        (15.0, 2181.7, 24.14),
        (74.0, 4985.6, 43.05),
        (166.0, 8755.5, 68.32),
        (258.0, 5752.5, 48.29),
        (349.0, 1892.5, 22.13),
    ] {
        let path = SunPath::new(44.47, n);
        let mut total = 0.0;
        for minute in 0..24 * 60 {
            let sine = path.sin_altitude((f64::from(minute) + 0.5) / 60.0);
            if sine > 0.0 {
                total += 1098.0 * sine * (-0.059 / sine).exp() / 60.0;
            }
        }
        assert!(
            (total / wanted - 1.0).abs() < 0.02,
            "day {n}: {total}, wanted {wanted}"
        );
        let noon = path.sin_altitude(12.0).asin().to_degrees();
        assert!(
            (noon - top).abs() < 1.0,
            "day {n}: noon {noon}, hourly top {top}"
        );
    }
}

/// The anomalies: their spread, persistence and mean, the same for a seed, nothing without.
#[test]
fn anomalies() {
    let series = anomaly::daily_anomalies_k(7, 3.0, 20_000);
    let n = series.len() as f64;
    let mean = series.iter().sum::<f64>() / n;
    let var = series.iter().map(|a| (a - mean).powi(2)).sum::<f64>() / n;
    let lag = series
        .windows(2)
        .map(|w| (w[0] - mean) * (w[1] - mean))
        .sum::<f64>()
        / n
        / var;
    assert!(
        mean.abs() < 0.2 && (var.sqrt() - 3.0).abs() < 0.15,
        "{mean} {var}"
    );
    assert!((lag - anomaly::PERSISTENCE).abs() < 0.03, "{lag}");
    assert_eq!(series[..50], anomaly::daily_anomalies_k(7, 3.0, 50)[..]);
    assert_ne!(series[..50], anomaly::daily_anomalies_k(8, 3.0, 50)[..]);

    let normals = Weather::Normals(chicago());
    let plain = plain_year(&normals, 42.0, &WeatherDraw::default());
    let quiet = WeatherDraw {
        persistence_noise_seed: Some(3),
        ..WeatherDraw::default()
    };
    assert_eq!(plain, plain_year(&normals, 42.0, &quiet));
    let warm = WeatherDraw {
        air_offset_k: 1.5,
        sun_factor: 0.9,
        noise_k: 3.0,
        ..quiet
    };
    let drawn = plain_year(&normals, 42.0, &warm);
    assert_eq!(drawn, plain_year(&normals, 42.0, &warm));
    assert!((drawn.air_year.mean_c - plain.air_year.mean_c - 1.5).abs() < 1e-12);
    assert!((drawn.sun_w_m2[12] - 0.9 * plain.sun_w_m2[12]).abs() < 1e-9);
}

/// A record is met by calendar day, repeated for a longer run, and its gaps are counted.
#[test]
fn records_repeat_by_calendar() {
    let first = date(2027, 7, 1);
    let record = WeatherSeries {
        first,
        step_hours: 24,
        air_c: (0..365).map(f64::from).collect(),
        sun_w_m2: vec![100.0; 365],
        wind_m_s: Vec::new(),
        origin: String::new(),
    };
    assert_eq!(uncovered_days(&record, date(2029, 1, 1), 900), 0);
    let run = hourly(
        &Weather::Series(record.clone()),
        &place(50.0),
        date(2029, 7, 1),
        740,
        &WeatherDraw::default(),
    );
    let daily = run.daily_air_c();
    assert!((daily[0] - 0.0).abs() < 1e-9 && (daily[10] - 10.0).abs() < 1e-9);
    assert!((daily[365] - 0.0).abs() < 1e-9, "{}", daily[365]);
    let sun = run.sun_w_m2[..24].iter().sum::<f64>() / 24.0;
    assert!((sun - 100.0).abs() < 1e-9 && run.sun_w_m2[0] == 0.0);
    assert_eq!(run.wind_m_s[0], 2.0);

    let short = WeatherSeries {
        air_c: record.air_c[..100].to_vec(),
        ..record
    };
    assert_eq!(uncovered_days(&short, first, 365), 265);
    assert_eq!(uncovered_days(&short, first, 100), 0);
}

/// Leap days do not shift a repeated record.
#[test]
fn leap_years() {
    assert_eq!(day_in_plain_year(date(2028, 2, 29)), 58);
    assert_eq!(day_in_plain_year(date(2028, 3, 1)), 59);
    assert_eq!(day_in_plain_year(date(2028, 12, 31)), 364);
    let whole: Vec<f64> = (0..366).map(f64::from).collect();
    let record = WeatherSeries {
        first: date(2028, 1, 1),
        step_hours: 24,
        air_c: whole,
        sun_w_m2: vec![0.0; 366],
        wind_m_s: vec![1.0; 366],
        origin: String::new(),
    };
    let on = |day: Date| {
        let hours = hourly(
            &Weather::Series(record.clone()),
            &place(50.0),
            day,
            1,
            &WeatherDraw::default(),
        );
        hours.daily_air_c()[0].round()
    };
    assert_eq!(on(date(2031, 3, 1)), 60.0);
    assert_eq!(on(date(2031, 12, 31)), 365.0);
    assert_eq!(on(date(2032, 2, 29)), 58.0);
}
