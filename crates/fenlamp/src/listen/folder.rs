//! Readings that a logger writes as CSV files into a folder.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::time::SystemTime;

use fenlamp_diary::{Diary, DiaryError, instruments};
use jiff::Timestamp;

use super::Tally;

/// A watched folder: `DEVICE.csv` holds the readings of the device of that name.
#[derive(Debug)]
pub struct Folder {
    path: PathBuf,
    /// Files as they were when last read.
    seen: BTreeMap<PathBuf, (u64, SystemTime)>,
}

/// Largest file read, bytes.
const LARGEST: u64 = 64 << 20;

impl Folder {
    /// Watches `path`.
    pub fn new(path: &Path) -> Self {
        Folder {
            path: path.to_path_buf(),
            seen: BTreeMap::new(),
        }
    }

    /// Takes in every file that changed since the last look. A file that grows is
    /// read whole again; readings known already count once.
    ///
    /// # Errors
    /// The diary cannot be written. A file that cannot be read is told of and left.
    pub fn look(
        &mut self,
        diary: &mut Diary,
        tally: &mut Tally,
        tell: &mut dyn FnMut(&Tally, Option<&str>),
    ) -> Result<(), DiaryError> {
        let listed = match std::fs::read_dir(&self.path) {
            Ok(listed) => listed,
            Err(e) => {
                tell(tally, Some(&format!("{}: {e}", self.path.display())));
                return Ok(());
            }
        };
        let mut files: Vec<PathBuf> = listed
            .filter_map(|f| f.ok().map(|f| f.path()))
            .filter(|p| p.extension().is_some_and(|e| e == "csv"))
            .collect();
        files.sort();
        for file in files {
            let Ok(about) = file.metadata() else { continue };
            let now = (
                about.len(),
                about.modified().unwrap_or(SystemTime::UNIX_EPOCH),
            );
            if self.seen.get(&file) == Some(&now) || !about.is_file() {
                continue;
            }
            self.seen.insert(file.clone(), now);
            if let Err(why) = take(diary, &file, about.len(), tally)? {
                tally.refused += 1;
                tell(tally, Some(&format!("{}: {why}", file.display())));
            } else {
                tell(tally, None);
            }
        }
        Ok(())
    }
}

fn take(
    diary: &mut Diary,
    file: &Path,
    length: u64,
    tally: &mut Tally,
) -> Result<Result<(), String>, DiaryError> {
    if length > LARGEST {
        return Ok(Err(format!("it has {} MB", length >> 20)));
    }
    let Some(device) = file.file_stem().and_then(|s| s.to_str()) else {
        return Ok(Err("its name is no device's".to_owned()));
    };
    let text = match std::fs::read_to_string(file) {
        Ok(text) => text,
        Err(e) => return Ok(Err(e.to_string())),
    };
    // A line still being written is read the next time.
    let whole = text.rfind('\n').map_or("", |end| &text[..=end]);
    let readings = match instruments::from_csv(whole, Timestamp::now()) {
        Ok(readings) => readings,
        Err(why) => return Ok(Err(why)),
    };
    match diary.take(device, &readings) {
        Ok(taken) => {
            tally.count(&taken);
            Ok(Ok(()))
        }
        Err(e @ DiaryError::Device(_)) => Ok(Err(format!(
            "{e}; make it known: fenlamp diary PLAN device NAME"
        ))),
        Err(e) => Err(e),
    }
}
