//! Carrying a diary as text: CSV and JSON, out and in, without loss.

use fenlamp_report::diary::words::{Speech, read_line};
use fenlamp_report::diary::{Writing, WrittenEntry};
use rusqlite::TransactionBehavior;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

use crate::entries::insert;
use crate::error::DiaryError;
use crate::file::{Diary, stamp_now};
use crate::reading::Received;
use crate::readings::Device;

/// Name and version of the JSON form.
const FORMAT: &str = "fenlamp-diary-1";

/// A whole diary; the keys of devices are not in it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Carried {
    /// Name and version of the form.
    pub format: String,
    /// Every entry, corrected ones too, in the order written.
    pub entries: Vec<WrittenEntry>,
    /// Devices.
    #[serde(default)]
    pub devices: Vec<Device>,
    /// Readings.
    #[serde(default)]
    pub readings: Vec<Received>,
}

/// What an import did.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Imported {
    /// Entries written down.
    pub entries: usize,
    /// Entries that were there already.
    pub entries_known: usize,
    /// Readings written down.
    pub readings: usize,
}

/// One line of the CSV. `body` is exact; a hand-made file leaves it out.
#[derive(Debug, Serialize, Deserialize)]
struct Line {
    date: String,
    #[serde(default)]
    time: Option<String>,
    #[serde(default)]
    kind: String,
    #[serde(default)]
    words: String,
    #[serde(default)]
    body: String,
    #[serde(default)]
    uid: String,
    #[serde(default)]
    corrects: Option<String>,
    #[serde(default)]
    written: String,
}

/// Entries as CSV.
///
/// # Errors
/// None that are known; text that could not be written.
pub fn to_csv(entries: &[WrittenEntry]) -> Result<String, DiaryError> {
    let mut out = csv::Writer::from_writer(Vec::new());
    for e in entries {
        out.serialize(Line {
            date: e.writing.date.to_string(),
            time: e.writing.time.map(|t| t.to_string()),
            kind: e.writing.entry.kind().unwrap_or("withdrawn").to_owned(),
            words: e.writing.words.clone(),
            body: serde_json::to_string(&e.writing.entry).map_err(|e| text("entry", e))?,
            uid: e.uid.clone(),
            corrects: e.corrects.clone(),
            written: e.written.clone(),
        })
        .map_err(|e| text("line", e))?;
    }
    finish(out)
}

/// Readings as CSV.
///
/// # Errors
/// As [`to_csv`].
pub fn to_readings_csv(readings: &[Received]) -> Result<String, DiaryError> {
    let mut out = csv::Writer::from_writer(Vec::new());
    out.write_record(["device", "quantity", "at", "value", "received", "doubted"])
        .map_err(|e| text("head", e))?;
    for r in readings {
        out.write_record([
            r.device.as_str(),
            r.reading.quantity.name(),
            &r.reading.at.to_string(),
            &r.reading.value.to_string(),
            &r.received.to_string(),
            if r.doubted { "yes" } else { "no" },
        ])
        .map_err(|e| text("line", e))?;
    }
    finish(out)
}

fn finish(out: csv::Writer<Vec<u8>>) -> Result<String, DiaryError> {
    let bytes = out.into_inner().map_err(|e| text("end", e))?;
    String::from_utf8(bytes).map_err(|e| text("end", e))
}

/// A diary as JSON.
///
/// # Errors
/// As [`to_csv`].
pub fn to_json(carried: &Carried) -> Result<String, DiaryError> {
    serde_json::to_string_pretty(carried).map_err(|e| text("diary", e))
}

fn text(at: &str, what: impl ToString) -> DiaryError {
    DiaryError::Text {
        at: at.to_owned(),
        what: what.to_string(),
    }
}

impl Diary {
    /// Everything in it.
    ///
    /// # Errors
    /// [`DiaryError`].
    pub fn carry(&self) -> Result<Carried, DiaryError> {
        Ok(Carried {
            format: FORMAT.to_owned(),
            entries: self.everything()?,
            devices: self.devices()?,
            readings: self.all_readings()?,
        })
    }

    /// Takes in what [`to_json`] wrote; what is there already stays.
    ///
    /// # Errors
    /// Text of another form; then nothing is taken in.
    pub fn import_json(&mut self, json: &str) -> Result<Imported, DiaryError> {
        let carried: Carried = serde_json::from_str(json)
            .map_err(|e| text(&format!("line {}", e.line()), e.to_string()))?;
        if carried.format != FORMAT {
            return Err(text(
                "format",
                format!("\"{}\" where \"{FORMAT}\" is known", carried.format),
            ));
        }
        self.import(&carried)
    }

