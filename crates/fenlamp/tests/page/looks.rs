//! Pictures of the pages for `docs/pictures`, and the figures of speed: both made
//! when asked for by `FENLAMP_PICTURES=1`; without it the same way is gone once.

use serde_json::json;

use crate::harness::*;

/// Page, address behind the plan.
const SHOWN: &[(&str, &str)] = &[
    ("year", "/plans/hollin-croft"),
    ("part", "/plans/hollin-croft/parts/vessel"),
    ("start", "/start"),
    ("cautions", "/plans/hollin-croft/cautions"),
    ("figure", "/plans/hollin-croft/figures/gas?month=2027-07"),
];

#[tokio::test(flavor = "multi_thread")]
async fn pages_are_light_enough_for_a_phone() {
    let server = Server::start();
    let cookie = server.cookie();
    let mut files = 0;
    for file in ["/a/page.css", "/a/page.js", "/a/mark.svg"] {
        files += server.get(&cookie, file, "*/*").1.len();
    }
    let (_, page) = server.get(&cookie, "/plans/hollin-croft", "text/html");
    // Pictures are not counted.
    let mut bare = String::new();
    let mut rest = page.as_str();
    while let Some(i) = rest.find("<svg") {
        bare.push_str(&rest[..i]);
        rest = rest[i..].find("</svg>").map_or("", |j| &rest[i + j + 6..]);
    }
    bare.push_str(rest);
    let weight = files + bare.len();
    println!(
        "page weight without pictures: {weight} bytes; with them {}",
        files + page.len()
    );
    assert!(weight < 150_000, "{weight}");
}

#[tokio::test(flavor = "multi_thread")]
async fn pictures_of_the_pages() {
    let wanted = std::env::var_os("FENLAMP_PICTURES").is_some();
    let server = Server::start();
    let screens = [
        ("1280-light", Screen::Wide),
        ("1280-dark", Screen::WideDark),
        ("390-light", Screen::Phone(390)),
        ("390-dark", Screen::PhoneDark(390)),
    ];
    let pages = if wanted {
        SHOWN
    } else {
        &[("year", "/plans/small-yard")]
    };
    for (name, screen) in screens {
        let (c, _profile) = browser(&server, screen).await;
        for (page, path) in pages {
            c.goto(&server.at(path)).await.expect("the page");
            if path.contains("/parts") || path.matches('/').count() == 2 {
                ready(&c).await;
            }
            let png = c.screenshot().await.expect("a picture");
            assert!(png.len() > 5_000, "{page} {name}");
            if wanted {
                let folder = repository().join("docs/pictures");
                std::fs::create_dir_all(&folder).expect("a folder");
                std::fs::write(folder.join(format!("{page}-{name}.png")), &png).expect("written");
            }
        }
        no_complaint(&c).await;
        c.close().await.expect("closed");
    }
}

/// From a slider's stroke to the quick answer and to the full band, on the first
/// demo; the figures are printed for `docs/performance.md`.
#[tokio::test(flavor = "multi_thread")]
async fn a_stroke_is_answered_and_the_band_follows() {
    let strokes = if std::env::var_os("FENLAMP_PICTURES").is_some() {
        50
    } else {
        3
    };
    let server = Server::start();
    let (c, _profile) = browser(&server, Screen::Wide).await;
    let demo = std::env::var("FENLAMP_STROKES_ON").unwrap_or_else(|_| "small-yard".to_owned());
    c.goto(&server.at(&format!("/plans/{demo}/parts/vessel")))
        .await
        .expect("the form");
    ready(&c).await;
    let paint = c
        .execute(
            "return performance.getEntriesByName('first-contentful-paint')[0]?.startTime ?? -1",
            vec![],
        )
        .await
        .expect("a time");
    let (mut quick, mut full) = (Vec::new(), Vec::new());
    for i in 0..strokes {
        c.execute(
            "delete document.body.dataset.full; delete document.body.dataset.quick;",
            vec![],
        )
        .await
        .expect("cleared");
        // Each stroke to a volume that was not there yet.
        let next = c
            .execute("const s = document.querySelector(\"input[type=range][data-for='vessel-volume']\"); s.step = 'any'; window.began ??= Number(s.value); return String(window.began * (1 + 0.01 * (arguments[0] + 1)))", vec![json!(i)])
            .await
            .expect("the slider");
        let next = next.as_str().expect("a number");
        set(
            &c,
            "input[type=range][data-for='vessel-volume']",
            next,
            "input",
        )
        .await;
        until(&c, "document.body.dataset.full !== undefined").await;
        let t = c
            .execute("const d = document.body.dataset; return [Number(d.quick) - Number(d.asked), Number(d.full) - Number(d.asked)]", vec![])
            .await
            .expect("times");
        quick.push(t[0].as_f64().expect("a time"));
        full.push(t[1].as_f64().expect("a time"));
    }
    let p = |v: &mut Vec<f64>, share: f64| {
        v.sort_by(f64::total_cmp);
        v[((v.len() - 1) as f64 * share).round() as usize]
    };
    println!(
        "{}",
        json!({ "plan": demo, "strokes": strokes, "first_paint_ms": paint,
            "quick_ms": [p(&mut quick, 0.5), p(&mut quick, 0.95)], "full_ms": [p(&mut full, 0.5), p(&mut full, 0.95)] })
    );
    assert!(
        quick.iter().all(|t| *t > 0.0) && full.iter().zip(&quick).all(|(f, q)| f >= q || *f > 0.0)
    );
    no_complaint(&c).await;
    c.close().await.expect("closed");
}
