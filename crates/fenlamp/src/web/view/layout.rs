//! What every page has around it.

use maud::{DOCTYPE, Markup, PreEscaped, html};

/// Where a page stands among the others.
#[derive(Debug, Clone, Copy, Default)]
pub struct Where<'a> {
    /// The plan it is about.
    pub plan: Option<(&'a str, &'a str)>,
    /// Which of the plan's pages.
    pub page: &'a str,
}

/// Pages of a plan: name in addresses, words.
const PAGES: &[(&str, &str)] = &[
    ("", "The year"),
    ("parts", "The parts"),
    ("advice", "What to do"),
    ("diary", "Diary"),
    ("cautions", "Cautions"),
    ("print", "Booklet"),
    ("text", "Text and versions"),
];

fn head(title: &str) -> Markup {
    html! {
        head {
            meta charset="utf-8";
            meta name="viewport" content="width=device-width, initial-scale=1";
            meta name="color-scheme" content="light dark";
            title { (title) " · Fenlamp" }
            link rel="stylesheet" href="/a/page.css";
            link rel="icon" href="/a/mark.svg" type="image/svg+xml";
            script src="/a/page.js" defer {}
        }
    }
}

/// A page. `title` names it; the first heading is the body's own.
pub fn page(title: &str, at: Where, body: Markup) -> Markup {
    html! {
        (DOCTYPE)
        html lang="en" {
            (head(title))
            body {
                a class="skip" href="#main" { "To the content" }
                header class="top" {
                    p class="name" {
                        a href="/plans" { "Fenlamp" }
                        @if let Some((id, name)) = at.plan {
                            span class="of" { " · " a href={"/plans/" (id)} { (name) } }
                        }
                    }
                    nav aria-label="Pages" {
                        ul {
                            @if let Some((id, _)) = at.plan {
                                @for (page, words) in PAGES {
                                    li {
                                        a href={"/plans/" (id) @if !page.is_empty() { "/" (page) }}
                                            aria-current=[(at.page == *page).then_some("page")] { (words) }
                                    }
                                }
                            }
                            li { a href="/feedstocks" aria-current=[(at.page == "feedstocks").then_some("page")] { "Waste book" } }
                            li { a href="/plans" aria-current=[(at.page == "plans").then_some("page")] { "All plans" } }
                        }
                    }
                }
                main id="main" tabindex="-1" { (body) }
                footer {
                    p {
                        "Fenlamp " (env!("CARGO_PKG_VERSION")) ". A forecast is no permission and no design: local \
                         codes and licensed practice come first. "
                        a href="/sources" { "Where the figures come from" } "."
                    }
                }
            }
        }
    }
}

/// A page with nothing but a few words, for refusals.
pub fn plain(title: &str, words: &str) -> Markup {
    html! {
        (DOCTYPE)
        html lang="en" {
            (head(title))
            body {
                header class="top" { p class="name" { a href="/plans" { "Fenlamp" } } }
                main id="main" {
                    h1 { (title) }
                    p { (words) }
                    p { a href="/" { "To the plan" } }
                }
            }
        }
    }
}

/// The form that pairs a browser.
pub fn pair(said: Option<&str>, code: &str) -> Markup {
    html! {
        (DOCTYPE)
        html lang="en" {
            (head("Pair this device"))
            body {
                header class="top" { p class="name" { "Fenlamp" } }
                main id="main" {
                    h1 { "Pair this device" }
                    p { "Type the eight digits that stand in the window where Fenlamp was started. On that \
                         machine itself the printed address opens the page without them." }
                    @if let Some(said) = said { p class="fault" role="alert" { (said) } }
                    form method="post" action="/pair" {
                        label for="code" { "Code" }
                        input id="code" name="code" value=(code) inputmode="numeric" autocomplete="one-time-code" required maxlength="20";
                        button type="submit" { "Pair" }
                    }
                }
            }
        }
    }
}

/// SVG that our own writer made and escaped.
pub fn drawn(svg: String) -> Markup {
    PreEscaped(svg)
}
