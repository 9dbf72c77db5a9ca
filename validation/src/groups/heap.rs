//! The composting heap.

use fenlamp_model::warmth::heap::decay::{
    air_space_factor, moisture_factor, oxygen_factor, pool_heat_w, temperature_factor,
};

use super::Group;
use super::plants::{LoneHeap, heap_year, mean_heat_w_kg};
use crate::Check;

/// The group.
pub fn group() -> Group {
    Group {
        title: "The composting heap",
        about: "Factors and heat of the decay model (worked example 11, `compost_heat.md`), and whole \
                invented heaps against measured ranges. Little is known about chip heaps: the ranges are wide.",
        checks: checks(),
    }
    .fitted("the flora's start, the draught and the walls of heaps")
}

/// Checks of the group.
pub fn checks() -> Vec<Check> {
    let mut out = pools();
    out.extend(factors());
    out.extend(whole_heaps());
    out.extend(waking());
    out
}

/// First day, from 1, on which the hottest part is above 45 degC; NaN when it never is.
fn brisk_day(hot: Option<Vec<f64>>) -> f64 {
    hot.and_then(|days| days.iter().position(|t| *t > 45.0))
        .map_or(f64::NAN, |day| (day + 1) as f64)
}

fn highest(hot: Option<Vec<f64>>) -> f64 {
    hot.unwrap_or_default()
        .into_iter()
        .fold(f64::NAN, |top, t| top.max(t))
}

/// When heaps wake, and whether they do.
fn waking() -> Vec<Check> {
    let stable = |built_c| LoneHeap {
        volume_m3: 4.0,
        density_kg_m3: 500.0,
        moisture: 0.68,
        parts: &[("horse_stall_straw", 1.0)],
        built_c,
        wall_m2k_w: 0.0,
    };
    let bin = |density_kg_m3, moisture, parts| LoneHeap {
        volume_m3: 0.76,
        density_kg_m3,
        moisture,
        parts,
        built_c: None,
        // A plank wall of two centimetres with the still air within it. Judgement.
        wall_m2k_w: 0.3,
    };
    let pine = LoneHeap {
        volume_m3: 400.0,
        density_kg_m3: 400.0,
        moisture: 0.5,
        parts: &[("wood_chips_hardwood", 1.0)],
        built_c: None,
        wall_m2k_w: 0.0,
    };
    let rich: &[(&str, f64)] = &[("kitchen_waste_mixed", 0.4), ("autumn_leaves", 0.6)];
    let leaves: &[(&str, f64)] = &[("autumn_leaves", 1.0)];
    vec![
        Check::within(
            "heap_wakes_autumn",
            "stable manure in early autumn, day on which it is brisk (45 degC)",
            (2.0, 3.0),
            brisk_day(stable(None).in_still_air(15.0, 30)),
            "d",
        )
        .absolute(1.0)
        .inputs("4 m3, about 3 to 4 feet high, 15 degC")
        .source("FALCONER1891 (read)")
        .note("a day of ours counts to its end; that brisk is 45 degC is judgement; the flora that dung brings was chosen on it"),
        Check::within(
            "heap_wakes_winter",
            "the same in winter in a shed",
            (6.0, 10.0),
            brisk_day(stable(Some(5.0)).in_still_air(3.0, 30)),
            "d",
        )
        .inputs("manure of 5 degC in a shed of 3 degC")
        .source("FALCONER1891 (read)")
        .note("as above"),
        Check::within(
            "heap_bin_winter",
            "kitchen waste with leaves in a bin through winter, highest temperature",
            (40.0, 70.0),
            highest(bin(400.0, 0.62, rich).in_the_cool_place(95, 100)),
            "degC",
        )
        .inputs("0.76 m3 within planks, built in December; invented cool place")
        .source("KING12 (read): it stayed active; 40 degC is judgement"),
        Check::within(
            "heap_bin_leaves",
            "leaves alone in the same bin",
            (-10.0, 20.0),
            highest(bin(250.0, 0.5, leaves).in_the_cool_place(95, 100)),
            "degC",
        )
        .inputs("as before")
        .source("KING12 (read): it did not work; 20 degC is judgement"),
        Check::within(
            "heap_pine",
            "large heap of chips, day on which it is above 45 degC",
            (5.0, 12.0),
            brisk_day(pine.in_still_air(14.0, 60)),
            "d",
        )
        .inputs("400 m3, 14 degC")
        .source("PINE-PILE (read): strong rise within 10 to 12 days"),
    ]
}

