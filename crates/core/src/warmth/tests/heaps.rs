//! Heaps against what has been measured and what is planned with.

use uom::si::f64::{Length, Ratio, ThermodynamicTemperature};
use uom::si::length::meter;
use uom::si::ratio::ratio;
use uom::si::thermodynamic_temperature::degree_celsius;

use super::super::*;
use super::plants::*;
use crate::plan::{Faces, Heap, Siting};
use crate::weather::days_after;

/// A year from September with 10 kg of feed a day, tote in the heap.
fn run(heap: &Heap, feedstocks: &[Feedstock], vessel: &Vessel, draw: HeapDraw) -> WarmthResult {
    let (weather, place) = (year(), place());
    let feed = vec![10.0; 365];
    let top = [InsulationLayer {
        on: Faces::Top,
        material: "k_straw_airdry".into(),
        thickness: Length::new::<meter>(0.2),
    }];
    slurry_temperatures(&WarmthInput {
        weather: &weather,
        place: &place,
        vessel,
        insulation: &top,
        heap: Some(heap),
        heater: None,
        feed_kg_per_day: &feed,
        feed_c: None,
        start: START,
        draw: WarmthDraw {
            heap: draw,
            ..WarmthDraw::default()
        },
        feedstocks,
    })
    .unwrap()
}

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}

fn factors(rate_factor: f64, fuel_factor: f64) -> HeapDraw {
    HeapDraw {
        rate_factor,
        fuel_factor,
        ..HeapDraw::default()
    }
}

/// A tote in 12 m3 of fresh chips and manure is held well above the autumn air and sags in
/// winter: what every account of small heaps says (heaps under some 8 m3 are said not to hold
/// through winter, compost_heat.md section 4).
#[test]
fn small_heap_carries_autumn_not_winter() {
    let (heap, feedstocks) = chip_heap(12.0, 0.6);
    let result = run(&heap, &feedstocks, &tote(), HeapDraw::default());
    let air = year().daily_air_c();
    let above = |span: std::ops::Range<usize>| {
        mean(&result.slurry_daily_c[span.clone()]) - mean(&air[span])
    };
    let (autumn, winter) = (above(20..60), above(120..180));
    assert!(autumn > 9.0, "autumn {autumn}");
    assert!(winter < 0.5 * autumn, "winter {winter}");
    assert!(mean(&result.slurry_daily_c[120..180]) < 8.0);
    let gives = result.heap_to_slurry_w.unwrap();
    assert!(mean(&gives[20..60]) > 50.0);
}

/// Gross heat of a chip-rich heap lies between the cautious and the hopeful planning numbers
/// (compost_heat.md section 6, W/m3): 10-60 in months 1-2, 5-35 in 3-6, 2-20 in 7-12.
#[test]
fn chip_rich_heap_lands_in_the_planning_numbers() {
    for m3 in [30.0, 50.0] {
        let (mut heap, feedstocks) = chip_heap(m3, 0.85);
        heap.cover_r_m2k_w = 2.0;
        let result = run(&heap, &feedstocks, &tote(), HeapDraw::default());
        let heat = result.heap_heat_w.unwrap();
        for (span, low, high) in [
            (0..60, 10.0, 60.0),
            (60..180, 5.0, 35.0),
            (180..365, 2.0, 20.0),
        ] {
            let per_m3 = mean(&heat[span.clone()]) / m3;
            assert!(
                (low..high).contains(&per_m3),
                "{m3} m3, days {span:?}: {per_m3} W/m3"
            );
        }
    }
}

/// Willow chip heaps in an English summer (WHIT16): two heaps reached 60 degC on day 3-5 and
/// peaked at 66 and 64 on day 12 and 6; 60 was held 19-29 days. Their size is not known. The
/// central world meets the peak and the days held; its start is a few days slow, a lively world
/// has it.
#[test]
fn willow_heap_summer() {
    let world = |draw: HeapDraw| {
        let (mut heap, feedstocks) = chip_heap(100.0, 1.0);
        heap.watered_every_days = None;
        heap.cover_r_m2k_w = 0.0;
        let vessel = Vessel {
            siting: Siting::Room(ThermodynamicTemperature::new::<degree_celsius>(17.0)),
            ..drum()
        };
        run(&heap, &feedstocks, &vessel, draw)
            .heap_hottest_c
            .unwrap()
    };
    let peak = |hot: &[f64]| hot.iter().copied().fold(f64::MIN, f64::max);
    let central = world(HeapDraw::default());
    assert!(
        (peak(&central) - 65.0).abs() < 3.0,
        "peak {}",
        peak(&central)
    );
    let held = central.iter().filter(|t| **t >= 60.0).count();
    assert!((19..32).contains(&held), "60 degC held {held} days");
    let lively = world(factors(1.7, 1.5));
    let first = |hot: &[f64]| hot.iter().position(|t| *t > 55.0).unwrap_or(usize::MAX);
    assert!(
        first(&lively) <= 5,
        "lively at 55 on day {}",
        first(&lively)
    );
    assert!(
        first(&central) <= 14,
        "central at 55 on day {}",
        first(&central)
    );
    assert!(central[200] < 42.0 && central[364] < 40.0, "it ends");
}

