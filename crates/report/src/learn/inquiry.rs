//! The cheapest test that tells two explanations apart, and what to do about each.

use serde::Serialize;

use super::causes::Trials;
use super::record::Record;
use super::upset::Cause;
use fenlamp_model::reference::{LimitState, digestion_limits};
use fenlamp_model::world::DayRow;

/// A test a household can make.
struct Test {
    /// What to do.
    words: &'static str,
    /// What it costs, minutes of work and waiting (judgement).
    minutes: f64,
    /// What it reads.
    reads: Reads,
}

/// What a test reads.
enum Reads {
    /// A figure of the slurry or gas, and the error of reading it.
    Figure(fn(&DayRow) -> f64, f64, &'static str),
    /// Yes or no: how likely yes is under a cause (judgement).
    Yes(fn(Cause) -> f64, &'static str),
}

/// Cheapest first.
const TESTS: [Test; 8] = [
    Test {
        words: "Look for gas at the vessel's own valve, outdoors, with no flame near: open it \
                a moment and listen. Gas there and none at the store means a blocked line",
        minutes: 3.0,
        reads: Reads::Yes(
            |c| if c == Cause::Blocked { 0.9 } else { 0.1 },
            "gas rushes out",
        ),
    },
    Test {
        words: "Hold a second thermometer into fresh outflow",
        minutes: 4.0,
        reads: Reads::Yes(
            |c| if c == Cause::Sensor { 0.95 } else { 0.05 },
            "the two differ by more than 3 K",
        ),
    },
    Test {
        words: "Take the pH of fresh outflow, by meter or two strips",
        minutes: 5.0,
        reads: Reads::Figure(|r| r.ph, 0.15, "pH"),
    },
    Test {
        words: "Look at a jar of outflow that stood for an hour: a thin, pale one was washed out",
        minutes: 10.0,
        reads: Reads::Yes(
            |c| if c == Cause::WashedOut { 0.85 } else { 0.1 },
            "it is thin and pale",
        ),
    },
    Test {
        words: "Shut the store's outlet for a night without feeding and mark its height; then \
                brush every joint and seam with soapy water, no flame or switch near",
        minutes: 20.0,
        reads: Reads::Yes(
            |c| if c == Cause::Leak { 0.9 } else { 0.08 },
            "bubbles show or it sinks",
        ),
    },
    Test {
        words: "Titrate outflow to pH 5.0 and 4.4 (goggles and gloves: the acid burns)",
        minutes: 30.0,
        reads: Reads::Figure(|r| (r.acids_mg_l + 300.0).ln(), 0.4, "acids"),
    },
    Test {
        words: "Dry a weighed cup of the feed in an oven you do not cook in, and weigh it again",
        minutes: 60.0,
        reads: Reads::Yes(
            |c| if c == Cause::WeakFeed { 0.85 } else { 0.1 },
            "it holds much less than before",
        ),
    },
    Test {
        words: "Measure ammonium in outflow with a strip or kit for waste water",
        minutes: 30.0,
        reads: Reads::Figure(|r| (r.ammonium_mg_n_l + 100.0).ln(), 0.3, "ammonium"),
    },
];

/// Distance of two explanations that tells them apart: nine in ten (judgement).
const APART: f64 = 1.8;

/// A test to make next.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct NextTest {
    /// What to do.
    pub words: String,
    /// Between which.
    pub between: [Cause; 2],
    /// What it costs, minutes.
    pub minutes: f64,
    /// What the one and the other would show.
    pub shows: String,
}

/// The cheapest test that tells `a` from `b`; `None` when none does.
pub fn cheapest(
    trials: &Trials,
    record: &Record,
    upto: u32,
    a: Cause,
    b: Cause,
) -> Option<NextTest> {
    let mut tests: Vec<&Test> = TESTS.iter().collect();
    tests.sort_by(|x, y| x.minutes.total_cmp(&y.minutes));
    tests.into_iter().find_map(|test| {
        let shows = match test.reads {
            Reads::Yes(likely, what) => {
                let (pa, pb) = (likely(a), likely(b));
                ((pa - pb).abs() >= 0.6).then(|| {
                    format!(
                        "if {what}: {}; if not: {}",
                        name(if pa > pb { a } else { b }),
                        name(if pa > pb { b } else { a })
                    )
                })
            }
            Reads::Figure(figure, sd, what) => {
                let (ma, sa) = trials.foretells(record, a, upto, figure)?;
                let (mb, sb) = trials.foretells(record, b, upto, figure)?;
                let apart = (ma - mb).abs() / (sd * sd + 0.5 * (sa * sa + sb * sb)).sqrt();
                let said = |v: f64| match what {
                    "pH" => format!("{v:.1}"),
                    "acids" => format!("{:.0} mg/L", (v.exp() - 300.0).max(0.0)),
                    _ => format!("{:.0} mg N/L", (v.exp() - 100.0).max(0.0)),
                };
                (apart >= APART).then(|| {
                    format!(
                        "{what} about {}: {}; about {}: {}",
                        said(ma),
                        name(a),
                        said(mb),
                        name(b)
                    )
                })
            }
        }?;
        Some(NextTest {
            words: test.words.to_owned(),
            between: [a, b],
            minutes: test.minutes,
            shows,
        })
    })
}

/// A cause in a few words.
pub fn name(cause: Cause) -> &'static str {
    match cause {
        Cause::Nothing => "nothing is wrong",
        Cause::Cold => "the slurry turned cold",
        Cause::Leak => "gas leaks away",
        Cause::Souring => "it is turning sour",
        Cause::Underfed => "it is fed less",
        Cause::WeakFeed => "the feed holds less than before",
        Cause::Sensor => "the thermometer lies",
        Cause::WashedOut => "slurry was washed out",
        Cause::Ammonia => "too much ammonia",
        Cause::Blocked => "store or line is blocked",
    }
}

