use super::wash::{JarLife, Kind, Stage, sulfide_l};
use super::*;
use crate::gas::wash::life::{Contact, Jar, RawGas};
use crate::gas::wash::liquor::Alkali;
use proptest::prelude::*;

/// Half-molar potash, 1 kg, as worked example 13.
fn jar() -> JarLife {
    let jar = Jar {
        water_kg: 1.0,
        liquor: Alkali::PotassiumCarbonate
            .liquor(0.5)
            .expect("half molar is in range"),
        depth_m: 0.05,
        t_c: 25.0,
    };
    let gas = RawGas {
        co2_share: 0.4,
        h2s_ppm: 2000.0,
    };
    JarLife::new(jar, gas, 101_325.0, Contact::BALANCE)
}

fn around(days: usize, air_c: f64) -> Surroundings {
    let hours = (0..24 * days).map(move |h| air_c + 6.0 * ((h % 24) as f64 / 3.82).sin());
    Surroundings::new(
        hours,
        1.01325,
        1000.0,
        (0..days).map(|d| (d / 30) % 12).collect(),
    )
}

fn store(full_l: f64) -> Holder {
    Holder {
        full_l,
        full_pa: 1000.0,
        kept_back: 0.05,
        conductance: [0.004, 0.02, 0.06],
        bath_l: 40.0,
        leak_per_h: 0.0002,
    }
}

/// Burns `methane_l` a day from six to eight.
fn morning(methane_l: f64) -> Burn {
    let mut share = [0.0; 24];
    share[6] = 0.5;
    share[7] = 0.5;
    Burn {
        methane_l_day: methane_l,
        share,
        part: share.map(|s| 2.0 * s),
        months: [true; 12],
        least_methane: 0.5,
    }
}

fn steady(days: usize, litres: f64) -> Vec<Gas> {
    vec![[0.6 * litres, 0.398 * litres, 0.002 * litres, 0.0]; days]
}

#[test]
fn a_jar_takes_the_carbon_dioxide_of_the_worked_example() {
    // Example 13: 10.99 L of CO2, 3 % for the database's activities.
    let stage = Stage {
        kind: Kind::Jar(jar()),
        renewed_every: None,
    };
    let train = Train {
        washes: vec![stage],
        store: None,
        burns: vec![],
    };
    let done = run(&train, &steady(100, 2.0), &around(100, 15.0), true);
    let taken = done.account.washed_out[CARBON_DIOXIDE];
    assert!((taken / 10.99 - 1.0).abs() < 0.03, "{taken}");
    // 25 to 35 L of gas, as its text says.
    assert!(
        (20.0..36.0).contains(&done.filling_l[0]),
        "{:?}",
        done.filling_l
    );
    let spent = done.spent[0].expect("it is spent");
    assert!((9..18).contains(&spent), "{spent}");
    assert!(done.account.washed_out[SULFIDE] >= 0.0);
}

#[test]
fn a_renewed_jar_begins_anew() {
    let every = |renewed_every| Train {
        washes: vec![Stage {
            kind: Kind::Jar(jar()),
            renewed_every,
        }],
        store: None,
        burns: vec![],
    };
    let days = steady(100, 2.0);
    let (once, often) = (
        run(&every(None), &days, &around(100, 15.0), true),
        run(&every(Some(20)), &days, &around(100, 15.0), true),
    );
    let ratio = often.account.washed_out[CARBON_DIOXIDE] / once.account.washed_out[CARBON_DIOXIDE];
    assert!((4.5..5.1).contains(&ratio), "{ratio}");
    assert!(often.spent_days[0] < once.spent_days[0]);
}

/// A kilogram of ash that takes up 0.1 kg of CO2, at nine tenths of what comes: 50.9 L
/// of CO2, 142 L of gas with 39.8 % of it; the sulfide passes.
#[test]
fn an_ash_bed_takes_carbon_dioxide_until_it_breaks_through() {
    let train = Train {
        washes: vec![Stage {
            kind: Kind::Ash {
                capacity_l: crate::gas::wash::ash_bed::carbon_dioxide_l(0.1),
                removal: 0.9,
            },
            renewed_every: None,
        }],
        store: None,
        burns: vec![],
    };
    let done = run(&train, &steady(30, 10.0), &around(30, 15.0), true);
    let taken = done.account.washed_out[CARBON_DIOXIDE];
    assert!((taken / 50.93 - 1.0).abs() < 1e-3, "{taken}");
    assert!(
        (done.filling_l[0] / 142.2 - 1.0).abs() < 1e-3,
        "{:?}",
        done.filling_l
    );
    assert_eq!(done.account.washed_out[SULFIDE], 0.0);
    assert_eq!(done.spent, vec![Some(14)]);
}

