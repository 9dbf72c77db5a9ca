//! What is wrong: competing explanations, each run as worlds and weighed against
//! the diary.
//!
//! The worlds have learned from the days before a window. In the window each cause
//! befalls them, from some day on and more or less gravely; how well they then
//! foretell the readings of the window gives the odds. A cause that explains more
//! only by being able to explain anything is paid no bonus: all its worlds count, the
//! poor ones too (the marginal likelihood).

use std::ops::Range;

use rayon::prelude::*;
use serde::Serialize;

use super::Bent;
use super::normal::{Draws, share_below};
use super::observe::{Spell, all_spells, foretold};
use super::record::{Record, Sign, What};
use super::smoother::{Datum, Side};
use super::upset::{Cause, Upset};
use fenlamp_model::forecast::runs::{Control, run_watched};
use fenlamp_model::world::draw::WorldDraw;
use fenlamp_model::world::{DayRow, Shared, WorldError, WorldRun};

/// Readings are put together by spells of so many days here: quick enough to see a
/// change, long enough to calm the eye.
const SPELL_DAYS: u32 = 3;
/// Worlds that are made to suffer each cause that changes the slurry.
const WORLDS_EACH: usize = 64;
/// Beginnings and sizes tried on each world for causes that change readings alone.
const TRIES_EACH: usize = 8;
/// Degrees of freedom of the errors' distribution: now and then one is wide
/// (judgement).
const FREEDOM: f64 = 4.0;
/// Misses of one kind hang together from spell to spell; each counts so much
/// (judgement, held to the false alarms of invented plants).
const COUNTS: f64 = 0.75;
/// Odds before anything was read: most months nothing is wrong (judgement).
fn usual(cause: Cause) -> f64 {
    match cause {
        Cause::Nothing => 0.82,
        // Told by the feed written down.
        Cause::Underfed => 0.02,
        _ => 0.02,
    }
}

/// One world under one cause.
#[derive(Debug, Clone, Copy)]
struct Member {
    upset: Upset,
    /// Which of the base's worlds.
    world: usize,
    /// Which of the runs.
    run: usize,
}

/// Worlds that suffered every cause in a window.
#[derive(Debug, Clone)]
pub struct Trials {
    base: Bent,
    window: Range<u32>,
    members: Vec<Member>,
    draws: Vec<WorldDraw>,
    runs: Vec<WorldRun>,
}

/// How a cause stands.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Weighed {
    /// The cause.
    pub cause: Cause,
    /// Its share of all odds, 0 to 1.
    pub share: f64,
    /// From about which day since the fill on, the middle of its odds.
    pub since: Option<u32>,
    /// What speaks for or against it, beside "nothing".
    pub evidence: Vec<Speaks>,
}

/// One kind of reading and what it says of a cause.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Speaks {
    /// What was read.
    pub what: What,
    /// How many times likelier the readings are under the cause than under nothing,
    /// natural logarithm.
    pub ln_odds: f64,
    /// Mean of the readings in the last fortnight, on a plain scale (L, degC, pH, mg/L, share).
    pub seen: f64,
    /// What the cause foretold.
    pub foretold: f64,
    /// What "nothing" foretold.
    pub usual: f64,
}

impl Trials {
    /// Runs every cause from days inside `window` on, over `record.plan`; `base` has
    /// learned from the days before.
    ///
    /// # Errors
    /// The first world's error.
    pub fn run(
        record: &Record,
        base: &Bent,
        window: Range<u32>,
        seed: u64,
        control: &Control,
    ) -> Result<Self, WorldError> {
        let plan = &record.plan;
        let mut draws = base.draws(plan, record);
        let plain = draws.len();
        let mut members = Vec::new();
        let mut chance = Draws::new(seed, 1 << 44);
        let length = f64::from(window.end - window.start);
        for cause in Cause::ALL {
            if cause.needs_run() {
                for i in 0..WORLDS_EACH {
                    // Beginnings evenly over the window, sizes shuffled among them.
                    let share = (i as f64 + chance.share()) / WORLDS_EACH as f64;
                    let upset = Upset {
                        cause,
                        from: window.start + (share * length) as u32,
                        size: chance.share(),
                    };
                    let world = (i * 7 + 3) % plain;
                    let mut draw = draws[world].clone();
                    upset.befall(&mut draw.known, plan.days);
                    members.push(Member {
                        upset,
                        world,
                        run: draws.len(),
                    });
                    draws.push(draw);
                }
                continue;
            }
            let tries = if matches!(cause, Cause::Nothing | Cause::Underfed) {
                1
            } else {
                TRIES_EACH
            };
            for world in 0..plain {
                for t in 0..tries {
                    let share = (t as f64 + chance.share()) / tries as f64;
                    members.push(Member {
                        upset: Upset {
                            cause,
                            from: window.start + (share * length) as u32,
                            size: chance.share(),
                        },
                        world,
                        run: world,
                    });
                }
            }
        }
        let runs = run_watched(plan, &Shared::new(plan), &draws, control)?;
        Ok(Trials {
            base: base.clone(),
            window,
            members,
            draws,
            runs,
        })
    }

