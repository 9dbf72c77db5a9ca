//! How a figure came about: what it is made from, by which equations, from where.

use fenlamp_model::band::Quantiles;
use fenlamp_model::forecast::bands::MonthBand;
use fenlamp_model::plan::SlurryTemperature;
use fenlamp_model::reference;
use fenlamp_model::say;
use fenlamp_model::weather::Weather;
use maud::{Markup, html};

use super::{Look, Shown, band, layout, tables, whole_band};
use crate::web::run::Told;

/// One thing a figure is made from.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Input {
    /// What it is.
    pub what: String,
    /// Its value, as shown.
    pub value: String,
    /// Where it can be changed or looked up.
    pub link: Option<String>,
}

/// One step of the reckoning.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
pub struct Step {
    /// Name of the equation or model.
    pub name: &'static str,
    /// What it does here.
    pub does: &'static str,
    /// Keys of the sources.
    pub keys: &'static [&'static str],
}

/// How a figure came about.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Story {
    /// What the figure is.
    pub title: String,
    /// The figure with its band.
    pub value: String,
    /// What it is made from.
    pub inputs: Vec<Input>,
    /// The steps, in order.
    pub steps: Vec<Step>,
}

/// Figures that open, by their names in addresses.
pub const FIGURES: &[&str] = &[
    "gas",
    "slurry",
    "methane",
    "uses",
    "covered",
    "first-flame",
    "souring",
    "digestate",
];

const WORLDS: Step = Step {
    name: "Many worlds",
    does: "The plan is run again and again, each time with every uncertain input drawn anew (Latin \
           hypercube, inputs that go together in nature drawn together). The band leaves out one \
           world in ten at each end.",
    keys: &[],
};
const WARMTH: Step = Step {
    name: "Heat balance, hour by hour",
    does: "Walls and insulation by layers, air, wind, sun, ground by depth and season, the feed's own \
           warmth, and the heap's heat from its rotting.",
    keys: &["ISO6946", "KUSUDA65", "HAUG93"],
};
const ADM1: Step = Step {
    name: "ADM1, with a pool for each waste",
    does: "Solids break down at their own speed, acids are made and eaten, methane makers grow with \
           the temperature they are used to; pH, ammonia and sulfide hold them back.",
    keys: &["BATSTONE02", "ROSEN06", "DALBY21"],
};
const HEADSPACE: Step = Step {
    name: "Gas above the slurry",
    does: "What leaves the slurry fills the headspace and drives its air out; the gas that leaves is \
           counted dry at 0 °C, and shown as a bag holds it: wet, at the day's air and the \
           place's air pressure.",
    keys: &["ROSEN06", "ISO6976-2016"],
};
const HEAT: Step = Step {
    name: "Heat of the methane",
    does: "Net calorific value of methane, times the share that a household flame brings into the \
           pot or the mantle.",
    keys: &["ISO6976-2016", "GTZ1989"],
};
const TRAIN: Step = Step {
    name: "The gas side, hour by hour",
    does: "Through wash and trap into the store; what burns is taken at its hours, most wanted first; \
           what the store cannot hold goes through the relief.",
    keys: &["GTZ1989", "GAS-JUDGEMENT"],
};
const FLAME: Step = Step {
    name: "Steady flame",
    does: "Three days running with at least half methane and gas for a tenth of a stove hour \
           (the days and the least gas are our judgement).",
    keys: &["GTZ1989"],
};
const SOUR: Step = Step {
    name: "Sour",
    does: "pH below 6.2 for two weeks running: methane making usually ends below 6.0 (the two weeks \
           are our judgement).",
    keys: &["GERARDI", "MEM-AD"],
};
const LEFT: Step = Step {
    name: "What goes in comes out",
    does: "Nitrogen, phosphorus and potassium are counted through; hygiene by time and temperature \
           against the published rules, land by the nitrogen limits.",
    keys: &["EPA625", "RB209"],
};

fn waste_inputs(look: &Look, told: &Told, month: Option<i8>, out: &mut Vec<Input>) {
    let plan = &told.opened.plan;
    for w in &plan.waste {
        let Some(f) = plan.feedstocks.get(w.feedstock) else {
            continue;
        };
        let kg_day = |m: usize| w.fresh[m].value * 86_400.0;
        let value = match month.and_then(|m| usize::try_from(m - 1).ok()) {
            Some(m) => format!("{} kg a day", fenlamp_quantity::format_number(kg_day(m), 3)),
            None => w.label.clone(),
        };
        out.push(Input {
            what: f.name.clone(),
            value,
            link: Some(format!("/plans/{}/parts/waste", look.id)),
        });
        if reference::feedstock(&f.id).is_some() {
            let n = |v: f64| fenlamp_quantity::format_number(v, 3);
            out.push(Input {
                what: format!("{}: methane potential", f.name),
                value: format!(
                    "{} to {} L/kg VS",
                    n(1000.0 * f.bmp.low),
                    n(1000.0 * f.bmp.high)
                ),
                link: Some(format!("/feedstocks/{}?plan={}", f.id, look.id)),
            });
        }
    }
}

