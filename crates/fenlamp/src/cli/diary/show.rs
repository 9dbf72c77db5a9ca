//! The entries, as they stand and as they were.

use std::path::Path;

use fenlamp_report::diary::words::say;
use fenlamp_report::diary::{Entry, WrittenEntry};
use jiff::civil::Date;

use super::{existing, units};
use crate::failure::Failure;
use crate::page::{Side, table};
use crate::plan_file::Opened;
use crate::view_model::diary::failed;

/// Entries as they stand.
pub fn show(
    opened: &Opened,
    path: &Path,
    from: Option<Date>,
    to: Option<Date>,
    names: bool,
) -> Result<String, Failure> {
    let entries = existing(path)?.standing(from, to).map_err(failed)?;
    if entries.is_empty() {
        return Ok("nothing is written down for these days\n".to_owned());
    }
    let mut before = None;
    let rows: Vec<Vec<String>> = entries
        .iter()
        .map(|e| {
            let same = before == Some(e.writing.date);
            before = Some(e.writing.date);
            let day = if same && !names {
                String::new()
            } else {
                e.writing.date.to_string()
            };
            let mut row = vec![day];
            if names {
                row.push(e.uid.chars().take(8).collect());
            }
            row.extend([
                e.writing
                    .time
                    .map(|t| t.strftime("%H:%M").to_string())
                    .unwrap_or_default(),
                e.writing.entry.kind().unwrap_or_default().to_owned(),
                said(opened, e),
            ]);
            row
        })
        .collect();
    let (head, sides): (&[&str], usize) = if names {
        (&["day", "name", "time", "kind", "what"], 5)
    } else {
        (&["day", "time", "kind", "what"], 4)
    };
    Ok(table(head, &vec![Side::Left; sides], &rows))
}

/// What an entry says, and in whose words.
fn said(opened: &Opened, e: &WrittenEntry) -> String {
    let said = say(&e.writing.entry, units(opened));
    let words = e.writing.words.trim();
    match &e.writing.entry {
        Entry::Note {} => words.to_owned(),
        _ if words.is_empty() || said.starts_with(words) => said,
        _ => format!("{said} (\"{words}\")"),
    }
}

/// One entry and what stood in its place before.
pub fn history(opened: &Opened, path: &Path, name: &str) -> Result<String, Failure> {
    let history = existing(path)?.history(name).map_err(failed)?;
    let mut rows = Vec::new();
    for (i, e) in std::iter::once(&history.now)
        .chain(&history.before)
        .enumerate()
    {
        rows.push(vec![
            if i == 0 { "stands" } else { "before" }.to_owned(),
            e.written.get(..16).unwrap_or(&e.written).replace('T', " "),
            e.writing.date.to_string(),
            e.writing.entry.kind().unwrap_or("taken back").to_owned(),
            said(opened, e),
        ]);
    }
    Ok(table(
        &["", "written (UTC)", "day", "kind", "what"],
        &[Side::Left; 5],
        &rows,
    ))
}
