use super::words::{Speech, read_kind, read_line, say};
use super::*;
use fenlamp_quantity::Units;
use proptest::prelude::*;

fn metric() -> Speech<'static> {
    Speech {
        feedstocks: &[],
        units: Units::Metric,
    }
}

fn good(line: &str) -> Entry {
    read_line(line, &metric()).unwrap_or_else(|e| panic!("{line}: {e}; {}", e.help))
}

#[test]
fn what_people_say_is_read_into_si() {
    let goat = fenlamp_model::reference::feedstock("goat_manure").expect("a row");
    assert_eq!(
        good("fed 2 bucket goat_manure"),
        Entry::Fed {
            feedstock: "goat_manure".to_owned(),
            kg: 0.02 * goat.bulk_density_kg_m3,
            water_kg: None
        }
    );
    assert_eq!(
        good("fed 1.5 kg of grass clippings with 4 L water"),
        Entry::Fed {
            feedstock: "grass_clippings".to_owned(),
            kg: 1.5,
            water_kg: Some(4.0)
        }
    );
    assert_eq!(
        good("gas 120 L"),
        Entry::Gas {
            m3: 0.12,
            days: 1.0,
            by: GasBy::Rise
        }
    );
    assert_eq!(
        good("gas 300 L in 2 days by meter"),
        Entry::Gas {
            m3: 0.3,
            days: 2.0,
            by: GasBy::Meter
        }
    );
    let Entry::SlurryTemperature { kelvin } = good("slurry 64.4 °F") else {
        panic!()
    };
    assert!((kelvin - 291.15).abs() < 1e-9);
    assert_eq!(
        good("bag three quarters"),
        Entry::Store {
            level: StoreLevel::ThreeQuarters
        }
    );
    assert_eq!(
        good("pH 6,8"),
        Entry::Ph {
            ph: 6.8,
            by: PhBy::Strip
        }
    );
    assert_eq!(
        good("flame goes out"),
        Entry::Flame {
            looks: Flame::GoesOut
        }
    );
    let Entry::Burned {
        seconds,
        m3_s: Some(flow),
    } = good("burned 30 min at 0.36 m3/h")
    else {
        panic!()
    };
    assert!((seconds - 1800.0).abs() < 1e-9 && (flow - 1e-4).abs() < 1e-15);
    for (kind, example) in KINDS {
        let entry = good(&format!("{kind} {example}"));
        assert_eq!(entry.kind(), Some(kind));
    }
}

#[test]
fn what_is_wrong_says_what_is_allowed_and_the_nearest() {
    let cases = [
        ("fod 2 bucket goat_manure", "did you mean \"fed\"?"),
        ("fed 2 bucket goat_manur", "did you mean \"goat_manure\"?"),
        ("fed goat_manure", "2 bucket goat_manure"),
        ("fed 2 goat_manure", "needs its unit"),
        ("gas 120", "needs its unit"),
        ("gas 120 L by metre", "did you mean \"meter\"?"),
        ("bag hlaf", "did you mean \"half\"?"),
        ("bag 130 %", "from 0 % to 100 %"),
        ("ph 15", "0 to 14"),
        ("ph NaN", "0 to 14"),
        ("slurry 200 °C", "from -5"),
        ("flame green", "none, goes out, blue or yellow"),
        ("photo ../../etc/passwd", "name alone"),
        ("titration 20 mL, 0.1 N, 15 mL, 12 mL", "from the start"),
        ("added 200 g soda", "bicarbonate"),
        ("note", "what it says"),
        ("wash third", "counted from the vessel"),
    ];
    for (line, help) in cases {
        let error = read_line(line, &metric()).expect_err(line);
        assert!(
            error.help.contains(help) || error.message.contains(help),
            "{line}: {} | {}",
            error.message,
            error.help
        );
    }
}

/// Worked by hand from the rule as farm advisers print it (20 mL, 0.1 N): 12 mL to
/// pH 5.0 is 3000 mg CaCO3/L, 3 mL more is (1.66 x 3 - 0.15) x 500 = 2415 mg/L.
#[test]
fn titration_follows_the_rule_and_does_not_mind_the_sample() {
    let usual = Titration {
        sample_m3: 20e-6,
        acid_eq_l: 0.1,
        to_ph_5_m3: 12e-6,
        to_ph_4_4_m3: 15e-6,
    };
    assert!((usual.buffer_mg_caco3_l() - 3000.0).abs() < 1e-9);
    assert!((usual.acids_mg_l() - 2415.0).abs() < 1e-9);
    assert!((usual.ratio().expect("buffer") - 0.805).abs() < 1e-12);
    let half = Titration {
        sample_m3: 10e-6,
        acid_eq_l: 0.05,
        ..usual
    };
    assert!((half.ratio().expect("buffer") - 0.805).abs() < 1e-12);
}

#[test]
fn what_is_said_back_is_understood_again() {
    for (kind, example) in KINDS {
        let entry = good(&format!("{kind} {example}"));
        let said = say(&entry, Units::Metric);
        if matches!(entry, Entry::Titration(_) | Entry::Note {}) {
            continue;
        }
        let said = said
            .replace("at ", "")
            .replace("by the store's rise", "by rise");
        let again = read_kind(kind, &said, &metric())
            .unwrap_or_else(|e| panic!("{kind} {said}: {e}; {}", e.help));
        assert_eq!(again.kind(), entry.kind());
    }
}

proptest! {
    #[test]
    fn no_words_panic(line in "\\PC{0,60}", kind in 0usize..20, us in any::<bool>()) {
        let units = if us { Units::Us } else { Units::Metric };
        let speech = Speech { feedstocks: &[], units };
        let _ = read_line(&line, &speech);
        if let Ok(entry) = read_kind(KINDS[kind].0, &line, &speech) {
            let _ = say(&entry, units);
            let json = serde_json::to_string(&entry).unwrap();
            let back: Entry = serde_json::from_str(&json).unwrap();
            prop_assert_eq!(back.kind(), entry.kind());
        }
    }
}
