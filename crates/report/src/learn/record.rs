//! From the diary to what was fed and what was seen on each day of the run.

use std::sync::Arc;

use jiff::civil::Date;
use uom::si::volume::cubic_meter;

use super::errors::*;
use super::smoother::{Datum, Side};
use crate::diary::{Entry, Flame, Foam, GasBy, PhBy, Smell, WrittenEntry};
use fenlamp_model::feed::Feedstock;
use fenlamp_model::plan::{AdditiveKind, Plan, Waste, WasteBasis};
use fenlamp_model::reference;
use fenlamp_model::weather::{days_after, days_between};
use fenlamp_model::world::known::FedDay;

/// A day's figure of an instrument.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ProbeDay {
    /// Day.
    pub date: Date,
    /// What.
    pub what: ProbeKind,
    /// Mean of the day, K; or gas of the day, m3.
    pub value: f64,
}

/// What an instrument tells the learning.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ProbeKind {
    /// Slurry, K.
    SlurryTemperature,
    /// Gas that went through a meter, m3.
    Gas,
}

/// What was seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum What {
    /// Gas, by the store's rise.
    GasByRise,
    /// Gas, by a meter.
    GasByMeter,
    /// Gas, by burning.
    GasByBurning,
    /// Slurry temperature.
    Slurry,
    /// pH.
    Ph,
    /// Volatile acids.
    Acids,
    /// Methane, by the flame.
    Methane,
}

impl What {
    /// The way gas was judged, if it is gas.
    pub fn gas_by(self) -> Option<GasBy> {
        match self {
            What::GasByRise => Some(GasBy::Rise),
            What::GasByMeter => Some(GasBy::Meter),
            What::GasByBurning => Some(GasBy::Burning),
            _ => None,
        }
    }

    fn of_gas(by: GasBy) -> Self {
        match by {
            GasBy::Rise => What::GasByRise,
            GasBy::Meter => What::GasByMeter,
            GasBy::Burning => What::GasByBurning,
        }
    }
}

/// One thing seen, on the scale of [`super::observe`].
#[derive(Debug, Clone, PartialEq)]
pub struct Seen {
    /// Days since the fill, first and last.
    pub from: u32,
    /// See `from`.
    pub to: u32,
    /// What.
    pub what: What,
    /// Value, error and side.
    pub datum: Datum,
}

/// A sign without a figure.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sign {
    /// Joints were found tight.
    Tight,
    /// A leak was found.
    LeakFound,
    /// It smells sour.
    SmellsSour,
    /// It smells of ammonia.
    SmellsOfAmmonia,
    /// It foams much.
    Foams,
}

/// The diary as the learning reads it.
#[derive(Debug, Clone)]
pub struct Record {
    /// The plan, with wastes for everything the diary fed; its days end with `today`.
    pub plan: Plan,
    /// Days from the fill to the last day looked at.
    pub today: u32,
    /// Feed of each day, where the diary says.
    pub fed: Arc<Vec<Option<FedDay>>>,
    /// Additives of the diary.
    pub added: Arc<Vec<(u32, AdditiveKind, f64)>>,
    /// What was seen, in order of days.
    pub seen: Vec<Seen>,
    /// Signs without a figure, with their day.
    pub signs: Vec<(u32, Sign)>,
    /// Washes changed: day and number from the vessel.
    pub washed: Vec<(u32, u32)>,
    /// Days on which the trap was emptied.
    pub trap_emptied: Vec<u32>,
    /// Entries that could not be used, in words.
    pub unused: Vec<String>,
    /// Litres a day below which gas is as good as none (see [`super::observe`]).
    pub least_gas_l: f64,
}

