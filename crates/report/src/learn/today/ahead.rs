//! The looks ahead: how each feeding turns out over the likely worlds.

use std::ops::Range;
use std::sync::Arc;

use fenlamp_quantity::{Mass, Quantity, Units, Volume, print, print_gas_band};
use uom::si::volume::cubic_meter;

use super::super::record::{Record, What};
use super::super::upset::Upset;
use super::{Outlook, Task, tenths};
use fenlamp_model::band::Quantiles;
use fenlamp_model::forecast::runs::{Control, run_watched};
use fenlamp_model::plan::{AdditiveKind, Plan, VesselMode};
use fenlamp_model::world::calendar::daily_feed;
use fenlamp_model::world::draw::WorldDraw;
use fenlamp_model::world::known::FedDay;
use fenlamp_model::world::{Shared, WorldError, WorldRun};

/// pH below which a world counts as in trouble (`pH` act row of
/// `digestion_limits.csv`: sour).
const TROUBLE_PH: f64 = 6.5;
/// Days for which a pH that was read outranks the worlds (judgement).
const PH_HOLDS_D: u32 = 4;
/// pH from which a soured vessel is well again (the `good` row).
const WELL_PH: f64 = 6.8;
/// Share of the worlds in trouble that is borne for more gas (judgement).
const BORNE: f64 = 0.10;
/// Buffer that one dose brings, kg CaCO3 per m3 of slurry (judgement: the thin end
/// of the `bicarbonate_alkalinity` rows) and bicarbonate per kg of it (same rows).
const DOSE_KG_M3: f64 = 1.0;
const BICARBONATE_PER_KG: f64 = 1.68;
/// The looks ahead.
pub(super) struct Ahead {
    pub(super) outlooks: Vec<Outlook>,
    /// Runs of the plan's own feeding.
    pub(super) runs: Vec<WorldRun>,
    pub(super) draws: Vec<WorldDraw>,
    /// Days the look covers.
    pub(super) days: Range<usize>,
    /// The next feeding of the plan: day since the fill, kg of each waste, water.
    next: Option<(u32, Vec<f64>, f64)>,
    pub(super) now_ph: f64,
}

/// Feedings tried: none, half, the plan's, half as much again.
const FACTORS: [f64; 4] = [0.0, 0.5, 1.0, 1.5];

impl Ahead {
    pub(super) fn new(
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
    pub(super) fn well_again(&self) -> bool {
        let calm = self
            .outlook(0.0, false)
            .or(self.outlooks.first())
            .is_some_and(|o| o.in_trouble < BORNE);
        self.now_ph >= WELL_PH && calm
    }

    /// How much to feed, at most `most` of the plan, and whether to buffer.
    pub(super) fn feeding(&self, record: &Record, most: f64, wrong: bool, tasks: &mut Vec<Task>) {
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
        // What was read outranks every world.
        if let Some((ph, day)) = read_ph(record)
            && ph < TROUBLE_PH
        {
            tasks.push(Task {
                kind: "wait",
                words: format!(
                    "Do not feed now: the pH was read as {ph:.1} on {}, and below {TROUBLE_PH} \
                     feed makes acid and hardly any gas. Read it again in two days.",
                    record.date(day)
                ),
                by: Some(record.date(record.today)),
                source_key: Some("MEM-AD".to_owned()),
            });
            self.buffer(record, none, tasks);
            return;
        }
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
                            fenlamp_model::world::draw::inputs::short(
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
        self.buffer(record, none, tasks);
    }

    /// Whether to buffer, against the outlook `none` of not feeding.
    fn buffer(&self, record: &Record, none: &Outlook, tasks: &mut Vec<Task>) {
        let units: Units = record.plan.units.into();
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

/// The last pH that was read and its day, while it still holds.
fn read_ph(record: &Record) -> Option<(f64, u32)> {
    record
        .seen
        .iter()
        .filter(|s| s.what == What::Ph && s.to + PH_HOLDS_D >= record.today)
        .max_by_key(|s| s.to)
        .map(|s| (s.datum.value, s.to))
}
