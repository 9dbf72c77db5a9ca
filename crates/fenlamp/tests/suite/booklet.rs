//! The booklet from outside: what it shows, what it is, and how it prints.

mod cautions;
mod figures;
mod print;

use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::{LazyLock, Mutex};

use crate::{DEMOS, printed};

/// Worlds of the tests: enough for every rule to speak, quick to run.
const WORLDS: &str = "8";

static WRITTEN: LazyLock<Mutex<BTreeMap<String, String>>> = LazyLock::new(Mutex::default);

/// The booklet of a demo; each is made once.
fn booklet(demo: &str, language: &str, paper: &str) -> String {
    let key = format!("{demo}-{language}-{paper}");
    let mut written = WRITTEN.lock().expect("no test panics while writing");
    written
        .entry(key)
        .or_insert_with(|| {
            let folder = tempfile::tempdir().expect("a folder");
            let file: PathBuf = folder.path().join("b.html");
            let said = printed(&[
                "booklet",
                &format!("demo:{demo}"),
                "-o",
                file.to_str().expect("a path"),
                "--worlds",
                WORLDS,
                "--language",
                language,
                "--paper",
                paper,
            ]);
            assert!(
                said.contains("It needs no network") && said.contains("To print"),
                "{said}"
            );
            std::fs::read_to_string(file).expect("the booklet")
        })
        .clone()
}

/// Values of an attribute, in order.
fn attribute<'t>(html: &'t str, name: &str) -> Vec<&'t str> {
    let start = format!(" {name}=\"");
    html.split(start.as_str())
        .skip(1)
        .filter_map(|rest| rest.split('"').next())
        .collect()
}

/// Text without tags, with the few entities that maud writes undone.
fn plain(html: &str) -> String {
    let mut out = String::new();
    let mut tag = false;
    for c in html.chars() {
        match c {
            '<' => tag = true,
            '>' => tag = false,
            c if !tag => out.push(c),
            _ => {}
        }
    }
    out.replace("&amp;", "&")
        .replace("&lt;", "<")
        .replace("&gt;", ">")
        .replace("&quot;", "\"")
}

#[test]
fn it_is_one_small_file_without_outside_addresses() {
    for (demo, _) in DEMOS {
        for language in ["en", "de"] {
            let html = booklet(demo, language, "a4");
            assert!(html.len() < 2_000_000, "{demo}: {} bytes", html.len());
            assert!(html.starts_with("<!DOCTYPE html>"));
            assert!(html.contains(&format!("<html lang=\"{language}\"")));
            // Nothing is fetched: no address but names of the SVG form, no script, no file.
            let rest = html.replace("http://www.w3.org/2000/svg", "");
            for outside in [
                "src=", "url(http", "@import", "<script", "<link", "<img", "<iframe",
            ] {
                assert!(!rest.contains(outside), "{demo}: {outside}");
            }
            for href in attribute(&rest, "href") {
                assert!(href.starts_with('#'), "{demo}: {href}");
            }
            for word in ["[[", "NaN", "inf "] {
                assert!(!html.contains(word), "{demo} {language}: {word}");
            }
        }
    }
}

#[test]
fn links_and_fills_lead_somewhere_and_ids_are_single() {
    for (demo, _) in DEMOS {
        let html = booklet(demo, "en", "a4");
        let ids = attribute(&html, "id");
        for (i, id) in ids.iter().enumerate() {
            assert!(!ids[i + 1..].contains(id), "{demo}: {id} twice");
        }
        for piece in html.split("url(#").skip(1) {
            let id = piece.split(')').next().expect("id");
            assert!(ids.contains(&id), "{demo}: {id}");
        }
        for href in attribute(&html, "href") {
            let id = href.trim_start_matches('#');
            assert!(ids.contains(&id), "{demo}: {href} leads nowhere");
        }
    }
}

#[test]
fn the_parts_list_closes() {
    for (demo, _) in DEMOS {
        let html = booklet(demo, "en", "a4");
        let list = html
            .split("id=\"parts-list\"")
            .nth(1)
            .and_then(|t| t.split("</table>").next())
            .expect("list");
        let joints = attribute(&html, "data-joint");
        let mut placed = std::collections::BTreeSet::new();
        for row in list.split("<tr ").skip(1) {
            let amounts: Vec<f64> = attribute(&format!(" {row}"), "data-amount")
                .iter()
                .map(|a| a.parse().expect("number"))
                .collect();
            let (whole, parts) = amounts.split_first().expect("amount");
            assert!(
                (whole - parts.iter().sum::<f64>()).abs() < 1e-6,
                "{demo}: {row}"
            );
            for place in attribute(row, "data-place") {
                assert!(joints.contains(&place), "{demo}: no joint {place}");
                placed.insert((
                    attribute(&format!(" {row}"), "data-number")[0].to_owned(),
                    place.to_owned(),
                ));
            }
        }
        // Each joint shows exactly the pieces that the list places there.
        let mut shown = std::collections::BTreeSet::new();
        for figure in html.split("<figure data-joint=").skip(1) {
            let figure = figure.split("</figure>").next().expect("figure");
            let numbers = attribute(figure, "data-number");
            assert!(!numbers.is_empty());
            let letter = figure.split('"').nth(1).expect("a letter");
            for n in numbers {
                shown.insert((n.to_owned(), letter.to_owned()));
                let ring = format!("text-anchor=\"middle\">{n}</text>");
                assert!(figure.contains(&ring), "{demo}: {n} is not in its drawing");
            }
        }
        assert_eq!(placed, shown, "{demo}");
    }
}

