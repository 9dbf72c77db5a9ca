//! What instruments report: devices, their keys, and readings that count once.

use jiff::Timestamp;
use rusqlite::{OptionalExtension, TransactionBehavior, params};
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

use crate::error::DiaryError;
use crate::file::{Diary, seconds_now, stamp_now};
use crate::instruments::{self, DOUBTED};
use crate::reading::{Quantity, Reading, Received};

/// What became of a reading.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Taken {
    /// Written down.
    New,
    /// Written down, but not believed.
    Doubted(String),
    /// There already.
    Again,
    /// Another value of that moment is there already; the first one stands.
    Differs,
    /// Not written down.
    Refused(String),
}

/// A device.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Device {
    /// Name.
    pub name: String,
    /// Since when, UTC.
    pub since: String,
}

/// A device's key, shown once.
#[derive(Clone, PartialEq, Eq)]
pub struct Key(String);

impl Key {
    /// The key as the device sends it: 64 hex digits.
    pub fn text(&self) -> &str {
        &self.0
    }
}

impl std::fmt::Debug for Key {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Key(...)")
    }
}

/// A day's readings of one quantity.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct DayMean {
    /// Days since 1970-01-01 in the plant's own time.
    pub day: i64,
    /// Readings believed.
    pub count: i64,
    /// Their mean.
    pub mean: f64,
    /// Least.
    pub least: f64,
    /// Greatest.
    pub greatest: f64,
}

/// A device's clock may run ahead by so much, s.
const AHEAD_S: i64 = 300;
/// No instrument of ours reported before 2020-01-01: a clock that was never set.
const EARLIEST: i64 = 1_577_836_800;

impl Diary {
    /// Makes a device known and gives its key. Only the key's hash is kept.
    ///
    /// # Errors
    /// The name is taken or is no name.
    pub fn add_device(&mut self, name: &str) -> Result<Key, DiaryError> {
        let plain = |c: char| c.is_alphanumeric() || matches!(c, '-' | '_' | ' ' | '.');
        if name.is_empty() || name.len() > 60 || !name.chars().all(plain) {
            return Err(DiaryError::Device(
                "a device's name has letters, digits, spaces, dots and dashes".to_owned(),
            ));
        }
        let mut bits = [0u8; 32];
        getrandom::fill(&mut bits)
            .map_err(|e| DiaryError::Device(format!("the system gives no random numbers: {e}")))?;
        let key = Key(hex(&bits));
        let added = self
            .db
            .execute(
                "INSERT INTO device (name, key_hash, since) VALUES (?1, ?2, ?3) \
                 ON CONFLICT(name) DO UPDATE SET key_hash = ?2 WHERE key_hash IS NULL",
                params![name, hash(&key.0), stamp_now()],
            )
            .map_err(|e| self.fail(e))?;
        if added == 0 {
            return Err(DiaryError::Device(format!(
                "there is a device \"{name}\" already"
            )));
        }
        Ok(key)
    }

    /// Gives a device a new key; the old one is void.
    ///
    /// # Errors
    /// No such device.
    pub fn renew_key(&mut self, name: &str) -> Result<Key, DiaryError> {
        let gone = self
            .db
            .execute("UPDATE device SET key_hash = NULL WHERE name = ?1", [name])
            .map_err(|e| self.fail(e))?;
        if gone == 0 {
            return Err(DiaryError::Device(format!("there is no device \"{name}\"")));
        }
        self.add_device(name)
    }

    /// Devices by name.
    ///
    /// # Errors
    /// [`DiaryError`].
    pub fn devices(&self) -> Result<Vec<Device>, DiaryError> {
        let mut s = self
            .db
            .prepare("SELECT name, since FROM device ORDER BY name")
            .map_err(|e| self.fail(e))?;
        let rows = s
            .query_map([], |r| {
                Ok(Device {
                    name: r.get(0)?,
                    since: r.get(1)?,
                })
            })
            .map_err(|e| self.fail(e))?;
        rows.collect::<Result<_, _>>().map_err(|e| self.fail(e))
    }

