//! A plan on the desk: the text as it is kept, the changes tried on top of it,
//! and what is done when someone else changes the file meanwhile.
//!
//! The trial is never stored as a text but as the list of changes: so it can be
//! put on top of a file that an editor or another tab has changed, and every
//! change can be undone. The list is written beside the plan after each step.

#[cfg(test)]
mod tests;

use std::path::{Path, PathBuf};
use std::time::SystemTime;

use serde::{Deserialize, Serialize};

use super::shelf::{Entry, Shelf, write_whole};
use crate::demos;
use crate::plan_edit::{self, Edit};

/// One change that was tried.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Change {
    /// What it is, in words.
    pub words: String,
    /// What it does to the text.
    pub how: How,
}

/// What a change does.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum How {
    /// Edits, and what stood at their places when they were made.
    Edits {
        /// The edits, one after the other.
        edits: Vec<Edit>,
        /// Places and what stood there before the first of them.
        was: Vec<(String, Option<String>)>,
    },
    /// A whole new text, in place of one with this SHA-256.
    Text {
        /// The text.
        text: String,
        /// SHA-256 of the text it was written over.
        over: String,
    },
}

/// A place where two have written.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Clash {
    /// Path in the plan; empty for the text as a whole.
    pub path: String,
    /// What the writer saw.
    pub saw: Option<String>,
    /// What stands there now.
    pub now: Option<String>,
    /// What the writer wants.
    pub wants: Option<String>,
    /// Which of the changes it belongs to.
    pub change: Option<usize>,
}

/// What cannot be done on the desk.
#[derive(Debug, PartialEq, Eq, thiserror::Error)]
pub enum DeskError {
    /// Someone else has written at the same places.
    #[error("someone else has changed the same part of the plan")]
    Clash(Vec<Clash>),
    /// The change does not fit the text.
    #[error("{0}")]
    Edit(String),
    /// The disk.
    #[error("{0}")]
    Disk(String),
}

/// Changes remembered; beyond it the two oldest are folded into one.
const MOST_CHANGES: usize = 500;

/// A plan on the desk.
#[derive(Debug)]
pub struct Desk {
    /// Name in addresses.
    pub name: String,
    /// Its file; `None` for a demo that was never kept.
    pub file: Option<PathBuf>,
    kept: String,
    stamp: Option<(SystemTime, u64)>,
    changes: Vec<Change>,
    undone: Vec<Change>,
    clashes: Vec<Clash>,
    trial: String,
    rev: u64,
}

/// What the side file holds.
#[derive(Default, Serialize, Deserialize)]
struct Remembered {
    changes: Vec<Change>,
    undone: Vec<Change>,
}

impl Desk {
    /// Lays a plan on the desk, with the changes left there before.
    ///
    /// # Errors
    /// A file that cannot be read.
    pub fn open(shelf: &Shelf, entry: &Entry) -> Result<Self, DeskError> {
        let (kept, stamp) = match &entry.file {
            Some(file) => (read(file)?, stamp(file)),
            None => {
                let demo = demos::demo(&entry.name)
                    .ok_or_else(|| DeskError::Disk(format!("there is no plan {}", entry.name)))?;
                (demo.text.to_owned(), None)
            }
        };
        let side = shelf.side(&entry.name).join("changes.json");
        let remembered: Remembered = std::fs::read_to_string(side)
            .ok()
            .and_then(|t| serde_json::from_str(&t).ok())
            .unwrap_or_default();
        let mut desk = Desk {
            name: entry.name.clone(),
            file: entry.file.clone(),
            trial: kept.clone(),
            kept,
            stamp,
            changes: remembered.changes,
            undone: remembered.undone,
            clashes: Vec::new(),
            rev: 1,
        };
        desk.lay();
        Ok(desk)
    }

    /// The text as it is kept.
    pub fn kept(&self) -> &str {
        &self.kept
    }

    /// The text with the changes on top.
    pub fn trial(&self) -> &str {
        &self.trial
    }

