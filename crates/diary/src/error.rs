//! What can go wrong with a diary, and what to do.

use std::path::{Path, PathBuf};

use rusqlite::ErrorCode;

/// A diary that could not do what was asked. The file is as it was before.
#[derive(Debug, thiserror::Error)]
pub enum DiaryError {
    /// There is no file.
    #[error("{}: there is no diary yet", .0.display())]
    Missing(PathBuf),
    /// A file of something else.
    #[error("{}: this file is not a diary", .0.display())]
    NotADiary(PathBuf),
    /// Written by a newer program.
    #[error("{}: this diary has form {found}; this program knows forms up to {known}", .path.display())]
    Newer {
        /// The file.
        path: PathBuf,
        /// Its form.
        found: i64,
        /// Newest form known here.
        known: i64,
    },
    /// Damaged.
    #[error("{}: the diary is damaged: {what}", .path.display())]
    Damaged {
        /// The file.
        path: PathBuf,
        /// What the check found.
        what: String,
    },
    /// May not be written.
    #[error("{}: the diary may be read but not written", .0.display())]
    ReadOnly(PathBuf),
    /// No room.
    #[error("{}: no room is left on the disk; nothing was written", .0.display())]
    Full(PathBuf),
    /// Another program holds it.
    #[error("{}: another program is writing in the diary", .0.display())]
    Busy(PathBuf),
    /// The disk or its rights.
    #[error("{}: {what}", .path.display())]
    File {
        /// The file.
        path: PathBuf,
        /// What happened.
        what: String,
    },
    /// An entry that cannot stand.
    #[error("{0}")]
    Entry(String),
    /// Text that is no export of a diary.
    #[error("{at}: {what}")]
    Text {
        /// Where: "line 3".
        at: String,
        /// What is wrong.
        what: String,
    },
    /// A device that is not known, or its key.
    #[error("{0}")]
    Device(String),
    /// Anything else of the database.
    #[error("{}: {what}", .path.display())]
    Database {
        /// The file.
        path: PathBuf,
        /// Its own words.
        what: String,
    },
}

impl DiaryError {
    /// What to do.
    pub fn help(&self) -> &'static str {
        match self {
            DiaryError::Missing(_) => "the first `fenlamp diary PLAN add ...` begins one",
            DiaryError::NotADiary(_) => "name the plan, not another file; nothing was changed",
            DiaryError::Newer { .. } => "use the newer program that wrote it; nothing was changed",
            DiaryError::Damaged { .. } => {
                "bring back the last backup (fenlamp diary PLAN restore FILE); nothing was changed"
            }
            DiaryError::ReadOnly(_) => "give yourself the right to write the file and its folder",
            DiaryError::Full(_) => "make room, then write the entry again",
            DiaryError::Busy(_) => "wait a moment and do it again",
            DiaryError::File { .. } => "look at the folder, its rights and the disk",
            DiaryError::Entry(_) | DiaryError::Text { .. } | DiaryError::Device(_) => "",
            DiaryError::Database { .. } => "nothing was changed; this is a failure of the program",
        }
    }

    /// From the database's own error.
    pub(crate) fn of(path: &Path, error: rusqlite::Error) -> Self {
        let path = path.to_path_buf();
        let what = error.to_string();
        let rusqlite::Error::SqliteFailure(code, _) = &error else {
            return DiaryError::Database { path, what };
        };
        match code.code {
            ErrorCode::NotADatabase => DiaryError::NotADiary(path),
            ErrorCode::DatabaseCorrupt => DiaryError::Damaged { path, what },
            ErrorCode::ReadOnly | ErrorCode::PermissionDenied => DiaryError::ReadOnly(path),
            ErrorCode::DiskFull => DiaryError::Full(path),
            ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked => DiaryError::Busy(path),
            ErrorCode::CannotOpen => DiaryError::File { path, what },
            // A write cut short by the system is a disk or quota that is full.
            ErrorCode::SystemIoFailure
                if code.extended_code == rusqlite::ffi::SQLITE_IOERR_WRITE =>
            {
                DiaryError::Full(path)
            }
            ErrorCode::SystemIoFailure => DiaryError::File { path, what },
            _ => DiaryError::Database { path, what },
        }
    }
}
