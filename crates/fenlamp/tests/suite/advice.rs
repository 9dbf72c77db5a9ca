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
        let text = printed(&["recipe", &plan, "--worlds", "16", "--json", "--take", path]);
        let recipe: Value = serde_json::from_str(&text).expect("JSON");
        let text = printed(&["forecast", path, "--worlds", "16", "--json"]);
        let forecast: Value = serde_json::from_str(&text).expect("JSON");
        let share = forecast["sour_share_of_worlds"].as_f64().expect("a share");
        let sour = recipe["advice"]["checked"]["sour_worlds"]
            .as_f64()
            .expect("a count");
        assert_eq!(share * 16.0, sour, "{demo}");
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

#[test]
fn a_size_answers_first_and_can_be_taken() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("taken.toml");
    let path = path.to_str().expect("a plain path");
    for (demo, what, wish) in [
        ("mango-yard-school", "vessel", "1 hour of cooking/day"),
        ("mango-yard-school", "store", "2 hours of cooking/day"),
        ("hollin-croft", "wash", "1 kettle/day Jun-Sep"),
    ] {
        let _ = std::fs::remove_file(path);
        let plan = format!("demo:{demo}");
        let args = [
            "size", &plan, "--wish", wish, "--what", what, "--worlds", "8",
        ];
        let text = printed(&[&args[..], &["--take", path]].concat());
        fits(&text);
        let answer = text
            .split("\n\n")
            .nth(1)
            .expect("an answer")
            .replace('\n', " ");
        assert!(
            answer.contains("is the smallest") || answer.contains("or less is enough"),
            "{answer}"
        );
        // The plan as taken has that size, and keeps it when asked again.
        let taken = printed(&[
            "size", path, "--wish", wish, "--what", what, "--worlds", "8", "--json",
        ]);
        let taken: Value = serde_json::from_str(&taken).expect("JSON");
        let share = taken["advice"]["met_share_now"].as_f64().expect("a share");
        assert!(share >= 0.8 - 0.13, "{demo} {what}: {share}");
    }
}

#[test]
fn a_size_that_cannot_be_is_refused_or_told() {
    let text = refused(&[
        "size",
        "demo:mango-yard-school",
        "--wish",
        "1 kettle/day",
        "--what",
        "heap",
    ]);
    assert!(text.contains("no heap in it"), "{text}");
    let text = refused(&["size", "demo:mango-yard-school", "--wish", "all of it"]);
    assert!(text.contains("wish with an amount"), "{text}");
    let text = refused(&[
        "size",
        "demo:mango-yard-school",
        "--wish",
        "1 kettle/day",
        "--what",
        "boat",
    ]);
    assert!(text.contains("vessel, heap, insulation"), "{text}");
    let args = [
        "--wish",
        "9 kettles/day",
        "--what",
        "insulation",
        "--worlds",
        "8",
    ];
    let text = printed(&[&["size", "demo:high-larch-farm"][..], &args].concat());
    fits(&text);
    assert!(text.contains("No insulation between"), "{text}");
}

#[test]
fn money_and_carbon_in_the_users_own_prices() {
    let args = [
        "payback",
        "demo:mango-yard-school",
        "--parts",
        "400",
        "--fuel",
        "propane",
    ];
    let text = printed(&[&args[..], &["--price", "1.5", "--money", "crowns"]].concat());
    fits(&text);
    let text = text.replace('\n', " ");
    for part in [
        "paid back in",
        "crowns",
        "carbon dioxide",
        "warms the air more than it spares",
    ] {
        assert!(text.contains(part), "{part}: {text}");
    }
    let text = refused(&[&args[..4], &["--fuel", "peat", "--price", "1"]].concat());
    assert!(text.contains("propane"), "{text}");
    refused(&[
        "payback",
        "demo:mango-yard-school",
        "--parts",
        "NaN",
        "--fuel",
        "propane",
        "--price",
        "1",
    ]);
}

/// Fields of the tables under `heading` of `docs/advice-json.md`.
fn documented(heading: &str) -> Vec<&'static str> {
    let text = include_str!("../../../../docs/advice-json.md");
    let section = text.split("\n## ").find(|s| s.starts_with(heading));
    section
        .unwrap_or_else(|| panic!("no section {heading}"))
        .lines()
        .filter_map(|l| l.strip_prefix("| `")?.split('`').next())
        .collect()
}

/// Asserts that `path` leads somewhere; an empty list leads anywhere.
fn leads(value: &Value, path: &str, whole: &str) {
    let Some((part, rest)) = path.split_once('.').map_or(Some((path, "")), Some) else {
        return;
    };
    if part.is_empty() {
        return;
    }
    let band = part.ends_with("{q}");
    let list = part.ends_with("[]");
    let name = part.trim_end_matches("{q}").trim_end_matches("[]");
    let next = value
        .get(name)
        .unwrap_or_else(|| panic!("no {name} of {whole}"));
    if band {
        let q = |key: &str| {
            next[key]
                .as_f64()
                .unwrap_or_else(|| panic!("{whole} is no band"))
        };
        assert!(q("p10") <= q("p50") && q("p50") <= q("p90"), "{whole}");
    } else if list {
        let items = next
            .as_array()
            .unwrap_or_else(|| panic!("{whole} is no list"));
        items.iter().for_each(|v| leads(v, rest, whole));
    } else {
        leads(next, rest, whole);
    }
}

#[test]
fn the_documented_fields_are_there() {
    let json = |args: &[&str]| -> Value {
        serde_json::from_str(&printed(&[args, &["--json"]].concat())).expect("JSON")
    };
    let wish = ["--wish", "9 kettles/day Apr-Oct", "--worlds", "8"];
    let recipe = json(&[&["recipe", "demo:hollin-croft"][..], &wish].concat());
    let size = ["size", "demo:mango-yard-school", "--what", "store"];
    let size = json(
        &[
            &size[..],
            &["--wish", "1 hour of cooking/day", "--worlds", "8"],
        ]
        .concat(),
    );
    let payback = [
        "payback",
        "demo:high-larch-farm",
        "--parts",
        "90",
        "--fuel",
        "kerosene",
    ];
    let payback = json(&[&payback[..], &["--price", "1.2"]].concat());
    for (heading, value) in [("Recipe", &recipe), ("Size", &size), ("Payback", &payback)] {
        for path in documented(heading).into_iter().chain(documented("Stamp")) {
            leads(value, path, path);
        }
    }
    assert!(
        !recipe["advice"]["binding"]
            .as_array()
            .expect("a list")
            .is_empty()
    );
}

#[test]
fn the_help_fits_the_page() {
    for command in ["recipe", "size", "payback"] {
        let text = printed(&[command, "--help"]);
        for line in text.lines() {
            assert!(line.chars().count() <= 80, "{command}: {line}");
        }
    }
}
