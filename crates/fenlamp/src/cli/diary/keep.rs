//! Writing in the diary and carrying it about.

use std::path::Path;

use fenlamp_diary::{Diary, to_csv, to_json, to_readings_csv};
use fenlamp_model::plan::Plan;
use fenlamp_report::diary::words::{Speech, WordsError, read_kind, say};
use fenlamp_report::diary::{Entry, Writing};

use super::{When, existing, units};
use crate::failure::Failure;
use crate::plan_file::Opened;
use crate::view_model::days::today;
use crate::view_model::diary::caution;
use crate::view_model::diary::failed;

/// Largest file taken in, bytes.
const LARGEST_IMPORT: u64 = 256 << 20;

/// Writes an entry down.
pub fn add(
    opened: &Opened,
    path: &Path,
    kind: &str,
    words: &str,
    when: &When,
) -> Result<String, Failure> {
    let writing = writing(&opened.plan, kind, words, when, None)?;
    let mut diary = Diary::open(path).map_err(failed)?;
    let added = diary.add(&writing).map_err(failed)?;
    Ok(kept(opened, &writing, &added.uid))
}

/// Writes an entry anew, or takes it back.
pub fn correct(
    opened: &Opened,
    path: &Path,
    name: &str,
    kind: Option<&str>,
    words: &str,
    when: &When,
) -> Result<String, Failure> {
    let mut diary = existing(path)?;
    let old = diary.entry(name).map_err(failed)?;
    let Some(kind) = kind else {
        let added = diary.withdraw(&old.uid, "").map_err(failed)?;
        return Ok(format!(
            "taken back: {} of {} (its history stays: {})\n",
            old.writing.entry.kind().unwrap_or("entry"),
            old.writing.date,
            &added.uid[..8]
        ));
    };
    let writing = writing(&opened.plan, kind, words, when, Some(&old.writing))?;
    let added = diary.correct(&old.uid, &writing).map_err(failed)?;
    Ok(kept(opened, &writing, &added.uid))
}

/// The words as an entry; day and time as `old` had them where not told.
fn writing(
    plan: &Plan,
    kind: &str,
    words: &str,
    when: &When,
    old: Option<&Writing>,
) -> Result<Writing, Failure> {
    let entry = read_kind(kind, words, &Speech::of(plan))
        .map_err(|WordsError { message, help }| Failure::input(message, help))?;
    let date = when.on.or(old.map(|o| o.date)).unwrap_or_else(today);
    if date > today() {
        return Err(Failure::input(
            format!("{date} has not come yet"),
            "a diary holds what was; write the day it happened",
        ));
    }
    Ok(Writing {
        date,
        time: when.at.or(old.and_then(|o| o.time)),
        entry,
        words: words.to_owned(),
    })
}

fn kept(opened: &Opened, writing: &Writing, uid: &str) -> String {
    let mut text = format!(
        "{} {}: {}   [{}]\n",
        writing.date,
        writing.entry.kind().unwrap_or_default(),
        match &writing.entry {
            Entry::Note {} => writing.words.clone(),
            entry => say(entry, units(opened)),
        },
        &uid[..8]
    );
    if let Some(caution) = caution(&writing.entry) {
        text.push_str(caution);
        text.push('\n');
    }
    text
}

/// Takes a file in.
pub fn import(opened: &Opened, path: &Path, file: &Path) -> Result<String, Failure> {
    let shown = file.display();
    let about = std::fs::metadata(file)
        .map_err(|e| Failure::input(format!("{shown}: it cannot be read ({e})"), ""))?;
    if about.len() > LARGEST_IMPORT {
        return Err(Failure::input(
            format!("{shown}: it has {} MB; that is no diary", about.len() >> 20),
            "",
        ));
    }
    let text = std::fs::read_to_string(file)
        .map_err(|e| Failure::input(format!("{shown}: it cannot be read ({e})"), ""))?;
    let json = file
        .extension()
        .is_some_and(|e| e.eq_ignore_ascii_case("json"));
    let mut diary = Diary::open(path).map_err(failed)?;
    let done = if json {
        diary.import_json(&text)
    } else {
        diary.import_csv(&text, &Speech::of(&opened.plan))
    }
    .map_err(|e| match failed(e) {
        Failure::Input { message, help } => Failure::Input {
            message: format!("{shown}: {message}"),
            help: if help.is_empty() {
                "nothing was taken in".to_owned()
            } else {
                help
            },
        },
        other => other,
    })?;
    Ok(format!(
        "{} entries taken in, {} known already, {} readings\n",
        done.entries, done.entries_known, done.readings
    ))
}

/// The diary as text.
pub fn export(
    path: &Path,
    json: bool,
    readings: bool,
    output: Option<&Path>,
) -> Result<String, Failure> {
    let diary = existing(path)?;
    let text = if json {
        diary.carry().and_then(|c| to_json(&c))
    } else if readings {
        diary.all_readings().and_then(|r| to_readings_csv(&r))
    } else {
        diary.everything().and_then(|e| to_csv(&e))
    }
    .map_err(failed)?;
    let Some(output) = output else {
        return Ok(text);
    };
    write_new(output, &text)?;
    Ok(format!("written to {}\n", output.display()))
}

/// Writes a file that must not be there yet.
pub fn write_new(path: &Path, text: &str) -> Result<(), Failure> {
    use std::io::Write;
    std::fs::File::create_new(path)
        .and_then(|mut f| f.write_all(text.as_bytes()).and_then(|()| f.sync_all()))
        .map_err(|e| {
            let help = match e.kind() {
                std::io::ErrorKind::AlreadyExists => "name a new file; nothing is written over",
                _ => "",
            };
            Failure::input(
                format!("{}: it cannot be written ({e})", path.display()),
                help,
            )
        })
}

/// Copies the diary.
pub fn backup(path: &Path, file: &Path) -> Result<String, Failure> {
    existing(path)?.backup(file).map_err(failed)?;
    Ok(format!("copied to {}, whole and checked\n", file.display()))
}

/// Brings a backup back.
pub fn restore(path: &Path, file: &Path) -> Result<String, Failure> {
    // A diary too damaged to open is set aside first.
    let mut set_aside = None;
    let mut diary = match Diary::open(path) {
        Ok(diary) => diary,
        Err(fenlamp_diary::DiaryError::Damaged { .. }) => {
            let aside = fenlamp_diary::set_aside(path).map_err(failed)?;
            set_aside = Some(aside);
            Diary::open(path).map_err(failed)?
        }
        Err(e) => return Err(failed(e)),
    };
    let kept = diary.restore(file).map_err(failed)?;
    let kept = set_aside.unwrap_or(kept);
    Ok(format!(
        "brought back from {}\nas it was before: {}\n",
        file.display(),
        kept.display()
    ))
}

/// Makes an instrument known.
pub fn device(path: &Path, name: Option<&str>, renew: bool) -> Result<String, Failure> {
    let mut diary = Diary::open(path).map_err(failed)?;
    let Some(name) = name else {
        let devices = diary.devices().map_err(failed)?;
        if devices.is_empty() {
            return Ok("no instrument is known yet\n".to_owned());
        }
        return Ok(devices
            .iter()
            .map(|d| format!("{}, since {}\n", d.name, &d.since[..10]))
            .collect());
    };
    let key = if renew {
        diary.renew_key(name)
    } else {
        diary.add_device(name)
    }
    .map_err(failed)?;
    Ok(format!("key of {name}, shown this once:\n{}\n", key.text()))
}
