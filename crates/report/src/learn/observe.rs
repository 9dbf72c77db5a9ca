//! What a world foretells of what was seen, and what was seen put together by
//! spells of days.
//!
//! Gas and acids are compared by their logarithm, with a little added so that none
//! at all has one too. Readings of one kind within a spell are averaged: their own
//! errors shrink, what the model leaves does not.

use super::axes::Axes;
use super::errors::*;
use super::record::{Record, Seen, What};
use super::smoother::{Datum, Side};
use fenlamp_model::world::DayRow;

/// Readings of one kind in one spell.
#[derive(Debug, Clone, PartialEq)]
pub struct Spell {
    /// What.
    pub what: What,
    /// Days that count, each as often as it was seen.
    pub days: Vec<(u32, u32)>,
    /// Value, error, side.
    pub datum: Datum,
}

/// Readings that do not fit their neighbours.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Doubt {
    /// Day since the fill.
    pub day: u32,
    /// What was read.
    pub what: What,
    /// How far it lies from its neighbours, in its own standard deviations.
    pub off: f64,
}

/// Days on either side that are neighbours.
const NEIGHBOURS: u32 = 10;
/// A reading beyond so many of its standard deviations from their middle is not
/// believed, where there are enough neighbours to say so.
const WILD: f64 = 4.5;

/// Readings between two days (the last not counted), by spells of `length` days;
/// and those that were left out because they do not fit their neighbours.
pub fn spells(seen: &[Seen], days: std::ops::Range<u32>, length: u32) -> (Vec<Spell>, Vec<Doubt>) {
    gather(seen, days, length, true)
}

/// As [`spells`], but every reading counts: what changes at once is news, not
/// nonsense, where one looks for what went wrong.
pub fn all_spells(seen: &[Seen], days: std::ops::Range<u32>, length: u32) -> Vec<Spell> {
    gather(seen, days, length, false).0
}

fn gather(
    seen: &[Seen],
    days: std::ops::Range<u32>,
    length: u32,
    doubting: bool,
) -> (Vec<Spell>, Vec<Doubt>) {
    let mut out: Vec<Spell> = Vec::new();
    let mut doubts = Vec::new();
    let mut open: Vec<(What, u32, Vec<&Seen>)> = Vec::new();
    for s in seen.iter().filter(|s| days.contains(&s.to)) {
        if s.datum.side == Side::At {
            if let Some(off) = wild(seen, s).filter(|_| doubting) {
                doubts.push(Doubt {
                    day: s.to,
                    what: s.what,
                    off,
                });
                continue;
            }
            let spell = s.to / length;
            match open.iter_mut().find(|o| o.0 == s.what && o.1 == spell) {
                Some(o) => o.2.push(s),
                None => open.push((s.what, spell, vec![s])),
            }
        } else {
            out.push(Spell {
                what: s.what,
                days: vec![(s.from, s.to)],
                datum: Datum {
                    sd: s.datum.sd.hypot(of_model(s.what)),
                    ..s.datum
                },
            });
        }
    }
    for (what, _, all) in open {
        let n = all.len() as f64;
        let value = all.iter().map(|s| s.datum.value).sum::<f64>() / n;
        let own = all.iter().map(|s| s.datum.sd.powi(2)).sum::<f64>().sqrt() / n;
        out.push(Spell {
            what,
            days: all.iter().map(|s| (s.from, s.to)).collect(),
            datum: Datum {
                value,
                sd: own.hypot(of_model(what)),
                side: Side::At,
            },
        });
    }
    (out, doubts)
}

/// How far a reading lies from its neighbours, if that is too far.
fn wild(seen: &[Seen], s: &Seen) -> Option<f64> {
    let mut near: Vec<f64> = seen
        .iter()
        .filter(|o| {
            o.what == s.what
                && o.datum.side == Side::At
                && o.to.abs_diff(s.to) <= NEIGHBOURS
                && !std::ptr::eq(*o, s)
        })
        .map(|o| o.datum.value)
        .collect();
    if near.len() < 5 {
        return None;
    }
    near.sort_unstable_by(f64::total_cmp);
    let middle = near[near.len() / 2];
    // What the neighbours themselves scatter, so that a plant in motion is believed.
    let mut away: Vec<f64> = near.iter().map(|v| (v - middle).abs()).collect();
    away.sort_unstable_by(f64::total_cmp);
    let scatter = 1.48 * away[away.len() / 2];
    let off = (s.datum.value - middle) / s.datum.sd.hypot(scatter);
    (off.abs() > WILD).then_some(off)
}

fn of_model(what: What) -> f64 {
    match what {
        What::GasByRise | What::GasByMeter | What::GasByBurning => GAS_OF_MODEL,
        What::Slurry => SLURRY_OF_MODEL_K,
        What::Ph => PH_OF_MODEL,
        What::Acids => ACIDS_OF_MODEL,
        What::Methane => 0.02,
    }
}

/// What a world says where `spell` was seen. Its rows must reach so far.
pub fn foretold(record: &Record, axes: &Axes, z: &[f64], rows: &[DayRow], spell: &Spell) -> f64 {
    let sum: f64 = spell
        .days
        .iter()
        .map(|&(from, to)| {
            one(
                record,
                axes,
                z,
                &rows[from as usize..=to as usize],
                spell.what,
            )
        })
        .sum();
    sum / spell.days.len() as f64
}

fn one(record: &Record, axes: &Axes, z: &[f64], rows: &[DayRow], what: What) -> f64 {
    let mean = |f: fn(&DayRow) -> f64| rows.iter().map(f).sum::<f64>() / rows.len() as f64;
    match what {
        What::GasByRise | What::GasByMeter | What::GasByBurning => {
            let bias = what.gas_by().map_or(0.0, |by| axes.gas_bias(z, by));
            (mean(|r| r.gas_wet_l) * bias.exp() + record.least_gas_l).ln()
        }
        What::Slurry => mean(|r| r.slurry_c),
        What::Ph => mean(|r| r.ph),
        What::Acids => (mean(|r| r.acids_mg_l) + LEAST_ACIDS_MG_L).ln(),
        What::Methane => mean(|r| r.methane_share),
    }
}
