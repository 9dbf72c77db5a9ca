//! The waste book and the sources behind every figure.

use fenlamp_model::feed::Feedstock;
use fenlamp_model::reference::{self, Source, Standing};
use fenlamp_quantity::format_number;
use maud::{Markup, html};

use super::layout::{self, Where};
use crate::view_model::feedstocks_text;

const BOOK: Where = Where {
    plan: None,
    page: "feedstocks",
};

/// The list, narrowed by words.
pub fn feedstocks(words: &str, found: &[&Feedstock]) -> Markup {
    layout::page(
        "Waste book",
        BOOK,
        html! {
            h1 { "Waste book" }
            p class="lead" { "What is assumed of each waste: middle figures here, bands and sources within." }
            form method="get" action="/feedstocks" role="search" {
                label for="words" { "Find" }
                input id="words" name="words" value=(words) type="search";
                button type="submit" { "Find" }
            }
            p { (found.len()) " found." }
            div class="wide" tabindex="0" role="region" aria-label="Wastes" {
                table {
                    thead { tr { th scope="col" { "Waste" } th scope="col" { "Dry matter %" } th scope="col" { "CH4 L/kg VS" } th scope="col" { "C:N" } } }
                    tbody { @for f in found {
                        tr {
                            th scope="row" { a href={"/feedstocks/" (f.id)} { (f.name) } }
                            td { (format_number(100.0 * f.total_solids.mid, 2)) }
                            td { (format_number(1000.0 * f.bmp.mid, 3)) }
                            td { (f.c_to_n.map_or_else(|| "-".to_owned(), |c| format_number(c, 2))) }
                        }
                    } }
                }
            }
        },
    )
}

/// One of them, every figure with its origin. From a plan's form there is a way to
/// change it.
pub fn feedstock(f: &Feedstock, plan: Option<&str>) -> Markup {
    let notes = reference::feedstock_row(&f.id)
        .map(|r| r.notes.as_str())
        .unwrap_or_default();
    layout::page(
        &f.name,
        BOOK,
        html! {
            h1 { (f.name) }
            p class="lead" { (f.group.word()) ", " code { (f.id) } @if !notes.is_empty() { ". " (notes) } }
            div class="wide" tabindex="0" role="region" aria-label="Figures" {
                table {
                    thead { tr { th scope="col" { "Figure" } th scope="col" { "Value" } th scope="col" { "Band" } th scope="col" { "Got" } th scope="col" { "From" } } }
                    tbody { @for (field, name, unit, band) in feedstocks_text::figures(f) { @if let Some(band) = band {
                        @let origin = f.origins.iter().find(|o| o.field == field);
                        tr {
                            th scope="row" { (name) }
                            td { (format_number(band.mid, 3)) " " (unit) }
                            td { @if band.low != band.high { (format_number(band.low, 3)) " to " (format_number(band.high, 3)) } }
                            td { (origin.map_or("", |o| feedstocks_text::how(o.how))) }
                            td { @for key in origin.map(|o| o.keys.as_slice()).unwrap_or_default() { a href={"/sources/" (key)} { (key) } " " } }
                        }
                    } } }
                }
            }
            @if let Some(plan) = plan {
                form method="post" action={"/plans/" (plan) "/desk"} {
                    input type="hidden" name="feedstock" value=(f.id);
                    p { "You have measured it, or yours is different? Make one of your own from it: only what differs is written down." }
                    button type="submit" name="do" value="own" { "Make it mine" }
                }
                p { a href={"/plans/" (plan) "/parts/waste"} { "Back to what goes in" } }
            }
        },
    )
}

fn standing(s: Standing) -> &'static str {
    match s {
        Standing::Read => "read",
        Standing::Memory => "from memory: verify",
        Standing::Computed => "computed",
        Standing::Derived => "derived",
        Standing::Judgement => "judgement",
    }
}

/// One source.
pub fn source(s: &Source) -> Markup {
    layout::page(
        &s.key,
        Where {
            plan: None,
            page: "sources",
        },
        html! {
            h1 { (s.key) }
            p class="lead" { (s.citation) }
            p { "How the figures under this key were got: " (standing(s.standing)) "." }
            @if !s.address.is_empty() { p { "Read at " code { (s.address) } } }
            @if !s.note.is_empty() { p { (s.note) } }
            p { a href="/sources" { "All sources" } }
        },
    )
}

/// All sources.
pub fn sources() -> Markup {
    layout::page(
        "Sources",
        Where {
            plan: None,
            page: "sources",
        },
        html! {
            h1 { "Where the figures come from" }
            p class="lead" { (reference::sources().len()) " sources. Some figures are from memory or judged; each says so." }
            dl { @for s in reference::sources() {
                dt { a href={"/sources/" (s.key)} { (s.key) } " (" (standing(s.standing)) ")" }
                dd { (s.citation) }
            } }
        },
    )
}
