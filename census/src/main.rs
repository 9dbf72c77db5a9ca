//! `cargo run -p fenlamp-census`: prints the counts as Markdown.

use std::path::PathBuf;

use clap::Parser;
use fenlamp_census::{Outcome, count, report};

/// Counts the source of the project.
#[derive(Parser)]
struct Asked {
    /// The workspace's folder
    #[arg(default_value = concat!(env!("CARGO_MANIFEST_DIR"), "/.."))]
    root: PathBuf,
    /// One reference for each edge of a module cycle
    #[arg(long)]
    why: bool,
    /// Every sentence in code with its place
    #[arg(long)]
    prose: bool,
}

fn main() -> Outcome<()> {
    let asked = Asked::parse();
    print!(
        "{}",
        report::markdown(&count(&asked.root)?, asked.why, asked.prose)?
    );
    Ok(())
}