    /// Odds of every cause by what was read in the window up to the day `upto`, the
    /// likeliest first.
    pub fn weigh(&self, record: &Record, upto: u32) -> Vec<Weighed> {
        let days = self.window.start..(upto + 1).min(self.window.end);
        let seen = all_spells(&record.seen, days.clone(), SPELL_DAYS);
        let fits = self.fits(record, upto, &seen);
        let total: Vec<f64> = fits
            .iter()
            .map(|f| f.iter().sum::<f64>() * COUNTS)
            .collect();
        let starved = starved(record, &days);
        let mut out: Vec<(Weighed, f64)> = Vec::new();
        let nothing: Vec<usize> = self.of(Cause::Nothing, upto);
        for cause in Cause::ALL {
            let members = self.of(cause, upto);
            if members.is_empty() {
                continue;
            }
            let mut ln = ln_mean_exp(members.iter().map(|&m| total[m])) + usual(cause).ln();
            // A healthy plant that was fed little is named so.
            match (cause, starved) {
                (Cause::Underfed, false) => ln = f64::NEG_INFINITY,
                (Cause::Underfed, true) => ln += (usual(Cause::Nothing) / usual(cause)).ln(),
                (Cause::Nothing, true) => ln += (0.05f64).ln(),
                _ => {}
            }
            ln += record
                .signs
                .iter()
                .filter(|(day, _)| days.contains(day))
                .map(|(_, sign)| sign.ln_odds(cause))
                .sum::<f64>();
            let weighed = Weighed {
                cause,
                share: 0.0,
                since: since(&self.members, &members, &total),
                evidence: self.evidence(record, &seen, &fits, &total, &members, &nothing, upto),
            };
            out.push((weighed, ln));
        }
        let sum = ln_sum_exp(out.iter().map(|o| o.1));
        for (weighed, ln) in &mut out {
            weighed.share = (*ln - sum).exp();
        }
        out.sort_by(|a, b| b.0.share.total_cmp(&a.0.share));
        out.into_iter().map(|o| o.0).collect()
    }

    /// Members of a cause that had begun by `upto`.
    fn of(&self, cause: Cause, upto: u32) -> Vec<usize> {
        self.members
            .iter()
            .enumerate()
            .filter(|(_, m)| {
                m.upset.cause == cause
                    && (m.upset.from <= upto || matches!(cause, Cause::Nothing | Cause::Underfed))
            })
            .map(|(i, _)| i)
            .collect()
    }

    /// How well each member fits each spell, logarithm.
    fn fits(&self, record: &Record, upto: u32, seen: &[Spell]) -> Vec<Vec<f64>> {
        self.members
            .par_iter()
            .map(|m| {
                if m.upset.from > upto && m.upset.cause.needs_run() {
                    return vec![0.0; seen.len()];
                }
                seen.iter()
                    .map(|s| ln_likely(&s.datum, self.says(record, m, s)))
                    .collect()
            })
            .collect()
    }

    /// What a member says of a spell, its upset of the readings counted in.
    fn says(&self, record: &Record, m: &Member, spell: &Spell) -> f64 {
        let z = &self.base.z[m.world];
        let plain = foretold(record, &self.base.axes, z, &self.runs[m.run].days, spell);
        let days = spell.days.len() as f64;
        let mean = |f: &dyn Fn(u32) -> f64| {
            spell
                .days
                .iter()
                .map(|&(from, to)| (from..=to).map(f).sum::<f64>() / f64::from(to - from + 1))
                .sum::<f64>()
                / days
        };
        match spell.what {
            What::Slurry => plain + mean(&|d| m.upset.slurry_lie_k(d)),
            w if w.gas_by().is_some() => {
                let share = mean(&|d| m.upset.gas_seen(d));
                let litres = (plain.exp() - record.least_gas_l).max(0.0);
                (share * litres + record.least_gas_l).ln()
            }
            _ => plain,
        }
    }

