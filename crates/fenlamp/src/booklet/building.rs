//! Where it stands, the order of work, and the leak test.

use fenlamp_model::gas::relief::sealed_pa_per_k;
use fenlamp_quantity::Pressure;
use maud::{Markup, html};
use uom::si::pressure::pascal;

use super::Book;
use super::cautions::Step;

/// Share of the relief's pressure at which the line is tested: it must not blow
/// (judgement).
const TEST_SHARE: f64 = 0.8;
/// Pressure of the test where no relief stands, Pa (judgement).
const NO_RELIEF_PA: f64 = 800.0;
/// The test: minutes, and the share of the pressure that may be lost (common
/// practice, no source).
const MINUTES: u32 = 30;
const MAY_DROP: f64 = 0.1;

pub fn chapter(b: &Book) -> Markup {
    b.chapter("work", html! {
        (b.step(Step::Site, html! { (b.ticks("b.site")) }))
        (b.step(Step::Build, html! {
            ol {
                @for j in &b.joints {
                    @let text = b.t(&format!("b.make.{}", j.key));
                    li { strong { (j.letter) } " " (b.t(&format!("joint.{}", j.key))) ". " (text) }
                }
            }
        }))
        @if b.stands(Step::Store) { (b.step(Step::Store, html! { (b.ticks("b.store")) })) }
        @if b.stands(Step::Burner) { (b.step(Step::Burner, burners(b))) }
        (leak(b))
    })
}

fn burners(b: &Book) -> Markup {
    let rows: Vec<_> = b.heads.iter().enumerate().collect();
    html! {
        @for (i, head) in rows {
            @let name = fenlamp_drawing::plant::label(b.plan, fenlamp_drawing::plant::Kind::Use(i), b.words);
            @match head {
                Some(h) => {
                    p {
                        strong { (name) } ": "
                        (b.tf("b.burner.head", &[
                            ("jet", &b.words.figure(&fenlamp_quantity::format_number(h.jet_mm, 3))),
                            ("number", &h.jet_number.map_or_else(|| "–".to_owned(), |(n, _)| n.to_string())),
                            ("throat", &b.words.figure(&fenlamp_drawing::build::inches(h.throat_mm))),
                            ("holes", &h.holes.to_string()),
                            ("port", &b.words.figure(&h.port_words())),
                            ("kw", &b.words.figure(&fenlamp_quantity::format_number(h.heat_kw, 2))),
                        ])) " "
                        (b.tm("b.burner.pressure", "p", &b.f.one(&format!("/gas_train/uses/{i}/burner/half_full_pa"), super::quantity::As::Pascal)))
                    }
                }
                None => { p { strong { (name) } ": " (b.t("b.burner.bought")) } }
            }
        }
    }
}

fn leak(b: &Book) -> Markup {
    let relief = b.plan.gas_side.relief.as_ref();
    let pa = relief.map_or(NO_RELIEF_PA, |r| TEST_SHARE * r.depth.get::<pascal>());
    let say = |pa: f64| b.say.figure(Pressure::new::<pascal>(pa));
    let per_degree = sealed_pa_per_k(15.0).unwrap_or(0.0);
    b.step(Step::LeakTest, html! {
        ol {
            li { (b.t("b.leak.water")) }
            li { (b.tf("b.leak.pressure", &[("p", &say(pa))])) }
            li { (b.tf("b.leak.wait", &[("n", &MINUTES.to_string()), ("d", &say(MAY_DROP * pa))])) }
            li { (b.tf("b.leak.degree", &[("p", &say(per_degree))])) }
            li { (b.t("b.leak.soap")) }
            @if relief.is_some() { li { (b.tf("b.leak.relief", &[("p", &say(pa / TEST_SHARE))])) } }
        }
        p {
            (b.t("b.leak.noted")) " " span.write {} " " (b.t("b.leak.after")) " " span.write {}
        }
    })
}
