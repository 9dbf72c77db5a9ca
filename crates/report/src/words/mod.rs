//! The forecast in sentences: the answer first, with its band and its doubt, in
//! the reader's units.
//!
//! Volumes in sentences are wet litres as a bag shows them; the books (JSON,
//! CSV) carry dry normal litres beside them.

mod bench;
pub(crate) mod digestate;
mod household;
mod periods;

#[cfg(test)]
mod tests;

use serde::Serialize;

use fenlamp_model::forecast::bands::{FirstFlame, Forecast};
use fenlamp_model::plan::{Plan, SlurryTemperature};
use fenlamp_model::say;
use fenlamp_model::say::{days_word, worlds_of};

/// What a sentence speaks of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Topic {
    /// A start that turns sour.
    Souring,
    /// How much gas, and when.
    Gas,
    /// What the gas can do.
    Uses,
    /// When the first steady flame burns.
    FirstFlame,
    /// What would change a bad result.
    Change,
    /// What is left, and where it may go.
    Digestate,
    /// How the figures are meant.
    Meaning,
}

/// One statement, a sentence or two.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Statement {
    /// What it speaks of.
    pub topic: Topic,
    /// The words.
    pub words: String,
}

/// Share of sour worlds from which souring is the first thing said (judgement).
const SOUR_FIRST: f64 = 0.3;

/// The forecast in words, the answer first.
pub fn words(plan: &Plan, forecast: &Forecast) -> Vec<Statement> {
    let mut out = Vec::new();
    if forecast.sour_share_of_worlds >= SOUR_FIRST {
        out.extend(souring_first(plan, forecast));
    }
    let held = matches!(plan.slurry_temperature, SlurryTemperature::Fixed(_));
    if plan.is_blank() {
        push(&mut out, Topic::Gas, blank(plan, forecast));
    } else if held {
        bench::gas(plan, forecast, &mut out);
    } else {
        household::gas(plan, forecast, &mut out);
    }
    // A bench is not lit; its gas is too little for a burner.
    let lit = !(held || plan.is_blank());
    if lit || forecast.first_flame.share_of_worlds > 0.0 {
        push(&mut out, Topic::FirstFlame, flame(plan, forecast));
    }
    let sour = forecast.sour_share_of_worlds;
    if sour > 0.0 && sour < SOUR_FIRST {
        let words = format!(
            "In {} this start turns sour: acids outrun the methane makers, and the gas does not burn.",
            worlds_of(sour, forecast.worlds)
        );
        push(&mut out, Topic::Souring, words);
    }
    // A bench's few litres are the laboratory's affair.
    if !held {
        for words in crate::words::digestate::sentences(plan, &forecast.digestate) {
            push(&mut out, Topic::Digestate, words);
        }
    }
    let words = format!(
        "Eight worlds in ten lie inside each band, one below and one above. A world is this \
         plan run once, with everything that is uncertain in it drawn anew; {} were run.",
        forecast.worlds
    );
    push(&mut out, Topic::Meaning, words);
    out
}

fn push(out: &mut Vec<Statement>, topic: Topic, words: String) {
    if !words.is_empty() {
        out.push(Statement { topic, words });
    }
}

/// A vessel without anything fresh.
fn blank(plan: &Plan, forecast: &Forecast) -> String {
    let units = plan.units.into();
    let gas = forecast.whole.gas_dry_normal_l;
    let methane = forecast.whole.methane_dry_normal_l;
    format!(
        "Nothing is fed and nothing fresh is filled in: this is a blank. Over {} its seed alone \
         gives {} of gas (middle {}), {} of it methane, counted dry at 0 °C; a like vessel with \
         feed gives so much more as the feed is worth.",
        days_word(f64::from(plan.days)),
        say::gas_band(gas.p10, gas.p90, units),
        say::gas(gas.p50, units),
        say::gas_band(methane.p10, methane.p90, units),
    )
}

fn souring_first(plan: &Plan, forecast: &Forecast) -> Vec<Statement> {
    let share = forecast.sour_share_of_worlds;
    let mut out = Vec::new();
    let worlds = worlds_of(share, forecast.worlds);
    let late = sour_from(forecast);
    let what = match late {
        Some(late) => {
            format!(
                "From about {} this turns sour in {worlds}",
                say::date(late, plan.start)
            )
        }
        None => format!("This start turns sour in {worlds}"),
    };
    let words = format!(
        "{what}: acids outrun the methane makers, the pH stays below 6.2 for weeks, and the gas \
         hardly burns."
    );
    push(&mut out, Topic::Souring, words);
    let mut ways: Vec<&str> = Vec::new();
    if household::seed_share(plan) < 0.10 {
        ways.push(
            "more seed from a working digester (10 to 30 % of the slurry is the usual measure)",
        );
    }
    match (plan.waste.is_empty(), late) {
        (true, _) => {}
        (false, None) => ways.push("a later and slower start of feeding"),
        (false, Some(_)) => ways.push("less feed, above all while the slurry is cold"),
    }
    ways.push("less fresh green and kitchen stuff to each measure of manure");
    ways.push("a buffer (bicarbonate or lime in small doses, pH tested after each)");
    let words = format!("Here is what would change that: {}.", say::list(&ways));
    push(&mut out, Topic::Change, words);
    out
}

/// Days within which souring belongs to the start (judgement).
const START_DAYS: u32 = 120;

/// The day from which the sour worlds are sour, if that is after the start.
fn sour_from(forecast: &Forecast) -> Option<jiff::civil::Date> {
    let middle = forecast.sour_share_of_worlds >= 0.5;
    let sour = forecast.days.iter().find(|d| {
        (if middle { d.ph.p50 } else { d.ph.p10 }) < fenlamp_model::world::outcome::SOUR_PH
    })?;
    (sour.day > START_DAYS).then_some(sour.date)
}

/// The first steady flame, with its doubt.
fn flame(plan: &Plan, forecast: &Forecast) -> String {
    let FirstFlame {
        share_of_worlds,
        day,
        dates,
    } = &forecast.first_flame;
    let caution = "Until then, and until the headspace is purged out of doors, no flame at all.";
    let (Some(day), Some([early, middle, late])) = (day, dates) else {
        return format!(
            "First steady flame: in none of the {} worlds within {}. Gas that does not hold a \
             flame is not safe gas: it can still explode with air.",
            forecast.worlds,
            days_word(f64::from(plan.days))
        );
    };
    let when = if matches!(plan.slurry_temperature, SlurryTemperature::Fixed(_)) {
        let (a, b) = (day.p10.round(), day.p90.round());
        if a == b {
            format!("on day {a}")
        } else {
            format!("between day {a} and day {b}")
        }
    } else if late.duration_since(*early).as_hours() <= 24 {
        format!("about {}", say::date(*middle, plan.start))
    } else {
        format!(
            "between {} and {}, most likely near {}",
            say::date(*early, plan.start),
            say::date(*late, plan.start),
            say::date(*middle, plan.start)
        )
    };
    let none = 1.0 - share_of_worlds;
    let doubt = if none > 1e-9 {
        format!(
            "; in {} none within this time",
            worlds_of(none, forecast.worlds)
        )
    } else {
        String::new()
    };
    format!("First steady flame: {when}{doubt}. {caution}")
}
