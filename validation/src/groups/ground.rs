//! Ground temperature at depth, and the yearly wave it hangs on.

use fenlamp_model::weather::ground::{AirYear, at_depth, fit_months, layer_mean};

use super::Group;
use crate::Check;
use crate::oracle::oracle;

const MID_DAYS: [f64; 12] = [
    15.5, 45.0, 74.5, 105.0, 135.5, 166.0, 196.5, 227.5, 258.0, 288.5, 319.0, 349.5,
];

/// Monthly mean air of the published Chicago file, degC.
const CHICAGO_AIR: [f64; 12] = [
    -4.6, -2.2, 1.6, 8.4, 15.3, 21.1, 23.5, 21.8, 18.1, 11.7, 4.2, -2.6,
];

/// Its ground rows by depth, degC.
const CHICAGO_GROUND: [(f64, [f64; 12]); 3] = [
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

/// Monthly mean daily high and low as published, degF: Fairbanks, Agassiz, Denver, Seattle.
const CLIMATE_F: [(&str, &str, [f64; 12], [f64; 12]); 4] = [
    (
        "fairbanks",
        "CZ-FAI",
        [
            1.0, 12.0, 25.0, 46.0, 62.0, 72.0, 73.0, 66.0, 55.0, 34.0, 12.0, 4.0,
        ],
        [
            -17.0, -11.0, -3.0, 22.0, 39.0, 50.0, 53.0, 48.0, 36.0, 18.0, -4.0, -13.0,
        ],
    ),
    (
        "agassiz",
        "CLIM81-MN",
        [
            14.4, 21.2, 34.9, 53.2, 68.4, 76.0, 81.0, 79.1, 68.3, 56.3, 35.2, 19.4,
        ],
        [
            -8.3, -2.8, 11.7, 29.0, 41.8, 51.4, 55.9, 52.3, 42.6, 32.5, 16.9, -0.3,
        ],
    ),
    (
        "denver",
        "WRCC-DEN",
        [
            43.2, 47.2, 53.7, 60.9, 70.5, 82.1, 88.0, 86.0, 77.4, 66.0, 51.5, 44.1,
        ],
        [
            15.2, 19.1, 25.4, 34.2, 43.8, 53.0, 58.7, 57.4, 47.3, 35.9, 23.5, 16.4,
        ],
    ),
    (
        "seattle",
        "NPS-SEA",
        [
            47.0, 51.0, 55.0, 59.0, 65.0, 70.0, 75.0, 75.0, 70.0, 60.0, 52.0, 47.0,
        ],
        [
            36.0, 37.0, 39.0, 43.0, 48.0, 53.0, 56.0, 57.0, 53.0, 46.0, 40.0, 36.0,
        ],
    ),
];

/// The group.
pub fn group() -> Group {
    Group {
        title: "Ground and the yearly wave",
        about: "Undisturbed ground at a depth and day (Kusuda and Achenbach), a published ground \
                table, and the least-squares wave through published climate rows. A sunken tank \
                and every base plate lose their heat to these temperatures.",
        checks: checks(),
    }
}

/// Checks of the group.
pub fn checks() -> Vec<Check> {
    let mut out = depth_table();
    out.extend(chicago_table());
    out.extend(layer_means());
    out.extend(yearly_waves());
    out
}

fn depth_table() -> Vec<Check> {
    let wave = AirYear {
        mean_c: 8.0,
        amplitude_k: 14.0,
        coldest_day: 35.0,
    };
    // A winter and a summer day of each depth.
    let rows = [
        (0.0, [-5.18, 21.05]),
        (0.5, [-1.69, 17.53]),
        (1.0, [1.29, 14.54]),
        (1.5, [3.73, 12.11]),
        (2.0, [5.64, 10.21]),
        (3.0, [8.07, 7.82]),
        (5.0, [9.32, 6.65]),
    ];
    let mut out = vec![];
    for (depth, published) in rows {
        for (day, value) in [15.0, 196.0].into_iter().zip(published) {
            out.push(
                Check::new(
                    &format!("ground_{depth}_{day}"),
                    &format!("ground at {depth} m, day {day}"),
                    value,
                    at_depth(wave, depth, 0.05, day),
                    "degC",
                )
                .absolute(0.005_1)
                .inputs("mean 8, amplitude 14, coldest day 35, 0.05 m2/day")
                .source("KUSUDA65 (formula read; number computed)"),
            );
        }
    }
    for (diffusivity, value) in [(0.09, 1.141), (0.035, 4.391)] {
        out.push(
            Check::new(
                &format!("ground_2_46_{diffusivity}"),
                &format!("ground at 2 m, day 46, {diffusivity} m2/day"),
                value,
                at_depth(wave, 2.0, diffusivity, 46.0),
                "degC",
            )
            .absolute(0.000_6)
            .inputs("mean 8, amplitude 14, coldest day 35")
            .source("KUSUDA65 (formula read; number computed)"),
        );
    }
    out
}

/// Root mean square distance to the published table, April left out.
fn chicago_table() -> Vec<Check> {
    let mean = CHICAGO_AIR.iter().sum::<f64>() / 12.0;
    let wave = AirYear {
        mean_c: mean,
        amplitude_k: 14.05,
        coldest_day: 36.0,
    };
    let ours = |depth, month: usize| layer_mean(wave, depth, 0.0557418, MID_DAYS[month]);
    let mut out = vec![];
    for (depth, published) in CHICAGO_GROUND {
        let misses = published
            .iter()
            .enumerate()
            .map(|(m, value)| (m, (ours(depth, m) - value).abs()));
        let (months, april): (Vec<_>, Vec<_>) = misses.partition(|(m, _)| *m != 3);
        let worst = months.iter().map(|(_, miss)| *miss).fold(0.0, f64::max);
        let inputs = "air row of the same file; 0.0558 m2/day; eleven months";
        out.push(
            Check::largest(
                &format!("chicago_{depth}"),
                &format!("Chicago ground, 0 to {depth} m, worst month"),
                worst,
                0.5,
                "K",
            )
            .inputs(inputs)
            .source("TMY-CHI (read)")
            .note(format!(
                "distance from the published row; April is left out ({:.1} K off): its column \
                     looks anomalous against its neighbours. The file's unit is a slip (per hour \
                     printed as per day) and its rows are means from the surface down",
                april[0].1
            )),
        );
    }
    out
}

fn layer_means() -> Vec<Check> {
    let mean = CHICAGO_AIR.iter().sum::<f64>() / 12.0;
    let wave = AirYear {
        mean_c: mean,
        amplitude_k: 14.05,
        coldest_day: 36.0,
    };
    [0.5, 2.0, 4.0]
        .into_iter()
        .flat_map(|depth| [0, 3, 6, 9].map(|month| (depth, month)))
        .map(|(depth, month)| {
            let stored = oracle(&format!("ground_layer_{depth:.1}m_{:02}", month + 1));
            stored
                .check(
                    &format!("layer mean, 0 to {depth} m, month {}", month + 1),
                    layer_mean(wave, depth, 0.0557418, MID_DAYS[month]),
                )
                .absolute(0.001)
        })
        .collect()
}

fn yearly_waves() -> Vec<Check> {
    let celsius = |f: f64| (f - 32.0) / 1.8;
    let places = CLIMATE_F
        .iter()
        .map(|(place, key, high, low)| {
            (
                *place,
                *key,
                std::array::from_fn(|m| celsius(0.5 * (high[m] + low[m]))),
            )
        })
        .chain([("chicago", "TMY-CHI", CHICAGO_AIR)]);
    let mut out = vec![];
    for (place, key, monthly) in places {
        let fit = fit_months(&monthly);
        for (what, ours, allowed) in [
            ("mean", fit.mean_c, 0.005),
            ("amplitude", fit.amplitude_k, 0.005),
            ("coldest_day", fit.coldest_day, 0.05),
        ] {
            let stored = oracle(&format!("harmonic_{place}_{what}"));
            let origin = format!("{}; rows {key} (read)", stored.origin());
            let words = what.replace('_', " ");
            out.push(
                stored
                    .check(&format!("{place}: {words} of the wave"), ours)
                    .absolute(allowed)
                    .source(origin),
            );
        }
    }
    out
}
