//! The rules of edges and cycles, on small crates written here.

use std::path::Path;

use super::*;
use crate::modules;
use crate::source::Source;

/// The graphs of a crate in one file, as `parent: a>b c>d`.
fn graphs(text: &str) -> Vec<String> {
    let file = Source::of(Path::new(""), "src/lib.rs".into(), text).unwrap();
    let modules = modules::read(Path::new("src/lib.rs"), &[file]).unwrap();
    let line = |(parent, edges): (Vec<String>, Edges)| {
        let edges: Vec<String> = edges.keys().map(|(a, b)| format!("{a}>{b}")).collect();
        format!("{}: {}", parent.join("::"), edges.join(" "))
    };
    edges(&modules).into_iter().map(line).collect()
}

#[test]
fn paths_in_uses_types_patterns_and_macros_are_edges() {
    for said in [
        "use crate::b::Thing;",
        "use crate::{b::{self, Thing as Other}};",
        "use super::{c::None, b::*};",
        "fn f(x: super::b::Thing) {}",
        "fn f() { let y = crate::b::thing(); }",
        "fn f(x: u8) { if let crate::b::Thing { .. } = x {} }",
        "fn f() { g::<Vec<crate::b::Thing>>() }",
        "fn f() { println!(\"{}\", crate::b::thing()); }",
        "macro_rules! m { () => { $crate::b::thing() } }",
        "mod deep { use super::super::b::Thing; }",
        "impl self::super::b::Does for u8 {}",
    ] {
        let found = graphs(&format!("mod a {{ {said} }} mod b {{}} mod c {{}}"));
        assert_eq!(found.len(), 1, "{said}: {found:?}");
        assert!(
            found[0].contains("a>b") && !found[0].contains("b>"),
            "{said}: {found:?}"
        );
    }
}

#[test]
fn what_is_no_reference_is_no_edge() {
    for said in [
        "use super::Own;",
        "#[cfg(test)] mod tests { use crate::b::Thing; }",
        "#[cfg(test)] use crate::b::Thing;",
        "#[doc(alias = \"crate::b\")] fn f() {}",
        "use b::Thing; use ::b::Other;",
        "mod b { pub struct Thing; } fn f(x: b::Thing) {}",
        "fn f(b: u8) -> u8 { use super::*; b }",
        "use super::*; fn f(b: u8) -> u8 { b }",
    ] {
        let text = format!("struct Own; use b::Thing; mod a {{ {said} }} mod b {{}}");
        assert!(graphs(&text).is_empty(), "{said}");
    }
}

#[test]
fn names_passed_on_are_followed_to_where_they_come_from() {
    let passed = "pub use b::deep::Thing; use crate::b as other; mod b { mod deep {} }";
    for said in [
        "use super::Thing;",
        "fn f(x: crate::Thing) {}",
        "use super::other; fn f() { other::deep::thing() }",
        "use super::*; fn f(x: Thing) {}",
        "use super::*; fn f() { b::thing() }",
    ] {
        assert_eq!(
            graphs(&format!("{passed} mod a {{ {said} }}")),
            [": a>b"],
            "{said}"
        );
    }
    // A function by the name of a module that is bound beside it.
    assert!(
        graphs("use b::f; fn b() {} mod a { fn g() { crate::b(); crate::b } } mod b {}").is_empty()
    );
    let twice = "mod p { pub use q::T; mod q { pub use super::r::T; } mod r {} } mod a { use crate::p::T; }";
    assert_eq!(graphs(twice), [": a>p", "p: q>r"]);
    // Bound to itself: a crate from outside.
    assert!(graphs("use csv::csv; mod a { use super::csv; }").is_empty());
}

#[test]
fn an_edge_stands_where_the_paths_part() {
    let text =
        "mod a { mod x { use super::y::Y; use crate::b::z::Z; } mod y {} } mod b { mod z {} }";
    assert_eq!(graphs(text), [": a>b", "a: x>y"]);
}

#[test]
fn knots_are_groups_that_lead_to_each_other() {
    let edges = ["ab", "bc", "ca", "cd", "de", "ed", "ef", "gg", "ga"];
    let found = knots(edges.iter().map(|e| e.split_at(1)));
    assert_eq!(found, [vec!["a", "b", "c"], vec!["d", "e"]]);
}

#[test]
fn a_cycle_has_its_edges_and_where_they_are_said() {
    let text = "mod a {\n use super::b::B;\n use super::c::C;\n}\nmod b {\n fn f() { crate::a::f() }\n}\nmod c {}";
    let file = Source::of(Path::new(""), "src/lib.rs".into(), text).unwrap();
    let modules = modules::read(Path::new("src/lib.rs"), &[file]).unwrap();
    let found = cycles(&edges(&modules));
    assert_eq!(found.len(), 1);
    assert_eq!(
        (found[0].parent.as_str(), found[0].members.join(" ")),
        ("crate", "a b".into())
    );
    let lines: Vec<usize> = found[0].edges.values().map(|(_, line)| *line).collect();
    assert_eq!(lines, [2, 6]);
}
