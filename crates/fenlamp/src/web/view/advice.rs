//! What to do: the recipe, the size, what it costs and saves.

use fenlamp_model::reference::fuels;
use fenlamp_model::say;
use fenlamp_report::advice::{Ceiling, Part, Recipe, Said, Sized, Wish};
use maud::{Markup, html};

use super::{Look, Shown, band, layout};
use crate::web::advice::{Advice, Question};

/// Wishes to begin with.
const WISHES: &[&str] = &[
    "all of it",
    "2 kettles/day Apr-Oct",
    "1 hour of cooking/day",
];

/// The page of questions, and the place of the answer.
pub fn page(look: &Look, q: &Question) -> Markup {
    let answer = format!("/plans/{}/advice/answer?{}", look.id, in_address(q));
    layout::page(
        "What to do",
        look.at("advice"),
        html! {
            h1 { "What to do" }
            p class="lead" { "Say what you want; the answer is tried out in many worlds before it is told."
                @if look.is_tried() { " It is for the plan as tried." } }
            @if let Some(words) = ceiling(look) { p { (words) } }
            div class="asks" {
                form method="get" action={"/plans/" (look.id) "/advice"} {
                    fieldset {
                        legend { "What to feed" }
                        input type="hidden" name="ask" value="recipe";
                        (wish_field("wish-recipe", if q.ask == "recipe" { &q.wish } else { "" }))
                        button type="submit" { "Find a recipe" }
                    }
                }
                form method="get" action={"/plans/" (look.id) "/advice"} {
                    fieldset {
                        legend { "How large" }
                        input type="hidden" name="ask" value="size";
                        (wish_field("wish-size", if q.ask == "size" { &q.wish } else { "" }))
                        div class="field" {
                            label for="what" { "Part" }
                            select id="what" name="what" { @for p in Part::ALL {
                                option value=(p.name()) selected[q.what == p.name()] { (p.name()) }
                            } }
                        }
                        button type="submit" { "Find the smallest" }
                    }
                }
                form method="get" action={"/plans/" (look.id) "/advice"} {
                    fieldset {
                        legend { "Money and carbon" }
                        input type="hidden" name="ask" value="payback";
                        (plain("parts", "What the parts cost", &q.parts))
                        div class="field" {
                            label for="fuel" { "The fuel it stands for" }
                            select id="fuel" name="fuel" { @for f in fuels() {
                                option value=(f.id) selected[q.fuel == f.id] { (f.name) ", by the " (f.unit) }
                            } }
                        }
                        (plain("price", "What a unit of it costs", &q.price))
                        (plain("upkeep", "Upkeep a year", &q.upkeep))
                        (plain("money", "Name of your money", &q.money))
                        button type="submit" { "Reckon" }
                    }
                }
            }
            datalist id="wishes" { @for w in WISHES { option value=(w); } }
            @if !q.ask.is_empty() {
                section id="advice" data-src=(answer) aria-live="polite" {
                    p class="progress" { progress max="1" value="0" aria-label="Worlds run" {} " " span { "Being tried out" } }
                    noscript { p { a href=(answer) { "Show the answer" } } }
                }
            }
        },
    )
}

/// What all the waste at its full potential would be worth: the ceiling of any wish.
fn ceiling(look: &Look) -> Option<String> {
    let crate::web::run::Read::Plan(opened) = &look.trial else {
        return None;
    };
    let wish = Wish::parse("all of it").ok()?;
    (!opened.plan.waste.is_empty()).then(|| Ceiling::of(&opened.plan, &wish).words)
}

/// The question as it stands in an address.
fn in_address(q: &Question) -> String {
    let pairs = [
        ("ask", &q.ask),
        ("wish", &q.wish),
        ("what", &q.what),
        ("parts", &q.parts),
        ("fuel", &q.fuel),
        ("price", &q.price),
        ("upkeep", &q.upkeep),
        ("money", &q.money),
    ];
    url::form_urlencoded::Serializer::new(String::new())
        .extend_pairs(pairs.iter().filter(|(_, v)| !v.is_empty()))
        .finish()
}

fn wish_field(id: &str, value: &str) -> Markup {
    html! {
        div class="field" {
            label for=(id) { "Wish" }
            input id=(id) name="wish" value=(value) list="wishes" placeholder="all of it" autocomplete="off";
            p class="help" { "Like 2 kettles/day Apr-Oct, 1 hour of cooking/day, or all of it." }
        }
    }
}

