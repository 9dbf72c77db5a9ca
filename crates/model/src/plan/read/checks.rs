//! Checks between parts of the plan.

use super::feedstocks::Feedstocks;
use super::{Fault, FirstFill, MONTHS, Section, VesselMode};
use crate::plan::{Dilution, Feeding, Heap, Vessel, Waste};
use crate::weather::Weather;
use fenlamp_quantity::{Quantity, Units, Volume, print};
use jiff::civil::Date;

/// Density of slurry and of soaked feed, kg/m3, to the precision of a fill.
const SLURRY_KG_M3: f64 = 1000.0;
/// Least time liquid must stay in a vessel with overflow, days. Judgement: below it nothing that
/// makes methane can keep up with the washing-out.
const LEAST_STAY_DAYS: f64 = 5.0;
/// Most of the slurry that one feeding may displace. Judgement.
const MOST_AT_ONCE: f64 = 0.5;

/// First fill and seed fit under the slurry level, which fits into the shape.
pub(super) fn fill(root: &Section<'_>, v: &Vessel, fill: Option<&FirstFill>) {
    let liquid = v.liquid.to_si();
    let Some(fill) = fill else { return };
    let feed: f64 = fill.feed.iter().map(|f| f.1.to_si()).sum::<f64>() / SLURRY_KG_M3;
    let water = fill.water.map_or(0.0, |w| w.to_si() / SLURRY_KG_M3);
    let seed = fill.seed_volume().to_si();
    // The filler takes its share of the room.
    let room = liquid * (1.0 - v.filler.to_si());
    if feed + water + seed > room * 1.001 {
        let key = if root.has("first_fill") {
            "first_fill"
        } else {
            "seed"
        };
        root.fault(
            key,
            format!(
                "the first fill takes {} with its seed, but the vessel holds {} of slurry",
                litres(feed + water + seed),
                litres(room)
            ),
            "put in less, or raise \"slurry\" under [vessel]",
        );
    }
}

/// Waste with its water does not rush through.
pub(super) fn feed(
    root: &Section<'_>,
    sections: &[Section<'_>],
    v: &Vessel,
    waste: &[Waste],
    feeding: &Feeding,
    feedstocks: &Feedstocks,
) {
    let Some(s) = sections.first() else { return };
    let daily: Vec<f64> = (0..12)
        .map(|m| daily_m3(waste, feeding, feedstocks, m))
        .collect();
    let flow = daily.iter().fold(0.0f64, |a, b| a.max(*b));
    let least = daily.iter().fold(flow, |a, b| a.min(*b));
    let worst = daily.iter().position(|x| *x == flow).unwrap_or(0);
    let room = v.liquid.to_si() * (1.0 - v.filler.to_si());
    let when = if least < 0.99 * flow {
        format!("in {} ", MONTHS[worst])
    } else {
        String::new()
    };
    let fault = match v.mode {
        VesselMode::Batch | VesselMode::TopUp => None,
        VesselMode::Overflow if flow * LEAST_STAY_DAYS > room => Some(format!(
            "more waste than the vessel holds: {when}{} a day with water into {} of slurry, so it stays {} days",
            litres(flow),
            litres(room),
            fenlamp_quantity::format_number(room / flow, 2)
        )),
        VesselMode::Overflow if flow * f64::from(feeding.every_days) > MOST_AT_ONCE * room => {
            Some(format!(
                "each feeding is {} with water, which pushes out more than half of the {} of slurry",
                litres(flow * f64::from(feeding.every_days)),
                litres(room)
            ))
        }
        VesselMode::Overflow => None,
        VesselMode::DrawOff { every_days, leave } => {
            let comes = flow * f64::from(every_days);
            let space = room * (1.0 - leave.to_si());
            (comes > space).then(|| format!(
                "more waste than the vessel holds: between two draw-offs {} comes in with water, and {} is free",
                litres(comes),
                litres(space)
            ))
        }
    };
    if let Some(message) = fault {
        let help = format!(
            "feed less, use less water, or take a larger vessel; {LEAST_STAY_DAYS} days is the least, 30 and more are usual"
        );
        root.report
            .add(s.path(""), s.span.clone(), Fault::new(message, help));
    }
}

/// What [feeding] says of the start goes with the steps of the wastes.
pub(super) fn steps(
    root: &Section<'_>,
    sections: &[Section<'_>],
    waste: &[Waste],
    feeding: &Feeding,
) {
    let Some(s) = root.section("feeding") else {
        return;
    };
    let stepped = |w: &Waste| !w.steps.is_empty();
    if s.has("from") {
        for (section, w) in sections.iter().zip(waste) {
            let Some(first) = w.steps.first() else {
                continue;
            };
            if first.from_day < feeding.first_day {
                section.fault(
                    "steps",
                    format!(
                        "the first step begins on day {}, but feeding begins on day {}",
                        first.from_day, feeding.first_day
                    ),
                    "begin the steps later, or change \"from\" under [feeding]",
                );
            }
        }
    }
    if feeding.ramp_days > 0 && s.has("ramp") && !waste.is_empty() && waste.iter().all(stepped) {
        s.fault(
            "ramp",
            "every [[waste]] rises in steps of its own, so that the ramp acts on none",
            "leave out ramp, or the steps",
        );
    }
}

/// Waste with its water in one month, m3/day.
fn daily_m3(waste: &[Waste], feeding: &Feeding, feedstocks: &Feedstocks, month: usize) -> f64 {
    let mut fresh = 0.0;
    let mut solids = 0.0;
    for w in waste {
        let kg_day = w.fresh[month].to_si() * 86_400.0;
        fresh += kg_day;
        solids += kg_day
            * feedstocks
                .used
                .get(w.feedstock)
                .map_or(0.0, |f| f.total_solids.mid);
    }
    let wet = match feeding.water {
        Dilution::None => fresh,
        Dilution::PerFeed(r) => fresh * (1.0 + r),
        Dilution::ToSolids(share) => fresh.max(solids / share.to_si()),
    };
    wet / SLURRY_KG_M3
}

pub(super) fn something_to_digest(
    root: &Section<'_>,
    waste: &[Section<'_>],
    fill: Option<&FirstFill>,
) {
    let Some(fill) = fill else { return };
    // Seed alone is a blank, the control of a test.
    if waste.is_empty() && fill.feed.is_empty() && fill.seeds.is_empty() {
        root.missing(
            "waste",
            "there is nothing to digest: add [[waste]], or [[first_fill.feed]] for a batch, or [[seed]] alone for a blank",
        );
    }
}

pub(super) fn heap_dates(root: &Section<'_>, start: Date, heap: Option<&Heap>) {
    let Some(heap) = heap else { return };
    let far = |a: Date, b: Date| a.since(b).map_or(0, |s| s.get_days().abs());
    if far(heap.built, start) > 2 * 366 {
        root.fault(
            "heap",
            "the heap is built more than two years from the start of the plan",
            "check the dates \"built\" and \"start\"",
        );
    }
}

/// A record that misses days of the run would be filled with its nearest day.
pub(super) fn weather_covers(root: &Section<'_>, start: Date, days: u32, weather: &Weather) {
    let Weather::Series(record) = weather else {
        return;
    };
    let missing = crate::weather::uncovered_days(record, start, days);
    if missing > 0 {
        root.fault(
            "weather",
            format!(
                "the record \"{}\" lacks {missing} of the plan's {days} days",
                record.origin
            ),
            "give a record of a whole year (it is repeated), or a shorter plan.length",
        );
    }
}

fn litres(m3: f64) -> String {
    print(Volume::from_si(m3), Units::Metric)
}
