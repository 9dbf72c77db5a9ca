//! Behaviour of whole runs, and the conservation of heat.

use proptest::prelude::*;
use uom::si::f64::{Length, Power, Ratio, ThermodynamicTemperature, Volume};
use uom::si::length::meter;
use uom::si::power::watt;
use uom::si::ratio::ratio;
use uom::si::thermodynamic_temperature::degree_celsius;
use uom::si::volume::cubic_meter;

use super::super::*;
use super::plants::*;
use crate::plan::*;
use crate::weather::{WeatherDraw, hourly};

fn input<'a>(
    weather: &'a HourlyWeather,
    place: &'a Place,
    vessel: &'a Vessel,
    feed: &'a [f64],
) -> WarmthInput<'a> {
    WarmthInput {
        weather,
        place,
        vessel,
        insulation: &[],
        heap: None,
        heater: None,
        feed_kg_per_day: feed,
        feed_c: None,
        start: START,
        draw: WarmthDraw::default(),
        feedstocks: &[],
    }
}

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}

/// A bare drum out of doors is the air with some sun: a white one within 2 K of each month's
/// mean air when it is not freezing, a black one a few kelvin warmer in summer.
#[test]
fn bare_drum_follows_the_air() {
    let (weather, place) = (year(), place());
    let feed = vec![0.0; 365];
    let run = |absorptance: f64| {
        let vessel = Vessel {
            absorptance,
            ..drum()
        };
        slurry_temperatures(&input(&weather, &place, &vessel, &feed)).unwrap()
    };
    let (white, black) = (run(0.25), run(0.92));
    let air = weather.daily_air_c();
    for month in 0..12 {
        let span = month * 30..month * 30 + 30;
        let slurry = mean(&white.slurry_daily_c[span.clone()]);
        let air = mean(&air[span.clone()]);
        if air > 3.0 {
            assert!(
                (slurry - air).abs() < 2.0,
                "month {month}: {slurry} in air of {air}"
            );
        }
        if month == 9 {
            let warmer = mean(&black.slurry_daily_c[span]) - air;
            assert!(
                (2.0..8.0).contains(&warmer),
                "black drum {warmer} K above the air"
            );
        }
    }
    assert!(white.frozen_days > 20, "frozen {} days", white.frozen_days);
    let swing = white.slurry_max_c[10] - white.slurry_min_c[10];
    assert!(swing > 2.0, "a bare drum feels the night: {swing}");
}

/// A room keeps the slurry at its temperature; a sunken tank keeps the seasons at bay; a
/// greenhouse is warmer than the yard.
#[test]
fn siting_orders() {
    let (weather, place) = (year(), place());
    let feed = vec![0.0; 365];
    let run = |siting: Siting| {
        let vessel = Vessel { siting, ..tote() };
        slurry_temperatures(&input(&weather, &place, &vessel, &feed)).unwrap()
    };
    let room = run(Siting::Room(
        ThermodynamicTemperature::new::<degree_celsius>(18.0),
    ));
    assert!((room.slurry_daily_c[200] - 18.0).abs() < 0.01);
    let yard = run(Siting::Outdoors);
    let ground = run(Siting::InGround {
        depth: Length::new::<meter>(1.2),
    });
    let glass = run(Siting::Greenhouse);
    let shed = run(Siting::Shed);
    let winter = 100..190;
    let low = |r: &WarmthResult| {
        r.slurry_daily_c[winter.clone()]
            .iter()
            .copied()
            .fold(f64::MAX, f64::min)
    };
    assert!(
        low(&ground) > low(&yard) + 2.0,
        "{} {}",
        low(&ground),
        low(&yard)
    );
    assert!(mean(&glass.slurry_daily_c) > mean(&yard.slurry_daily_c) + 2.0);
    assert!(mean(&shed.sun_w_daily) == 0.0);
}