    /// The changes tried.
    pub fn changes(&self) -> &[Change] {
        &self.changes
    }

    /// Changes that can be done again.
    pub fn undone(&self) -> &[Change] {
        &self.undone
    }

    /// Places where a change meets one by someone else.
    pub fn clashes(&self) -> &[Clash] {
        &self.clashes
    }

    /// Grows by one with every step.
    pub fn rev(&self) -> u64 {
        self.rev
    }

    /// Looks whether the file has been changed by someone else, and if so lays the
    /// changes on top of what it says now.
    ///
    /// # Errors
    /// A file that is there but cannot be read: what the desk has stays.
    pub fn refresh(&mut self) -> Result<bool, DeskError> {
        let Some(file) = &self.file else {
            return Ok(false);
        };
        let now = stamp(file);
        if now == self.stamp {
            return Ok(false);
        }
        let text = read(file)?;
        self.stamp = now;
        if text == self.kept {
            return Ok(false);
        }
        self.kept = text;
        self.rev += 1;
        self.lay();
        Ok(true)
    }

    /// Lays the changes on the kept text; those that meet a foreign one are left out
    /// and told as clashes.
    fn lay(&mut self) {
        let mut text = self.kept.clone();
        self.clashes.clear();
        for (i, change) in self.changes.iter().enumerate() {
            match laid(&text, change) {
                Ok(next) => text = next,
                Err(mut clashes) => {
                    clashes.iter_mut().for_each(|c| c.change = Some(i));
                    self.clashes.append(&mut clashes);
                }
            }
        }
        self.trial = text;
    }

    /// Tries a change. `saw` is what the writer saw at the places it touches; with
    /// `follows` it goes on with the last change of the same place (a slider).
    ///
    /// # Errors
    /// [`DeskError::Clash`] when something else stands there by now, and
    /// [`DeskError::Edit`] when it does not fit the text: nothing is changed then.
    pub fn change(
        &mut self,
        shelf: &Shelf,
        words: String,
        edits: Vec<Edit>,
        saw: &[(String, Option<String>)],
        follows: bool,
    ) -> Result<(), DeskError> {
        let clashes: Vec<Clash> = saw
            .iter()
            .filter_map(|(path, saw)| {
                let now = place(&self.trial, path);
                let wants = wanted(&edits, path);
                (now != *saw && now != wants).then(|| Clash {
                    path: path.clone(),
                    saw: saw.clone(),
                    now,
                    wants,
                    change: None,
                })
            })
            .collect();
        if !clashes.is_empty() {
            return Err(DeskError::Clash(clashes));
        }
        let next =
            plan_edit::apply(&self.trial, &edits).map_err(|e| DeskError::Edit(e.to_string()))?;
        if next == self.trial {
            return Ok(());
        }
        // A list that grows is not watched: two may add to it.
        let was: Vec<(String, Option<String>)> = edits
            .iter()
            .filter(|e| !matches!(e, Edit::Append { .. }))
            .map(|e| (path_of(e).to_owned(), place(&self.trial, path_of(e))))
            .collect();
        let change = Change {
            words,
            how: How::Edits { edits, was },
        };
        match self.changes.last_mut() {
            Some(last) if follows && same_place(last, &change) => go_on(last, change),
            _ => self.push(change),
        }
        self.trial = next;
        self.undone.clear();
        self.rev += 1;
        self.remember(shelf)
    }

    fn push(&mut self, change: Change) {
        self.changes.push(change);
        if self.changes.len() > MOST_CHANGES {
            // The two oldest become one whole text: nothing is lost but a step of undoing.
            let mut text = self.kept.clone();
            for old in &self.changes[..2] {
                text = laid(&text, old).unwrap_or(text);
            }
            let over = super::shelf::sha256(&self.kept);
            self.changes.splice(
                ..2,
                [Change {
                    words: "earlier changes".to_owned(),
                    how: How::Text { text, over },
                }],
            );
        }
    }

