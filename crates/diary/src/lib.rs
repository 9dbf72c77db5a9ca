//! The diary of a plant: what was done and seen, and what instruments report, in
//! one SQLite file beside the plan.
//!
//! Entries are never changed: a correction is a new entry that stands in place of
//! an older one, and both stay. What [`Diary::add`] has returned from is on the
//! disk. The file knows its own form; a file of a newer form is refused.

mod carry;
mod copy;
mod entries;
mod error;
mod file;
mod form;
pub mod instruments;
mod reading;
mod readings;

pub use carry::{Carried, Imported, entries_of_csv, to_csv, to_json, to_readings_csv};
pub use copy::set_aside;
pub use entries::{Added, History};
pub use error::DiaryError;
pub use file::{Diary, beside};
pub use form::FORM;
pub use reading::{Quantity, Reading, Received};
pub use readings::{DayMean, Device, Key, Taken};
