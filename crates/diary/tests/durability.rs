//! What was acknowledged stays; what cannot be written is said and harms nothing.
//!
//! Some tests run this very test program again as another process (the child
//! "tests" below do nothing unless told to by the environment).

use std::fs;
use std::io::{BufRead, BufReader};
use std::os::unix::process::CommandExt;
use std::path::Path;
use std::process::{Command, Stdio};

use fenlamp_diary::{Diary, DiaryError, FORM};
use fenlamp_report::diary::{Entry, Writing};
use jiff::civil::date;

fn note(n: usize) -> Writing {
    Writing {
        date: date(2026, 6, 1),
        time: None,
        entry: Entry::Note {},
        words: format!("note {n}"),
    }
}

fn child(test: &str, path: &Path) -> Command {
    let mut command = Command::new(std::env::current_exe().expect("this program"));
    command
        .args(["--exact", test, "--nocapture", "--test-threads=1"])
        .env("DIARY_OF_PARENT", path);
    command
}

fn told() -> Option<std::path::PathBuf> {
    std::env::var_os("DIARY_OF_PARENT").map(Into::into)
}

#[test]
fn child_writes_and_acknowledges() {
    let Some(path) = told() else { return };
    let mut diary = Diary::open(&path).unwrap();
    for n in 0..1000 {
        let added = diary.add(&note(n)).unwrap();
        println!("kept {}", added.uid);
    }
}

/// kill -9 at eight places among a thousand writes: every name that was printed
/// after `add` returned is in the file, which is sound.
#[test]
fn a_killed_writer_loses_nothing_that_was_acknowledged() {
    for lines in [1, 3, 10, 57, 200, 400, 700, 990] {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("plan.diary.sqlite");
        let mut writer = child("child_writes_and_acknowledges", &path)
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let mut kept = Vec::new();
        let out = writer.stdout.take().unwrap();
        for line in BufReader::new(out).lines() {
            let line = line.unwrap();
            if let Some((_, uid)) = line.split_once("kept ") {
                kept.push(uid.to_owned());
            }
            if kept.len() == lines {
                writer.kill().unwrap();
            }
        }
        writer.wait().unwrap();
        assert!(kept.len() >= lines);
        let diary = Diary::open_existing(&path).unwrap();
        diary.check().unwrap();
        let there: Vec<String> = diary
            .everything()
            .unwrap()
            .into_iter()
            .map(|e| e.uid)
            .collect();
        for uid in &kept {
            assert!(there.contains(uid), "{uid} was acknowledged and is gone");
        }
        assert!(there.len() <= kept.len() + 200, "the pipe holds some lines");
    }
}

#[test]
fn child_writes_fifty() {
    let Some(path) = told() else { return };
    let mut diary = Diary::open(&path).unwrap();
    for n in 0..50 {
        diary.add(&note(n)).unwrap();
    }
}

#[test]
fn two_processes_write_in_one_diary() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("plan.diary.sqlite");
    let mut both: Vec<_> = (0..2)
        .map(|_| {
            child("child_writes_fifty", &path)
                .stdout(Stdio::null())
                .spawn()
                .unwrap()
        })
        .collect();
    for one in &mut both {
        assert!(one.wait().unwrap().success());
    }
    let diary = Diary::open_existing(&path).unwrap();
    diary.check().unwrap();
    assert_eq!(diary.everything().unwrap().len(), 100);
}

#[test]
fn child_fills_the_disk() {
    let Some(path) = told() else { return };
    let mut diary = Diary::open_existing(&path).unwrap();
    let long = Writing {
        words: "w".repeat(15_000),
        ..note(0)
    };
    for _ in 0..500 {
        match diary.add(&long) {
            Ok(added) => println!("kept {}", added.uid),
            Err(e @ DiaryError::Full(_)) => {
                println!("full: {e}");
                return;
            }
            Err(e) => panic!("not told as a full disk: {e:?}"),
        }
    }
    panic!("never full");
}

