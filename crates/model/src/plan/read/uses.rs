//! [[use]]: what burns the gas, and when.

use super::store::room;
use super::table::yes;
use super::waste::months;
use super::{Section, shorten};
use crate::gas::Mixture;
use crate::gas::appliances::{Appliance, of_gas};
use crate::plan::section::plain_words;
use crate::plan::{GasUse, Wanted};
use crate::reference::gas_value;
use fenlamp_quantity::{Quantity, Volume, VolumeRate};

const KINDS: &[(&str, Appliance)] = &[
    ("kettle", Appliance::Kettle),
    ("stove", Appliance::Stove),
    ("lamp", Appliance::Lamp),
    ("heater", Appliance::SpaceHeater),
    ("water heater", Appliance::WaterHeater),
    ("young stock heater", Appliance::YoungStockHeater),
    ("pasteurising pot", Appliance::PasteurisingPot),
    ("refrigerator", Appliance::Refrigerator),
    ("engine", Appliance::Generator),
];

/// Words for what is refused, with the reason.
const REFUSED: &[(&str, Appliance)] = &[
    ("vehicle", Appliance::Vehicle),
    ("car", Appliance::Vehicle),
    ("tractor", Appliance::Vehicle),
    ("motorcycle", Appliance::Vehicle),
    ("motorbike", Appliance::Vehicle),
    ("truck", Appliance::Vehicle),
    ("compressor", Appliance::Compressor),
    ("bottle", Appliance::Compressor),
    ("cylinder", Appliance::Compressor),
];

pub(super) fn uses(root: &Section<'_>) -> Option<Vec<GasUse>> {
    let sections = root.sections("use");
    let out: Vec<GasUse> = sections.iter().filter_map(one).collect();
    (out.len() == sections.len()).then_some(out)
}

fn one(s: &Section<'_>) -> Option<GasUse> {
    if !s.has("kind") {
        s.missing(
            "kind",
            "write kind = \"kettle\", \"stove\", \"lamp\" or another",
        );
    }
    let appliance = if refuse(s) {
        None
    } else {
        s.word("kind", KINDS)
    };
    let wanted = appliance.and_then(|a| wanted(s, a));
    let hours = match appliance {
        Some(a) => hours(s, a),
        None => s.text("times").and(None),
    };
    let on = if s.has("months") {
        months(s)
    } else {
        Some([true; 12])
    };
    let flow = match appliance {
        Some(a) if !s.has("flow") => Some(usual_flow(a)),
        _ => s.quantity::<VolumeRate>("flow", "1 L/h", "20 m3/h"),
    };
    let room = room(s);
    let flue = yes(s, "flue", false);
    if appliance.is_none() {
        for key in ["per_day", "water"] {
            s.get(key);
        }
    }
    s.finish();
    Some(GasUse {
        appliance: appliance?,
        wanted: wanted?,
        hours: hours?,
        months: on?,
        flow: flow?,
        room: room?,
        flue: flue?,
    })
}

fn refuse(s: &Section<'_>) -> bool {
    let Some(kind) = s.text("kind") else {
        return false;
    };
    let words = plain_words(kind.value);
    let Some((_, appliance)) = REFUSED.iter().find(|(w, _)| *w == words) else {
        return false;
    };
    let Err(reason) = Mixture::biogas(0.6).and_then(|gas| of_gas(*appliance, &gas, 1000.0)) else {
        return false;
    };
    s.fault(
        "kind",
        reason.to_string(),
        "burn it where it is made: a kettle, a stove, a lamp, a refrigerator, a small engine that stands still",
    );
    true
}

/// Gas while it burns: middle of the handbook rows.
fn usual_flow(appliance: Appliance) -> VolumeRate {
    let middle = |low: &str, high: &str| f64::midpoint(gas_value(low), gas_value(high));
    let m3_h = match appliance {
        Appliance::Lamp => middle("use_lamp_lo", "use_lamp_hi"),
        Appliance::Refrigerator => middle("use_fridge_lo", "use_fridge_hi"),
        Appliance::YoungStockHeater | Appliance::SpaceHeater => {
            middle("use_heater_lo", "use_heater_hi")
        }
        // Of one horsepower.
        Appliance::Generator => gas_value("use_bhp"),
        _ => gas_value("use_stove_gtz"),
    };
    VolumeRate::from_si(m3_h / 3600.0)
}

fn wanted(s: &Section<'_>, appliance: Appliance) -> Option<Wanted> {
    match appliance {
        Appliance::Kettle => {
            if !s.has("per_day") {
                s.missing(
                    "per_day",
                    "write how many kettles of 1.5 L a day, like per_day = 2",
                );
            }
            s.number("per_day", "kettles a day", 0.1..=1000.0)
                .map(Wanted::Kettles)
        }
        Appliance::PasteurisingPot | Appliance::WaterHeater => s
            .need::<Volume>("water", "0.1 L", "10 m3")
            .map(Wanted::Water),
        _ => Some(Wanted::AllItsHours),
    }
}

/// Share of each hour; a refrigerator runs all day, a kettle when none is told
/// in the morning and the afternoon (judgement).
fn hours(s: &Section<'_>, appliance: Appliance) -> Option<[f64; 24]> {
    if !s.has("times") {
        return match appliance {
            Appliance::Refrigerator => Some([1.0; 24]),
            Appliance::Kettle => windows("06:00 to 08:00, 16:00 to 18:00"),
            Appliance::PasteurisingPot | Appliance::WaterHeater => windows("09:00 to 17:00"),
            _ => {
                s.missing(
                    "times",
                    "write when it burns, like times = \"18:00 to 21:00\"",
                );
                None
            }
        };
    }
    let text = s.text("times")?.value;
    let found = windows(text);
    if found.is_none() {
        s.fault(
            "times",
            format!("\"{}\" does not name times of the day", shorten(text)),
            "write them like \"06:30 to 07:30, 18:00 to 20:00\" or \"all day\"",
        );
    }
    found
}

/// "06:30 to 07:30, 18:00 to 20:00"; a window may run over midnight.
fn windows(text: &str) -> Option<[f64; 24]> {
    if plain_words(text) == "all day" {
        return Some([1.0; 24]);
    }
    let mut hours = [0.0; 24];
    for part in text.split([',', ';']) {
        let part = part.replace(" to ", "-").replace(['–', '—'], "-");
        let (from, to) = part.split_once('-')?;
        let (from, to) = (clock(from)?, clock(to)?);
        if from == to {
            return None;
        }
        let spans = if from < to {
            vec![(from, to)]
        } else {
            vec![(from, 1440), (0, to)]
        };
        for (from, to) in spans {
            for (h, share) in hours.iter_mut().enumerate() {
                let start = 60 * h as u32;
                let minutes = to.min(start + 60).saturating_sub(from.max(start));
                *share = (*share + f64::from(minutes) / 60.0).min(1.0);
            }
        }
    }
    Some(hours)
}

/// Minutes since midnight of "6:30", "06:30" or "24:00".
fn clock(text: &str) -> Option<u32> {
    let (h, m) = text.trim().split_once(':')?;
    let digits = |t: &str| t.len() <= 2 && !t.is_empty() && t.bytes().all(|b| b.is_ascii_digit());
    (digits(h) && digits(m)).then_some(())?;
    let (h, m) = (h.parse::<u32>().ok()?, m.parse::<u32>().ok()?);
    (m < 60 && h * 60 + m <= 1440).then_some(h * 60 + m)
}
