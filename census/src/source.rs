//! One file of source, and what of it is test code.

use std::path::{Path, PathBuf};

use proc_macro2::{Delimiter, TokenStream, TokenTree};

use crate::Outcome;

/// One file of Rust.
pub struct Source {
    /// Its path from the workspace's folder.
    pub path: PathBuf,
    /// All its lines, empty ones and comments too.
    pub lines: usize,
    /// The lines of its items under `#[cfg(test)]`.
    pub cut: usize,
    /// Whether the whole file is test code.
    pub test: bool,
    /// What it says apart from items under `#[cfg(test)]`.
    pub code: TokenStream,
}

impl Source {
    /// The file `path` of the member in the folder `dir`, with what it holds.
    pub fn of(dir: &Path, path: PathBuf, text: &str) -> Outcome<Source> {
        let tokens: TokenStream = text
            .parse()
            .map_err(|e| format!("{} is no Rust: {e}", path.display()))?;
        let (code, cut) = without_tests(tokens);
        let test = is_test(path.strip_prefix(dir).unwrap_or(&path));
        Ok(Source {
            path,
            lines: text.lines().count(),
            cut,
            test,
            code,
        })
    }

    /// The lines that are tests.
    pub fn test_lines(&self) -> usize {
        if self.test { self.lines } else { self.cut }
    }
}

/// Whether a path, from the member's folder, is a test's by its name alone.
fn is_test(path: &Path) -> bool {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    name == "tests.rs"
        || name.ends_with("_tests.rs")
        || path
            .components()
            .any(|c| c.as_os_str() == "tests" || c.as_os_str() == "benches")
}

/// The tokens without items under `#[cfg(test)]`, and how many lines those had.
///
/// An item ends at its first `;` or braces, and with a `;` straight after these.
pub fn without_tests(tokens: TokenStream) -> (TokenStream, usize) {
    let tokens: Vec<TokenTree> = tokens.into_iter().collect();
    let (mut kept, mut cut, mut at) = (Vec::new(), 0, 0);
    while at < tokens.len() {
        let body = (at..)
            .step_by(2)
            .find(|&i| attribute(&tokens, i).is_none())
            .unwrap_or(at);
        let test = (at..body)
            .step_by(2)
            .any(|i| attribute(&tokens, i).is_some_and(asks_for_test));
        if test {
            let ends = |t: &TokenTree| is_punct(t, ';') || braces(t);
            let mut end = tokens[body..]
                .iter()
                .position(ends)
                .map_or(tokens.len() - 1, |n| body + n);
            if braces(&tokens[end]) && tokens.get(end + 1).is_some_and(|t| is_punct(t, ';')) {
                end += 1;
            }
            cut += tokens[end].span().end().line + 1 - tokens[at].span().start().line;
            at = end + 1;
            continue;
        }
        kept.extend_from_slice(&tokens[at..body]);
        if let Some(TokenTree::Group(group)) = tokens.get(body) {
            let (inner, lines) = without_tests(group.stream());
            let mut again = proc_macro2::Group::new(group.delimiter(), inner);
            again.set_span(group.span());
            kept.push(again.into());
            cut += lines;
        } else {
            kept.extend(tokens.get(body).cloned());
        }
        at = body + 1;
    }
    (kept.into_iter().collect(), cut)
}

/// The inside of the outer attribute that begins at a place, if one does.
pub fn attribute(tokens: &[TokenTree], at: usize) -> Option<TokenStream> {
    match tokens.get(at..at + 2)? {
        [hash, TokenTree::Group(inside)]
            if is_punct(hash, '#') && inside.delimiter() == Delimiter::Bracket =>
        {
            Some(inside.stream())
        }
        _ => None,
    }
}

/// Whether an attribute's inside is `cfg` of something that wants `test`.
fn asks_for_test(inside: TokenStream) -> bool {
    let text = inside.to_string();
    let words: Vec<&str> = text.split(|c: char| !c.is_alphanumeric()).collect();
    words[0] == "cfg" && words.contains(&"test") && !words.contains(&"not")
}

/// Whether a token is this sign.
pub fn is_punct(token: &TokenTree, sign: char) -> bool {
    matches!(token, TokenTree::Punct(p) if p.as_char() == sign)
}

fn braces(token: &TokenTree) -> bool {
    matches!(token, TokenTree::Group(g) if g.delimiter() == Delimiter::Brace)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn source(path: &str, text: &str) -> Source {
        Source::of(Path::new("crates/tests"), path.into(), text).unwrap()
    }

    #[test]
    fn items_under_cfg_test_are_cut_and_counted() {
        let text = "fn a() {}\n\n/// Says.\n#[cfg(test)]\nmod tests {\n    fn b() {}\n}\n\
                    #[cfg(test)]\nuse x::{y};\n#[cfg(not(test))]\nfn c() { #[cfg(test)] d(); e() }\n";
        let read = source("crates/tests/src/a.rs", text);
        assert_eq!(
            (read.lines, read.cut, read.test_lines()),
            (11, 5 + 2 + 1, 8)
        );
        let code = read.code.to_string();
        assert!(
            code.contains("fn a") && code.contains("fn c") && code.contains("e ()"),
            "{code}"
        );
        assert!(
            !code.contains("fn b") && !code.contains('x') && !code.contains("d ()"),
            "{code}"
        );
    }

    #[test]
    fn a_path_says_whether_a_file_is_a_test() {
        for (path, test) in [
            ("crates/tests/src/a.rs", false),
            ("crates/tests/src/attests.rs", false),
            ("crates/tests/src/a/tests.rs", true),
            ("crates/tests/src/a_tests.rs", true),
            ("crates/tests/src/tests/a.rs", true),
            ("crates/tests/benches/a.rs", true),
            ("crates/tests/examples/a.rs", false),
        ] {
            assert_eq!(source(path, "").test, test, "{path}");
        }
    }
}
