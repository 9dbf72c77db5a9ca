//! What is due: washes, trap, frost, looks.

use fenlamp_quantity::format_number;

use super::super::normal::share_below;
use super::super::record::{Record, Sign, What};
use super::ahead::Ahead;
use super::{Task, tenths};
use crate::diary::GasBy;
use fenlamp_model::band::Quantiles;
use fenlamp_model::forecast::gas_train;
use fenlamp_model::plan::{Plan, Runs};
use fenlamp_model::weather::Weather;
use fenlamp_model::weather::days_after;
use fenlamp_model::world::calendar::usual_weather;

/// Restlessness of one night's low about the normals, K (judgement).
const NIGHT_SD_K: f64 = 3.5;
/// Chance of frost from which it is said (judgement).
const FROST_SAID: f64 = 0.3;
/// Days after which a look is due again (judgement).
const PH_EVERY: u32 = 10;
const SLURRY_EVERY: u32 = 7;
const LEAK_EVERY: u32 = 30;

/// Washes and trap by when they were last seen to.
pub(super) fn services(record: &Record, plan: &Plan, ahead: &Ahead, tasks: &mut Vec<Task>) {
    let train = gas_train::summarise(plan, &ahead.draws, &ahead.runs);
    let whole = ahead.days.end;
    let middle_gas = |d: usize| {
        Quantiles::of(
            &mut ahead
                .runs
                .iter()
                .map(|r| r.days[d].gas_dry_l)
                .collect::<Vec<_>>(),
        )
        .p50
    };
    for (i, wash) in plan.gas_side.washes.iter().enumerate() {
        let changed = record
            .washed
            .iter()
            .filter(|(_, n)| *n as usize == i + 1)
            .map(|(d, _)| *d)
            .max()
            .unwrap_or(0);
        let by_plan = wash.renewed_every_days.map(|n| changed + n);
        let lasts = train
            .as_ref()
            .and_then(|t| t.washes.get(i))
            .and_then(|w| w.gas_per_filling_l)
            .map(|q| q.p10);
        let mut passed = 0.0;
        let spent = lasts.and_then(|lasts| {
            (changed as usize..whole).find(|&d| {
                passed += middle_gas(d);
                passed >= lasts
            })
        });
        let due = [by_plan, spent.map(|d| d as u32)]
            .into_iter()
            .flatten()
            .min();
        if let Some(due) = due.filter(|d| *d <= record.today + 7) {
            let by = record.date(due.max(record.today));
            tasks.push(Task {
                kind: "wash",
                words: format!(
                    "Change wash {} by {}: {}. Gloves and goggles with lye; spent iron heats up in \
                     the air, spread it outdoors and keep it wet.",
                    i + 1,
                    by.strftime("%A"),
                    if due <= record.today {
                        "it is due or spent"
                    } else {
                        "it will soon be spent"
                    }
                ),
                by: Some(by),
                source_key: None,
            });
        }
    }
    let fills = train.and_then(|t| t.trap).map(|t| t.days_to_fill.p10);
    if let Some(days) = fills.filter(|d| d.is_finite()) {
        let emptied = record.trap_emptied.iter().max().copied().unwrap_or(0);
        let due = emptied + days.max(1.0) as u32;
        if due <= record.today + 1 {
            tasks.push(Task {
                kind: "trap",
                words: format!(
                    "Empty the trap: it may fill in {} days and was last emptied {} days ago. Keep \
                     its seal of water, or gas comes out.",
                    format_number(days, 2),
                    record.today - emptied
                ),
                by: Some(record.date(record.today)),
                source_key: None,
            });
        }
    }
}

/// Frost tonight, where water stands out of doors.
pub(super) fn frost(record: &Record, plan: &Plan, tasks: &mut Vec<Task>) {
    let side = &plan.gas_side;
    let outdoors = side
        .relief
        .as_ref()
        .is_some_and(|r| r.runs == Runs::Outdoors)
        || side.trap.as_ref().is_some_and(|t| t.runs == Runs::Outdoors)
        || side.line.as_ref().is_some_and(|l| l.runs == Runs::Outdoors);
    if !outdoors {
        return;
    }
    let weather = usual_weather(plan);
    let from = record.today as usize * 24 + 18;
    let Some(night) = weather.air_c.get(from..from + 14) else {
        return;
    };
    let low = night.iter().copied().fold(f64::INFINITY, f64::min);
    let sd = match plan.weather {
        Weather::Normals(_) => NIGHT_SD_K,
        Weather::Series(_) => 1.0,
    };
    let chance = share_below(-low / sd);
    if chance >= FROST_SAID {
        tasks.push(Task {
            kind: "frost",
            words: format!(
                "Frost is likely tonight by the usual weather of the day ({} in 10): see that relief, \
                 trap and low points are not frozen before you use gas; never thaw with a flame.",
                tenths(chance)
            ),
            by: Some(record.date(record.today)),
            source_key: None,
        });
    }
}

/// Looks that are due again.
pub(super) fn looks(record: &Record, tasks: &mut Vec<Task>) {
    let last = |of: &dyn Fn(What) -> bool| {
        record
            .seen
            .iter()
            .filter(|s| of(s.what))
            .map(|s| s.to)
            .max()
    };
    let mut due = |what: &dyn Fn(What) -> bool, every: u32, words: &str| {
        if last(what).is_none_or(|d| record.today - d >= every) {
            tasks.push(Task {
                kind: "look",
                words: words.to_owned(),
                by: Some(days_after(record.date(record.today), 2)),
                source_key: None,
            });
        }
    };
    due(
        &|w| w == What::Ph,
        PH_EVERY,
        "Take the pH of fresh outflow: it is long since the last time.",
    );
    due(
        &|w| w == What::Slurry,
        SLURRY_EVERY,
        "Take the slurry's temperature in fresh outflow.",
    );
    due(
        &|w| w.gas_by().is_some_and(|by| by != GasBy::Burning) || w == What::GasByBurning,
        4,
        "Write the gas down, even as \"full\" or \"half\": nothing teaches more.",
    );
    let tested = record
        .signs
        .iter()
        .filter(|(_, s)| matches!(s, Sign::Tight | Sign::LeakFound))
        .map(|(d, _)| *d)
        .max()
        .unwrap_or(0);
    if record.today - tested >= LEAK_EVERY && record.today >= LEAK_EVERY {
        tasks.push(Task {
            kind: "leak_test",
            words: "Test joints and store with soapy water, no flame or switch near.".to_owned(),
            by: Some(days_after(record.date(record.today), 7)),
            source_key: None,
        });
    }
}
