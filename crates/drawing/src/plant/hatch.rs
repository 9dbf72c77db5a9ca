//! Fills that tell materials apart without colour.

use crate::svg::{FLAME, GREY, INK, Sheet};

/// Names of the fills of one picture.
#[derive(Debug, Clone)]
pub(crate) struct Hatches {
    prefix: String,
}

impl Hatches {
    /// With ids that begin with `prefix`.
    pub fn new(prefix: &str) -> Self {
        let clean = |c: char| c.is_ascii_alphanumeric() || c == '-';
        Hatches {
            prefix: prefix.chars().filter(|c| clean(*c)).collect(),
        }
    }

    /// What to write as `fill`.
    pub fn fill(&self, name: &str) -> String {
        format!("url(#{}-{name})", self.prefix)
    }

    /// The fill of an insulation or heap material by its id.
    pub fn of_material(&self, id: &str) -> String {
        self.fill(
            if id.contains("straw") || id.contains("light") || id.contains("hay") {
                "straw"
            } else if id.contains("chips") || id.contains("dense") || id.contains("wood") {
                "chips"
            } else {
                "board"
            },
        )
    }

    /// Writes them.
    pub fn define(&self, s: &mut Sheet) {
        let p = &self.prefix;
        let one = |name: &str, size: (u32, u32), inside: String| {
            format!(
                r#"<pattern id="{p}-{name}" width="{}" height="{}" patternUnits="userSpaceOnUse">{inside}</pattern>"#,
                size.0, size.1
            )
        };
        let strokes = |d: &str, ink: &str, width: f64| {
            format!(
                r#"<path d="{d}" class="hatch" fill="none" stroke="{ink}" stroke-width="{width}"/>"#
            )
        };
        let mut all = String::new();
        // Soil: short slanting strokes and grains.
        all += &one(
            "soil",
            (18, 12),
            strokes("M2 10L6 4M8 10L12 4M14 3L15 3M16 8L17 8", GREY, 0.9),
        );
        // Straw: long loose stalks.
        all += &one(
            "straw",
            (17, 11),
            strokes("M0 3L8 1M5 8L14 6M11 2L17 4M0 10L4 8", GREY, 0.8),
        );
        // Chips: small tumbled pieces.
        all += &one(
            "chips",
            (20, 16),
            strokes(
                "M2 3L7 1L8 4L3 6ZM12 5L17 7L16 10L11 8ZM4 11L9 10L9 13L4 14ZM15 13L19 12L19 15L15 15Z",
                GREY,
                0.8,
            ),
        );
        // Board: crossed.
        all += &one("board", (7, 7), strokes("M0 0L7 7M7 0L0 7", GREY, 0.7));
        // Iron: curls.
        all += &one(
            "iron",
            (8, 8),
            strokes("M1 2Q3 0 4 2T7 3M0 6Q2 4 4 6T8 6", INK, 0.8),
        );
        // Slurry: broken level lines on grey.
        all += &format!(
            r##"<pattern id="{p}-slurry" width="16" height="9" patternUnits="userSpaceOnUse"><rect width="16" height="9" class="slurry" fill="#c9c5bc"/><path d="M1 3L7 3M9 7L15 7" class="hatch" fill="none" stroke="{GREY}" stroke-width="0.8"/></pattern>"##
        );
        // Water: level lines alone.
        all += &one("water", (12, 6), strokes("M0 2L6 2M7 5L12 5", GREY, 0.8));
        // Gas: pale flame with dots, so that it tells in grey.
        all += &format!(
            r#"<pattern id="{p}-gas" width="9" height="9" patternUnits="userSpaceOnUse"><rect width="9" height="9" class="gas" fill="{FLAME}" fill-opacity="0.14"/><circle cx="2" cy="2" r="0.8" class="gas" fill="{FLAME}"/><circle cx="6.5" cy="6.5" r="0.8" class="gas" fill="{FLAME}"/></pattern>"#
        );
        s.defs(&all);
    }
}