    /// The device a key belongs to.
    ///
    /// # Errors
    /// [`DiaryError::Device`] when it belongs to none.
    pub fn device_of_key(&self, key: &str) -> Result<String, DiaryError> {
        self.db
            .query_row(
                "SELECT name FROM device WHERE key_hash = ?1",
                [hash(key.trim())],
                |r| r.get(0),
            )
            .optional()
            .map_err(|e| self.fail(e))?
            .ok_or_else(|| DiaryError::Device("this key belongs to no device".to_owned()))
    }

    /// Writes readings down, all in one step; each counts once however often it is
    /// sent. When this returns, they are on the disk and may be acknowledged.
    ///
    /// # Errors
    /// No such device, or the file; then none was written.
    pub fn take(&mut self, device: &str, readings: &[Reading]) -> Result<Vec<Taken>, DiaryError> {
        self.take_at(device, readings, seconds_now())
    }

    /// As [`Diary::take`] at a stated moment, seconds since 1970.
    ///
    /// # Errors
    /// As [`Diary::take`].
    pub fn take_at(
        &mut self,
        device: &str,
        readings: &[Reading],
        now_s: i64,
    ) -> Result<Vec<Taken>, DiaryError> {
        let mut taken = self.take_all(&[(device, readings)], now_s)?;
        Ok(taken.pop().unwrap_or_default())
    }

    /// Readings of several devices, all in one step.
    ///
    /// # Errors
    /// As [`Diary::take`]; then none of them was written.
    pub fn take_all(
        &mut self,
        sent: &[(&str, &[Reading])],
        now_s: i64,
    ) -> Result<Vec<Vec<Taken>>, DiaryError> {
        let path = self.path.clone();
        let fail = |e| DiaryError::of(&path, e);
        let tx = self
            .db
            .transaction_with_behavior(TransactionBehavior::Immediate)
            .map_err(fail)?;
        let mut all = Vec::with_capacity(sent.len());
        for (device, readings) in sent {
            let id: i64 = tx
                .prepare_cached("SELECT id FROM device WHERE name = ?1")
                .and_then(|mut s| s.query_row([device], |r| r.get(0)).optional())
                .map_err(fail)?
                .ok_or_else(|| DiaryError::Device(format!("there is no device \"{device}\"")))?;
            let mut taken = Vec::with_capacity(readings.len());
            for reading in *readings {
                taken.push(one(&tx, id, reading, now_s).map_err(fail)?);
            }
            all.push(taken);
        }
        tx.commit().map_err(fail)?;
        Ok(all)
    }

    /// Readings of a quantity from one moment to before another, in order of time.
    ///
    /// # Errors
    /// [`DiaryError`].
    pub fn readings(
        &self,
        quantity: Quantity,
        from: Timestamp,
        to: Timestamp,
    ) -> Result<Vec<Received>, DiaryError> {
        self.received(
            "WHERE r.quantity = ?1 AND r.at >= ?2 AND r.at < ?3 ORDER BY r.at, d.name",
            params![
                quantity.number(),
                from.as_millisecond(),
                to.as_millisecond()
            ],
        )
    }

    /// Every reading.
    ///
    /// # Errors
    /// [`DiaryError`].
    pub fn all_readings(&self) -> Result<Vec<Received>, DiaryError> {
        self.received("ORDER BY d.name, r.quantity, r.at", [])
    }

    fn received(
        &self,
        rest: &str,
        params: impl rusqlite::Params,
    ) -> Result<Vec<Received>, DiaryError> {
        let mut s = self
            .db
            .prepare_cached(&format!(
                "SELECT d.name, r.quantity, r.at, r.value, r.received, r.doubt \
                 FROM device d CROSS JOIN reading r ON r.device = d.id {rest}"
            ))
            .map_err(|e| self.fail(e))?;
        let rows = s
            .query_map(params, |r| {
                Ok((
                    r.get(0)?,
                    r.get(1)?,
                    r.get(2)?,
                    r.get(3)?,
                    r.get(4)?,
                    r.get(5)?,
                ))
            })
            .map_err(|e| self.fail(e))?;
        rows.map(|row| {
            let (device, quantity, at, value, received, doubt): (String, i64, i64, f64, i64, i64) =
                row.map_err(|e| self.fail(e))?;
            let damaged = |what: &str| DiaryError::Damaged {
                path: self.path.clone(),
                what: what.to_owned(),
            };
            Ok(Received {
                device,
                reading: Reading {
                    quantity: Quantity::of_number(quantity)
                        .ok_or_else(|| damaged("a reading of nothing known"))?,
                    at: Timestamp::from_millisecond(at)
                        .map_err(|_| damaged("a reading out of time"))?,
                    value,
                },
                received: Timestamp::from_millisecond(received)
                    .map_err(|_| damaged("a reading out of time"))?,
                doubted: doubt != 0,
            })
        })
        .collect()
    }

