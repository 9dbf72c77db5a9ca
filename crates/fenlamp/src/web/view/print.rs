//! The way to the booklet.

use maud::{Markup, html};

use super::{Look, layout};

/// Papers and languages: words in the address, words shown.
const PAPERS: &[(&str, &str)] = &[("a4", "A4"), ("letter", "US letter")];
const LANGUAGES: &[(&str, &str)] = &[("en", "English"), ("de", "Deutsch")];

/// What the booklet is, and the papers and languages there are.
pub fn page(look: &Look) -> Markup {
    layout::page(
        "Booklet",
        look.at("print"),
        html! {
            h1 { "The booklet" }
            p class="lead" { "Drawings, parts, order of work, leak test, first filling, the first weeks, routine, what to do when: for the shed, on paper."
                @if look.is_tried() { " Of the plan as tried." } }
            ul { @for (paper, named) in PAPERS { @for (language, spoken) in LANGUAGES {
                li { a href={"/plans/" (look.id) "/booklet?paper=" (paper) "&language=" (language)} { (named) ", " (spoken) } }
            } } }
            p { "Open it and print it from the browser: paper as chosen, no headers or footers of the browser's own, backgrounds on. Saved as a file it needs no network." }
        },
    )
}
