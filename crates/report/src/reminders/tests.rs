use super::*;
use fenlamp_model::plan::{NoFiles, read};
use jiff::civil::date;
use proptest::prelude::*;

fn larch() -> Plan {
    let text = include_str!("../../../../examples/high-larch-farm.toml");
    read(text, "high-larch-farm.toml", &NoFiles).unwrap_or_else(|e| panic!("{e}"))
}

#[test]
fn the_ramp_the_washes_and_the_looks_come_round() {
    let plan = larch();
    let all = reminders(&plan, plan.start, 120, &[]);
    let of = |kind: &str| {
        all.iter()
            .filter(|r| r.uid.starts_with(&format!("{kind}-")))
            .map(|r| r.date)
            .collect::<Vec<_>>()
    };
    assert_eq!(of("fill"), [date(2026, 5, 10)]);
    // Fed from day 21 on, growing for 60 days.
    assert_eq!(of("feed")[0], date(2026, 5, 31));
    assert!(of("feed").len() >= 9, "{:?}", of("feed"));
    assert_eq!(
        of("wash1"),
        [
            date(2026, 6, 9),
            date(2026, 7, 9),
            date(2026, 8, 8),
            date(2026, 9, 7)
        ]
        .into_iter()
        .filter(|d| *d < date(2026, 9, 7))
        .collect::<Vec<_>>()
    );
    assert_eq!(of("leak").len(), 3);
    assert_eq!(of("look").len(), 17);
    let later = reminders(&plan, date(2026, 7, 1), 60, &[(1, date(2026, 6, 20))]);
    assert!(later.iter().any(|r| r.uid.starts_with("wash1-2026-07-20")));
    let uids: std::collections::BTreeSet<_> = all.iter().map(|r| &r.uid).collect();
    assert_eq!(uids.len(), all.len(), "every name once");
}

#[test]
fn each_step_of_the_feed_is_told_on_its_day() {
    use fenlamp_model::plan::FeedStep;
    let mut plan = larch();
    plan.feeding.every_days = 1;
    for waste in &mut plan.waste {
        let step = |from_day, share| FeedStep { from_day, share };
        waste.steps = vec![step(21, 0.5), step(40, 1.0), step(60, 0.25)];
    }
    let all = reminders(&plan, plan.start, 90, &[]);
    let told: Vec<_> = all
        .iter()
        .filter(|r| r.uid.starts_with("feed-"))
        .map(|r| (r.date, r.title.as_str()))
        .collect();
    assert_eq!(
        told[..5],
        [
            (date(2026, 5, 31), "Feeding of this month"),
            (date(2026, 6, 1), "Feeding of this month"),
            (date(2026, 6, 19), "Feeding goes up"),
            (date(2026, 7, 1), "Feeding of this month"),
            (date(2026, 7, 9), "Feeding changes"),
        ]
    );
}

/// RFC 5545, sections 3.1 and 3.3.11: lines of at most 75 octets ended by CRLF,
/// folded by a blank; commas, semicolons and backslashes escaped.
fn holds(text: &str) {
    for line in text.split_terminator("\r\n") {
        assert!(line.len() <= 75, "{line}");
        assert!(!line.contains(['\r', '\n']));
    }
    assert!(text.ends_with("END:VCALENDAR\r\n"));
}

fn unfolded(text: &str) -> String {
    text.replace("\r\n ", "")
}

proptest! {
    #[test]
    fn any_words_are_carried_by_the_calendar(title in "(?s).{0,200}", words in "\\PC{0,300}") {
        let reminder = Reminder { uid: "a-2026-01-01@b".to_owned(), date: date(2026, 1, 1), title, words: words.clone() };
        let text = to_text("x", &[reminder], date(2026, 1, 1).at(9, 0, 0, 0));
        holds(&text);
        let flat = unfolded(&text);
        let line = flat.split("\r\n").find(|l| l.starts_with("DESCRIPTION:")).unwrap();
        let mut back = String::new();
        let mut chars = line["DESCRIPTION:".len()..].chars();
        while let Some(c) = chars.next() {
            match c { '\\' => match chars.next() { Some('n') => back.push('\n'), Some(c) => back.push(c), None => {} }, c => back.push(c) }
        }
        prop_assert_eq!(back, words);
    }
}
