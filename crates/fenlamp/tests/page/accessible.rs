//! Every page against axe-core, which `./test` fetches from the npm registry.

use serde_json::Value;

use crate::browser::PAGES;
use crate::harness::*;

fn axe() -> String {
    let file = repository().join(".tools/axe.min.js");
    std::fs::read_to_string(&file)
        .unwrap_or_else(|e| panic!("{}: {e}; ./test fetches it", file.display()))
}

/// Faults that axe calls serious or critical, as "rule: element".
async fn faults(client: &fantoccini::Client, axe: &str) -> Vec<String> {
    client.execute(axe, vec![]).await.expect("axe loads");
    let got = client
        .execute_async(
            "const done = arguments[0]; axe.run(document).then(r => done(r.violations.filter(v => ['serious','critical'].includes(v.impact)).map(v => v.id + ': ' + v.nodes.map(n => n.html.slice(0, 120)).slice(0, 3).join(' | '))));",
            vec![],
        )
        .await
        .expect("axe runs");
    got.as_array()
        .into_iter()
        .flatten()
        .filter_map(Value::as_str)
        .map(str::to_owned)
        .collect()
}

async fn on(screen: Screen) {
    let axe = axe();
    let server = Server::start();
    let (c, _profile) = browser(&server, screen).await;
    let mut bad = Vec::new();
    for path in PAGES {
        c.goto(&server.at(path)).await.expect("the page");
        tokio::time::sleep(std::time::Duration::from_millis(200)).await;
        if path.starts_with("/plans/small-yard") && path.matches('/').count() == 2 {
            ready(&c).await;
            // What is folded is looked at as well.
            c.execute(
                "document.querySelectorAll('details').forEach(d => d.open = true)",
                vec![],
            )
            .await
            .expect("opened");
        }
        bad.extend(
            faults(&c, &axe)
                .await
                .into_iter()
                .map(|f| format!("{path}: {f}")),
        );
    }
    // A trial, with its faults told.
    c.goto(&server.at("/plans/small-yard/parts/vessel"))
        .await
        .expect("the form");
    ready(&c).await;
    fill(&c, "[name='v:vessel.volume']", "much").await;
    until(&c, "document.querySelector('section.faults') !== null").await;
    bad.extend(faults(&c, &axe).await);
    assert!(bad.is_empty(), "{}", bad.join("\n"));
    c.close().await.expect("closed");
}

#[tokio::test(flavor = "multi_thread")]
async fn nothing_serious_on_a_wide_screen() {
    on(Screen::Wide).await;
}

#[tokio::test(flavor = "multi_thread")]
async fn nothing_serious_on_a_phone_in_the_dark() {
    on(Screen::PhoneDark(390)).await;
}

#[tokio::test(flavor = "multi_thread")]
async fn pictures_have_words_beside_them() {
    let server = Server::start();
    let (c, _profile) = browser(&server, Screen::Wide).await;
    let got = c
        .execute(
            "return [...document.querySelectorAll('main svg')].map(s => [s.getAttribute('role') || s.closest('[role]')?.getAttribute('role'), s.querySelector('title')?.textContent || '', s.querySelector('desc')?.textContent || ''])",
            vec![],
        )
        .await
        .expect("the pictures");
    let all = got.as_array().expect("a list");
    assert!(all.len() >= 4, "{got}");
    for picture in all {
        assert!(
            picture[1].as_str().is_some_and(|t| t.len() > 5),
            "{picture}"
        );
    }
    // The same figures in tables.
    let rows = c
        .execute(
            "return document.querySelectorAll('main table tbody tr').length",
            vec![],
        )
        .await
        .expect("rows");
    assert!(rows.as_u64().is_some_and(|n| n >= 5), "{rows}");
    c.close().await.expect("closed");
}
