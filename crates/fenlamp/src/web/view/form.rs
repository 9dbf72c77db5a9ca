//! Forms for the parts of a plan, in the writer's own words and units.

use fenlamp_model::reference;
use maud::{Markup, html};
use toml_edit::{DocumentMut, Item};

use super::{Look, layout};
use crate::plan_paths::{count, stands};
use crate::web::fields::{Field, Kind, PARTS, Part, Table, slide};
use crate::web::run::Read;

/// The page of a part: its form, and beside it what it does.
pub fn page(look: &Look, part: &Part, live: &Markup) -> Markup {
    layout::page(
        part.title,
        look.at("parts"),
        html! {
            div class="bench" {
                div class="form" { (form(look, part)) }
                div class="view" { (live) }
            }
        },
    )
}

/// The list of parts.
pub fn parts(look: &Look, drawing: &Markup) -> Markup {
    layout::page(
        "The parts",
        look.at("parts"),
        html! {
            h1 { "The parts of " (look.name) }
            p class="lead" { "Open a part to change it; the answer moves with it. Nothing is kept before you say so." }
            (links(look, None))
            (drawing)
        },
    )
}

fn links(look: &Look, here: Option<&str>) -> Markup {
    html! {
        nav aria-label="Parts" class="parts" {
            ul { @for p in PARTS {
                li { a href={"/plans/" (look.id) "/parts/" (p.id)} aria-current=[(here == Some(p.id)).then_some("page")] { (p.title) } }
            } }
        }
    }
}

/// The form itself.
pub fn form(look: &Look, part: &Part) -> Markup {
    let plan: DocumentMut = look.trial_text.parse().unwrap_or_default();
    let plan = plan.as_item();
    html! {
        div id="part" data-part=(part.id) data-plan=(look.id) {
            h1 { (part.title) }
            (links(look, Some(part.id)))
            form method="post" action={"/plans/" (look.id) "/parts/" (part.id)} data-live {
                input type="hidden" name="rev" value=(look.rev);
                // Enter in a field tries what is written, and does not remove anything.
                button type="submit" name="do" value="set" class="first" { "Try this" }
                @for table in part.tables { (tables(look, plan, table)) }
            }
            (ids())
        }
    }
}

/// Lists for the fields that take a feedstock or an animal.
fn ids() -> Markup {
    html! {
        datalist id="feedstock-ids" { @for f in reference::feedstocks() { option value=(f.id) { (f.name) } } }
        datalist id="animal-ids" { @for a in reference::animals() { option value=(a.id) { (a.name) } } }
    }
}

fn tables(look: &Look, plan: &Item, table: &Table) -> Markup {
    let n = count(plan, table.path);
    // A list inside a table that is not there cannot be added to.
    let parent = table.path.rsplit_once('.').map(|(p, _)| p);
    let has_parent = parent.is_none_or(|p| count(plan, p) > 0 || p == "first_fill");
    html! {
        @if has_parent {
            @if table.list {
                @for i in 0..n {
                    (one(look, plan, table, &format!("{}[{i}]", table.path), Some(i + 1).filter(|_| n > 1)))
                }
                fieldset class="add" {
                    legend { @if n == 0 { (table.title) ": none" } @else { "More" } }
                    @if n == 0 && !table.about.is_empty() { p class="help" { (table.about) } }
                    button type="submit" name="do" value={"add:" (table.path)} { "Add: " (table.title.to_lowercase()) }
                }
            } @else if n == 0 && table.optional {
                fieldset class="add" {
                    legend { (table.title) ": none" }
                    @if !table.about.is_empty() { p class="help" { (table.about) } }
                    button type="submit" name="do" value={"add:" (table.path)} { "Add: " (table.title.to_lowercase()) }
                }
            } @else {
                (one(look, plan, table, table.path, None))
            }
        }
    }
}

fn one(look: &Look, plan: &Item, table: &Table, path: &str, number: Option<usize>) -> Markup {
    html! {
        fieldset {
            legend { (table.title) @if let Some(n) = number { " " (n) } }
            @if number.is_none_or(|n| n == 1) && !table.about.is_empty() { p class="help" { (table.about) } }
            @for fault in faults_at(look, path) { p class="fault" role="alert" { (fault) } }
            @for field in table.fields {
                @if is_asked(plan, path, field) { (one_field(look, plan, path, field)) }
            }
            @if table.optional {
                button type="submit" class="quiet" name="do" value={"remove:" (path)} { "Remove this: " (table.title.to_lowercase()) }
            }
        }
    }
}

