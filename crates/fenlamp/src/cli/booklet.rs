//! `fenlamp booklet`: the plan as a booklet to print.

use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use fenlamp_model::forecast::ensemble::Worlds;
use fenlamp_words::Language;

use super::BookletArgs;
use crate::answer::answer;
use crate::booklet::{self, Paper, Wanted};
use crate::failure::Failure;
use crate::plan_file::open;
use crate::progress::while_watched;

/// Names under which a Chromium may be installed.
const BROWSERS: [&str; 4] = ["chromium", "chromium-browser", "google-chrome", "chrome"];

/// Writes the booklet, and prints it to PDF if wanted.
///
/// # Errors
/// The plan's faults, a file that cannot be written, or no browser for the PDF.
pub fn run(args: &BookletArgs) -> Result<String, Failure> {
    let mut opened = open(&args.plan)?;
    if let Some(worlds) = args.worlds {
        opened.plan.worlds = worlds;
    }
    let language = Language::of_tag(&args.language).unwrap_or(Language::English);
    let what = format!(
        "Running {} worlds of {} days",
        opened.plan.worlds, opened.plan.days
    );
    let answer = while_watched(&what, |control| answer(&opened, Worlds::OfPlan, control))?;
    let (paper, paper_name) = match args.paper.as_str() {
        "letter" => (Paper::Letter, "US letter"),
        _ => (Paper::A4, "A4"),
    };
    let wanted = Wanted { paper, language };
    let html = booklet::write(&opened.plan, &answer, wanted)
        .map_err(|e| Failure::Internal(format!("the booklet could not be written: {e}")))?;
    std::fs::write(&args.output, &html).map_err(|e| {
        Failure::input(
            format!("{}: {e}", args.output.display()),
            "write to a folder that is there",
        )
    })?;
    let mut said = format!(
        "{}: {} kB, for {} paper. It needs no network.\n",
        args.output.display(),
        html.len().div_ceil(1000),
        paper_name
    );
    match &args.pdf {
        None => {
            said.push_str(
                "To print: open it in a browser, choose Print, paper as above, no headers or footers of the\n\
                 browser's own, pictures and backgrounds on. Or: --pdf FILE\n",
            );
        }
        Some(pdf) => {
            print_pdf(&args.output, pdf)?;
            said.push_str(&format!("{}: printed\n", pdf.display()));
        }
    }
    Ok(said)
}

/// Prints a page with an installed Chromium.
fn print_pdf(html: &Path, pdf: &Path) -> Result<(), Failure> {
    let full = |path: &Path| -> Result<PathBuf, Failure> {
        std::path::absolute(path)
            .map_err(|e| Failure::input(format!("{}: {e}", path.display()), ""))
    };
    let (html, pdf) = (full(html)?, full(pdf)?);
    let profile = std::env::temp_dir().join(format!("fenlamp-print-{}", std::process::id()));
    let mut found = false;
    // An old file would pass for a new one.
    let _ = std::fs::remove_file(&pdf);
    for name in BROWSERS {
        let mut command = Command::new(name);
        command
            .args([
                "--headless",
                "--disable-gpu",
                "--no-first-run",
                "--disable-background-networking",
            ])
            .args([
                "--disable-component-update",
                "--disable-sync",
                "--disable-dev-shm-usage",
            ])
            .args(["--no-pdf-header-footer"])
            .arg(format!("--user-data-dir={}", profile.display()))
            .arg(format!("--print-to-pdf={}", pdf.display()))
            .arg(url(&html))
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(Stdio::null());
        if is_root() {
            // Chromium refuses to run as root with its sandbox; the page is our own.
            command.arg("--no-sandbox");
        }
        if let Ok(status) = command.status() {
            found = true;
            if status.success() && pdf.is_file() {
                break;
            }
        }
    }
    // A scratch folder left behind harms nobody.
    let _ = std::fs::remove_dir_all(&profile);
    if pdf.is_file() {
        return Ok(());
    }
    let message = if found {
        "the browser did not print the booklet"
    } else {
        "no Chromium is installed, so there is no PDF"
    };
    Err(Failure::input(
        message,
        format!(
            "the booklet itself is written: open {} in any browser and print it there",
            html.display()
        ),
    ))
}

/// Whether the program runs as root; where that cannot be told, no.
fn is_root() -> bool {
    std::fs::read_to_string("/proc/self/status").is_ok_and(|text| {
        text.lines()
            .find_map(|l| l.strip_prefix("Uid:"))
            .is_some_and(|ids| ids.split_whitespace().nth(1) == Some("0"))
    })
}

/// A path as a file address.
fn url(path: &Path) -> String {
    let mut out = String::from("file://");
    for byte in path.to_string_lossy().bytes() {
        match byte {
            b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'/' | b'-' | b'_' | b'.' | b'~' => {
                out.push(char::from(byte));
            }
            other => out.push_str(&format!("%{other:02X}")),
        }
    }
    out
}
