//! A diary of twenty years: two probes by the hour, four entries a day.
//!
//! How long does one entry take until it is on the disk, and how long everything a
//! page of one year needs? `cargo bench -p fenlamp-diary`

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use fenlamp_diary::{Carried, Diary, Quantity, Reading, to_json};
use fenlamp_report::diary::{Entry, GasBy, Writing, WrittenEntry};
use jiff::civil::{Date, date};
use jiff::{Timestamp, ToSpan};

const START_S: i64 = 1_577_836_800;

fn entry(day: Date, n: usize) -> Writing {
    Writing {
        date: day,
        time: None,
        entry: Entry::Gas {
            m3: 0.1 + 0.001 * (n % 50) as f64,
            days: 1.0,
            by: GasBy::Rise,
        },
        words: "120 L".to_owned(),
    }
}

fn build(diary: &mut Diary) {
    let hours = 20 * 365 * 24 + 5 * 24;
    for (device, quantity) in [
        ("slurry probe", Quantity::SlurryTemperature),
        ("air probe", Quantity::AirTemperature),
    ] {
        diary.add_device(device).expect("a new device");
        let all: Vec<Reading> = (0..hours)
            .map(|h| Reading {
                quantity,
                at: Timestamp::from_second(START_S + 3600 * h).expect("a near time"),
                value: 290.0 + 0.1 * (h % 40) as f64,
            })
            .collect();
        for part in all.chunks(10_000) {
            diary
                .take_at(device, part, START_S + 3600 * hours)
                .expect("taken");
        }
    }
    let mut entries = Vec::new();
    let mut day = date(2020, 1, 1);
    for n in 0..20 * 365 * 4 {
        if n % 4 == 0 && n > 0 {
            day = day.saturating_add(1.day());
        }
        entries.push(WrittenEntry {
            uid: format!("{n:024x}"),
            corrects: None,
            written: "2020-01-01T00:00:00Z".to_owned(),
            writing: entry(day, n),
        });
    }
    let all = Carried {
        format: "fenlamp-diary-1".to_owned(),
        entries,
        devices: Vec::new(),
        readings: Vec::new(),
    };
    diary
        .import_json(&to_json(&all).expect("text"))
        .expect("taken in");
}

fn twenty_years(c: &mut Criterion) {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("plan.diary.sqlite");
    let mut diary = Diary::open(&path).expect("a diary");
    build(&mut diary);
    drop(diary);
    let size = std::fs::metadata(&path).map_or(0, |m| m.len());
    println!("file: {:.1} MB", size as f64 / 1e6);
    let mut group = c.benchmark_group("twenty years");
    group.sample_size(30);
    group.bench_function("open and add an entry", |b| {
        let mut n = 0;
        b.iter(|| {
            n += 1;
            let mut diary = Diary::open(&path).expect("opens");
            diary.add(&entry(date(2040, 1, 1), n)).expect("added")
        });
    });
    let mut diary = Diary::open(&path).expect("opens");
    group.bench_function("add an entry", |b| {
        let mut n = 0;
        b.iter(|| {
            n += 1;
            diary.add(&entry(date(2040, 1, 1), n)).expect("added")
        });
    });
    group.bench_function("take a reading", |b| {
        let mut n = 0;
        b.iter(|| {
            n += 1;
            let at = Timestamp::from_second(START_S + 700_000_000 + n).expect("a near time");
            let reading = Reading {
                quantity: Quantity::SlurryTemperature,
                at,
                value: 290.0,
            };
            diary
                .take_at("slurry probe", &[reading], at.as_second())
                .expect("taken")
        });
    });
    group.bench_function("a year: entries and both probes by day", |b| {
        let from = Timestamp::from_second(START_S + 9 * 365 * 86_400).expect("a near time");
        let to = Timestamp::from_second(START_S + 10 * 365 * 86_400).expect("a near time");
        b.iter(|| {
            let entries = diary
                .standing(Some(date(2029, 1, 1)), Some(date(2029, 12, 31)))
                .expect("entries");
            let slurry = diary
                .day_means(Quantity::SlurryTemperature, from, to, 0)
                .expect("means");
            let air = diary
                .day_means(Quantity::AirTemperature, from, to, 0)
                .expect("means");
            black_box((entries.len(), slurry.len(), air.len()))
        });
    });
    group.bench_function("check the whole file", |b| {
        b.iter(|| diary.check().expect("sound"));
    });
    group.finish();
}

criterion_group!(benches, twenty_years);
criterion_main!(benches);