    /// Puts a whole text in place of the trial, which the writer saw as `saw`.
    ///
    /// # Errors
    /// As [`Desk::change`].
    pub fn rewrite(
        &mut self,
        shelf: &Shelf,
        words: String,
        text: String,
        saw_sha256: &str,
    ) -> Result<(), DeskError> {
        if super::shelf::sha256(&self.trial) != saw_sha256 {
            return Err(DeskError::Clash(vec![Clash {
                path: String::new(),
                saw: None,
                now: Some(self.trial.clone()),
                wants: Some(text),
                change: None,
            }]));
        }
        if text == self.trial {
            return Ok(());
        }
        self.push(Change {
            words,
            how: How::Text {
                text: text.clone(),
                over: saw_sha256.to_owned(),
            },
        });
        self.trial = text;
        self.undone.clear();
        self.rev += 1;
        self.remember(shelf)
    }

    /// Takes the last change back. False when there is none.
    ///
    /// # Errors
    /// The disk's.
    pub fn undo(&mut self, shelf: &Shelf) -> Result<bool, DeskError> {
        let Some(change) = self.changes.pop() else {
            return Ok(false);
        };
        self.undone.push(change);
        self.again(shelf)
    }

    /// Does the last change taken back once more. False when there is none.
    ///
    /// # Errors
    /// The disk's.
    pub fn redo(&mut self, shelf: &Shelf) -> Result<bool, DeskError> {
        let Some(change) = self.undone.pop() else {
            return Ok(false);
        };
        self.changes.push(change);
        self.again(shelf)
    }

    /// Takes all changes back; each can be done again.
    ///
    /// # Errors
    /// The disk's.
    pub fn drop_all(&mut self, shelf: &Shelf) -> Result<bool, DeskError> {
        if self.changes.is_empty() {
            return Ok(false);
        }
        while let Some(change) = self.changes.pop() {
            self.undone.push(change);
        }
        self.again(shelf)
    }

    /// Ends a clash: `mine` writes the change over what stands there now, or else
    /// the change is dropped.
    ///
    /// # Errors
    /// The disk's.
    pub fn settle(&mut self, shelf: &Shelf, change: usize, mine: bool) -> Result<bool, DeskError> {
        if change >= self.changes.len() {
            return Ok(false);
        }
        if mine {
            let mut text = self.kept.clone();
            for before in &self.changes[..change] {
                text = laid(&text, before).unwrap_or(text);
            }
            match &mut self.changes[change].how {
                How::Edits { was, .. } => {
                    for (path, saw) in was {
                        *saw = place(&text, path);
                    }
                }
                How::Text { over, .. } => *over = super::shelf::sha256(&text),
            }
        } else {
            let dropped = self.changes.remove(change);
            self.undone.push(dropped);
        }
        self.again(shelf)
    }

    fn again(&mut self, shelf: &Shelf) -> Result<bool, DeskError> {
        self.lay();
        self.rev += 1;
        self.remember(shelf)?;
        Ok(true)
    }

    /// Writes the trial into the plan's file, its old text kept as a version. A
    /// demo gets a file of its own then.
    ///
    /// # Errors
    /// [`DeskError::Clash`] when the file says something new, which is on the desk
    /// by then; the disk's.
    pub fn keep(&mut self, shelf: &Shelf) -> Result<PathBuf, DeskError> {
        if self.refresh()? && !self.changes.is_empty() {
            return Err(DeskError::Clash(self.clashes.clone()));
        }
        if !self.clashes.is_empty() {
            return Err(DeskError::Clash(self.clashes.clone()));
        }
        let file = match &self.file {
            Some(file) => file.clone(),
            None => shelf.folder().join(format!("{}.toml", self.name)),
        };
        let disk = |e: std::io::Error| {
            DeskError::Disk(format!("{} cannot be written: {e}", file.display()))
        };
        shelf.keep_version(&self.name, &self.kept).map_err(disk)?;
        write_whole(&file, &self.trial).map_err(disk)?;
        self.stamp = stamp(&file);
        self.file = Some(file.clone());
        self.kept = self.trial.clone();
        self.changes.clear();
        self.undone.clear();
        self.clashes.clear();
        self.rev += 1;
        self.remember(shelf)?;
        Ok(file)
    }