/// The system's limit on the size of a file stands in for a full disk: SQLite
/// meets a write that is refused half-way through its log.
#[test]
fn a_full_disk_is_said_and_loses_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("plan.diary.sqlite");
    Diary::open(&path).unwrap().add(&note(1)).unwrap();
    // 512 blocks of 512 bytes or of 1 KiB, by the shell; the signal is ignored
    // so that the write fails instead of the program.
    let program = std::env::current_exe().unwrap();
    let out = Command::new("sh")
        .arg("-c")
        .arg("trap '' XFSZ; ulimit -f 512; exec \"$0\" --exact child_fills_the_disk --nocapture")
        .arg(&program)
        .env("DIARY_OF_PARENT", &path)
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&out.stdout).into_owned();
    assert!(
        out.status.success(),
        "{said}{}",
        String::from_utf8_lossy(&out.stderr)
    );
    assert!(said.contains("full: "), "{said}");
    assert!(said.contains("no room is left"), "{said}");
    let diary = Diary::open_existing(&path).unwrap();
    diary.check().unwrap();
    let kept = said.matches("kept ").count();
    assert!(kept > 5);
    assert_eq!(diary.everything().unwrap().len(), kept + 1);
}

/// The other way a database gets full: its own count of pages.
#[test]
fn a_full_database_is_said_too() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("plan.diary.sqlite");
    let mut diary = Diary::open(&path).unwrap();
    diary.limit_pages_for_test(40);
    let long = Writing {
        words: "w".repeat(15_000),
        ..note(0)
    };
    let mut kept = 0;
    let error = loop {
        match diary.add(&long) {
            Ok(_) => kept += 1,
            Err(e) => break e,
        }
        assert!(kept < 100);
    };
    assert!(matches!(error, DiaryError::Full(_)), "{error:?}");
    drop(diary);
    let diary = Diary::open_existing(&path).unwrap();
    diary.check().unwrap();
    assert_eq!(diary.everything().unwrap().len(), kept);
}

#[test]
fn child_may_only_read() {
    let Some(path) = told() else { return };
    match Diary::open_existing(&path).and_then(|mut d| d.add(&note(2))) {
        Err(e @ DiaryError::ReadOnly(_)) => println!("said: {e}"),
        other => panic!("{other:?}"),
    }
}

/// As another user when the tests run as root, for root may write anything.
#[test]
fn a_file_that_may_not_be_written_is_said() {
    use std::os::unix::fs::PermissionsExt;
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("plan.diary.sqlite");
    Diary::open(&path).unwrap().add(&note(1)).unwrap();
    let before = fs::read(&path).unwrap();
    fs::set_permissions(&path, fs::Permissions::from_mode(0o444)).unwrap();
    fs::set_permissions(folder.path(), fs::Permissions::from_mode(0o755)).unwrap();
    // The program lies where another user may not go; its copy does not.
    let program = folder.path().join("again");
    fs::copy(std::env::current_exe().unwrap(), &program).unwrap();
    fs::set_permissions(&program, fs::Permissions::from_mode(0o755)).unwrap();
    let mut command = Command::new(&program);
    command
        .args(["--exact", "child_may_only_read", "--nocapture"])
        .current_dir(folder.path())
        .env("DIARY_OF_PARENT", &path);
    if fs::metadata("/proc/self").is_ok_and(|m| std::os::unix::fs::MetadataExt::uid(&m) == 0) {
        command.uid(65_534).gid(65_534);
    }
    let out = command.output().unwrap();
    let said = String::from_utf8_lossy(&out.stdout).into_owned();
    assert!(
        out.status.success(),
        "{said}{}",
        String::from_utf8_lossy(&out.stderr)
    );
    assert!(said.contains("read but not written"), "{said}");
    assert_eq!(fs::read(&path).unwrap(), before);
}

