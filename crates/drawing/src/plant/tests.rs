use fenlamp_model::plan::{NoFiles, read};
use fenlamp_report::hazard::Severity;
use fenlamp_words::{Language, Words};

use super::*;

fn demos() -> Vec<(&'static str, Plan)> {
    [
        (
            "hollin",
            include_str!("../../../../examples/hollin-croft.toml"),
        ),
        (
            "mango",
            include_str!("../../../../examples/mango-yard-school.toml"),
        ),
        (
            "larch",
            include_str!("../../../../examples/high-larch-farm.toml"),
        ),
        (
            "bench",
            include_str!("../../../../examples/laboratory-batch.toml"),
        ),
    ]
    .map(|(name, text)| (name, read(text, name, &NoFiles).expect(name)))
    .into()
}

fn view(width: f64, language: Language) -> View<'static> {
    View {
        id: "t".to_owned(),
        width,
        words: Words::of(language),
    }
}

#[test]
fn every_demo_is_drawn_whole_at_every_width() {
    for (name, plan) in demos() {
        for width in [0.0, 344.0, 560.0, 720.0, f64::NAN] {
            for language in Language::ALL {
                let d = drawing(&plan, &[], &view(width, language));
                let doc = roxmltree::Document::parse(&d.svg).expect(name);
                assert!(!d.svg.contains("NaN") && !d.svg.contains("inf"), "{name}");
                assert!(
                    !d.svg.contains("[["),
                    "{name}: a key without words\n{}",
                    d.svg
                );
                // Every fill that is asked for is there.
                for piece in d.svg.split("url(#").skip(1) {
                    let id = piece.split(')').next().expect("id");
                    assert!(
                        doc.descendants().any(|n| n.attribute("id") == Some(id)),
                        "{id}"
                    );
                }
                for part in &d.parts {
                    let marks = format!("data-part=\"{}\"", part.id);
                    assert!(d.svg.contains(&marks), "{name}: {} is not drawn", part.id);
                    assert!(
                        !part.figures.is_empty(),
                        "{name}: {} has no figures",
                        part.id
                    );
                    assert!(
                        part.at[2] > 0.0 && part.at[3] > 0.0,
                        "{name}: {} has no place",
                        part.id
                    );
                }
            }
        }
    }
}

#[test]
fn words_stay_on_the_page() {
    for (name, plan) in demos() {
        for width in [344.0, 720.0] {
            let d = drawing(&plan, &[], &view(width, Language::German));
            let doc = roxmltree::Document::parse(&d.svg).expect(name);
            let tall: f64 = doc
                .root_element()
                .attribute("height")
                .and_then(|h| h.parse().ok())
                .expect("height");
            for text in doc.descendants().filter(|n| n.has_tag_name("text")) {
                let get = |a: &str| {
                    text.attribute(a)
                        .and_then(|v| v.parse::<f64>().ok())
                        .expect("number")
                };
                let words = text.text().unwrap_or_default();
                let half = crate::svg::text_width(words, 12.0)
                    * match text.attribute("text-anchor") {
                        Some("middle") => 0.5,
                        _ => 1.0,
                    };
                assert!(
                    get("x") + half <= width + 14.0,
                    "{name} {width}: {words:?} ends at {}",
                    get("x") + half
                );
                assert!(get("y") <= tall, "{name} {width}: {words:?}");
            }
        }
    }
}

#[test]
fn a_change_of_the_plan_changes_the_drawing() {
    let text = include_str!("../../../../examples/high-larch-farm.toml");
    let plan = |t: &str| read(t, "t", &NoFiles).expect("plan");
    let svg = |t: &str| drawing(&plan(t), &[], &view(720.0, Language::English)).svg;
    let before = svg(text);
    for (old, new, shown) in [
        ("volume = \"58 gal\"", "volume = \"30 gal\"\n", None),
        (
            "depth = \"6 in wc\"",
            "depth = \"9 in wc\"",
            Some("9\u{a0}in\u{a0}wc"),
        ),
        ("count = 4", "count = 2", Some("tubes 2, ring")),
        (
            "thickness = \"12 in\"",
            "thickness = \"6 in\"",
            Some("6\u{a0}in loose straw"),
        ),
        (
            "kind = \"mesh\"\ngap = \"0.5 mm\"",
            "kind = \"water seal\"\ndepth = \"1 in\"",
            Some("1\u{a0}in of"),
        ),
    ] {
        let new_text = text.replace(old, new).replace(
            "slurry = \"46 gal\"",
            if old.starts_with("volume") {
                "slurry = \"25 gal\""
            } else {
                "slurry = \"46 gal\""
            },
        );
        assert_ne!(new_text, text, "{old}");
        let after = svg(&new_text);
        assert_ne!(before, after, "{old}");
        if let Some(shown) = shown {
            assert!(after.contains(shown) && !before.contains(shown), "{shown}");
        }
    }
}

#[test]
fn the_slurry_stands_at_its_share_of_the_height() {
    for (name, plan) in demos() {
        let form = section::Form::of(&plan.vessel);
        let share = (plan.vessel.liquid / plan.vessel.volume).value;
        if form.lying {
            // Three quarters of a lying cylinder stand at 0.702 of its diameter
            // (circular segment: from h = 0.702, (a - sin a) / 2 pi = 0.75).
            assert!((share - 0.75).abs() < 1e-9, "{name}");
            assert!(
                (form.depth() / form.high - 0.702).abs() < 1e-3,
                "{name}: {}",
                form.depth() / form.high
            );
        } else {
            assert!((form.depth() / form.high - share).abs() < 1e-9, "{name}");
        }
    }
}

#[test]
fn the_scale_bar_and_the_vessel_agree() {
    for (name, plan) in demos() {
        for width in [344.0, 720.0] {
            let layout = scene::Layout::of(&plan, width, width < 560.0);
            let d = drawing(&plan, &[], &view(width, Language::English));
            let vessel = d
                .parts
                .iter()
                .find(|p| p.kind == Kind::Vessel)
                .expect("vessel");
            let form = section::Form::of(&plan.vessel);
            assert!(
                (vessel.at[2] / layout.scale - form.wide).abs() < 1e-6,
                "{name}"
            );
            assert!(
                (vessel.at[3] / layout.scale - form.high).abs() < 1e-6,
                "{name}"
            );
            // Tall enough to be read.
            assert!(
                vessel.at[3] >= 37.0,
                "{name} at {width}: {} px",
                vessel.at[3]
            );
        }
    }
}

#[test]
fn a_caution_is_a_shape_and_a_word() {
    let (_, plan) = demos().remove(0);
    let plain = drawing(&plan, &[], &view(720.0, Language::English)).svg;
    assert!(!plain.contains("caution"));
    let note = |severity| {
        [PartNote {
            part: Kind::Headspace,
            severity,
        }]
    };
    let stop = drawing(
        &plan,
        &note(Severity::Stop),
        &view(720.0, Language::English),
    )
    .svg;
    assert!(stop.contains("caution stop") && stop.contains(">stop<"));
    let care = drawing(&plan, &note(Severity::Care), &view(720.0, Language::German)).svg;
    assert!(care.contains("caution care") && care.contains(">Vorsicht<"));
}