    fn remember(&self, shelf: &Shelf) -> Result<(), DeskError> {
        let file = shelf.side(&self.name).join("changes.json");
        let what = Remembered {
            changes: self.changes.clone(),
            undone: self.undone.clone(),
        };
        let text = serde_json::to_string(&what).map_err(|e| DeskError::Disk(e.to_string()))?;
        write_whole(&file, &text)
            .map_err(|e| DeskError::Disk(format!("{} cannot be written: {e}", file.display())))
    }
}

/// The text with one change, or where it clashes.
fn laid(text: &str, change: &Change) -> Result<String, Vec<Clash>> {
    match &change.how {
        How::Edits { edits, was } => {
            let clashes: Vec<Clash> = was
                .iter()
                .filter_map(|(path, saw)| {
                    let now = place(text, path);
                    let wants = wanted(edits, path);
                    (now != *saw && now != wants).then(|| Clash {
                        path: path.clone(),
                        saw: saw.clone(),
                        now,
                        wants,
                        change: None,
                    })
                })
                .collect();
            if !clashes.is_empty() {
                return Err(clashes);
            }
            plan_edit::apply(text, edits).map_err(|e| {
                vec![Clash {
                    path: edits.first().map_or("", path_of).to_owned(),
                    saw: None,
                    now: None,
                    wants: Some(e.to_string()),
                    change: None,
                }]
            })
        }
        How::Text { text: new, over } => {
            if super::shelf::sha256(text) == *over || text == new {
                Ok(new.clone())
            } else {
                Err(vec![Clash {
                    path: String::new(),
                    saw: None,
                    now: Some(text.to_owned()),
                    wants: Some(new.clone()),
                    change: None,
                }])
            }
        }
    }
}

/// The place an edit touches.
fn path_of(edit: &Edit) -> &str {
    match edit {
        Edit::Set { path, .. } | Edit::Remove { path } | Edit::RemoveItem { path } => path,
        Edit::Append { array, .. } => array,
    }
}

/// What will stand at a place after the edits, where one of them sets it.
fn wanted(edits: &[Edit], path: &str) -> Option<String> {
    edits.iter().rev().find_map(|e| match e {
        Edit::Set { path: at, value } if at == path => Some(value.clone()),
        _ => None,
    })
}

/// What stands at a place.
fn place(text: &str, path: &str) -> Option<String> {
    plan_edit::value_at(text, path).ok().flatten()
}

fn same_place(a: &Change, b: &Change) -> bool {
    match (&a.how, &b.how) {
        (How::Edits { edits: a, .. }, How::Edits { edits: b, .. }) => {
            let paths = |edits: &[Edit]| -> Option<Vec<String>> {
                edits
                    .iter()
                    .map(|e| matches!(e, Edit::Set { .. }).then(|| path_of(e).to_owned()))
                    .collect()
            };
            paths(a).is_some() && paths(a) == paths(b)
        }
        _ => false,
    }
}

/// The newer edits in place of the older, with what stood there at first.
fn go_on(last: &mut Change, newer: Change) {
    if let (How::Edits { edits, .. }, How::Edits { edits: new, .. }) = (&mut last.how, newer.how) {
        *edits = new;
        last.words = newer.words;
    }
}

fn read(file: &Path) -> Result<String, DeskError> {
    std::fs::read_to_string(file)
        .map_err(|e| DeskError::Disk(format!("{} cannot be read: {e}", file.display())))
}

/// When a file was last written, and its length.
fn stamp(file: &Path) -> Option<(SystemTime, u64)> {
    let about = std::fs::metadata(file).ok()?;
    Some((about.modified().ok()?, about.len()))
}
