//! Small questions about gas, asked at the command line.

use serde_json::Value;

use crate::{fits, printed, refused};

fn ask(words: &[&str]) -> String {
    printed(&[&["work-out"], words].concat())
}

fn refused_ask(words: &[&str]) -> String {
    refused(&[&["work-out"], words].concat())
}

/// Every question once, as its help shows it.
const QUESTIONS: [&[&str]; 14] = [
    &[
        "jet",
        "--gas",
        "0.4 m3/h",
        "--pressure",
        "8 mbar",
        "--methane",
        "60 %",
    ],
    &["jet", "--diameter", "2 mm", "--pressure", "8 mbar"],
    &["gap", "--mesh", "0.5 mm"],
    &[
        "line", "--gas", "0.3 m3/h", "--bore", "8 mm", "--length", "10 m",
    ],
    &["relief", "--pressure", "20 mbar", "--drum", "57 cm"],
    &["mix", "--methane", "60 %"],
    &["dry-gas", "--reading", "250 L", "--temperature", "30 °C"],
    &["kettle", "--water", "1.5 L", "--gas", "0.4 m3/h"],
    &["use", "--gas", "500 L"],
    &["flammable", "--methane", "6 %", "--oxygen", "18.9 %"],
    &[
        "leak",
        "--hole",
        "0.5 mm",
        "--pressure",
        "10 mbar",
        "--room",
        "30 m3",
        "--air-changes",
        "0.5 per hour",
    ],
    &[
        "room",
        "--gas",
        "0.2 m3/h",
        "--room",
        "50 m3",
        "--air-changes",
        "1 per hour",
    ],
    &[
        "store", "--form", "tubes", "--count", "4", "--ring", "90 cm", "--girth", "75 cm",
    ],
    &[
        "store",
        "--form",
        "drum",
        "--diameter",
        "57 cm",
        "--travel",
        "60 cm",
        "--weight",
        "20 kg",
    ],
];

#[test]
fn every_answer_fits_a_page_and_names_formula_source_and_codes() {
    for question in QUESTIONS {
        for units in [&[][..], &["--us"]] {
            let said = ask(&[question, units].concat());
            fits(&said);
            assert!(said.lines().count() <= 40, "{said}");
            let first = said.lines().next().unwrap_or_default();
            assert!(first.ends_with('.') || said.contains(".\n\n"), "{first}");
            for part in ["Formula: ", "\n[", "licensed gas fitter"] {
                assert!(said.contains(part), "{question:?} lacks {part}: {said}");
            }
            assert!(!said.contains("NaN") && !said.contains("inf "), "{said}");
        }
    }
}

#[test]
fn every_answer_is_json_too_with_the_same_figures_in_any_units() {
    for question in QUESTIONS {
        let json = |more: &[&str]| -> Value {
            serde_json::from_str(&ask(&[question, more].concat())).expect("JSON")
        };
        let (metric, us) = (json(&["--json"]), json(&["--json", "--us"]));
        assert_eq!(metric["format"], "fenlamp-work-out-1");
        assert_eq!(metric["question"], question[0]);
        let figures = metric["figures"].as_array().expect("figures");
        assert!(!figures.is_empty());
        assert!(figures.iter().all(|f| f["value"].is_number()), "{metric}");
        assert!(!metric["sources"].as_array().expect("sources").is_empty());
        // A drill is another one in inches; everything else is the same figure.
        if question[0] != "jet" {
            assert_eq!(figures[0]["value"], us["figures"][0]["value"]);
        }
    }
}

#[test]
fn answers_are_those_of_the_worked_examples() {
    let said = |question: usize, words: &str| {
        let text = ask(QUESTIONS[question]).replace('\n', " ");
        assert!(text.contains(words), "{words} not in {text}");
    };
    // Example 5: 0.38 m3/h, 2.09 kW; the gas is wet here, 0.5 % lighter.
    said(1, "passes 0.384 m3/h of gas, 2.1 kW");
    // Example 8: 110 Pa at the example's viscosity.
    said(3, "loses 1.09 mbar");
    said(4, "20.4 cm deep");
    said(5, "holds 5.97 kWh");
    // Example 9: 0.8634 of it without gauge pressure.
    said(6, "are 216 L of dry gas");
    said(9, "Yes: it can burn");
    // Example 14.
    said(10, "18.4 L/h");
}

#[test]
fn a_leak_of_unwashed_gas_is_judged_by_its_poison() {
    let said = ask(&[
        "leak",
        "--gas",
        "0.05 m3/h",
        "--room",
        "30 m3",
        "--air-changes",
        "0.5 per hour",
    ]);
    assert!(said.contains("6.7 ppm"), "{said}");
    let fast = ask(&[
        "leak",
        "--gas",
        "1 m3/h",
        "--room",
        "30 m3",
        "--air-changes",
        "0.2 per hour",
        "--h2s",
        "0 ppm",
    ]);
    assert!(fast.starts_with("After 3"), "{fast}");
    assert!(!fast.contains("settles"), "{fast}");
}

