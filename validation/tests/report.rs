//! The checks hold, and `docs/validation.md` says what they say.
//! `FENLAMP_WRITE_REPORT=1 cargo test -p fenlamp-validation` writes it anew.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use fenlamp_validation::{Verdict, groups, report};

#[test]
fn every_check_holds_and_the_report_is_up_to_date() {
    let groups = groups::all();
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("../docs/validation.md");
    let text = report::markdown(&groups);
    if std::env::var_os("FENLAMP_WRITE_REPORT").is_some_and(|value| value == "1") {
        fs::create_dir_all(file.parent().expect("docs is below the root"))
            .expect("docs can be made");
        fs::write(&file, &text).expect("the report can be written");
    }

    let checks: Vec<_> = groups.iter().flat_map(|group| &group.checks).collect();
    let failing: Vec<_> = checks
        .iter()
        .filter(|check| check.verdict() == Verdict::Fails)
        .collect();
    assert!(failing.is_empty(), "checks that fail: {failing:#?}");

    assert!(checks.len() >= 40, "only {} checks", checks.len());
    assert!(
        groups.iter().all(|group| !group.checks.is_empty()),
        "a group has no check"
    );
    let ids: BTreeSet<_> = checks.iter().map(|check| check.id.as_str()).collect();
    assert_eq!(ids.len(), checks.len(), "two checks share an id");
    for check in &checks {
        assert!(!check.source.is_empty(), "{} names no source", check.id);
        let odd = [&check.what, &check.inputs, &check.unit, &check.source];
        assert!(
            !odd.iter().any(|text| text.contains(['|', '\n'])),
            "{} breaks its row",
            check.id
        );
    }

    let stored = fs::read_to_string(&file).unwrap_or_default();
    let apart = stored
        .lines()
        .zip(text.lines())
        .find(|(old, new)| old != new);
    assert!(
        report::same(&stored, &text),
        "docs/validation.md is out of date; first difference {apart:?}; \
         FENLAMP_WRITE_REPORT=1 writes it anew"
    );
}