/// A heater with a thermostat holds its limit and no more.
#[test]
fn thermostat() {
    let (weather, place, vessel) = (year(), place(), tote());
    let feed = vec![20.0; 365];
    let heater = Heater {
        power: Power::new::<watt>(3000.0),
        up_to: ThermodynamicTemperature::new::<degree_celsius>(35.0),
    };
    let insulation = [InsulationLayer {
        on: Faces::All,
        material: "k_eps".into(),
        thickness: Length::new::<meter>(0.1),
    }];
    let result = slurry_temperatures(&WarmthInput {
        heater: Some(&heater),
        insulation: &insulation,
        ..input(&weather, &place, &vessel, &feed)
    })
    .unwrap();
    for (day, t) in result.slurry_daily_c.iter().enumerate().skip(5) {
        assert!((t - 35.0).abs() < 0.4, "day {day}: {t}");
    }
    // Heater against loss: steady, so what is put in is what is lost.
    let held = mean(&result.heater_w_daily[5..]);
    let lost = mean(&result.loss_w_daily[5..]) + mean(&result.feed_w_daily[5..])
        - mean(&result.sun_w_daily[5..]);
    assert!((held - lost).abs() < 1.0, "{held} {lost}");
}

/// Insulation saves what its resistance says: half the winter loss at least with 100 mm.
#[test]
fn wet_insulation_is_worse() {
    let (weather, place, vessel) = (year(), place(), drum());
    let feed = vec![0.0; 365];
    let insulation = [InsulationLayer {
        on: Faces::All,
        material: "k_straw_airdry".into(),
        thickness: Length::new::<meter>(0.3),
    }];
    let heater = Heater {
        power: Power::new::<watt>(20_000.0),
        up_to: ThermodynamicTemperature::new::<degree_celsius>(30.0),
    };
    let need = |insulation: &[InsulationLayer], factor: f64| {
        let mut world = WarmthInput {
            insulation,
            heater: Some(&heater),
            ..input(&weather, &place, &vessel, &feed)
        };
        world.draw.insulation_factor = factor;
        mean(&slurry_temperatures(&world).unwrap().heater_w_daily[10..])
    };
    let (bare, dry, wet) = (
        need(&[], 1.0),
        need(&insulation, 1.0),
        need(&insulation, 2.5),
    );
    assert!(
        dry < wet && wet < bare / 4.0,
        "bare {bare}, dry {dry}, wet {wet}"
    );
}

