//! Cautions: marked by shape and word, never by colour alone.

use fenlamp_report::hazard::{Finding, Severity};
use maud::{Markup, html};

use super::{Look, layout};
use crate::web::run::Told;

/// Word of a severity.
pub fn word(severity: Severity) -> &'static str {
    match severity {
        Severity::Stop => "Stop",
        Severity::Care => "Care",
        Severity::Note => "Note",
    }
}

/// Class of a severity, which draws its shape.
fn class(severity: Severity) -> &'static str {
    match severity {
        Severity::Stop => "stop",
        Severity::Care => "care",
        Severity::Note => "note",
    }
}

/// One caution with what set it off and where the rule comes from.
pub fn item(f: &Finding) -> Markup {
    html! {
        li class={"caution " (class(f.severity))} id={"caution-" (f.id)} {
            p { span class="mark" { (word(f.severity)) } " " (f.words) }
            @if !f.evidence.is_empty() || !f.sources.is_empty() {
                details {
                    summary { "Why" }
                    @if !f.evidence.is_empty() {
                        table {
                            caption { "The figures that set it off" }
                            tbody {
                                @for e in &f.evidence {
                                    tr { th scope="row" { (e.name.replace('_', " ")) } td { (fenlamp_quantity::format_number(e.value, 3)) } }
                                }
                            }
                        }
                    }
                    ul { @for s in &f.sources {
                        li { a href={"/sources/" (s.key)} { (s.key) } ": " (s.citation) }
                    } }
                }
            }
        }
    }
}

/// All of them.
pub fn page(look: &Look, told: &Told) -> Markup {
    let (always, now): (Vec<&Finding>, Vec<&Finding>) =
        told.answer.findings.iter().partition(|f| f.always);
    layout::page(
        "Cautions",
        look.at("cautions"),
        html! {
            h1 { "Cautions for " (look.name) }
            p class="lead" {
                @if look.is_tried() { "Of the plan as tried. " }
                (now.iter().filter(|f| f.severity == Severity::Stop).count()) " to stop for, "
                (now.iter().filter(|f| f.severity == Severity::Care).count()) " to take care of, "
                (now.iter().filter(|f| f.severity == Severity::Note).count()) " worth knowing; "
                (always.len()) " hold for every plant."
            }
            h2 { "What stands out, gravest first" }
            ul class="cautions" { @for f in now { (item(f)) } }
            h2 { "Always" }
            ul class="cautions" { @for f in always { (item(f)) } }
        },
    )
}