/// Nothing can be learned.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum RecordError {
    /// Before the first fill.
    #[error("the plan's first fill is on {start}, after {today}")]
    NotBegun {
        /// The plan's start.
        start: Date,
        /// The day asked about.
        today: Date,
    },
    /// Too long ago.
    #[error("the plan's first fill was {days} days ago; at most {most} are learned from")]
    TooLong {
        /// Days since the fill.
        days: i64,
        /// Most days.
        most: i64,
    },
    /// Nothing useful is written down.
    #[error("nothing that can be learned from is written down between {start} and {today}")]
    Nothing {
        /// The plan's start.
        start: Date,
        /// The day asked about.
        today: Date,
    },
}

/// Longest run that is learned from, days.
const LONGEST: i64 = 5 * 366;

/// Days around an entry on which the diary counts as kept, so that a day without a
/// feeding means that nothing was fed (judgement).
const KEPT_AROUND: u32 = 4;

/// The record of a plan's diary up to `today`.
///
/// # Errors
/// [`RecordError`].
pub fn record(
    plan: &Plan,
    entries: &[WrittenEntry],
    probes: &[ProbeDay],
    today: Date,
) -> Result<Record, RecordError> {
    let start = plan.start;
    let days = days_between(start, today);
    if days < 0 {
        return Err(RecordError::NotBegun { start, today });
    }
    if days >= LONGEST {
        return Err(RecordError::TooLong {
            days,
            most: LONGEST,
        });
    }
    let mut out = Record {
        plan: plan.clone(),
        today: days as u32,
        fed: Arc::default(),
        added: Arc::default(),
        seen: Vec::new(),
        signs: Vec::new(),
        washed: Vec::new(),
        trap_emptied: Vec::new(),
        unused: Vec::new(),
        least_gas_l: (LEAST_GAS_OF_SLURRY * plan.vessel.liquid.get::<cubic_meter>() * 1000.0)
            .max(0.05),
    };
    out.plan.days = days as u32 + 1;
    let mut inside: Vec<(u32, &WrittenEntry)> = entries
        .iter()
        .filter_map(|e| {
            let day = days_between(start, e.writing.date);
            (0..=days).contains(&day).then_some((day as u32, e))
        })
        .collect();
    inside.sort_by_key(|(day, e)| (*day, e.writing.time));
    out.feed(&inside);
    out.see(&inside);
    for p in probes {
        let day = days_between(start, p.date);
        if !(0..=days).contains(&day) || !p.value.is_finite() {
            continue;
        }
        let day = day as u32;
        match p.what {
            ProbeKind::SlurryTemperature => out.at(
                day,
                day,
                What::Slurry,
                p.value - 273.15,
                SLURRY_PROBE_K,
                Side::At,
            ),
            ProbeKind::Gas => out.gas(day, day, p.value.max(0.0), GasBy::Meter, Side::At),
        }
    }
    out.seen.sort_by_key(|s| (s.to, s.what, s.from));
    if out.seen.is_empty() {
        return Err(RecordError::Nothing { start, today });
    }
    Ok(out)
}

impl Record {
    /// The day as a date.
    pub fn date(&self, day: u32) -> Date {
        days_after(self.plan.start, i64::from(day))
    }

    /// The plan run on for so many days after today.
    pub fn plan_ahead(&self, days: u32) -> Plan {
        let mut plan = self.plan.clone();
        plan.days += days;
        plan
    }

