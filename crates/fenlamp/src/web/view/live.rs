//! The part of a page that moves with the plan: the answer, what is tried, the
//! levers, the cautions, the plots.

use fenlamp_model::forecast::what_if::Gain;
use fenlamp_model::plan::PlanErrors;
use fenlamp_model::say;
use fenlamp_report::hazard::{Finding, Severity};
use fenlamp_report::words::Topic;
use maud::{Markup, html};

use super::{Look, cautions, plot, tables};
use crate::answer::Answer;
use crate::web::levers;
use crate::web::run::{Read, Stage, Told};

/// On which page the fragment stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum On {
    /// The opening view, with everything.
    Year,
    /// Beside a form, with the answer and the plot.
    Part,
}

/// What the fragment is made from.
#[derive(Debug)]
pub struct Live<'a> {
    /// The plan.
    pub look: &'a Look,
    /// The answer shown: that of the trial when one is tried and can be run.
    pub shown: Option<&'a Told>,
    /// The answer of the plan as kept, beside a trial.
    pub kept: Option<&'a Told>,
    /// What the changes do, world by world.
    pub gain: Option<Gain>,
    /// Where.
    pub on: On,
    /// Width of the plots, CSS pixels.
    pub width: f64,
}

/// Changes of the plan offered as levers.
const LEVERS: usize = 3;
/// Cautions told on the opening view.
const CAUTIONS: usize = 4;

/// The fragment. Its element says how far it is, so that the page asks for the rest.
pub fn live(l: &Live) -> Markup {
    let stage = l.shown.map_or(Stage::Quick, |t| t.stage);
    let next = match (l.shown, stage, l.on) {
        (None, ..) | (_, Stage::Changes, _) | (_, Stage::Full, On::Part) => None,
        (_, Stage::Quick, _) => Some("full"),
        (_, Stage::Full, On::Year) => Some("changes"),
    };
    html! {
        section id="live" data-rev=(l.look.rev) data-next=[next] data-width=(l.width) data-stage=(stage.word()) {
            (clashes(l.look))
            @if let Read::Faults(faults) = &l.look.trial { (faulty(l.look, faults)) }
            @if let Some(told) = l.shown {
                div class="spread" {
                    div {
                        (lead(l.look, &told.answer))
                        @if l.on == On::Year { (more(l.look, &told.answer)) }
                        (tried(l))
                        p class="progress" hidden { progress max="1" value="0" aria-label="Worlds run" {} " " span {} }
                        @if l.on == On::Year { (doubt_of_count(told)) (levers_of(l, told)) }
                    }
                    @if l.on == On::Year { (cautions_now(l.look, &told.answer)) }
                }
                section aria-labelledby="h-year" {
                    h2 id="h-year" { "The year" }
                    (plot::year_element(l.look, told, l.kept, l.width))
                }
                // Beside a form the plot comes first, so that it is seen to move.
                @if l.on == On::Part { (doubt_of_count(told)) (more(l.look, &told.answer)) }
                @if l.on == On::Year { (rest(l, told)) }
            }
        }
    }
}

/// The sentences of one topic.
fn said(answer: &Answer, topics: &[Topic]) -> Vec<String> {
    answer
        .words
        .iter()
        .filter(|s| topics.contains(&s.topic))
        .map(|s| s.words.clone())
        .collect()
}

/// Sentences that make the first paragraph.
const LEAD: usize = 2;

/// The way to how a figure came about.
fn how(look: &Look, figure: &str) -> Markup {
    html! { " " a class="how" href={"/plans/" (look.id) "/figures/" (figure)} { "How so?" } }
}

/// A start that sours is said before any gas, as in the text.
fn sours_first(answer: &Answer) -> bool {
    answer.words.first().map(|s| s.topic) == Some(Topic::Souring)
}

/// The first paragraph.
fn lead(look: &Look, answer: &Answer) -> Markup {
    let sour_first = sours_first(answer);
    let gas = said(answer, &[Topic::Gas, Topic::Change]);
    html! {
        @if sour_first {
            p class="lead" { (said(answer, &[Topic::Souring]).join(" ")) (how(look, "souring")) }
        }
        p class={@if !sour_first { "lead" }} {
            (gas[..gas.len().min(LEAD)].join(" ")) (how(look, "gas"))
        }
    }
}

/// What else the answer says first.
fn more(look: &Look, answer: &Answer) -> Markup {
    let gas = said(answer, &[Topic::Gas, Topic::Change]);
    let then = &gas[gas.len().min(LEAD)..];
    let flame = said(answer, &[Topic::FirstFlame]);
    let sour = said(answer, &[Topic::Souring]);
    html! {
        @if !then.is_empty() { p { (then.join(" ")) } }
        @if !flame.is_empty() { p { (flame.join(" ")) (how(look, "first-flame")) } }
        @if !sours_first(answer) && !sour.is_empty() {
            p { (sour.join(" ")) (how(look, "souring")) }
        }
    }
}

