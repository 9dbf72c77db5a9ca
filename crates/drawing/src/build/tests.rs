use fenlamp_model::plan::{NoFiles, Plan, read};
use fenlamp_quantity::Units;
use fenlamp_words::{Language, Words};
use uom::si::length::meter;

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

/// Heads at a pressure of 800 Pa, without a forecast.
fn heads_of(plan: &Plan) -> Vec<Option<Head>> {
    plan.gas_side
        .uses
        .iter()
        .map(|_| head(0.4, 800.0, 0.0, Units::Metric))
        .collect()
}

#[test]
fn the_parts_list_is_the_sum_of_the_joints() {
    for (name, plan) in demos() {
        let joints = joints(&plan, &heads_of(&plan));
        let lines = list(&joints);
        for line in &lines {
            let places: f64 = line.places.iter().map(|p| p.1.value()).sum();
            assert!(
                (places - line.amount.value()).abs() < 1e-9,
                "{name}: {line:?}"
            );
            assert!(line.amount.value() > 0.0, "{name}: {line:?}");
            for (letter, _) in &line.places {
                assert!(
                    joints.iter().any(|j| j.letter == *letter),
                    "{name}: {letter}"
                );
            }
        }
        let uses: usize = joints.iter().map(|j| j.uses.len()).sum();
        let places: usize = lines.iter().map(|l| l.places.len()).sum();
        assert_eq!(uses, places, "{name}");
        for (i, line) in lines.iter().enumerate() {
            assert_eq!(line.number, i + 1);
        }
    }
}

#[test]
fn the_hose_adds_up_to_the_line_of_the_plan() {
    for (name, plan) in demos() {
        let lines = list(&joints(&plan, &heads_of(&plan)));
        let hose: f64 = lines
            .iter()
            .filter(|l| l.item.key == "hose")
            .map(|l| l.amount.value())
            .sum();
        let want = plan
            .gas_side
            .line
            .as_ref()
            .map_or(0.0, |l| l.length.get::<meter>());
        assert!((hose - want).abs() < 1e-9, "{name}: {hose} m of {want} m");
    }
}

#[test]
fn valves_and_elbows_are_at_least_those_of_the_plan() {
    for (name, plan) in demos() {
        let lines = list(&joints(&plan, &heads_of(&plan)));
        let count = |key: &str| -> f64 {
            lines
                .iter()
                .filter(|l| l.item.key == key)
                .map(|l| l.amount.value())
                .sum()
        };
        let Some(l) = &plan.gas_side.line else {
            assert_eq!(count("valve") + count("hose"), 0.0, "{name}");
            continue;
        };
        assert!(count("valve") >= f64::from(l.valves), "{name}");
        // One at the vessel and one at each flame, whatever the plan says.
        assert!(
            count("valve") >= 1.0 + plan.gas_side.uses.len() as f64,
            "{name}"
        );
        assert_eq!(count("elbow"), f64::from(l.elbows), "{name}");
    }
}

#[test]
fn every_piece_of_a_joint_has_its_number_in_the_drawing() {
    for (name, plan) in demos() {
        let heads = heads_of(&plan);
        let joints = joints(&plan, &heads);
        let lines = list(&joints);
        for language in Language::ALL {
            let words = Words::of(language);
            for joint in &joints {
                let d = detail("t", &plan, joint, &lines, &heads, words);
                assert!(
                    !d.svg.contains("[[") && !d.svg.contains("NaN"),
                    "{name} {}: {}",
                    joint.key,
                    d.svg
                );
                let doc = roxmltree::Document::parse(&d.svg).expect(name);
                let shown: Vec<&str> = doc
                    .descendants()
                    .filter(|n| n.has_tag_name("text") && n.attribute("class") == Some("number"))
                    .filter_map(|n| n.text())
                    .collect();
                let wanted: Vec<String> = lines
                    .iter()
                    .filter(|l| l.places.iter().any(|p| p.0 == joint.letter))
                    .map(|l| l.number.to_string())
                    .collect();
                for n in &wanted {
                    assert_eq!(
                        shown.iter().filter(|s| *s == n).count(),
                        1,
                        "{name} {}: {n} of {shown:?}",
                        joint.key
                    );
                }
                assert_eq!(shown.len(), wanted.len(), "{name} {}", joint.key);
            }
            let doc = top("t", &plan, 680.0, words);
            assert!(
                roxmltree::Document::parse(&doc).is_ok()
                    && !doc.contains("NaN")
                    && !doc.contains("[["),
                "{name}"
            );
        }
    }
}

#[test]
fn a_burner_head_has_the_heat_of_its_gas() {
    // 0.4 m3/h at 60 % methane: 0.4 * 0.6 * 35.9 MJ/m3 (methane, net, dry, 0 degC;
    // ISO 6976) is 2.4 kW; wet at 20 degC it is about nine tenths of that.
    let h = head(0.4, 800.0, 0.0, Units::Metric).expect("a head");
    let scale = h.flow_m3_h / 0.4;
    assert!((0.85..=1.0).contains(&scale), "{h:?}");
    assert!((2.0..2.3).contains(&(h.heat_kw / scale)), "{h:?}");
    // Holes pass the mixture no faster than it burns: 0.4 m3/h with 2.9 volumes of
    // air through holes of 4.9 mm2 at 0.25 m/s or less are more than 300.
    assert!(h.holes > 250 && h.holes < 500, "{h:?}");
    assert!(h.throat_mm > h.jet_mm * 3.0, "{h:?}");
    assert_eq!(head(0.4, 0.0, 0.0, Units::Us), None);
    assert_eq!(head(f64::NAN, 800.0, 0.0, Units::Us), None);
    assert_eq!(head(0.4, f64::NAN, 0.0, Units::Us), None);
}

#[test]
fn shops_sizes_are_not_narrower_than_asked() {
    assert_eq!(hose_mm(13.0), (13.0, "1/2"));
    // 3/8 in is 9.5 mm, sold as 10 mm.
    assert_eq!(hose_mm(9.525), (10.0, "3/8"));
    assert_eq!(hose_mm(17.0), (19.0, "3/4"));
    assert_eq!(inches(25.4), "25 mm (1 in)");
    assert_eq!(inches(9.525), "9.5 mm (3/8 in)");
}
