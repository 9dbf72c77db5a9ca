//! Backup and restore by SQLite's own means, beside other programs at work.

use std::path::{Path, PathBuf};
use std::time::Duration;

use rusqlite::backup::Backup;
use rusqlite::{Connection, OpenFlags};

use crate::error::DiaryError;
use crate::file::{Diary, look, sound, stamp_now};

/// Pages copied at a time, and the rest between.
const PAGES: i32 = 1000;
const REST: Duration = Duration::from_millis(1);

impl Diary {
    /// Copies the diary to `to`, which must not be there yet; the copy is checked.
    ///
    /// # Errors
    /// [`DiaryError`]; a copy that failed is removed.
    pub fn backup(&self, to: &Path) -> Result<(), DiaryError> {
        if to.exists() {
            return Err(DiaryError::File {
                path: to.to_path_buf(),
                what: "there is a file of that name already; name a new one".to_owned(),
            });
        }
        let copied = self.copy_to(to);
        if copied.is_err() {
            // Whatever stands there is half a copy of ours.
            let _ = std::fs::remove_file(to);
        }
        copied
    }

    fn copy_to(&self, to: &Path) -> Result<(), DiaryError> {
        let fail = |e| DiaryError::of(to, e);
        let mut copy = Connection::open(to).map_err(fail)?;
        Backup::new(&self.db, &mut copy)
            .and_then(|b| b.run_to_completion(PAGES, REST, None))
            .map_err(fail)?;
        // One file that is whole by itself, wherever it is carried.
        copy.pragma_update(None, "journal_mode", "DELETE")
            .map_err(fail)?;
        sound(&copy, to)?;
        copy.close().map_err(|(_, e)| fail(e))?;
        sync(to)
    }

    /// Brings back the backup `from`. The diary as it was is kept beside it first;
    /// its file is returned.
    ///
    /// # Errors
    /// A backup that is damaged, of a newer form or of something else is refused
    /// and the diary left as it was.
    pub fn restore(&mut self, from: &Path) -> Result<PathBuf, DiaryError> {
        if !from.exists() {
            return Err(DiaryError::File {
                path: from.to_path_buf(),
                what: "there is no such file".to_owned(),
            });
        }
        look(from)?;
        let fail = |e| DiaryError::of(from, e);
        let source =
            Connection::open_with_flags(from, OpenFlags::SQLITE_OPEN_READ_ONLY).map_err(fail)?;
        sound(&source, from)?;
        let stamp: String = stamp_now().chars().filter(char::is_ascii_digit).collect();
        let kept = self.path.with_extension(format!("before-{stamp}.sqlite"));
        self.backup(&kept)?;
        Backup::new(&source, &mut self.db)
            .and_then(|b| b.run_to_completion(i32::MAX, REST, None))
            .map_err(|e| self.fail(e))?;
        drop(source);
        // The backup may be of an older form, or of another journal mode.
        let again = Diary::open_existing(&self.path)?;
        again.check()?;
        *self = again;
        Ok(kept)
    }
}

/// Waits until a file is on the disk.
pub(crate) fn sync(path: &Path) -> Result<(), DiaryError> {
    std::fs::File::open(path)
        .and_then(|f| f.sync_all())
        .map_err(|e| DiaryError::File {
            path: path.to_path_buf(),
            what: format!("it could not be put on the disk ({e})"),
        })
}

/// Sets a damaged diary aside with what SQLite keeps beside it; its new name is
/// returned.
///
/// # Errors
/// It cannot be renamed.
pub fn set_aside(path: &Path) -> Result<PathBuf, DiaryError> {
    let stamp: String = stamp_now().chars().filter(char::is_ascii_digit).collect();
    let aside = path.with_extension(format!("damaged-{stamp}.sqlite"));
    let with = |path: &Path, tail: &str| {
        let mut name = path.as_os_str().to_owned();
        name.push(tail);
        PathBuf::from(name)
    };
    let fail = |e: std::io::Error| DiaryError::File {
        path: path.to_path_buf(),
        what: format!("it cannot be renamed ({e})"),
    };
    // The log first: a file without its log would lose what the log holds.
    for tail in ["-wal", "-shm"] {
        if with(path, tail).exists() {
            std::fs::rename(with(path, tail), with(&aside, tail)).map_err(fail)?;
        }
    }
    std::fs::rename(path, &aside).map_err(fail)?;
    Ok(aside)
}
