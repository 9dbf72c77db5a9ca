//! The pictures of a forecast.

use fenlamp_drawing::plot::{
    self, BandPlot, Bar, Bars, DayStore, MONTHS, Mark, Panel, Season, Series,
};
use fenlamp_model::forecast::gas_train::GasTrain;
use fenlamp_model::say;
use jiff::civil::Date;
use maud::{Markup, PreEscaped, html};

use super::{Look, Shown, layout::drawn};
use crate::answer::Answer;
use crate::web::run::Told;

/// What of the plot is seen.
#[derive(Debug, Clone, Copy)]
pub struct Window {
    /// First day; that of the forecast when none.
    pub from: Option<Date>,
    /// Last day.
    pub to: Option<Date>,
    /// Width, CSS pixels.
    pub width: f64,
}

impl Window {
    /// All of it at a width.
    pub fn all(width: f64) -> Self {
        Window {
            from: None,
            to: None,
            width,
        }
    }
}

/// Narrowest and widest plot.
pub const WIDTHS: (f64, f64) = (280.0, 1400.0);

/// The year: gas a day, and the slurry beneath. With a trial the plan as kept
/// stands beside it.
pub fn year(shown: &Told, kept: Option<&Told>, window: Window) -> (BandPlot, String) {
    let answer = &shown.answer;
    let units = Shown::of(answer.stamp.units_of_words);
    let first = answer.days.first().map_or(Date::ZERO, |d| d.date);
    let last = answer.days.last().map_or(Date::ZERO, |d| d.date);
    let from = window.from.unwrap_or(first).clamp(first, last);
    let to = window.to.unwrap_or(last).clamp(from, last);
    let gas = |name: &str, answer: &Answer| {
        Series::of_days(name, units.gas_unit(), &answer.days, |d| {
            units.gas(d.gas_wet_l)
        })
    };
    let slurry = |name: &str, answer: &Answer| {
        Series::of_days(name, units.degree(), &answer.days, |d| {
            units.temperature(d.slurry_temperature_c)
        })
    };
    let (mut upper, mut lower) = (Vec::new(), Vec::new());
    let name = if kept.is_some() { "as tried" } else { "gas" };
    upper.push(gas(name, answer));
    lower.push(slurry(
        if kept.is_some() { "as tried" } else { "slurry" },
        answer,
    ));
    if let Some(kept) = kept {
        upper.push(gas("as kept", &kept.answer));
        lower.push(slurry("as kept", &kept.answer));
    }
    let marks = answer
        .first_flame
        .dates
        .map(|[low, middle, high]| Mark {
            date: middle,
            span: Some((low, high)),
            label: "first flame".to_owned(),
        })
        .into_iter()
        .collect();
    let plot = BandPlot {
        id: "year".to_owned(),
        title: "Gas a day, and the slurry's temperature".to_owned(),
        about: "The band holds eight worlds in ten, the line is the middle world. The table below \
                has the same figures by month."
            .to_owned(),
        from,
        to,
        width: window.width.clamp(WIDTHS.0, WIDTHS.1),
        height: if window.width < 560.0 { 340.0 } else { 380.0 },
        upper: Panel {
            label: format!("gas a day, {}", units.gas_unit()),
            series: upper,
            from_zero: true,
            gas: true,
        },
        lower: Some(Panel {
            label: format!("slurry, {}", units.degree()),
            series: lower,
            from_zero: false,
            gas: false,
        }),
        marks,
        months: MONTHS,
    };
    let svg = plot::band(&plot);
    (plot, svg)
}

/// The plot with its data, as the element takes it.
pub fn year_inside(shown: &Told, kept: Option<&Told>, window: Window) -> Markup {
    let (plot, svg) = year(shown, kept, window);
    html! {
        (drawn(svg))
        script type="application/json" { (PreEscaped(plot::data_json(&plot))) }
    }
}

