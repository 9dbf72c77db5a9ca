//! The report: every check in a table, with what differs and why.

use std::collections::BTreeSet;
use std::fmt::Write;

use fenlamp_model::reference;

use crate::groups::Group;
use crate::{Check, Published, Tolerance, Verdict};

/// The report as Markdown.
pub fn markdown(groups: &[Group]) -> String {
    let mut out = String::new();
    head(&mut out, groups);
    for group in groups {
        table(&mut out, group);
    }
    sources(&mut out, groups);
    out
}

fn count(groups: &[Group], verdict: Verdict) -> usize {
    groups
        .iter()
        .flat_map(|group| &group.checks)
        .filter(|check| check.verdict() == verdict)
        .count()
}

fn head(out: &mut String, groups: &[Group]) {
    let total: usize = groups.iter().map(|group| group.checks.len()).sum();
    out.push_str(
        "# Fenlamp against the outside\n\n\
         Every number here is computed by the engine when the tests run and compared with a \
         number from outside: a published worked example, a handbook row, or a general-purpose \
         library. This page is written by the tests; they fail when it is out of date.\n\n",
    );
    let _ = writeln!(
        out,
        "**{total} checks: {} agree, {} differ and say why, {} fail.**\n",
        count(groups, Verdict::Agrees),
        count(groups, Verdict::DiffersExplained),
        count(groups, Verdict::Fails)
    );
    crate::evidence::left_out(out);
    let checks: Vec<&Check> = groups.iter().flat_map(|group| &group.checks).collect();
    crate::evidence::parts(out, &checks);
    out.push_str("## What is compared\n\n");
    crate::evidence::summary(out, &checks);
    out.push_str(
        "A check that differs is not hidden: its row says so and a note below the table says why, \
         and what span of ours it holds for. \
         In the source column, *read* means that the number was seen in a public copy, *memory* \
         that it was recalled and should be verified before it is relied on, *computed* that \
         anyone can compute it again from the inputs.\n\n\
         | group | checks | agree | differ |\n|---|---:|---:|---:|\n",
    );
    for group in groups {
        let one = std::slice::from_ref(group);
        let _ = writeln!(
            out,
            "| {} | {} | {} | {} |",
            group.title,
            group.checks.len(),
            count(one, Verdict::Agrees),
            count(one, Verdict::DiffersExplained)
        );
    }
}

fn table(out: &mut String, group: &Group) {
    let _ = writeln!(out, "\n## {}\n\n{}\n", group.title, group.about);
    out.push_str(
        "| check | from | published | ours | difference | allowed | verdict | worth | source |\n\
         |---|---|---:|---:|---:|---:|---|---|---|\n",
    );
    let mut notes = String::new();
    for check in &group.checks {
        let Check {
            what,
            inputs,
            source,
            ..
        } = check;
        let unit = if check.unit.is_empty() {
            String::new()
        } else {
            format!(" {}", check.unit)
        };
        let ours = match (check.published, check.verdict()) {
            // The size of a rounding error differs from one processor to the next.
            (Published::Many, Verdict::Agrees) => "within".into(),
            _ => match check.band {
                // Worlds differ by far more than two digits say.
                Some((low, high)) => {
                    format!(
                        "{} ({} to {}){unit}",
                        digits(check.ours, 2),
                        digits(low, 2),
                        digits(high, 2)
                    )
                }
                None => format!("{}{unit}", number(check.ours)),
            },
        };
        let _ = writeln!(
            out,
            "| {what} | {inputs} | {} | {ours} | {} | {} | {} | {} | {source} |",
            published(check.published, &unit),
            difference(check),
            if check.band.is_some() {
                "in band".into()
            } else {
                allowed(check.tolerance, &unit)
            },
            check.verdict().words(),
            check.evidence.word(),
        );
        if let crate::Evidence::Fitted(constant) = &check.evidence {
            let _ = writeln!(notes, "- **{what}:** steered {constant}");
        }
        if !check.shown_note().is_empty() {
            let span = check.explained_span().map_or(String::new(), |(a, b)| {
                format!(" (holds from {} to {}{unit})", number(a), number(b))
            });
            let _ = writeln!(notes, "- **{what}:** {}{span}", check.shown_note());
        }
    }
    if !notes.is_empty() {
        let _ = write!(out, "\n{notes}");
    }
}

/// Whether two reports say the same, a last digit up or down aside: the same
/// worlds on another processor may round another way.
pub fn same(old: &str, new: &str) -> bool {
    let (old, new) = (old.split_whitespace(), new.split_whitespace());
    let mut words = 0;
    let alike = old.clone().zip(new.clone()).all(|(a, b)| {
        words += 1;
        a == b || near(a, b)
    });
    alike && words == old.count() && words == new.count()
}

