//! What to do today: a look a fortnight ahead over the worlds that the diary left
//! likely, under several feedings.

use std::ops::Range;
use std::sync::Arc;

use fenlamp_quantity::{Mass, Quantity, Units, Volume, format_number, print, print_gas_band};
use jiff::civil::Date;
use serde::Serialize;
use uom::si::volume::cubic_meter;

use super::causes::{Trials, Weighed};
use super::inquiry::{NextTest, Remedy, cheapest, name, remedy};
use super::normal::share_below;
use super::record::Record;
use super::upset::{Cause, Upset};
use super::{Bent, Settings};
use crate::diary::GasBy;
use crate::forecast::bands::Quantiles;
use crate::forecast::calendar::{daily_feed, usual_weather};
use crate::forecast::draw::WorldDraw;
use crate::forecast::ensemble::{Control, run_watched};
use crate::forecast::gas_train;
use crate::forecast::known::FedDay;
use crate::forecast::world::{Shared, WorldError, WorldRun};
use crate::plan::{AdditiveKind, Plan, Runs, VesselMode, Weather};
use crate::weather::days_after;

/// Days of the window in which something may have gone wrong.
const WINDOW_DAYS: u32 = 28;
/// Days looked ahead.
const AHEAD: u32 = 14;
/// Worlds that look ahead.
const LOOKING: usize = 48;
/// pH below which a world counts as in trouble (`pH` act row of
/// `digestion_limits.csv`: sour).
const TROUBLE_PH: f64 = 6.5;
/// pH from which a soured vessel is well again (the `good` row).
const WELL_PH: f64 = 6.8;
/// Share of the worlds in trouble that is borne for more gas (judgement).
const BORNE: f64 = 0.10;
/// Odds of "nothing" below which something is said to be wrong (judgement).
pub const ALARM: f64 = 0.5;
/// Buffer that one dose brings, kg CaCO3 per m3 of slurry (judgement: the thin end
/// of the `bicarbonate_alkalinity` rows) and bicarbonate per kg of it (same rows).
const DOSE_KG_M3: f64 = 1.0;
const BICARBONATE_PER_KG: f64 = 1.68;
/// Restlessness of one night's low about the normals, K (judgement).
const NIGHT_SD_K: f64 = 3.5;
/// Chance of frost from which it is said (judgement).
const FROST_SAID: f64 = 0.3;
/// Days after which a look is due again (judgement).
const PH_EVERY: u32 = 10;
const SLURRY_EVERY: u32 = 7;
const LEAK_EVERY: u32 = 30;

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
    services(record, &plan, &ahead, &mut tasks);
    frost(record, &plan, &mut tasks);
    looks(record, &mut tasks);
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

/// The looks ahead.
struct Ahead {
    outlooks: Vec<Outlook>,
    /// Runs of the plan's own feeding.
    runs: Vec<WorldRun>,
    draws: Vec<WorldDraw>,
    /// Days the look covers.
    days: Range<usize>,
    /// The next feeding of the plan: day since the fill, kg of each waste, water.
    next: Option<(u32, Vec<f64>, f64)>,
    now_ph: f64,
}

/// Feedings tried: none, half, the plan's, half as much again.
const FACTORS: [f64; 4] = [0.0, 0.5, 1.0, 1.5];

