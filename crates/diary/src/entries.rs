//! Entries: add, correct, take back, look up.

use fenlamp_report::diary::{Entry, Writing, WrittenEntry};
use jiff::civil::Date;
use rusqlite::{Connection, OptionalExtension, Row, TransactionBehavior, params};

use crate::error::DiaryError;
use crate::file::{Diary, stamp_now};

/// What became of an entry.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Added {
    /// Its name.
    pub uid: String,
    /// It was there already, under the same name (sent twice).
    pub again: bool,
}

/// An entry and what stood in its place before, newest first.
#[derive(Debug, Clone, PartialEq)]
pub struct History {
    /// As it stands; [`Entry::Withdrawn`] when taken back.
    pub now: WrittenEntry,
    /// Earlier readings of it, newest first.
    pub before: Vec<WrittenEntry>,
}

const COLUMNS: &str = "e.uid, e.day, e.time, e.body, e.words, e.written, \
     (SELECT c.uid FROM entry c WHERE c.id = e.corrects)";

impl Diary {
    /// Writes one entry down. When this returns, it is on the disk.
    ///
    /// # Errors
    /// [`DiaryError`]; then nothing was written.
    pub fn add(&mut self, writing: &Writing) -> Result<Added, DiaryError> {
        self.add_named(&new_uid()?, writing)
    }

    /// As [`Diary::add`] under a name chosen by the sender, so that an entry sent
    /// twice stands once.
    ///
    /// # Errors
    /// As [`Diary::add`]; a name that is taken by another entry is refused.
    pub fn add_named(&mut self, uid: &str, writing: &Writing) -> Result<Added, DiaryError> {
        self.write(uid, writing, None, &stamp_now())
    }

    /// Writes `writing` in place of the entry `uid`; the old one stays in the history.
    ///
    /// # Errors
    /// No such entry, or it was corrected already.
    pub fn correct(&mut self, uid: &str, writing: &Writing) -> Result<Added, DiaryError> {
        self.write(&new_uid()?, writing, Some(uid), &stamp_now())
    }

    /// Takes an entry back; it stays in the history.
    ///
    /// # Errors
    /// As [`Diary::correct`].
    pub fn withdraw(&mut self, uid: &str, why: &str) -> Result<Added, DiaryError> {
        let old = self.entry(uid)?;
        self.correct(
            &old.uid,
            &Writing {
                entry: Entry::Withdrawn {},
                words: why.to_owned(),
                ..old.writing
            },
        )
    }

    pub(crate) fn write(
        &mut self,
        uid: &str,
        writing: &Writing,
        corrects: Option<&str>,
        written: &str,
    ) -> Result<Added, DiaryError> {
        let path = self.path.clone();
        let fail = |e| DiaryError::of(&path, e);
        let tx = self
            .db
            .transaction_with_behavior(TransactionBehavior::Immediate)
            .map_err(fail)?;
        let added = insert(&tx, uid, writing, corrects, written, fail)?;
        tx.commit().map_err(fail)?;
        Ok(added)
    }

    /// The entry whose name begins with `uid`.
    ///
    /// # Errors
    /// None, or several.
    pub fn entry(&self, uid: &str) -> Result<WrittenEntry, DiaryError> {
        let found = self.ask(
            &format!(
                "SELECT {COLUMNS} FROM entry e WHERE substr(e.uid, 1, length(?1)) = ?1 LIMIT 2"
            ),
            [uid],
        )?;
        match <[WrittenEntry; 1]>::try_from(found) {
            Ok([one]) if !uid.is_empty() => Ok(one),
            Ok(_) => Err(no_such(uid)),
            Err(none) if none.is_empty() => Err(no_such(uid)),
            Err(_) => Err(DiaryError::Entry(format!(
                "several entries begin with \"{uid}\": write more of its name"
            ))),
        }
    }

