//! Advice from outside: recipe and size.

use serde_json::Value;

use crate::{DEMOS, fits, in_units, printed, refused};

/// Demos that are fed.
const FED: [&str; 3] = ["hollin-croft", "mango-yard-school", "high-larch-farm"];

fn recipe_json(plan: &str, wish: &str) -> Value {
    let text = printed(&["recipe", plan, "--wish", wish, "--worlds", "8", "--json"]);
    serde_json::from_str(&text).expect("the recipe is JSON")
}

#[test]
fn every_recipe_fits_the_page_and_answers_first() {
    let folder = tempfile::tempdir().expect("a folder");
    for demo in FED {
        for units in ["metric", "us"] {
            let path = folder.path().join(format!("{demo}-{units}.toml"));
            std::fs::write(&path, in_units(demo, units)).expect("written");
            let path = path.to_str().expect("a plain path");
            let text = printed(&["recipe", path, "--worlds", "8"]);
            fits(&text);
            let answer = text.split("\n\n").nth(2).expect("an answer");
            assert!(answer.starts_with("Feed "), "{demo} {units}: {answer}");
            for part in [
                "turns sour",
                "Start: Fill with",
                "another bucket of",
                "A change of diet",
            ] {
                assert!(
                    text.replace('\n', " ").contains(part),
                    "{demo} {units}: {part}\n{text}"
                );
            }
            let (own, other) = if units == "us" {
                ("°F", "°C")
            } else {
                ("°C", "°F")
            };
            assert!(
                text.contains(own) && !text.contains(other),
                "{demo} {units}"
            );
        }
    }
}

#[test]
fn a_wish_out_of_reach_is_told_what_binds() {
    let text = printed(&[
        "recipe",
        "demo:high-larch-farm",
        "--wish",
        "5 kettles/day",
        "--worlds",
        "8",
    ]);
    let text = text.replace('\n', " ");
    assert!(
        text.contains("no vessel, however large or warm, can meet that"),
        "{text}"
    );
    assert!(text.contains("is not met"), "{text}");
    assert!(text.contains("What binds in"), "{text}");
}

#[test]
fn a_recipe_taken_is_a_plan_that_forecasts_what_was_checked() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("taken.toml");
    let path = path.to_str().expect("a plain path");
    for demo in FED {
        let _ = std::fs::remove_file(path);
        let plan = format!("demo:{demo}");
        let text = printed(&["recipe", &plan, "--worlds", "8", "--json", "--take", path]);
        let recipe: Value = serde_json::from_str(&text).expect("JSON");
        let text = printed(&["forecast", path, "--worlds", "8", "--json"]);
        let forecast: Value = serde_json::from_str(&text).expect("JSON");
        let share = forecast["sour_share_of_worlds"].as_f64().expect("a share");
        let sour = recipe["advice"]["checked"]["sour_worlds"]
            .as_f64()
            .expect("a count");
        assert_eq!(share * 8.0, sour, "{demo}");
        // The same worlds of the same plan: the same gas but for rounding of the text.
        let month = |v: &Value, number: i64| {
            v.as_array()
                .expect("months")
                .iter()
                .rev()
                .find(|m| m["month"] == number)
                .map(|m| {
                    m["methane_dry_normal_l_per_day"]["p50"]
                        .as_f64()
                        .expect("a figure")
                })
        };
        let (a, b) = (
            month(&recipe["advice"]["checked"]["months"], 8).expect("August"),
            month(&forecast["months"], 8).expect("August"),
        );
        assert!((a - b).abs() < 0.01 * a, "{demo}: {a} and {b}");
        // Comments of the plan are where they were.
        let taken = std::fs::read_to_string(path).expect("written");
        assert!(taken.starts_with("# "), "{demo}");
        let again = refused(&["recipe", &plan, "--worlds", "8", "--take", path]);
        assert!(again.contains("is there already"), "{again}");
    }
}

#[test]
fn what_cannot_be_is_refused_in_plain_words() {
    let text = refused(&["recipe", "demo:laboratory-batch"]);
    assert!(
        text.contains("nothing is fed") || text.contains("no recipe"),
        "{text}"
    );
    let text = refused(&["recipe", "demo:hollin-croft", "--wish", "two cakes"]);
    assert!(text.contains("2 kettles/day Apr-Oct"), "{text}");
    refused(&["recipe", "demo:hollin-croft", "--sour", "2 in 1"]);
    let text = refused(&["recipe", "demo:hollin-croft", "--bucket", "1 m3"]);
    assert!(text.contains("from 1 L to 50 L"), "{text}");
    assert_eq!(DEMOS.len(), FED.len() + 1);
}

#[test]
fn the_recipe_as_json_holds_what_the_page_shows() {
    let got = recipe_json("demo:mango-yard-school", "2 kettles/day Apr-Oct");
    assert_eq!(got["format"], "fenlamp-recipe-1");
    let advice = &got["advice"];
    assert_eq!(advice["wish"]["want"]["of"], "kettles");
    assert_eq!(advice["passed"], true);
    let months = advice["months"].as_array().expect("months");
    assert_eq!(months.len(), 12);
    for month in months {
        let wished = (4..=10).contains(&month["month"].as_i64().expect("a month"));
        let doses = month["doses"].as_array().expect("doses");
        assert_eq!(!doses.is_empty(), wished, "{month}");
        for dose in doses {
            let of = |key: &str| dose[key].as_f64().expect("a figure");
            assert!(
                of("kg_per_day") <= of("at_hand_kg_per_day") * 1.001,
                "{dose}"
            );
        }
    }
    // The same command gives the same digits.
    assert_eq!(
        got,
        recipe_json("demo:mango-yard-school", "2 kettles/day Apr-Oct")
    );
}