/// Dry matter lost by chips alone in seven months lies between stemwood (LUKE22: 2.4-3.8 % in
/// 5.9 months) and poplar with bark and leaf (POPLAR20: up to a quarter).
#[test]
fn chips_lose_matter_as_measured() {
    let (mut heap, feedstocks) = chip_heap(100.0, 1.0);
    heap.watered_every_days = None;
    heap.cover_r_m2k_w = 0.0;
    let result = run(&heap, &feedstocks, &tote(), HeapDraw::default());
    let made_j: f64 = result.heap_heat_w.unwrap()[..213]
        .iter()
        .map(|w| w * 86_400.0)
        .sum();
    let lost = made_j / coefficients::HEAT_OF_OXIDATION_J_KG / (100.0 * 180.0);
    assert!((0.024..0.25).contains(&lost), "lost {lost}");
}

/// A farmer's bale-walled chip heap of less than 26 m3 failed one year and held from October to
/// February the next (SARE-FW15): a lively world holds 30 degC to the end of January, a poor one
/// does not.
#[test]
fn bale_walled_heap_may_hold_or_fail() {
    let (mut heap, feedstocks) = chip_heap(24.0, 0.8);
    heap.cover_r_m2k_w = 5.0;
    heap.watered_every_days = None;
    heap.built = days_after(START, 30);
    let held = |draw: HeapDraw| {
        run(&heap, &feedstocks, &tote(), draw)
            .heap_hottest_c
            .unwrap()[150]
    };
    assert!(
        held(factors(1.0, 1.5)) > 30.0,
        "lively {}",
        held(factors(1.0, 1.5))
    );
    assert!(
        held(factors(0.5, 0.7)) < 25.0,
        "poor {}",
        held(factors(0.5, 0.7))
    );
}

/// A heap built in a cold spring lights all the same, later than one built in summer.
#[test]
fn cold_start() {
    let day_of_30 = |built: i64| {
        let (mut heap, feedstocks) = chip_heap(12.0, 0.75);
        heap.built = days_after(START, built);
        let result = run(&heap, &feedstocks, &tote(), HeapDraw::default());
        let hot = result.heap_hottest_c.unwrap();
        hot[built as usize..].iter().position(|t| *t > 30.0)
    };
    let (autumn, spring) = (day_of_30(0), day_of_30(205));
    assert!(autumn.is_some_and(|day| day < 25), "{autumn:?}");
    assert!(spring.is_some_and(|day| day < 75), "{spring:?}");
    assert!(spring > autumn);
}

/// A very warm draught dries a heap, water brings it back, and a dry heap burns slowly.
#[test]
fn drying_and_watering() {
    let (mut heap, feedstocks) = chip_heap(40.0, 0.6);
    heap.cover_r_m2k_w = 3.0;
    heap.watered_every_days = None;
    let windy = HeapDraw {
        air_factor: 3.0,
        ..factors(1.7, 1.5)
    };
    let dry = run(&heap, &feedstocks, &tote(), windy);
    heap.watered_every_days = Some(30);
    let wet = run(&heap, &feedstocks, &tote(), windy);
    let (dry_end, wet_end) = (
        dry.heap_moisture.as_ref().unwrap()[120],
        wet.heap_moisture.as_ref().unwrap()[120],
    );
    assert!(dry_end < 0.50, "dries to {dry_end}");
    assert!((wet_end - 0.55).abs() < 0.05, "watered {wet_end}");
}

/// Rebuilding lights a heap again; a heap built before the first day has already aged.
#[test]
fn age_and_rebuilding() {
    let (mut heap, feedstocks) = chip_heap(20.0, 0.6);
    heap.rebuilt_every_days = Some(180);
    let heat = run(&heap, &feedstocks, &tote(), HeapDraw::default())
        .heap_heat_w
        .unwrap();
    assert!(mean(&heat[225..255]) > 3.0 * mean(&heat[150..180]));
    heap.rebuilt_every_days = None;
    heap.built = days_after(START, -300);
    let old = run(&heap, &feedstocks, &tote(), HeapDraw::default())
        .heap_heat_w
        .unwrap();
    assert!(
        mean(&old[..30]) < 0.6 * mean(&heat[..30]),
        "old {}",
        mean(&old[..30])
    );
    heap.built = days_after(START, 45);
    let later = run(&heap, &feedstocks, &tote(), HeapDraw::default())
        .heap_heat_w
        .unwrap();
    assert!(later[..45].iter().all(|w| *w == 0.0) && later[60] > 0.0);
}

/// A drum in a hot core overshoots what its microbes bear within days (worked example 10's
/// warning): the model must be able to say so.
#[test]
fn hot_core_overheats_a_drum() {
    let (mut heap, feedstocks) = chip_heap(40.0, 0.5);
    heap.covers = Ratio::new::<ratio>(1.0);
    heap.cover_r_m2k_w = 3.0;
    let (weather, place, vessel) = (year(), place(), drum());
    let feed = vec![0.0; 365];
    let result = slurry_temperatures(&WarmthInput {
        weather: &weather,
        place: &place,
        vessel: &vessel,
        insulation: &[],
        heap: Some(&heap),
        heater: None,
        feed_kg_per_day: &feed,
        feed_c: None,
        start: START,
        draw: WarmthDraw::default(),
        feedstocks: &feedstocks,
    })
    .unwrap();
    let top = result.slurry_max_c.iter().copied().fold(f64::MIN, f64::max);
    assert!(top > 45.0, "reaches {top}");
}
