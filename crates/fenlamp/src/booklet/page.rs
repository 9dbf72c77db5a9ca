//! The file around the chapters: styles for paper, running heads, page numbers.

use maud::{DOCTYPE, Markup, PreEscaped, html};

/// Sizes of paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Paper {
    /// 210 x 297 mm.
    #[default]
    A4,
    /// 8.5 x 11 in.
    Letter,
}

impl Paper {
    fn name(self) -> &'static str {
        match self {
            Paper::A4 => "A4",
            Paper::Letter => "letter",
        }
    }
}

/// Text inside a CSS string.
fn css_text(text: &str) -> String {
    text.chars()
        .filter(|c| !c.is_control())
        .flat_map(|c| match c {
            '"' | '\\' | '<' | '>' | '&' => {
                format!("\\{:06x}", c as u32).chars().collect::<Vec<_>>()
            }
            c => vec![c],
        })
        .collect()
}

/// The whole file.
pub fn page(
    title: &str,
    head: &str,
    pages: &str,
    tag: &str,
    paper: Paper,
    body: &Markup,
) -> String {
    let (before, between) = pages.split_once("{n}").unwrap_or((pages, ""));
    let (between, after) = between.split_once("{of}").unwrap_or((between, ""));
    let rule = format!(
        "@page{{size:{};margin:17mm 15mm 16mm 18mm;@top-left{{content:\"{}\"}}@top-right{{content:\"{}\"}}\
         @bottom-right{{content:\"{}\" counter(page) \"{}\" counter(pages) \"{}\"}}}}",
        paper.name(),
        css_text(title),
        css_text(head),
        css_text(before),
        css_text(between),
        css_text(after)
    );
    html! {
        (DOCTYPE)
        html lang=(tag) {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width,initial-scale=1";
                meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; img-src data:";
                title { (title) }
                style { (PreEscaped(rule)) (PreEscaped(include_str!("booklet.css"))) }
            }
            body { (body) }
        }
    }
    .into_string()
}
