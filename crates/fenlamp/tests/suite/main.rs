//! The program from outside: run it, read what it prints.

mod advice;
mod booklet;
mod diary;
mod faults;
mod forms;
mod lessons;
mod listen;
mod pages;
mod plans;
mod work_out;

use std::process::{Command, Output};

/// The demos, by name, with the days of their forecasts.
const DEMOS: [(&str, usize); 4] = [
    ("hollin-croft", 730),
    ("mango-yard-school", 365),
    ("high-larch-farm", 365),
    ("laboratory-batch", 60),
];

fn command(args: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_fenlamp"));
    command.args(args).env_remove("NO_COLOR");
    command
}

fn run(args: &[&str]) -> Output {
    command(args).output().expect("the program starts")
}

/// What a successful run printed.
fn printed(args: &[&str]) -> String {
    let out = run(args);
    let err = String::from_utf8_lossy(&out.stderr);
    assert_eq!(out.status.code(), Some(0), "{args:?}: {err}");
    assert!(err.is_empty(), "{args:?} complains: {err}");
    String::from_utf8(out.stdout).expect("text is UTF-8")
}

/// What a refused run said on the error output; nothing may stand on the other.
fn refused(args: &[&str]) -> String {
    let out = run(args);
    let err = String::from_utf8(out.stderr).expect("text is UTF-8");
    assert_eq!(out.status.code(), Some(2), "{args:?}: {err}");
    assert!(out.stdout.is_empty(), "{args:?}");
    err
}

/// Asserts that no line passes 80 columns and none carries an escape. A web
/// address is not broken, so that it can be copied; it stands alone then.
fn fits(text: &str) {
    for line in text.lines() {
        let address = line.trim_start().starts_with("http") && !line.trim().contains(' ');
        assert!(
            address || line.chars().count() <= 80,
            "{} columns: {line}",
            line.chars().count()
        );
        assert!(!line.contains('\u{1b}'), "{line:?}");
        assert_eq!(line.trim_end(), line, "blanks at the end: {line:?}");
    }
}

/// A demo's text with its units changed to `units`.
fn in_units(demo: &str, units: &str) -> String {
    let text = printed(&["demo", demo]);
    let mut out = String::new();
    for line in text.lines() {
        if line.starts_with("units =") {
            continue;
        }
        out.push_str(line);
        out.push('\n');
        if line == "[plan]" {
            out.push_str(&format!("units = \"{units}\"\n"));
        }
    }
    out
}
