//! What would change a forecast, how likely things are, and how steady it is.

use fenlamp_model::forecast::chances::{Chance, ChanceOf};
use fenlamp_model::forecast::levers::clear_of_chance;
use fenlamp_model::say;

use crate::answer::Answer;
use crate::page::wrap;

/// Changes shown; the rest is in the JSON.
const SHOWN: usize = 3;

/// The section, or nothing when there is nothing to say.
pub fn write(answer: &Answer) -> String {
    let mut out = changes(answer);
    out += &doubt(answer);
    out += &chances(answer);
    out += &wrap(&answer.convergence.words, "", "");
    out.push('\n');
    out
}

fn changes(answer: &Answer) -> String {
    let Some(first) = answer.what_ifs.first() else {
        return String::new();
    };
    let mut out = "What would change it most\n".to_owned();
    let (worth, rest): (Vec<_>, Vec<_>) = answer.what_ifs.iter().partition(|w| w.worth);
    for gain in worth.iter().take(SHOWN) {
        out += &wrap(
            &format!("{}: {}.", say::capital(&gain.change), gain.words),
            "  ",
            "    ",
        );
    }
    if !rest.is_empty() {
        let names: Vec<&str> = rest.iter().map(|g| g.change.as_str()).collect();
        let head = if worth.is_empty() {
            "Tried, without much gain"
        } else {
            "Tried too, without much gain"
        };
        out += &wrap(&format!("{head}: {}.", say::list(&names)), "  ", "    ");
    }
    let worlds = if first.worlds == 1 {
        "the one world run".to_owned()
    } else {
        format!("{} of the worlds", first.worlds)
    };
    out += &wrap(
        &format!(
            "Each is the plan with that one change, run again in {worlds}; the band is that of \
             the change within a world."
        ),
        "  ",
        "  ",
    );
    out.push('\n');
    out
}

/// The inputs that the spread comes from.
fn doubt(answer: &Answer) -> String {
    let clear = clear_of_chance(answer.stamp.worlds as usize);
    let strong: Vec<&str> = answer
        .levers
        .iter()
        .filter(|l| l.strength() >= clear && !l.words.is_empty())
        .take(SHOWN)
        .map(|l| l.words.as_str())
        .collect();
    if strong.is_empty() {
        return String::new();
    }
    let mut out = "Where the doubt comes from\n".to_owned();
    for words in strong {
        out += &wrap(words, "  ", "    ");
    }
    out.push('\n');
    out
}

fn chances(answer: &Answer) -> String {
    let mut out = "Chances\n".to_owned();
    for chance in &answer.chances {
        // Most have it by a date already says the rest when it is all of them.
        let plain = match chance.of {
            ChanceOf::KettleADay => false,
            ChanceOf::Flame => chance.worlds < chance.of_worlds,
            _ => true,
        };
        if plain {
            out += &wrap(&format!("{}.", chance.words), "  ", "    ");
        }
    }
    let kettles = kettles(&answer.chances);
    if !kettles.is_empty() {
        let words = format!("Worlds with at least one kettle a day: {kettles}.");
        out += &wrap(&words, "  ", "    ");
    }
    out.push('\n');
    out
}

/// Months shown: those of the last year.
const MONTHS: usize = 12;

/// Months in a row with like chances drawn together: "May to July all 8 worlds".
pub fn kettles(chances: &[Chance]) -> String {
    let months: Vec<&Chance> = chances
        .iter()
        .filter(|c| c.of == ChanceOf::KettleADay)
        .collect();
    let mut runs: Vec<(String, String, String)> = Vec::new();
    for c in &months[months.len().saturating_sub(MONTHS)..] {
        let (Some(year), Some(month)) = (c.year, c.month) else {
            continue;
        };
        let share = rough(c.worlds, c.of_worlds);
        let name = format!("{} {year}", say::month(month));
        match runs.last_mut() {
            Some((last, _, to)) if *last == share => *to = name,
            _ => runs.push((share, name.clone(), name)),
        }
    }
    let parts: Vec<String> = runs
        .into_iter()
        .map(|(share, from, to)| {
            if from == to {
                format!("{from} {share}")
            } else {
                format!("{from} to {to} {share}")
            }
        })
        .collect();
    parts.join("; ")
}

/// A count to fifths, so that months that differ by a world or two stand together.
fn rough(count: u32, of: u32) -> String {
    match count {
        0 => return "none".to_owned(),
        c if c >= of => return "all".to_owned(),
        _ => {}
    }
    match (5.0 * f64::from(count) / f64::from(of)).round() as u32 {
        0 => "hardly any".to_owned(),
        5.. => "nearly all".to_owned(),
        fifths => format!("{fifths} of 5"),
    }
}
