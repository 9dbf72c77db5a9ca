//! The `fenlamp` program: reads a plan, runs the core, prints.
//!
//! `main` prints and exits; [`cli::run`] returns the text or the failure.

mod answer;
mod booklet;
mod cli;
mod demos;
mod failure;
mod learning;
mod listen;
mod page;
mod plan_edit;
mod plan_file;
mod plan_paths;
mod progress;
mod recipe_edits;
mod size_edits;
mod view_model;
mod web;

use std::io::Write;
use std::process::ExitCode;

use failure::Failure;

fn main() -> ExitCode {
    let outcome = std::panic::catch_unwind(|| cli::run(std::env::args_os()));
    let (text, code) = match outcome {
        Ok(Ok(text)) => (text, 0),
        Ok(Err(failure)) => {
            let code = failure.code();
            return complain(&failure, code);
        }
        // The panic has printed its own words already.
        Err(_) => return ExitCode::from(1),
    };
    let mut out = std::io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        // A reader that has seen enough (`fenlamp | head`) is no failure.
        Err(e) if e.kind() != std::io::ErrorKind::BrokenPipe => ExitCode::from(1),
        _ => ExitCode::from(code),
    }
}

fn complain(failure: &Failure, code: u8) -> ExitCode {
    let mut err = std::io::stderr().lock();
    // Nowhere is left to tell of a failed complaint.
    let _ = err.write_all(failure.text().as_bytes());
    ExitCode::from(code)
}
