//! From text to [`Plan`]: pure, and with every fault at once.

mod additions;
mod checks;
mod feeding;
mod feedstocks;
mod gas_side;
mod heap;
mod materials;
mod place;
mod shape;
mod standing;
mod store;
mod table;
mod uses;
mod vessel;
mod waste;

pub use waste::month_span;

use super::MONTHS;
use super::error::{Fault, PlanErrors, Report};
use super::section::{Section, shorten};
use super::{FirstFill, Plan, SlurryTemperature, UnitSystem, VesselMode};
use fenlamp_quantity::{BucketSize, Context, Units, Volume, read as read_quantity};
use toml::de::DeTable;

/// Largest plan text taken, bytes: a plan is a page or two.
const LARGEST: usize = 1_000_000;

/// Worlds of the ensemble when the plan does not say.
const WORLDS: u32 = 60;

/// Files the plan names, supplied by the shell.
pub trait Files {
    /// Bytes of a file beside the plan.
    ///
    /// # Errors
    /// Why it cannot be had, in words for the user.
    fn get(&self, relative: &str) -> Result<Vec<u8>, String>;
}

/// No files at all, for plans that name none.
#[derive(Debug, Clone, Copy, Default)]
pub struct NoFiles;

impl Files for NoFiles {
    fn get(&self, _: &str) -> Result<Vec<u8>, String> {
        Err("no file of this name was given".to_owned())
    }
}

/// Reads a plan from bytes, which may be anything.
///
/// # Errors
/// As [`read`], and for bytes that are too many or not text.
pub fn read_bytes(bytes: &[u8], name: &str, files: &dyn Files) -> Result<Plan, PlanErrors> {
    if bytes.len() > LARGEST {
        return Err(refuse(
            "",
            name,
            0,
            Fault::new(
                format!(
                    "the file has {} bytes; a plan has at most {LARGEST}",
                    bytes.len()
                ),
                "weather and other long records go into files of their own, named in the plan",
            ),
        ));
    }
    match std::str::from_utf8(bytes) {
        Ok(text) => read(text, name, files),
        Err(e) => {
            let good = std::str::from_utf8(&bytes[..e.valid_up_to()]).unwrap_or("");
            Err(refuse(
                good,
                name,
                good.len(),
                Fault::new(
                    format!(
                        "the file is not UTF-8 text from byte {} on",
                        e.valid_up_to() + 1
                    ),
                    "save it as plain text in UTF-8",
                ),
            ))
        }
    }
}

/// Reads a plan. `name` is the file's name, for messages.
///
/// # Errors
/// Every fault of the text, in its order; see [`PlanErrors`].
pub fn read(text: &str, name: &str, files: &dyn Files) -> Result<Plan, PlanErrors> {
    if text.len() > LARGEST {
        return read_bytes(text.as_bytes(), name, files);
    }
    if text
        .trim_matches(|c: char| c.is_whitespace() || c == '\u{feff}')
        .is_empty()
    {
        return Err(refuse(
            text,
            name,
            0,
            Fault::new(
                "the file is empty",
                "start with [plan], name = \"...\" and start = 2026-04-01",
            ),
        ));
    }
    let report = Report::new(text, name);
    let (root, syntax) = DeTable::parse_recoverable(text);
    if !syntax.is_empty() {
        // One slip can upset the rest of its line: the first fault of a line is told.
        let mut told = None;
        for e in &syntax {
            let span = e.span().unwrap_or(0..0);
            let line = text.get(..span.start).map(|t| t.matches('\n').count());
            if told == Some(line) {
                continue;
            }
            told = Some(line);
            let mut message = e.message().lines().collect::<Vec<_>>().join(", ");
            if message == "duplicate key"
                && let Some(key) = text.get(span.clone())
            {
                message = format!("duplicate key \"{}\"", shorten(key));
            }
            report.add("", span, Fault::new(message, syntax_help(e.message())));
        }
        return Err(report.into_errors());
    }
    let root = Section::new(
        &report,
        context(root.get_ref()),
        root.get_ref(),
        String::new(),
        0..0,
    );
    let plan = plan(&root, files);
    match plan {
        Some(plan) if report.is_clean() => Ok(plan),
        _ => Err(report.into_errors()),
    }
}

fn refuse(text: &str, name: &str, at: usize, fault: Fault) -> PlanErrors {
    let report = Report::new(text, name);
    report.add("", at..at, fault);
    report.into_errors()
}

fn syntax_help(message: &str) -> &'static str {
    if message.contains("duplicate key") {
        "each key once in a table; repeated parts have double brackets, like [[waste]]"
    } else if message.contains("string") {
        "a text stands between two straight quotes on one line"
    } else {
        "each line is [table], or key = \"value\""
    }
}