    /// Day by day over all devices, doubted readings left out. `offset_s` is the
    /// plant's time less UTC.
    ///
    /// # Errors
    /// [`DiaryError`].
    pub fn day_means(
        &self,
        quantity: Quantity,
        from: Timestamp,
        to: Timestamp,
        offset_s: i64,
    ) -> Result<Vec<DayMean>, DiaryError> {
        let mut s = self
            .db
            .prepare_cached(
                "SELECT (r.at + ?4) / 86400000 AS day, count(*), avg(r.value), min(r.value), max(r.value) \
                 FROM device d CROSS JOIN reading r ON r.device = d.id \
                 WHERE r.quantity = ?1 AND r.at >= ?2 AND r.at < ?3 AND r.doubt = 0 \
                 GROUP BY day ORDER BY day",
            )
            .map_err(|e| self.fail(e))?;
        let rows = s
            .query_map(
                params![
                    quantity.number(),
                    from.as_millisecond(),
                    to.as_millisecond(),
                    offset_s * 1000
                ],
                |r| {
                    Ok(DayMean {
                        day: r.get(0)?,
                        count: r.get(1)?,
                        mean: r.get(2)?,
                        least: r.get(3)?,
                        greatest: r.get(4)?,
                    })
                },
            )
            .map_err(|e| self.fail(e))?;
        rows.collect::<Result<_, _>>().map_err(|e| self.fail(e))
    }
}

fn one(
    db: &rusqlite::Connection,
    device: i64,
    reading: &Reading,
    now_s: i64,
) -> rusqlite::Result<Taken> {
    if !reading.value.is_finite() {
        return Ok(Taken::Refused(
            "the value is not a finite number".to_owned(),
        ));
    }
    let at = reading.at.as_millisecond();
    if at > (now_s + AHEAD_S) * 1000 {
        return Ok(Taken::Refused(
            "the device's clock runs ahead: set it, or send no time".to_owned(),
        ));
    }
    if at < EARLIEST * 1000 {
        return Ok(Taken::Refused(
            "the device's clock was never set: set it, or send no time".to_owned(),
        ));
    }
    let number = reading.quantity.number();
    let there: Option<f64> = db
        .prepare_cached(
            "SELECT value FROM reading WHERE device = ?1 AND quantity = ?2 AND at = ?3",
        )?
        .query_row(params![device, number, at], |r| r.get(0))
        .optional()?;
    if let Some(value) = there {
        return Ok(if value == reading.value {
            Taken::Again
        } else {
            Taken::Differs
        });
    }
    let before: Option<(i64, f64)> = db
        .prepare_cached(
            "SELECT at, value FROM reading WHERE device = ?1 AND quantity = ?2 AND at < ?3 \
             AND doubt = 0 ORDER BY at DESC LIMIT 1",
        )?
        .query_row(params![device, number, at], |r| Ok((r.get(0)?, r.get(1)?)))
        .optional()?;
    let doubt = instruments::doubt(reading, before);
    db.prepare_cached(
        "INSERT INTO reading (device, quantity, at, value, received, doubt) \
         VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
    )?
    .execute(params![
        device,
        number,
        at,
        reading.value,
        now_s * 1000,
        if doubt.is_some() { DOUBTED } else { 0 }
    ])?;
    Ok(doubt.map_or(Taken::New, Taken::Doubted))
}

fn hash(key: &str) -> Vec<u8> {
    Sha256::digest(key.as_bytes()).to_vec()
}

fn hex(bits: &[u8]) -> String {
    bits.iter().map(|b| format!("{b:02x}")).collect()
}
