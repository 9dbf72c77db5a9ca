//! The counts as Markdown.

use std::fmt::{self, Write};
use std::path::Path;

use crate::graph::{Cycle, knots};
use crate::source::Source;
use crate::{Counted, NO_PROSE};

/// The report; `why` and `prose` ask for the places too.
pub fn markdown(counted: &[Counted], why: bool, prose: bool) -> Result<String, fmt::Error> {
    let mut out = String::from("# Census\n\n## Lines\n\n");
    lines(&mut out, counted)?;
    files(&mut out, counted)?;
    cycles(&mut out, counted, why)?;
    sentences(&mut out, counted, prose)?;
    needs(&mut out, counted)?;
    Ok(out)
}

fn lines(out: &mut String, counted: &[Counted]) -> fmt::Result {
    writeln!(
        out,
        "All lines, empty ones and comments too. Tests: `tests.rs`, `*_tests.rs`,"
    )?;
    writeln!(
        out,
        "`tests/`, `benches/` and what is under `#[cfg(test)]`.\n"
    )?;
    writeln!(
        out,
        "| crate | .rs files | of them tests | lines | not tests | tests |"
    )?;
    writeln!(out, "|---|---:|---:|---:|---:|---:|")?;
    let mut row = |name: &str, files: &mut dyn Iterator<Item = &Source>| {
        let [mut number, mut whole, mut lines, mut tests] = [0; 4];
        for file in files {
            number += 1;
            whole += usize::from(file.test);
            lines += file.lines;
            tests += file.test_lines();
        }
        writeln!(
            out,
            "| {name} | {number} | {whole} | {lines} | {} | {tests} |",
            lines - tests
        )
    };
    for one in counted {
        row(&one.member.name, &mut one.member.files.iter())?;
    }
    let all = format!("**all {} crates**", counted.len());
    row(&all, &mut counted.iter().flat_map(|c| &c.member.files))
}

/// The files that are not tests, by their lines.
pub fn by_length(counted: &[Counted]) -> Vec<(usize, &Path)> {
    let files = counted
        .iter()
        .flat_map(|c| &c.member.files)
        .filter(|f| !f.test);
    let mut files: Vec<_> = files.map(|f| (f.lines, f.path.as_path())).collect();
    files.sort();
    files
}

fn files(out: &mut String, counted: &[Counted]) -> fmt::Result {
    let files = by_length(counted);
    writeln!(
        out,
        "\n## Files that are not tests\n\n| number | median lines | longest |\n|---:|---:|---|"
    )?;
    let median = files.get(files.len() / 2).map_or(0, |f| f.0);
    let (lines, path) = files.last().copied().unwrap_or((0, Path::new("-")));
    writeln!(
        out,
        "| {} | {median} | `{}`, {lines} lines |",
        files.len(),
        path.display()
    )
}

fn cycles(out: &mut String, counted: &[Counted], why: bool) -> fmt::Result {
    let all: Vec<(&str, &Cycle)> = counted
        .iter()
        .flat_map(|c| c.cycles.iter().map(|y| (c.member.name.as_str(), y)))
        .collect();
    writeln!(out, "\n## Module cycles: {}\n", all.len())?;
    if !all.is_empty() {
        writeln!(out, "| crate | in | modules | number |\n|---|---|---|---:|")?;
    }
    for (name, cycle) in &all {
        let members = cycle.members.join(", ");
        writeln!(
            out,
            "| {name} | `{}` | {members} | {} |",
            cycle.parent,
            cycle.members.len()
        )?;
    }
    for (name, cycle) in all.iter().filter(|_| why) {
        writeln!(out, "\n{name}, `{}`:\n", cycle.parent)?;
        for ((a, b), (file, line)) in &cycle.edges {
            writeln!(out, "- {a} -> {b}: {}:{line}", file.display())?;
        }
    }
    Ok(())
}

fn sentences(out: &mut String, counted: &[Counted], places: bool) -> fmt::Result {
    let all: usize = counted.iter().map(|c| c.prose.len()).sum();
    writeln!(out, "\n## Sentences in code: {all}\n")?;
    writeln!(
        out,
        "String literals of three words or more outside tests, attributes and"
    )?;
    writeln!(
        out,
        "assertions. Not looked at: `examples/`, `benches/`, {}.\n",
        NO_PROSE.join(", ")
    )?;
    writeln!(out, "| crate | sentences |\n|---|---:|")?;
    for one in counted
        .iter()
        .filter(|c| !NO_PROSE.contains(&c.member.name.as_str()))
    {
        writeln!(out, "| {} | {} |", one.member.name, one.prose.len())?;
    }
    if places {
        writeln!(out)?;
    }
    for one in counted.iter().filter(|_| places).flat_map(|c| &c.prose) {
        writeln!(out, "- {}:{}: {:?}", one.file.display(), one.line, one.text)?;
    }
    Ok(())
}

fn needs(out: &mut String, counted: &[Counted]) -> fmt::Result {
    writeln!(
        out,
        "\n## What the crates need of each other\n\n| crate | needs |\n|---|---|"
    )?;
    for one in counted {
        writeln!(
            out,
            "| {} | {} |",
            one.member.name,
            one.member.needs.join(", ")
        )?;
    }
    let edges = counted.iter().flat_map(|c| {
        c.member
            .needs
            .iter()
            .map(|need| (c.member.name.as_str(), need.as_str()))
    });
    let knots: Vec<String> = knots(edges).iter().map(|knot| knot.join(", ")).collect();
    let said = if knots.is_empty() {
        "none".into()
    } else {
        knots.join("; ")
    };
    writeln!(out, "\nCycles among them: {said}.")
}
