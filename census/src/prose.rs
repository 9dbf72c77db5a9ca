//! Sentences for people that stand in code.
//!
//! A string literal counts when it has at least three words of letters besides its
//! placeholders. Attributes and doc comments, what a panic, an assertion or `expect`
//! says, and test code do not count. Judged by its letters alone: a line of SQL or a
//! list of CSS classes counts too, two words on a button do not.

use std::path::PathBuf;

use proc_macro2::{TokenStream, TokenTree};
use syn::Lit;

use crate::source::{Source, attribute, is_punct};

/// A sentence and where it stands.
pub struct Sentence {
    /// The file.
    pub file: PathBuf,
    /// The line it begins on.
    pub line: usize,
    /// The literal as it reads.
    pub text: String,
}

/// The sentences in a file's code.
pub fn of(file: &Source) -> Vec<Sentence> {
    let mut found = Vec::new();
    walk(&file.code, &mut |line, text| {
        found.push(Sentence {
            file: file.path.clone(),
            line,
            text,
        });
    });
    found
}

/// Macros that speak only when the program is wrong.
const ASSERTIONS: [&str; 10] = [
    "panic",
    "assert",
    "assert_eq",
    "assert_ne",
    "debug_assert",
    "debug_assert_eq",
    "debug_assert_ne",
    "unreachable",
    "todo",
    "unimplemented",
];

fn walk(tokens: &TokenStream, found: &mut impl FnMut(usize, String)) {
    let tokens: Vec<TokenTree> = tokens.clone().into_iter().collect();
    for (at, token) in tokens.iter().enumerate() {
        match token {
            TokenTree::Group(group) if !is_passed_over(&tokens[..=at]) => {
                walk(&group.stream(), found);
            }
            TokenTree::Literal(literal) => {
                if let Lit::Str(text) = Lit::new(literal.clone())
                    && is_prose(&text.value())
                {
                    found(literal.span().start().line, text.value());
                }
            }
            _ => {}
        }
    }
}

/// Whether the group that ends these tokens is an attribute's, an assertion's or an `expect`'s.
fn is_passed_over(tokens: &[TokenTree]) -> bool {
    match tokens {
        [.., hash, bang, _] if is_punct(hash, '#') && is_punct(bang, '!') => true,
        [.., hash, _] if is_punct(hash, '#') => attribute(tokens, tokens.len() - 2).is_some(),
        [.., TokenTree::Ident(name), bang, _] if is_punct(bang, '!') => {
            ASSERTIONS.iter().any(|a| name == a)
        }
        [.., dot, TokenTree::Ident(name), _] if is_punct(dot, '.') => {
            name == "expect" || name == "expect_err"
        }
        _ => false,
    }
}

/// Whether a text reads like a sentence.
pub fn is_prose(text: &str) -> bool {
    let is_word = |word: &&str| {
        let bare = word.trim_matches(|c: char| c.is_ascii_punctuation());
        !bare.is_empty() && bare.chars().all(|c| c.is_alphabetic() || "-'’".contains(c))
    };
    without_placeholders(text)
        .split_whitespace()
        .filter(is_word)
        .count()
        >= 3
}

/// A text with `0` for every `{...}`; `{{` is a brace.
fn without_placeholders(text: &str) -> String {
    let mut out = String::new();
    let mut parts = text.chars().peekable();
    while let Some(c) = parts.next() {
        if c == '{' && parts.next_if_eq(&'{').is_none() {
            out.push('0');
            parts.by_ref().find(|c| *c == '}');
        } else {
            out.push(c);
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn three_words_besides_placeholders_are_prose() {
        for text in [
            "The tank is cold.",
            "Feed {} kg, then {wait:.0} days more",
            "don't stir (yet)",
        ] {
            assert!(is_prose(text), "{text}");
        }
        for text in [
            "two words",
            "{the tank is} cold",
            "{a}litres {b}days a {c} day",
            "a {} b",
            "x1 y2 z3 w4",
            "one_two three/four five=six",
            "/plan/today/feed",
            "- - - -",
        ] {
            assert!(!is_prose(text), "{text}");
        }
    }

    #[test]
    fn literals_count_wherever_people_may_read_them() {
        let code = r##"
            //! Not a word of this.
            #![doc = "nor of this one"]
            #[error("an attribute says this")]
            fn a() -> String {
                assert!(x, "never happens to {} us", y);
                core::panic!("this is a bug");
                b().expect("it was read before");
                c(r#"one of these here"#);
                html! { p title="two of these here" { "and a third one" (d("and a fourth one")) } }
                assert_that(x, "a fifth one here");
                [#[cfg(unix)] "a sixth one here"];
                format!("a seventh {} one", "short")
            }
            #[cfg(test)]
            fn t() { c("a test says this") }
        "##;
        let file = Source::of("".as_ref(), "src/a.rs".into(), code).unwrap();
        let found = of(&file);
        assert_eq!(
            found.iter().map(|s| s.line).collect::<Vec<_>>(),
            [9, 10, 10, 10, 11, 12, 13]
        );
    }
}
