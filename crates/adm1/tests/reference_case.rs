//! The case runner in raw ADM1 terms against an independent integration
//! (`validation/oracles/adm1.py`, SciPy BDF at rtol 1e-9), and its refusals.

#[allow(dead_code, reason = "the example's main is not called")]
#[path = "../examples/reference_case.rs"]
mod reference_case;

fn validation(path: &str) -> String {
    let path = format!("{}/../../validation/{path}", env!("CARGO_MANIFEST_DIR"));
    std::fs::read_to_string(&path).unwrap_or_else(|e| panic!("{path}: {e}"))
}

/// Columns by name of a CSV with `#` lines.
fn columns(text: &str) -> Vec<(String, Vec<f64>)> {
    let mut lines = text.lines().filter(|l| !l.starts_with('#'));
    let names: Vec<String> = lines
        .next()
        .expect("a head")
        .split(',')
        .map(str::to_owned)
        .collect();
    let rows: Vec<Vec<f64>> = lines
        .map(|l| l.split(',').map(|v| v.parse().expect("a number")).collect())
        .collect();
    let column = |i: usize| rows.iter().map(|r| r[i]).collect();
    names
        .into_iter()
        .enumerate()
        .map(|(i, n)| (n, column(i)))
        .collect()
}

#[test]
fn every_case_agrees_with_the_independent_integration() {
    for case in [
        "daily_fed",
        "feed_shock",
        "strong_feed",
        "recovery",
        "batch",
    ] {
        let ours =
            columns(&reference_case::run(&validation(&format!("cases/{case}.toml"))).unwrap());
        let theirs = columns(&validation(&format!("oracles/adm1_{case}.csv")));
        let mut compared = 0;
        for (name, expected) in &theirs {
            let Some((_, got)) = ours.iter().find(|(n, _)| n == name) else {
                continue;
            };
            assert_eq!(got.len(), expected.len(), "{case} {name}");
            if name == "day" {
                continue;
            }
            for (day, (a, b)) in got.iter().zip(expected).enumerate() {
                let off = (a - b).abs() / b.abs().max(1e-6);
                assert!(off < 2e-5, "{case} {name} row {day}: {a} against {b}");
            }
            compared += 1;
        }
        assert!(compared >= 29, "{case}: only {compared} columns compared");
    }
}

#[test]
fn a_faulty_case_is_refused_with_its_fault() {
    let good = validation("cases/daily_fed.toml");
    for (from, to, words) in [
        ("S_su =", "S_sugar =", "S_sugar is not a symbol"),
        (
            "liquid_m3 = 3400.0",
            "liquid_m3 = 0.0",
            "must be above zero",
        ),
        ("rtol = ", "tolerance = 1\nrtol = ", "unknown field"),
        ("S_aa = 0.005", "S_aa = nan\n# 0.005", "not a finite number"),
    ] {
        assert!(good.contains(from), "{from}");
        let fault = reference_case::run(&good.replacen(from, to, 1)).unwrap_err();
        assert!(fault.contains(words), "{fault}");
    }
}
