//! Blank diary sheets and the card for the wall.

use maud::{Markup, html};

use super::Book;

/// Sheets, and rows of each.
const SHEETS: usize = 2;
const ROWS: usize = 25;

pub fn chapter(b: &Book) -> Markup {
    html! {
        section.chapter id="card" {
            div.card {
                h2 { (b.tf("b.card.title", &[("name", &b.plan.name)])) }
                p { strong { (b.t("b.card.smell")) } }
                ol { @for text in b.all("b.emergency") { li { (text) } } }
                p { strong { (b.t("b.card.never")) } }
                ul { @for text in b.all("b.never") { li { (text) } } }
                p { (b.t("b.card.fire")) " " span.write {} }
                p { (b.t("b.card.doctor")) " " span.write {} }
                p { (b.t("b.card.valve")) " " span.write {} }
            }
        }
        @for n in 1..=SHEETS {
            section.chapter id={ "diary-" (n) } {
                h2 { (b.tf("b.diary.title", &[("n", &n.to_string())])) }
                table.sheet {
                    thead { tr { @for head in b.all("b.diary.head") { th { (head) } } } }
                    tbody { @for _ in 0..ROWS { tr { @for _ in b.all("b.diary.head") { td {} } } } }
                }
                p.small { (b.t("b.diary.how")) }
            }
        }
    }
}