impl Ahead {
    fn new(
        record: &Record,
        plan: &Plan,
        worlds: &[(WorldDraw, Upset)],
        control: &Control,
    ) -> Result<Self, WorldError> {
        let shared = Shared::new(plan);
        // Today is still open when nothing was fed yet.
        let told = |d: u32| {
            record
                .fed
                .get(d as usize)
                .and_then(Option::as_ref)
                .is_some_and(|f| f.fresh_kg.iter().sum::<f64>() > 0.0)
        };
        let open = if told(record.today) {
            record.today + 1
        } else {
            record.today
        };
        let middle: Vec<f64> = plan
            .waste
            .iter()
            .map(|w| plan.feedstocks[w.feedstock].total_solids.mid)
            .collect();
        let calendar = daily_feed(plan, &middle);
        let next = (open..plan.days).find_map(|d| {
            let feed = &calendar[d as usize];
            (feed.fresh_kg.iter().sum::<f64>() > 0.0)
                .then(|| (d, feed.fresh_kg.clone(), feed.water_kg))
        });
        let dose_kg = BICARBONATE_PER_KG * DOSE_KG_M3 * plan.vessel.liquid.get::<cubic_meter>();
        let days = record.today as usize + 1..plan.days as usize;
        let mut outlooks = Vec::new();
        let mut kept = None;
        let fed_at_all = plan.vessel.mode != VesselMode::Batch && !plan.waste.is_empty();
        let mut options: Vec<(f64, bool)> = if fed_at_all {
            FACTORS.iter().map(|f| (*f, false)).collect()
        } else {
            vec![(1.0, false)]
        };
        options.push((if fed_at_all { 0.0 } else { 1.0 }, true));
        for (factor, buffered) in options {
            let draws: Vec<WorldDraw> = worlds
                .iter()
                .map(|(draw, _)| {
                    let mut draw = draw.clone();
                    let mut fed = (*draw.known.fed).clone();
                    fed.truncate(open as usize);
                    fed.resize(open as usize, None);
                    for day in open..plan.days {
                        fed.push(Some(FedDay {
                            fresh_kg: calendar[day as usize]
                                .fresh_kg
                                .iter()
                                .map(|kg| kg * factor)
                                .collect(),
                            water_kg: None,
                        }));
                    }
                    draw.known.fed = Arc::new(fed);
                    if buffered {
                        let mut added = (*draw.known.added).clone();
                        added.push((open.min(plan.days - 1), AdditiveKind::Bicarbonate, dose_kg));
                        draw.known.added = Arc::new(added);
                    }
                    draw
                })
                .collect();
            let runs = run_watched(plan, &shared, &draws, control)?;
            let n = days.len().max(1) as f64;
            let trouble = runs
                .iter()
                .filter(|r| r.days[days.clone()].iter().any(|d| d.ph < TROUBLE_PH))
                .count();
            outlooks.push(Outlook {
                factor,
                buffered,
                gas_wet_l: Quantiles::of(
                    &mut runs
                        .iter()
                        .map(|r| {
                            r.days[days.clone()]
                                .iter()
                                .map(|d| d.gas_wet_l)
                                .sum::<f64>()
                                / n
                        })
                        .collect::<Vec<_>>(),
                ),
                in_trouble: trouble as f64 / runs.len().max(1) as f64,
            });
            if factor == 1.0 && !buffered {
                kept = Some((runs, draws));
            }
        }
        let (runs, draws) = kept.unwrap_or_default();
        let now_ph = Quantiles::of(
            &mut runs
                .iter()
                .map(|r| r.days[record.today as usize].ph)
                .collect::<Vec<_>>(),
        )
        .p50;
        Ok(Ahead {
            outlooks,
            runs,
            draws,
            days,
            next,
            now_ph,
        })
    }

    fn outlook(&self, factor: f64, buffered: bool) -> Option<&Outlook> {
        self.outlooks
            .iter()
            .find(|o| o.factor == factor && o.buffered == buffered)
    }

    /// Whether the likely worlds are out of trouble and stay so when not fed.
    fn well_again(&self) -> bool {
        let calm = self
            .outlook(0.0, false)
            .or(self.outlooks.first())
            .is_some_and(|o| o.in_trouble < BORNE);
        self.now_ph >= WELL_PH && calm
    }