fn vessel_input(look: &Look, told: &Told) -> Input {
    Input {
        what: "Slurry when full".to_owned(),
        value: fenlamp_quantity::print(
            told.opened.plan.vessel.liquid,
            Shown::of(told.opened.plan.units).units(),
        ),
        link: Some(format!("/plans/{}/parts/vessel", look.id)),
    }
}

fn slurry_input(look: &Look, told: &Told, months: &[&MonthBand]) -> Input {
    let shown = Shown::of(told.answer.stamp.units_of_words);
    let low = months
        .iter()
        .map(|m| m.slurry_temperature_c.p10)
        .fold(f64::INFINITY, f64::min);
    let high = months
        .iter()
        .map(|m| m.slurry_temperature_c.p90)
        .fold(f64::NEG_INFINITY, f64::max);
    let q = shown.temperature(Quantiles {
        p10: low,
        p50: low,
        p90: high,
    });
    Input {
        what: "Slurry temperature".to_owned(),
        value: format!("{} {}", whole_band(q), shown.degree()),
        link: Some(format!("/plans/{}/figures/slurry", look.id)),
    }
}

fn seed_input(look: &Look, told: &Told) -> Input {
    let fill = &told.opened.plan.first_fill;
    let units = Shown::of(told.opened.plan.units).units();
    Input {
        what: "Seed".to_owned(),
        value: if fill.seeds.is_empty() {
            "none".to_owned()
        } else {
            fenlamp_quantity::print(fill.seed_volume(), units)
        },
        link: Some(format!("/plans/{}/parts/feeding", look.id)),
    }
}