    /// Takes in a CSV: what [`to_csv`] wrote, or a hand-made one with the columns
    /// `date`, perhaps `time`, and `words` such as "fed 2 bucket goat_manure".
    ///
    /// # Errors
    /// The first line that cannot be read; then nothing is taken in.
    pub fn import_csv(&mut self, csv: &str, speech: &Speech) -> Result<Imported, DiaryError> {
        let entries = entries_of_csv(csv, speech)?;
        self.import(&Carried {
            format: FORMAT.to_owned(),
            entries,
            devices: Vec::new(),
            readings: Vec::new(),
        })
    }

    fn import(&mut self, carried: &Carried) -> Result<Imported, DiaryError> {
        let path = self.path.clone();
        let fail = |e| DiaryError::of(&path, e);
        let mut done = Imported::default();
        let tx = self
            .db
            .transaction_with_behavior(TransactionBehavior::Immediate)
            .map_err(fail)?;
        for e in &carried.entries {
            let added = insert(
                &tx,
                &e.uid,
                &e.writing,
                e.corrects.as_deref(),
                &e.written,
                fail,
            )?;
            if added.again {
                done.entries_known += 1;
            } else {
                done.entries += 1;
            }
        }
        for d in &carried.devices {
            tx.execute(
                "INSERT INTO device (name, since) VALUES (?1, ?2) ON CONFLICT(name) DO NOTHING",
                [&d.name, &d.since],
            )
            .map_err(fail)?;
        }
        for r in &carried.readings {
            if !r.reading.value.is_finite() {
                return Err(text(&r.device, "a reading that is not finite"));
            }
            done.readings += tx
                .execute(
                    "INSERT INTO reading (device, quantity, at, value, received, doubt) \
                     SELECT id, ?2, ?3, ?4, ?5, ?6 FROM device WHERE name = ?1 \
                     ON CONFLICT DO NOTHING",
                    rusqlite::params![
                        r.device,
                        r.reading.quantity.number(),
                        r.reading.at.as_millisecond(),
                        r.reading.value,
                        r.received.as_millisecond(),
                        i64::from(r.doubted)
                    ],
                )
                .map_err(fail)?;
        }
        tx.commit().map_err(fail)?;
        Ok(done)
    }
}

/// The entries of a CSV, exact or hand-made.
///
/// # Errors
/// The first line that cannot be read.
pub fn entries_of_csv(csv: &str, speech: &Speech) -> Result<Vec<WrittenEntry>, DiaryError> {
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_reader(csv.as_bytes());
    let written = stamp_now();
    let mut out: Vec<WrittenEntry> = Vec::new();
    for line in reader.deserialize::<Line>() {
        let line = line.map_err(|e| {
            let at = e.position().map_or(0, csv::Position::line);
            text(&format!("line {at}"), e)
        })?;
        let at = format!("line of {} \"{}\"", line.date, line.words);
        let date = line
            .date
            .trim()
            .parse()
            .map_err(|_| text(&at, "write the day like 2026-06-01"))?;
        let time = match line.time.as_deref().map(str::trim) {
            None | Some("") => None,
            Some(t) => Some(
                t.parse()
                    .map_err(|_| text(&at, "write the time like 08:30"))?,
            ),
        };
        let exact = !line.body.is_empty();
        let (entry, words) = if exact {
            let entry = serde_json::from_str(&line.body).map_err(|e| text(&at, e))?;
            (entry, line.words)
        } else {
            let spoken = format!("{} {}", line.kind, line.words);
            let entry = read_line(&spoken, speech)
                .map_err(|e| text(&at, format!("{}; {}", e.message, e.help)))?;
            (entry, without_kind(&line.kind, line.words))
        };
        let writing = Writing {
            date,
            time,
            entry,
            words,
        };
        let uid = match line.uid.is_empty() {
            false => line.uid,
            // Named by what it says, so that the same file taken in twice stands
            // once; the same line twice on one day is two entries.
            true => {
                let twins = out.iter().filter(|e| e.writing == writing).count();
                named_by(&writing, twins)
            }
        };
        out.push(WrittenEntry {
            uid,
            corrects: line.corrects.filter(|c| !c.is_empty()),
            written: if line.written.is_empty() {
                written.clone()
            } else {
                line.written
            },
            writing,
        });
    }
    Ok(out)
}

/// The words without the kind, when the kind has no column of its own.
fn without_kind(kind: &str, words: String) -> String {
    if !kind.is_empty() {
        return words;
    }
    match words.trim().split_once(char::is_whitespace) {
        Some((_, rest)) => rest.trim().to_owned(),
        None => String::new(),
    }
}

fn named_by(writing: &Writing, twins: usize) -> String {
    let said = format!(
        "{}|{:?}|{:?}|{}|{twins}",
        writing.date, writing.time, writing.entry, writing.words
    );
    let digest = Sha256::digest(said.as_bytes());
    digest[..12].iter().map(|b| format!("{b:02x}")).collect()
}
