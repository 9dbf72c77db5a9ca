use jiff::civil::{Date, date};
use proptest::prelude::*;

use super::*;

fn series(n: usize, start: Date, f: impl Fn(f64) -> f64) -> Series {
    Series {
        name: "as planned <now>".to_owned(),
        unit: "L".to_owned(),
        start,
        days: (0..n)
            .map(|i| {
                let m = f(i as f64);
                Band {
                    low: m * 0.6,
                    middle: m,
                    high: m * 1.5,
                }
            })
            .collect(),
    }
}

fn plot(days: usize, width: f64) -> BandPlot {
    let start = date(2026, 5, 1);
    let gas = |i: f64| 80.0 - 70.0 * (i / 58.0).cos();
    BandPlot {
        id: "year".to_owned(),
        title: "Gas & days".to_owned(),
        about: "p90 > p50".to_owned(),
        from: start,
        to: super::scale::later(start, days as i64 - 1),
        width,
        height: 300.0,
        upper: Panel {
            label: "gas, litres a day".to_owned(),
            series: vec![
                series(days, start, gas),
                series(days, start, |i| 1.2 * gas(i)),
            ],
            from_zero: true,
            gas: true,
        },
        lower: Some(Panel {
            label: "slurry, °C".to_owned(),
            series: vec![series(days, start, |i| 12.0 - 8.0 * (i / 58.0).cos())],
            from_zero: false,
            gas: false,
        }),
        marks: vec![Mark {
            date: date(2026, 6, 20),
            span: Some((date(2026, 6, 1), date(2026, 8, 1))),
            label: "first flame".to_owned(),
        }],
        months: MONTHS,
    }
}

/// Every coordinate of a picture; panics unless it is well-formed XML.
fn coordinates(svg: &str) -> (f64, f64, Vec<(f64, f64)>) {
    let doc = roxmltree::Document::parse(svg).expect("well-formed");
    assert!(!svg.contains("NaN") && !svg.contains("inf"), "{svg}");
    let root = doc.root_element();
    let view: Vec<f64> = root
        .attribute("viewBox")
        .expect("viewBox")
        .split(' ')
        .map(|x| x.parse().expect("number"))
        .collect();
    let mut points = Vec::new();
    for node in doc.descendants().filter(|n| n.is_element()) {
        if node.ancestors().any(|a| a.has_tag_name("defs")) {
            continue;
        }
        let get = |name: &str| node.attribute(name).map(|v| v.parse::<f64>().expect(v));
        for (x, y) in [("x1", "y1"), ("x2", "y2"), ("x", "y")] {
            if let (Some(x), Some(y)) = (get(x), get(y)) {
                points.push((x, y));
                if let (Some(w), Some(h)) = (get("width"), get("height")) {
                    points.push((x + w, y + h));
                }
            }
        }
        if let Some(d) = node.attribute("d") {
            for pair in d.trim_end_matches('Z').split(['M', 'L']).skip(1) {
                let (x, y) = pair.split_once(' ').expect("pair");
                points.push((x.parse().expect("x"), y.parse().expect("y")));
            }
        }
    }
    (view[2], view[3], points)
}

fn all_inside(svg: &str) {
    let (w, h, points) = coordinates(svg);
    for (x, y) in points {
        assert!(
            (0.0..=w).contains(&x) && (0.0..=h).contains(&y),
            "{x},{y} outside {w}x{h}"
        );
    }
}