fn doubt_of_count(told: &Told) -> Markup {
    let n = told.answer.stamp.worlds;
    html! {
        p class="worlds" {
            @if told.stage == Stage::Quick && n < told.opened.plan.worlds {
                "A first look from " (n) " worlds; the full band follows."
            } @else {
                "From " (n) " worlds: this plan run again and again, everything uncertain drawn anew. Eight in ten lie inside each band."
            }
        }
    }
}

/// What is tried, what it does, and what can be done about it.
fn tried(l: &Live) -> Markup {
    let look = l.look;
    html! {
        @if look.is_tried() {
            section class="tried" aria-labelledby="h-tried" {
                h2 id="h-tried" { "Tried, not kept" }
                ul { @for c in &look.changes { li { (c) } } }
                @if let (Some(kept), Some(shown)) = (l.kept, l.shown) {
                    ul class="difference" { @for line in difference(kept, shown, l.gain.as_ref()) { li { (line) } } }
                }
                (desk_forms(look))
            }
        } @else if look.undone > 0 {
            section class="tried" { (desk_forms(look)) }
        }
    }
}

/// Keep, drop, undo, redo.
pub fn desk_forms(look: &Look) -> Markup {
    let can_keep =
        look.is_tried() && matches!(look.trial, Read::Plan(_)) && look.clashes.is_empty();
    html! {
        form class="desk" method="post" action={"/plans/" (look.id) "/desk"} {
            input type="hidden" name="rev" value=(look.rev);
            @if look.is_tried() {
                button type="submit" name="do" value="keep" class="main" disabled[!can_keep] { "Keep it" }
                button type="submit" name="do" value="drop" { "Drop it" }
                button type="submit" name="do" value="undo" { "Undo the last" }
            }
            @if look.undone > 0 {
                button type="submit" name="do" value="redo" { "Do it again" }
            }
        }
    }
}

/// The differences in words: the paired gain where there is one, then the figures
/// that people look for first.
pub fn difference(kept: &Told, shown: &Told, gain: Option<&Gain>) -> Vec<String> {
    let units = super::Shown::of(shown.answer.stamp.units_of_words).units();
    let mut out = Vec::new();
    if let Some(gain) = gain {
        out.push(format!("{}.", say::capital(&gain.words)));
    }
    let best = |a: &Answer| {
        a.months.iter().map(|m| m.gas_wet_l_per_day).fold(
            None::<fenlamp_model::band::Quantiles>,
            |b, q| match b {
                Some(b) if b.p50 >= q.p50 => Some(b),
                _ => Some(q),
            },
        )
    };
    if let (Some(before), Some(after)) = (best(&kept.answer), best(&shown.answer)) {
        out.push(format!(
            "Gas a day in the best month: {} (kept: {}).",
            say::gas_band(after.p10, after.p90, units),
            say::gas_band(before.p10, before.p90, units)
        ));
    }
    let flame = |a: &Answer| match a.first_flame.dates {
        Some([low, _, high]) => format!("{low} to {high}"),
        None => "none in this time".to_owned(),
    };
    if flame(&kept.answer) != flame(&shown.answer) {
        out.push(format!(
            "First steady flame: {} (kept: {}).",
            flame(&shown.answer),
            flame(&kept.answer)
        ));
    }
    let percent = |v: f64| format!("{:.0} %", 100.0 * v);
    if percent(kept.answer.sour_share_of_worlds) != percent(shown.answer.sour_share_of_worlds) {
        out.push(format!(
            "Turns sour in {} of the worlds (kept: {}).",
            percent(shown.answer.sour_share_of_worlds),
            percent(kept.answer.sour_share_of_worlds)
        ));
    }
    if let (Some(before), Some(after)) = (&kept.answer.gas_train, &shown.answer.gas_train) {
        for u in &after.uses {
            let Some(old) = before.uses.iter().find(|o| o.appliance == u.appliance) else {
                out.push(format!(
                    "{}: {} of what is wanted is covered (kept: not wanted).",
                    tables::appliance(u.appliance),
                    percent(u.covered_share.p50)
                ));
                continue;
            };
            if percent(old.covered_share.p50) != percent(u.covered_share.p50) {
                out.push(format!(
                    "{}: {} of what is wanted is covered (kept: {}; middle worlds).",
                    tables::appliance(u.appliance),
                    percent(u.covered_share.p50),
                    percent(old.covered_share.p50)
                ));
            }
        }
    }
    let new: Vec<&Finding> = shown
        .answer
        .findings
        .iter()
        .filter(|f| f.severity != Severity::Note)
        .filter(|f| !kept.answer.findings.iter().any(|o| o.id == f.id))
        .collect();
    for f in new {
        out.push(format!("New caution: {}", f.words));
    }
    out
}

