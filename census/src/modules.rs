//! The tree of a crate's modules, without test code.

use std::path::{Path, PathBuf};

use syn::{Expr, ExprLit, Item, ItemMod, Lit, Meta};

use crate::Outcome;
use crate::names::{self, Names};
use crate::source::Source;

/// One module, in a file of its own or not.
pub struct Module {
    /// Its path from the crate's root, whose own path is empty.
    pub path: Vec<String>,
    /// The file it is written in.
    pub file: PathBuf,
    /// The names it brings in and speaks of.
    pub names: Names,
}

/// All modules reached from a crate's first file, that one first.
pub fn read(start: &Path, files: &[Source]) -> Outcome<Vec<Module>> {
    let mut modules = Vec::new();
    file(start, Vec::new(), files, &mut modules)?;
    Ok(modules)
}

fn file(at: &Path, path: Vec<String>, files: &[Source], out: &mut Vec<Module>) -> Outcome<()> {
    let source = files
        .iter()
        .find(|f| f.path == at)
        .ok_or_else(|| format!("no file {}", at.display()))?;
    let items = syn::parse2::<syn::File>(source.code.clone())
        .map_err(|e| format!("{}:{}: {e}", at.display(), e.span().start().line))?
        .items;
    let stem = at.file_stem().unwrap_or_default();
    let holder = at.parent().unwrap_or(at);
    let inside = match stem.to_str() {
        Some("lib" | "main" | "mod") => holder.to_owned(),
        _ => holder.join(stem),
    };
    module(at, &inside, path, &items, files, out)
}

/// A module's items; `inside` is the folder of its children.
fn module(
    at: &Path,
    inside: &Path,
    path: Vec<String>,
    items: &[Item],
    files: &[Source],
    out: &mut Vec<Module>,
) -> Outcome<()> {
    out.push(Module {
        path: path.clone(),
        file: at.to_owned(),
        names: names::of(items),
    });
    for child in items
        .iter()
        .filter_map(|i| if let Item::Mod(m) = i { Some(m) } else { None })
    {
        let name = child.ident.to_string();
        let below = [path.as_slice(), std::slice::from_ref(&name)].concat();
        if let Some((_, items)) = &child.content {
            module(at, &inside.join(&name), below, items, files, out)?;
        } else {
            let beside = inside.join(format!("{name}.rs"));
            let own = match named_file(child) {
                Some(named) => at.with_file_name(named),
                None if files.iter().any(|f| f.path == beside) => beside,
                None => inside.join(&name).join("mod.rs"),
            };
            file(&own, below, files, out)?;
        }
    }
    Ok(())
}

/// The file of `#[path = "..."]`.
fn named_file(module: &ItemMod) -> Option<String> {
    module.attrs.iter().find_map(|a| match &a.meta {
        Meta::NameValue(pair) if pair.path.is_ident("path") => match &pair.value {
            Expr::Lit(ExprLit {
                lit: Lit::Str(text),
                ..
            }) => Some(text.value()),
            _ => None,
        },
        _ => None,
    })
}
