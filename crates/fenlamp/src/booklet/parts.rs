//! The parts list and the tools.

use fenlamp_drawing::build::Amount;
use fenlamp_quantity::{Length, Mass, Units, Volume, format_number};
use maud::{Markup, html};
use uom::si::length::meter;
use uom::si::mass::kilogram;
use uom::si::volume::cubic_meter;

use super::Book;

/// Square feet of a square metre (exact from the foot).
const SQ_FT: f64 = 1.0 / (0.3048 * 0.3048);

pub fn chapter(b: &Book) -> Markup {
    b.chapter("parts", html! {
        p { (b.t("b.parts.intro")) }
        table #parts-list {
            thead { tr {
                th.n { (b.t("b.parts.number")) } th { (b.t("b.parts.what")) } th { (b.t("b.parts.size")) }
                th.n { (b.t("b.parts.much")) } th { (b.t("b.parts.where")) }
            } }
            tbody {
                @for l in &b.lines {
                    tr data-number=(l.number) data-amount=(l.amount.value()) {
                        td.n { (l.number) }
                        td { (l.item.name(b.words)) }
                        td { (b.words.figure(&l.item.size)) }
                        td.n.w { (amount(b, l.amount)) }
                        td { @for (i, (letter, part)) in l.places.iter().enumerate() {
                            @if i > 0 { ", " }
                            span data-place=(letter) data-amount=(part.value()) {
                                (letter)
                                @if l.places.len() > 1 { "\u{a0}" (amount(b, *part)) }
                            }
                        } }
                    }
                }
            }
        }
        h3 { (b.t("b.parts.tools")) }
        (b.ticks("b.tools"))
        h3 { (b.t("b.parts.meters")) }
        (b.ticks("b.meters"))
    })
}

/// An amount in the reader's units.
fn amount(b: &Book, amount: Amount) -> String {
    match amount {
        Amount::Count(n) => n.to_string(),
        Amount::Length(m) => b.say.figure(Length::new::<meter>(m)),
        Amount::Volume(m3) => b.say.figure(Volume::new::<cubic_meter>(m3)),
        Amount::Mass(kg) => b.say.figure(Mass::new::<kilogram>(kg)),
        Amount::Area(m2) => area(b, m2),
    }
}

fn area(b: &Book, m2: f64) -> String {
    let (x, unit) = match b.f.units {
        Units::Metric => (m2, "m²"),
        Units::Us => (m2 * SQ_FT, "sq ft"),
    };
    b.words
        .figure(&format!("{} {unit}", format_number(x, 2)))
        .replace(' ', "\u{a0}")
}
