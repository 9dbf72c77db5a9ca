//! The first flame, and every flame after it.

use maud::{Markup, html};

use super::Book;
use super::cautions::Step;
use super::quantity::As;

pub fn chapter(b: &Book) -> Markup {
    if !b.stands(Step::Flame) {
        return html! {};
    }
    let train = b.answer.gas_train.as_ref();
    b.chapter("flame", html! {
        (b.step(Step::Flame, html! {
            (b.ticks("b.lighting"))
            @if let Some(train) = train {
                table {
                    thead { tr {
                        th { (b.t("b.flame.use")) } th.n { (b.t("b.flame.wanted")) }
                        th.n { (b.t("b.flame.covered")) } th.n { (b.t("b.flame.pressure")) }
                    } }
                    tbody {
                        @for (i, u) in train.uses.iter().enumerate() {
                            @let name = fenlamp_drawing::plant::label(b.plan, fenlamp_drawing::plant::Kind::Use(i), b.words);
                            tr {
                                td { (name) }
                                td.n { (b.f.one(&format!("/gas_train/uses/{i}/wanted_per_day"), As::Number)) " " (b.t(&format!("b.unit.{}", u.unit))) }
                                td.n { (b.f.band(&format!("/gas_train/uses/{i}/covered_share"), As::Share)) }
                                td.n { (b.f.one(&format!("/gas_train/uses/{i}/burner/half_full_pa"), As::Pascal)) }
                            }
                        }
                    }
                }
            }
        }))
    })
}
