//! `fenlamp today`: what to do, and what may be wrong.

use std::path::PathBuf;

use clap::Args;
use fenlamp_report::learn::inquiry::name;
use fenlamp_report::learn::record::Record;
use fenlamp_report::learn::today::Today;
use jiff::civil::Date;
use serde::Serialize;

use super::diary;
use crate::failure::Failure;
use crate::page::wrap;
use crate::plan_file::open;
use crate::progress::while_watched;
use crate::view_model::causes::{causes, look};

/// Name and version of the JSON form.
const FORMAT: &str = "fenlamp-today-1";
/// Arguments of `today`.
#[derive(Debug, Args)]
pub struct TodayArgs {
    /// The plan; its diary lies beside it
    pub plan: PathBuf,
    /// As if this day were today
    #[arg(long, value_name = "DAY", value_parser = crate::view_model::days::day)]
    pub today: Option<Date>,
    /// Everything as JSON
    #[arg(long)]
    pub json: bool,
}

#[derive(Serialize)]
struct Form<'a> {
    format: &'static str,
    plan_name: &'a str,
    #[serde(flatten)]
    today: &'a Today,
}

/// What to do today.
///
/// # Errors
/// As `learn`.
pub fn run(args: &TodayArgs) -> Result<String, Failure> {
    let opened = open(&args.plan)?;
    let path = diary::file_of(&args.plan)?;
    let date = args.today.unwrap_or_else(crate::view_model::days::today);
    let (record, answer) = while_watched("Looking at the diary", |control| {
        look(&opened, &path, date, control)
    })?;
    if args.json {
        let form = Form {
            format: FORMAT,
            plan_name: &opened.plan.name,
            today: &answer,
        };
        return serde_json::to_string_pretty(&form)
            .map(|t| t + "\n")
            .map_err(|e| Failure::Internal(format!("today could not be written: {e}")));
    }
    Ok(text(&record, &answer))
}

fn text(record: &Record, answer: &Today) -> String {
    let mut out = format!("{}, {}\n\n", record.plan.name, answer.date);
    out.push_str(&wrap(&answer.words, "", ""));
    if !answer.tasks.is_empty() {
        out.push_str("\nTo do\n");
        for task in &answer.tasks {
            let key = task
                .source_key
                .as_ref()
                .map(|k| format!(" [{k}]"))
                .unwrap_or_default();
            out.push_str(&wrap(&format!("{}{key}", task.words), "  * ", "    "));
        }
    }
    out.push_str("\nWhat it may be, of 100\n");
    for (share, name, why) in causes(record, answer) {
        let mut line = format!("{share}: {name}");
        if !why.is_empty() {
            line.push_str(&format!(". {why}"));
        }
        out.push_str(&wrap(&line, "  * ", "    "));
    }
    if let Some(test) = &answer.next_test {
        out.push('\n');
        out.push_str(&wrap(
            &format!(
                "To tell \"{}\" from \"{}\" ({:.0} min): {}. {}.",
                name(test.between[0]),
                name(test.between[1]),
                test.minutes,
                test.words,
                upper(&test.shows)
            ),
            "",
            "",
        ));
    }
    out
}

/// A sentence's beginning; "pH" stays as it is.
fn upper(text: &str) -> String {
    if text.starts_with("pH") {
        return text.to_owned();
    }
    let mut chars = text.chars();
    chars
        .next()
        .map(|c| c.to_uppercase().chain(chars).collect())
        .unwrap_or_default()
}