    /// How much to feed, at most `most` of the plan, and whether to buffer.
    fn feeding(&self, record: &Record, most: f64, wrong: bool, tasks: &mut Vec<Task>) {
        let units: Units = record.plan.units.into();
        let gas = |o: &Outlook| {
            print_gas_band(
                Volume::from_si(o.gas_wet_l.p10 / 1000.0),
                Volume::from_si(o.gas_wet_l.p90 / 1000.0),
                units,
            )
        };
        let Some(none) = self.outlook(0.0, false) else {
            return;
        };
        // What is borne is over and above what not feeding brings.
        let borne = |o: &&Outlook| o.in_trouble <= BORNE.max(none.in_trouble + 0.02);
        let best = self
            .outlooks
            .iter()
            .filter(|o| !o.buffered && o.factor <= most)
            .filter(borne)
            .max_by(|a, b| a.factor.total_cmp(&b.factor));
        let more = self.outlook(1.5, false).filter(|o| {
            !wrong
                && o.in_trouble <= none.in_trouble + 0.02
                && o.in_trouble < BORNE / 2.0
                && best.is_some_and(|b| b.factor == 1.0 && o.gas_wet_l.p50 > 1.1 * b.gas_wet_l.p50)
        });
        let sour_now = self.now_ph < TROUBLE_PH || none.in_trouble > 0.5;
        match (&self.next, best) {
            (Some((day, kg, water)), Some(best)) if best.factor > 0.0 && !sour_now => {
                let amounts: Vec<String> = kg
                    .iter()
                    .zip(&record.plan.waste)
                    .filter(|(kg, _)| **kg > 0.0)
                    .map(|(kg, w)| {
                        format!(
                            "{} {}",
                            print(Mass::from_si(kg * best.factor), units),
                            crate::forecast::draw::inputs::short(
                                &record.plan.feedstocks[w.feedstock].name
                            )
                        )
                    })
                    .collect();
                let when = if *day <= record.today {
                    "today".to_owned()
                } else {
                    format!("on {}", record.date(*day))
                };
                let water = if *water > 0.05 {
                    format!(
                        ", with {} of water",
                        print(Volume::from_si(water * best.factor / 1000.0), units)
                    )
                } else {
                    String::new()
                };
                let whole = self.outlook(1.0, false).map_or(0.0, |o| o.in_trouble);
                let half = if best.factor == 1.0 {
                    String::new()
                } else if whole > BORNE {
                    format!(
                        " That is half of the plan: with all of it {} worlds in 10 would sour.",
                        tenths(whole)
                    )
                } else {
                    " That is half of the plan, until it is well again.".to_owned()
                };
                let more = more.map_or(String::new(), |o| {
                    format!(" It would bear half as much again: {} a day.", gas(o))
                });
                tasks.push(Task {
                    kind: "feed",
                    words: format!(
                        "Feed {} {when}{water}. The coming fortnight then gives {} of gas a day.{half}{more}",
                        amounts.join(", "),
                        gas(best)
                    ),
                    by: Some(record.date(*day)),
                    source_key: None,
                });
            }
            (Some(_), _) => tasks.push(Task {
                kind: "wait",
                words: format!(
                    "Do not feed now: {} of the likely worlds in 10 are or turn sour within a \
                     fortnight if fed as planned, {} if not. Look again in two days.",
                    tenths(self.outlook(1.0, false).map_or(0.0, |o| o.in_trouble)),
                    tenths(none.in_trouble)
                ),
                by: Some(record.date(record.today)),
                source_key: Some("MEM-AD".to_owned()),
            }),
            (None, _) => {}
        }
        if let Some(buffered) = self.outlook(0.0, true)
            && none.in_trouble > 0.25
            && buffered.in_trouble < none.in_trouble - 0.1
        {
            let m3 = record.plan.vessel.liquid.get::<cubic_meter>();
            tasks.push(Task {
                kind: "buffer",
                words: format!(
                    "Stir in {} of sodium bicarbonate dissolved in warm water, in three parts over \
                     three days: it lowers the odds of souring from {} to {} in 10. It foams: leave \
                     room, and let the gas out outdoors.",
                    print(Mass::from_si(BICARBONATE_PER_KG * DOSE_KG_M3 * m3), units),
                    tenths(none.in_trouble),
                    tenths(buffered.in_trouble)
                ),
                by: Some(record.date(record.today)),
                source_key: Some("MEM-AD".to_owned()),
            });
        }
    }
}

/// Washes and trap by when they were last seen to.
fn services(record: &Record, plan: &Plan, ahead: &Ahead, tasks: &mut Vec<Task>) {
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
fn frost(record: &Record, plan: &Plan, tasks: &mut Vec<Task>) {
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
fn looks(record: &Record, tasks: &mut Vec<Task>) {
    use super::record::What;
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
        .filter(|(_, s)| {
            matches!(
                s,
                super::record::Sign::Tight | super::record::Sign::LeakFound
            )
        })
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