fn levers_of(l: &Live, told: &Told) -> Markup {
    let worth: Vec<&Gain> = told
        .answer
        .what_ifs
        .iter()
        .filter(|g| g.worth)
        .take(LEVERS)
        .collect();
    html! {
        section aria-labelledby="h-levers" {
            h2 id="h-levers" { "What would change it most" }
            @if told.stage != Stage::Changes {
                p class="worlds" { "Being tried out, one change at a time." }
            } @else if worth.is_empty() {
                p { "Nothing that was tried changes much: "
                    (say::list(&told.answer.what_ifs.iter().map(|g| g.change.as_str()).collect::<Vec<_>>())) "." }
            } @else {
                ul class="levers" {
                    @for gain in worth {
                        li {
                            p { strong { (say::capital(&gain.change)) } ": " (gain.words) "." }
                            @if levers::edits(gain.id, &l.look.trial_text).is_some() {
                                form method="post" action={"/plans/" (l.look.id) "/desk"} {
                                    input type="hidden" name="rev" value=(l.look.rev);
                                    input type="hidden" name="lever" value=(gain.id);
                                    button type="submit" name="do" value="try" { "Try it" }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn cautions_now(look: &Look, answer: &Answer) -> Markup {
    let now: Vec<&Finding> = answer
        .findings
        .iter()
        .filter(|f| !f.always && f.severity != Severity::Note)
        .take(CAUTIONS)
        .collect();
    let all = answer.findings.len();
    html! {
        section class="cautions" aria-labelledby="h-cautions" {
            h2 id="h-cautions" { "Cautions that matter now" }
            ul { @for f in now { (cautions::item(f)) } }
            p { a href={"/plans/" (look.id) "/cautions"} { "All " (all) " cautions and remarks" } }
        }
    }
}

fn rest(l: &Live, told: &Told) -> Markup {
    let answer = &told.answer;
    let lines = crate::view_model::store_text::lines(answer);
    html! {
        (super::plant::plant(l.look, told, l.width))
        section aria-labelledby="h-uses" {
            h2 id="h-uses" { "What the gas does" }
            @for words in said(answer, &[Topic::Uses]) { p { (words) " " a class="how" href={"/plans/" (l.look.id) "/figures/uses"} { "How so?" } } }
            @if let Some(train) = &answer.gas_train {
                div class="pictures" { (plot::uses(train, small(l.width))) }
                ul { @for line in &lines { li { (line) } } }
                (tables::uses(l.look, told))
                @if let Some(store) = plot::store(train, told, l.width) { (store) }
            } @else {
                p { "The plan says nothing yet of a store and of what burns the gas. "
                    a href={"/plans/" (l.look.id) "/parts/uses"} { "Say what should burn" } "." }
            }
        }
        details {
            summary { "The months in figures" }
            (tables::months(l.look, answer))
        }
        details {
            summary { "What runs out: digestate, its worth and its rules" }
            @for words in said(answer, &[Topic::Digestate]) { p { (words) " " a class="how" href={"/plans/" (l.look.id) "/figures/digestate"} { "How so?" } } }
        }
        details {
            summary { "How sure is this?" }
            (tables::sureness(answer))
            @for words in said(answer, &[Topic::Meaning]) { p { (words) } }
            p { "Made by Fenlamp " (answer.stamp.program_version) ", seed " (answer.stamp.seed) ", "
                (answer.stamp.worlds) " worlds. " a href={"/plans/" (l.look.id)} type="application/json" data-json { "The same as JSON" } "." }
        }
    }
}

/// Two small plots side by side where there is room.
fn small(width: f64) -> f64 {
    if width > 700.0 {
        width / 2.0 - 16.0
    } else {
        width
    }
}

/// A trial that is no plan: every fault, with the way to its field.
fn faulty(look: &Look, faults: &PlanErrors) -> Markup {
    html! {
        section class="faults" role="alert" aria-labelledby="h-faults" {
            h2 id="h-faults" { "This cannot be run yet" }
            p { "What you wrote is not lost. Mend these, or undo; below stands the plan as it is kept." }
            ul {
                @for e in &faults.errors {
                    li {
                        @if !e.key.is_empty() { strong { (e.key) ": " } }
                        (e.message)
                        @if !e.help.is_empty() { "; " (e.help) }
                        @if let Some(near) = &e.nearest { " (nearest: " (near) ")" }
                    }
                }
                @if faults.more > 0 { li { "and " (faults.more) " more" } }
            }
            (desk_forms(look))
        }
    }
}

/// Two have written at one place: both are shown, and one is chosen.
fn clashes(look: &Look) -> Markup {
    html! {
        @if !look.clashes.is_empty() {
            section class="clash" role="alert" aria-labelledby="h-clash" {
                h2 id="h-clash" { "Someone else has changed the same" }
                p { "The plan's file was changed by an editor or another window. Nothing is lost: choose for each." }
                @for c in &look.clashes {
                    div class="two" {
                        p { strong { @if c.path.is_empty() { "The whole text" } @else { (c.path) } } }
                        dl {
                            dt { "In the file now" } dd { pre { (c.now.as_deref().unwrap_or("nothing")) } }
                            dt { "You wrote" } dd { pre { (c.wants.as_deref().unwrap_or("nothing")) } }
                        }
                        @if let Some(change) = c.change {
                            form method="post" action={"/plans/" (look.id) "/desk"} {
                                input type="hidden" name="rev" value=(look.rev);
                                input type="hidden" name="change" value=(change);
                                button type="submit" name="do" value="mine" { "Mine" }
                                button type="submit" name="do" value="theirs" { "The file's" }
                            }
                        }
                    }
                }
            }
        }
    }
}
