//! What a plan can say of feed and start, and what the program makes of it.

use serde_json::Value;

use crate::printed;

/// A demo with pieces replaced, in a file of its own.
struct Written {
    _folder: tempfile::TempDir,
    path: String,
}

fn written(demo: &str, changes: &[(&str, &str)]) -> Written {
    let mut text = printed(&["demo", demo]);
    for (from, to) in changes {
        assert!(text.contains(from), "{from}");
        text = text.replacen(from, to, 1);
    }
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("plan.toml");
    std::fs::write(&path, text).expect("written");
    Written {
        path: path.to_str().expect("a plain path").to_owned(),
        _folder: folder,
    }
}

fn forecast(plan: &Written) -> Value {
    let text = printed(&["forecast", &plan.path, "--json", "--worlds", "4"]);
    serde_json::from_str(&text).expect("JSON")
}

/// Without the line ends of the page.
fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn numbers(value: &Value, list: &str, figure: &str) -> Vec<f64> {
    let list = value[list].as_array().expect("a list");
    let of = |v: &Value| v[figure]["p50"].as_f64().expect("a band");
    list.iter().map(of).collect()
}

const HAY: &str = "[[first_fill.feed]]\nfeedstock = \"meadow_hay\"\namount = \"150 g\"\n";

#[test]
fn a_blank_is_forecast_without_anything_per_feed() {
    let plan = written("laboratory-batch", &[(HAY, "")]);
    assert!(printed(&["check", &plan.path]).contains("no faults"));
    let said = printed(&["forecast", &plan.path, "--worlds", "4"]);
    assert!(flat(&said).contains("this is a blank"), "{said}");
    let json = forecast(&plan);
    assert!(json["whole"]["methane_dry_normal_l"]["p10"].as_f64() > Some(0.0));
    assert!(json["whole"]["methane_l_per_kg_vs"].is_null());
    let months = json["months"].as_array().expect("months");
    assert!(months.iter().all(|m| m["methane_l_per_kg_vs"].is_null()));
    let removed = json["whole"]["vs_removed_share"]["p50"].as_f64();
    assert!(removed.is_some_and(|share| (0.0..1.0).contains(&share)));
    let sums = numbers(&json, "days", "methane_total_dry_normal_l");
    assert!(sums.windows(2).all(|w| w[0] <= w[1]));
    let with_feed = forecast(&written("laboratory-batch", &[]));
    let fed = numbers(&with_feed, "days", "methane_total_dry_normal_l");
    assert!(fed.last() > sums.last());
    let csv = printed(&["forecast", &plan.path, "--csv", "--worlds", "2"]);
    assert!(
        csv.lines()
            .next()
            .is_some_and(|head| head.contains("methane_total_dry_normal_l_p50"))
    );
}

#[test]
fn feed_rises_in_steps() {
    let plan = written(
        "mango-yard-school",
        &[
            ("length = \"365 days\"", "length = \"60 days\""),
            ("from = \"day 20\"\nramp = \"40 days\"\n", ""),
            (
                "[feeding]",
                "steps = \"half from day 3, all from day 20\"\n\n[feeding]",
            ),
        ],
    );
    let said = flat(&printed(&["check", &plan.path]));
    assert!(
        said.contains("from day 3: 1 in steps, 1 from day 14"),
        "{said}"
    );
    let json = forecast(&plan);
    let fed = numbers(&json, "days", "fed_kg");
    assert!(
        fed[..3].iter().all(|kg| *kg == 0.0) && fed[3] > 0.0,
        "{fed:?}"
    );
    let months = json["months"].as_array().expect("months");
    let per_vs = |m: &Value| m["methane_l_per_kg_vs"]["p50"].as_f64();
    assert!(months.iter().all(|m| per_vs(m) > Some(0.0)));
    let solids = numbers(&json, "months", "vs_fed_kg");
    assert!(solids.iter().all(|kg| *kg > 0.0), "{solids:?}");
}

#[test]
fn two_seeds_and_a_latrine_are_told_with_their_cautions() {
    let plan = written(
        "laboratory-batch",
        &[(
            "[seed]",
            "[[seed]]\nkind = \"sewage sludge\"\nvolume = \"1 L\"\n\n[[seed]]",
        )],
    );
    let said = flat(&printed(&["check", &plan.path]));
    assert!(
        said.contains("digested sewage sludge") && said.contains("digestate"),
        "{said}"
    );
    let cautioned = |json: &Value| {
        let found = json["findings"].as_array().expect("findings");
        found.iter().any(|f| f["id"] == "human-or-pet-waste")
    };
    let json = forecast(&plan);
    assert!(cautioned(&json));
    assert_eq!(json["digestate"]["held_class"], "not_on_food");
    assert!(!cautioned(&forecast(&written("laboratory-batch", &[]))));
    let latrine = written(
        "high-larch-farm",
        &[
            ("animal = \"grower_pig\"", "animal = \"person\""),
            ("length = \"1 year\"", "length = \"40 days\""),
        ],
    );
    let json = forecast(&latrine);
    assert!(cautioned(&json));
}