    /// Entries as they stand, corrections made, from `from` to `to` (both days
    /// counted), in the order they happened.
    ///
    /// # Errors
    /// [`DiaryError`].
    pub fn standing(
        &self,
        from: Option<Date>,
        to: Option<Date>,
    ) -> Result<Vec<WrittenEntry>, DiaryError> {
        let text = |d: Option<Date>, open: &str| d.map_or(open.to_owned(), |d| d.to_string());
        self.ask(
            &format!(
                "SELECT {COLUMNS} FROM standing e WHERE e.day BETWEEN ?1 AND ?2 \
                 ORDER BY e.day, coalesce(e.time, ''), e.id"
            ),
            [text(from, "0000"), text(to, "9999-99-99")],
        )
    }

    /// Every entry ever written, in that order, corrected ones too.
    ///
    /// # Errors
    /// [`DiaryError`].
    pub fn everything(&self) -> Result<Vec<WrittenEntry>, DiaryError> {
        self.ask(&format!("SELECT {COLUMNS} FROM entry e ORDER BY e.id"), [])
    }

    /// An entry and what stood in its place before.
    ///
    /// # Errors
    /// No such entry.
    pub fn history(&self, uid: &str) -> Result<History, DiaryError> {
        let first = self.entry(uid)?;
        let later = "WITH RECURSIVE later(id) AS (SELECT id FROM entry WHERE uid = ?1 \
             UNION SELECT c.id FROM entry c JOIN later ON c.corrects = later.id), \
             line(id) AS (SELECT max(id) FROM later \
             UNION SELECT e.corrects FROM entry e JOIN line ON e.id = line.id WHERE e.corrects IS NOT NULL) ";
        let mut line = self.ask(
            &format!("{later} SELECT {COLUMNS} FROM entry e JOIN line ON e.id = line.id ORDER BY e.id DESC"),
            [&first.uid],
        )?;
        let now = line.remove(0);
        Ok(History { now, before: line })
    }

    fn ask(
        &self,
        sql: &str,
        params: impl rusqlite::Params,
    ) -> Result<Vec<WrittenEntry>, DiaryError> {
        let mut statement = self.db.prepare_cached(sql).map_err(|e| self.fail(e))?;
        let rows = statement.query_map(params, raw).map_err(|e| self.fail(e))?;
        rows.map(|row| row.map_err(|e| self.fail(e)).and_then(|r| self.read(r)))
            .collect()
    }

    fn read(&self, raw: Raw) -> Result<WrittenEntry, DiaryError> {
        let damaged = |what: String| DiaryError::Damaged {
            path: self.path.clone(),
            what: format!("entry {}: {what}", raw.uid),
        };
        Ok(WrittenEntry {
            corrects: raw.corrects.clone(),
            written: raw.written.clone(),
            writing: Writing {
                date: raw.day.parse().map_err(|e| damaged(format!("{e}")))?,
                time: raw
                    .time
                    .as_deref()
                    .map(str::parse)
                    .transpose()
                    .map_err(|e| damaged(format!("{e}")))?,
                entry: serde_json::from_str(&raw.body).map_err(|e| damaged(e.to_string()))?,
                words: raw.words.clone(),
            },
            uid: raw.uid,
        })
    }
}

/// A row as it lies in the file.
struct Raw {
    uid: String,
    day: String,
    time: Option<String>,
    body: String,
    words: String,
    written: String,
    corrects: Option<String>,
}

fn raw(row: &Row) -> rusqlite::Result<Raw> {
    Ok(Raw {
        uid: row.get(0)?,
        day: row.get(1)?,
        time: row.get(2)?,
        body: row.get(3)?,
        words: row.get(4)?,
        written: row.get(5)?,
        corrects: row.get(6)?,
    })
}

fn no_such(uid: &str) -> DiaryError {
    DiaryError::Entry(format!(
        "there is no entry \"{uid}\"; `fenlamp diary PLAN show --names` lists their names"
    ))
}