/// Size of a bucket, which every amount may need: read before all else and
/// without complaint; [`heading`] complains.
fn context(root: &DeTable<'_>) -> Context {
    let text = |key: &str| root.get("plan")?.get_ref().get(key)?.get_ref().as_str();
    let mut cx = match text("units").map(super::section::plain_words).as_deref() {
        Some("us") => Context::of(Units::Us),
        _ => Context::of(Units::Metric),
    };
    if let Some(Ok(size)) = text("bucket").map(|t| read_quantity::<Volume>(t, &cx)) {
        cx.bucket = BucketSize(size);
    }
    cx
}

struct Heading {
    name: String,
    about: String,
    units: UnitSystem,
    start: jiff::civil::Date,
    days: u32,
    worlds: u32,
    seed: u64,
}

fn heading(root: &Section<'_>) -> Option<Heading> {
    let Some(s) = root.section("plan") else {
        if !root.has("plan") {
            root.missing(
                "plan",
                "begin with [plan], name = \"...\" and start = 2026-04-01",
            );
        }
        return None;
    };
    let name = match s.text("name") {
        Some(t) if !t.value.trim().is_empty() => Some(t.value.trim().to_owned()),
        Some(_) => {
            s.fault(
                "name",
                "the name is empty",
                "write a short name for the plant",
            );
            None
        }
        None => {
            if !s.has("name") {
                s.missing("name", "write name = \"a short name for the plant\"");
            }
            None
        }
    };
    let about = s
        .text("about")
        .map(|t| t.value.to_owned())
        .unwrap_or_default();
    let units = s
        .word(
            "units",
            &[("metric", UnitSystem::Metric), ("us", UnitSystem::Us)],
        )
        .unwrap_or(UnitSystem::Metric);
    s.quantity::<Volume>("bucket", "1 L", "50 L");
    if !s.has("start") {
        s.missing(
            "start",
            "write the day of the first fill, like start = 2026-04-01",
        );
    }
    let start = s.date("start");
    let days = s.days("length", "1 day", "10 years").unwrap_or(365);
    let worlds = s
        .count("worlds", "the number of worlds", 1..=5000)
        .map_or(WORLDS, |n| n as u32);
    let seed = s
        .count(
            "seed",
            "the seed of the random numbers",
            0..=9_007_199_254_740_991,
        )
        .unwrap_or(1);
    s.finish();
    Some(Heading {
        name: name?,
        about,
        units,
        start: start?,
        days,
        worlds,
        seed,
    })
}

fn plan(root: &Section<'_>, files: &dyn Files) -> Option<Plan> {
    let heading = heading(root);
    let place = place::place(root);
    let slurry_temperature = place::slurry_temperature(root, files);
    let held = !matches!(slurry_temperature, Some(SlurryTemperature::HeatBalance));
    let weather = place::weather(root, files, held);
    let mut feedstocks = feedstocks::Feedstocks::read(root);
    let waste_sections = root.sections("waste");
    let vessel = vessel::vessel(root, !waste_sections.is_empty());
    let insulation = vessel::insulation(root);
    let heap = heap::heap(root, &mut feedstocks);
    let heater = heap::heater(root);
    let start = heading.as_ref().map(|h| h.start);
    let waste = waste::waste(&waste_sections, &mut feedstocks, start);
    let feeding = feeding::feeding(root, !waste_sections.is_empty());
    let first_fill = additions::first_fill(root, &mut feedstocks);
    let additives = additions::additives(root);
    let gas_outlet = additions::gas_outlet(root);
    let gas_side = gas_side::gas_side(root);
    root.finish();

    // Checks between the parts run as far as their parts were read.
    if let Some(v) = &vessel {
        checks::fill(root, v, first_fill.as_ref());
        if let (Some(waste), Some(feeding)) = (&waste, &feeding) {
            checks::feed(root, &waste_sections, v, waste, feeding, &feedstocks);
        }
    }
    if let (Some(waste), Some(feeding)) = (&waste, &feeding) {
        checks::steps(root, &waste_sections, waste, feeding);
    }
    checks::something_to_digest(root, &waste_sections, first_fill.as_ref());
    if let (Some(h), Some(heap)) = (&heading, &heap) {
        checks::heap_dates(root, h.start, heap.as_ref());
    }
    if let (Some(h), Some(weather)) = (&heading, &weather) {
        checks::weather_covers(root, h.start, h.days, weather);
    }
    let heading = heading?;
    Some(Plan {
        name: heading.name,
        about: heading.about,
        units: heading.units,
        bucket: root.cx.bucket.0,
        start: heading.start,
        days: heading.days,
        worlds: heading.worlds,
        seed: heading.seed,
        place: place?,
        weather: weather?,
        vessel: vessel?,
        insulation: insulation?,
        heap: heap?,
        heater: heater?,
        slurry_temperature: slurry_temperature?,
        waste: waste?,
        feeding: feeding?,
        first_fill: first_fill?,
        additives: additives?,
        gas_outlet: gas_outlet?,
        gas_side: gas_side?,
        feedstocks: feedstocks.used,
    })
}
