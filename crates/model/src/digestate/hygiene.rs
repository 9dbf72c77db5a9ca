//! Time and temperature: what a digester's warmth does to germs, by the
//! published sludge rules (`reference/hygiene_and_digestate.md` section 1).
//!
//! Two yardsticks. *Held hot*: an unfed batch at 50 degC or more for the time
//! of the strictest rule. *Digested warm*: 15 days at 35 degC to 60 days at
//! 20 degC, straight between, colder counts nothing. Both are met when the sum
//! of days over needed days reaches one; the sum over a changing temperature is
//! usual practice for the first and our extension of the second (judgement).
//! Temperatures are means of a day over the whole vessel: cold corners are not
//! seen, and no lifted class is a laboratory's finding.

use serde::Serialize;

use crate::feed::Feedstock;
use crate::world::WorldRun;

/// Source keys of the held-hot rule.
pub const HOT_KEYS: &[&str] = &["NC-02T1106"];
/// Source keys of the digested-warm rule and of the straight line in it.
pub const WARM_KEYS: &[&str] = &["WY-APPB", "EPA625"];

/// Least temperature of the held-hot rule, degC (NC-02T1106).
const HOT_FROM_C: f64 = 50.0;

/// Days a batch must be held at `t_c`; `None` below 50 degC, where the rule says
/// nothing. The form for 7 % solids and more, the longer one, is taken for all.
pub fn days_held_hot(t_c: f64) -> Option<f64> {
    (t_c >= HOT_FROM_C).then(|| 131_700_000.0 / 10f64.powf(0.1400 * t_c))
}

/// Mean days in the digester at `t_c`; `None` below 20 degC, where no credit is given.
pub fn days_digested_warm(t_c: f64) -> Option<f64> {
    (t_c >= 20.0).then(|| 15.0 + 3.0 * (35.0 - t_c).max(0.0))
}

/// Share of a mixed, daily fed vessel's outflow that is younger than `days`.
pub fn younger_than(days: f64, retention_days: f64) -> f64 {
    if retention_days <= 0.0 {
        return 1.0;
    }
    1.0 - (-days / retention_days).exp()
}

/// How far the slurry has come by each yardstick; one meets it.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize)]
pub struct Progress {
    /// Held hot since the last fresh feed.
    pub held_hot: f64,
    /// Digested warm, mean over the slurry.
    pub digested_warm: f64,
}

/// Progress of what runs out on each day (taken before that day's feed), and of
/// what the vessel holds after the last.
///
/// The vessel counts as mixed: fresh feed thins the progress of what is there.
/// Tanks in series have the same mean time, which is what the warm rule asks of.
pub fn progress(run: &WorldRun) -> (Vec<Progress>, Progress) {
    let mut now = Progress::default();
    let leaving = run
        .days
        .iter()
        .map(|day| {
            let before = now;
            if day.fed_kg > 0.0 {
                now.held_hot = 0.0;
                // A litre of feed weighs about a kilogram.
                now.digested_warm *= (1.0 - day.fed_kg / day.slurry_l.max(1e-9)).max(0.0);
            }
            now.held_hot += days_held_hot(day.slurry_c).map_or(0.0, |d| 1.0 / d);
            now.digested_warm += days_digested_warm(day.slurry_c).map_or(0.0, |d| 1.0 / d);
            before
        })
        .collect();
    (leaving, now)
}

/// What may be done with it (section 6 of the reference).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Class {
    /// An unfed hold met the hot rule: food gardens with normal care.
    HeldHot,
    /// The warm rule is met: as raw manure, with its waiting times.
    DigestedWarm,
    /// Neither: trees, hay, ornamentals, or through a hot compost first.
    CoolOrShort,
    /// Human waste, pet waste or meat went in: not on food.
    NotOnFood,
}

/// The class by progress in all but a tenth of the worlds.
pub fn class(held_hot_p10: f64, digested_warm_p10: f64, barred: bool) -> Class {
    match () {
        () if barred => Class::NotOnFood,
        () if held_hot_p10 >= 1.0 => Class::HeldHot,
        () if digested_warm_p10 >= 1.0 => Class::DigestedWarm,
        () => Class::CoolOrShort,
    }
}

/// Whether a feedstock's id or name has one of `words` as a whole word; what
/// follows "no" or "without" in a name ("peelings, no meat") does not count.
pub fn speaks_of(f: &Feedstock, words: &[&str]) -> bool {
    let text = format!("{} {}", f.id, f.name).to_lowercase();
    let mut denied = false;
    text.split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .any(|word| {
            let told = !denied && words.contains(&word);
            denied = matches!(word, "no" | "without");
            told
        })
}

/// Human, dog and cat waste.
pub const HUMAN_OR_PET: &[&str] = &[
    "human", "humanure", "faeces", "toilet", "latrine", "septic", "sewage", "dog", "dogs", "cat",
    "cats", "pet", "pets",
];
/// Meat and carcasses.
pub const MEAT: &[&str] = &[
    "meat",
    "carcass",
    "carcasses",
    "slaughter",
    "blood",
    "offal",
    "fish",
];

/// Whether it is human, dog or cat waste. Dung tables speak of a beast's faeces:
/// that is manure.
pub fn bars_food_as_human_or_pet(f: &Feedstock) -> bool {
    let beasts = [
        "cattle", "cow", "goat", "sheep", "horse", "pig", "rabbit", "donkey",
    ];
    speaks_of(f, HUMAN_OR_PET) && !speaks_of(f, &beasts)
}

/// Whether what goes in bars the digestate from food.
pub fn bars_food(f: &Feedstock) -> bool {
    bars_food_as_human_or_pet(f) || speaks_of(f, MEAT)
}