/// One insertion inside a caller's transaction.
pub(crate) fn insert(
    db: &Connection,
    uid: &str,
    writing: &Writing,
    corrects: Option<&str>,
    written: &str,
    fail: impl Fn(rusqlite::Error) -> DiaryError,
) -> Result<Added, DiaryError> {
    check(uid, writing)?;
    let body = body(&writing.entry)?;
    let time = writing.time.map(|t| t.to_string());
    let found: Option<(String, String, Option<String>, String)> = db
        .prepare_cached("SELECT day, body, time, words FROM entry WHERE uid = ?1")
        .and_then(|mut s| {
            s.query_row([uid], |r| Ok((r.get(0)?, r.get(1)?, r.get(2)?, r.get(3)?)))
                .optional()
        })
        .map_err(&fail)?;
    if let Some(there) = found {
        let same = there == (writing.date.to_string(), body, time, writing.words.clone());
        return if same {
            Ok(Added {
                uid: uid.to_owned(),
                again: true,
            })
        } else {
            Err(DiaryError::Entry(format!(
                "another entry has the name \"{uid}\" already"
            )))
        };
    }
    let of = match corrects {
        None => None,
        Some(of) => {
            let row: Option<(i64, Option<String>)> = db
                .query_row(
                    "SELECT e.id, (SELECT c.uid FROM entry c WHERE c.corrects = e.id) \
                     FROM entry e WHERE e.uid = ?1",
                    [of],
                    |r| Ok((r.get(0)?, r.get(1)?)),
                )
                .optional()
                .map_err(&fail)?;
            match row {
                None => return Err(no_such(of)),
                Some((_, Some(newer))) => {
                    return Err(DiaryError::Entry(format!(
                        "entry {of} was corrected already: correct {newer}"
                    )));
                }
                Some((id, None)) => Some(id),
            }
        }
    };
    db.prepare_cached(
        "INSERT INTO entry (uid, day, time, kind, body, words, written, corrects) \
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
    )
    .and_then(|mut s| {
        s.execute(params![
            uid,
            writing.date.to_string(),
            time,
            writing.entry.kind().unwrap_or("withdrawn"),
            body,
            writing.words,
            written,
            of
        ])
    })
    .map_err(&fail)?;
    Ok(Added {
        uid: uid.to_owned(),
        again: false,
    })
}

/// What no entry may be.
fn check(uid: &str, writing: &Writing) -> Result<(), DiaryError> {
    let plain = |c: char| c.is_ascii_alphanumeric() || c == '-';
    if !(8..=64).contains(&uid.len()) || !uid.chars().all(plain) {
        return Err(DiaryError::Entry(
            "the name of an entry has 8 to 64 letters, digits and dashes".to_owned(),
        ));
    }
    if !(1900..=2200).contains(&writing.date.year()) {
        return Err(DiaryError::Entry(format!(
            "{} is no day of a diary: years from 1900 to 2200",
            writing.date
        )));
    }
    if writing.words.len() > 20_000 {
        return Err(DiaryError::Entry("the words are too many".to_owned()));
    }
    Ok(())
}

/// The entry as JSON; JSON has no word for what is not finite.
fn body(entry: &Entry) -> Result<String, DiaryError> {
    let not_finite = || DiaryError::Entry("a figure of the entry is not finite".to_owned());
    let text = serde_json::to_string(entry).map_err(|_| not_finite())?;
    match serde_json::from_str::<Entry>(&text) {
        Ok(back) if back == *entry => Ok(text),
        _ => Err(not_finite()),
    }
}

/// A name no other entry has: 96 random bits.
pub(crate) fn new_uid() -> Result<String, DiaryError> {
    let mut bits = [0u8; 12];
    getrandom::fill(&mut bits)
        .map_err(|e| DiaryError::Entry(format!("the system gives no random numbers: {e}")))?;
    Ok(bits.iter().map(|b| format!("{b:02x}")).collect())
}
