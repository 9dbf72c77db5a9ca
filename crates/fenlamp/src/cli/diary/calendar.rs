//! Reminders as a calendar file.

use std::path::Path;

use jiff::civil::Date;

use super::keep::write_new;
use crate::failure::Failure;
use crate::plan_file::Opened;
use crate::view_model::diary::calendar;

/// Writes the reminders.
pub fn write(
    opened: &Opened,
    path: &Path,
    output: Option<&Path>,
    from: Option<Date>,
    days: u32,
) -> Result<String, Failure> {
    let calendar = calendar(opened, path, from, days)?;
    let Some(output) = output else {
        return Ok(calendar.text);
    };
    write_new(output, &calendar.text)?;
    Ok(format!(
        "{} reminders from {} on written to\n{}\n",
        calendar.reminders,
        calendar.from,
        output.display()
    ))
}
