//! The first weeks, day by day.

use fenlamp_core::forecast::calendar;
use fenlamp_quantity::Mass;
use maud::{Markup, html};
use uom::si::mass::kilogram;

use super::Book;
use super::cautions::Step;
use super::quantity::As;

/// Days shown, at most.
const DAYS: usize = 42;

pub fn chapter(b: &Book) -> Markup {
    let solids: Vec<f64> = b
        .plan
        .waste
        .iter()
        .map(|w| {
            b.plan
                .feedstocks
                .get(w.feedstock)
                .map_or(0.1, |f| f.total_solids.mid)
        })
        .collect();
    let feed = calendar::daily_feed(b.plan, &solids);
    let n = b.answer.days.len().min(DAYS);
    let purge = b
        .answer
        .findings
        .iter()
        .position(|f| f.id == "purge-volume");
    b.chapter("weeks", html! {
        (b.step(Step::FirstGas, html! {
            p { (b.t("b.weeks.intro")) }
            @if let Some(i) = purge {
                @let evidence = b.answer.findings[i].evidence.iter().position(|e| e.name == "purge_l_p90");
                @if let Some(k) = evidence {
                    p { (b.tm("b.weeks.purge", "v", &b.f.one(&format!("/findings/{i}/evidence/{k}/value"), As::GasL))) }
                }
            }
            (b.ticks("b.purge"))
        }))
        table #days {
            thead { tr {
                th.n { (b.t("b.weeks.day")) } th { (b.t("b.weeks.date")) } th { (b.t("b.weeks.feed")) }
                th.n { (b.t("b.first.slurry")) } th.n { (b.t("b.weeks.gas")) }
                th { (b.t("b.weeks.look")) } th { (b.t("b.weeks.flame")) }
            } }
            tbody {
                @for i in 0..n {
                    @let d = &b.answer.days[i];
                    tr {
                        td.n { (i) }
                        td.w { (b.date(d.date)) }
                        td { (fed(b, feed.get(i))) }
                        td.n { (b.f.band(&format!("/days/{i}/slurry_temperature_c"), As::Celsius)) }
                        td.n { (b.f.band(&format!("/days/{i}/gas_wet_l"), As::GasL)) }
                        td { (look(b, i, feed.get(i).is_some_and(|f| f.total_kg() > 0.0))) }
                        td { (may_burn(b, i)) }
                    }
                }
            }
        }
        p.small { (b.t("b.weeks.after")) }
    })
}

fn fed(b: &Book, feed: Option<&calendar::DayFeed>) -> String {
    let Some(f) = feed.filter(|f| f.total_kg() > 0.0) else {
        return "–".to_owned();
    };
    let kg = |x: f64| b.say.figure(Mass::new::<kilogram>(x));
    let fresh: f64 = f.fresh_kg.iter().sum();
    b.tf("b.weeks.fed", &[("f", &kg(fresh)), ("w", &kg(f.water_kg))])
}

/// What to look, smell and measure for.
fn look(b: &Book, day: usize, fed: bool) -> String {
    let key = match day {
        0 => "b.look.fill",
        1 => "b.look.first",
        2..=4 => "b.look.still",
        d if d % 7 == 0 => "b.look.week",
        d if d % 7 == 3 => "b.look.acid",
        _ if fed => "b.look.feed",
        _ => "b.look.gauge",
    };
    b.t(key)
}

/// Whether a flame may be tried, by the spread of the first flame.
fn may_burn(b: &Book, day: usize) -> String {
    let day = day as f64;
    b.t(match &b.answer.first_flame.day {
        Some(q) if day > q.p90 => "b.may.sample_then",
        Some(q) if day >= q.p10 => "b.may.sample",
        _ => "b.may.no",
    })
}