#[test]
fn a_plot_is_whole_and_inside_its_box() {
    for (days, width) in [
        (730, 720.0),
        (730, 340.0),
        (365, 320.0),
        (60, 700.0),
        (20, 340.0),
    ] {
        let svg = band(&plot(days, width));
        all_inside(&svg);
        assert!(svg.contains(r#"role="img""#) && svg.contains("<title>Gas &amp; days</title>"));
    }
}

#[test]
fn bands_and_lines_stay_in_the_field() {
    let svg = band(&plot(730, 720.0));
    let doc = roxmltree::Document::parse(&svg).expect("well-formed");
    let field: Vec<f64> = doc
        .root_element()
        .attribute("data-box")
        .expect("box")
        .split(',')
        .map(|x| x.parse().expect("number"))
        .collect();
    let marks: Vec<_> = doc
        .descendants()
        .filter(|n| n.attribute("class").is_some_and(|c| c.starts_with("band")))
        .collect();
    assert_eq!(marks.len(), 3, "two bands above, one below");
    for mark in marks {
        let d = mark.attribute("d").expect("path");
        for pair in d.trim_end_matches('Z').split(['M', 'L']).skip(1) {
            let (x, y) = pair.split_once(' ').expect("pair");
            let (x, y): (f64, f64) = (x.parse().expect("x"), y.parse().expect("y"));
            assert!((field[0]..=field[2]).contains(&x), "{x}");
            assert!((field[1]..=field[3]).contains(&y), "{y}");
        }
    }
}

#[test]
fn two_years_stay_small() {
    let svg = band(&plot(730, 720.0));
    assert!(svg.len() < 40_000, "{} bytes", svg.len());
    // A phone needs fewer points than a desk.
    assert!(band(&plot(730, 320.0)).len() < svg.len() * 2 / 3);
}

#[test]
fn joining_days_keeps_the_outermost_figures() {
    let mut p = plot(730, 300.0);
    p.lower = None;
    p.marks.clear();
    p.upper.series.truncate(1);
    p.upper.series[0].days[401].high = 1000.0;
    let svg = band(&p);
    let doc = roxmltree::Document::parse(&svg).expect("well-formed");
    let top: f64 = doc
        .root_element()
        .attribute("data-box")
        .expect("box")
        .split(',')
        .nth(1)
        .and_then(|t| t.parse().ok())
        .expect("top");
    let (_, _, points) = coordinates(&svg);
    assert!(
        points
            .iter()
            .any(|(x, y)| (y - top).abs() < 0.06 && *x > 100.0),
        "the peak shows"
    );
}

#[test]
fn odd_input_is_drawn_without_panic() {
    let mut p = plot(1, 300.0);
    all_inside(&band(&p));
    p.to = date(2020, 1, 1);
    all_inside(&band(&p));
    p.upper.series.clear();
    p.lower = None;
    p.width = f64::NAN;
    p.height = -3.0;
    all_inside(&band(&p));
    let mut p = plot(30, 300.0);
    for b in &mut p.upper.series[0].days {
        *b = Band {
            low: f64::NAN,
            middle: f64::INFINITY,
            high: 0.0,
        };
    }
    p.upper.series[1].days.clear();
    all_inside(&band(&p));
    let mut p = plot(400, 300.0);
    p.upper.series[0].days[50].middle = f64::NAN;
    let svg = band(&p);
    all_inside(&svg);
    for b in &mut p.upper.series[0].days {
        *b = Band {
            low: 0.0,
            middle: 0.0,
            high: 0.0,
        };
    }
    p.upper.series.truncate(1);
    all_inside(&band(&p));
}

#[test]
fn a_gap_parts_the_line() {
    let mut p = plot(60, 700.0);
    p.upper.series.truncate(1);
    p.lower = None;
    let whole = band(&p).matches("class=\"line a\"").count();
    p.upper.series[0].days[30].high = f64::NAN;
    let parted = band(&p).matches("class=\"line a\"").count();
    assert_eq!((whole, parted), (1, 2));
}

#[test]
fn a_window_shows_its_days_only() {
    let mut p = plot(730, 700.0);
    p.from = date(2027, 1, 1);
    p.to = date(2027, 1, 31);
    let json: serde_json::Value = serde_json::from_str(&data_json(&p)).expect("json");
    assert_eq!(json["x"].as_array().expect("x").len(), 31);
    assert_eq!(json["x"][0], "2027-01-01");
    let mid = json["series"][0]["mid"][0].as_f64().expect("mid");
    let want = p.upper.series[0].days[245].middle;
    assert!((mid - want).abs() < 1e-3 * want, "{mid} {want}");
    // The flame lies outside the window and is not drawn.
    assert!(!band(&p).contains("first flame"));
    // Days before the series began are told as unknown.
    p.from = date(2026, 4, 29);
    let json: serde_json::Value = serde_json::from_str(&data_json(&p)).expect("json");
    assert!(json["series"][0]["lo"][1].is_null() && json["series"][0]["lo"][2].is_number());
}

#[test]
fn data_cannot_close_a_script() {
    let mut p = plot(5, 300.0);
    p.upper.series[0].name = "</script><script>".to_owned();
    let json = data_json(&p);
    assert!(!json.contains('<'));
    let back: serde_json::Value = serde_json::from_str(&json).expect("json");
    assert_eq!(back["series"][0]["name"], "</script><script>");
}

fn store(n: usize, width: f64) -> DayStore {
    DayStore {
        title: "Store".to_owned(),
        about: String::new(),
        label: "gas in the store, L".to_owned(),
        width,
        capacity: 200.0,
        full: "full".to_owned(),
        seasons: (0..n)
            .map(|i| Season {
                name: format!("season {i}"),
                held: std::array::from_fn(|h| 8.0 * h as f64),
                burning: std::array::from_fn(|h| if h == 7 { 0.5 } else { 0.0 }),
            })
            .collect(),
    }
}

#[test]
fn a_day_in_the_store_is_inside_its_box() {
    for n in 0..6 {
        for width in [160.0, 340.0, 720.0] {
            all_inside(&day_store(&store(n, width)));
        }
    }
    let mut odd = store(4, 340.0);
    odd.capacity = f64::NAN;
    odd.seasons[0].held = [f64::NAN; 24];
    odd.seasons[1].burning = [7.0; 24];
    all_inside(&day_store(&odd));
}

#[test]
fn bars_are_solid_for_covered_and_hollow_for_missed() {
    let mut plot = Bars {
        title: "Kettles".to_owned(),
        about: String::new(),
        label: "kettles a month".to_owned(),
        width: 340.0,
        height: 180.0,
        covered: "covered".to_owned(),
        missed: "missed".to_owned(),
        bars: MONTHS
            .iter()
            .enumerate()
            .map(|(i, m)| Bar {
                name: (*m).to_owned(),
                covered: i as f64,
                missed: 11.0 - i as f64,
            })
            .collect(),
    };
    let svg = bars(&plot);
    all_inside(&svg);
    // Eleven months each, and one in the key.
    assert_eq!(svg.matches("class=\"covered\"").count(), 12);
    assert_eq!(svg.matches("class=\"missed\"").count(), 12);
    plot.bars[3].covered = f64::NAN;
    plot.bars[4].missed = -5.0;
    all_inside(&bars(&plot));
    plot.bars.clear();
    all_inside(&bars(&plot));
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(48) })]
    #[test]
    fn any_figures_are_drawn_inside(
        values in proptest::collection::vec(any::<f64>(), 0..80),
        width in -10.0..2000.0f64, height in -10.0..900.0f64, shift in -50i64..50,
    ) {
        let mut p = plot(60, width);
        p.height = height;
        p.upper.series[0].start = super::scale::later(p.from, shift);
        p.upper.series[0].days = values.iter()
            .map(|v| Band { low: -v, middle: *v, high: v * 2.0 }).collect();
        all_inside(&band(&p));
    }
}
