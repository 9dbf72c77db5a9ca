//! Entries, corrections, readings, and carrying them as text.

// Helpers of tests may fail as tests do.
#![allow(clippy::unwrap_used)]

use fenlamp_diary::{Diary, Quantity, Reading, Taken, instruments, to_csv, to_json};
use fenlamp_quantity::Units;
use fenlamp_report::diary::words::{Speech, read_line};
use fenlamp_report::diary::*;
use jiff::Timestamp;
use jiff::civil::date;
use proptest::prelude::*;

fn speech() -> Speech<'static> {
    Speech {
        feedstocks: &[],
        units: Units::Metric,
    }
}

fn fresh() -> (tempfile::TempDir, Diary) {
    let folder = tempfile::tempdir().unwrap();
    let diary = Diary::open(&folder.path().join("plan.diary.sqlite")).unwrap();
    (folder, diary)
}

fn said(line: &str) -> Writing {
    Writing {
        date: date(2026, 6, 1),
        time: None,
        entry: read_line(line, &speech()).unwrap(),
        words: line.to_owned(),
    }
}

#[test]
fn a_correction_stands_and_the_old_entry_stays() {
    let (_folder, mut diary) = fresh();
    let first = diary.add(&said("ph 6.8")).unwrap().uid;
    let second = diary.correct(&first, &said("ph 7.0")).unwrap().uid;
    assert!(diary.correct(&first, &said("ph 7.2")).is_err(), "twice");
    let standing = diary.standing(None, None).unwrap();
    assert_eq!(standing.len(), 1);
    assert_eq!(standing[0].uid, second);
    for uid in [&first, &second] {
        let history = diary.history(uid).unwrap();
        assert_eq!(history.now.uid, second);
        assert_eq!(history.before[0].uid, first);
        assert_eq!(history.before[0].writing, said("ph 6.8"));
    }
    diary.withdraw(&second[..10], "not mine").unwrap();
    assert!(diary.standing(None, None).unwrap().is_empty());
    assert_eq!(diary.history(&first).unwrap().before.len(), 2);
    assert_eq!(diary.everything().unwrap().len(), 3);
    assert!(diary.correct("0000000000", &said("ph 7")).is_err());
}

#[test]
fn an_entry_sent_twice_stands_once() {
    let (_folder, mut diary) = fresh();
    let entry = said("gas 120 L");
    assert!(!diary.add_named("phone-000001", &entry).unwrap().again);
    assert!(diary.add_named("phone-000001", &entry).unwrap().again);
    assert!(diary.add_named("phone-000001", &said("gas 130 L")).is_err());
    assert!(diary.add_named("x'; DROP", &entry).is_err());
    assert_eq!(diary.standing(None, None).unwrap().len(), 1);
}

#[test]
fn figures_that_are_not_finite_are_refused() {
    let (_folder, mut diary) = fresh();
    let entry = Writing {
        entry: Entry::Sulfide { ppm: f64::NAN },
        ..said("note x")
    };
    assert!(diary.add(&entry).is_err());
    assert!(diary.everything().unwrap().is_empty());
}

#[test]
fn a_hand_made_table_is_taken_in_once() {
    let (_folder, mut diary) = fresh();
    let csv = "# invented\ndate,words\n2026-06-01,fed 2 bucket goat_manure\n2026-06-01,\"gas 120 L\"\n\
               2026-06-02,\"ph 6,8\"\n2026-06-02,note a cold night\n2026-06-02,note a cold night\n";
    let done = diary.import_csv(csv, &speech()).unwrap();
    assert_eq!((done.entries, done.entries_known), (5, 0));
    let again = diary.import_csv(csv, &speech()).unwrap();
    assert_eq!((again.entries, again.entries_known), (0, 5));
    let bad = "date,words\n2026-06-03,gas 100 L\n2026-06-03,gass 120 L\n";
    let error = diary.import_csv(bad, &speech()).unwrap_err().to_string();
    assert!(error.contains("did you mean \"gas\""), "{error}");
    assert_eq!(diary.everything().unwrap().len(), 5, "all or nothing");
}

fn at(hour: i64) -> Timestamp {
    Timestamp::from_second(1_780_000_000 + 3600 * hour).unwrap()
}

fn slurry(hour: i64, c: f64) -> Reading {
    Reading {
        quantity: Quantity::SlurryTemperature,
        at: at(hour),
        value: c + 273.15,
    }
}

