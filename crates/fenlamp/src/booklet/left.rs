//! What is left, and where it may go.

use fenlamp_model::digestate::Class;
use maud::{Markup, html};

use super::Book;
use super::cautions::Step;
use super::quantity::As;

pub fn chapter(b: &Book) -> Markup {
    let d = &b.answer.digestate;
    let class = d.worst_class.or(d.held_class);
    let closed: Vec<String> = (1..=12)
        .filter(|m| d.land.closed_months[m - 1])
        .map(|m| b.t(&format!("month.{m}")))
        .collect();
    b.chapter("digestate", html! {
        (b.step(Step::Digestate, html! {
            @if let Some(class) = class {
                p.answer { (b.t(match class {
                    Class::HeldHot => "b.class.held_hot",
                    Class::DigestedWarm => "b.class.digested_warm",
                    Class::CoolOrShort => "b.class.cool_or_short",
                    Class::NotOnFood => "b.class.not_on_food",
                })) }
            }
            p {
                (b.tm("b.left.touching", "d", &b.f.one("/digestate/land/wait_touching_soil_days", As::Days))) " "
                (b.tm("b.left.off", "d", &b.f.one("/digestate/land/wait_off_soil_days", As::Days))) " "
                (b.tm("b.left.water", "n", &b.f.one("/digestate/land/water_parts_near_plants", As::Number)))
            }
            @if !closed.is_empty() { p { (b.tf("b.left.closed", &[("months", &closed.join(", "))])) } }
            p { (b.tm("b.left.out", "v", &b.f.band("/digestate/ran_out/litres", As::Litres))) " "
                (b.tm("b.left.nitrogen", "m", &b.f.band("/digestate/ran_out/nitrogen_kg", As::Kilograms))) " "
                (b.tm("b.left.room", "v", &b.f.band("/digestate/land/closed_season_l", As::Litres))) }
            (b.ticks("b.using"))
        }))
    })
}
