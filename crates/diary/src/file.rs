//! Opening the file, its checks and its steps from form to form.

use std::path::{Path, PathBuf};
use std::time::{Duration, SystemTime, UNIX_EPOCH};

use rusqlite::{Connection, OpenFlags, TransactionBehavior};

use crate::error::DiaryError;
use crate::form::{APPLICATION_ID, FORM, STEPS};

/// An open diary.
#[derive(Debug)]
pub struct Diary {
    pub(crate) db: Connection,
    pub(crate) path: PathBuf,
}

/// The diary's file beside its plan: `plan.toml` keeps `plan.diary.sqlite`.
pub fn beside(plan: &Path) -> PathBuf {
    plan.with_extension("diary.sqlite")
}

/// How long one waits for another program's writing.
const PATIENCE: Duration = Duration::from_secs(10);
/// The whole file is checked at the first opening after so long, s.
const CHECK_EVERY_S: i64 = 86_400;

impl Diary {
    /// Opens the diary at `path` to write, beginning one if there is none.
    ///
    /// # Errors
    /// [`DiaryError`]; a file that is refused is left as it was.
    pub fn open(path: &Path) -> Result<Self, DiaryError> {
        Self::begin(
            path,
            OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_CREATE,
        )
    }

    /// As [`Diary::open`], but there must be one.
    ///
    /// # Errors
    /// As [`Diary::open`]; [`DiaryError::Missing`].
    pub fn open_existing(path: &Path) -> Result<Self, DiaryError> {
        if !path.exists() {
            return Err(DiaryError::Missing(path.to_path_buf()));
        }
        Self::begin(path, OpenFlags::SQLITE_OPEN_READ_WRITE)
    }

    fn begin(path: &Path, flags: OpenFlags) -> Result<Self, DiaryError> {
        if path.is_dir() {
            return Err(DiaryError::File {
                path: path.to_path_buf(),
                what: "this is a folder".to_owned(),
            });
        }
        // Looked at without writing first: what is not ours stays untouched.
        let found = if path.metadata().is_ok_and(|m| m.len() > 0) {
            Some(look(path)?)
        } else {
            None
        };
        let fail = |e| DiaryError::of(path, e);
        let db = Connection::open_with_flags(path, flags | OpenFlags::SQLITE_OPEN_NO_MUTEX)
            .map_err(fail)?;
        let mut diary = Diary {
            db,
            path: path.to_path_buf(),
        };
        diary.settings().map_err(fail)?;
        diary.grow().map_err(fail)?;
        if found.is_some() {
            diary.check_if_due()?;
        }
        Ok(diary)
    }

    /// Where it lies.
    pub fn path(&self) -> &Path {
        &self.path
    }

    fn settings(&self) -> rusqlite::Result<()> {
        self.db.busy_timeout(PATIENCE)?;
        self.db.pragma_update(None, "journal_mode", "WAL")?;
        self.db.pragma_update(None, "synchronous", "FULL")?;
        self.db.pragma_update(None, "foreign_keys", true)?;
        self.db.pragma_update(None, "trusted_schema", false)
    }

    /// Takes the file to the newest form, all steps or none.
    fn grow(&mut self) -> rusqlite::Result<()> {
        let form = |db: &Connection| db.pragma_query_value(None, "user_version", |r| r.get(0));
        let now: i64 = form(&self.db)?;
        if now == FORM {
            return Ok(());
        }
        let tx = self
            .db
            .transaction_with_behavior(TransactionBehavior::Immediate)?;
        // Another program may have been quicker.
        let from: i64 = form(&tx)?;
        for step in STEPS.iter().skip(from.max(0) as usize) {
            tx.execute_batch(step)?;
        }
        tx.pragma_update(None, "application_id", APPLICATION_ID)?;
        tx.pragma_update(None, "user_version", FORM.max(from))?;
        tx.commit()
    }

    /// Checks the whole file when that was last done more than a day ago.
    fn check_if_due(&self) -> Result<(), DiaryError> {
        let now = seconds_now();
        let last: i64 = self
            .db
            .query_row("SELECT max(at) FROM checked", [], |r| r.get(0))
            .unwrap_or(0);
        if (now - last).abs() < CHECK_EVERY_S {
            return Ok(());
        }
        self.check()?;
        let set = self.db.execute(
            "INSERT INTO checked VALUES (1, ?1) ON CONFLICT(only) DO UPDATE SET at = ?1",
            [now],
        );
        match set {
            Ok(_) => Ok(()),
            Err(e) => Err(DiaryError::of(&self.path, e)),
        }
    }

