//! What comes round again: feeding, washes, trap, checks, waiting times; as a list
//! and as a calendar file.

mod calendar_file;

use jiff::ToSpan;
use jiff::civil::Date;
use serde::Serialize;
use uom::si::mass_rate::kilogram_per_second;

use fenlamp_quantity::{Mass, Quantity, print};

use fenlamp_model::plan::{Plan, VesselMode};
use fenlamp_model::reference::safety_limits;
use fenlamp_model::world::calendar::{DAY_S, daily_feed};

pub use calendar_file::to_text;

/// One thing on one day.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Reminder {
    /// The same for the same thing, so that a calendar read anew does not double it.
    pub uid: String,
    /// Day.
    pub date: Date,
    /// In a few words.
    pub title: String,
    /// More of it, cautions included.
    pub words: String,
}

/// Longest list, days.
pub const LONGEST_DAYS: u32 = 400;

/// Days between the regular looks (judgement).
const LOOK_EVERY: u32 = 7;
const LEAK_TEST_EVERY: u32 = 30;

/// Reminders of a plan over `days` days from `from`; `washed` holds the last change
/// of each wash that the diary knows (number from the vessel, from 1, and day).
pub fn reminders(plan: &Plan, from: Date, days: u32, washed: &[(u32, Date)]) -> Vec<Reminder> {
    let days = days.min(LONGEST_DAYS);
    let to = from.saturating_add(i64::from(days).days());
    let mut out = Vec::new();
    let mut put = |kind: &str, date: Date, title: &str, words: String| {
        if date >= from && date < to {
            out.push(Reminder {
                uid: format!("{kind}-{date}@{}", plain(&plan.name)),
                date,
                title: title.to_owned(),
                words,
            });
        }
    };
    put(
        "fill",
        plan.start,
        "First fill",
        "The first gas is mixed with air and explosive: let it out outdoors, no flame near, \
         until it burns steadily from a jar of soap bubbles far from the plant."
            .to_owned(),
    );
    feeding(plan, from, &mut put);
    for (i, wash) in plan.gas_side.washes.iter().enumerate() {
        let Some(every) = wash.renewed_every_days.filter(|n| *n > 0) else {
            continue;
        };
        let number = i as u32 + 1;
        let since = washed
            .iter()
            .filter(|(n, _)| *n == number)
            .map(|(_, d)| *d)
            .max()
            .unwrap_or(plan.start);
        let mut at = since.saturating_add(i64::from(every).days());
        // What is overdue is due now.
        if at < from {
            at = from;
        }
        while at < to {
            put(
                &format!("wash{number}"),
                at,
                &format!("Change wash {number}"),
                "Gloves and goggles with lye. Spent iron heats up in the air: spread it \
                 outdoors and keep it wet. Shut the gas first."
                    .to_owned(),
            );
            at = at.saturating_add(i64::from(every).days());
        }
    }
    for day in 0..days {
        let date = from.saturating_add(i64::from(day).days());
        let since = plan.start.until(date).map_or(0, |s| s.get_days());
        if since <= 0 {
            continue;
        }
        let since = since as u32;
        if since.is_multiple_of(LOOK_EVERY) {
            put(
                "look",
                date,
                "Look: pH, temperature, trap, relief",
                "Write it down, with the gas. Empty the trap and keep its seal of water."
                    .to_owned(),
            );
        }
        if since.is_multiple_of(LEAK_TEST_EVERY) {
            put(
                "leak",
                date,
                "Soapy water on joints and store",
                "No flame, no switch near. A licensed fitter where the law wants one.".to_owned(),
            );
        }
    }
    for (name, words) in [
        (
            "raw manure to harvest, crop touches soil",
            "touches the soil",
        ),
        (
            "raw manure to harvest, crop off the soil",
            "stands off the soil",
        ),
    ] {
        if let Some(wait) = safety_limits()
            .iter()
            .find(|l| l.name == name)
            .and_then(|l| l.value)
        {
            let date = from.saturating_add((wait.ceil() as i64).days());
            put(
                &format!("harvest-{}", wait as u32),
                date,
                &format!("First harvest, if digestate was spread on {from}"),
                format!(
                    "For a crop that {words}: {wait:.0} days after spreading, as for raw manure. Local rules first."
                ),
            );
        }
    }
    out.sort_by(|a, b| (a.date, &a.uid).cmp(&(b.date, &b.uid)));
    out
}

