//! The loop over the hours.

use super::account::{Account, Day, Run};
use super::wash::Filling;
use super::{CARBON_DIOXIDE, Gas, Holder, METHANE, SULFIDE, Train};
use crate::gas::store::skin::warmth_factor;
use crate::gas::volume::{DRY_LITRES_PER_KMOL, wet_litres_per_kmol};
use crate::reference::gas_value;

/// Methane share from which gas burns and is worth keeping (`ch4_min_flame`).
fn flame_share() -> f64 {
    gas_value("ch4_min_flame") / 100.0
}
/// Part of the way to balance that a still bath goes in an hour (judgement: a
/// third a day, a film of 1e-5 m/s over some decimetres of depth).
const BATH_PER_H: f64 = 0.3 / 24.0;

/// What surrounds the store in each hour of one world.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Surroundings {
    /// Dry normal litres in a litre of the full store.
    dry_per_l: Vec<f64>,
    /// Factor of warmth on the permeation.
    warmth: Vec<f64>,
    /// Month of each day, 0 = January.
    months: Vec<usize>,
    /// Gas over a litre of bath water at one atmosphere of it, dry normal litres: CH4, CO2, H2S.
    bath_l_per_l: [f64; 3],
    flame_share: f64,
}

impl Surroundings {
    /// `gas_c` of each hour, the outside pressure, that of the full store, and
    /// the month of each day.
    pub fn new(
        gas_c: impl Iterator<Item = f64>,
        outside_bar: f64,
        full_pa: f64,
        months: Vec<usize>,
    ) -> Self {
        let full_bar = outside_bar + full_pa * 1e-5;
        let (dry_per_l, warmth) = gas_c
            .map(|t| {
                let t = t.clamp(-40.0, 70.0);
                (
                    DRY_LITRES_PER_KMOL / wet_litres_per_kmol(t, full_bar),
                    warmth_factor(t),
                )
            })
            .unzip();
        Surroundings {
            dry_per_l,
            warmth,
            months,
            bath_l_per_l: dissolved_l_per_l_atm(),
            flame_share: flame_share(),
        }
    }
}

/// Methane, carbon dioxide and hydrogen sulfide that a litre of water at 25 degC
/// holds under one atmosphere of each, dry normal litres (worked example 24).
pub fn dissolved_l_per_l_atm() -> [f64; 3] {
    let litre = gas_value("vm_ideal_0c");
    [
        litre * 10f64.powf(gas_value("logkh_ch4_25c")),
        litre * gas_value("kh_co2_25c"),
        litre * gas_value("kh_h2s_25c"),
    ]
}

/// Runs the train over the days; `gas` is that of each day, dry normal litres.
/// Without `in_days` only the sums are kept.
pub fn run(train: &Train, gas: &[Gas], around: &Surroundings, in_days: bool) -> Run {
    let days = gas
        .len()
        .min(around.months.len())
        .min(around.dry_per_l.len() / 24);
    let mut out = Run::of_washes(train.washes.len());
    if in_days {
        out.days.reserve(days);
        out.met = vec![Vec::with_capacity(days); train.burns.len()];
    }
    let mut fillings = vec![Filling::default(); train.washes.len()];
    let mut contents = Gas::default();
    let mut met = vec![0.0; train.burns.len()];
    for (d, made) in gas.iter().take(days).enumerate() {
        let washed = wash(train, d, made, &mut fillings, &mut out);
        let hourly = washed.map(|l| l / 24.0);
        let mut day = Day {
            h2s_ppm: share(&washed, SULFIDE) * 1e6,
            ..Day::default()
        };
        met.fill(0.0);
        if share(&washed, METHANE) >= around.flame_share {
            out.burnable_l += total(&washed);
        }
        for h in 0..24 {
            let hour = 24 * d + h;
            add(&mut contents, &hourly);
            if let Some(store) = &train.store {
                lose(store, around, hour, &mut contents, &mut out.account);
            }
            burn(
                train,
                around,
                hour,
                &mut contents,
                &mut met,
                &mut day,
                &mut out,
            );
            // What is above the brim goes.
            let brim = train
                .store
                .map_or(0.0, |s| s.full_l * around.dry_per_l[hour]);
            let all = total(&contents);
            if all > brim {
                let go = contents.map(|l| l * (1.0 - brim / all));
                if share(&contents, METHANE) >= around.flame_share {
                    out.wasted_l += total(&go);
                }
                day.vented_l += total(&go);
                add(&mut out.account.vented, &go);
                take(&mut contents, &go);
            }
            if brim > 0.0 {
                out.filled_by_hour[quarter(around.months[d])][h] += total(&contents) / brim;
            }
        }
        out.quarter_days[quarter(around.months[d])] += 1;
        out.short_h += day.short_h;
        if in_days {
            day.stored_l = total(&contents);
            out.days.push(day);
            for ((rows, met), burn) in out.met.iter_mut().zip(&met).zip(&train.burns) {
                let on = burn.months[around.months[d]];
                rows.push(if on { *met } else { f64::NAN });
            }
        }
    }
    out.account.stored = contents;
    out
}

