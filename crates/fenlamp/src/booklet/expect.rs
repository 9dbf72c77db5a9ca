//! The answer and its doubt.

use fenlamp_drawing::plot::{self, BandPlot, Mark, Panel, Series};
use fenlamp_model::say::L_PER_CU_FT;
use fenlamp_quantity::Units;
use maud::{Markup, html};

use super::Book;
use super::cautions::{Step, altitude_m};
use super::quantity::As;

pub fn chapter(b: &Book) -> Markup {
    let stamp = &b.answer.stamp;
    html! {
        section id="first" {
            h1 { (b.plan.name) }
            p.small { (b.plan.about) }
            h2 { (b.t("b.first.title")) }
            (best(b))
            (flame(b))
            p { (b.tm("b.first.sour", "p", &b.f.one("/sour_share_of_worlds", As::Share))) }
            p { (b.t("b.first.doubt")) }
            figure { (b.svg(&year(b))) }
            (months(b))
            section.step data-step=(Step::First.id()) { (b.cautions(Step::First)) }
            (engine_words(b))
            p.small {
                (b.tf("b.first.made", &[
                    ("version", stamp.program_version),
                    ("file", &stamp.plan_file),
                    ("worlds", &stamp.worlds.to_string()),
                    ("seed", &stamp.seed.to_string()),
                    ("sha", stamp.plan_sha256.get(..12).unwrap_or("")),
                ]))
                " " (b.tf("b.first.place", &[("a", &b.say.metres(altitude_m(b.plan)))]))
            }
        }
    }
}

/// The best month, said first.
fn best(b: &Book) -> Markup {
    let months = &b.answer.months;
    let best = (0..months.len()).max_by(|i, j| {
        let gas = |i: &usize| months[*i].gas_wet_l_per_day.p50;
        gas(i).total_cmp(&gas(j))
    });
    let Some(i) = best else { return html! {} };
    let at = format!("/months/{i}/gas_wet_l_per_day");
    html! {
        p.answer {
            (b.tf("b.first.best", &[("m", &b.month(months[i].year, months[i].month))])) " "
            strong { (b.f.band(&at, As::GasL)) } " "
            (b.t("b.first.a_day")) " (" (b.t("b.middle")) " " (b.f.middle(&at, As::GasL)) ")."
        }
    }
}

fn flame(b: &Book) -> Markup {
    match &b.answer.first_flame.dates {
        Some([early, middle, late]) => html! {
            p.answer {
                (b.tf("b.first.flame", &[
                    ("a", &b.date(*early)), ("b", &b.date(*late)), ("m", &b.date(*middle)),
                ])) " "
                (b.tm("b.first.flame_share", "p", &b.f.one("/first_flame/share_of_worlds", As::Share)))
            }
        },
        None => html! { p.answer { (b.t("b.first.no_flame")) } },
    }
}

/// The forecast's own sentences. They come in English.
fn engine_words(b: &Book) -> Markup {
    html! {
        h3 { (b.t("b.first.in_english")) }
        div.words lang="en" {
            @for said in &b.answer.words { p { (said.words) } }
        }
    }
}

fn year(b: &Book) -> String {
    let us = b.f.units == Units::Us;
    let (gas_unit, t_unit) = if us { ("cu ft", "°F") } else { ("L", "°C") };
    let gas = Series::of_days("", gas_unit, &b.answer.days, |d| {
        d.gas_wet_l.map(|l| if us { l / L_PER_CU_FT } else { l })
    });
    let slurry = Series::of_days("", t_unit, &b.answer.days, |d| {
        d.slurry_temperature_c
            .map(|c| if us { 1.8 * c + 32.0 } else { c })
    });
    let days = &b.answer.days;
    let from = days.first().map_or(b.plan.start, |d| d.date);
    let to = days.last().map_or(b.plan.start, |d| d.date);
    let marks = b
        .answer
        .first_flame
        .dates
        .iter()
        .map(|[early, middle, late]| Mark {
            date: *middle,
            span: Some((*early, *late)),
            label: b.t("b.first.mark"),
        });
    plot::band(&BandPlot {
        id: "year".to_owned(),
        title: b.t("b.first.plot"),
        about: b.t("b.first.doubt"),
        from,
        to,
        width: 660.0,
        height: 270.0,
        upper: Panel {
            label: b.tf("b.first.gas_axis", &[("unit", gas_unit)]),
            series: vec![gas],
            from_zero: true,
            gas: true,
        },
        lower: Some(Panel {
            label: b.tf("b.first.slurry_axis", &[("unit", t_unit)]),
            series: vec![slurry],
            from_zero: false,
            gas: false,
        }),
        marks: marks.collect(),
        months: b.words.months(),
    })
}

fn months(b: &Book) -> Markup {
    html! {
        table {
            thead { tr {
                th { (b.t("b.month")) }
                th.n { (b.t("b.first.slurry")) } th.n { (b.t("b.first.gas_day")) }
                th.n { (b.t("b.middle")) } th.n { (b.t("b.first.methane")) } th.n { (b.t("b.first.kettles")) }
            } }
            tbody {
                @for (i, m) in b.answer.months.iter().enumerate() {
                    tr {
                        td.w { (b.month(m.year, m.month)) }
                        td.n { (b.f.band(&format!("/months/{i}/slurry_temperature_c"), As::Celsius)) }
                        td.n { (b.f.band(&format!("/months/{i}/gas_wet_l_per_day"), As::GasL)) }
                        td.n { (b.f.middle(&format!("/months/{i}/gas_wet_l_per_day"), As::GasL)) }
                        td.n { (b.f.middle(&format!("/months/{i}/methane_share"), As::Share)) }
                        td.n { (b.f.band(&format!("/months/{i}/uses_per_day/kettles"), As::Number)) }
                    }
                }
            }
        }
        p.small { (b.t("b.first.band")) }
    }
}
