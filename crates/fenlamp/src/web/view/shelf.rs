//! All plans there are.

use maud::{Markup, html};

use super::layout::{self, Where};
use crate::demos;
use crate::web::shelf::Entry;

/// The list.
pub fn page(folder: &str, entries: &[Entry]) -> Markup {
    let (own, demo): (Vec<&Entry>, Vec<&Entry>) = entries.iter().partition(|e| e.file.is_some());
    layout::page(
        "All plans",
        Where {
            plan: None,
            page: "plans",
        },
        html! {
            h1 { "All plans" }
            p class="lead" { a href="/start" { "Start a plan of your own" } ": four questions, and it runs." }
            h2 { "Yours" }
            @if own.is_empty() { p { "None yet in " code { (folder) } "." } }
            ul { @for e in own { li {
                a href={"/plans/" (e.name)} { (e.name) }
                @if let Some(f) = &e.file { " " code { (f.display()) } }
            } } }
            h2 { "Demos" }
            p { "Invented places, animals and weather. Keeping a change makes a file of your own beside these." }
            ul { @for e in demo { li {
                a href={"/plans/" (e.name)} { (e.name) }
                @if let Some(d) = demos::demo(&e.name) { ": " (d.line) }
            } } }
        },
    )
}
