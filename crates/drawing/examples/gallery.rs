//! Writes every picture of invented figures into a folder, to look at:
//! `cargo run -p fenlamp-drawing --example gallery -- FOLDER`.

use std::path::Path;

use fenlamp_drawing::build;
use fenlamp_drawing::plant::{self, PartNote, View};
use fenlamp_drawing::plot::{self, Band, BandPlot, Mark, Panel, Series};
use fenlamp_model::plan::{NoFiles, read};
use fenlamp_report::hazard::Severity;
use fenlamp_words::{Language, Words};
use jiff::ToSpan;
use jiff::civil::{Date, date};

fn main() -> std::io::Result<()> {
    let folder = std::env::args().nth(1).unwrap_or_else(|| ".".to_owned());
    let folder = Path::new(&folder);
    std::fs::create_dir_all(folder)?;
    for (name, width, days, two) in [
        ("year-wide", 720.0, 730, true),
        ("year-narrow", 340.0, 365, false),
        ("weeks-narrow", 340.0, 40, true),
    ] {
        std::fs::write(
            folder.join(format!("{name}.svg")),
            plot::band(&year(width, days, two)),
        )?;
    }
    for width in [720.0, 340.0] {
        std::fs::write(
            folder.join(format!("store-{width}.svg")),
            plot::day_store(&store(width)),
        )?;
        std::fs::write(
            folder.join(format!("uses-{width}.svg")),
            plot::bars(&uses(width)),
        )?;
    }
    for (name, text) in [
        (
            "hollin",
            include_str!("../../../examples/hollin-croft.toml"),
        ),
        (
            "mango",
            include_str!("../../../examples/mango-yard-school.toml"),
        ),
        (
            "larch",
            include_str!("../../../examples/high-larch-farm.toml"),
        ),
        (
            "bench",
            include_str!("../../../examples/laboratory-batch.toml"),
        ),
    ] {
        let Ok(plan) = read(text, "demo", &NoFiles) else {
            continue;
        };
        let heads: Vec<_> = plan
            .gas_side
            .uses
            .iter()
            .map(|_| build::head(0.4, 800.0, 0.0, plan.units.into()))
            .collect();
        let joints = build::joints(&plan, &heads);
        let lines = build::list(&joints);
        for joint in &joints {
            let d = build::detail(
                name,
                &plan,
                joint,
                &lines,
                &heads,
                Words::of(Language::English),
            );
            std::fs::write(
                folder.join(format!("joint-{name}-{}-{}.svg", d.letter, joint.key)),
                d.svg,
            )?;
        }
        let top = build::top(name, &plan, 680.0, Words::of(Language::English));
        std::fs::write(folder.join(format!("top-{name}.svg")), top)?;
        let notes = [
            PartNote {
                part: plant::Kind::Headspace,
                severity: Severity::Stop,
            },
            PartNote {
                part: plant::Kind::Slurry,
                severity: Severity::Care,
            },
            PartNote {
                part: plant::Kind::Trap,
                severity: Severity::Stop,
            },
        ];
        for (width, language) in [(720.0, Language::English), (344.0, Language::German)] {
            let view = View {
                id: name.to_owned(),
                width,
                words: Words::of(language),
            };
            let svg = plant::drawing(&plan, &notes, &view).svg;
            std::fs::write(folder.join(format!("plant-{name}-{width}.svg")), svg)?;
            let svg = plant::measured(&plan, &view);
            std::fs::write(folder.join(format!("measured-{name}-{width}.svg")), svg)?;
        }
    }
    Ok(())
}

fn series(name: &str, unit: &str, start: Date, n: usize, f: impl Fn(f64) -> f64) -> Series {
    let days = (0..n).map(|i| {
        let m = f(i as f64);
        Band {
            low: m * 0.6,
            middle: m,
            high: m * 1.4,
        }
    });
    Series {
        name: name.to_owned(),
        unit: unit.to_owned(),
        start,
        days: days.collect(),
    }
}

fn year(width: f64, days: usize, two: bool) -> BandPlot {
    let start = date(2026, 5, 1);
    let wave = |i: f64| 0.5 - 0.5 * ((i - 20.0) / 58.0).cos();
    let gas = move |i: f64| 150.0 * wave(i) * (i / 40.0).min(1.0);
    let mut upper = vec![series("as planned", "L", start, days, gas)];
    if two {
        upper.push(series("with a thicker heap", "L", start, days, move |i| {
            1.3 * gas(i) + 12.0
        }));
    }
    BandPlot {
        id: "gallery".to_owned(),
        title: "Gas through the year".to_owned(),
        about: "Invented figures.".to_owned(),
        from: start,
        to: start.saturating_add((days as i64 - 1).days()),
        width,
        height: 330.0,
        upper: Panel {
            label: "gas, litres a day".to_owned(),
            series: upper,
            from_zero: true,
            gas: true,
        },
        lower: Some(Panel {
            label: "slurry, °C".to_owned(),
            series: vec![series("slurry", "°C", start, days, move |i| {
                8.0 + 14.0 * wave(i)
            })],
            from_zero: false,
            gas: false,
        }),
        marks: vec![Mark {
            date: date(2026, 6, 3),
            span: Some((date(2026, 5, 20), date(2026, 6, 8))),
            label: "first flame".to_owned(),
        }],
        months: plot::MONTHS,
    }
}

fn store(width: f64) -> plot::DayStore {
    let names = ["winter", "spring", "summer", "autumn"];
    let day = |i: usize, h: usize| {
        let made = 3.0 + 4.0 * i as f64;
        let since = if h < 7 {
            h + 6
        } else if h < 18 {
            h - 7
        } else {
            h - 18
        };
        (made * since as f64).min(100.0)
    };
    plot::DayStore {
        title: "The store through a day".to_owned(),
        about: "Invented figures.".to_owned(),
        label: "gas in the store, L".to_owned(),
        width,
        capacity: 100.0,
        full: "full".to_owned(),
        seasons: names
            .iter()
            .enumerate()
            .map(|(i, name)| plot::Season {
                name: (*name).to_owned(),
                held: std::array::from_fn(|h| day(i, h)),
                burning: std::array::from_fn(|h| if h == 6 || h == 17 { 1.0 } else { 0.0 }),
            })
            .collect(),
    }
}

fn uses(width: f64) -> plot::Bars {
    plot::Bars {
        title: "Kettles covered and missed".to_owned(),
        about: "Invented figures.".to_owned(),
        label: "kettles in the month".to_owned(),
        width,
        height: 190.0,
        covered: "covered".to_owned(),
        missed: "missed".to_owned(),
        bars: plot::MONTHS
            .iter()
            .enumerate()
            .map(|(i, m)| {
                let covered = 30.0 - 30.0 * ((i as f64 / 11.0 - 0.55).abs() * 2.0).min(1.0);
                plot::Bar {
                    name: (*m).to_owned(),
                    covered,
                    missed: 62.0 - covered,
                }
            })
            .collect(),
    }
}
