//! The folder of plans: their names, their texts, the versions kept of them.
//!
//! A name in an address is looked up among the files there are; no path is ever
//! made from it.

use std::io::Write;
use std::path::{Path, PathBuf};

use sha2::{Digest, Sha256};

use crate::demos::{self, DEMOS};

/// Folder beside the plans that holds what the page remembers.
const SIDE: &str = ".fenlamp";
/// Longest plan text, bytes; the reader takes no longer one either.
pub const LONGEST: u64 = 1_000_000;
/// Versions kept of a plan; the oldest go first.
const VERSIONS: usize = 200;

/// A folder of plans.
#[derive(Debug, Clone)]
pub struct Shelf {
    folder: PathBuf,
}

/// One plan there is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    /// Its name in addresses.
    pub name: String,
    /// Its file; `None` for a demo that was never kept.
    pub file: Option<PathBuf>,
}

/// A version kept of a plan.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Version {
    /// Its name: the time it was replaced and the beginning of its SHA-256.
    pub id: String,
    /// When it was replaced, as people write it.
    pub when: String,
}

impl Shelf {
    /// The plans of a folder.
    pub fn new(folder: impl Into<PathBuf>) -> Self {
        Shelf {
            folder: folder.into(),
        }
    }

    /// The folder.
    pub fn folder(&self) -> &Path {
        &self.folder
    }

    /// Files that look like plans, by name, then the demos that were not kept.
    pub fn entries(&self) -> Vec<Entry> {
        let mut files: Vec<PathBuf> = std::fs::read_dir(&self.folder)
            .into_iter()
            .flatten()
            .filter_map(|e| Some(e.ok()?.path()))
            .filter(|p| p.extension().is_some_and(|e| e == "toml") && looks_like_a_plan(p))
            .collect();
        files.sort();
        let mut out: Vec<Entry> = Vec::new();
        for file in files {
            let stem = file.file_stem().unwrap_or_default().to_string_lossy();
            let base = slug(&stem);
            let mut name = base.clone();
            let mut n = 2;
            while out.iter().any(|e| e.name == name) {
                name = format!("{base}-{n}");
                n += 1;
            }
            out.push(Entry {
                name,
                file: Some(file),
            });
        }
        for demo in DEMOS {
            if !out.iter().any(|e| e.name == demo.name) {
                out.push(Entry {
                    name: demo.name.to_owned(),
                    file: None,
                });
            }
        }
        out
    }

    /// A plan by the name in an address.
    pub fn find(&self, name: &str) -> Option<Entry> {
        self.entries().into_iter().find(|e| e.name == name)
    }

    /// The entry of a file of this folder.
    pub fn entry_of(&self, file: &Path) -> Option<Entry> {
        let wanted = file.file_name()?;
        self.entries()
            .into_iter()
            .find(|e| e.file.as_deref().and_then(Path::file_name) == Some(wanted))
    }

    /// A file name for a new plan that takes no other's place.
    pub fn free_file(&self, title: &str) -> PathBuf {
        let base = slug(title);
        let taken = |name: &str| {
            demos::demo(name).is_some() || self.folder.join(format!("{name}.toml")).exists()
        };
        let mut name = base.clone();
        let mut n = 2;
        while taken(&name) {
            name = format!("{base}-{n}");
            n += 1;
        }
        self.folder.join(format!("{name}.toml"))
    }

    /// The secret of a plan's calendar address, made when it is first wanted.
    ///
    /// # Errors
    /// The disk's, or a system without random numbers.
    pub fn calendar_key(&self, name: &str) -> std::io::Result<String> {
        let file = self.side(name).join("calendar-key");
        if let Ok(key) = std::fs::read_to_string(&file)
            && key.trim().len() == 32
        {
            return Ok(key.trim().to_owned());
        }
        let mut bytes = [0u8; 16];
        getrandom::fill(&mut bytes).map_err(|e| std::io::Error::other(e.to_string()))?;
        let key: String = bytes.iter().map(|b| format!("{b:02x}")).collect();
        write_whole(&file, &key)?;
        Ok(key)
    }