/// The ramp week by week, then whenever a month changes the amounts.
fn feeding(plan: &Plan, from: Date, put: &mut impl FnMut(&str, Date, &str, String)) {
    if plan.vessel.mode == VesselMode::Batch {
        return;
    }
    let units = plan.units.into();
    let solids: Vec<f64> = plan
        .waste
        .iter()
        .map(|w| plan.feedstocks[w.feedstock].total_solids.mid)
        .collect();
    let mut shown = plan.clone();
    let skip = plan.start.until(from).map_or(0, |s| s.get_days()).max(0) as u32;
    shown.days = (skip + LONGEST_DAYS).max(plan.days);
    let feeds = daily_feed(&shown, &solids);
    let (first, ramp_from) = (plan.first_feed_day(), plan.feeding.first_day);
    let ramped = plan.waste.iter().any(|w| w.steps.is_empty());
    let mut month = None;
    let mut shares: Vec<Option<f64>> = Vec::new();
    for (day, feed) in feeds.iter().enumerate() {
        let day = day as u32;
        let date = plan.start.saturating_add(i64::from(day).days());
        if day < first || feed.total_kg() <= 0.0 {
            continue;
        }
        let every = plan.feeding.every_days.max(1);
        let run = day.checked_sub(ramp_from).filter(|_| ramped);
        let ramp = run.is_some_and(|run| run < plan.feeding.ramp_days && run % 7 < every);
        let now: Vec<Option<f64>> = plan.waste.iter().map(|w| w.step_share(day)).collect();
        let up = ramp || now.iter().zip(&shares).any(|(now, before)| now > before);
        let stepped = !shares.is_empty() && now != shares;
        let turned = month != Some(date.month());
        if !(ramp || stepped || turned) {
            continue;
        }
        month = Some(date.month());
        shares = now;
        let amounts: Vec<String> = feed
            .fresh_kg
            .iter()
            .zip(&plan.waste)
            .filter(|(kg, _)| **kg > 0.0)
            .map(|(kg, w)| {
                format!(
                    "{} {}",
                    print(Mass::from_si(*kg), units),
                    plan.feedstocks[w.feedstock].name
                )
            })
            .collect();
        let every = match plan.feeding.every_days {
            0 | 1 => "each day".to_owned(),
            n => format!("every {n} days"),
        };
        let water = if feed.water_kg > 0.05 {
            format!(
                ", with {} of water",
                print(Mass::from_si(feed.water_kg), units)
            )
        } else {
            String::new()
        };
        put(
            "feed",
            date,
            if up {
                "Feeding goes up"
            } else if stepped {
                "Feeding changes"
            } else {
                "Feeding of this month"
            },
            format!(
                "From now {every}: {}{water}. Not while it is below 15 °C or sour.",
                amounts.join(", ")
            ),
        );
    }
    // A plan without any amount has no feeding to tell of.
    debug_assert!(plan.waste.iter().all(|w| {
        w.fresh
            .iter()
            .all(|f| f.get::<kilogram_per_second>() * DAY_S >= 0.0)
    }));
}

fn plain(name: &str) -> String {
    let text: String = name
        .to_lowercase()
        .chars()
        .map(|c| if c.is_ascii_alphanumeric() { c } else { '-' })
        .collect();
    text.trim_matches('-').to_owned() + ".fenlamp"
}

#[cfg(test)]
mod tests;
