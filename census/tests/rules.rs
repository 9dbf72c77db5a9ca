//! The rules the source is held to, counted anew on every run.

use std::path::Path;

use fenlamp_census::{Counted, count, report};

/// The most lines of a file that is no test; lowered when files are split.
const LONGEST_FILE: usize = 650;

fn counted() -> Vec<Counted> {
    count(Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/.."))).expect("the workspace is read")
}

#[test]
fn no_file_is_too_long() {
    let counted = counted();
    let long: Vec<_> = report::by_length(&counted)
        .into_iter()
        .filter(|(n, _)| *n > LONGEST_FILE)
        .collect();
    assert!(
        long.is_empty(),
        "longer than {LONGEST_FILE} lines: {long:?}"
    );
}

#[test]
fn no_cycles() {
    let counted = counted();
    let found: Vec<(&str, &str, String)> = counted
        .iter()
        .flat_map(|c| c.cycles.iter().map(|y| (c.member.name.as_str(), y)))
        .map(|(name, cycle)| (name, cycle.parent.as_str(), cycle.members.join(" ")))
        .collect();
    assert!(
        found.is_empty(),
        "`cargo run -p fenlamp-census -- --why` says where: {found:#?}"
    );
}
