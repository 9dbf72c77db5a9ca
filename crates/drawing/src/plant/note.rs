//! Cautions at parts: a triangle and a word, never a colour alone.

use fenlamp_model::plan::Plan;
use fenlamp_report::hazard::{Finding, Severity};
use fenlamp_words::Words;

use super::part::Kind;
use crate::svg::{Anchor, INK, Point, Sheet, Style};

/// A caution at a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PartNote {
    /// The part.
    pub part: Kind,
    /// How grave.
    pub severity: Severity,
}

/// Where the findings of a forecast belong in the drawing. Findings about the
/// feed or the digestate belong to the slurry; the gravest of a part counts.
pub fn notes(plan: &Plan, findings: &[Finding]) -> Vec<PartNote> {
    let mut out: Vec<PartNote> = Vec::new();
    let there = super::part::parts(plan);
    for f in findings.iter().filter(|f| !f.always) {
        for part in parts_of(f.id, plan) {
            if !there.contains(&part) {
                continue;
            }
            match out.iter_mut().find(|n| n.part == part) {
                Some(n) => n.severity = n.severity.min(f.severity),
                None => out.push(PartNote {
                    part,
                    severity: f.severity,
                }),
            }
        }
    }
    out.sort_by_key(|n| n.part);
    out
}

/// The parts that a finding is about.
fn parts_of(id: &str, plan: &Plan) -> Vec<Kind> {
    use fenlamp_model::plan::WashKind;
    let washes = |is: fn(&WashKind) -> bool| -> Vec<Kind> {
        let washes = plan.gas_side.washes.iter().enumerate();
        washes
            .filter(|(_, w)| is(&w.kind))
            .map(|(i, _)| Kind::Wash(i))
            .collect()
    };
    let uses = || (0..plan.gas_side.uses.len()).map(Kind::Use).collect();
    match id {
        "headspace-flammable" | "headspace-air" | "purge-volume" | "air-dose" => {
            vec![Kind::Headspace]
        }
        "no-relief" | "sealed-rigid-space" => vec![Kind::Outlet, Kind::Relief],
        "no-flash-back-stop" => {
            let mut all: Vec<Kind> = uses();
            all.push(Kind::FlashBack);
            all
        }
        "vessel-indoors" | "pit-or-large-vessel" => vec![Kind::Vessel],
        "store-indoors" => vec![Kind::Store],
        "line-indoors" | "line-without-trap" => vec![Kind::Line],
        "trap-or-line-frozen" => vec![Kind::Line, Kind::Trap, Kind::Relief],
        "burning-indoors"
        | "sulfur-dioxide-indoors"
        | "h2s-for-the-appliance"
        | "gas-holds-no-flame" => uses(),
        "heap-in-shed" | "heap-overheats" | "heap-in-wet-weather" => vec![Kind::Heap],
        "lye-jar" | "jar-deeper-than-relief" => washes(|k| matches!(k, WashKind::LyeJar { .. })),
        "ash-bed" => washes(|k| matches!(k, WashKind::AshBed { .. })),
        "iron-packing" => washes(|k| matches!(k, WashKind::IronPacking { .. })),
        "wash-spent" => washes(|_| true),
        "h2s" => vec![Kind::Headspace],
        "human-or-pet-waste"
        | "slurry-frozen"
        | "souring"
        | "sulfate-additive"
        | "slurry-hot"
        | "caustic-additive"
        | "meat-or-mixed-kitchen-waste"
        | "pig-manure"
        | "poultry-manure"
        | "digestate-on-food"
        | "slurry-cold"
        | "temperature-change"
        | "loading"
        | "retention-time"
        | "feed-slug"
        | "feed-refused"
        | "feed-solids"
        | "wood-in-the-digester"
        | "seed"
        | "ammonia-total"
        | "ammonia-free"
        | "carbon-to-nitrogen" => vec![Kind::Slurry],
        _ => Vec::new(),
    }
}

