//! Codes, licences and sources.

use std::collections::BTreeSet;

use fenlamp_model::reference::source;
use maud::{Markup, html};

use super::Book;
use super::cautions::CAUTIONS;

pub fn chapter(b: &Book) -> Markup {
    let mut keys: BTreeSet<&str> = BTreeSet::new();
    for f in &b.answer.findings {
        keys.extend(f.sources.iter().map(|s| s.key.as_str()));
    }
    for c in CAUTIONS.iter().filter(|c| c.applies(b.plan, b.answer)) {
        keys.extend(c.keys);
    }
    keys.extend(b.answer.digestate.source_keys.iter().copied());
    b.chapter(
        "rules",
        html! {
            p { (b.t("b.rules.intro")) }
            (b.ticks("b.ask"))
            h3 { (b.t("b.rules.sources")) }
            dl.sources lang="en" {
                @for key in keys {
                    @if let Some(s) = source(key) {
                        div { dt { (s.key) } dd { (s.citation) } }
                    }
                }
            }
        },
    )
}