    /// Where the page keeps what it remembers of a plan.
    pub fn side(&self, name: &str) -> PathBuf {
        self.folder.join(SIDE).join(slug(name))
    }

    /// Keeps `text` as a version of the plan.
    ///
    /// # Errors
    /// The disk's.
    pub fn keep_version(&self, name: &str, text: &str) -> std::io::Result<()> {
        let folder = self.side(name).join("versions");
        std::fs::create_dir_all(&folder)?;
        let now = jiff::ZonedDateTime::now()
            .strftime("%Y-%m-%d_%H%M%S_%3f")
            .to_string();
        let id = format!("{now}_{}", &sha256(text)[..8]);
        write_whole(&folder.join(format!("{id}.toml")), text)?;
        let all = self.versions(name);
        for old in all.iter().skip(VERSIONS) {
            // One that cannot be removed does no harm.
            let _ = std::fs::remove_file(folder.join(format!("{}.toml", old.id)));
        }
        Ok(())
    }

    /// Versions kept of a plan, the newest first.
    pub fn versions(&self, name: &str) -> Vec<Version> {
        let mut ids: Vec<String> = std::fs::read_dir(self.side(name).join("versions"))
            .into_iter()
            .flatten()
            .filter_map(|e| e.ok()?.file_name().into_string().ok())
            .filter_map(|f| Some(f.strip_suffix(".toml")?.to_owned()))
            .collect();
        ids.sort_by(|a, b| b.cmp(a));
        ids.into_iter()
            .map(|id| Version {
                when: when(&id),
                id,
            })
            .collect()
    }

    /// Text of a version.
    pub fn version_text(&self, name: &str, id: &str) -> Option<String> {
        let known = self.versions(name).into_iter().find(|v| v.id == id)?;
        let file = self.side(name).join("versions").join(known.id + ".toml");
        std::fs::read_to_string(file).ok()
    }
}

/// "2026-05-01 12:30:05" of an id.
fn when(id: &str) -> String {
    let mut parts = id.split('_');
    match (parts.next(), parts.next()) {
        (Some(day), Some(clock)) if clock.len() == 6 && clock.is_ascii() => {
            format!("{day} {}:{}:{}", &clock[..2], &clock[2..4], &clock[4..])
        }
        _ => id.to_owned(),
    }
}

/// Whether a file has the heading that every plan has.
fn looks_like_a_plan(file: &Path) -> bool {
    let small = std::fs::metadata(file).is_ok_and(|m| m.is_file() && m.len() <= LONGEST);
    small
        && std::fs::read_to_string(file)
            .is_ok_and(|t| t.lines().any(|l| l.trim_start().starts_with("[plan]")))
}

/// Small letters, digits and hyphens of a title; "plan" when nothing is left.
pub fn slug(title: &str) -> String {
    let mut out = String::new();
    for c in title.chars().flat_map(char::to_lowercase).take(60) {
        if c.is_ascii_alphanumeric() {
            out.push(c);
        } else if !out.is_empty() && !out.ends_with('-') {
            out.push('-');
        }
    }
    let out = out.trim_end_matches('-');
    if out.is_empty() { "plan" } else { out }.to_owned()
}

/// SHA-256 of a text, hex.
pub fn sha256(text: &str) -> String {
    sha256_of(text.as_bytes())
}

/// SHA-256 of bytes, hex.
pub fn sha256_of(bytes: &[u8]) -> String {
    Sha256::digest(bytes)
        .iter()
        .map(|b| format!("{b:02x}"))
        .collect()
}

/// Puts `text` into `file` so that whoever reads it meets the old or the new text,
/// never a part, and a power cut leaves one of them.
///
/// # Errors
/// The disk's; the file is as it was then.
pub fn write_whole(file: &Path, text: &str) -> std::io::Result<()> {
    write_bytes(file, text.as_bytes())
}