    #[allow(clippy::too_many_arguments)]
    fn evidence(
        &self,
        record: &Record,
        seen: &[Spell],
        fits: &[Vec<f64>],
        total: &[f64],
        members: &[usize],
        nothing: &[usize],
        upto: u32,
    ) -> Vec<Speaks> {
        let mut kinds: Vec<What> = seen.iter().map(|s| s.what).collect();
        kinds.sort_unstable();
        kinds.dedup();
        let best = likeliest(members, total);
        let plain = likeliest(nothing, total);
        kinds
            .into_iter()
            .filter_map(|what| {
                let of: Vec<usize> = (0..seen.len()).filter(|&i| seen[i].what == what).collect();
                let ln = |set: &[usize]| {
                    ln_mean_exp(
                        set.iter()
                            .map(|&m| of.iter().map(|&i| fits[m][i]).sum::<f64>()),
                    )
                };
                let late: Vec<usize> = of
                    .iter()
                    .copied()
                    .filter(|&i| {
                        seen[i].datum.side == Side::At
                            && seen[i].days.iter().any(|&(_, to)| to + 14 > upto)
                    })
                    .collect();
                let n = late.len() as f64;
                if late.is_empty() {
                    return None;
                }
                let mean = |f: &dyn Fn(usize) -> f64| {
                    plain_scale(record, what, late.iter().map(|&i| f(i)).sum::<f64>() / n)
                };
                let said = |m: Option<usize>, i: usize| {
                    m.map_or(f64::NAN, |m| self.says(record, &self.members[m], &seen[i]))
                };
                Some(Speaks {
                    what,
                    ln_odds: ln(members) - ln(nothing),
                    seen: mean(&|i| seen[i].datum.value),
                    foretold: mean(&|i| said(best, i)),
                    usual: mean(&|i| said(plain, i)),
                })
            })
            .collect()
    }

    /// Worlds drawn by their odds, causes and all: what the plant may be now.
    pub fn worlds_now(
        &self,
        record: &Record,
        upto: u32,
        count: usize,
        seed: u64,
    ) -> Vec<(WorldDraw, Upset)> {
        let days = self.window.start..(upto + 1).min(self.window.end);
        let seen = all_spells(&record.seen, days, SPELL_DAYS);
        let fits = self.fits(record, upto, &seen);
        let weighed = self.weigh(record, upto);
        let mut weight = vec![0.0; self.members.len()];
        for w in &weighed {
            let members = self.of(w.cause, upto);
            let sum = ln_sum_exp(
                members
                    .iter()
                    .map(|&m| fits[m].iter().sum::<f64>() * COUNTS),
            );
            for m in members {
                weight[m] = w.share * (fits[m].iter().sum::<f64>() * COUNTS - sum).exp();
            }
        }
        let whole: f64 = weight.iter().sum();
        // Evenly spaced from a chance start, so that no world comes much too often.
        let mut at = Draws::new(seed, 1 << 45).share();
        let mut out = Vec::with_capacity(count);
        let mut sum = 0.0;
        for (m, w) in weight.iter().enumerate() {
            sum += w / whole.max(1e-300) * count as f64;
            while at < sum && out.len() < count {
                let member = &self.members[m];
                out.push((self.draws[member.run].clone(), member.upset));
                at += 1.0;
            }
        }
        out
    }