#[test]
fn readings_count_once_in_any_order() {
    let (_folder, mut diary) = fresh();
    let key = diary.add_device("probe").unwrap();
    assert!(diary.add_device("probe").is_err());
    assert_eq!(diary.device_of_key(key.text()).unwrap(), "probe");
    assert!(diary.device_of_key("no key").is_err());
    let renewed = diary.renew_key("probe").unwrap();
    assert!(diary.device_of_key(key.text()).is_err());
    assert_eq!(diary.device_of_key(renewed.text()).unwrap(), "probe");
    let now = at(100).as_second();
    let all: Vec<Reading> = (0..50).map(|h| slurry(h, 18.0 + 0.01 * h as f64)).collect();
    let mut backwards = all.clone();
    backwards.reverse();
    assert!(
        diary
            .take_at("probe", &all[..30], now)
            .unwrap()
            .iter()
            .all(|t| *t == Taken::New)
    );
    diary.take_at("probe", &backwards, now).unwrap();
    assert!(
        diary
            .take_at("probe", &all, now)
            .unwrap()
            .iter()
            .all(|t| *t == Taken::Again)
    );
    let other = diary.take_at("probe", &[slurry(3, 19.5)], now).unwrap();
    assert_eq!(other, [Taken::Differs]);
    let got = diary
        .readings(Quantity::SlurryTemperature, at(0), at(100))
        .unwrap();
    assert_eq!(got.iter().map(|r| r.reading).collect::<Vec<_>>(), all);
    let refused = diary
        .take_at(
            "probe",
            &[
                slurry(200, 18.0),
                Reading {
                    at: Timestamp::from_second(1000).unwrap(),
                    ..slurry(0, 18.0)
                },
                Reading {
                    value: f64::INFINITY,
                    ..slurry(60, 0.0)
                },
            ],
            now,
        )
        .unwrap();
    assert!(
        refused.iter().all(|t| matches!(t, Taken::Refused(_))),
        "{refused:?}"
    );
    assert!(diary.take("nobody", &all).is_err());
}

#[test]
fn a_lying_sensor_is_found() {
    let (_folder, mut diary) = fresh();
    diary.add_device("probe").unwrap();
    let now = at(200).as_second();
    let mut readings: Vec<Reading> = (0..48)
        .map(|h| slurry(h, 18.0 + 0.05 * (h % 7) as f64))
        .collect();
    readings[20] = slurry(20, 85.0);
    readings[30] = slurry(30, 45.0);
    let taken = diary.take_at("probe", &readings, now).unwrap();
    assert!(
        matches!(&taken[20], Taken::Doubted(why) if why.contains("range")),
        "{:?}",
        taken[20]
    );
    assert!(matches!(&taken[30], Taken::Doubted(why) if why.contains("jump")));
    assert_eq!(taken.iter().filter(|t| **t == Taken::New).count(), 46);
    let means = diary
        .day_means(Quantity::SlurryTemperature, at(0), at(100), 0)
        .unwrap();
    assert!(means.iter().all(|m| m.greatest < 273.15 + 19.0));
    let stuck: Vec<Reading> = (48..100).map(|h| slurry(h, 18.2)).collect();
    diary.take_at("probe", &stuck, now).unwrap();
    let all = diary
        .readings(Quantity::SlurryTemperature, at(0), at(200))
        .unwrap();
    let lies = instruments::lies(&all, at(100));
    assert!(
        matches!(lies[..], [instruments::Lie::Stuck { hours, .. }] if hours > 40.0),
        "{lies:?}"
    );
    let silent = instruments::lies(&all[..40], at(100));
    assert!(
        silent
            .iter()
            .any(|l| matches!(l, instruments::Lie::Silent { .. })),
        "{silent:?}"
    );
    // A counter that stands still is no lie: there was no gas.
    let fine = instruments::lies(&all[..19], at(19));
    assert!(fine.is_empty(), "{fine:?}");
}