/// The gravest note of a part.
pub(super) fn of(notes: &[PartNote], part: Kind) -> Option<Severity> {
    notes
        .iter()
        .filter(|n| n.part == part)
        .map(|n| n.severity)
        .min()
}

/// The word of a severity.
pub(super) fn word(severity: Severity, words: &Words) -> String {
    words.say(match severity {
        Severity::Stop => "plant.stop",
        Severity::Care => "plant.care",
        Severity::Note => "plant.note",
    })
}

/// A triangle with its mark, standing on `at` (middle of its foot). A note has
/// no triangle.
pub(super) fn triangle(s: &mut Sheet, at: Point, severity: Severity) {
    let (x, y) = at;
    let solid = severity == Severity::Stop;
    let style = Style {
        fill: if solid { INK } else { "#ffffff" },
        ..Style::line(
            if solid {
                "caution stop"
            } else {
                "caution care"
            },
            INK,
            1.2,
        )
    };
    s.polygon(&[(x - 7.5, y), (x, y - 13.5), (x + 7.5, y)], style);
    let ink = if solid { "#ffffff" } else { INK };
    s.text((x, y - 2.0), Anchor::Middle, "caution sign", ink, "!");
}

/// Numbers in the drawing, placed so that none lies on another.
#[derive(Debug)]
pub(super) struct Marks<'a> {
    notes: &'a [PartNote],
    taken: Vec<Point>,
    silent: bool,
}

impl<'a> Marks<'a> {
    pub fn new(notes: &'a [PartNote]) -> Self {
        Marks {
            notes,
            taken: Vec::new(),
            silent: false,
        }
    }

    /// Sets no numbers at all.
    pub fn silent() -> Self {
        Marks {
            notes: &[],
            taken: Vec::new(),
            silent: true,
        }
    }

    /// Keeps numbers off a place.
    pub fn block(&mut self, at: Point) {
        self.taken.push(at);
    }

    /// Sets a number near a point of its part, inside `limits` (left, top,
    /// right, bottom), with a thin line to the point if it had to move.
    pub fn set(&mut self, s: &mut Sheet, at: Point, number: usize, part: Kind, limits: [f64; 4]) {
        if self.silent {
            return;
        }
        let place = self.place(at, limits);
        if (place.0 - at.0).hypot(place.1 - at.1) > 6.0 {
            s.line(at, place, Style::line("leader", INK, 0.7));
            s.circle(at, 1.6, Style::area("leader", INK));
        }
        self.taken.push(place);
        let ring = Style::line("number", INK, 1.0).filled("#ffffff");
        s.circle(place, 9.0, ring);
        let text = (place.0, place.1 + 4.0);
        s.text(text, Anchor::Middle, "number", INK, &number.to_string());
        if let Some(severity) = of(self.notes, part).filter(|v| *v != Severity::Note) {
            // The triangle stands on the ring; the word is in the key.
            let foot = (place.0 + 13.0, place.1 - 3.0);
            triangle(s, foot, severity);
            self.taken.push((foot.0, foot.1 - 6.0));
        }
    }

    fn place(&self, at: Point, [left, top, right, bottom]: [f64; 4]) -> Point {
        let free = |p: &Point| {
            let inside = p.0 >= left + 11.0
                && p.0 <= right - 18.0
                && p.1 >= top + 18.0
                && p.1 <= bottom - 10.0;
            inside
                && self
                    .taken
                    .iter()
                    .all(|t| (t.0 - p.0).hypot(t.1 - p.1) >= 24.0)
        };
        let mut steps = vec![(0.0, 0.0)];
        for far in [24.0, 34.0, 46.0, 60.0, 80.0] {
            for turn in 0..12 {
                let angle = f64::from(turn) * std::f64::consts::PI / 6.0 - 0.6;
                steps.push((far * angle.cos(), far * angle.sin()));
            }
        }
        steps
            .into_iter()
            .map(|(x, y)| (at.0 + x, at.1 + y))
            .find(free)
            .unwrap_or((
                at.0.clamp(left + 11.0, right - 18.0),
                at.1.clamp(top + 18.0, bottom - 10.0),
            ))
    }
}