#[test]
fn bad_input_is_refused() {
    let (weather, place) = (year(), place());
    let feed = vec![0.0; 365];
    let odd = Vessel {
        wall_material: "k_butter".into(),
        ..drum()
    };
    let error = slurry_temperatures(&input(&weather, &place, &odd, &feed)).unwrap_err();
    assert_eq!(error, WarmthError::Material("k_butter".into()));
    let flat = Vessel {
        liquid: Volume::new::<cubic_meter>(0.0),
        ..drum()
    };
    assert!(slurry_temperatures(&input(&weather, &place, &flat, &feed)).is_err());
    let vessel = drum();
    assert!(slurry_temperatures(&input(&weather, &place, &vessel, &feed[..300])).is_err());
    let mut gap = weather.clone();
    gap.air_c[77] = f64::NAN;
    assert!(slurry_temperatures(&input(&gap, &place, &vessel, &feed)).is_err());
    let (mut heap, _) = chip_heap(5.0, 0.6);
    heap.covers = Ratio::new::<ratio>(1.5);
    let world = WarmthInput {
        heap: Some(&heap),
        ..input(&weather, &place, &vessel, &feed)
    };
    assert!(slurry_temperatures(&world).is_err());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    /// Warmer air, more sun and more heater never make the slurry colder.
    #[test]
    fn warmer_outside_is_warmer_inside(
        colder in -25.0..15.0f64,
        more_k in 0.1..10.0f64,
        more_sun in 0.0..0.5f64,
        power in 0.0..500.0f64,
        small in any::<bool>(),
    ) {
        let place = place();
        let vessel = if small { drum() } else { tote() };
        let feed = vec![5.0; 60];
        let run = |air_offset_k: f64, sun_factor: f64, power: f64| {
            let weather = hourly(&normals(), &place, START, 60, &WeatherDraw {
                air_offset_k,
                sun_factor,
                ..WeatherDraw::default()
            });
            let heater = Heater {
                power: Power::new::<watt>(power),
                up_to: ThermodynamicTemperature::new::<degree_celsius>(40.0),
            };
            slurry_temperatures(&WarmthInput {
                heater: Some(&heater),
                ..input(&weather, &place, &vessel, &feed)
            }).unwrap().slurry_daily_c
        };
        let base = run(colder, 1.0, power);
        let warmer = run(colder + more_k, 1.0 + more_sun, 1.5 * power);
        for (b, w) in base.iter().zip(&warmer) {
            // While it freezes or thaws the hour's steps leave hundredths of a kelvin.
            let slack = if b.abs() < 0.5 { 0.05 } else { 1e-6 };
            prop_assert!(*w >= b - slack, "{b} {w}");
        }
    }

    /// No heat is made or lost: stored = in - out to 1e-9 of what flowed.
    #[test]
    fn heat_is_conserved(
        offset in -35.0..20.0f64,
        noise in 0.0..5.0f64,
        seed in any::<u64>(),
        thickness in 0.0..0.3f64,
        small in any::<bool>(),
        siting in 0..5u8,
        top in 0..4u8,
        roof in 0..3u8,
        bank in 0.0..=1.0f64,
        bed in 0.0..0.4f64,
        heap_m3 in 0.05..40.0f64,
        chips in 0.0..1.0f64,
        covers in 0.0..=1.0f64,
        heaped in any::<bool>(),
        built in -200i64..60,
        power in 0.0..2000.0f64,
        feed_kg in 0.0..60.0f64,
    ) {
        let place = place();
        let weather = hourly(&normals(), &place, START, 120, &WeatherDraw {
            air_offset_k: offset,
            persistence_noise_seed: Some(seed),
            noise_k: noise,
            sun_factor: 1.1,
        });
        let siting = match siting {
            0 => Siting::Outdoors,
            1 => Siting::Greenhouse,
            2 => Siting::Shed,
            3 => Siting::InGround { depth: Length::new::<meter>(0.4) },
            _ => Siting::InGround { depth: Length::new::<meter>(-0.2) },
        };
        let vessel = Vessel {
            siting,
            top: [Top::Lid, Top::Open, Top::Film { wet: false }, Top::Film { wet: true }]
                [usize::from(top)],
            roof: [Roof::None, Roof::Tent, Roof::LeanTo][usize::from(roof)],
            earth_bank: Ratio::new::<ratio>(bank),
            ..if small { drum() } else { tote() }
        };
        let insulation = [InsulationLayer {
            on: Faces::Sides,
            material: "k_straw_airdry".into(),
            thickness: Length::new::<meter>(thickness),
        }];
        let heater = Heater {
            power: Power::new::<watt>(power),
            up_to: ThermodynamicTemperature::new::<degree_celsius>(30.0),
        };
        let (mut heap, feedstocks) = chip_heap(heap_m3, chips);
        heap.covers = Ratio::new::<ratio>(covers);
        heap.built = crate::weather::days_after(START, built);
        heap.rebuilt_every_days = Some(90);
        heap.bed = Length::new::<meter>(bed);
        let feed = vec![feed_kg; 120];
        let result = slurry_temperatures(&WarmthInput {
            insulation: &insulation,
            heater: Some(&heater),
            heap: heaped.then_some(&heap),
            feedstocks: &feedstocks,
            ..input(&weather, &place, &vessel, &feed)
        }).unwrap();
        let ledger = &result.ledger;
        let allowed = 1e-9 * ledger.throughput_j;
        prop_assert!(ledger.slurry_fault_j().abs() <= allowed, "{ledger:?}");
        prop_assert!(ledger.heap_fault_j().abs() <= allowed, "{ledger:?}");
        prop_assert!(result.slurry_daily_c.iter().all(|t| (-60.0..85.0).contains(t)));
    }
}