/// Quarter of the year of a month (0 = January): December to February is 0.
pub fn quarter(month: usize) -> usize {
    (month + 1) % 12 / 3
}

/// Each day's gas behind the washes of `train`, dry normal litres: no store or use changes it.
pub fn washed(train: &Train, gas: &[Gas]) -> Vec<Gas> {
    let mut fillings = vec![Filling::default(); train.washes.len()];
    let mut out = Run::of_washes(train.washes.len());
    gas.iter()
        .enumerate()
        .map(|(day, made)| wash(train, day, made, &mut fillings, &mut out))
        .collect()
}

/// A day's gas through the washes.
fn wash(train: &Train, day: usize, made: &Gas, fillings: &mut [Filling], out: &mut Run) -> Gas {
    let mut gas = *made;
    add(&mut out.account.made, made);
    for (i, (stage, filling)) in train.washes.iter().zip(fillings).enumerate() {
        if stage
            .renewed_every
            .is_some_and(|n| day > 0 && day.is_multiple_of(n.max(1)))
        {
            *filling = Filling::default();
        }
        if out.spent[i].is_none() {
            out.filling_l[i] += total(&gas) * stage.lasts(filling, &gas);
        }
        let taken = stage.pass(filling, &mut gas);
        add(&mut out.account.washed_out, &taken);
        if stage.is_spent(filling) {
            out.spent[i].get_or_insert(day);
            out.spent_days[i] += 1;
        }
    }
    gas
}

/// Through the skin, at the seams, into the bath: an hour.
fn lose(s: &Holder, around: &Surroundings, hour: usize, contents: &mut Gas, account: &mut Account) {
    let all = total(contents);
    if all <= 0.0 {
        return;
    }
    // Pressure of each gas beside that of the same gas outside, which is none: shares of an atmosphere.
    let before = *contents;
    for g in [METHANE, CARBON_DIOXIDE, SULFIDE] {
        let share = before[g] / all;
        let through = (s.conductance[g] * around.warmth[hour] * share).min(0.5 * before[g]);
        account.permeated[g] += through;
        contents[g] -= through;
        if s.bath_l > 0.0 {
            let balance = s.bath_l * around.bath_l_per_l[g] * share;
            // Back out of the water when the gas has grown poorer.
            let into = (BATH_PER_H * (balance - account.dissolved[g])).min(0.5 * contents[g]);
            account.dissolved[g] += into;
            contents[g] -= into;
        }
    }
    let leak = contents.map(|l| l * s.leak_per_h);
    add(&mut account.leaked, &leak);
    take(contents, &leak);
}

/// The uses of an hour, most wanted first.
fn burn(
    train: &Train,
    around: &Surroundings,
    hour: usize,
    contents: &mut Gas,
    met: &mut [f64],
    day: &mut Day,
    out: &mut Run,
) {
    let h = hour % 24;
    let month = around.months[hour / 24];
    let (mut wanted, mut short) = (false, false);
    for (burn, met) in train.burns.iter().zip(met) {
        let need = burn.methane_l_day * burn.share[h];
        if need <= 0.0 || !burn.months[month] {
            continue;
        }
        wanted = true;
        let all = total(contents);
        let rich = share(contents, METHANE);
        let kept = train
            .store
            .map_or(0.0, |s| s.kept_back * s.full_l * around.dry_per_l[hour]);
        let mut free = (all - kept).max(0.0);
        if train.store.is_none() {
            // Nothing waits: only what is made while it burns.
            free *= burn.part[h];
        }
        let done = if rich >= burn.least_methane {
            (free * rich / need).min(1.0)
        } else {
            0.0
        };
        short |= done < 0.999;
        *met += done * burn.share[h];
        if done > 0.0 {
            let part = (done * need / (rich * all)).min(1.0);
            let gas = contents.map(|l| l * part);
            add(&mut out.account.burned, &gas);
            take(contents, &gas);
            day.burned_l += total(&gas);
        }
    }
    out.wanted_h += f64::from(u8::from(wanted));
    day.short_h += f64::from(u8::from(short));
}

fn total(gas: &Gas) -> f64 {
    gas.iter().sum()
}

fn share(gas: &Gas, g: usize) -> f64 {
    let all = total(gas);
    if all > 0.0 { gas[g] / all } else { 0.0 }
}

fn add(to: &mut Gas, gas: &Gas) {
    for (to, gas) in to.iter_mut().zip(gas) {
        *to += gas;
    }
}

fn take(from: &mut Gas, gas: &Gas) {
    for (from, gas) in from.iter_mut().zip(gas) {
        *from -= gas;
    }
}
