//! The rules the source is held to, counted anew on every run.

use std::collections::BTreeSet;
use std::path::Path;

use fenlamp_census::{Counted, count, report};

/// The most lines of a file that is no test; lowered when files are split.
const LONGEST_FILE: usize = 910;

/// The cycles known, as crate, parent and modules; struck out when one is undone.
const CYCLES: [(&str, &str, &str); 2] = [
    ("fenlamp", "crate", "cli web"),
    (
        "fenlamp",
        "crate::web",
        "access advice_routes edits negotiate plan_routes view",
    ),
];

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
    let found: BTreeSet<(&str, &str, String)> = counted
        .iter()
        .flat_map(|c| c.cycles.iter().map(|y| (c.member.name.as_str(), y)))
        .map(|(name, cycle)| (name, cycle.parent.as_str(), cycle.members.join(" ")))
        .collect();
    let known: BTreeSet<_> = CYCLES
        .iter()
        .map(|(c, p, m)| (*c, *p, m.to_string()))
        .collect();
    let new: Vec<_> = found.difference(&known).collect();
    let gone: Vec<_> = known.difference(&found).collect();
    assert!(
        new.is_empty(),
        "new cycles, `cargo run -p fenlamp-census -- --why` says where: {new:#?}"
    );
    assert!(
        gone.is_empty(),
        "undone, to be struck from CYCLES: {gone:#?}"
    );
}