    fn feed(&mut self, inside: &[(u32, &WrittenEntry)]) {
        let mut by_day: Vec<Option<FedDay>> = vec![None; self.today as usize + 1];
        let mut added = Vec::new();
        let mut any = false;
        for (day, e) in inside {
            match &e.writing.entry {
                Entry::Fed {
                    feedstock,
                    kg,
                    water_kg,
                } => {
                    let Some(waste) = self.waste_of(feedstock) else {
                        self.unused.push(format!(
                            "{}: the feedstock \"{feedstock}\" is not known any more",
                            e.writing.date
                        ));
                        continue;
                    };
                    any = true;
                    let fed = by_day[*day as usize].get_or_insert_default();
                    if fed.fresh_kg.len() <= waste {
                        fed.fresh_kg.resize(waste + 1, 0.0);
                    }
                    fed.fresh_kg[waste] += kg;
                    if let Some(w) = water_kg {
                        fed.water_kg = Some(fed.water_kg.unwrap_or(0.0) + w);
                    }
                }
                Entry::Added { what, kg } => {
                    let kind = match what.as_str() {
                        "wood_ash" => AdditiveKind::WoodAsh,
                        "slaked_lime" => AdditiveKind::SlakedLime,
                        "iron_chloride" => AdditiveKind::IronChloride,
                        _ => AdditiveKind::Bicarbonate,
                    };
                    added.push((*day, kind, *kg));
                }
                _ => {}
            }
        }
        if any {
            // Nobody who keeps a diary leaves the feeding out of it.
            for (entry_day, _) in inside {
                let from = entry_day.saturating_sub(KEPT_AROUND);
                for day in from..=(entry_day + KEPT_AROUND).min(self.today) {
                    by_day[day as usize].get_or_insert_default();
                }
            }
        }
        let wastes = self.plan.waste.len();
        for fed in by_day.iter_mut().flatten() {
            fed.fresh_kg.resize(wastes, 0.0);
        }
        self.fed = Arc::new(by_day);
        self.added = Arc::new(added);
    }

    /// The waste that brings a feedstock; one of nothing is made for a new one.
    fn waste_of(&mut self, id: &str) -> Option<usize> {
        let of = |plan: &Plan| {
            plan.waste
                .iter()
                .position(|w| plan.feedstocks[w.feedstock].id == id)
        };
        if let Some(waste) = of(&self.plan) {
            return Some(waste);
        }
        let own = |f: &Feedstock| f.id == id;
        let feedstock = match self.plan.feedstocks.iter().position(own) {
            Some(i) => i,
            None => {
                self.plan.feedstocks.push(reference::feedstock(id)?.clone());
                self.plan.feedstocks.len() - 1
            }
        };
        self.plan.waste.push(Waste {
            feedstock,
            label: format!("{}, by the diary", self.plan.feedstocks[feedstock].name),
            fresh: Default::default(),
            steps: Vec::new(),
            basis: WasteBasis::Amount,
            spread: reference::spread("amount_stated"),
        });
        Some(self.plan.waste.len() - 1)
    }

    fn see(&mut self, inside: &[(u32, &WrittenEntry)]) {
        let mut meter: Option<(u32, f64)> = None;
        for &(day, e) in inside {
            match &e.writing.entry {
                Entry::SlurryTemperature { kelvin } => self.at(
                    day,
                    day,
                    What::Slurry,
                    kelvin - 273.15,
                    SLURRY_BY_HAND_K,
                    Side::At,
                ),
                Entry::Gas { m3, days, by } => {
                    let from = (day + 1).saturating_sub(days.round().max(1.0) as u32);
                    self.gas(from, day, *m3, *by, Side::At);
                }
                Entry::Meter { m3 } => {
                    if let Some((before, counter)) = meter
                        && day > before
                        && *m3 >= counter
                        && day - before <= 31
                    {
                        self.gas(before + 1, day, m3 - counter, GasBy::Meter, Side::At);
                    }
                    // A day's last reading counts; a smaller one is a new meter.
                    meter = Some((day, *m3));
                }
                Entry::Ph { ph, by } => {
                    let sd = match by {
                        PhBy::Strip => PH_STRIP,
                        PhBy::Meter => PH_METER,
                    };
                    self.at(day, day, What::Ph, *ph, sd, Side::At);
                }
                Entry::Titration(t) => self.at(
                    day,
                    day,
                    What::Acids,
                    (t.acids_mg_l() + LEAST_ACIDS_MG_L).ln(),
                    ACIDS_LN,
                    Side::At,
                ),
                Entry::Flame { looks } => {
                    let (share, side) = match looks {
                        Flame::Blue | Flame::Yellow => (0.50, Side::AtLeast),
                        Flame::GoesOut => (0.50, Side::AtMost),
                        Flame::None => (0.45, Side::AtMost),
                    };
                    self.at(day, day, What::Methane, share, METHANE_BY_FLAME, side);
                }
                Entry::WashChanged { wash } => self.washed.push((day, *wash)),
                Entry::TrapEmptied { .. } => self.trap_emptied.push(day),
                Entry::LeakTest { tight } => {
                    let sign = if *tight { Sign::Tight } else { Sign::LeakFound };
                    self.signs.push((day, sign));
                }
                Entry::Smell { smell: Smell::Sour } => self.signs.push((day, Sign::SmellsSour)),
                Entry::Smell {
                    smell: Smell::Ammonia,
                } => self.signs.push((day, Sign::SmellsOfAmmonia)),
                Entry::Foam { foam: Foam::Much } => self.signs.push((day, Sign::Foams)),
                _ => {}
            }
        }
        self.store_levels(inside);
    }

