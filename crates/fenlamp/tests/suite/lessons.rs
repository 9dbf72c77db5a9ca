//! What the diary teaches, on the demo's invented diary: it cools, sours, is saved.

use std::fs;

use super::{fits, printed, refused};

/// The demo's plan with its diary beside it.
fn larch() -> (tempfile::TempDir, String) {
    let folder = tempfile::tempdir().expect("a folder");
    let plan = folder.path().join("plan.toml");
    fs::write(&plan, printed(&["demo", "high-larch-farm"])).expect("written");
    let plan = plan.display().to_string();
    let diary = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/../../examples/high-larch-farm.diary.csv"
    );
    let said = printed(&["diary", &plan, "import", diary]);
    assert!(said.ends_with("0 known already, 0 readings\n"), "{said}");
    (folder, plan)
}

#[test]
fn the_demos_diary_says_that_it_is_invented() {
    let text = include_str!("../../../../examples/high-larch-farm.diary.csv");
    assert!(text.starts_with("# High Larch Farm is invented"));
}

/// The story as the program tells it, day by day.
#[test]
fn a_plant_that_cools_sours_and_is_saved_is_told_so() {
    let (_folder, plan) = larch();
    let on = |day: &str| {
        let text = printed(&["today", &plan, "--today", day]);
        fits(&text);
        text
    };
    let well = on("2026-08-05");
    assert!(well.contains("All is as it should be"), "{well}");
    let cold = on("2026-08-13");
    assert!(
        cold.contains("Something is wrong: the slurry turned cold"),
        "{cold}"
    );
    let sour = on("2026-08-19");
    assert!(sour.contains("it is turning sour"), "{sour}");
    for word in ["Do not feed now", "goggles", "[MEM-AD]"] {
        assert!(sour.contains(word), "{word}: {sour}");
    }
    let saved = on("2026-09-20");
    assert!(saved.contains("Feed "), "{saved}");
}

#[test]
fn learning_answers_in_words_and_as_json() {
    let (_folder, plan) = larch();
    let text = printed(&["learn", &plan, "--today", "2026-08-05"]);
    fits(&text);
    assert!(text.contains("In the next 60 days expect"), "{text}");
    assert!(text.contains("readings were used"), "{text}");
    let json = printed(&["learn", &plan, "--today", "2026-08-05", "--json"]);
    let form: serde_json::Value = serde_json::from_str(&json).expect("JSON");
    assert_eq!(form["format"], "fenlamp-learned-1");
    let input = &form["inputs"][0];
    assert!(input["narrowed"].as_f64().expect("a number") < 1.0);
    assert_eq!(form["days"].as_array().expect("days").len(), 88 + 60);
    let json = printed(&["today", &plan, "--today", "2026-08-05", "--json"]);
    let form: serde_json::Value = serde_json::from_str(&json).expect("JSON");
    assert_eq!(form["format"], "fenlamp-today-1");
    let sum: f64 = form["causes"]
        .as_array()
        .expect("causes")
        .iter()
        .map(|c| c["share"].as_f64().expect("a share"))
        .sum();
    assert!((sum - 1.0).abs() < 1e-9);
}

#[test]
fn without_a_diary_it_says_what_to_do() {
    let folder = tempfile::tempdir().expect("a folder");
    let plan = folder.path().join("plan.toml");
    fs::write(&plan, printed(&["demo", "hollin-croft"])).expect("written");
    let plan = plan.display().to_string();
    let said = refused(&["learn", &plan]);
    assert!(said.contains("no diary yet"), "{said}");
    printed(&["diary", &plan, "add", "note", "x", "--on", "2026-05-03"]);
    let said = refused(&["today", &plan, "--today", "2026-05-04"]);
    assert!(said.contains("nothing that can be learned"), "{said}");
    let said = refused(&["learn", &plan, "--today", "2026-04-01"]);
    assert!(said.contains("first fill is on 2026-05-01"), "{said}");
    let demo = refused(&["learn", "demo:hollin-croft"]);
    assert!(demo.contains("keeps no diary"), "{demo}");
}

#[test]
fn the_calendar_is_written_once_and_named() {
    let (folder, plan) = larch();
    let file = folder.path().join("plant.ics").display().to_string();
    let args = [
        "diary",
        &plan,
        "calendar",
        "-o",
        &file,
        "--from",
        "2026-06-01",
    ];
    assert!(printed(&args).contains("reminders from 2026-06-01"));
    let text = fs::read_to_string(&file).expect("written");
    assert!(text.starts_with("BEGIN:VCALENDAR\r\n") && text.ends_with("END:VCALENDAR\r\n"));
    // The diary knows when the wash was changed last: a month on it is due.
    assert!(text.contains("wash1-2026-11-06"), "{text}");
    assert!(refused(&args).contains("name a new file"));
}