    /// Checks the whole file.
    ///
    /// # Errors
    /// [`DiaryError::Damaged`] with the first fault found.
    pub fn check(&self) -> Result<(), DiaryError> {
        sound(&self.db, &self.path)
    }

    pub(crate) fn fail(&self, error: rusqlite::Error) -> DiaryError {
        DiaryError::of(&self.path, error)
    }
}

/// Whether the pages, indexes and references of an open file hold together.
pub(crate) fn sound(db: &Connection, path: &Path) -> Result<(), DiaryError> {
    let verdict: Result<String, _> = db.query_row("PRAGMA quick_check(1)", [], |r| r.get(0));
    let what = match verdict {
        Ok(verdict) if verdict == "ok" => return Ok(()),
        Ok(verdict) => verdict,
        Err(e) => match DiaryError::of(path, e) {
            e @ (DiaryError::Damaged { .. } | DiaryError::NotADiary(_)) => e.to_string(),
            other => return Err(other),
        },
    };
    Err(DiaryError::Damaged {
        path: path.to_path_buf(),
        what,
    })
}

/// Whose file it is and of which form, without writing a byte.
pub(crate) fn look(path: &Path) -> Result<i64, DiaryError> {
    let fail = |e| DiaryError::of(path, e);
    // The head of the file says it all: application id and form (SQLite's file
    // format, bytes 60 to 71). A form written in the log alone is ours.
    let head = head(path)?;
    if head.len() < 100 || !head.starts_with(b"SQLite format 3\0") {
        return Err(DiaryError::NotADiary(path.to_path_buf()));
    }
    let at = |i: usize| {
        i64::from(i32::from_be_bytes([
            head[i],
            head[i + 1],
            head[i + 2],
            head[i + 3],
        ]))
    };
    let (form, id) = (at(60), at(68));
    let fresh = form == 0 && id == 0;
    if fresh {
        // Begun by us, its first steps still in the log; or somebody else's.
        let db =
            Connection::open_with_flags(path, OpenFlags::SQLITE_OPEN_READ_ONLY).map_err(fail)?;
        let _ = db.busy_timeout(PATIENCE);
        let id: i64 = db
            .pragma_query_value(None, "application_id", |r| r.get(0))
            .map_err(fail)?;
        let tables: i64 = db
            .query_row("SELECT count(*) FROM sqlite_master", [], |r| r.get(0))
            .map_err(fail)?;
        if id != APPLICATION_ID && tables > 0 {
            return Err(DiaryError::NotADiary(path.to_path_buf()));
        }
        return Ok(0);
    }
    if id != APPLICATION_ID {
        return Err(DiaryError::NotADiary(path.to_path_buf()));
    }
    if form > FORM {
        return Err(DiaryError::Newer {
            path: path.to_path_buf(),
            found: form,
            known: FORM,
        });
    }
    Ok(form)
}

fn head(path: &Path) -> Result<Vec<u8>, DiaryError> {
    use std::io::Read;
    let file = |e: std::io::Error| DiaryError::File {
        path: path.to_path_buf(),
        what: format!("it cannot be read ({e})"),
    };
    let mut head = Vec::new();
    std::fs::File::open(path)
        .map_err(file)?
        .take(100)
        .read_to_end(&mut head)
        .map_err(file)?;
    Ok(head)
}

/// Seconds since 1970, UTC.
pub(crate) fn seconds_now() -> i64 {
    SystemTime::now()
        .duration_since(UNIX_EPOCH)
        .map_or(0, |d| d.as_secs() as i64)
}

/// Now, UTC, RFC 3339 to the millisecond.
pub(crate) fn stamp_now() -> String {
    format!("{:.3}", jiff::Timestamp::now())
}

#[doc(hidden)]
impl Diary {
    /// Caps the pages of the file, as a stand-in for a full disk.
    pub fn limit_pages_for_test(&self, pages: i64) {
        let _: rusqlite::Result<i64> =
            self.db
                .query_row(&format!("PRAGMA max_page_count = {pages}"), [], |r| {
                    r.get(0)
                });
    }

    /// Leaves a file as an older program would have, with one entry.
    pub fn begin_in_form_for_test(path: &Path, form: usize) {
        let Ok(db) = Connection::open(path) else {
            return;
        };
        for step in STEPS.iter().take(form) {
            let _ = db.execute_batch(step);
        }
        let _ = db.pragma_update(None, "application_id", APPLICATION_ID);
        let _ = db.pragma_update(None, "user_version", form as i64);
        let _ = db.execute_batch(
            "INSERT INTO entry (uid, day, kind, body, words, written) VALUES \
             ('0123456789ab', '2025-01-01', 'note', '{\"kind\":\"note\"}', 'old', '2025-01-01T00:00:00Z')",
        );
    }
}