#[test]
fn devices_write_in_their_own_units() {
    let now = at(0);
    let sent =
        br#"[{"quantity":"slurry_temperature","value":64.4,"unit":"F","at":"2026-06-01T08:30:00Z"},
        {"quantity":"gas_counter","value":1250,"unit":"L","at":1780000000},
        {"quantity":"store_fill","value":40,"unit":"%"},{"quantity":"ph","value":6.9}]"#;
    let got = instruments::from_json(sent, now).unwrap();
    assert!((got[0].value - 291.15).abs() < 1e-9);
    assert!((got[1].value - 1.25).abs() < 1e-12);
    assert_eq!(got[1].at.as_second(), 1_780_000_000);
    assert!((got[2].value - 0.4).abs() < 1e-12);
    assert_eq!(got[3].at, now);
    for (bad, says) in [
        (
            r#"{"quantity":"slurry_temperatur","value":1,"unit":"C"}"#,
            "did you mean",
        ),
        (
            r#"{"quantity":"gas_counter","value":1,"unit":"kg"}"#,
            "mass",
        ),
        (r#"{"quantity":"gas_counter","value":1}"#, "unit"),
        (
            r#"{"quantity":"ph","value":7,"at":"soon"}"#,
            "2026-06-01T08:30:00Z",
        ),
        ("[1,2]", "write {"),
    ] {
        let error = instruments::from_json(bad.as_bytes(), now).unwrap_err();
        assert!(error.contains(says), "{bad}: {error}");
    }
    let csv = "at,quantity,value,unit\n2026-06-01T08:30:00Z,air_temperature,9.5,°C\n";
    let got = instruments::from_csv(csv, now).unwrap();
    assert!((got[0].value - 282.65).abs() < 1e-9);
    assert!(
        instruments::from_csv("at,quantity,value,unit\nx,ph,7,\n", now)
            .unwrap_err()
            .contains("line 2")
    );
}

fn entries() -> impl Strategy<Value = Entry> {
    let figure = || {
        prop_oneof![
            any::<f64>().prop_filter("finite", |v| v.is_finite()),
            0.0..1e3f64
        ]
    };
    prop_oneof![
        (figure(), proptest::option::of(figure()), "\\PC{0,20}").prop_map(
            |(kg, water_kg, feedstock)| {
                Entry::Fed {
                    feedstock,
                    kg,
                    water_kg,
                }
            }
        ),
        figure().prop_map(|m3| Entry::DrawnOff { m3 }),
        figure().prop_map(|kelvin| Entry::SlurryTemperature { kelvin }),
        (figure(), figure()).prop_map(|(m3, days)| Entry::Gas {
            m3,
            days,
            by: GasBy::Meter
        }),
        figure().prop_map(|s| Entry::Store {
            level: StoreLevel::Share(s)
        }),
        Just(Entry::Store {
            level: StoreLevel::ThreeQuarters
        }),
        figure().prop_map(|ph| Entry::Ph {
            ph,
            by: PhBy::Strip
        }),
        (figure(), figure()).prop_map(|(a, b)| Entry::Titration(Titration {
            sample_m3: a,
            acid_eq_l: b,
            to_ph_5_m3: a,
            to_ph_4_4_m3: b
        })),
        Just(Entry::Flame {
            looks: Flame::GoesOut
        }),
        Just(Entry::Note {}),
        "\\PC{0,20}".prop_map(|file| Entry::Photo { file }),
        Just(Entry::TrapEmptied { m3: None }),
    ]
}

fn writings() -> impl Strategy<Value = Writing> {
    (
        entries(),
        "(?s).{0,40}",
        0i32..40_000,
        proptest::option::of(0i8..24),
    )
        .prop_map(|(entry, words, day, hour)| Writing {
            date: date(1950, 1, 1).saturating_add(jiff::Span::new().days(day)),
            time: hour.map(|h| jiff::civil::time(h, 5, 0, 0)),
            entry,
            words,
        })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]

    /// Out as CSV and as JSON and in again, nothing is lost: words, figures to the
    /// last bit, corrections.
    #[test]
    fn nothing_is_lost_on_the_way(all in prop::collection::vec(writings(), 1..12), fix in any::<bool>()) {
        let (_folder, mut diary) = fresh();
        let mut uids = Vec::new();
        for w in &all {
            uids.push(diary.add(w).unwrap().uid);
        }
        if fix {
            diary.correct(&uids[0], &all[all.len() - 1]).unwrap();
            diary.withdraw(&uids[uids.len() - 1], "slip").ok();
        }
        diary.add_device("probe").unwrap();
        diary.take_at("probe", &[slurry(0, 18.25), slurry(1, 99.0)], at(2).as_second()).unwrap();
        let carried = diary.carry().unwrap();
        let (_f2, mut second) = fresh();
        second.import_json(&to_json(&carried).unwrap()).unwrap();
        prop_assert_eq!(&second.carry().unwrap().entries, &carried.entries);
        prop_assert_eq!(&second.carry().unwrap().readings, &carried.readings);
        let (_f3, mut third) = fresh();
        third.import_csv(&to_csv(&carried.entries).unwrap(), &speech()).unwrap();
        prop_assert_eq!(&third.everything().unwrap(), &carried.entries);
    }
}
