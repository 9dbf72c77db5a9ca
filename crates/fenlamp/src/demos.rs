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
}

/// All demos; the first is shown when nothing is asked for.
pub const DEMOS: [Demo; 4] = [
    Demo {
        name: "hollin-croft",
        line: "six goats in cold hill country, a tote inside a heap of wood chips",
        text: include_str!("../../../examples/hollin-croft.toml"),
    },
    Demo {
        name: "mango-yard-school",
        line: "a school kitchen and three cows in a warm place, a long bag",
        text: include_str!("../../../examples/mango-yard-school.toml"),
    },
    Demo {
        name: "high-larch-farm",
        line: "two pigs and a kitchen on a hill farm, one drum, US units",
        text: include_str!("../../../examples/high-larch-farm.toml"),
    },
    Demo {
        name: "laboratory-batch",
        line: "dried grass and seed at 35 °C for sixty days",
        text: include_str!("../../../examples/laboratory-batch.toml"),
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
