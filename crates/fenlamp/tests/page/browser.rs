//! What people do at the page, in Chromium.

use std::time::Duration;

use fantoccini::Locator;
use fantoccini::actions::{InputSource, PointerAction, TouchActions};
use fantoccini::elements::Element;
use serde_json::{Value, json};

use crate::harness::*;

const VOLUME: &str = "[name='v:vessel.volume']";

async fn open_part(client: &fantoccini::Client, server: &Server, part: &str) {
    client
        .goto(&server.at(&format!("/plans/small-yard/parts/{part}")))
        .await
        .expect("the form opens");
    ready(client).await;
}

/// Height of the band in the plot: the text of its first path.
async fn band(client: &fantoccini::Client) -> String {
    let got = client
        .execute(
            "const e = document.querySelector('#live .picture svg .band'); return e.getAttribute('d') || e.getAttribute('points');",
            vec![],
        )
        .await
        .expect("the band");
    got.as_str().expect("a path").to_owned()
}

#[tokio::test(flavor = "multi_thread")]
async fn a_newcomer_comes_to_a_working_plan() {
    let server = Server::start();
    let (c, _profile) = browser(&server, Screen::Wide).await;
    c.goto(&server.at("/start")).await.expect("the questions");
    fill(&c, "#name", "Apple Bank").await;
    fill(&c, "#latitude", "48").await;
    for (field, value) in [
        ("warm_high", "25"),
        ("warm_low", "14"),
        ("cold_high", "4"),
        ("cold_low", "x"),
    ] {
        fill(&c, &format!("#{field}"), value).await;
    }
    fill(&c, "#goats", "3").await;
    fill(&c, "#kitchen", "1").await;
    press(&c, "input[name=vessel][value=tote]").await;
    press(&c, "input[name=heap][value=yes]").await;
    set(&c, "#seed", "old slurry", "change").await;
    fill(&c, "#kettles", "1").await;
    press(&c, "form.start button.main").await;
    // One answer is no temperature: it is told at its field, and the others are still there.
    until(&c, "document.querySelectorAll('.fault').length > 0").await;
    assert_eq!(
        complaints(&c).await.len(),
        1,
        "the browser tells the answer 422 itself"
    );
    let name = c.find(Locator::Css("#name")).await.expect("the name");
    assert_eq!(
        name.prop("value").await.expect("a value").as_deref(),
        Some("Apple Bank")
    );
    fill(&c, "#cold_low", "-2").await;
    press(&c, "form.start button.main").await;
    ready(&c).await;
    assert!(
        c.current_url()
            .await
            .expect("an address")
            .path()
            .ends_with("/plans/apple-bank")
    );
    assert!(text(&c, "h1").await.contains("Apple Bank"));
    assert!(text(&c, ".lead").await.len() > 40);
    let made =
        std::fs::read_to_string(server.folder.path().join("apple-bank.toml")).expect("a file");
    assert!(made.matches("# guess").count() > 5, "guesses are marked");
    no_complaint(&c).await;
    c.close().await.expect("closed");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_changed_part_moves_the_band_and_can_be_undone_and_kept() {
    let server = Server::start();
    let (c, _profile) = browser(&server, Screen::Wide).await;
    open_part(&c, &server, "waste").await;
    let before = band(&c).await;
    fill(&c, "[name='v:waste[0].amount']", "1 kg/day").await;
    anew(&c, 2).await;
    assert_ne!(band(&c).await, before, "half the dung gives another band");
    // Beside it stands the plan as kept, and the difference in words.
    assert!(
        c.find(Locator::Css("#live .picture svg .b")).await.is_ok(),
        "the kept plan's band"
    );
    let tried = text(&c, ".tried").await;
    assert!(tried.contains("1 kg/day in place of 2 kg/day"), "{tried}");
    assert!(tried.contains("less methane"), "{tried}");
    assert!(server.text().contains("2 kg/day"), "the file is as it was");
    // Undo, and do it again.
    press(&c, "button[value=undo]").await;
    until(
        &c,
        "document.querySelector('#live').dataset.rev === '3' && document.body.dataset.ready",
    )
    .await;
    assert_eq!(band(&c).await, before, "as it was before");
    press(&c, "button[value=redo]").await;
    until(
        &c,
        "document.querySelector('#live').dataset.rev === '4' && document.body.dataset.ready",
    )
    .await;
    assert_ne!(band(&c).await, before);
    // Keep it: the file is written, its comments stay, the old text is a version.
    press(&c, "button[value=keep]").await;
    until(
        &c,
        "document.querySelector('#live').dataset.rev === '5' && document.body.dataset.ready",
    )
    .await;
    let now = server.text();
    assert!(
        now.contains("1 kg/day")
            && now.contains("# A comment that must stay.")
            && now.contains("# the blue one"),
        "{now}"
    );
    c.goto(&server.at("/plans/small-yard/text"))
        .await
        .expect("the text");
    press(&c, ".versions button").await;
    until(
        &c,
        "document.querySelector('#text').value.includes('2 kg/day')",
    )
    .await;
    no_complaint(&c).await;
    c.close().await.expect("closed");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_lever_is_tried_and_dropped() {
    let server = Server::start();
    let (c, _profile) = browser(&server, Screen::Wide).await;
    press(&c, ".levers button[value=try]").await;
    until(
        &c,
        "document.querySelector('#live').dataset.rev === '2' && document.body.dataset.ready",
    )
    .await;
    assert!(text(&c, ".tried").await.contains("kept"));
    press(&c, "button[value=drop]").await;
    until(
        &c,
        "document.querySelector('#live').dataset.rev === '3' && document.body.dataset.ready",
    )
    .await;
    assert!(
        c.find(Locator::Css("button[value=keep]")).await.is_err(),
        "nothing to keep"
    );
    no_complaint(&c).await;
    c.close().await.expect("closed");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_recipe_is_asked_for_taken_and_tried() {
    let server = Server::start();
    let (c, _profile) = browser(&server, Screen::Wide).await;
    c.goto(&server.at("/plans/small-yard/advice"))
        .await
        .expect("the questions");
    fill(&c, "#wish-recipe", "1 kettle/day Jun-Aug").await;
    press(&c, "input[value=recipe] ~ button").await;
    until(&c, "document.body.dataset.advised === 'yes'").await;
    let told = text(&c, "#answer").await;
    assert!(
        told.contains("bucket") && told.contains("What not to feed"),
        "{told}"
    );
    press(&c, "button[value=take]").await;
    until(
        &c,
        "document.querySelector('.tried') && document.body.dataset.ready",
    )
    .await;
    assert!(
        text(&c, ".tried")
            .await
            .contains("recipe for: 1 kettle/day Jun-Aug")
    );
    // A wish that says nothing is told what can be said.
    c.goto(&server.at("/plans/small-yard/advice?ask=size&what=vessel&wish=purple"))
        .await
        .expect("asked");
    until(&c, "document.body.dataset.advised === 'yes'").await;
    assert!(text(&c, "#advice .fault").await.contains("kettle"));
    no_complaint(&c).await;
    c.close().await.expect("closed");
}

#[tokio::test(flavor = "multi_thread")]
async fn the_diary_is_written_with_one_hand_and_waits_when_out_of_reach() {
    let server = Server::start();
    let (c, _profile) = browser(&server, Screen::Phone(390)).await;
    c.goto(&server.at("/plans/small-yard/diary"))
        .await
        .expect("the diary");
    fill(&c, "#words", "2 kg cow_dung").await;
    press(&c, "form.entry button.main").await;
    until(&c, "document.querySelectorAll('tbody tr').length === 1").await;
    // The same again in one touch.
    press(&c, "form[data-entry]:not(.entry) button").await;
    until(&c, "document.querySelectorAll('tbody tr').length === 2").await;
    // What cannot be read is told and stays in its field.
    set(&c, "#kind", "ph", "change").await;
    fill(&c, "#words", "purple").await;
    press(&c, "form.entry button.main").await;
    until(
        &c,
        "document.querySelector('.entry .status.fault') !== null",
    )
    .await;
    assert!(text(&c, ".entry .status").await.contains("purple"));
    complaints(&c).await;
    // Out of reach: it waits on the phone, and is sent once when the network is back.
    devtools(&c, "Network.enable", json!({})).await;
    let offline = |on: bool| json!({ "offline": on, "latency": 0, "downloadThroughput": -1, "uploadThroughput": -1 });
    devtools(&c, "Network.emulateNetworkConditions", offline(true)).await;
    fill(&c, "#words", "7.1 by strip").await;
    press(&c, "form.entry button.main").await;
    until(&c, "document.body.dataset.waiting === '1'").await;
    devtools(&c, "Network.emulateNetworkConditions", offline(false)).await;
    until(&c, "document.querySelectorAll('tbody tr').length === 3 && JSON.parse(localStorage.getItem('entries')).length === 0").await;
    // One that is taken back is gone from the list, not from the history.
    press(&c, "tbody tr:first-child button").await;
    until(&c, "document.querySelectorAll('tbody tr').length === 2").await;
    c.close().await.expect("closed");
}

#[tokio::test(flavor = "multi_thread")]
async fn the_demos_diary_tells_its_story() {
    let server = Server::start();
    let (c, _profile) = browser(&server, Screen::Wide).await;
    c.goto(&server.at("/plans/high-larch-farm/diary?day=2026-08-19"))
        .await
        .expect("the diary");
    until(&c, "document.body.dataset.advised === 'yes'").await;
    let told = text(&c, "#answer").await;
    assert!(told.contains("sour"), "{told}");
    assert!(text(&c, ".lead").await.contains("invented"));
    assert!(
        c.find(Locator::Css("form.entry")).await.is_err(),
        "nothing is written in a demo's diary"
    );
    no_complaint(&c).await;
    c.close().await.expect("closed");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_slider_moves_the_answer_and_the_last_stroke_stands() {
    let server = Server::start();
    let (c, _profile) = browser(&server, Screen::Wide).await;
    open_part(&c, &server, "vessel").await;
    for litres in [150, 160, 170, 180, 190, 250] {
        set(
            &c,
            "input[type=range][data-for='vessel-volume']",
            &litres.to_string(),
            "input",
        )
        .await;
    }
    until(&c, "document.querySelector(\"[name='w:vessel.volume']\").value === '\"250 L\"' && document.body.dataset.ready === document.getElementById('live').dataset.rev").await;
    let changes = text(&c, ".tried > ul").await;
    assert!(changes.contains("250 L"), "{changes}");
    assert_eq!(
        changes.lines().count(),
        1,
        "one stroke is one change: {changes}"
    );
    press(&c, "button[value=undo]").await;
    until(
        &c,
        "document.querySelector(\"[name='v:vessel.volume']\").value === '200 L'",
    )
    .await;
    no_complaint(&c).await;
    c.close().await.expect("closed");
}

#[tokio::test(flavor = "multi_thread")]
async fn what_cannot_be_used_is_told_at_its_field_and_not_lost() {
    let server = Server::start();
    let (c, _profile) = browser(&server, Screen::Wide).await;
    open_part(&c, &server, "vessel").await;
    fill(&c, VOLUME, "200 gallns").await;
    until(
        &c,
        "document.querySelector('[data-path=\"vessel.volume\"] .fault') !== null",
    )
    .await;
    let fault = text(&c, "[data-path='vessel.volume'] .fault").await;
    assert!(fault.contains("gallns") && fault.contains("gal"), "{fault}");
    assert!(
        text(&c, "section.faults")
            .await
            .contains("cannot be run yet")
    );
    let keep = c
        .find(Locator::Css("button[value=keep]"))
        .await
        .expect("the button");
    assert!(
        !keep.is_enabled().await.expect("its state"),
        "a plan with faults is not kept"
    );
    c.refresh().await.expect("loaded again");
    ready(&c).await;
    let field = c.find(Locator::Css(VOLUME)).await.expect("the field");
    assert_eq!(
        field.prop("value").await.expect("a value").as_deref(),
        Some("200 gallns")
    );
    no_complaint(&c).await;
    c.close().await.expect("closed");
}

#[tokio::test(flavor = "multi_thread")]
async fn two_windows_do_not_lose_each_others_words() {
    let server = Server::start();
    let (a, _pa) = browser(&server, Screen::Wide).await;
    let (b, _pb) = browser(&server, Screen::Wide).await;
    open_part(&a, &server, "vessel").await;
    open_part(&b, &server, "vessel").await;
    // The second is being typed in while the first changes the same field.
    let field = b.find(Locator::Css(VOLUME)).await.expect("the field");
    type_over(&field, "300 L").await;
    fill(&a, VOLUME, "150 L").await;
    anew(&a, 2).await;
    until(&b, "document.getElementById('live').dataset.rev === '2'").await;
    field.send_keys("\t").await.expect("left");
    until(&b, "document.querySelector('.fault.loose') !== null").await;
    let told = text(&b, ".fault.loose").await;
    assert!(told.contains("150 L") && told.contains("300 L"), "{told}");
    assert_eq!(
        complaints(&b).await.len(),
        1,
        "the browser tells the answer 409 itself"
    );
    press(&b, ".fault.loose button").await;
    anew(&b, 3).await;
    // The first follows, and another field of it never clashes.
    until(
        &a,
        "document.querySelector(\"[name='v:vessel.volume']\").value === '300 L'",
    )
    .await;
    fill(&a, "[name='v:vessel.wall_thickness']", "3 mm").await;
    anew(&a, 4).await;
    until(
        &b,
        "document.querySelector(\"[name='v:vessel.wall_thickness']\").value === '3 mm'",
    )
    .await;
    no_complaint(&a).await;
    no_complaint(&b).await;
    a.close().await.expect("closed");
    b.close().await.expect("closed");
}

#[tokio::test(flavor = "multi_thread")]
async fn an_editor_under_the_page_is_noticed_and_nothing_is_lost() {
    let server = Server::start();
    let (c, _profile) = browser(&server, Screen::Wide).await;
    open_part(&c, &server, "vessel").await;
    fill(&c, VOLUME, "150 L").await;
    anew(&c, 2).await;
    // An editor saves another volume and another name.
    let edited = server.text().replace("\"200 L\"", "\"220 L\"").replace(
        "name = \"Small Yard\"\nabout",
        "name = \"Edited Yard\"\nabout",
    );
    std::fs::write(server.file(), &edited).expect("saved");
    until(&c, "document.querySelector('section.clash') !== null").await;
    let clash = text(&c, "section.clash").await;
    assert!(
        clash.contains("220 L") && clash.contains("150 L"),
        "{clash}"
    );
    press(&c, "button[value=mine]").await;
    until(&c, "document.querySelector('section.clash') === null && document.querySelector(\"[name='v:vessel.volume']\").value === '150 L'").await;
    press(&c, "button[value=keep]").await;
    until(
        &c,
        "document.querySelector('button[value=keep]') === null && document.body.dataset.ready",
    )
    .await;
    let now = server.text();
    assert!(
        now.contains("150 L") && now.contains("Edited Yard"),
        "{now}"
    );
    c.close().await.expect("closed");
}

#[tokio::test(flavor = "multi_thread")]
async fn everything_is_reached_by_keys_alone() {
    let server = Server::start();
    let (c, _profile) = browser(&server, Screen::Wide).await;
    // The first stop leads over the head of the page.
    let body = c.find(Locator::Css("body")).await.expect("a body");
    body.send_keys("\u{e004}").await.expect("tab");
    let at = |c: fantoccini::Client| async move {
        let e: Element = c.active_element().await.expect("a focus");
        let tag = e.tag_name().await.expect("a tag");
        let text = e.text().await.unwrap_or_default();
        (tag, text)
    };
    let first = at(c.clone()).await;
    assert!(first.1.contains("To the content"), "{first:?}");
    // By tab alone to the plot; there the arrows read out days.
    let mut found = false;
    for _ in 0..60 {
        let e = c.active_element().await.expect("a focus");
        e.send_keys("\u{e004}").await.expect("tab");
        if at(c.clone()).await.0 == "year-plot" {
            found = true;
            break;
        }
    }
    assert!(found, "the plot has its place in the order");
    let plot = c.active_element().await.expect("the plot");
    plot.send_keys("\u{e014}").await.expect("right");
    plot.send_keys("\u{e014}").await.expect("right");
    let tip = text(&c, "year-plot .tip").await;
    assert!(
        tip.contains("2026-05-02") && tip.contains("middle"),
        "{tip}"
    );
    plot.send_keys("+").await.expect("closer");
    until(&c, "(document.body.dataset.zoomed || '').length > 10").await;
    let size = c
        .execute(
            "return JSON.parse(document.querySelector('.picture script').textContent).x.length",
            vec![],
        )
        .await
        .expect("days");
    assert!(size.as_u64().is_some_and(|n| n < 90), "{size}");
    // A field by keys: type, leave by tab, and the answer moves.
    open_part(&c, &server, "uses").await;
    fill(&c, "[name='v:use[0].per_day']", "2").await;
    anew(&c, 2).await;
    let focus = c.active_element().await.expect("a focus");
    assert_ne!(
        focus.tag_name().await.expect("a tag"),
        "body",
        "the focus is not lost"
    );
    no_complaint(&c).await;
    c.close().await.expect("closed");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_finger_reads_the_plot_on_a_phone() {
    let server = Server::start();
    let (c, _profile) = browser(&server, Screen::Phone(390)).await;
    let picture = c
        .find(Locator::Css("year-plot .picture"))
        .await
        .expect("the plot");
    c.execute(
        "document.querySelector('year-plot').scrollIntoView({ block: 'center' })",
        vec![],
    )
    .await
    .expect("in sight");
    let touch = TouchActions::new("finger".to_owned())
        .then(PointerAction::MoveToElement {
            element: picture,
            duration: None,
            x: 40.0,
            y: 0.0,
        })
        .then(PointerAction::Down { button: 0 })
        .then(PointerAction::Up { button: 0 });
    c.perform_actions(touch).await.expect("a touch");
    until(
        &c,
        "document.querySelector('year-plot').classList.contains('reads')",
    )
    .await;
    let inside = c
        .execute("const t = document.querySelector('.tip').getBoundingClientRect(); return t.left >= 0 && t.right <= innerWidth;", vec![])
        .await
        .expect("a place");
    assert_eq!(
        inside,
        Value::Bool(true),
        "the read-out stays on the screen"
    );
    no_complaint(&c).await;
    c.close().await.expect("closed");
}

#[tokio::test(flavor = "multi_thread")]
async fn no_page_is_wider_than_a_small_phone() {
    let server = Server::start();
    let (c, _profile) = browser(&server, Screen::Phone(360)).await;
    for path in PAGES {
        c.goto(&server.at(path)).await.expect("the page");
        if path.starts_with("/plans/small-yard")
            && !path.contains("figures")
            && !path.ends_with("cautions")
            && !path.ends_with("text")
        {
            ready(&c).await;
        }
        let wide = c
            .execute(
                "return [document.documentElement.scrollWidth, innerWidth, document.title]",
                vec![],
            )
            .await
            .expect("widths");
        assert!(wide[0].as_u64() <= wide[1].as_u64(), "{path}: {wide}");
        no_complaint(&c).await;
    }
    c.close().await.expect("closed");
}

#[tokio::test(flavor = "multi_thread")]
async fn the_dark_turns_paper_and_ink_and_leaves_them_apart() {
    let server = Server::start();
    let (c, _profile) = browser(&server, Screen::WideDark).await;
    let got = c
        .execute(
            "const s = getComputedStyle(document.body); const t = getComputedStyle(document.querySelector('.picture svg text')); return [s.backgroundColor, s.color, t.fill];",
            vec![],
        )
        .await
        .expect("colours");
    let light = |v: &Value| -> f64 {
        let text = v.as_str().unwrap_or_default();
        let n: Vec<f64> = text
            .split(|c: char| !c.is_ascii_digit())
            .filter_map(|t| t.parse().ok())
            .collect();
        n.iter().take(3).sum::<f64>() / 3.0
    };
    assert!(light(&got[0]) < 60.0, "{got}");
    assert!(light(&got[1]) > 200.0, "{got}");
    assert!(light(&got[2]) > 120.0, "words in the picture: {got}");
    c.close().await.expect("closed");
}

#[tokio::test(flavor = "multi_thread")]
async fn the_page_prints_with_everything_that_is_folded() {
    let server = Server::start();
    let (c, _profile) = browser(&server, Screen::Wide).await;
    let got = devtools(
        &c,
        "Page.printToPDF",
        json!({ "printBackground": false, "preferCSSPageSize": true }),
    )
    .await;
    let pdf = decode(got["data"].as_str().expect("a PDF"));
    assert!(pdf.starts_with(b"%PDF"));
    let file = server.folder.path().join("print.pdf");
    std::fs::write(&file, &pdf).expect("written");
    let text = std::process::Command::new("pdftotext")
        .args(["-layout"])
        .arg(&file)
        .arg("-")
        .output()
        .expect("pdftotext is installed by ./test");
    let text = String::from_utf8_lossy(&text.stdout);
    for words in [
        "Small Yard",
        "May 2026",
        "digestate",
        "Cautions that matter now",
        "explosive",
    ] {
        assert!(
            text.contains(words),
            "no {words} in the print:\n{text:.3000}"
        );
    }
    assert!(!text.contains("Try it"), "buttons are not printed");
    c.close().await.expect("closed");
}

/// Base64 as the browser sends it.
fn decode(text: &str) -> Vec<u8> {
    const LETTERS: &[u8] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let bits = text
        .bytes()
        .filter_map(|b| LETTERS.iter().position(|l| *l == b));
    let (mut out, mut hold, mut n) = (Vec::new(), 0usize, 0u32);
    for six in bits {
        hold = (hold << 6) | six;
        n += 6;
        if n >= 8 {
            n -= 8;
            out.push((hold >> n) as u8);
            hold &= (1 << n) - 1;
        }
    }
    out
}

#[tokio::test(flavor = "multi_thread")]
async fn no_outside_address_is_asked_for() {
    let server = Server::start();
    let (c, _profile) = browser(&server, Screen::Wide).await;
    for path in PAGES {
        c.goto(&server.at(path)).await.expect("the page");
        let asked = c
            .execute("return performance.getEntriesByType('resource').map(e => e.name).concat([...document.querySelectorAll('[src],link[href]')].map(e => e.src || e.href || '')).filter(n => n && !n.startsWith(location.origin))", vec![])
            .await
            .expect("addresses");
        assert_eq!(asked, json!([]), "{path}");
    }
    c.close().await.expect("closed");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_program_that_is_gone_is_said_and_the_words_stay() {
    let server = Server::start();
    let (c, _profile) = browser(&server, Screen::Wide).await;
    open_part(&c, &server, "vessel").await;
    drop(server);
    fill(&c, VOLUME, "180 L").await;
    until(&c, "document.querySelector('.fault.loose') !== null").await;
    assert!(text(&c, ".fault.loose").await.contains("still here"));
    let field = c.find(Locator::Css(VOLUME)).await.expect("the field");
    assert_eq!(
        field.prop("value").await.expect("a value").as_deref(),
        Some("180 L")
    );
    c.close().await.expect("closed");
}

#[tokio::test(flavor = "multi_thread")]
async fn without_scripts_a_form_still_works() {
    let server = Server::start();
    let (c, _profile) = browser(&server, Screen::Wide).await;
    devtools(
        &c,
        "Emulation.setScriptExecutionDisabled",
        json!({ "value": true }),
    )
    .await;
    c.goto(&server.at("/plans/small-yard/parts/vessel"))
        .await
        .expect("the form");
    let field = c.find(Locator::Css(VOLUME)).await.expect("the field");
    type_over(&field, "170 L").await;
    press(&c, "button.first").await;
    tokio::time::sleep(Duration::from_millis(300)).await;
    let tried = text(&c, ".tried").await;
    assert!(tried.contains("170 L in place of 200 L"), "{tried}");
    c.close().await.expect("closed");
}

/// Every kind of page.
pub const PAGES: &[&str] = &[
    "/plans/small-yard",
    "/plans/small-yard/parts",
    "/plans/small-yard/parts/waste",
    "/plans/small-yard/parts/vessel",
    "/plans/small-yard/parts/uses",
    "/plans/small-yard/parts/place",
    "/plans/small-yard/advice",
    "/plans/small-yard/diary",
    "/plans/small-yard/print",
    "/plans/small-yard/cautions",
    "/plans/small-yard/figures/gas?month=2026-06",
    "/plans/small-yard/text",
    "/plans",
    "/start",
    "/feedstocks",
    "/feedstocks/goat_manure?plan=small-yard",
    "/sources",
    "/sources/GTZ1989",
    "/pair",
];
