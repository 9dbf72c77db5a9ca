//! `docs/hazards.md` is what the rules say.

use std::path::Path;

use super::super::{RULES, markdown};

/// With `FENLAMP_WRITE_REPORT=1` the page is written anew, else compared.
#[test]
fn the_page_is_what_the_rules_say() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/hazards.md");
    let page = markdown();
    if std::env::var("FENLAMP_WRITE_REPORT").is_ok_and(|v| v == "1") {
        std::fs::write(&path, &page).unwrap();
    }
    let there = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(
        there == page,
        "docs/hazards.md is out of date: run the tests with FENLAMP_WRITE_REPORT=1"
    );
}

#[test]
fn every_limit_of_every_rule_is_in_the_tables() {
    for rule in RULES {
        for (i, limit) in rule.limits.iter().enumerate() {
            let shown = limit
                .shown()
                .unwrap_or_else(|| panic!("{}: limit {i}", rule.id));
            if let Some(key) = shown.key {
                assert!(
                    fenlamp_model::reference::source(&key).is_some(),
                    "{}: {key}",
                    rule.id
                );
            }
        }
        for key in rule.keys {
            assert!(
                fenlamp_model::reference::source(key).is_some(),
                "{}: {key}",
                rule.id
            );
        }
    }
}

#[test]
fn words_of_the_page_are_table_cells() {
    for rule in RULES {
        assert!(!rule.when.contains(['|', '\n']), "{}", rule.id);
    }
}
