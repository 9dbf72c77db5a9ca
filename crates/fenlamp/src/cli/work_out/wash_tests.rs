//! Questions about wash, iron, trap and buffer as they are typed.

use std::ffi::OsString;

use crate::cli::run;

fn ask(words: &[&str]) -> Result<String, crate::failure::Failure> {
    let all = ["fenlamp", "work-out"].iter().chain(words);
    run(all.map(OsString::from))
}

fn answer(words: &[&str]) -> String {
    ask(words).unwrap_or_else(|e| panic!("{words:?}: {}", e.text()))
}

const WASH: [&str; 7] = [
    "wash", "--lye", "potash", "--mass", "69 g", "--water", "1 L",
];
const IRON: [&str; 9] = [
    "iron",
    "--packing",
    "bog-iron",
    "--mass",
    "2 kg",
    "--bed",
    "3 L",
    "--gas",
    "1 m3/day",
];
const ASH_BED: [&str; 5] = ["ash-bed", "--mass", "10 kg", "--gas", "300 L/day"];
const TRAP: [&str; 5] = ["trap", "--gas", "1 m3/day", "--line", "10 °C"];
const BUFFER: [&str; 5] = ["buffer", "--slurry", "200 L", "--ph", "6.2"];

#[test]
fn each_answers_on_one_screen_with_formula_source_and_care() {
    for words in [&WASH[..], &ASH_BED, &IRON, &TRAP, &BUFFER] {
        let text = answer(words);
        assert!(text.lines().count() <= 45, "{text}");
        assert!(text.lines().all(|l| l.chars().count() <= 80), "{text}");
        for part in ["Formula: ", "CARE ", "\n["] {
            assert!(text.contains(part), "{part} is missing in {text}");
        }
    }
}

#[test]
fn json_carries_the_bands() {
    for words in [&WASH[..], &ASH_BED, &IRON, &TRAP, &BUFFER] {
        let text = answer(&[words, &["--json"]].concat());
        let json: serde_json::Value = serde_json::from_str(&text).expect("it is JSON");
        assert_eq!(json["question"], words[0]);
        let figures = json["figures"].as_array().expect("figures");
        assert!(figures.iter().all(|f| f["value"].is_number()), "{text}");
        if words[0] != "trap" {
            assert!(figures.iter().any(|f| f["band"].is_array()), "{text}");
        }
    }
}

#[test]
fn the_worked_examples_come_out() {
    // `worked_examples_gas.md` sections 12 and 10.
    assert!(
        answer(&IRON).contains("5.24 days to 21 days (middle 10.5 days)"),
        "{}",
        answer(&IRON)
    );
    assert!(
        answer(&TRAP).contains("the trap is full in 13.4 days"),
        "{}",
        answer(&TRAP)
    );
    assert!(
        answer(&WASH).contains("holds the gas back     14.7 mbar"),
        "{}",
        answer(&WASH)
    );
}

#[test]
fn nonsense_is_refused() {
    for words in [
        &[
            "wash", "--lye", "potash", "--mass", "9 kg", "--water", "1 L",
        ][..],
        &["wash", "--lye", "potash", "--water", "1 L"],
        &["wash", "--titrated", "-1", "--water", "1 L"],
        &[
            "iron",
            "--packing",
            "filings",
            "--mass",
            "1 kg",
            "--bed",
            "1 L",
            "--gas",
            "1 m3/day",
            "--regenerations",
            "1",
        ],
        &["trap", "--gas", "-1 m3/day", "--line", "10 °C"],
        &["buffer", "--slurry", "200 L", "--ph", "7.4"],
        &["buffer", "--slurry", "200 L", "--ph", "nan"],
    ] {
        let failure = ask(words).expect_err("it makes no sense");
        assert_eq!(failure.code(), 2, "{words:?}");
    }
}