#[test]
fn a_line_without_a_bore_gets_one_and_a_narrow_one_is_told_off() {
    let sized = ask(&[
        "line",
        "--gas",
        "0.3 m3/h",
        "--length",
        "10 m",
        "--allowed",
        "1 mbar",
    ]);
    assert!(sized.starts_with("It needs a bore of 8.18 mm"), "{sized}");
    let narrow = ask(&[
        "line", "--gas", "0.3 m3/h", "--length", "10 m", "--bore", "5 mm",
    ]);
    assert!(narrow.contains("more than the 1 mbar allowed"), "{narrow}");
    let up = ask(&[
        "line", "--gas", "0.1 m3/h", "--length", "10 m", "--bore", "20 mm", "--rise", "8 m",
    ]);
    assert!(up.starts_with("The line gains"), "{up}");
}

#[test]
fn weak_gas_is_not_called_safe() {
    let weak = ask(&["flammable", "--methane", "30 %"]);
    assert!(weak.contains("with some air let in it can"), "{weak}");
    let inert = ask(&["flammable", "--methane", "15 %"]);
    assert!(inert.contains("nor with any amount of air"), "{inert}");
}

#[test]
fn a_greenhouse_for_plants_has_other_limits() {
    let said = |more: &[&str]| {
        let washed = [
            "room",
            "--gas",
            "0.2 m3/h",
            "--room",
            "50 m3",
            "--air-changes",
            "1 per hour",
            "--h2s",
            "0 ppm",
        ];
        ask(&[&washed, more].concat())
    };
    assert!(said(&["--plants"]).starts_with("Not fit for plants without a flue: carbon dioxide"));
    let yellow = said(&["--flame", "yellow"]);
    assert!(
        yellow.starts_with("Not fit for people without a flue: carbon monoxide"),
        "{yellow}"
    );
}

#[test]
fn nonsense_is_refused_with_what_is_allowed() {
    let cases: [(&[&str], &str); 12] = [
        (&["mix", "--methane", "140 %"], "from 0 to 100 %"),
        (
            &["mix", "--methane", "80 %", "--nitrogen", "40 %"],
            "add up to 120.00 %",
        ),
        (
            &["jet", "--gas", "0.4", "--pressure", "8 mbar"],
            "a number needs its unit",
        ),
        (
            &["jet", "--gas", "0.4 m3/h", "--pressure", "-8 mbar"],
            "must be from",
        ),
        (
            &["jet", "--gas", "0.4 m3/h", "--pressure", "2 bar"],
            "a pressure before the jet",
        ),
        (
            &[
                "jet",
                "--diameter",
                "9 mm",
                "--tube",
                "8 mm",
                "--pressure",
                "8 mbar",
            ],
            "no smaller than",
        ),
        (&["jet", "--pressure", "8 mbar"], "--gas"),
        (&["kettle", "--gas", "0 m3/h"], "a gas flow of 0"),
        (&["use", "--gas", "0 L"], "an amount of gas of 0"),
        (
            &[
                "line",
                "--gas",
                "0.3 m3/h",
                "--length",
                "10 m",
                "--bore",
                "8 mm",
                "--allowed",
                "-1 mbar",
            ],
            "must be from",
        ),
        (
            &[
                "room",
                "--gas",
                "0.2 m3/h",
                "--room",
                "0 m3",
                "--air-changes",
                "1 per hour",
            ],
            "a room of 0 m3",
        ),
        (
            &["relief", "--pressure", "10 mbar", "--temperature", "-5 °C"],
            "must be from 0 to 55 degC",
        ),
    ];
    for (words, part) in cases {
        let said = refused_ask(words);
        assert!(said.contains(part), "{words:?} lacks {part}: {said}");
        assert!(!said.contains("panicked"), "{said}");
    }
}

#[test]
fn nothing_is_compressed_or_driven() {
    for appliance in ["vehicle", "compressor"] {
        let said = refused_ask(&["use", "--gas", "500 L", "--appliance", appliance]);
        fits(&said);
        assert!(
            said.contains("is not worked out here") && said.contains("GTZ-DIGEST"),
            "{said}"
        );
    }
    let engine = ask(&[
        "use",
        "--gas",
        "500 L",
        "--appliance",
        "generator",
        "--h2s",
        "2000 ppm",
    ]);
    assert!(engine.contains("over the 100 ppm"), "{engine}");
}

#[test]
fn a_store_is_told_by_the_tape() {
    // Worked example 14 of the gas side: a torus of ring radius 45 cm and tube
    // radius 12 cm holds 127.91 L; 20 kg on a 57 cm drum press 768.6 Pa.
    let tube = json_of(&[
        "store",
        "--form",
        "tubes",
        "--ring",
        "90 cm",
        "--girth",
        "75.398 cm",
    ]);
    let litres = tube["figures"][0]["value"].as_f64().expect("a volume");
    assert!((litres - 127.91).abs() < 0.02, "{litres}");
    let drum = json_of(QUESTIONS[13]);
    let pa = drum["figures"][1]["value"].as_f64().expect("a pressure");
    assert!((pa - 768.6).abs() < 0.1, "{pa}");
    for (wrong, words) in [
        (
            &["store", "--form", "bag", "--length", "2 m"][..],
            "--girth is missing",
        ),
        (
            &[
                "store", "--form", "bag", "--length", "0 m", "--girth", "1 m",
            ],
            "no side",
        ),
        (
            &[
                "store", "--form", "tubes", "--ring", "20 cm", "--girth", "80 cm",
            ],
            "thicker",
        ),
    ] {
        let said = refused_ask(wrong);
        assert!(said.contains(words), "{said}");
    }
}

fn json_of(question: &[&str]) -> Value {
    serde_json::from_str(&ask(&[question, &["--json"]].concat())).expect("JSON")
}