/// A diary of a hundred entries whose pages were spoilt.
#[test]
fn a_damaged_file_is_refused_and_left_alone() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("plan.diary.sqlite");
    let mut diary = Diary::open(&path).unwrap();
    for n in 0..300 {
        diary.add(&note(n)).unwrap();
    }
    drop(diary);
    let whole = fs::read(&path).unwrap();
    for from in (4096..whole.len()).step_by(4096) {
        let mut bytes = whole.clone();
        bytes[from..from + 64].fill(0xa5);
        fs::write(&path, &bytes).unwrap();
        let error = Diary::open_existing(&path).expect_err("damaged");
        assert!(matches!(error, DiaryError::Damaged { .. }), "{error:?}");
        assert!(error.help().contains("restore"));
        assert_eq!(fs::read(&path).unwrap(), bytes, "left as it was");
    }
    for bytes in [&whole[..50], b"plan = 3\n".as_slice()] {
        fs::write(&path, bytes).unwrap();
        let error = Diary::open_existing(&path).expect_err("no diary");
        assert!(matches!(error, DiaryError::NotADiary(_)), "{error:?}");
        assert_eq!(fs::read(&path).unwrap(), bytes);
    }
}

#[test]
fn a_newer_form_is_refused_and_left_alone() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("plan.diary.sqlite");
    Diary::open(&path).unwrap().add(&note(1)).unwrap();
    let mut bytes = fs::read(&path).unwrap();
    bytes[60..64].copy_from_slice(&(FORM as u32 + 1).to_be_bytes());
    fs::write(&path, &bytes).unwrap();
    let error = Diary::open(&path).expect_err("newer");
    assert!(matches!(error, DiaryError::Newer { .. }), "{error:?}");
    assert!(error.to_string().contains(&format!("form {}", FORM + 1)));
    assert_eq!(fs::read(&path).unwrap(), bytes);
}

#[test]
fn another_programs_database_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("photos.sqlite");
    let db = rusqlite::Connection::open(&path).unwrap();
    db.execute_batch("CREATE TABLE photo (id INTEGER)").unwrap();
    drop(db);
    let before = fs::read(&path).unwrap();
    assert!(matches!(Diary::open(&path), Err(DiaryError::NotADiary(_))));
    assert_eq!(fs::read(&path).unwrap(), before);
}

#[test]
fn a_backup_comes_back() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("plan.diary.sqlite");
    let copy = folder.path().join("kept.sqlite");
    let mut diary = Diary::open(&path).unwrap();
    for n in 0..20 {
        diary.add(&note(n)).unwrap();
    }
    diary.backup(&copy).unwrap();
    assert!(diary.backup(&copy).is_err(), "nothing is written over");
    let then = diary.carry().unwrap();
    for n in 20..30 {
        diary.add(&note(n)).unwrap();
    }
    let later = diary.carry().unwrap();
    let kept = diary.restore(&copy).unwrap();
    assert_eq!(diary.carry().unwrap(), then);
    assert_eq!(Diary::open_existing(&kept).unwrap().carry().unwrap(), later);
    diary.add(&note(99)).unwrap();
    // A damaged backup changes nothing.
    let now = diary.carry().unwrap();
    let mut bytes = fs::read(&copy).unwrap();
    let at = bytes.len() - 4096;
    bytes[at..at + 64].fill(0xa5);
    let bad = folder.path().join("bad.sqlite");
    fs::write(&bad, bytes).unwrap();
    assert!(matches!(
        diary.restore(&bad),
        Err(DiaryError::Damaged { .. })
    ));
    fs::write(&bad, "no diary").unwrap();
    assert!(matches!(diary.restore(&bad), Err(DiaryError::NotADiary(_))));
    assert_eq!(diary.carry().unwrap(), now);
}

/// A file as the first form left it is taken on with all it held.
#[test]
fn an_older_form_is_taken_on() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("plan.diary.sqlite");
    Diary::begin_in_form_for_test(&path, 1);
    let mut diary = Diary::open(&path).unwrap();
    assert_eq!(diary.everything().unwrap().len(), 1);
    diary.add_device("probe").unwrap();
    diary.check().unwrap();
}