#[test]
fn the_first_filling_fills_the_vessel() {
    // Marks of the plans: 850 L, 4.5 m3, 46 gal (174 L) and 15 L; a litre of seed
    // or water is taken to weigh a kilogram.
    for (demo, litres) in [
        ("hollin-croft", 850.0),
        ("mango-yard-school", 4500.0),
        ("high-larch-farm", 174.13),
        ("laboratory-batch", 15.0),
    ] {
        let html = booklet(demo, "en", "a4");
        let kg: Vec<f64> = attribute(&html, "data-kg")
            .iter()
            .map(|k| k.parse().expect("number"))
            .collect();
        let sum: f64 = attribute(&html, "data-sum")[0].parse().expect("number");
        assert!((kg.iter().sum::<f64>() - sum).abs() < 1e-9, "{demo}");
        assert!(
            (sum - litres).abs() < 0.05 * litres / 100.0 + 0.1,
            "{demo}: {sum} kg for {litres} L"
        );
    }
}

#[test]
fn a_change_of_the_plan_changes_the_booklet() {
    let plan = printed(&["demo", "high-larch-farm"]);
    let folder = tempfile::tempdir().expect("a folder");
    let make = |text: &str, name: &str| {
        let (plan, out) = (
            folder.path().join(format!("{name}.toml")),
            folder.path().join(format!("{name}.html")),
        );
        std::fs::write(&plan, text).expect("write");
        printed(&[
            "booklet",
            plan.to_str().expect("path"),
            "-o",
            out.to_str().expect("path"),
            "--worlds",
            "2",
        ]);
        std::fs::read_to_string(out).expect("booklet")
    };
    let before = make(&plan, "a");
    let after = make(
        &plan
            .replace("length = \"30 ft\"", "length = \"45 ft\"")
            .replace("depth = \"6 in wc\"", "depth = \"8 in wc\""),
        "b",
    );
    assert!(before.contains("30\u{a0}ft") && after.contains("45\u{a0}ft"));
    // Relief at eight inches: the leak test goes to eight tenths of it.
    assert!(
        plain(&before).contains("4.8\u{a0}in\u{a0}wc")
            && plain(&after).contains("6.4\u{a0}in\u{a0}wc")
    );
}

#[test]
fn what_cannot_be_written_is_told() {
    let err = crate::refused(&[
        "booklet",
        "demo:laboratory-batch",
        "-o",
        "/no/such/folder/b.html",
        "--worlds",
        "2",
    ]);
    assert!(err.contains("/no/such/folder/b.html"), "{err}");
    let err = crate::refused(&[
        "booklet",
        "demo:laboratory-batch",
        "-o",
        "b.html",
        "--language",
        "xx",
    ]);
    assert!(err.contains("de"), "{err}");
}

#[test]
fn no_flame_is_offered_before_the_stricter_of_its_conditions() {
    for (demo, _) in DEMOS {
        let html = booklet(demo, "en", "a4");
        let json: serde_json::Value = serde_json::from_str(&printed(&[
            "forecast",
            &format!("demo:{demo}"),
            "--json",
            "--worlds",
            WORLDS,
        ]))
        .expect("JSON");
        let findings = json["findings"].as_array().expect("findings");
        let evidence = |id: &str, name: &str| -> f64 {
            let found = findings.iter().find(|f| f["id"] == id);
            let all = found.and_then(|f| f["evidence"].as_array());
            let one = all.and_then(|e| e.iter().find(|e| e["name"] == name));
            one.and_then(|e| e["value"].as_f64()).unwrap_or(0.0)
        };
        let flame = json["first_flame"]["day"]["p10"].as_f64();
        let (purged, air) = (
            evidence("purge-volume", "purged_on_day_p50"),
            evidence("headspace-air", "days_until_below_p90"),
        );
        let mut days = 0;
        for row in html.split("<tr data-day=\"").skip(1) {
            let day: f64 = row
                .split('"')
                .next()
                .and_then(|d| d.parse().ok())
                .expect("day");
            let row = plain(row.split("</tr>").next().expect("row"));
            let (sample, then) = (
                row.contains("a sample, far off"),
                row.contains("if the sample burns"),
            );
            if sample || then {
                // Five days: the stricter end of the published three to five.
                let least = flame.expect("a flame is expected").max(5.0).max(purged);
                assert!(day >= least, "{demo}: day {day}, not before {least}");
            }
            assert!(!then || day >= air, "{demo}: day {day}, air until {air}");
            days += 1;
        }
        assert!(days >= 42, "{demo}");
    }
}

#[test]
fn its_help_fits_the_page() {
    crate::fits(&printed(&["booklet", "--help"]));
}
