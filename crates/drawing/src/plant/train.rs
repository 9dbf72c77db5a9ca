//! The gas line part by part, a cell each, in the order the gas passes.

use fenlamp_model::plan::Plan;
use fenlamp_words::Words;

use super::hatch::Hatches;
use super::key::Entry;
use super::note::{Marks, PartNote};
use super::part::Kind;
use super::say::Say;
use super::sizes::{self, Jar};
use super::train_parts::{self, Cell};
use super::{Part, uses};
use crate::svg::{Anchor, GREY, INK, Sheet, wrap};

/// Height of a cell's picture.
const PICTURE: f64 = 132.0;
/// Pipe below the top of the picture.
const PIPE: f64 = 34.0;
/// A cell is not narrower than this.
const NARROWEST: f64 = 112.0;

/// Where the cells stand.
#[derive(Debug)]
pub(super) struct Layout {
    cells: Vec<(Kind, Entry)>,
    columns: usize,
    width: f64,
    cell: f64,
    top: f64,
    note: Vec<String>,
    row_tops: Vec<f64>,
    pub bottom: f64,
}

impl Layout {
    pub fn of(
        plan: &Plan,
        parts: &[Part],
        notes: &[PartNote],
        words: &Words,
        width: f64,
        top: f64,
    ) -> Option<Self> {
        if plan.gas_side.is_empty() {
            return None;
        }
        let shown: Vec<&Part> = parts.iter().filter(|p| !p.kind.in_scene()).collect();
        if shown.is_empty() {
            return None;
        }
        let most = ((width / NARROWEST).floor() as usize).max(1);
        let rows = shown.len().div_ceil(most);
        let columns = shown.len().div_ceil(rows);
        let cell = (width - 8.0) / columns as f64;
        let cells: Vec<(Kind, Entry)> = shown
            .iter()
            .map(|p| (p.kind, Entry::of(p, notes, words, cell - 8.0)))
            .collect();
        let note = wrap(&words.say("plant.usual"), 11.0, width - 12.0);
        let mut y = top + 40.0 + 13.0 * note.len() as f64;
        let mut row_tops = Vec::new();
        for row in cells.chunks(columns) {
            row_tops.push(y);
            let text = row.iter().map(|c| c.1.height()).fold(0.0, f64::max);
            y += PICTURE + 8.0 + text + 10.0;
        }
        Some(Layout {
            cells,
            columns,
            width,
            cell,
            top,
            note,
            row_tops,
            bottom: y,
        })
    }

    pub fn draw(
        &self,
        s: &mut Sheet,
        plan: &Plan,
        h: &Hatches,
        parts: &mut [Part],
        marks: &mut Marks,
        words: &Words,
    ) {
        let scale = scale(plan, self.cell);
        s.text(
            (6.0, self.top + 14.0),
            Anchor::Start,
            "heading",
            INK,
            &words.say("plant.larger"),
        );
        if let Some(scale) = scale {
            let say = Say::new(plan, words);
            super::scene::scale_bar(s, (6.0, self.top + 28.0), scale, self.width * 0.3, &say);
        }
        for (i, line) in self.note.iter().enumerate() {
            let y = self.top + 43.0 + 13.0 * i as f64;
            s.text((6.0, y), Anchor::Start, "small", GREY, line);
        }
        let store = plan
            .gas_side
            .store
            .is_some()
            .then(|| words.say("plant.to_store"));
        // The store branches off before the stop, or before the first use.
        let branch = self
            .cells
            .iter()
            .position(|(k, _)| *k >= Kind::FlashBack)
            .unwrap_or(self.cells.len());
        let last = self.cells.len() - 1;
        for (i, (kind, entry)) in self.cells.iter().enumerate() {
            let (row, column) = (i / self.columns, i % self.columns);
            let left = 4.0 + self.cell * column as f64;
            let top = self.row_tops[row];
            let cell = Cell {
                left,
                right: left + self.cell,
                pipe: top + PIPE,
                bench: top + PICTURE - 6.0,
                scale: scale.unwrap_or(200.0),
                last: i == last,
            };
            let id = parts
                .iter()
                .find(|p| p.kind == *kind)
                .map_or(String::new(), |p| p.id.clone());
            let label = parts
                .iter()
                .find(|p| p.kind == *kind)
                .map_or(String::new(), |p| p.label.clone());
            if i == 0 {
                let text = (left + 2.0, cell.pipe - 9.0);
                s.text(
                    text,
                    Anchor::Start,
                    "small",
                    GREY,
                    &words.say("plant.from_vessel"),
                );
            }
            s.open_part(&id, &label);
            draw_cell(s, plan, *kind, &cell, h);
            if i == branch
                && let Some(to) = &store
            {
                train_parts::branch(s, &cell, to);
            }
            s.close_part();
            if column == 0 && i > 0 {
                train_parts::goes_on(s, left + 7.0, cell.pipe);
            }
            if column + 1 == self.columns && i != last {
                train_parts::goes_on(s, cell.right, cell.pipe);
            }
            if let Some(part) = parts.iter_mut().find(|p| p.kind == *kind) {
                part.at = [left, top, self.cell, PICTURE];
                let limits = [
                    left,
                    top - 10.0,
                    left + self.cell + 8.0,
                    top + PICTURE + 4.0,
                ];
                let at = (left + 12.0, cell.bench - 6.0);
                marks.set(s, at, part.number, *kind, limits);
            }
            s.open_part(&id, &label);
            entry.draw(s, left + 2.0, top + PICTURE + 8.0);
            s.close_part();
        }
    }
}

/// Pixels a metre, so that the largest jar fits; `None` when nothing has a size.
fn scale(plan: &Plan, cell: f64) -> Option<f64> {
    let side = &plan.gas_side;
    let jars: Vec<Jar> = side
        .washes
        .iter()
        .map(sizes::wash)
        .chain(side.trap.iter().map(sizes::trap))
        .chain(side.relief.iter().map(sizes::relief))
        .chain(side.flash_back.iter().filter_map(sizes::seal))
        .collect();
    let high = jars.iter().map(|j| j.height_m).fold(0.0, f64::max);
    let wide = jars.iter().map(|j| j.diameter_m).fold(0.0, f64::max);
    (high > 0.0).then(|| (74.0 / high).min(0.5 * cell / wide))
}

fn draw_cell(s: &mut Sheet, plan: &Plan, kind: Kind, cell: &Cell, h: &Hatches) {
    use fenlamp_model::plan::WashKind;
    let side = &plan.gas_side;
    match kind {
        Kind::Wash(i) => {
            let Some(w) = side.washes.get(i) else { return };
            let jar = sizes::wash(w);
            match w.kind {
                WashKind::LyeJar { .. } => train_parts::bubbler(s, cell, &jar, h),
                WashKind::AshBed { .. } | WashKind::IronPacking { .. } => {
                    train_parts::packing(s, cell, &jar, h);
                }
            }
        }
        Kind::Trap => {
            if let Some(t) = &side.trap {
                train_parts::trap(s, cell, &sizes::trap(t), h);
            }
        }
        Kind::Relief => {
            if let Some(r) = &side.relief {
                train_parts::relief(s, cell, &sizes::relief(r), h);
            }
        }
        Kind::FlashBack => match side.flash_back.as_ref().map(sizes::seal) {
            Some(Some(jar)) => train_parts::bubbler(s, cell, &jar, h),
            _ => train_parts::mesh(s, cell),
        },
        Kind::Use(i) => {
            if let Some(u) = side.uses.get(i) {
                uses::draw(s, cell, u);
            }
        }
        _ => {}
    }
}
