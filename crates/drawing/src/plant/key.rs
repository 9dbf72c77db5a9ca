//! The key under the section: number, name, figures, caution.

use fenlamp_report::hazard::Severity;
use fenlamp_words::Words;

use super::note::{self, PartNote};
use super::{Kind, Part};
use crate::svg::{Anchor, GREY, INK, Sheet, wrap};

/// Size of its text.
pub(super) const SIZE: f64 = 12.0;
/// Height of a line.
pub(super) const LINE: f64 = 15.0;

/// An entry broken into lines.
#[derive(Debug, Clone)]
pub(super) struct Entry {
    number: usize,
    name: Vec<String>,
    figures: Vec<String>,
    caution: Option<(Severity, String)>,
}

impl Entry {
    /// For a column of that width, the number included.
    pub fn of(part: &Part, notes: &[PartNote], words: &Words, width: f64) -> Self {
        let room = width - 24.0;
        let caution = note::of(notes, part.kind)
            .filter(|v| *v != Severity::Note)
            .map(|v| (v, note::word(v, words)));
        Entry {
            number: part.number,
            // Names are set bold, which is wider.
            name: wrap(&part.label, SIZE * 1.1, room),
            figures: part
                .figures
                .iter()
                .flat_map(|f| wrap(f, SIZE, room))
                .collect(),
            caution,
        }
    }

    pub fn height(&self) -> f64 {
        let lines = self.name.len() + self.figures.len() + usize::from(self.caution.is_some());
        LINE * lines as f64 + 6.0
    }

    /// Draws it from its top left corner.
    pub fn draw(&self, s: &mut Sheet, x: f64, top: f64) {
        let mut y = top + 11.0;
        s.text(
            (x, y),
            Anchor::Start,
            "key number",
            INK,
            &self.number.to_string(),
        );
        let x = x + 20.0;
        for line in &self.name {
            s.text((x, y), Anchor::Start, "key name", INK, line);
            y += LINE;
        }
        for line in &self.figures {
            s.text((x, y), Anchor::Start, "key", GREY, line);
            y += LINE;
        }
        if let Some((severity, word)) = &self.caution {
            note::triangle(s, (x + 8.0, y + 1.0), *severity);
            s.text((x + 20.0, y), Anchor::Start, "key name", INK, word);
        }
    }
}

/// The key.
#[derive(Debug)]
pub(super) struct Key {
    columns: Vec<Vec<(Kind, String, Entry)>>,
    column_width: f64,
    pub height: f64,
}

impl Key {
    pub fn of(parts: &[Part], notes: &[PartNote], words: &Words, width: f64) -> Self {
        let n = ((width / 175.0).floor() as usize).clamp(1, 4);
        let column_width = (width - 12.0) / n as f64;
        let entries: Vec<(Kind, String, Entry)> = parts
            .iter()
            .map(|p| {
                (
                    p.kind,
                    p.id.clone(),
                    Entry::of(p, notes, words, column_width - 10.0),
                )
            })
            .collect();
        let whole: f64 = entries.iter().map(|e| e.2.height()).sum();
        // Down the columns; the first height that fits them all.
        let mut most = whole / n as f64;
        let columns = loop {
            let columns = fill(&entries, most);
            if columns.len() <= n {
                break columns;
            }
            most += 6.0;
        };
        let height = columns
            .iter()
            .map(|c| c.iter().map(|e| e.2.height()).sum::<f64>())
            .fold(0.0, f64::max);
        Key {
            columns,
            column_width,
            height,
        }
    }

    pub fn draw(&self, s: &mut Sheet, top: f64) {
        for (i, column) in self.columns.iter().enumerate() {
            let x = 6.0 + self.column_width * i as f64;
            let mut y = top;
            for (_, id, entry) in column {
                s.open_part(id, &entry.name.join(" "));
                entry.draw(s, x, y);
                s.close_part();
                y += entry.height();
            }
        }
    }
}

fn fill(entries: &[(Kind, String, Entry)], most: f64) -> Vec<Vec<(Kind, String, Entry)>> {
    let mut columns = vec![Vec::new()];
    let mut used = 0.0;
    for entry in entries {
        let height = entry.2.height();
        if used > 0.0 && used + height > most + 0.1 {
            columns.push(Vec::new());
            used = 0.0;
        }
        used += height;
        if let Some(last) = columns.last_mut() {
            last.push(entry.clone());
        }
    }
    columns
}