fn pools() -> Vec<Check> {
    let rows = [
        (0.001_35, [480.9, 461.8, 425.9, 377.2, 293.8]),
        (0.003, [1068.7, 976.8, 815.9, 622.8, 357.5]),
        (0.010, [3562.5, 2639.2, 1448.4, 588.9, 92.6]),
    ];
    let mut out = vec![];
    for (rate, watts) in rows {
        for (day, value) in [0.0, 30.0, 90.0, 180.0, 365.0].into_iter().zip(watts) {
            // The ends and the middle of each row.
            if day == 30.0 || day == 180.0 {
                continue;
            }
            out.push(
                Check::new(
                    &format!("pool_{rate}_{day}"),
                    &format!("heat of a pool of {rate} per day, day {day}"),
                    value,
                    pool_heat_w(1710.0, rate, day),
                    "W",
                )
                .inputs("1710 kg degradable, 18 MJ/kg")
                .source("HAUG93 (form memory; number computed)"),
            );
        }
    }
    out
}

fn factors() -> Vec<Check> {
    let mut out = vec![];
    let mut push = |id: &str, what: String, value: f64, ours: f64| {
        out.push(
            Check::new(id, &what, value, ours, "")
                .absolute(0.000_6)
                .source("HAUG93 (form memory; number computed)"),
        );
    };
    for (moisture, value) in [(0.70, 0.995), (0.55, 0.935), (0.45, 0.710), (0.30, 0.147)] {
        push(
            &format!("moisture_{moisture}"),
            format!("factor of moisture {moisture}"),
            value,
            moisture_factor(moisture),
        );
    }
    for (space, value) in [(0.10, 0.245), (0.20, 0.776), (0.30, 0.974)] {
        push(
            &format!("air_space_{space}"),
            format!("factor of air space {space}"),
            value,
            air_space_factor(space),
        );
    }
    for (oxygen, value) in [(2.0, 0.500), (5.0, 0.714), (20.9, 0.913)] {
        push(
            &format!("oxygen_{oxygen}"),
            format!("factor of oxygen {oxygen} %"),
            value,
            oxygen_factor(oxygen),
        );
    }
    let fastest = (0..80)
        .map(f64::from)
        .max_by(|a, b| temperature_factor(*a).total_cmp(&temperature_factor(*b)))
        .unwrap_or(f64::NAN);
    out.push(
        Check::within(
            "heap_best_temperature",
            "temperature of fastest decay",
            (40.0, 60.0),
            fastest,
            "degC",
        )
        .source("CWMI (read)"),
    );
    out
}

fn whole_heaps() -> Vec<Check> {
    let wood = heap_year(20.0, 1.0).map_or(f64::NAN, |year| mean_heat_w_kg(&year, 20.0, 214));
    // Hottest part of the heap day by day; a missing run gives NaN and fails.
    let hottest = |volume_m3, chips| {
        heap_year(volume_m3, chips)
            .and_then(|year| year.heap_hottest_c)
            .unwrap_or_else(|| vec![f64::NAN; 365])
    };
    let (mixed, small) = (hottest(20.0, 0.7), hottest(3.0, 0.7));
    let top = mixed
        .iter()
        .take(40)
        .fold(f64::NAN, |top: f64, t| top.max(*t));
    let winter = small[105..195].iter().sum::<f64>() / 90.0;
    vec![
        Check::within(
            "heap_wood_heat",
            "mean heat of a heap of chips alone, seven months",
            (0.028, 0.245),
            wood,
            "W/kg dry matter",
        )
        .inputs("20 m3, 400 kg/m3, 55 % water; invented cool place, autumn start")
        .source("LUKE22 (read; computed); POPLAR20 (read; computed)"),
        Check::within(
            "heap_hot",
            "highest temperature of chips and manure, first 40 days",
            (40.0, 70.0),
            top,
            "degC",
        )
        .inputs("20 m3, 70 % chips; the same place")
        .source("WHIT16 (read): 60 to 66 degC; CWMI (read): small systems 40 to 50"),
        Check::within(
            "heap_small",
            "heap of 3 m3, mean of its hottest part in winter",
            (-5.0, 30.0),
            winter,
            "degC",
        )
        .inputs("70 % chips; mid December to mid March")
        .source("WIKI-CH (read): under about 8 m3 a heap does not hold through winter"),
    ]
}
