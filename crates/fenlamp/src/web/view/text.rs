//! The plan as text, and its versions.

use maud::{Markup, html};

use super::{Look, layout, live};
use crate::web::run::Read;
use crate::web::shelf::{Version, sha256};

/// The page of the text and what was kept before.
pub fn page(look: &Look, versions: &[Version]) -> Markup {
    layout::page(
        "Text and versions",
        look.at("text"),
        html! {
            h1 { "The plan as text" }
            p class="lead" {
                @if let Some(file) = &look.file { "Kept in " code { (file) } ". " }
                @else { "A demo that ships with the program; keeping a change writes a file of your own. " }
                "Comments stay as they are written."
            }
            @if let Read::Faults(faults) = &look.trial {
                ul class="faults" role="alert" { @for e in &faults.errors { li { "Line " (e.line) ": " @if !e.key.is_empty() { (e.key) ": " } (e.message) "; " (e.help) } } }
            }
            (live::desk_forms(look))
            form method="post" action={"/plans/" (look.id) "/text"} {
                input type="hidden" name="rev" value=(look.rev);
                input type="hidden" name="saw" value=(sha256(&look.trial_text));
                label for="text" { "Text" }
                textarea id="text" name="text" class="plan" rows="30" spellcheck="false" { (look.trial_text) }
                button type="submit" { "Try this text" }
            }
            h2 { "Versions" }
            @if versions.is_empty() { p { "None yet: the first is made when a change is kept." } }
            @else {
                p { "Each is the plan as it stood until then." }
                ul class="versions" { @for v in versions {
                    li {
                        "until " (v.when) " "
                        a href={"/plans/" (look.id) "/versions/" (v.id)} { "see" } " "
                        form method="post" action={"/plans/" (look.id) "/desk"} class="inline" {
                            input type="hidden" name="rev" value=(look.rev);
                            input type="hidden" name="version" value=(v.id);
                            button type="submit" class="quiet" name="do" value="version" { "Try it again" }
                        }
                    }
                } }
            }
        },
    )
}

/// A version.
pub fn version(look: &Look, id: &str, text: &str) -> Markup {
    layout::page(
        "A version",
        look.at("text"),
        html! {
            h1 { "Version " (id) }
            pre class="plan" tabindex="0" { (text) }
        },
    )
}

/// A text that was written over another: both stand here.
pub fn clash(look: &Look, wrote: &str) -> Markup {
    layout::page(
        "Two have written",
        look.at("text"),
        html! {
            h1 { "Someone else has changed the text" }
            p class="lead" { "Nothing was written. Here is what you wrote, and what stands there now; put them together and try again." }
            form method="post" action={"/plans/" (look.id) "/text"} {
                input type="hidden" name="rev" value=(look.rev);
                input type="hidden" name="saw" value=(sha256(&look.trial_text));
                label for="text" { "Yours" }
                textarea id="text" name="text" class="plan" rows="20" spellcheck="false" { (wrote) }
                button type="submit" { "Try mine over it" }
            }
            h2 { "What stands there now" }
            pre class="plan" tabindex="0" { (look.trial_text) }
        },
    )
}
