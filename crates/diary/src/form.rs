//! The form of the file, step by step.

/// Marks the file as a diary of ours ("FenL").
pub(crate) const APPLICATION_ID: i64 = 0x4665_6e4c;

/// Newest form this program knows.
pub const FORM: i64 = STEPS.len() as i64;

/// Step `n` takes a file of form `n` to `n + 1`. A step that was published is
/// never edited.
pub(crate) const STEPS: [&str; 2] = [
    "
    CREATE TABLE entry (
        id       INTEGER PRIMARY KEY,
        uid      TEXT NOT NULL UNIQUE,
        day      TEXT NOT NULL,
        time     TEXT,
        kind     TEXT NOT NULL,
        body     TEXT NOT NULL,
        words    TEXT NOT NULL,
        written  TEXT NOT NULL,
        corrects INTEGER UNIQUE REFERENCES entry(id)
    ) STRICT;
    CREATE INDEX entry_by_day ON entry(day);
    CREATE TRIGGER entry_stays BEFORE UPDATE ON entry
        BEGIN SELECT RAISE(ABORT, 'an entry is never changed'); END;
    CREATE TRIGGER entry_remains BEFORE DELETE ON entry
        BEGIN SELECT RAISE(ABORT, 'an entry is never removed'); END;
    CREATE VIEW standing AS
        SELECT e.* FROM entry e
        WHERE NOT EXISTS (SELECT 1 FROM entry c WHERE c.corrects = e.id)
          AND e.kind <> 'withdrawn';
    CREATE TABLE checked (only INTEGER PRIMARY KEY CHECK (only = 1), at INTEGER NOT NULL) STRICT;
    ",
    "
    CREATE TABLE device (
        id       INTEGER PRIMARY KEY,
        name     TEXT NOT NULL UNIQUE,
        key_hash BLOB,
        since    TEXT NOT NULL
    ) STRICT;
    CREATE TABLE reading (
        device   INTEGER NOT NULL REFERENCES device(id),
        quantity INTEGER NOT NULL,
        at       INTEGER NOT NULL,
        value    REAL NOT NULL,
        received INTEGER NOT NULL,
        doubt    INTEGER NOT NULL DEFAULT 0,
        PRIMARY KEY (device, quantity, at)
    ) STRICT, WITHOUT ROWID;
    ",
];