/// Worked example 12: 1 m3 a day of 2000 ppm is 2.8607 g S; 30 g of capacity that
/// catches all of it lasts 10.49 days.
#[test]
fn iron_lasts_as_in_the_worked_example() {
    let train = Train {
        washes: vec![Stage {
            kind: Kind::Iron {
                capacity_l: sulfide_l(30.0),
                removal: 1.0,
            },
            renewed_every: None,
        }],
        store: None,
        burns: vec![],
    };
    let done = run(&train, &steady(30, 1000.0), &around(30, 15.0), true);
    assert!(
        (done.filling_l[0] / 10_490.0 - 1.0).abs() < 1e-3,
        "{:?}",
        done.filling_l
    );
    assert_eq!(done.spent, vec![Some(10)]);
    assert!(done.days[9].h2s_ppm < 1e-6 && done.days[11].h2s_ppm > 1999.0);
}

#[test]
fn a_store_without_uses_fills_and_lets_go() {
    let train = Train {
        washes: vec![],
        store: Some(store(200.0)),
        burns: vec![],
    };
    let done = run(&train, &steady(60, 100.0), &around(60, 15.0), true);
    // A 200 L store at 15 degC and a little more, wet, holds some 187 dry normal litres.
    let last = done.days.last().expect("days").stored_l;
    assert!((175.0..200.0).contains(&last), "{last}");
    assert!(done.account.vented.iter().sum::<f64>() > 0.9 * 5600.0);
    assert_eq!(done.short_h, 0.0);
}

#[test]
fn a_warm_noon_drives_gas_out_and_a_cool_store_holds_more() {
    let train = Train {
        washes: vec![],
        store: Some(Holder {
            conductance: [0.0; 3],
            bath_l: 0.0,
            leak_per_h: 0.0,
            ..store(1000.0)
        }),
        burns: vec![],
    };
    let mut gas = steady(40, 100.0);
    for day in &mut gas[20..] {
        *day = Gas::default();
    }
    // The same each day: once full it has breathed out all a warm noon can drive out.
    let done = run(&train, &gas, &around(40, 15.0), true);
    assert!(done.days[39].vented_l < 1e-9);
    // 21 degC at the warmest, wet, 10 mbar over: 273.15/294.15 (1023.25 - 24.9)/1013.25.
    let held = done.days[39].stored_l;
    assert!((held / 915.0 - 1.0).abs() < 0.003, "{held}");
}

#[test]
fn no_flame_below_half_methane() {
    let train = Train {
        washes: vec![],
        store: Some(store(500.0)),
        burns: vec![morning(30.0)],
    };
    let poor = vec![[40.0, 59.9, 0.1, 0.0]; 20];
    let done = run(&train, &poor, &around(20, 15.0), true);
    assert_eq!(done.account.burned, Gas::default());
    assert_eq!((done.short_h, done.wanted_h), (40.0, 40.0));
    assert_eq!((done.wasted_l, done.burnable_l), (0.0, 0.0));
}

#[test]
fn without_a_store_only_the_hour_s_gas_burns() {
    let train = Train {
        washes: vec![],
        store: None,
        burns: vec![morning(30.0)],
    };
    let done = run(&train, &steady(10, 100.0), &around(10, 15.0), true);
    let burned: f64 = done.account.burned.iter().sum();
    assert!(
        (burned - 10.0 * 100.0 * 2.0 / 24.0).abs() < 1e-6,
        "{burned}"
    );
}

