//! Wrong plans: each is refused at the right line and key, with words that help.
//!
//! Every file in `bad_plans/` ends with lines `# expect LINE | KEY | WORDS`, one
//! for each fault, in order. Beside it stands the full message; set
//! `FENLAMP_REWRITE=1` to write the messages anew and then read the difference.

use fenlamp_model::plan::{Files, NoFiles, PlanErrors, read, read_bytes};
use proptest::prelude::*;
use std::fs;
use std::path::{Path, PathBuf};

struct Beside;

impl Files for Beside {
    fn get(&self, relative: &str) -> Result<Vec<u8>, String> {
        match relative {
            "malformed.csv" => Ok(b"date,air_c\n2026-01-01,4.5\n2026-01-02,warm\n".to_vec()),
            "short.csv" => {
                Ok(b"date,air_c\n2026-04-01,4.5\n2026-04-02,5.0\n2026-04-03,6.0\n".to_vec())
            }
            _ => Err("no such file".to_owned()),
        }
    }
}

fn wrong(text: &str, name: &str) -> PlanErrors {
    match read(text, name, &Beside) {
        Ok(_) => panic!("{name} was taken"),
        Err(e) => e,
    }
}

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/bad_plans")
}

#[test]
fn every_wrong_plan_is_refused_in_the_right_place() {
    let mut files: Vec<PathBuf> = fs::read_dir(folder())
        .unwrap()
        .map(|f| f.unwrap().path())
        .filter(|p| p.extension().is_some_and(|e| e == "toml"))
        .collect();
    files.sort();
    assert!(files.len() >= 60, "{}", files.len());
    let rewrite = std::env::var_os("FENLAMP_REWRITE").is_some();
    let mut faults = Vec::new();
    for path in files {
        let text = fs::read_to_string(&path).unwrap();
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        let errors = wrong(&text, &name);
        let expected: Vec<&str> = text
            .lines()
            .filter_map(|l| l.strip_prefix("# expect "))
            .collect();
        assert!(!expected.is_empty(), "{name} expects nothing");
        if expected.len() != errors.errors.len() {
            faults.push(format!(
                "{name}: {} faults expected, found\n{errors}",
                expected.len()
            ));
            continue;
        }
        for (want, error) in expected.iter().zip(&errors.errors) {
            let parts: Vec<&str> = want.splitn(3, '|').map(str::trim).collect();
            let line: usize = parts[0].parse().unwrap();
            let shown = error.to_string();
            if line != error.line || parts[1] != error.key || !shown.contains(parts[2]) {
                faults.push(format!(
                    "{name}: wanted \"{want}\", found line {} {shown}",
                    error.line
                ));
            }
        }
        let snapshot = path.with_extension("txt");
        let full = format!("{errors}\n");
        if rewrite {
            fs::write(&snapshot, &full).unwrap();
        } else if fs::read_to_string(&snapshot).unwrap_or_default() != full {
            faults.push(format!(
                "{name}: the message differs from {}:\n{full}",
                snapshot.display()
            ));
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

fn refused(bytes: &[u8], words: &str) {
    let e = read_bytes(bytes, "wrong.toml", &NoFiles).expect_err("refused");
    assert!(e.to_string().contains(words), "{e}");
}

#[test]
fn what_is_not_a_text_is_refused() {
    refused(b"", "the file is empty");
    refused(" \n\u{feff}\t\n".as_bytes(), "the file is empty");
    refused(
        b"[plan]\nname = \"\xff\xfe\"\n",
        "wrong.toml:2: the file is not UTF-8 text from byte 16 on",
    );
    refused(
        &vec![b'x'; 10_000_000],
        "the file has 10000000 bytes; a plan has at most 1000000",
    );
    // Noise of the largest size that is looked at.
    let noise: Vec<u8> = (0..1_000_000u32)
        .map(|i| (i.wrapping_mul(2_654_435_761) >> 24) as u8)
        .collect();
    refused(&noise, "not UTF-8");
    let ascii: Vec<u8> = noise.iter().map(|b| b % 127).collect();
    assert!(read_bytes(&ascii, "wrong.toml", &NoFiles).is_err());
    refused(&[0; 1000], "wrong.toml:1:");
    // Deep nesting must not exhaust the stack.
    refused(
        format!("a = {}", "[".repeat(100_000)).as_bytes(),
        "wrong.toml:1:",
    );
    refused(
        format!("a = {}", "{b=".repeat(100_000)).as_bytes(),
        "wrong.toml:1:",
    );
    refused(
        format!("[{}]", "a.".repeat(100_000)).as_bytes(),
        "wrong.toml:1:",
    );
}

const DEMOS: [&str; 4] = [
    include_str!("../../../examples/hollin-croft.toml"),
    include_str!("../../../examples/mango-yard-school.toml"),
    include_str!("../../../examples/high-larch-farm.toml"),
    include_str!("../../../examples/laboratory-batch.toml"),
];

/// Whatever comes out, its places lie inside the text and it says something.
fn sound(text: &str) {
    if let Err(e) = read(text, "any.toml", &Beside) {
        assert!(!e.errors.is_empty() && !e.to_string().is_empty());
        for e in e.errors {
            assert!(e.line >= 1 && e.column >= 1 && !e.message.is_empty());
            assert!(
                e.span.start <= e.span.end && e.span.end <= text.len(),
                "{e:?}"
            );
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(192))]

    #[test]
    fn any_text_is_read_or_refused(text in any::<String>()) {
        sound(&text);
    }

    #[test]
    fn any_bytes_are_read_or_refused(bytes in proptest::collection::vec(any::<u8>(), 0..400)) {
        let _ = read_bytes(&bytes, "any.toml", &NoFiles);
    }

    /// A demo with a piece cut out, put elsewhere or replaced.
    #[test]
    fn a_mangled_demo_is_read_or_refused(
        which in 0usize..4,
        from in 0usize..4000,
        length in 0usize..40,
        put in prop_oneof![
            Just(String::new()),
            "[-0-9.,/ a-zA-Z°%\"\\[\\]=#\n]{0,12}",
            Just("nan".to_owned()),
            Just("1e999".to_owned()),
            Just("\"".to_owned()),
            Just("99999999999999999999".to_owned()),
            any::<String>(),
        ],
    ) {
        let chars: Vec<char> = DEMOS[which].chars().collect();
        let from = from % chars.len();
        let end = (from + length).min(chars.len());
        let text: String = chars[..from].iter().copied().chain(put.chars()).chain(chars[end..].iter().copied()).collect();
        sound(&text);
    }

    /// A demo with one number changed to another.
    #[test]
    fn a_demo_with_another_number_is_read_or_refused(which in 0usize..4, nth in 0usize..200, number in prop_oneof![
        any::<f64>().prop_map(|x| x.to_string()),
        any::<i64>().prop_map(|x| x.to_string()),
        (0u32..100_000).prop_map(|x| x.to_string()),
    ]) {
        let text = DEMOS[which];
        let starts: Vec<usize> = text
            .char_indices()
            .filter(|(i, c)| c.is_ascii_digit() && !text[..*i].ends_with(|p: char| p.is_ascii_digit() || p == '.'))
            .map(|(i, _)| i)
            .collect();
        let at = starts[nth % starts.len()];
        let end = at + text[at..].find(|c: char| !(c.is_ascii_digit() || c == '.')).unwrap_or(text.len() - at);
        sound(&format!("{}{number}{}", &text[..at], &text[end..]));
    }

    /// Leaving out one line never makes a plan that panics or tells nonsense places.
    #[test]
    fn a_demo_without_a_line_is_read_or_refused(which in 0usize..4, line in 0usize..120) {
        let lines: Vec<&str> = DEMOS[which].lines().collect();
        let line = line % lines.len();
        let rest: Vec<&str> = lines.iter().enumerate().filter(|(i, _)| *i != line).map(|(_, l)| *l).collect();
        sound(&rest.join("\n"));
    }
}
