//! The rules as a page: `docs/hazards.md`.

use std::collections::BTreeSet;
use std::fmt::Write;

use super::Severity;
use super::rule::Rule;
use super::rules::RULES;
use super::standing::CAUTIONS;
use fenlamp_model::reference::{Standing, source};

fn severity(s: Severity) -> &'static str {
    match s {
        Severity::Stop => "stop",
        Severity::Care => "care",
        Severity::Note => "note",
    }
}

/// Keys of a rule, those of its limits first, each once.
pub(super) fn keys(rule: &Rule) -> Vec<String> {
    let limits = rule.limits.iter().filter_map(|l| l.shown()?.key);
    let mut out: Vec<String> = Vec::new();
    for key in limits.chain(rule.keys.iter().map(|k| (*k).to_owned())) {
        if !out.contains(&key) {
            out.push(key);
        }
    }
    out
}

/// The page, written from the rows that the program runs.
pub fn markdown() -> String {
    let mut out = String::from(
        "# What can hurt, and when the forecast says so\n\n\
         Written from the program's own rules by a test; do not edit by hand. Each rule looks at the\n\
         plan, the forecast and every world run, and speaks when its trigger holds. The severity is\n\
         the gravest it gets: *stop* (do not go on before this is dealt with), *care*, *note*. Numbers\n\
         are read from `reference/`; a number marked judgement is ours and has no source.\n\n\
         A rule that is silent is no proof of safety. Local codes and licensed practice come first.\n\n\
         ## Rules\n\n| id | severity | speaks when | measures by | sources |\n|---|---|---|---|---|\n",
    );
    let mut used = BTreeSet::new();
    for rule in RULES {
        let numbers: Vec<String> = rule
            .limits
            .iter()
            .filter_map(|l| Some(l.shown()?.number))
            .collect();
        let numbers = if numbers.is_empty() {
            "-".to_owned()
        } else {
            numbers.join("; ")
        };
        let keys = keys(rule);
        let shown = if keys.is_empty() {
            "the plan's own rows".to_owned()
        } else {
            keys.join(", ")
        };
        let _ = writeln!(
            out,
            "| `{}` | {} | {} | {} | {} |",
            rule.id,
            severity(rule.severity),
            rule.when,
            numbers,
            shown
        );
        used.extend(keys);
    }
    out += "\n## Cautions that stand in every forecast\n\n| id | severity | words | sources |\n|---|---|---|---|\n";
    for caution in CAUTIONS {
        let found = caution.found();
        let _ = writeln!(
            out,
            "| `{}` | {} | {} | {} |",
            caution.id,
            severity(caution.severity),
            found.words,
            caution.keys.join(", ")
        );
        used.extend(found.source_keys);
    }
    out += "\n## Sources\n\n| key | standing | citation |\n|---|---|---|\n";
    for key in &used {
        if let Some(s) = source(key) {
            let standing = match s.standing {
                Standing::Read => "read",
                Standing::Memory => "memory",
                Standing::Computed => "computed",
                Standing::Derived => "derived",
                Standing::Judgement => "judgement",
            };
            let _ = writeln!(
                out,
                "| {key} | {standing} | {} |",
                s.citation.replace('|', "/")
            );
        }
    }
    out
}