fn plain(name: &str, label: &str, value: &str) -> Markup {
    html! {
        div class="field" {
            label for=(name) { (label) }
            input id=(name) name=(name) value=(value) autocomplete="off";
        }
    }
}

/// A question that cannot be answered, and what can be asked.
pub fn refused(words: &str) -> Markup {
    html! { div id="answer" { p class="fault" role="alert" { (words.trim_start_matches("fenlamp: ")) } } }
}

/// The answer.
pub fn fragment(look: &Look, q: &Question, advice: &Advice) -> Markup {
    html! {
        div id="answer" {
            h2 { @match advice { Advice::Recipe(_) => "The recipe", Advice::Size(_) => "The size", Advice::Payback(_) => "Money and carbon" } }
            @match advice {
                Advice::Recipe(r) => (recipe(look, r)),
                Advice::Size(s) => (size(look, s)),
                Advice::Payback(p) => {
                    (said(&p.words.iter().collect::<Vec<_>>()))
                    p class="help" { "Figures of " (p.fuel.name) ": " a href={"/sources/" (p.fuel.source_key)} { (p.fuel.source_key) } ", " (p.fuel.note) }
                }
            }
            @let can_take = match advice { Advice::Recipe(r) => r.months.iter().any(|m| !m.doses.is_empty()), Advice::Size(s) => s.smallest.is_some(), Advice::Payback(_) => false };
            @if can_take {
                form method="post" action={"/plans/" (look.id) "/desk"} {
                    input type="hidden" name="rev" value=(look.rev);
                    @for (k, v) in [("ask", &q.ask), ("wish", &q.wish), ("what", &q.what)] { input type="hidden" name=(k) value=(v); }
                    button type="submit" class="main" name="do" value="take" { "Take it" }
                    p class="help" { "It is put into the plan as tried; look at it before you keep it." }
                }
            }
        }
    }
}

/// Sentences, the first one large.
fn said(words: &[&Said]) -> Markup {
    html! { @for (i, s) in words.iter().enumerate() { p class={@if i == 0 { "lead" }} { (s.words) } } }
}

fn units(look: &Look) -> Shown {
    match &look.trial {
        crate::web::run::Read::Plan(p) => Shown::of(p.plan.units),
        crate::web::run::Read::Faults(_) => Shown::of(fenlamp_model::plan::UnitSystem::Metric),
    }
}

fn recipe(look: &Look, r: &Recipe) -> Markup {
    let shown = units(look);
    let words: Vec<&Said> = r.words.iter().filter(|s| s.about != "keep_out").collect();
    html! {
        (said(&words[..words.len().min(1)]))
        div class="wide" tabindex="0" role="region" aria-label="The recipe by month" {
            table {
                caption { "Gas a day in the last year of the forecast; eight worlds in ten lie inside the band." }
                thead { tr { th scope="col" { "Month" } th scope="col" { "Gas " (shown.gas_unit()) " a day" } th scope="col" { "Water L a day" } th scope="col" { "Feed a " (period(r)) } } }
                tbody { @for m in r.months.iter().filter(|m| !m.doses.is_empty()) {
                    tr {
                        th scope="row" { (say::month(m.month)) }
                        td { @if let Some(c) = r.checked.month(m.month) { (band(shown.gas(c.gas_wet_l_per_day))) } }
                        td { (say::number_band(m.water_l_per_day, m.water_l_per_day)) }
                        td class="words" { (m.doses.iter().map(|d| format!("{} {}", d.words, d.name)).collect::<Vec<_>>().join(", ")) }
                    }
                } }
            }
        }
        @for s in words.iter().skip(1) { p { (s.words) } }
        details {
            summary { "What not to feed" }
            ul { @for row in &r.keep_out { li { strong { (row.thing) } ": " (row.words) " "
                @if fenlamp_model::reference::source(&row.source_key).is_some() { a href={"/sources/" (row.source_key)} { (row.source_key) } } @else { "(" (row.source_key) ")" } } } }
        }
    }
}

fn period(r: &Recipe) -> &'static str {
    match r.measure.per {
        fenlamp_report::advice::Period::Day => "day",
        fenlamp_report::advice::Period::Week => "week",
    }
}

fn size(look: &Look, s: &Sized) -> Markup {
    let u = units(look).units();
    let words: Vec<&Said> = s.words.iter().collect();
    html! {
        (said(&words))
        table {
            caption { "Sizes tried, and worlds of a hundred that have the wish" }
            tbody { @for t in &s.tried { tr { th scope="row" { (s.part.size_words(t.size, u)) } td { (format!("{:.0}", 100.0 * t.met_share)) } } } }
        }
    }
}
