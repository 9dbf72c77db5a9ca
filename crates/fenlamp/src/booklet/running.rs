//! Days, weeks and seasons; wash and trap; winter; emptying.

use fenlamp_model::plan::Plan;
use jiff::ToSpan;
use jiff::civil::Date;
use maud::{Markup, html};

use super::Book;
use super::cautions::Step;
use super::quantity::As;

/// Dates of service shown for one thing, at most.
const DATES: usize = 6;
/// A trap is emptied at least this often, days (judgement).
const TRAP_AT_LEAST: f64 = 14.0;

pub fn chapter(b: &Book) -> Markup {
    b.chapter(
        "routine",
        html! {
            (b.step(Step::Routine, html! {
                h3 { (b.t("b.routine.daily")) } (b.ticks("b.daily"))
                h3 { (b.t("b.routine.weekly")) } (b.ticks("b.weekly"))
                h3 { (b.t("b.routine.seasons")) } (seasons(b))
            }))
            @if b.stands(Step::Service) { (b.step(Step::Service, service(b))) }
            @if b.stands(Step::Winter) {
                (b.step(Step::Winter, html! {
                    p { (cold(b)) }
                    p { strong { (b.t("b.winter.down")) } }
                    (b.ticks("b.shut"))
                    p { strong { (b.t("b.winter.up")) } }
                    (b.ticks("b.restart"))
                }))
            }
            (b.step(Step::Empty, html! { (b.ticks("b.emptying")) }))
        },
    )
}

fn seasons(b: &Book) -> Markup {
    let fed: Vec<String> = (0..12)
        .filter(|m| b.plan.waste.iter().any(|w| w.fresh[*m].value > 0.0))
        .map(|m| b.t(&format!("month.{}", m + 1)))
        .collect();
    let heap = b.plan.heap.as_ref();
    html! {
        ul {
            @if fed.is_empty() { li { (b.t("b.seasons.unfed")) } }
            @else { li { (b.tf("b.seasons.fed", &[("months", &fed.join(", "))])) } }
            @if let Some(h) = heap {
                @if let Some(n) = h.rebuilt_every_days {
                    li { (b.tf("b.seasons.rebuild", &[("n", &n.to_string()), ("dates", &dates(b, h.built, n))])) }
                }
                @if let Some(n) = h.watered_every_days {
                    li { (b.tf("b.seasons.water", &[("n", &n.to_string())])) }
                }
            }
            li { (b.t("b.seasons.yearly")) }
        }
    }
}

/// The next dates of something done every so many days, within the forecast.
fn dates(b: &Book, from: Date, every: u32) -> String {
    let end = last(b.plan);
    let all: Vec<String> = (1..)
        .map(|k: i64| from.saturating_add((k * i64::from(every.max(1))).days()))
        .skip_while(|d| *d < b.plan.start)
        .take_while(|d| *d <= end && *d < Date::MAX)
        .take(DATES)
        .map(|d| b.date(d))
        .collect();
    if all.is_empty() {
        "–".to_owned()
    } else {
        all.join(", ")
    }
}

fn last(plan: &Plan) -> Date {
    plan.start.saturating_add(i64::from(plan.days).days())
}

fn service(b: &Book) -> Markup {
    let Some(train) = &b.answer.gas_train else {
        return html! {};
    };
    html! {
        table {
            thead { tr { th { (b.t("b.service.what")) } th { (b.t("b.service.spent")) } th { (b.t("b.service.dates")) } } }
            tbody {
                @for (i, w) in b.plan.gas_side.washes.iter().enumerate() {
                    @let name = fenlamp_drawing::plant::label(b.plan, fenlamp_drawing::plant::Kind::Wash(i), b.words);
                    tr {
                        td { (name) }
                        td {
                            @match train.washes.get(i).and_then(|w| w.spent_dates) {
                                Some([early, _, late]) => {
                                    (b.tf("b.service.between", &[("a", &b.date(early)), ("b", &b.date(late))])) " "
                                    (b.tm("b.service.share", "p", &b.f.one(&format!("/gas_train/washes/{i}/spent_share_of_worlds"), As::Share)))
                                }
                                None => { (b.t("b.service.not_spent")) }
                            }
                        }
                        td {
                            @match w.renewed_every_days {
                                Some(n) => { (b.tf("b.service.every", &[("n", &n.to_string())])) " " (dates(b, b.plan.start, n)) }
                                None => { (b.t("b.service.when_spent")) }
                            }
                        }
                    }
                }
                @if let Some(t) = &train.trap {
                    @let every = t.days_to_fill.p10.clamp(1.0, TRAP_AT_LEAST).floor();
                    tr {
                        td { (b.t("part.trap")) }
                        td { (b.tm("b.service.fills", "d", &b.f.band("/gas_train/trap/days_to_fill", As::Days))) }
                        td { (b.tf("b.service.empty_every", &[("n", &format!("{every:.0}"))])) }
                    }
                }
            }
        }
        (b.ticks("b.serving"))
    }
}

fn cold(b: &Book) -> Markup {
    let months: Vec<String> = b
        .answer
        .months
        .iter()
        .filter(|m| m.slurry_temperature_c.p50 < 15.0)
        .map(|m| b.month(m.year, m.month))
        .collect();
    if months.is_empty() {
        return html! { (b.t("b.winter.never_cold")) };
    }
    html! { (b.tf("b.winter.cold", &[("months", &months.join(", "))])) }
}
