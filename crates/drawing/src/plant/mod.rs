//! The plant in section, to scale, and its gas line part by part.

mod figures;
mod hatch;
mod key;
mod measured;
mod note;
mod part;
mod pen;
mod say;
mod scene;
mod section;
mod section_ink;
pub mod sizes;
mod store;
mod train;
mod train_parts;
mod uses;

#[cfg(test)]
mod tests;

use fenlamp_model::plan::Plan;
use fenlamp_words::Words;

use crate::svg::Sheet;

pub use figures::figures;
pub(crate) use figures::{alkali_key, iron_key, material};
pub(crate) use hatch::Hatches;
pub use measured::measured;
pub use note::{PartNote, notes};
pub(crate) use part::appliance_key;
pub use part::{Kind, label, parts};
pub use say::Say;
pub(crate) use say::fraction;
pub(crate) use scene::scale_bar;
pub(crate) use section::Form;

/// How the plant is to be shown.
#[derive(Debug, Clone)]
pub struct View<'a> {
    /// Begins the ids inside the picture: two pictures of one page need two.
    pub id: String,
    /// Width in CSS pixels, at least 320; below 560 the layout is the narrow one.
    pub width: f64,
    /// The words.
    pub words: &'a Words,
}

/// A part as it is drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// Id: its link is `#part-ID`, its mark has `data-part="ID"`.
    pub id: String,
    /// What it is.
    pub kind: Kind,
    /// Number in the drawing.
    pub number: usize,
    /// In words.
    pub label: String,
    /// Its figures, in the plan's units.
    pub figures: Vec<String>,
    /// Where it is drawn: left, top, width, height in the picture's unit.
    pub at: [f64; 4],
}

/// The picture and its parts, in the order of their numbers.
#[derive(Debug, Clone)]
pub struct PlantDrawing {
    /// The picture.
    pub svg: String,
    /// Its parts.
    pub parts: Vec<Part>,
}

/// Draws the plant of a plan; `notes` mark parts that need care.
pub fn drawing(plan: &Plan, notes: &[PartNote], view: &View) -> PlantDrawing {
    let width = if view.width.is_finite() {
        view.width.clamp(320.0, 4000.0)
    } else {
        320.0
    };
    let words = view.words;
    let mut parts: Vec<Part> = part::parts(plan)
        .into_iter()
        .enumerate()
        .map(|(i, kind)| Part {
            id: kind.id(),
            kind,
            number: i + 1,
            label: part::label(plan, kind, words),
            figures: figures::figures(plan, kind, words),
            at: [0.0; 4],
        })
        .collect();
    let layout = scene::Layout::of(plan, width, width < 560.0);
    let key_top = layout.bottom + 14.0;
    let in_scene: Vec<Part> = parts
        .iter()
        .filter(|p| p.kind.in_scene())
        .cloned()
        .collect();
    let key = key::Key::of(&in_scene, notes, words, width);
    let train_top = key_top + key.height + 10.0;
    let train = train::Layout::of(plan, &parts, notes, words, width, train_top);
    let height = train.as_ref().map_or(train_top, |t| t.bottom);
    let mut sheet = Sheet::new(
        (width, height),
        "plant",
        &words.fill("plant.title", &[("name", &plan.name)]),
        &words.say("plant.about"),
        &[(
            "data-layout",
            if width < 560.0 { "narrow" } else { "wide" }.to_owned(),
        )],
    );
    let hatches = hatch::Hatches::new(&view.id);
    hatches.define(&mut sheet);
    let mut marks = note::Marks::new(notes);
    scene::draw(
        &mut sheet, plan, &layout, &hatches, &mut parts, &mut marks, words,
    );
    key.draw(&mut sheet, key_top);
    if let Some(train) = train {
        train.draw(&mut sheet, plan, &hatches, &mut parts, &mut marks, words);
    }
    PlantDrawing {
        svg: sheet.finish(),
        parts,
    }
}
