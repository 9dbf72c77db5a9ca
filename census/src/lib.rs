//! Counts the source of the project, so that "before" and "after" come from one command.
//!
//! `cargo run -p fenlamp-census` prints a Markdown report; `--why` and `--prose` say
//! where. What is counted, and how near it is to the truth, each module says for itself.

pub mod graph;
pub mod members;
pub mod modules;
pub mod names;
pub mod prose;
pub mod report;
pub mod source;

use std::error::Error;
use std::path::Path;

use graph::Cycle;
use members::Member;
use prose::Sentence;

/// What can be answered, or why not.
pub type Outcome<T> = Result<T, Box<dyn Error>>;

/// Members whose text is for those who work on the project, not for its users.
pub const NO_PROSE: [&str; 3] = [
    "fenlamp-validation",
    "fenlamp-calibration",
    "fenlamp-census",
];

/// One member of the workspace, counted.
pub struct Counted {
    /// The member and its files.
    pub member: Member,
    /// The cycles among its modules.
    pub cycles: Vec<Cycle>,
    /// The sentences in its code; none for the members of [`NO_PROSE`].
    pub prose: Vec<Sentence>,
}

/// Counts the workspace whose `Cargo.toml` is in the folder `root`.
pub fn count(root: &Path) -> Outcome<Vec<Counted>> {
    members::read(root)?.into_iter().map(counted).collect()
}

fn counted(mut member: Member) -> Outcome<Counted> {
    let mut cycles = Vec::new();
    let mut reached = Vec::new();
    for start in ["src/lib.rs", "src/main.rs"].map(|name| member.dir.join(name)) {
        if member.files.iter().any(|f| f.path == start) {
            let modules = modules::read(&start, &member.files)?;
            reached.extend(modules.iter().map(|m| m.file.clone()));
            cycles.extend(graph::cycles(&graph::edges(&modules)));
        }
    }
    // What only `#[cfg(test)] mod ...;` leads to is a test, whatever its name.
    let src = member.dir.join("src");
    for file in member.files.iter_mut().filter(|f| f.path.starts_with(&src)) {
        file.test |= !reached.contains(&file.path);
    }
    let told = |f: &&source::Source| !f.test && f.path.starts_with(&src);
    let prose = if NO_PROSE.contains(&member.name.as_str()) {
        Vec::new()
    } else {
        member
            .files
            .iter()
            .filter(told)
            .flat_map(prose::of)
            .collect()
    };
    Ok(Counted {
        member,
        cycles,
        prose,
    })
}
