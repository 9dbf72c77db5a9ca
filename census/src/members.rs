//! The members of the workspace, their files and what they need of each other.

use std::fs;
use std::path::{Path, PathBuf};

use toml::Table;
use walkdir::WalkDir;

use crate::Outcome;
use crate::source::Source;

/// One crate of the workspace.
pub struct Member {
    /// The package's name.
    pub name: String,
    /// Its folder, from the workspace's.
    pub dir: PathBuf,
    /// The members it needs, for its tests or not.
    pub needs: Vec<String>,
    /// Its files of Rust, by path.
    pub files: Vec<Source>,
}

/// All members named in the `Cargo.toml` of the folder `root`, in its order.
pub fn read(root: &Path) -> Outcome<Vec<Member>> {
    let workspace = manifest(root)?;
    let dirs = workspace["workspace"]["members"]
        .as_array()
        .ok_or("members is no list")?;
    let mut members = Vec::new();
    for dir in dirs.iter().filter_map(|d| d.as_str()).map(PathBuf::from) {
        let package = manifest(&root.join(&dir))?;
        let name = package["package"]["name"]
            .as_str()
            .ok_or("a package without a name")?
            .to_owned();
        let needs = ["dependencies", "dev-dependencies", "build-dependencies"]
            .iter()
            .filter_map(|kind| package.get(*kind)?.as_table())
            .flat_map(|table| table.keys().cloned())
            .collect();
        members.push(Member {
            name,
            needs,
            files: files(root, &dir)?,
            dir,
        });
    }
    let names: Vec<String> = members.iter().map(|m| m.name.clone()).collect();
    for member in &mut members {
        member.needs.retain(|need| names.contains(need));
    }
    Ok(members)
}

fn manifest(dir: &Path) -> Outcome<Table> {
    let path = dir.join("Cargo.toml");
    let text = fs::read_to_string(&path).map_err(|e| format!("{}: {e}", path.display()))?;
    Ok(text.parse()?)
}

fn files(root: &Path, dir: &Path) -> Outcome<Vec<Source>> {
    let mut files = Vec::new();
    for entry in WalkDir::new(root.join(dir)).sort_by_file_name() {
        let entry = entry?;
        if entry.path().extension().is_some_and(|e| e == "rs") {
            let text = fs::read_to_string(entry.path())?;
            files.push(Source::of(
                dir,
                entry.path().strip_prefix(root)?.to_owned(),
                &text,
            )?);
        }
    }
    Ok(files)
}
