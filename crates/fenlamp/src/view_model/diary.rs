//! What is said of a diary: its failures, what must be said at once, its calendar.

use std::path::Path;

use fenlamp_diary::{Diary, DiaryError};
use fenlamp_report::diary::{Entry, Smell};
use fenlamp_report::reminders::{reminders, to_text};
use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::TimeZone;

use super::days::today;
use crate::failure::Failure;
use crate::plan_file::Opened;

/// A diary's failure as the program tells it.
pub fn failed(error: DiaryError) -> Failure {
    match error {
        e @ DiaryError::Database { .. } => Failure::Internal(e.to_string()),
        e => Failure::input(e.to_string(), e.help()),
    }
}

/// What must be said at once, beside the entry.
pub fn caution(entry: &Entry) -> Option<&'static str> {
    match entry {
        Entry::LeakTest { tight: false } => Some(
            "Gas burns, explodes and smothers: shut the valve, no flame or switch near it,\n\
             air the place, and have the gas side mended before it is used again.",
        ),
        Entry::Smell { smell: Smell::Eggs } => Some(
            "The smell of rotten eggs is hydrogen sulfide, a poison; a nose soon stops\n\
             smelling it. Leave the place and air it; never enter a tank or pit.",
        ),
        Entry::Added { what, .. } if what == "slaked_lime" || what == "wood_ash" => {
            Some("Lime and ash lye burn skin and eyes: gloves, goggles, water at hand.")
        }
        _ => None,
    }
}

/// A calendar file and what is in it.
pub struct Calendar {
    /// First day.
    pub from: Date,
    /// Reminders in it.
    pub reminders: usize,
    /// The file's text.
    pub text: String,
}

/// The reminders of so many days; a diary, where there is one, knows when washes were changed.
///
/// # Errors
/// The diary cannot be read.
pub fn calendar(
    opened: &Opened,
    path: &Path,
    from: Option<Date>,
    days: u32,
) -> Result<Calendar, Failure> {
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
    Ok(Calendar {
        from,
        reminders: list.len(),
        text: to_text(&plan.name, &list, now),
    })
}
