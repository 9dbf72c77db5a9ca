//! Reminders as a calendar file.

use std::path::Path;

use fenlamp_core::diary::Entry;
use fenlamp_core::reminders::{reminders, to_text};
use fenlamp_diary::Diary;
use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::TimeZone;

use super::failed;
use super::keep::write_new;
use super::words::today;
use crate::failure::Failure;
use crate::plan_file::Opened;

/// Writes the reminders; a diary, where there is one, knows when washes were changed.
pub fn write(
    opened: &Opened,
    path: &Path,
    output: Option<&Path>,
    from: Option<Date>,
    days: u32,
) -> Result<String, Failure> {
    let plan = &opened.plan;
    let from = from.unwrap_or_else(|| today().max(plan.start));
    let mut washed = Vec::new();
    if path.exists() {
        let diary = Diary::open_existing(path).map_err(failed)?;
        for e in diary.standing(None, None).map_err(failed)? {
            if let Entry::WashChanged { wash } = e.writing.entry {
                washed.push((wash, e.writing.date));
            }
        }
    }
    let list = reminders(plan, from, days, &washed);
    let now = TimeZone::UTC.to_datetime(Timestamp::now());
    let text = to_text(&plan.name, &list, now);
    let Some(output) = output else {
        return Ok(text);
    };
    write_new(output, &text)?;
    Ok(format!(
        "{} reminders from {from} on written to\n{}\n",
        list.len(),
        output.display()
    ))
}
