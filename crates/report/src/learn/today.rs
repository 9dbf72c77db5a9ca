//! What to do today: a look a fortnight ahead over the worlds that the diary left
//! likely, under several feedings.

mod ahead;
mod due;

use jiff::civil::Date;
use serde::Serialize;

use super::causes::{Trials, Weighed};
use super::inquiry::{NextTest, Remedy, cheapest, name, remedy};
use super::record::Record;
use super::upset::Cause;
use super::{Bent, Settings};
use fenlamp_model::band::Quantiles;
use fenlamp_model::forecast::runs::Control;
use fenlamp_model::world::WorldError;

use ahead::Ahead;

/// Days of the window in which something may have gone wrong.
const WINDOW_DAYS: u32 = 28;
/// Days looked ahead.
const AHEAD: u32 = 14;
/// Worlds that look ahead.
const LOOKING: usize = 48;
/// Odds of "nothing" below which something is said to be wrong (judgement).
pub const ALARM: f64 = 0.5;
/// Something to do.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Task {
    /// Short name: `feed`, `wait`, `buffer`, `wash`, `trap`, `frost`, `look`, `leak_test`, `fault`.
    pub kind: &'static str,
    /// What to do, and why.
    pub words: String,
    /// By when.
    pub by: Option<Date>,
    /// Key of a source.
    pub source_key: Option<String>,
}

/// How one feeding turns out.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Outlook {
    /// Factor on the plan's feed.
    pub factor: f64,
    /// With a dose of buffer.
    pub buffered: bool,
    /// Gas a day over the days ahead, L as a bag shows it.
    pub gas_wet_l: Quantiles,
    /// Share of the worlds in trouble at some time.
    pub in_trouble: f64,
}

/// What the diary says of today.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Today {
    /// The day.
    pub date: Date,
    /// The answer in a sentence.
    pub words: String,
    /// What to do, most urgent first.
    pub tasks: Vec<Task>,
    /// What may be wrong, likeliest first.
    pub causes: Vec<Weighed>,
    /// What to do about the likeliest, when something is wrong.
    pub remedy: Option<Remedy>,
    /// The cheapest test between the two likeliest.
    pub next_test: Option<NextTest>,
    /// How the feedings turn out.
    pub outlooks: Vec<Outlook>,
}

/// Looks at today.
///
/// # Errors
/// The first world's error; [`WorldError::Cancelled`] when asked to stop.
pub fn today(record: &Record, settings: &Settings, control: &Control) -> Result<Today, WorldError> {
    let all = record.today + 1;
    let window = all.saturating_sub(WINDOW_DAYS).max(all / 2)..all;
    let mut base = Bent::unlearned(&record.plan_ahead(AHEAD), settings);
    base.bend(
        record,
        0..window.start,
        settings.steps,
        (settings.seed, 1),
        control,
    )?;
    let trials = Trials::run(record, &base, window.clone(), settings.seed, control)?;
    let causes = trials.weigh(record, record.today);
    let worlds = trials.worlds_now(record, record.today, LOOKING, settings.seed);
    let plan = record.plan_ahead(AHEAD);
    let ahead = Ahead::new(record, &plan, &worlds, control)?;
    let mut tasks = Vec::new();
    let nothing = share(&causes, Cause::Nothing);
    let wrong = nothing < ALARM;
    let (first, second) = two(&causes);
    let over = first == Cause::Souring && ahead.well_again();
    if wrong && over {
        tasks.push(Task {
            kind: "fault",
            words: format!(
                "It turned sour{} and has come back: pH about {:.1} now. Begin again with half of \
                 the feed, and look at the pH every other day.",
                causes[0]
                    .since
                    .map_or(String::new(), |d| format!(" about {}", record.date(d))),
                ahead.now_ph
            ),
            by: Some(record.date(record.today)),
            source_key: None,
        });
    } else if wrong && !matches!(first, Cause::Nothing) {
        let remedy = remedy(first);
        tasks.push(Task {
            kind: "fault",
            words: join(&[
                &format!(
                    "Likely {}{}.",
                    name(first),
                    causes[0].since.map_or(String::new(), |d| format!(
                        " since about {}",
                        record.date(d)
                    ))
                ),
                &remedy.words,
                remedy.caution,
            ]),
            by: Some(record.date(record.today)),
            source_key: remedy.source_key,
        });
    }
    let most = match first {
        Cause::Souring | Cause::WashedOut | Cause::Ammonia if wrong => 0.5,
        _ => 1.0,
    };
    ahead.feeding(record, most, wrong, &mut tasks);
    due::services(record, &plan, &ahead, &mut tasks);
    due::frost(record, &plan, &mut tasks);
    due::looks(record, &mut tasks);
    let words = if wrong {
        format!(
            "Something is wrong: {} ({} in 10), or {} ({} in 10).",
            name(first),
            tenths(share(&causes, first)),
            name(second),
            tenths(share(&causes, second))
        )
    } else {
        "All is as it should be, by what is written down.".to_owned()
    };
    Ok(Today {
        date: record.date(record.today),
        words,
        remedy: wrong.then(|| remedy(first)),
        next_test: (wrong || nothing < 0.8)
            .then(|| cheapest(&trials, record, record.today, first, second))
            .flatten(),
        causes,
        tasks,
        outlooks: ahead.outlooks,
    })
}

fn tenths(share: f64) -> String {
    match (10.0 * share).round() {
        n if n < 1.0 => "less than 1".to_owned(),
        n => format!("{n}"),
    }
}

fn share(causes: &[Weighed], cause: Cause) -> f64 {
    causes
        .iter()
        .find(|w| w.cause == cause)
        .map_or(0.0, |w| w.share)
}

fn two(causes: &[Weighed]) -> (Cause, Cause) {
    let at = |i: usize| causes.get(i).map_or(Cause::Nothing, |w| w.cause);
    (at(0), at(1))
}

fn join(parts: &[&str]) -> String {
    parts
        .iter()
        .filter(|p| !p.is_empty())
        .copied()
        .collect::<Vec<_>>()
        .join(" ")
}