/// Whether a field belongs to what the table is by now. One that is written is
/// always shown, so that it can be taken out.
fn is_asked(plan: &Item, path: &str, field: &Field) -> bool {
    let Some((other, says)) = field.only else {
        return true;
    };
    let now = stands(plan, &format!("{path}.{other}"))
        .text
        .to_lowercase()
        .replace('-', " ");
    let now = if now == "barrel" {
        "drum".to_owned()
    } else {
        now
    };
    says.contains(&now.as_str())
        || !stands(plan, &format!("{path}.{}", field.key))
            .literal
            .is_empty()
}

fn faults_of(look: &Look) -> &[fenlamp_model::plan::PlanError] {
    match &look.trial {
        Read::Faults(faults) => &faults.errors,
        Read::Plan(_) => &[],
    }
}

/// The path of a fault counts items from 1; ours from 0.
fn ours(key: &str) -> String {
    let mut out = String::new();
    let mut rest = key;
    while let Some((before, after)) = rest.split_once('[') {
        let (n, behind) = after.split_once(']').unwrap_or((after, ""));
        let n: usize = n.parse().unwrap_or(1);
        out += &format!("{before}[{}]", n.saturating_sub(1));
        rest = behind;
    }
    out + rest
}

/// Faults at a path, in words.
pub fn faults_at(look: &Look, path: &str) -> Vec<String> {
    faults_of(look)
        .iter()
        .filter(|e| {
            let at = ours(&e.key);
            // A table that stands once may be called its list's first.
            at == path || at.replace("[0]", "") == path.replace("[0]", "")
        })
        .map(|e| {
            let near = e
                .nearest
                .as_ref()
                .map_or(String::new(), |n| format!(" (nearest: {n})"));
            if e.help.is_empty() {
                format!("{}{near}", e.message)
            } else {
                format!("{}; {}{near}", e.message, e.help)
            }
        })
        .collect()
}

fn one_field(look: &Look, plan: &Item, table: &str, field: &Field) -> Markup {
    let path = format!("{table}.{}", field.key);
    let now = stands(plan, &path);
    let id = path.replace(['.', '[', ']'], "-");
    let name = format!("v:{path}");
    let faults = faults_at(look, &path);
    let bad = !faults.is_empty();
    let described = format!("{id}-help");
    html! {
        div class="field" data-path=(path) {
            label for=(id) { (field.label) }
            input type="hidden" name={"w:" (path)} value=(now.literal);
            @match field.kind {
                Kind::Choice(words) => {
                    select id=(id) name=(name) aria-describedby=(described) aria-invalid=[bad.then_some("true")] {
                        @let plain = now.text.to_lowercase().replace('-', " ");
                        @let known = words.contains(&plain.as_str());
                        @if now.literal.is_empty() && !words.contains(&"") { option value="" selected { "(" (words[0]) ")" } }
                        @if !known && !now.literal.is_empty() { option value=(now.text) selected { (now.text) } }
                        @for w in words {
                            option value=(w) selected[known && *w == plain] { @if w.is_empty() { "(usual)" } @else { (w) } }
                        }
                    }
                }
                Kind::Yes => {
                    select id=(id) name=(name) aria-describedby=(described) aria-invalid=[bad.then_some("true")] {
                        option value="" selected[now.literal.is_empty()] { "(not said)" }
                        option value="true" selected[now.literal == "true"] { "yes" }
                        option value="false" selected[now.literal == "false"] { "no" }
                    }
                }
                Kind::Long => {
                    textarea id=(id) name=(name) rows="2" aria-describedby=(described) aria-invalid=[bad.then_some("true")] { (now.text) }
                }
                kind => {
                    input id=(id) name=(name) value=(now.text) aria-describedby=(described) aria-invalid=[bad.then_some("true")]
                        type=[(kind == Kind::Date).then_some("date")]
                        inputmode=[(kind == Kind::Number).then_some("decimal")]
                        list=[match kind { Kind::Feedstock => Some("feedstock-ids"), Kind::Animal => Some("animal-ids"), _ => None }]
                        autocomplete="off" spellcheck="false";
                    @if kind == Kind::Amount { @if let Some(s) = slide(&now.text) {
                        input type="range" class="slide" data-for=(id) data-before=(s.before) data-after=(s.after)
                            min=(s.ends.0) max=(s.ends.1) step=(s.ends.2) value=(s.number) aria-label={(field.label) ", slide"} hidden;
                    } }
                }
            }
            p class="help" id=(described) {
                (field.help)
                @if field.kind == Kind::Feedstock && !now.text.is_empty() {
                    " " a href={"/feedstocks/" (plain_id(&now.text)) "?plan=" (look.id)} { "What is assumed of it, and from where" }
                }
            }
            @for fault in faults { p class="fault" role="alert" { (fault) } }
        }
    }
}

fn plain_id(text: &str) -> String {
    text.trim()
        .to_lowercase()
        .replace([' ', '-'], "_")
        .chars()
        .filter(|c| c.is_ascii_alphanumeric() || *c == '_')
        .collect()
}
