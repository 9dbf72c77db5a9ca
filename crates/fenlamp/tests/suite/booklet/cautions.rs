//! Reading test against the published cautions: each that applies to a demo
//! stands beside its step, and none that does not.

use std::collections::BTreeSet;

use super::{attribute, booklet};
use crate::DEMOS;

/// Section and place of every point of `reference/safety_cautions.md`.
fn points() -> Vec<String> {
    let mut out = Vec::new();
    let (mut section, mut place) = (String::new(), 0);
    for line in include_str!("../../../../../reference/safety_cautions.md").lines() {
        if let Some(head) = line.strip_prefix("## ") {
            section = head.split('.').next().expect("number").to_owned();
            place = 0;
        } else if line.starts_with("* ") {
            place += 1;
            out.push(format!("{section}.{place}"));
        }
    }
    out
}

/// Points that apply to every plant that has a gas side and uses.
const COMMON: [&str; 44] = [
    "0.1", "0.2", "0.3", "0.4", "0.5", "0.6", "0.7", "0.8", "0.9", "1.1", "1.2", "1.3", "1.4",
    "1.5", "2.1", "2.2", "2.3", "2.4", "2.5", "2.6", "2.7", "2.8", "3.9", "4.1", "4.2", "4.4",
    "5.1", "5.2", "5.3", "5.4", "5.5", "6.1", "6.2", "6.3", "6.4", "6.5", "7.1", "7.2", "7.6",
    "7.7", "8.1", "8.2", "8.4", "8.5",
];

/// By hand from the plans: what else applies to each demo.
fn expected(demo: &str) -> BTreeSet<&'static str> {
    let more: &[&str] = match demo {
        // Tote of 1000 L (a person could get in), floating drum (a drum), wood ash into
        // the fill, frost, a heap in the open, kettle without and heater with a flue (a
        // bought one), no kitchen waste, no room told.
        "hollin-croft" => &[
            "3.1", "3.2", "3.3", "3.4", "4.3", "4.5", "5.6", "6.7", "6.8", "7.3", "9.1", "9.2",
            "9.3", "9.4", "9.6", "9.7",
        ],
        // Long bag in a trench, a warm place, a weighted bag, kitchen waste, a stove.
        "mango-yard-school" => &["1.6", "4.3", "5.6", "6.8", "7.5", "8.3"],
        // A drum in a greenhouse, ash lye, tubes with a weight, kitchen waste, frost.
        "high-larch-farm" => &[
            "1.6", "3.1", "3.2", "3.3", "3.4", "3.5", "3.6", "3.7", "3.8", "4.5", "5.6", "5.9",
            "7.3", "7.4", "7.5", "8.3", "9.1", "9.2", "9.3", "9.4", "9.6", "9.7",
        ],
        // A bench drum in a room, no gas side: the common list does not hold.
        "laboratory-batch" => {
            return [
                "0.1", "0.2", "0.3", "0.4", "0.5", "0.7", "0.8", "1.1", "1.2", "1.3", "1.4", "1.5",
                "2.1", "2.3", "2.4", "2.5", "2.6", "2.7", "2.8", "4.1", "4.2", "4.4", "4.5", "5.9",
                "7.2", "7.3", "8.1", "8.2", "8.4",
            ]
            .into();
        }
        other => panic!("no list for {other}"),
    };
    COMMON.iter().chain(more).copied().collect()
}

#[test]
fn every_published_point_is_known() {
    let points = points();
    assert_eq!(points.len(), 75);
    let used: BTreeSet<&str> = DEMOS.iter().flat_map(|(d, _)| expected(d)).collect();
    for at in &used {
        assert!(points.iter().any(|p| p == at), "no point {at}");
    }
}

#[test]
fn each_caution_that_applies_stands_and_no_other() {
    for (demo, _) in DEMOS {
        for language in ["en", "de"] {
            let html = booklet(demo, language, "a4");
            let shown = attribute(&html, "data-caution");
            let got: BTreeSet<&str> = shown.iter().copied().collect();
            assert_eq!(shown.len(), got.len(), "{demo}: one caution twice");
            let want = expected(demo);
            let missing: Vec<_> = want.difference(&got).collect();
            let too_many: Vec<_> = got.difference(&want).collect();
            assert!(
                missing.is_empty() && too_many.is_empty(),
                "{demo}: missing {missing:?}, too many {too_many:?}"
            );
        }
    }
}

/// Steps in which the points of a section may stand.
fn steps(at: &str) -> &'static [&'static str] {
    let (section, place) = at.split_once('.').expect("a point");
    match (section, place) {
        ("0", _) => &["first", "site", "build", "first-gas", "flame"],
        ("1", "1") => &["leak-test"],
        ("1", _) => &["fill"],
        ("2", _) => &["first-gas"],
        ("3", "1" | "2" | "3" | "4" | "5") => &["caustic"],
        ("3", _) => &["service"],
        ("4", _) => &["empty"],
        ("5" | "6", _) => &["site", "build", "burner", "flame"],
        ("7", _) => &["store", "build"],
        ("8", _) => &["digestate"],
        ("9", "5") => &["site"],
        _ => &["winter"],
    }
}

#[test]
fn cautions_and_findings_stand_beside_their_step() {
    for (demo, _) in DEMOS {
        let html = booklet(demo, "en", "a4");
        let mut found = BTreeSet::new();
        for part in html.split("<section class=\"step\" data-step=\"").skip(1) {
            let step = part.split('"').next().expect("a step");
            let inside = part.split("</section>").next().expect("its end");
            for at in attribute(inside, "data-caution") {
                assert!(steps(at).contains(&step), "{demo}: {at} beside {step}");
            }
            found.extend(attribute(inside, "data-finding"));
        }
        let json: serde_json::Value = serde_json::from_str(&crate::printed(&[
            "forecast",
            &format!("demo:{demo}"),
            "--json",
            "--worlds",
            super::WORLDS,
        ]))
        .expect("JSON");
        for f in json["findings"].as_array().expect("findings") {
            let id = f["id"].as_str().expect("id");
            assert!(
                found.contains(id),
                "{demo}: the finding {id} stands beside no step"
            );
        }
    }
}

#[test]
fn a_caution_is_marked_by_shape_and_word() {
    let html = booklet("high-larch-farm", "en", "a4");
    for item in html.split("data-caution=").skip(1) {
        let item = item.split("</li>").next().expect("item");
        assert!(
            item.contains("<svg") && (item.contains("stop</span>") || item.contains("care</span>")),
            "{item}"
        );
    }
}
