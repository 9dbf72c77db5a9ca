//! The way in: a few questions that end in a plan.

use maud::{Markup, html};

use super::layout::{self, Where};
use crate::web::start::{ANIMALS, Answers, BUCKETS, SEEDS, USES, VESSELS, Wrong};

/// The questions, with what was answered and what could not be used.
pub fn page(a: &Answers, wrong: &[Wrong]) -> Markup {
    let us = a.get("units") == "us";
    let fault = |field: &str| {
        let words: Vec<&str> = wrong
            .iter()
            .filter(|w| w.field == field)
            .map(|w| w.words.as_str())
            .collect();
        html! { @for w in words { p class="fault" role="alert" { (w) } } }
    };
    let value = |field: &str| a.get(field).to_owned();
    let text = |field: &str, label: &str, more: &str, mode: &str| {
        html! {
            div class="field" {
                label for=(field) { (label) }
                input id=(field) name=(field) value=(value(field)) inputmode=[(!mode.is_empty()).then_some(mode)] autocomplete="off"
                    aria-invalid=[wrong.iter().any(|w| w.field == field).then_some("true")];
                @if !more.is_empty() { span class="unit" { (more) } }
                (fault(field))
            }
        }
    };
    let radio = |field: &str, of: &str, words: &str, usual: bool| {
        let on = if a.get(field).is_empty() {
            usual
        } else {
            a.get(field) == of
        };
        html! { label class="pick" { input type="radio" name=(field) value=(of) checked[on]; " " (words) } }
    };
    layout::page(
        "Start a plan",
        Where {
            plan: None,
            page: "start",
        },
        html! {
            h1 { "Start a plan" }
            p class="lead" { "Four questions, rough figures. What is not asked is guessed, and the plan says so beside each guess." }
            @if !wrong.is_empty() { p class="fault" role="alert" { (wrong.len()) " of the answers cannot be used; they are marked below." } }
            form method="post" action="/start" class="start" {
                fieldset {
                    legend { "1. Where are you?" }
                    (text("name", "A name for it", "", ""))
                    div class="field" { span class="label" { "Units" }
                        (radio("units", "metric", "litres, °C", !us)) (radio("units", "us", "gallons, °F", us)) }
                    (text("latitude", "Latitude, degrees", "", "decimal"))
                    div class="field" { span class="label" { "Half of the earth" }
                        (radio("half", "north", "north", true)) (radio("half", "south", "south", false)) }
                    (text("warm_high", "Warmest month: the day's high", "°C or °F, as chosen", ""))
                    (text("warm_low", "Warmest month: the night's low", "", ""))
                    (text("cold_high", "Coldest month: the day's high", "", ""))
                    (text("cold_low", "Coldest month: the night's low", "", ""))
                }
                fieldset {
                    legend { "2. What do you throw away?" }
                    p class="help" { "Leave empty what you have not." }
                    @for (field, _, words) in ANIMALS { (text(field, words, "heads", "decimal")) }
                    @for (field, _, words) in BUCKETS { (text(field, words, "buckets a week (10 L or 5 gal)", "decimal")) }
                }
                fieldset {
                    legend { "3. What vessel have you?" }
                    @for (i, (word, _, _, words)) in VESSELS.iter().enumerate() { (radio("vessel", word, words, i == 0)) }
                    (fault("vessel"))
                    (text("volume", "Size, of tank or bag", "like 2 m3 or 500 gal", ""))
                    div class="field" { span class="label" { "It stands" }
                        (radio("stands", "outdoors", "in the open", true)) (radio("stands", "shed", "in a shed", false)) (radio("stands", "greenhouse", "in a greenhouse", false)) }
                    div class="field" { span class="label" { "A warm heap of wood chips around it?" }
                        (radio("heap", "no", "no", true)) (radio("heap", "yes", "yes", false)) }
                    div class="field" { span class="label" { "Straw bales around it?" }
                        (radio("insulated", "no", "no", true)) (radio("insulated", "yes", "yes", false)) }
                    div class="field" { label for="seed" { "Seed to start it with" }
                        select id="seed" name="seed" { @for (word, words) in SEEDS {
                            option value=(word) selected[a.get("seed") == *word] { (words) }
                        } } }
                }
                fieldset {
                    legend { "4. What do you want to run?" }
                    @for (field, _, words, unit) in USES { (text(field, words, unit, "decimal")) }
                }
                button type="submit" class="main" { "Make the plan" }
            }
        },
    )
}
