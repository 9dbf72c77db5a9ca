//! The diary: written with one hand, read at a glance.

use fenlamp_drawing::plot::{BandPlot, MONTHS, Mark, Panel, Series, band};
use fenlamp_model::band::Quantiles;
use fenlamp_report::diary::words::say;
use fenlamp_report::diary::{Entry, KINDS, WrittenEntry};
use fenlamp_report::learn::inquiry::name;
use fenlamp_report::learn::today::Today;
use fenlamp_report::learn::{DayAhead, Learned};
use jiff::civil::Date;
use maud::{Markup, html};

use super::{Look, Shown, layout};
use crate::web::edits::{Form, get};
use crate::web::run::Read;

/// The page.
pub fn page(
    look: &Look,
    list: &[WrittenEntry],
    why_not: Option<&str>,
    calendar: Option<&str>,
    on: Option<Date>,
    today: Date,
) -> Markup {
    if let Some((_, days)) = crate::demos::demo(&look.id)
        .filter(|_| look.file.is_none())
        .and_then(|d| d.diary)
    {
        return told(look, list, days, on);
    }
    let more = html! {
        @if let Some(key) = calendar {
            h2 { "Reminders" }
            p { "What comes round again, for the calendar of your own: subscribe to "
                a href={"/plans/" (look.id) "/calendar/" (key) ".ics"} { "this address" }
                " (whoever has it can read the reminders)." }
        }
    };
    whole(look, list, why_not, None, &Form::new(), today, &more)
}

/// The diary of a demo, told day by day; nothing can be written in it.
fn told(look: &Look, list: &[WrittenEntry], days: &[(&str, &str)], on: Option<Date>) -> Markup {
    let last = days.last().map_or("", |(day, _)| day);
    let shown = on.map_or_else(|| last.to_owned(), |d| d.to_string());
    layout::page(
        "Diary",
        look.at("diary"),
        html! {
            h1 { "Diary" }
            p class="lead" { "An invented diary: a summer in which the drum cools, turns sour and is saved. Look at it on:" }
            nav aria-label="Days of the story" { ul { @for (day, words) in days {
                li { a href={"/plans/" (look.id) "/diary?day=" (day)} aria-current=[(*day == shown).then_some("page")] { (day) ": " (words) } }
            } } }
            section id="advice" data-src={"/plans/" (look.id) "/diary/today?day=" (shown)} aria-live="polite" {
                p class="progress" { progress max="1" value="0" aria-label="Worlds run" {} " " span { "Looking at the diary" } }
            }
            section class="learned" {
                h2 { "What it teaches by then" }
                button type="button" data-fetch={"/plans/" (look.id) "/diary/learned?day=" (shown)} hidden { "Learn from the diary" }
                noscript { p { a href={"/plans/" (look.id) "/diary/learned?day=" (shown)} { "Learn from the diary" } } }
            }
            (entries(look, list))
        },
    )
}

/// What was learned, and the days ahead with it and without.
pub fn learned(learned: &Learned, width: f64) -> Markup {
    let shown = Shown::of(learned.plan.units);
    let at = learned.today as usize;
    let days = &learned.days[at.saturating_sub(BEFORE).min(learned.days.len())..];
    let series = |name: &str, figure: fn(&DayAhead) -> Quantiles| Series {
        name: name.to_owned(),
        unit: shown.gas_unit().to_owned(),
        start: days.first().map_or(Date::ZERO, |d| d.date),
        days: days.iter().map(|d| shown.gas(figure(d)).into()).collect(),
    };
    let plot = BandPlot {
        id: "learned".to_owned(),
        title: "Gas a day with what was learned, and without".to_owned(),
        about: "The last weeks and the sixty days ahead. The figures stand in the sentences above."
            .to_owned(),
        from: days.first().map_or(Date::ZERO, |d| d.date),
        to: days.last().map_or(Date::ZERO, |d| d.date),
        width: width.clamp(280.0, 1000.0),
        height: 300.0,
        upper: Panel {
            label: format!("gas a day, {}", shown.gas_unit()),
            series: vec![
                series("learned", |d| d.gas_wet_l),
                series("before the diary", |d| d.gas_wet_l_before),
            ],
            from_zero: true,
            gas: true,
        },
        lower: None,
        marks: learned
            .days
            .get(at)
            .map(|d| Mark {
                date: d.date,
                span: None,
                label: "today".to_owned(),
            })
            .into_iter()
            .collect(),
        months: MONTHS,
    };
    html! {
        div id="answer" {
            @for (i, words) in learned.words.iter().enumerate() { p class={@if i == 0 { "lead" }} { (words) } }
            figure { (layout::drawn(band(&plot))) }
            p class="help" { (learned.used) " readings were used, " (learned.doubts.len()) " not believed." }
        }
    }
}

/// Days shown before today.
const BEFORE: usize = 45;

/// The page after an entry that cannot be used; what was typed stands in its fields.
pub fn refused(
    look: &Look,
    list: &[WrittenEntry],
    words: &str,
    typed: &Form,
    today: Date,
) -> Markup {
    whole(look, list, None, Some(words), typed, today, &html! {})
}

/// The page after an entry that calls for a caution.
pub fn cautioned(look: &Look, list: &[WrittenEntry], caution: &str) -> Markup {
    layout::page(
        "Diary",
        look.at("diary"),
        html! {
            h1 { "Written down" }
            ul class="cautions" { li class="caution stop" role="alert" { p { span class="mark" { "Stop" } " " (caution) } } }
            p { a href={"/plans/" (look.id) "/diary"} { "To the diary" } }
            (entries(look, list))
        },
    )
}