    /// A figure of the slurry under a cause on a day: mean and width over its worlds.
    pub fn foretells(
        &self,
        record: &Record,
        cause: Cause,
        upto: u32,
        figure: fn(&DayRow) -> f64,
    ) -> Option<(f64, f64)> {
        let days = self.window.start..(upto + 1).min(self.window.end);
        let seen = all_spells(&record.seen, days, SPELL_DAYS);
        let members = self.of(cause, upto);
        let fits = self.fits(record, upto, &seen);
        let ln: Vec<f64> = members
            .iter()
            .map(|&m| fits[m].iter().sum::<f64>() * COUNTS)
            .collect();
        let sum = ln_sum_exp(ln.iter().copied());
        if !sum.is_finite() {
            return None;
        }
        let of = |m: usize| figure(&self.runs[self.members[m].run].days[upto as usize]);
        let mean: f64 = members
            .iter()
            .zip(&ln)
            .map(|(&m, l)| (l - sum).exp() * of(m))
            .sum();
        let var: f64 = members
            .iter()
            .zip(&ln)
            .map(|(&m, l)| (l - sum).exp() * (of(m) - mean).powi(2))
            .sum();
        Some((mean, var.sqrt()))
    }
}

/// Gas and acids back from their logarithms.
fn plain_scale(record: &Record, what: What, value: f64) -> f64 {
    match what {
        What::GasByRise | What::GasByMeter | What::GasByBurning => {
            (value.exp() - record.least_gas_l).max(0.0)
        }
        What::Acids => (value.exp() - super::errors::LEAST_ACIDS_MG_L).max(0.0),
        _ => value,
    }
}

fn likeliest(members: &[usize], total: &[f64]) -> Option<usize> {
    members
        .iter()
        .copied()
        .max_by(|&a, &b| total[a].total_cmp(&total[b]))
}

/// The middle beginning of a cause's worlds, by their odds.
fn since(all: &[Member], members: &[usize], total: &[f64]) -> Option<u32> {
    let sum = ln_sum_exp(members.iter().map(|&m| total[m]));
    let mut by_day: Vec<(u32, f64)> = members
        .iter()
        .map(|&m| (all[m].upset.from, (total[m] - sum).exp()))
        .collect();
    by_day.sort_by_key(|d| d.0);
    let mut before = 0.0;
    by_day.iter().find_map(|(day, weight)| {
        before += weight;
        (before >= 0.5).then_some(*day)
    })
}

/// Whether far less was fed in the window than in the month before it, by the diary.
fn starved(record: &Record, window: &Range<u32>) -> bool {
    let mean = |days: Range<u32>| {
        let told: Vec<f64> = days
            .filter_map(|d| record.fed.get(d as usize)?.as_ref())
            .map(|f| f.fresh_kg.iter().sum())
            .collect();
        (told.len() >= 5).then(|| told.iter().sum::<f64>() / told.len() as f64)
    };
    let before = mean(window.start.saturating_sub(30)..window.start);
    // Its last fortnight.
    let from = window.end.saturating_sub(14).max(window.start);
    match (before, mean(from..window.end)) {
        (Some(before), Some(now)) => before > 0.0 && now < 0.55 * before,
        _ => false,
    }
}

/// Student's distribution about what was foretold; a bound by the share on its side.
fn ln_likely(datum: &Datum, said: f64) -> f64 {
    let r = (datum.value - said) / datum.sd;
    match datum.side {
        Side::At => -0.5 * (FREEDOM + 1.0) * (1.0 + r * r / FREEDOM).ln() - datum.sd.ln(),
        Side::AtLeast => share_below(-r).max(0.01).ln(),
        Side::AtMost => share_below(r).max(0.01).ln(),
    }
}

fn ln_sum_exp(values: impl Iterator<Item = f64> + Clone) -> f64 {
    let top = values.clone().fold(f64::NEG_INFINITY, f64::max);
    if !top.is_finite() {
        return top;
    }
    top + values.map(|v| (v - top).exp()).sum::<f64>().ln()
}

fn ln_mean_exp(values: impl ExactSizeIterator<Item = f64> + Clone) -> f64 {
    let n = values.len() as f64;
    ln_sum_exp(values) - n.ln()
}

impl Sign {
    /// How many times likelier a cause makes this sign, logarithm (judgement).
    fn ln_odds(self, cause: Cause) -> f64 {
        let times: f64 = match (self, cause) {
            (Sign::LeakFound, Cause::Leak) => 30.0,
            (Sign::Tight, Cause::Leak) => 0.1,
            (Sign::SmellsSour, Cause::Souring) => 6.0,
            (Sign::SmellsSour, Cause::WashedOut | Cause::Cold) => 1.5,
            (Sign::SmellsOfAmmonia, Cause::Ammonia) => 8.0,
            (Sign::Foams, Cause::Souring) => 2.0,
            _ => 1.0,
        };
        times.ln()
    }
}