fn holders() -> impl Strategy<Value = Option<Holder>> {
    prop_oneof![
        Just(None),
        (
            1.0..5000.0f64,
            0.0..0.2f64,
            0.0..2.0f64,
            0.0..500.0f64,
            0.0..0.05f64
        )
            .prop_map(
                |(full_l, kept_back, through, bath_l, leak_per_h)| Some(Holder {
                    full_l,
                    full_pa: 1000.0,
                    kept_back,
                    conductance: [0.2 * through, through, 3.0 * through],
                    bath_l,
                    leak_per_h,
                })
            ),
    ]
}

fn stages() -> impl Strategy<Value = Vec<Stage>> {
    let kind = prop_oneof![
        Just(Kind::Jar(jar())),
        (0.0..200.0f64, 0.0..1.0f64).prop_map(|(capacity_l, removal)| Kind::Ash {
            capacity_l,
            removal
        }),
        (0.0..200.0f64, 0.0..1.0f64).prop_map(|(capacity_l, removal)| Kind::Iron {
            capacity_l,
            removal
        }),
    ];
    proptest::collection::vec(
        (kind, proptest::option::of(1usize..40)).prop_map(|(kind, renewed_every)| Stage {
            kind,
            renewed_every,
        }),
        0..3,
    )
}

fn gases() -> impl Strategy<Value = Vec<Gas>> {
    let day = (0.0..3000.0f64, 0.0..1.0f64, 0.0..1.0f64, 0.0..0.01f64).prop_map(
        |(all, methane, rest, sulfide)| {
            [
                all * methane * 0.9,
                all * (1.0 - methane) * rest,
                all * sulfide,
                all * 0.05,
            ]
        },
    );
    proptest::collection::vec(day, 1..80)
}

fn burns() -> impl Strategy<Value = Vec<Burn>> {
    proptest::collection::vec(
        (1.0..1000.0f64, 0usize..24, 1usize..24, any::<[bool; 12]>()).prop_map(
            |(methane_l_day, from, hours, months)| {
                let mut part = [0.0; 24];
                for h in 0..hours {
                    part[(from + h) % 24] = 1.0;
                }
                Burn {
                    methane_l_day,
                    share: part.map(|p| p / hours as f64),
                    part,
                    months,
                    least_methane: 0.5,
                }
            },
        ),
        0..4,
    )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    /// Every litre made ends in one place, each gas to 1e-9; nothing is negative;
    /// no use is met more than it asks.
    #[test]
    fn every_litre_is_accounted_for(
        washes in stages(), store in holders(), burns in burns(), gas in gases(), air_c in -20.0..35.0f64,
    ) {
        let train = Train { washes, store, burns };
        let done = run(&train, &gas, &around(gas.len(), air_c), true);
        let a = &done.account;
        for g in 0..4 {
            let made = a.made[g].max(1.0);
            prop_assert!(a.residual()[g].abs() <= 1e-9 * made, "{g}: {:?}", a.residual());
            for part in [a.burned, a.vented, a.washed_out, a.dissolved, a.permeated, a.leaked, a.stored] {
                prop_assert!(part[g] >= -1e-9 * made, "{g}: {a:?}");
            }
        }
        for met in done.met.iter().flatten().filter(|m| !m.is_nan()) {
            prop_assert!((-1e-9..=1.0 + 1e-9).contains(met), "{met}");
        }
        // The sums are the same when no days are kept.
        let sums = run(&train, &gas, &around(gas.len(), air_c), false);
        prop_assert_eq!(sums.account, done.account);
        // The days add up to the account.
        let vented: f64 = done.days.iter().map(|d| d.vented_l).sum();
        prop_assert!((vented - a.vented.iter().sum::<f64>()).abs() <= 1e-9 * vented.max(1.0));
    }

    /// A larger store wastes no more.
    #[test]
    fn a_larger_store_wastes_no_more(litres in 100.0..2000.0f64, full_l in 20.0..2000.0f64, need in 10.0..1000.0f64) {
        let with = |full_l: f64| {
            let tight = Holder { conductance: [0.0; 3], bath_l: 0.0, leak_per_h: 0.0, ..store(full_l) };
            let train = Train { washes: vec![], store: Some(tight), burns: vec![morning(need)] };
            run(&train, &steady(50, litres), &around(50, 15.0), false).wasted_l
        };
        prop_assert!(with(1.5 * full_l) <= with(full_l) + 1e-6);
    }
}
