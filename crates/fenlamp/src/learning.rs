//! From the diary's file to what the core learns from.

use std::path::Path;

use fenlamp_diary::{Diary, DiaryError, Quantity};
use fenlamp_model::forecast::runs::Control;
use fenlamp_model::world::WorldError;
use fenlamp_report::learn::record::{ProbeDay, ProbeKind, Record, RecordError, record};
use fenlamp_report::learn::{Learned, Settings, learn};
use jiff::civil::Date;
use jiff::{Timestamp, ToSpan, ZonedDateTime};

use crate::failure::Failure;
use crate::plan_file::Opened;

/// The diary of a plan up to `today` as the learning reads it.
///
/// # Errors
/// No diary, a file that cannot be read, or nothing to learn from.
pub fn record_of(opened: &Opened, diary: &Path, today: Date) -> Result<Record, Failure> {
    let failed = |e: DiaryError| Failure::input(e.to_string(), e.help());
    let diary = Diary::open_existing(diary).map_err(failed)?;
    let plan = &opened.plan;
    let entries = diary
        .standing(Some(plan.start), Some(today))
        .map_err(failed)?;
    let probes = probes(&diary, plan.start, today).map_err(failed)?;
    record(plan, &entries, &probes, today).map_err(|e| {
        let help = match e {
            RecordError::NotBegun { .. } => "ask again once it is filled",
            RecordError::TooLong { .. } => "give the plan the day of a later fill",
            RecordError::Nothing { .. } => {
                "write gas, temperature and pH down: fenlamp diary PLAN add gas \"120 L\""
            }
        };
        Failure::input(e.to_string(), help)
    })
}

/// Day by day what the instruments say, by the computer's time zone.
fn probes(diary: &Diary, from: Date, to: Date) -> Result<Vec<ProbeDay>, DiaryError> {
    let offset_s = i64::from(ZonedDateTime::now().offset().seconds());
    let epoch = jiff::civil::date(1970, 1, 1);
    let moment = |day: Date| {
        let days = epoch.duration_until(day).as_hours() / 24;
        Timestamp::from_second(days * 86_400 - offset_s).unwrap_or(Timestamp::UNIX_EPOCH)
    };
    let (from, to) = (moment(from), moment(to.saturating_add(1.day())));
    let date = |day: i64| epoch.saturating_add(day.days());
    let mut out: Vec<ProbeDay> = diary
        .day_means(Quantity::SlurryTemperature, from, to, offset_s)?
        .iter()
        .map(|d| ProbeDay {
            date: date(d.day),
            what: ProbeKind::SlurryTemperature,
            value: d.mean,
        })
        .collect();
    // A counter's day ends where it stood last.
    let counter = diary.day_means(Quantity::GasCounter, from, to, offset_s)?;
    for two in counter.windows(2) {
        let made = two[1].greatest - two[0].greatest;
        if two[1].day == two[0].day + 1 && made >= 0.0 {
            out.push(ProbeDay {
                date: date(two[1].day),
                what: ProbeKind::Gas,
                value: made,
            });
        }
    }
    Ok(out)
}

/// Learns, and tells a failure as the program does.
///
/// # Errors
/// A world that could not be run, or Ctrl-C.
pub fn learn_from(
    opened: &Opened,
    record: &Record,
    settings: &Settings,
    control: &Control,
) -> Result<Learned, Failure> {
    learn(record, settings, control).map_err(|e| world(opened, e))
}

/// A world that could not be run.
pub fn world(opened: &Opened, error: WorldError) -> Failure {
    match error {
        WorldError::Cancelled => Failure::Stopped,
        e => Failure::Internal(format!("{}: {e}", opened.name)),
    }
}
