//! The names a module brings in and speaks of.
//!
//! Read as written: no types are inferred, so a method or field of another module's
//! type is no name of that module. In macros a name counts when it has a `::`.
//! Attributes and doc comments are passed over.

use std::collections::BTreeMap;

use proc_macro2::{TokenStream, TokenTree};
use syn::visit::{self, Visit};
use syn::{Attribute, Item, ItemMod, ItemUse, Macro, Path, UseTree};

use crate::source::is_punct;

/// A path as it is written.
pub struct Said {
    /// Its parts.
    pub path: Vec<String>,
    /// The line it begins on.
    pub line: usize,
    /// Whether a `use` says it, which may then name a module.
    pub by_use: bool,
}

/// What one module says.
#[derive(Default)]
pub struct Names {
    /// All it speaks of, `use` included.
    pub said: Vec<Said>,
    /// What `use` binds in the whole module, by the name bound.
    pub bound: BTreeMap<String, Vec<String>>,
    /// What it brings in with `*`.
    pub globs: Vec<Vec<String>>,
}

/// The names of a module's own items, without those of the modules in it.
pub fn of(items: &[Item]) -> Names {
    let mut names = Names::default();
    for item in items {
        names.visit_item(item);
        if let Item::Use(used) = item {
            for (path, name, _) in used_paths(used) {
                match name.as_str() {
                    "*" => names.globs.push(path),
                    _ => drop(names.bound.insert(name, path)),
                }
            }
        }
    }
    names
}

impl<'a> Visit<'a> for Names {
    fn visit_item_mod(&mut self, _: &'a ItemMod) {}
    fn visit_attribute(&mut self, _: &'a Attribute) {}

    fn visit_item_use(&mut self, used: &'a ItemUse) {
        for (path, _, line) in used_paths(used) {
            self.said.push(Said {
                path,
                line,
                by_use: true,
            });
        }
    }

    fn visit_path(&mut self, path: &'a Path) {
        if let (None, Some(first)) = (path.leading_colon, path.segments.first()) {
            let line = first.ident.span().start().line;
            let path = path.segments.iter().map(|s| s.ident.to_string()).collect();
            self.said.push(Said {
                path,
                line,
                by_use: false,
            });
        }
        visit::visit_path(self, path);
    }

    fn visit_macro(&mut self, called: &'a Macro) {
        self.visit_path(&called.path);
        self.tokens(called.tokens.clone());
    }
}

impl Names {
    /// Paths in the tokens of a macro, which may be no Rust.
    fn tokens(&mut self, tokens: TokenStream) {
        let tokens: Vec<TokenTree> = tokens.into_iter().collect();
        let mut at = 0;
        while at < tokens.len() {
            match &tokens[at] {
                TokenTree::Group(group) => self.tokens(group.stream()),
                TokenTree::Ident(first) => {
                    let mut path = vec![first.to_string()];
                    while let Some([a, b, TokenTree::Ident(next)]) = tokens.get(at + 1..at + 4)
                        && is_punct(a, ':')
                        && is_punct(b, ':')
                    {
                        path.push(next.to_string());
                        at += 3;
                    }
                    if path.len() > 1 {
                        let line = first.span().start().line;
                        self.said.push(Said {
                            path,
                            line,
                            by_use: false,
                        });
                    }
                }
                _ => {}
            }
            at += 1;
        }
    }
}

/// What a `use` brings in: the path, the name bound (`*` for all), the line.
fn used_paths(used: &ItemUse) -> Vec<(Vec<String>, String, usize)> {
    let mut out = Vec::new();
    if used.leading_colon.is_none() {
        branch(&used.tree, Vec::new(), &mut out);
    }
    out
}

fn branch(tree: &UseTree, mut path: Vec<String>, out: &mut Vec<(Vec<String>, String, usize)>) {
    let (name, bound) = match tree {
        UseTree::Path(part) => {
            path.push(part.ident.to_string());
            return branch(&part.tree, path, out);
        }
        UseTree::Group(group) => {
            return group
                .items
                .iter()
                .for_each(|tree| branch(tree, path.clone(), out));
        }
        UseTree::Glob(glob) => {
            return out.push((path, "*".into(), glob.star_token.spans[0].start().line));
        }
        UseTree::Name(name) => (&name.ident, &name.ident),
        UseTree::Rename(name) => (&name.ident, &name.rename),
    };
    let line = name.span().start().line;
    if name != "self" || path.is_empty() {
        path.push(name.to_string());
    }
    let bound = if bound == "self" {
        path.last().cloned().unwrap_or_default()
    } else {
        bound.to_string()
    };
    out.push((path, bound, line));
}