fn whole(
    look: &Look,
    list: &[WrittenEntry],
    why_not: Option<&str>,
    fault: Option<&str>,
    typed: &Form,
    today: Date,
    more: &Markup,
) -> Markup {
    let kind = get(typed, "kind").unwrap_or("fed");
    let last_fed = list
        .iter()
        .find(|e| matches!(e.writing.entry, Entry::Fed { .. }));
    layout::page(
        "Diary",
        look.at("diary"),
        html! {
            h1 { "Diary" }
            @if let Some(why) = why_not {
                p class="lead" { (why.trim_start_matches("fenlamp: ")) }
            } @else {
                section id="advice" data-src={"/plans/" (look.id) "/diary/today"} aria-live="polite" {
                    @if list.is_empty() { p class="lead" { "Nothing is written down yet. Begin with what you feed and see." } }
                    @else { p class="progress" { progress max="1" value="0" aria-label="Worlds run" {} " " span { "Looking at the diary" } } }
                }
                form method="post" action={"/plans/" (look.id) "/diary"} class="entry" data-entry {
                    @if let Some(words) = fault { p class="fault" role="alert" { (words.trim_start_matches("fenlamp: ")) } }
                    div class="field" {
                        label for="kind" { "What" }
                        select id="kind" name="kind" { @for (k, example) in KINDS.iter().filter(|(k, _)| *k != "photo") {
                            option value=(k) data-example=(example) selected[*k == kind] { (k) }
                        } }
                    }
                    div class="field" {
                        label for="words" { "How much, or how" }
                        input id="words" name="words" value=(get(typed, "words").unwrap_or_default()) autocomplete="off" aria-describedby="words-help";
                        p class="help" id="words-help" { "Like: " span { (KINDS.iter().find(|(k, _)| *k == kind).map_or("", |(_, e)| e)) } }
                    }
                    div class="field" {
                        label for="day" { "Day" }
                        input id="day" name="day" type="date" value=(get(typed, "day").filter(|d| !d.is_empty()).map_or_else(|| today.to_string(), str::to_owned)) max=(today);
                    }
                    div class="field photo" hidden {
                        label for="photo" { "Or a photo" }
                        input id="photo" type="file" accept="image/jpeg,image/png,image/webp" capture="environment" data-photo={"/plans/" (look.id) "/photos"};
                    }
                    button type="submit" class="main" name="do" value="add" { "Write it down" }
                    p class="status help" role="status" {}
                }
                @if let Some(fed) = last_fed {
                    form method="post" action={"/plans/" (look.id) "/diary"} data-entry {
                        input type="hidden" name="kind" value="fed";
                        input type="hidden" name="words" value=(fed.writing.words);
                        button type="submit" name="do" value="add" { "Fed the same again: " (fed.writing.words) }
                    }
                }
                (entries(look, list))
                @if list.len() > 3 {
                    section class="learned" {
                        h2 { "What it teaches" }
                        button type="button" data-fetch={"/plans/" (look.id) "/diary/learned"} hidden { "Learn from the diary" }
                        noscript { p { a href={"/plans/" (look.id) "/diary/learned"} { "Learn from the diary" } } }
                        p class="help" { "The worlds are bent towards what you wrote down; this takes some seconds." }
                    }
                }
                (more)
            }
        },
    )
}

fn entries(look: &Look, list: &[WrittenEntry]) -> Markup {
    let units = match &look.kept {
        Read::Plan(p) => Shown::of(p.plan.units).units(),
        Read::Faults(_) => fenlamp_quantity::Units::Metric,
    };
    html! {
        @if !list.is_empty() {
            h2 { "What stands there" }
            div class="wide" tabindex="0" role="region" aria-label="Entries" {
                table {
                    thead { tr { th scope="col" { "Day" } th scope="col" { "What" } th scope="col" { "Words" } th scope="col" { span class="skip" { "Take back" } } } }
                    tbody { @for e in list { tr {
                        th scope="row" { (e.writing.date) }
                        td class="words" { (e.writing.entry.kind().unwrap_or("taken back")) }
                        td class="words" { @if let Entry::Note {} = e.writing.entry { (e.writing.words) }
                            @else if let Entry::Photo { .. } = e.writing.entry { a href={"/plans/" (look.id) "/photos/" (e.writing.words)} { "see the photo" } }
                            @else { (say(&e.writing.entry, units)) } }
                        td { @if look.file.is_some() { form method="post" action={"/plans/" (look.id) "/diary"} class="inline" {
                            input type="hidden" name="uid" value=(e.uid);
                            button type="submit" class="quiet" name="do" value="withdraw" aria-label={"Take back: " (e.writing.date) " " (e.writing.entry.kind().unwrap_or_default())} { "Take back" }
                        } } }
                    } } }
                }
            }
            p class="help" { "What is taken back stays in the history. The file lies beside the plan; "
                code { "fenlamp diary PLAN backup FILE" } " copies it whole." }
        }
    }
}

/// What to do today, and what may be wrong.
pub fn today(answer: &Today, causes: &[(String, String, String)]) -> Markup {
    html! {
        div id="answer" {
            h2 { "Today, " (answer.date) }
            p class="lead" { (answer.words) }
            @if !answer.tasks.is_empty() {
                ul { @for t in &answer.tasks { li { (t.words) @if let Some(key) = &t.source_key { " " a href={"/sources/" (key)} { (key) } } } } }
            }
            h3 { "What it may be, of 100" }
            ul { @for (share, name, why) in causes { li { strong { (share) ": " (name) } @if !why.is_empty() { ". " (why) } } } }
            @if let Some(t) = &answer.next_test {
                p { "To tell \"" (name(t.between[0])) "\" from \"" (name(t.between[1])) "\" (" (format!("{:.0}", t.minutes)) " min): " (t.words) ". " (t.shows) "." }
            }
        }
    }
}
