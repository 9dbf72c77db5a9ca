//! What to do when.

use maud::{Markup, html};

use super::Book;

pub fn chapter(b: &Book) -> Markup {
    let rows = (1..).map_while(|n| {
        let at = |part: &str| b.words.find(&format!("b.when.{n}.{part}"));
        Some((at("sign")?, at("means")?, at("do")?))
    });
    b.chapter("trouble", html! {
        table {
            thead { tr { th { (b.t("b.trouble.sign")) } th { (b.t("b.trouble.means")) } th { (b.t("b.trouble.do")) } } }
            tbody { @for (sign, means, act) in rows { tr { td { (sign) } td { (means) } td { (act) } } } }
        }
        @if b.answer.what_ifs.iter().any(|g| g.worth) {
            h3 { (b.t("b.trouble.better")) }
            p { (b.t("b.trouble.better_words")) }
                        ul {
                @for g in b.answer.what_ifs.iter().filter(|g| g.worth).take(5) {
                    li lang="en" { strong { (g.change) } ": " (g.words) }
                }
            }
        }
    })
}
