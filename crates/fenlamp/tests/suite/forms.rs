//! What a program reads: JSON and CSV.

use serde_json::Value;

use crate::{DEMOS, command, printed};

fn json(demo: &str) -> Value {
    let text = printed(&[
        "forecast",
        &format!("demo:{demo}"),
        "--json",
        "--worlds",
        "8",
    ]);
    serde_json::from_str(&text).expect("the forecast is JSON")
}

/// Fields of the table in `docs/forecast-json.md`.
fn documented() -> Vec<&'static str> {
    include_str!("../../../../docs/forecast-json.md")
        .lines()
        .filter_map(|l| l.strip_prefix("| `")?.split('`').next())
        .collect()
}

/// Every value at `path` of the documented form; an empty list has none.
fn at<'v>(value: &'v Value, path: &str) -> Vec<&'v Value> {
    let path = path.trim_end_matches("{q}");
    let mut here = vec![value];
    for part in path.split('.') {
        let name = part.trim_end_matches("[]");
        here = here
            .into_iter()
            .map(|v| v.get(name).unwrap_or_else(|| panic!("no {name} of {path}")))
            .collect();
        if part.ends_with("[]") {
            here = here
                .into_iter()
                .flat_map(|v| v.as_array().unwrap_or_else(|| panic!("{path} is no list")))
                .collect();
        }
    }
    here
}

fn ordered_band(v: &Value) -> bool {
    let q = |name: &str| v.get(name).and_then(Value::as_f64);
    match (q("p10"), q("p50"), q("p90")) {
        (Some(low), Some(middle), Some(high)) => low <= middle && middle <= high,
        _ => false,
    }
}

/// Paths of all leaves, lists as `[]`, bands as `{q}`.
fn paths(value: &Value, here: &str, out: &mut Vec<String>) {
    match value {
        Value::Object(map) if map.contains_key("p50") => out.push(format!("{here}{{q}}")),
        Value::Object(map) => {
            for (name, v) in map {
                let dot = if here.is_empty() { "" } else { "." };
                paths(v, &format!("{here}{dot}{name}"), out);
            }
        }
        Value::Array(list) => list
            .iter()
            .for_each(|v| paths(v, &format!("{here}[]"), out)),
        _ => out.push(here.to_owned()),
    }
}

#[test]
fn the_json_has_every_documented_field_and_no_other() {
    let fields = documented();
    assert!(fields.len() > 50, "{}", fields.len());
    for (demo, days) in DEMOS {
        let forecast = json(demo);
        assert_eq!(forecast["format"], "fenlamp-forecast-1");
        assert_eq!(forecast["stamp"]["worlds"], 8);
        let no_train = forecast.get("gas_train").is_none();
        assert_eq!(no_train, demo == "laboratory-batch", "{demo}");
        for field in &fields {
            if no_train && field.starts_with("gas_train.") {
                continue;
            }
            if forecast.get("heap").is_none() && field.starts_with("heap.") {
                continue;
            }
            // Nothing sensible is left to change on the bench.
            if demo == "laboratory-batch" && field.starts_with("what_ifs[]") {
                continue;
            }
            let values = at(&forecast, field);
            assert!(!values.is_empty(), "{demo}: nothing at {field}");
            if field.ends_with("{q}") {
                let bad = values.iter().find(|v| !ordered_band(v));
                assert!(bad.is_none(), "{demo}: {field} is {bad:?}");
            }
        }
        assert_eq!(at(&forecast, "days[].day").len(), days, "{demo}");
        let mut found = Vec::new();
        paths(&forecast, "", &mut found);
        for path in found {
            let known = fields.iter().any(|f| {
                path == *f
                    || path.starts_with(&format!("{f}["))
                    || path.trim_end_matches("{q}") == *f
            });
            assert!(known, "{demo}: {path} is not documented");
        }
    }
}

#[test]
fn the_stamp_names_the_bytes_of_the_plan() {
    use std::fmt::Write as _;
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("empty-tail.toml");
    let text = printed(&["demo", "laboratory-batch"]) + "# one more line\n";
    std::fs::write(&path, &text).expect("written");
    let path = path.to_str().expect("a plain path");
    let ours: Value =
        serde_json::from_str(&printed(&["forecast", path, "--json", "--worlds", "2"]))
            .expect("JSON");
    let mut hex = String::new();
    for b in <sha2::Sha256 as sha2::Digest>::digest(text.as_bytes()) {
        let _ = write!(hex, "{b:02x}");
    }
    assert_eq!(ours["stamp"]["plan_sha256"], hex);
    assert_ne!(
        ours["stamp"]["plan_sha256"],
        json("laboratory-batch")["stamp"]["plan_sha256"]
    );
}

#[test]
fn the_same_seed_gives_the_same_digits_whatever_the_threads() {
    let args = [
        "forecast",
        "demo:high-larch-farm",
        "--json",
        "--worlds",
        "8",
        "--seed",
        "7",
    ];
    let once = printed(&args);
    assert_eq!(once, printed(&args));
    let alone = command(&args)
        .env("RAYON_NUM_THREADS", "1")
        .output()
        .expect("it starts");
    assert_eq!(once.as_bytes(), alone.stdout);
    let other = printed(&[
        "forecast",
        "demo:high-larch-farm",
        "--json",
        "--worlds",
        "8",
        "--seed",
        "8",
    ]);
    assert_ne!(once, other);
}

#[test]
fn the_csv_has_a_row_a_day_and_the_figures_of_the_json() {
    for (demo, days) in DEMOS {
        let text = printed(&[
            "forecast",
            &format!("demo:{demo}"),
            "--csv",
            "--worlds",
            "8",
        ]);
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        let head = reader.headers().expect("a head").clone();
        let rows: Vec<csv::StringRecord> = reader
            .records()
            .collect::<Result<_, _>>()
            .expect("even rows");
        assert_eq!(rows.len(), days, "{demo}");
        let forecast = json(demo);
        let column = |name: &str| head.iter().position(|h| h == name).expect("the column");
        for figure in documented()
            .iter()
            .filter_map(|f| f.strip_prefix("days[].")?.strip_suffix("{q}"))
        {
            for q in ["p10", "p50", "p90"] {
                let cell: f64 = rows[days / 2][column(&format!("{figure}_{q}"))]
                    .parse()
                    .expect("a number");
                let there = forecast["days"][days / 2][figure][q]
                    .as_f64()
                    .expect("a number");
                // The JSON reader rounds the last digit.
                assert!(
                    (cell - there).abs() <= 1e-12 * there.abs(),
                    "{demo}: {figure}_{q}"
                );
            }
        }
        assert_eq!(head.len(), 2 + 3 * 13);
    }
}

#[test]
fn worlds_go_on_until_the_bands_stand_still() {
    let args = ["forecast", "demo:laboratory-batch", "--json", "--worlds"];
    let read = |worlds: &str| -> Value {
        let text = printed(&[&args[..], &[worlds]].concat());
        serde_json::from_str(&text).expect("JSON")
    };
    let auto = read("auto");
    let worlds = auto["stamp"]["worlds"].as_u64().expect("a number");
    assert!(worlds.is_multiple_of(60) && worlds <= 600, "{worlds}");
    assert!(auto["convergence"]["steady"] == true || worlds == 600);
    // As many by count are the same worlds.
    let counted = read(&worlds.to_string());
    assert_eq!(auto["days"], counted["days"]);
    // Too few say that they are too few.
    let few = read("8");
    assert!(few["convergence"]["year_methane"]["p10_share"].is_null());
    assert_eq!(few["convergence"]["steady"], false);
}
