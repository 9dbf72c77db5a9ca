//! Pieces, the joints that take them, and their sum.

use fenlamp_words::Words;

/// What a piece is, with the size to ask for: the same piece in another size is
/// another item.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Item {
    /// Key of its name under `item` of the catalogue.
    pub key: &'static str,
    /// Key of what fills the blank of that name (a material); may be empty.
    pub what: &'static str,
    /// Size as said in a shop, in both systems where it has one; may be empty.
    pub size: String,
}

impl Item {
    /// Its name.
    pub fn name(&self, words: &Words) -> String {
        let what = match words.find(self.what) {
            Some(what) => what.to_owned(),
            None if self.what.is_empty() => String::new(),
            None => crate::plant::material(self.what, words),
        };
        words.fill(&format!("item.{}", self.key), &[("what", &what)])
    }
}

/// How much of an item.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Amount {
    /// Pieces.
    Count(u32),
    /// Metres.
    Length(f64),
    /// Square metres.
    Area(f64),
    /// Cubic metres.
    Volume(f64),
    /// Kilograms.
    Mass(f64),
}

impl Amount {
    /// The sum, if both are of a kind.
    pub fn plus(self, other: Amount) -> Option<Amount> {
        Some(match (self, other) {
            (Amount::Count(a), Amount::Count(b)) => Amount::Count(a + b),
            (Amount::Length(a), Amount::Length(b)) => Amount::Length(a + b),
            (Amount::Area(a), Amount::Area(b)) => Amount::Area(a + b),
            (Amount::Volume(a), Amount::Volume(b)) => Amount::Volume(a + b),
            (Amount::Mass(a), Amount::Mass(b)) => Amount::Mass(a + b),
            _ => return None,
        })
    }

    /// The figure alone.
    pub fn value(self) -> f64 {
        match self {
            Amount::Count(n) => f64::from(n),
            Amount::Length(x) | Amount::Area(x) | Amount::Volume(x) | Amount::Mass(x) => x,
        }
    }
}

/// A piece in a joint.
#[derive(Debug, Clone, PartialEq)]
pub struct Use {
    /// What.
    pub item: Item,
    /// How much of it.
    pub amount: Amount,
}

/// A joint: a place where pieces come together.
#[derive(Debug, Clone, PartialEq)]
pub struct Joint {
    /// Letter in drawings and lists: A, B, C...
    pub letter: String,
    /// Id in links, that of the plant's part where it is one.
    pub id: String,
    /// Key of its name under `joint` of the catalogue.
    pub key: &'static str,
    /// Its pieces.
    pub uses: Vec<Use>,
}

/// A line of the parts list.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// Number in drawings.
    pub number: usize,
    /// What.
    pub item: Item,
    /// All of it.
    pub amount: Amount,
    /// Letters of the joints that take it, with how much each takes.
    pub places: Vec<(String, Amount)>,
}

/// The parts list: every item of every joint, numbered as they first come.
pub fn list(joints: &[Joint]) -> Vec<Line> {
    let mut lines: Vec<Line> = Vec::new();
    for joint in joints {
        for used in &joint.uses {
            let place = (joint.letter.clone(), used.amount);
            let same = |l: &&mut Line| l.item == used.item && l.amount.plus(used.amount).is_some();
            if let Some(line) = lines.iter_mut().find(same) {
                if let Some(sum) = line.amount.plus(used.amount) {
                    line.amount = sum;
                }
                line.places.push(place);
            } else {
                lines.push(Line {
                    number: lines.len() + 1,
                    item: used.item.clone(),
                    amount: used.amount,
                    places: vec![place],
                });
            }
        }
    }
    lines
}

/// So many pieces.
pub(super) fn n(key: &'static str, size: impl Into<String>, count: u32) -> Use {
    some(key, size, Amount::Count(count))
}

/// So much of something.
pub(super) fn some(key: &'static str, size: impl Into<String>, amount: Amount) -> Use {
    Use {
        item: Item {
            key,
            what: "",
            size: size.into(),
        },
        amount,
    }
}

/// Of a material.
pub(super) fn made_of(mut used: Use, what: &'static str) -> Use {
    used.item.what = what;
    used
}