/// Two numbers that differ by one in the last digit shown.
fn near(a: &str, b: &str) -> bool {
    let bare = |text: &str| text.trim_matches(['(', ')', '+']).to_owned();
    let (a, b) = (bare(a), bare(b));
    let last_digit = |text: &str| {
        let (mantissa, exponent) = text.split_once('e').unwrap_or((text, "0"));
        let decimals = mantissa
            .split_once('.')
            .map_or(0, |(_, fraction)| fraction.len()) as i32;
        // Zeros before the point may be rounding ("120" out of 117).
        let zeros = if decimals == 0 {
            mantissa.len() - mantissa.trim_end_matches('0').len()
        } else {
            0
        };
        10f64.powi(exponent.parse::<i32>().unwrap_or(0) - decimals + zeros as i32)
    };
    match (a.parse::<f64>(), b.parse::<f64>()) {
        (Ok(x), Ok(y)) => (x - y).abs() <= 1.01 * last_digit(&a).max(last_digit(&b)),
        _ => false,
    }
}

fn sources(out: &mut String, groups: &[Group]) {
    let checks = groups.iter().flat_map(|group| &group.checks);
    let named: BTreeSet<&str> = checks
        .flat_map(|check| {
            check
                .source
                .split(|c: char| !c.is_ascii_alphanumeric() && !"-._".contains(c))
        })
        .collect();
    out.push_str("\n## Sources\n\n");
    for source in named.iter().filter_map(|key| reference::source(key)) {
        let _ = writeln!(out, "- {}: {}", source.key, source.citation);
    }
}

fn published(published: Published, unit: &str) -> String {
    match published {
        Published::Value(value) => format!("{}{unit}", number(value)),
        Published::Range(low, high) => format!("{} to {}{unit}", number(low), number(high)),
        Published::Many => "the whole table".into(),
    }
}

fn difference(check: &Check) -> String {
    let difference = check.difference();
    match (check.tolerance, check.published) {
        (_, Published::Many) if check.verdict() == Verdict::Agrees => String::new(),
        (Tolerance::Relative(_), Published::Value(value)) if value != 0.0 => {
            let percent = 100.0 * difference / value.abs();
            if percent.abs() < 0.005 {
                "0 %".into()
            } else {
                format!("{} %", signed(percent, 2))
            }
        }
        _ if difference.abs() < 1e-9 => "0".into(),
        _ => signed(difference, 2),
    }
}

fn allowed(tolerance: Tolerance, unit: &str) -> String {
    match tolerance {
        Tolerance::Relative(share) => format!("{} %", digits(100.0 * share, 2)),
        Tolerance::Absolute(0.0) => "in range".into(),
        Tolerance::Absolute(distance) => format!("{}{unit}", digits(distance, 2)),
    }
}

fn signed(value: f64, significant: usize) -> String {
    if value > 0.0 {
        format!("+{}", digits(value, significant))
    } else {
        digits(value, significant)
    }
}

/// Four significant digits: few enough that the text does not change with the last bit.
fn number(value: f64) -> String {
    digits(value, 4)
}

/// `value` to so many significant digits, plain where that is short.
fn digits(value: f64, significant: usize) -> String {
    if value == 0.0 || !value.is_finite() {
        return if value == 0.0 {
            "0".into()
        } else {
            format!("{value}")
        };
    }
    let rounded = format!("{:.*e}", significant.saturating_sub(1), value);
    let (mantissa, exponent) = rounded.split_once('e').unwrap_or((&rounded, "0"));
    let exponent: i32 = exponent.parse().unwrap_or(0);
    if !(-3..7).contains(&exponent) {
        return format!("{mantissa}e{exponent}");
    }
    let plain: f64 = rounded.parse().unwrap_or(value);
    let decimals = (significant as i32 - 1 - exponent).max(0) as usize;
    let text = format!("{plain:.decimals$}");
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').into()
    } else {
        text
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_short_and_stable() {
        for (value, text) in [
            (0.0, "0"),
            (414.72, "414.7"),
            (1012.6, "1013"),
            (22.0, "22"),
            (-0.35349, "-0.3535"),
            (1.331e-5, "1.331e-5"),
            (53718.0, "53720"),
            (890_532.3, "890500"),
        ] {
            assert_eq!(number(value), text);
        }
        assert_eq!(number(0.1 + 0.2), number(0.3));
    }

    #[test]
    fn a_last_digit_may_differ_and_nothing_else() {
        assert!(same("x 1.23 (4.5 to 120) L", "x 1.24 (4.4 to 130) L"));
        assert!(!same("x 1.23", "x 1.25"));
        assert!(!same("agrees 1.23", "differs 1.23"));
        assert!(!same("x 1.23", "x 1.23 y"));
    }

    #[test]
    fn a_difference_is_shown_in_percent_of_the_published_number() {
        let check = Check::new("a", "", 75.0, 72.0, "d");
        assert_eq!(difference(&check), "-4 %");
        assert_eq!(
            difference(&Check::within("a", "", (1.0, 2.0), 2.5, "d")),
            "+0.5"
        );
    }
}
