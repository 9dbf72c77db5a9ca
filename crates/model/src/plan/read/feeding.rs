//! [feeding]: how often, from when, with how much water.

use super::{Section, shorten};
use crate::plan::section::{behind, plain_words};
use crate::plan::{Dilution, Feeding};
use fenlamp_quantity::{Quantity, Ratio, Time, read};

/// Days after the fill before feeding starts, and over which it rises (common practice, no source).
const FIRST_DAY: u32 = 14;
const RAMP_DAYS: u32 = 30;

pub(super) fn feeding(root: &Section<'_>, is_fed: bool) -> Option<Feeding> {
    let Some(s) = root.section("feeding") else {
        if root.has("feeding") {
            return None;
        }
        if is_fed {
            root.missing(
                "feeding",
                "add [feeding] with water = \"none\", \"1 kg/kg\" or \"to 8 % solids\"",
            );
            return None;
        }
        return Some(Feeding {
            every_days: 1,
            first_day: 0,
            ramp_days: 0,
            water: Dilution::None,
            away: Vec::new(),
        });
    };
    let every = s.days("every", "1 day", "60 days").unwrap_or(1);
    let first = if s.has("from") {
        from(&s)
    } else {
        Some(FIRST_DAY)
    };
    let ramp = s.days("ramp", "0 days", "1 year").unwrap_or(RAMP_DAYS);
    if !s.has("water") && is_fed {
        s.missing(
            "water",
            "write \"none\", \"1 kg/kg\" (water per fresh waste) or \"to 8 % solids\"",
        );
    }
    let water = if s.has("water") {
        water(&s)
    } else {
        Some(Dilution::None)
    };
    s.finish();
    Some(Feeding {
        every_days: every,
        first_day: first?,
        ramp_days: ramp,
        water: water?,
        away: Vec::new(),
    })
}

/// "day 14" or "14 days".
fn from(s: &Section<'_>) -> Option<u32> {
    let text = s.text("from")?.value;
    let days = match behind(text, "day") {
        Some(n) => n.parse::<u32>().ok().filter(|n| *n <= 3650),
        None => return s.days("from", "0 days", "10 years"),
    };
    if days.is_none() {
        s.fault(
            "from",
            format!("\"{}\" is not a day", shorten(text)),
            "write it like \"day 14\" or \"14 days\"",
        );
    }
    days
}

fn water(s: &Section<'_>) -> Option<Dilution> {
    let text = s.text("water")?.value;
    let words = plain_words(text);
    if words == "none" {
        return Some(Dilution::None);
    }
    if let Some(rest) = words.strip_prefix("to ") {
        let share = rest
            .trim_end_matches("total solids")
            .trim_end_matches("solids")
            .trim()
            .to_owned();
        let solids = s
            .quantity_by("water", "to 8 % solids", |_, cx| read::<Ratio>(&share, cx))?
            .value;
        if !(0.005..=0.4).contains(&solids.to_si()) {
            s.fault(
                "water",
                "the solids aimed at are out of range",
                "from 0.5 % to 40 %",
            );
            return None;
        }
        return Some(Dilution::ToSolids(solids));
    }
    let per = s.quantity_by("water", "1 kg/kg", read::<Ratio>)?;
    if per.value.to_si() > 30.0 {
        s.fault(
            "water",
            "that is more than thirty times the waste",
            "write \"1 kg/kg\" for as much water as waste",
        );
        return None;
    }
    if text.contains('%') {
        s.fault(
            "water",
            format!("\"{text}\" can mean two things"),
            "write \"1 kg/kg\" (water per fresh waste) or \"to 8 % solids\"",
        );
        return None;
    }
    Some(Dilution::PerFeed(per.value.to_si()))
}

/// Whole days of a length of time.
pub(super) fn whole_days(t: Time) -> u32 {
    (t.to_si() / 86_400.0).round() as u32
}
