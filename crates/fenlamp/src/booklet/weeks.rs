//! The first weeks, day by day.

use fenlamp_model::world::calendar;
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
    let flames = Flames::of(b);
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
                    tr data-day=(i) {
                        td.n { (i) }
                        td.w { (b.date(d.date)) }
                        td { (fed(b, feed.get(i))) }
                        td.n { (b.f.band(&format!("/days/{i}/slurry_temperature_c"), As::Celsius)) }
                        td.n { (b.f.band(&format!("/days/{i}/gas_wet_l"), As::GasL)) }
                        td { (look(b, i, feed.get(i).is_some_and(|f| f.total_kg() > 0.0))) }
                        td { (flames.on(b, i)) }
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

/// The least to throw away, days: "at least the first three to five days' gas"
/// (SASSE1988Q in `safety_cautions.md`), the stricter end.
const LEAST_DAYS: f64 = 5.0;

/// From which days a sample may be tried, and a flame if the sample burns.
struct Flames {
    sample: Option<f64>,
    flame: Option<f64>,
}

impl Flames {
    /// By the stricter of the first flame's spread, the purge, and the air that may
    /// be left above the slurry.
    fn of(b: &Book) -> Self {
        let Some(q) = &b.answer.first_flame.day else {
            return Flames {
                sample: None,
                flame: None,
            };
        };
        let evidence = |id: &str, name: &str| {
            let found = b.answer.findings.iter().find(|f| f.id == id)?;
            Some(found.evidence.iter().find(|e| e.name == name)?.value)
        };
        let purged = |name| evidence("purge-volume", name).unwrap_or(0.0);
        let air = evidence("headspace-air", "days_until_below_p90").unwrap_or(0.0);
        Flames {
            sample: Some(LEAST_DAYS.max(q.p10).max(purged("purged_on_day_p50"))),
            flame: Some(
                LEAST_DAYS
                    .max(q.p90)
                    .max(purged("purged_on_day_p90"))
                    .max(air),
            ),
        }
    }

    /// In words for a day.
    fn on(&self, b: &Book, day: usize) -> String {
        let reached = |from: Option<f64>| from.is_some_and(|from| day as f64 >= from);
        b.t(match (reached(self.flame), reached(self.sample)) {
            (true, _) => "b.may.sample_then",
            (false, true) => "b.may.sample",
            (false, false) => "b.may.no",
        })
    }
}