/// What to do about a cause.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Remedy {
    /// What to do.
    pub words: String,
    /// What can hurt while doing it; empty when nothing is known to.
    pub caution: &'static str,
    /// Key of the source of `words`; `None`: judgement.
    pub source_key: Option<String>,
}

/// The row of `digestion_limits.csv` that speaks of a cause.
fn row(cause: Cause) -> Option<(&'static str, LimitState, &'static str)> {
    // Parameter, state, and words of its conditions or meaning.
    Some(match cause {
        Cause::Cold => ("digester_temperature", LimitState::Act, "Too cold"),
        Cause::Souring => ("pH", LimitState::Act, "Sour"),
        Cause::WeakFeed => ("feed_total_solids", LimitState::Watch, "Thin"),
        Cause::WashedOut => ("pH", LimitState::Act, "Methane making usually ends"),
        Cause::Ammonia => ("free_ammonia", LimitState::Act, "Likely failure"),
        Cause::Leak => ("daily_gas_volume", LimitState::Act, "Failure or leak"),
        Cause::Underfed => ("fos_tac", LimitState::Good, "Low load"),
        Cause::Nothing | Cause::Sensor | Cause::Blocked => return None,
    })
}

/// What to do about a cause, with its cautions.
pub fn remedy(cause: Cause) -> Remedy {
    let found = row(cause).and_then(|(parameter, state, words)| {
        digestion_limits()
            .iter()
            .find(|r| r.parameter == parameter && r.state == state && r.meaning.starts_with(words))
    });
    let words = match (cause, found) {
        (Cause::Nothing, _) => "Go on as you do.".to_owned(),
        (Cause::Sensor, _) => {
            "Trust the second thermometer; change the probe or its battery.".to_owned()
        }
        (Cause::Blocked, _) => "Empty the trap and the low points, look for ice, kinks, foam and \
            water in the hose, and see that the relief bubbles freely."
            .to_owned(),
        (Cause::Underfed, Some(row)) => {
            format!("{}, if you want more gas.", row.remedy)
        }
        (_, Some(row)) => format!("{}.", row.remedy),
        (_, None) => "Ask someone who knows the plant.".to_owned(),
    };
    let caution = match cause {
        Cause::Leak => {
            "Biogas burns, explodes in a closed place and smothers; its hydrogen \
            sulfide is a poison. No flame or switch, air the place, never a flame to find the leak; \
            a licensed gas fitter where the law wants one."
        }
        Cause::Blocked => {
            "A blocked plant is under pressure. Let the gas out through the relief, \
            outdoors, nobody above it and no flame near; never open a lid or hose in front of your \
            face, never thaw with a flame."
        }
        Cause::Souring => {
            "Lime and ash lye burn skin and eyes: gloves, goggles, water at hand, in \
            small doses; foam may rise. Gas that does not burn still smothers and poisons: let it \
            out outdoors."
        }
        Cause::WashedOut => {
            "Slurry carries germs: gloves, wash hands, none on food. Never enter \
            a tank. Gas from a reseeded vessel is mixed with air at first: vent it as the first gas."
        }
        Cause::Ammonia => "Ammonia hurts eyes and lungs: stand upwind.",
        Cause::Cold => "No open flame and no bare heating element at a gas vessel.",
        _ => "",
    };
    Remedy {
        words,
        caution,
        source_key: found.map(|r| r.source_key.clone()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_cause_that_has_a_row_finds_it_with_its_source() {
        for cause in Cause::ALL {
            let remedy = remedy(cause);
            assert_eq!(
                row(cause).is_some(),
                remedy.source_key.is_some(),
                "{cause:?}"
            );
            assert!(!remedy.words.contains("Ask someone"), "{cause:?}");
            if let Some(key) = remedy.source_key {
                assert!(fenlamp_model::reference::source(&key).is_some(), "{key}");
            }
        }
        for cause in [Cause::Leak, Cause::Blocked, Cause::Souring] {
            assert!(remedy(cause).caution.len() > 40);
        }
    }
}
