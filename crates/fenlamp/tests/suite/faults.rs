//! What goes wrong, and how it is told.

use std::process::Stdio;

use crate::{command, fits, printed, refused, run};

#[test]
fn every_fault_of_a_plan_is_told_with_its_line_and_a_way_out() {
    let folder = tempfile::tempdir().expect("a folder");
    let bad = printed(&["demo", "hollin-croft"])
        .replace("kind = \"tote\"", "knid = \"tote\"")
        .replace("slurry = \"850 L\"", "slurry = \"850\"");
    let path = folder.path().join("bad.toml");
    std::fs::write(&path, bad).expect("written");
    let path = path.to_str().expect("a plain path");
    for verb in ["check", "forecast"] {
        let said = refused(&[verb, path]);
        assert!(said.contains("2 faults"), "{said}");
        assert!(
            said.contains("did you mean \"kind\"") && said.contains("knid = \"tote\""),
            "{said}"
        );
        assert!(said.contains("write \"850 L\""), "{said}");
        // Plain signs where no terminal listens.
        assert!(said.contains("^") && !said.contains('\u{1b}'), "{said}");
    }
}

#[test]
fn how_a_figure_is_known_is_shown_or_told_to_be_misspelt() {
    let folder = tempfile::tempdir().expect("a folder");
    let demo = printed(&["demo", "laboratory-batch"]);
    let file = |to: &str| {
        let path = folder.path().join("mine.toml");
        let text = demo.replace("total_solids = \"88 %\"", to);
        assert_ne!(text, demo);
        std::fs::write(&path, text).expect("written");
        path.to_str().expect("a plain path").to_owned()
    };
    let understood = printed(&["check", &file("total_solids = \"88 %, measured\"")]);
    fits(&understood);
    assert!(
        understood.contains("measured TS; yours VS CH4"),
        "{understood}"
    );
    let said = refused(&["check", &file("total_solids = \"88 %, mesured\"")]);
    assert!(said.contains("did you mean \"measured\""), "{said}");
    assert!(said.contains("total_solids = \"88 %, mesured\""), "{said}");
}

#[test]
fn plans_that_are_none_are_refused_in_plain_words() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = |name: &str, bytes: &[u8]| {
        let path = folder.path().join(name);
        std::fs::write(&path, bytes).expect("written");
        path.to_str().expect("a plain path").to_owned()
    };
    let here = folder.path().to_str().expect("a plain path").to_owned();
    let cases = [
        (file("empty.toml", b""), "the file is empty"),
        (
            file("latin.toml", b"[plan]\nname = \"caf\xe9\"\n"),
            "not UTF-8",
        ),
        (file("noise.toml", b"\x00\x01\x02 = ["), "fault"),
        (file("csv.toml", b"a,b\n1,2\n"), "fault"),
        (format!("{here}/none.toml"), "there is no such file"),
        (here.clone(), "a folder, not a plan"),
        ("demo:nowhere".to_owned(), "there is no demo"),
    ];
    for (path, words) in &cases {
        for verb in ["check", "forecast"] {
            let said = refused(&[verb, path]);
            assert!(said.contains(words), "{path}: {said}");
            assert!(!said.contains("panicked"), "{path}: {said}");
        }
    }
}

#[test]
fn wrong_arguments_are_refused() {
    for args in [
        &["forecast"][..],
        &["forecst"],
        &["forecast", "demo:hollin-croft", "--worlds", "0"],
        &["forecast", "demo:hollin-croft", "--worlds", "many"],
        &["forecast", "demo:hollin-croft", "--seed", "-1"],
        &["forecast", "demo:hollin-croft", "--json", "--csv"],
        &["demo", "nowhere"],
        &["feedstocks", "qqqq"],
        &["sources", "NOSUCHKEY"],
    ] {
        fits(&refused(args));
    }
}

#[test]
fn a_reader_that_has_seen_enough_is_no_failure() {
    let mut child = command(&["feedstocks"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    drop(child.stdout.take());
    let out = child.wait_with_output().expect("it ends");
    assert!(
        out.stderr.is_empty(),
        "{}",
        String::from_utf8_lossy(&out.stderr)
    );
    assert_eq!(out.status.code(), Some(0));
}

#[test]
fn version_is_told() {
    let out = run(&["--version"]);
    assert_eq!(out.status.code(), Some(0));
    assert_eq!(
        String::from_utf8_lossy(&out.stdout),
        format!("fenlamp {}\n", env!("CARGO_PKG_VERSION"))
    );
}
