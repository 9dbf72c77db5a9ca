//! Invented plants whose truth is known, and the diaries their invented keepers
//! write: what the learning is held against.
//!
//! The truth is a world like any other, but with the restless weather of a forecast
//! and a keeper who misses feedings, fills buckets unevenly, reads a bag by eye,
//! leaves days out and now and then writes nonsense.

use std::sync::Arc;

use super::normal::{Draws, share_below};
use super::upset::{Cause, Upset};
use crate::diary::{Entry, Flame, GasBy, PhBy, Writing, WrittenEntry};
use fenlamp_model::plan::{Plan, VesselMode};
use fenlamp_model::weather::anomaly::USUAL_NOISE_K;
use fenlamp_model::weather::days_after;
use fenlamp_model::world::calendar::daily_feed;
use fenlamp_model::world::draw::{WorldDraw, inputs};
use fenlamp_model::world::known::{FedDay, Known};
use fenlamp_model::world::{Shared, WorldError, WorldRun, run};

/// How a keeper keeps the diary.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Keeper {
    /// Factor on all errors: 1 is usual.
    pub noise: f64,
    /// Share of days on which gas is written down.
    pub gas_days: f64,
    /// Days between looks at the thermometer.
    pub slurry_every: u32,
    /// Days between strips of pH.
    pub ph_every: u32,
    /// Days between looks at the flame.
    pub flame_every: u32,
    /// Share of the readings that are nonsense.
    pub nonsense: f64,
    /// Away for a fortnight, in which a neighbour feeds and writes of nothing else.
    pub away: bool,
}

impl Default for Keeper {
    fn default() -> Self {
        Keeper {
            noise: 1.0,
            gas_days: 0.75,
            slurry_every: 3,
            ph_every: 7,
            flame_every: 4,
            nonsense: 0.02,
            away: true,
        }
    }
}

/// A plant with its truth.
#[derive(Debug, Clone)]
pub struct Invented {
    /// Its plan; `days` is the length of the truth.
    pub plan: Plan,
    /// Its world.
    pub truth: WorldDraw,
    /// What happened.
    pub run: WorldRun,
    /// The logarithm of what its keeper reads of gas over what there was.
    pub gas_bias: f64,
    /// What the keeper meant to feed, kg of each waste.
    meant: Vec<FedDay>,
    seed: u64,
    upset: Option<Upset>,
}

/// Own error of gas by rise, pH by strip, slurry by hand: as the learning takes them.
const GAS_BIAS: f64 = 0.12;

impl Invented {
    /// The plant of a seed; with an upset it is the same plant until then.
    ///
    /// # Errors
    /// Its world cannot be run.
    pub fn new(plan: &Plan, seed: u64, upset: Option<Upset>) -> Result<Self, WorldError> {
        let mut draws = Draws::new(seed, 1 << 43);
        let unit: Vec<f64> = inputs(plan)
            .iter()
            .map(|_| share_below(draws.normal()))
            .collect();
        let gas_bias = GAS_BIAS * draws.normal();
        let mut truth = WorldDraw::from_unit(plan, &unit, seed ^ 0x5eed);
        truth.weather.noise_k = match plan.weather {
            fenlamp_model::weather::Weather::Normals(_) => USUAL_NOISE_K,
            fenlamp_model::weather::Weather::Series(_) => 0.0,
        };
        let solids: Vec<f64> = plan
            .waste
            .iter()
            .map(|w| truth.feed[w.feedstock].total_solids)
            .collect();
        let mut skip = Draws::new(seed, (1 << 43) + 1);
        let mut meant: Vec<FedDay> = daily_feed(plan, &solids)
            .into_iter()
            .map(|f| FedDay {
                fresh_kg: if skip.share() < 0.06 {
                    vec![0.0; f.fresh_kg.len()]
                } else {
                    f.fresh_kg
                },
                water_kg: None,
            })
            .collect();
        if let Some(upset) = upset.filter(|u| u.cause == Cause::Underfed) {
            let mut known = Known {
                fed: Arc::new(meant.iter().cloned().map(Some).collect()),
                ..Known::default()
            };
            upset.befall(&mut known, plan.days);
            meant = known.fed.iter().flatten().cloned().collect();
        }
        let mut uneven = Draws::new(seed, (1 << 43) + 2);
        let fed = meant
            .iter()
            .map(|f| {
                Some(FedDay {
                    fresh_kg: f
                        .fresh_kg
                        .iter()
                        .map(|kg| kg * (0.15 * uneven.normal()).exp())
                        .collect(),
                    water_kg: None,
                })
            })
            .collect();
        if plan.vessel.mode != VesselMode::Batch {
            truth.known.fed = Arc::new(fed);
        }
        if let Some(upset) = upset.filter(|u| u.cause != Cause::Underfed) {
            upset.befall(&mut truth.known, plan.days);
        }
        let run = run(plan, &Shared::new(plan), &truth)?;
        Ok(Invented {
            plan: plan.clone(),
            truth,
            run,
            gas_bias,
            meant,
            seed,
            upset,
        })
    }

