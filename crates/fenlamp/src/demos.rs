//! The demo plans, inside the program. Their places and figures are invented.

/// A demo.
#[derive(Debug, Clone, Copy)]
pub struct Demo {
    /// Name to call it by.
    pub name: &'static str,
    /// One line on it.
    pub line: &'static str,
    /// The plan's text.
    pub text: &'static str,
    /// Its diary as CSV, where it has one, and days on which it tells something.
    pub diary: Option<(&'static str, &'static [(&'static str, &'static str)])>,
}

/// Days of the drum's summer: when to look, and what for.
const DRUM_DAYS: &[(&str, &str)] = &[
    ("2026-08-05", "all is well"),
    ("2026-08-13", "it has cooled"),
    ("2026-08-19", "it turns sour"),
    ("2026-09-20", "it is saved"),
];

/// All demos; the first is shown when nothing is asked for.
pub const DEMOS: [Demo; 4] = [
    Demo {
        name: "hollin-croft",
        line: "six goats in cold hill country, a tote inside a heap of wood chips",
        text: include_str!("../../../examples/hollin-croft.toml"),
        diary: None,
    },
    Demo {
        name: "mango-yard-school",
        line: "a school kitchen and three cows in a warm place, a long bag",
        text: include_str!("../../../examples/mango-yard-school.toml"),
        diary: None,
    },
    Demo {
        name: "high-larch-farm",
        line: "two pigs and a kitchen on a hill farm, one drum, US units",
        text: include_str!("../../../examples/high-larch-farm.toml"),
        diary: Some((
            include_str!("../../../examples/high-larch-farm.diary.csv"),
            DRUM_DAYS,
        )),
    },
    Demo {
        name: "laboratory-batch",
        line: "dried grass and seed at 35 °C for sixty days",
        text: include_str!("../../../examples/laboratory-batch.toml"),
        diary: None,
    },
];

/// A demo by name.
pub fn demo(name: &str) -> Option<&'static Demo> {
    DEMOS.iter().find(|d| d.name == name)
}

/// The names, for messages.
pub fn names() -> String {
    DEMOS.map(|d| d.name).join(", ")
}
