//! The booklet on paper, printed by Chromium and read back by poppler's tools.

use std::path::Path;
use std::process::Command;

use super::WORLDS;
use crate::{DEMOS, printed};

fn tool(name: &str, args: &[&str]) -> String {
    let out = Command::new(name)
        .args(args)
        .output()
        .unwrap_or_else(|e| panic!("{name} ({e}): ./test installs it"));
    assert!(
        out.status.success(),
        "{name}: {}",
        String::from_utf8_lossy(&out.stderr)
    );
    String::from_utf8_lossy(&out.stdout).into_owned()
}

fn path(p: &Path) -> &str {
    p.to_str().expect("a path")
}

#[test]
fn every_demo_prints_whole() {
    let folder = tempfile::tempdir().expect("a folder");
    for (i, (demo, _)) in DEMOS.into_iter().enumerate() {
        // Both papers and both languages come up, without printing all sixteen.
        let (paper, size) = if i % 2 == 0 {
            ("a4", (595.0, 842.0))
        } else {
            ("letter", (612.0, 792.0))
        };
        let language = if i == 0 { "de" } else { "en" };
        let (html, pdf) = (
            folder.path().join(format!("{demo}.html")),
            folder.path().join(format!("{demo}.pdf")),
        );
        let said = printed(&[
            "booklet",
            &format!("demo:{demo}"),
            "-o",
            path(&html),
            "--pdf",
            path(&pdf),
            "--worlds",
            WORLDS,
            "--paper",
            paper,
            "--language",
            language,
        ]);
        assert!(said.contains("printed"), "{said}");
        let info = tool("pdfinfo", &[path(&pdf)]);
        let field = |name: &str| {
            let line = info
                .lines()
                .find(|l| l.starts_with(name))
                .unwrap_or_else(|| panic!("{info}"));
            line[name.len()..].trim().to_owned()
        };
        let pages: usize = field("Pages:").parse().expect("a number");
        assert!((14..=40).contains(&pages), "{demo}: {pages} pages");
        let got: Vec<f64> = field("Page size:")
            .split_whitespace()
            .filter_map(|w| w.parse().ok())
            .collect();
        assert!(
            (got[0] - size.0).abs() < 1.5 && (got[1] - size.1).abs() < 1.5,
            "{demo}: {got:?}"
        );
        let text = tool("pdftotext", &["-layout", path(&pdf), "-"]);
        let sheets: Vec<&str> = text.split('\u{c}').collect();
        assert_eq!(
            sheets.len() - 1,
            pages,
            "{demo}: a form feed ends each page"
        );
        for (n, sheet) in sheets[..pages].iter().enumerate() {
            // More than the running head and the page's number.
            let words = sheet.split_whitespace().count();
            assert!(words > 15, "{demo}: page {} has {words} words", n + 1);
            let number = if language == "de" {
                format!("Seite {} von {pages}", n + 1)
            } else {
                format!("Page {} of {pages}", n + 1)
            };
            assert!(sheet.contains(&number), "{demo}: no {number:?} on it");
        }
        nothing_runs_over(demo, &pdf, size);
        let source = std::fs::read_to_string(&html).expect("the page");
        // Every drawing is in the print: the words of its title row and its numbers.
        for letter in super::attribute(&source, "data-joint") {
            assert!(
                text.contains(&format!("{letter} ")),
                "{demo}: joint {letter}"
            );
        }
        assert_eq!(
            source.matches("<svg").count(),
            source.matches("</svg>").count()
        );
        let drawings = if language == "de" {
            [
                "Die Anlage, maßstäblich",
                "Die Anlage von oben",
                "Teile und Werkzeug",
            ]
        } else {
            [
                "The plant, to scale",
                "The plant from above",
                "Parts and tools",
            ]
        };
        for words in drawings {
            assert!(
                text.contains(words),
                "{demo}: {words:?} is not in the print"
            );
        }
    }
}

/// No word stands outside the paper or in its margins but the running ones.
fn nothing_runs_over(demo: &str, pdf: &Path, size: (f64, f64)) {
    let boxes = tool("pdftotext", &["-bbox", path(pdf), "-"]);
    for line in boxes
        .lines()
        .filter(|l| l.trim_start().starts_with("<word "))
    {
        let get =
            |name: &str| -> f64 { super::attribute(line, name)[0].parse().expect("a number") };
        let (left, right, top, bottom) = (get("xMin"), get("xMax"), get("yMin"), get("yMax"));
        assert!(left >= 40.0 && right <= size.0 - 36.0, "{demo}: {line}");
        assert!(top >= 12.0 && bottom <= size.1 - 12.0, "{demo}: {line}");
    }
}

#[test]
fn without_a_browser_the_booklet_is_there_and_the_way_to_print_is_told() {
    let folder = tempfile::tempdir().expect("a folder");
    let (html, pdf) = (folder.path().join("b.html"), folder.path().join("b.pdf"));
    let args = [
        "booklet",
        "demo:laboratory-batch",
        "-o",
        path(&html),
        "--pdf",
        path(&pdf),
        "--worlds",
        "2",
    ];
    // No program is found where there is none.
    let out = crate::command(&args)
        .env("PATH", folder.path())
        .output()
        .expect("the program starts");
    let err = String::from_utf8_lossy(&out.stderr);
    assert_eq!(out.status.code(), Some(2), "{err}");
    assert!(
        err.contains("no Chromium") && err.contains("print it there"),
        "{err}"
    );
    assert!(html.is_file() && !pdf.exists());
}