    /// What the store's level from one look to the next tells of the gas.
    fn store_levels(&mut self, inside: &[(u32, &WrittenEntry)]) {
        let full_m3 = self
            .plan
            .gas_side
            .store
            .as_ref()
            .map(|s| s.shape.volume_m3());
        let mut before: Option<(u32, f64)> = None;
        let (mut burned_m3, mut burning_known) = (0.0, false);
        for &(day, e) in inside {
            match &e.writing.entry {
                Entry::Burned { seconds, m3_s } => {
                    burning_known = true;
                    let flow =
                        m3_s.or_else(|| self.plan.gas_side.uses.first().map(|u| u.flow.value));
                    match flow {
                        Some(flow) => burned_m3 += seconds * flow,
                        None => self.unused.push(format!(
                            "{}: the plan names no use of gas; write how much it burns: \"35 min at 0.3 m3/h\"",
                            e.writing.date
                        )),
                    }
                }
                Entry::Store { level } => {
                    let share = level.share();
                    let Some(full_m3) = full_m3 else {
                        self.unused.push(format!(
                            "{}: the plan has no store, so its level tells nothing",
                            e.writing.date
                        ));
                        continue;
                    };
                    if let Some((since, level)) = before
                        && day > since
                        && day - since <= 7
                    {
                        let made = (share - level) * full_m3 + burned_m3;
                        let side = match (share, burning_known) {
                            (s, _) if s >= 0.97 => Some(Side::AtLeast),
                            (s, true) if s <= 0.03 => Some(Side::AtMost),
                            (_, true) => Some(Side::At),
                            // Nobody wrote down what was burned: at least so much came.
                            (_, false) if made > 0.0 => Some(Side::AtLeast),
                            _ => None,
                        };
                        if let Some(side) = side {
                            self.gas(since + 1, day, made.max(0.0), GasBy::Rise, side);
                        }
                    }
                    before = Some((day, share));
                    burned_m3 = 0.0;
                    burning_known = false;
                }
                _ => {}
            }
        }
    }

    fn gas(&mut self, from: u32, to: u32, m3: f64, by: GasBy, side: Side) {
        let days = f64::from(to - from + 1);
        let litres = m3 * 1000.0 / days;
        // A store's level is judged to so much of its fill, whatever the gas.
        let relative = match by {
            GasBy::Rise => GAS_BY_RISE,
            GasBy::Meter => GAS_BY_METER,
            GasBy::Burning => GAS_BY_BURNING,
        };
        let value = (litres + self.least_gas_l).ln();
        let sd = relative * litres / (litres + self.least_gas_l)
            + 0.3 * self.least_gas_l / (litres + self.least_gas_l);
        self.at(from, to, What::of_gas(by), value, sd, side);
    }

    fn at(&mut self, from: u32, to: u32, what: What, value: f64, sd: f64, side: Side) {
        if value.is_finite() {
            self.seen.push(Seen {
                from,
                to,
                what,
                datum: Datum { value, sd, side },
            });
        }
    }
}
