//! The plant drawn in section, to scale; each part opens its form.

use fenlamp_drawing::plant::{Kind, View, drawing, notes};
use fenlamp_words::{Language, Words};
use maud::{Markup, html};

use super::{Look, layout::drawn};
use crate::web::run::Told;

/// The part of the plan's forms that a drawn part belongs to.
fn form_of(kind: Kind) -> &'static str {
    match kind {
        Kind::Vessel | Kind::Headspace | Kind::Outlet => "vessel",
        Kind::Slurry => "feeding",
        Kind::Insulation(_) | Kind::Heap | Kind::Heater => "warmth",
        Kind::Wash(_) => "wash",
        Kind::Line | Kind::Trap | Kind::Relief | Kind::FlashBack => "line",
        Kind::Store => "store",
        Kind::Use(_) => "uses",
    }
}

/// The drawing with its figures; each part is a link to its form.
pub fn plant(look: &Look, told: &Told, width: f64) -> Markup {
    let plan = &told.opened.plan;
    let words = Words::of(Language::English);
    let made = drawing(
        plan,
        &notes(plan, &told.answer.findings),
        &View {
            id: "plant".to_owned(),
            width,
            words,
        },
    );
    let mut svg = made.svg;
    for part in &made.parts {
        svg = svg.replace(
            &format!("href=\"#part-{}\"", part.id),
            &format!("href=\"/plans/{}/parts/{}\"", look.id, form_of(part.kind)),
        );
    }
    let svg = named_by_what_is_seen(&svg);
    html! {
        section aria-labelledby="h-plant" {
            h2 id="h-plant" { "The plant" }
            figure class="plant" {
                (drawn(svg))
                figcaption { "In section. Each part opens its form; a triangle marks a caution." }
            }
            details {
                summary { "The parts in words" }
                dl { @for p in &made.parts {
                    dt { a href={"/plans/" (look.id) "/parts/" (form_of(p.kind))} { (p.number) ". " (p.label) } }
                    dd { (p.figures.join("; ")) }
                } }
            }
        }
    }
}

/// A link with words in it is called by them; a label of its own beside them would
/// tell those who listen something else than those who look.
fn named_by_what_is_seen(svg: &str) -> String {
    let mut out = String::with_capacity(svg.len());
    let mut rest = svg;
    while let Some(start) = rest.find("<a class=\"part\"") {
        let end = rest[start..].find("</a>").map_or(rest.len(), |e| start + e);
        let link = &rest[start..end];
        out.push_str(&rest[..start]);
        match (link.contains("<text"), link.split_once(" aria-label=\"")) {
            (true, Some((before, after))) => {
                out.push_str(before);
                out.push_str(after.split_once('"').map_or("", |(_, behind)| behind));
            }
            _ => out.push_str(link),
        }
        rest = &rest[end..];
    }
    out + rest
}