    /// The diary up to `today` (days since the fill), in order.
    pub fn diary(&self, keeper: &Keeper, today: u32) -> Vec<WrittenEntry> {
        let mut out = Vec::new();
        let mut number = 0u32;
        let mut noise = Draws::new(self.seed, (1 << 43) + 3);
        let away = 40 + (noise.share() * 60.0) as u32;
        for day in 0..=today.min(self.plan.days - 1) {
            let date = days_after(self.plan.start, i64::from(day));
            let row = &self.run.days[day as usize];
            let mut write = |entry: Entry| {
                number += 1;
                out.push(WrittenEntry {
                    uid: format!("{number:024x}"),
                    corrects: None,
                    written: String::new(),
                    writing: Writing {
                        date,
                        time: None,
                        entry,
                        words: String::new(),
                    },
                });
            };
            for (kg, waste) in self.meant[day as usize]
                .fresh_kg
                .iter()
                .zip(&self.plan.waste)
            {
                if *kg > 0.0 {
                    write(Entry::Fed {
                        feedstock: self.plan.feedstocks[waste.feedstock].id.clone(),
                        kg: *kg,
                        water_kg: None,
                    });
                }
            }
            // The same draws every day, whatever is written, so that an upset changes
            // nothing before it.
            let d: Vec<f64> = (0..8).map(|_| noise.normal()).collect();
            let s: Vec<f64> = (0..3).map(|_| noise.share()).collect();
            if keeper.away && (away..away + 14).contains(&day) {
                continue;
            }
            let (gas_seen, lie) = self
                .upset
                .map_or((1.0, 0.0), |u| (u.gas_seen(day), u.slurry_lie_k(day)));
            if s[0] < keeper.gas_days {
                let nonsense = if s[1] < keeper.nonsense { 6.0 } else { 1.0 };
                let litres = row.gas_wet_l
                    * gas_seen
                    * (self.gas_bias + 0.22 * keeper.noise * d[0]).exp()
                    * nonsense;
                // Read to the nearest twentieth of a usual day.
                let step = 0.002 * row.slurry_l;
                write(Entry::Gas {
                    m3: (litres / step).round() * step / 1000.0,
                    days: 1.0,
                    by: GasBy::Rise,
                });
            }
            if day % keeper.slurry_every == 0 {
                let c = row.slurry_c + lie + 1.2 * keeper.noise * d[1];
                write(Entry::SlurryTemperature {
                    kelvin: 273.15 + (2.0 * c).round() / 2.0,
                });
            }
            if day % keeper.ph_every == 0 {
                let ph = row.ph + 0.25 * keeper.noise * d[2];
                write(Entry::Ph {
                    ph: (5.0 * ph).round() / 5.0,
                    by: PhBy::Strip,
                });
            }
            if day % keeper.flame_every == 1 && row.gas_wet_l * gas_seen > 0.01 * row.slurry_l {
                let share = row.methane_share + 0.03 * d[3];
                write(Entry::Flame {
                    looks: if share >= 0.5 {
                        Flame::Blue
                    } else if share >= 0.45 {
                        Flame::GoesOut
                    } else {
                        Flame::None
                    },
                });
            }
        }
        out
    }
}