/// The element with its knobs.
pub fn year_element(look: &Look, shown: &Told, kept: Option<&Told>, width: f64) -> Markup {
    let days = &shown.answer.days;
    let (first, last) = (
        days.first().map(|d| d.date.to_string()),
        days.last().map(|d| d.date.to_string()),
    );
    html! {
        figure class="year" {
            year-plot src={"/plans/" (look.id) "/plot"} first=[first] last=[last] tabindex="0"
                role="group" aria-label="Gas a day through the year. Left and right arrow keys read out a day, plus and minus zoom." {
                div class="picture" { (year_inside(shown, kept, Window::all(width))) }
                div class="knobs" hidden {
                    button type="button" data-do="closer" { "Closer" }
                    button type="button" data-do="wider" { "Wider" }
                    button type="button" data-do="earlier" { "Earlier" }
                    button type="button" data-do="later" { "Later" }
                    label { input type="checkbox" data-hide="band" checked; " band" }
                    label { input type="checkbox" data-hide="line" checked; " middle" }
                    @if kept.is_some() {
                        label { input type="checkbox" data-hide="b" checked; " as kept" }
                    }
                }
                p class="tip" role="status" aria-live="polite" {}
            }
            figcaption {
                "Broad stroke: eight worlds in ten. Fine line: the middle world. Gas as a bag shows it, wet. "
                a href={"/plans/" (look.id) "/days.csv"} { "These days as CSV" } "."
            }
        }
    }
}

/// Uses covered and missed by month, one small plot a use.
pub fn uses(train: &GasTrain, width: f64) -> Markup {
    html! {
        @for (i, u) in train.uses.iter().enumerate() {
            @let name = super::tables::appliance(u.appliance);
            figure {
                (drawn(plot::bars(&Bars {
                    title: format!("{name}: covered and missed"),
                    about: format!("{} of {} wanted by month; covered is that of the middle world. The figures stand in the table of uses.", u.unit, name),
                    label: format!("{name}: {} a month", u.unit),
                    width,
                    height: 200.0,
                    covered: "covered".to_owned(),
                    missed: "missed".to_owned(),
                    bars: last_year(train).iter().filter_map(|m| {
                        let of = m.uses.get(i)?;
                        Some(Bar {
                            name: say::month(m.month).chars().take(3).collect(),
                            covered: of.covered.p50,
                            missed: of.missed.p50,
                        })
                    }).collect(),
                })))
            }
        }
    }
}

/// The last twelve months.
fn last_year(train: &GasTrain) -> &[fenlamp_model::forecast::gas_train::TrainMonth] {
    let months = &train.months;
    // A forecast that begins in the middle of a month has a thirteenth piece.
    &months[months.len().saturating_sub(12)..]
}

/// Names of the quarters, in the order of their first months.
pub fn quarter(from_month: i8) -> String {
    let end = (from_month + 1) % 12 + 1;
    let short = |m: i8| say::month(m).chars().take(3).collect::<String>();
    format!("{} to {}", short(from_month), short(end))
}

/// The store through a usual day of each quarter.
pub fn store(train: &GasTrain, look: &Told, width: f64) -> Option<Markup> {
    let full_l = train.store.full_l?;
    if train.store.usual_days.is_empty() {
        return None;
    }
    let units = Shown::of(look.answer.stamp.units_of_words);
    let scale = match units.units() {
        fenlamp_quantity::Units::Metric => full_l,
        fenlamp_quantity::Units::Us => full_l / say::L_PER_CU_FT,
    };
    let burning = |from_month: i8| -> [f64; 24] {
        let months = [from_month, from_month % 12 + 1, (from_month + 1) % 12 + 1];
        let mut hours = [0.0f64; 24];
        for u in &look.opened.plan.gas_side.uses {
            if months.iter().any(|m| u.months[*m as usize - 1]) {
                for (h, share) in hours.iter_mut().zip(u.hours) {
                    *h = h.max(share);
                }
            }
        }
        hours
    };
    let seasons = train
        .store
        .usual_days
        .iter()
        .map(|d| Season {
            name: quarter(d.from_month),
            held: std::array::from_fn(|h| d.filled_share.get(h).map_or(0.0, |q| q.p50 * scale)),
            burning: burning(d.from_month),
        })
        .collect();
    Some(html! {
        figure {
            (drawn(plot::day_store(&DayStore {
                title: "The store through a usual day of each quarter".to_owned(),
                about: "How much gas the store holds at the end of each hour in the middle world, and when gas is burned.".to_owned(),
                label: format!("in the store, {}", units.gas_unit()),
                width,
                capacity: scale,
                full: "full".to_owned(),
                seasons,
            })))
            figcaption { "Middle world, mean of the quarter's days. Marked hours: something is burned." }
        }
    })
}
