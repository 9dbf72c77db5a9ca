//! Getting a plan from the disk or from the demos.

use std::path::{Path, PathBuf};

use fenlamp_model::plan::{self, Files, Plan};
use sha2::{Digest, Sha256};

use crate::demos;
use crate::failure::Failure;

/// A plan and what it was read from.
#[derive(Debug)]
pub struct Opened {
    /// The plan.
    pub plan: Plan,
    /// Name of the file, or `demo:NAME`.
    pub name: String,
    /// SHA-256 of its bytes, hex.
    pub sha256: String,
    /// Its text.
    pub text: String,
}

/// Prefix of a demo in place of a file.
const DEMO: &str = "demo:";

/// Largest file read beside a plan, bytes: ten years of hourly weather fit.
const LARGEST_FILE: u64 = 64 << 20;

/// Opens `name`: a path, or `demo:NAME`.
///
/// # Errors
/// [`Failure::Input`] when there is no such thing, [`Failure::Plan`] for its faults.
pub fn open(name: &Path) -> Result<Opened, Failure> {
    if let Some(demo) = name.to_str().and_then(|n| n.strip_prefix(DEMO)) {
        let Some(demo) = demos::demo(demo) else {
            return Err(Failure::input(
                format!("there is no demo \"{demo}\""),
                format!("there are: {}", demos::names()),
            ));
        };
        return read(
            demo.text.as_bytes(),
            &format!("{DEMO}{}", demo.name),
            &plan::NoFiles,
        );
    }
    let shown = name.display().to_string();
    let bytes = bytes_of(name).map_err(|why| {
        Failure::input(
            format!("{shown}: {why}"),
            "give the plan's file; to start from a demo: fenlamp demo hollin-croft > plan.toml",
        )
    })?;
    let beside = Beside {
        folder: name.parent().map(Path::to_path_buf).unwrap_or_default(),
    };
    read(&bytes, &shown, &beside)
}

/// Reads a plan's text; the files it names are looked for in `folder`, which a
/// demo has none of.
///
/// # Errors
/// [`Failure::Plan`] for its faults.
pub fn read_text(text: &str, name: &str, folder: Option<&Path>) -> Result<Opened, Failure> {
    match folder {
        Some(folder) => read(
            text.as_bytes(),
            name,
            &Beside {
                folder: folder.to_path_buf(),
            },
        ),
        None => read(text.as_bytes(), name, &plan::NoFiles),
    }
}

fn read(bytes: &[u8], name: &str, files: &dyn Files) -> Result<Opened, Failure> {
    let plan = plan::read_bytes(bytes, name, files).map_err(|errors| Failure::Plan {
        errors,
        text: String::from_utf8_lossy(bytes).into_owned(),
    })?;
    let sha256 = Sha256::digest(bytes)
        .iter()
        .map(|b| format!("{b:02x}"))
        .collect();
    Ok(Opened {
        plan,
        name: name.to_owned(),
        sha256,
        text: String::from_utf8_lossy(bytes).into_owned(),
    })
}

fn bytes_of(path: &Path) -> Result<Vec<u8>, String> {
    let about = std::fs::metadata(path).map_err(|e| match e.kind() {
        std::io::ErrorKind::NotFound => "there is no such file".to_owned(),
        std::io::ErrorKind::PermissionDenied => "it may not be read".to_owned(),
        _ => format!("it cannot be read ({e})"),
    })?;
    if about.is_dir() {
        return Err("this is a folder, not a plan".to_owned());
    }
    if about.len() > LARGEST_FILE {
        return Err(format!("it has {} MB; that is no plan", about.len() >> 20));
    }
    std::fs::read(path).map_err(|e| match e.kind() {
        std::io::ErrorKind::PermissionDenied => "it may not be read".to_owned(),
        _ => format!("it cannot be read ({e})"),
    })
}

/// Files in the plan's own folder and below.
struct Beside {
    folder: PathBuf,
}

impl Files for Beside {
    fn get(&self, relative: &str) -> Result<Vec<u8>, String> {
        bytes_of(&self.folder.join(relative))
    }
}