/// As [`write_whole`], of bytes.
///
/// # Errors
/// As [`write_whole`].
pub fn write_bytes(file: &Path, bytes: &[u8]) -> std::io::Result<()> {
    let folder = file.parent().filter(|f| !f.as_os_str().is_empty());
    let folder = folder.unwrap_or(Path::new("."));
    std::fs::create_dir_all(folder)?;
    let mut new = tempfile::NamedTempFile::new_in(folder)?;
    new.write_all(bytes)?;
    new.as_file().sync_all()?;
    // Who may read the old file may read the new one.
    if let Ok(old) = std::fs::metadata(file) {
        let _ = std::fs::set_permissions(new.path(), old.permissions());
    } else {
        readable(new.path());
    }
    new.persist(file).map_err(|e| e.error)?;
    if let Ok(folder) = std::fs::File::open(folder) {
        // Systems that cannot sync a folder do it by themselves.
        let _ = folder.sync_all();
    }
    Ok(())
}

/// A new plan is an ordinary file, not a private one as temporary files are.
#[cfg(unix)]
fn readable(file: &Path) {
    use std::os::unix::fs::PermissionsExt;
    let _ = std::fs::set_permissions(file, std::fs::Permissions::from_mode(0o644));
}

#[cfg(not(unix))]
fn readable(_: &Path) {}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_is_looked_up_and_never_made_into_a_path() {
        let folder = tempfile::tempdir().expect("a folder");
        std::fs::write(folder.path().join("My Yard.toml"), "[plan]\n").expect("written");
        std::fs::write(folder.path().join("other.toml"), "[package]\n").expect("written");
        let shelf = Shelf::new(folder.path());
        assert!(shelf.find("my-yard").is_some_and(|e| e.file.is_some()));
        assert!(shelf.find("hollin-croft").is_some_and(|e| e.file.is_none()));
        for name in [
            "other",
            "../my-yard",
            "My Yard",
            "..",
            "",
            "my-yard/../my-yard",
            ".fenlamp",
        ] {
            assert_eq!(shelf.find(name), None, "{name}");
        }
    }

    #[test]
    fn two_names_that_look_alike_stay_two() {
        let folder = tempfile::tempdir().expect("a folder");
        for name in ["a b.toml", "a-b.toml"] {
            std::fs::write(folder.path().join(name), "[plan]\n").expect("written");
        }
        let shelf = Shelf::new(folder.path());
        assert!(shelf.find("a-b").is_some() && shelf.find("a-b-2").is_some());
    }

    #[test]
    fn versions_come_back_newest_first_and_whole() {
        let folder = tempfile::tempdir().expect("a folder");
        let shelf = Shelf::new(folder.path());
        for text in ["one", "two"] {
            shelf.keep_version("x", text).expect("kept");
            std::thread::sleep(std::time::Duration::from_millis(3));
        }
        let versions = shelf.versions("x");
        assert_eq!(versions.len(), 2);
        assert_eq!(
            shelf.version_text("x", &versions[0].id).as_deref(),
            Some("two")
        );
        assert_eq!(shelf.version_text("x", "../../x"), None);
    }

    #[test]
    fn a_file_that_cannot_be_written_is_left_as_it_was() {
        let folder = tempfile::tempdir().expect("a folder");
        let file = folder.path().join("plan.toml");
        write_whole(&file, "old").expect("written");
        // A folder stands where the file should go.
        assert!(write_whole(&folder.path().join(""), "new").is_err() || file.exists());
        write_whole(&file, "new").expect("written");
        assert_eq!(std::fs::read_to_string(&file).expect("read"), "new");
        let left = std::fs::read_dir(folder.path()).expect("listed").count();
        assert_eq!(left, 1, "nothing is left lying about");
    }

    #[test]
    fn titles_become_names() {
        assert_eq!(slug("Hollin Croft!"), "hollin-croft");
        assert_eq!(slug("  ÄÖ "), "plan");
        assert_eq!(slug(&"x".repeat(200)).len(), 60);
    }
}
