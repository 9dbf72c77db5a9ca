//! Scale drawings: from the side, from above, and every joint.

use fenlamp_drawing::build;
use fenlamp_drawing::plant::{self, View};
use maud::{Markup, html};

use super::Book;

/// Width of a drawing across the page, CSS pixels.
const ACROSS: f64 = 660.0;

pub fn chapter(b: &Book) -> Markup {
    let notes = plant::notes(b.plan, &b.answer.findings);
    let view = View {
        id: "side".to_owned(),
        width: ACROSS,
        words: b.words,
    };
    let side = plant::drawing(b.plan, &notes, &view);
    let measured = plant::measured(
        b.plan,
        &View {
            id: "measured".to_owned(),
            ..view
        },
    );
    html! {
        (b.chapter("drawings", html! {
            p { (b.t("b.drawings.intro")) }
            figure.whole #fig-side { (b.svg(&linked(b, &side.parts, side.svg.clone()))) }
            figure.whole #fig-measured { (b.svg(&linked(b, &side.parts, measured))) }
            figure.whole #fig-top { (b.svg(&build::top("top", b.plan, ACROSS, b.words))) }
        }))
        (b.chapter("joints", html! {
            p { (b.t("b.joints.intro")) }
            div.details { @for joint in &b.joints { (joint_figure(b, joint)) } }
        }))
    }
}

/// The side view with its links to the joints; parts without a joint lead to
/// the drawing itself.
fn linked(b: &Book, parts: &[plant::Part], mut svg: String) -> String {
    for part in parts {
        let id = match part.kind {
            plant::Kind::Insulation(_) | plant::Kind::Heap => "warmth",
            _ => part.id.as_str(),
        };
        let joint = b.joints.iter().find(|j| j.id == id);
        let to = joint.map_or_else(|| "fig-side".to_owned(), |j| format!("joint-{}", j.letter));
        let (old, new) = (format!("\"#part-{}\"", part.id), format!("\"#{to}\""));
        svg = svg.replace(&old, &new);
    }
    svg
}

fn joint_figure(b: &Book, joint: &build::Joint) -> Markup {
    let d = build::detail("j", b.plan, joint, &b.lines, &b.heads, b.words);
    let here: Vec<_> = b
        .lines
        .iter()
        .filter(|l| l.places.iter().any(|p| p.0 == joint.letter))
        .collect();
    html! {
        figure data-joint=(joint.letter) id={ "joint-" (joint.letter) } {
            figcaption { (joint.letter) " " (b.t(&format!("joint.{}", joint.key))) }
            (b.svg(&d.svg))
            ul.key {
                @for l in here {
                    li data-number=(l.number) { (l.number) " " (l.item.name(b.words)) }
                }
            }
        }
    }
}
