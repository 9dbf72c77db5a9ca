//! Tests of the tables.

use super::*;

#[test]
fn embedded_tables_have_no_fault() {
    let faults = check_all();
    let text: Vec<String> = faults.iter().map(ToString::to_string).collect();
    assert!(faults.is_empty(), "{}", text.join("\n"));
}