/// The story of a figure; `month` narrows it to one. `None` when there is no such
/// figure.
pub fn story(look: &Look, told: &Told, figure: &str, month: Option<(i16, i8)>) -> Option<Story> {
    let answer = &told.answer;
    let shown = Shown::of(answer.stamp.units_of_words);
    let months: Vec<&MonthBand> = answer
        .months
        .iter()
        .filter(|m| month.is_none_or(|(y, n)| (m.year, m.month) == (y, n)))
        .collect();
    let first = *months.first()?;
    let when = match month {
        Some((y, m)) => format!(" in {} {y}", say::month(m)),
        None => String::new(),
    };
    let only = month.map(|_| first);
    let mut inputs = Vec::new();
    let held = !matches!(
        told.opened.plan.slurry_temperature,
        SlurryTemperature::HeatBalance
    );
    let warmth = if held {
        Step {
            name: "Held temperature",
            does: "The plan says how warm the slurry is.",
            keys: &[],
        }
    } else {
        WARMTH
    };
    let sentence = |topic| {
        answer
            .words
            .iter()
            .filter(|s| s.topic == topic)
            .map(|s| s.words.clone())
            .collect::<Vec<_>>()
            .join(" ")
    };
    use fenlamp_report::words::Topic;
    let (title, value, steps) = match figure {
        "gas" => {
            waste_inputs(look, told, month.map(|m| m.1), &mut inputs);
            inputs.push(slurry_input(look, told, &months));
            inputs.push(vessel_input(look, told));
            inputs.push(seed_input(look, told));
            let value = only.map_or_else(
                || sentence(Topic::Gas),
                |m| {
                    let g = shown.gas(m.gas_wet_l_per_day);
                    format!(
                        "{} {} a day (middle {})",
                        band(g),
                        shown.gas_unit(),
                        say::number_band(g.p50, g.p50)
                    )
                },
            );
            (
                format!("Gas a day{when}"),
                value,
                vec![warmth, ADM1, HEADSPACE, WORLDS],
            )
        }
        "slurry" => {
            let plan = &told.opened.plan;
            let weather = match &plan.weather {
                Weather::Normals(_) => "monthly normals of the plan".to_owned(),
                Weather::Series(s) => format!("records of {}", s.origin),
            };
            inputs.push(Input {
                what: "Weather".to_owned(),
                value: weather,
                link: Some(format!("/plans/{}/parts/place", look.id)),
            });
            for layer in &plan.insulation {
                inputs.push(Input {
                    what: format!(
                        "Insulation, {}",
                        layer.material.trim_start_matches("k_").replace('_', " ")
                    ),
                    value: fenlamp_quantity::print(layer.thickness, shown.units()),
                    link: Some(format!("/plans/{}/parts/warmth", look.id)),
                });
            }
            inputs.push(Input {
                what: "Heap".to_owned(),
                value: plan.heap.as_ref().map_or("none".to_owned(), |h| {
                    fenlamp_quantity::print(h.volume, shown.units())
                }),
                link: Some(format!("/plans/{}/parts/warmth", look.id)),
            });
            inputs.push(vessel_input(look, told));
            let all = slurry_input(look, told, &months).value;
            (
                format!("Temperature of the slurry{when}"),
                all,
                vec![warmth, WORLDS],
            )
        }
        "methane" => {
            waste_inputs(look, told, month.map(|m| m.1), &mut inputs);
            inputs.push(slurry_input(look, told, &months));
            let q = first.methane_share.map(|v| 100.0 * v);
            (
                format!("Methane in the gas{when}"),
                format!("{} % of the dry gas", whole_band(q)),
                vec![ADM1, HEADSPACE, WORLDS],
            )
        }
        "uses" => {
            inputs.push(Input {
                what: "Gas a day".to_owned(),
                value: {
                    let g = shown.gas(first.gas_wet_l_per_day);
                    format!("{} {}", band(g), shown.gas_unit())
                },
                link: Some(format!("/plans/{}/figures/gas", look.id)),
            });
            inputs.push(Input {
                what: "Methane in it".to_owned(),
                value: format!("{} %", whole_band(first.methane_share.map(|v| 100.0 * v))),
                link: Some(format!("/plans/{}/figures/methane", look.id)),
            });
            let value = only.map_or_else(
                || sentence(Topic::Uses),
                |m| {
                    format!(
                        "{} kettles of 1.5 L a day, or {} kWh of heat",
                        band(m.uses_per_day.kettles),
                        band(m.uses_per_day.heat_kwh)
                    )
                },
            );
            (
                format!("What the gas does{when}"),
                value,
                vec![ADM1, HEADSPACE, HEAT, WORLDS],
            )
        }
        "covered" => {
            let train = answer.gas_train.as_ref()?;
            for u in &train.uses {
                inputs.push(Input {
                    what: format!("{} wanted", tables::appliance(u.appliance)),
                    value: format!(
                        "{} {} a day in its season",
                        say::number_band(u.wanted_per_day, u.wanted_per_day),
                        u.unit
                    ),
                    link: Some(format!("/plans/{}/parts/uses", look.id)),
                });
            }
            if let Some(full) = train.store.full_l {
                inputs.push(Input {
                    what: "Store".to_owned(),
                    value: say::gas(full, shown.units()),
                    link: Some(format!("/plans/{}/parts/store", look.id)),
                });
            }
            let value = train
                .uses
                .iter()
                .map(|u| {
                    format!(
                        "{}: {} %",
                        tables::appliance(u.appliance),
                        whole_band(u.covered_share.map(|v| 100.0 * v))
                    )
                })
                .collect::<Vec<_>>()
                .join("; ");
            (
                "What of the wishes is covered".to_owned(),
                value,
                vec![ADM1, TRAIN, HEAT, WORLDS],
            )
        }
        "first-flame" => {
            inputs.push(seed_input(look, told));
            inputs.push(slurry_input(look, told, &months[..months.len().min(3)]));
            inputs.push(vessel_input(look, told));
            (
                "The first steady flame".to_owned(),
                sentence(Topic::FirstFlame),
                vec![warmth, ADM1, HEADSPACE, FLAME, WORLDS],
            )
        }
        "souring" => {
            inputs.push(seed_input(look, told));
            waste_inputs(look, told, None, &mut inputs);
            let value = match sentence(Topic::Souring) {
                s if s.is_empty() => {
                    format!("{:.0} % of the worlds", 100.0 * answer.sour_share_of_worlds)
                }
                s => s,
            };
            (
                "Whether it turns sour".to_owned(),
                value,
                vec![warmth, ADM1, SOUR, WORLDS],
            )
        }
        "digestate" => {
            waste_inputs(look, told, None, &mut inputs);
            inputs.push(vessel_input(look, told));
            (
                "What runs out".to_owned(),
                sentence(Topic::Digestate),
                vec![ADM1, LEFT, WORLDS],
            )
        }
        _ => return None,
    };
    Some(Story {
        title,
        value,
        inputs,
        steps,
    })
}

/// The page of a story.
pub fn page(look: &Look, story: &Story) -> Markup {
    layout::page(
        &story.title,
        look.at("figures"),
        html! {
            h1 { (story.title) }
            p class="lead" { (story.value) }
            h2 { "Made from" }
            div class="wide" { table {
                tbody { @for i in &story.inputs { tr {
                    th scope="row" { (i.what) }
                    td { (i.value) }
                    td { @if let Some(link) = &i.link { a href=(link) { "see or change" } } }
                } } }
            } }
            h2 { "By" }
            ol { @for s in &story.steps { li {
                strong { (s.name) } ". " (s.does) " "
                @for key in s.keys { a href={"/sources/" (key)} { (key) } " " }
            } } }
            p { a href={"/plans/" (look.id)} { "Back to the year" } }
        },
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_step_names_sources_that_are_there() {
        for step in [
            WORLDS, WARMTH, ADM1, HEADSPACE, HEAT, TRAIN, FLAME, SOUR, LEFT,
        ] {
            for key in step.keys {
                assert!(reference::source(key).is_some(), "{}: {key}", step.name);
            }
        }
    }
}
