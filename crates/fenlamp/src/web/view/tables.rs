//! Figures in tables; each opens to where it comes from.

use fenlamp_model::band::Quantiles;
use fenlamp_model::forecast::chances::ChanceOf;
use fenlamp_model::forecast::levers::clear_of_chance;
use fenlamp_model::gas::appliances::Appliance;
use fenlamp_model::say;
use maud::{Markup, html};

use super::{Look, Shown, band, whole_band};
use crate::answer::Answer;
use crate::view_model::{change_text, store_text};
use crate::web::run::Told;

/// Name of an appliance.
pub fn appliance(a: Appliance) -> &'static str {
    store_text::name(a)
}

/// A figure that opens.
fn opens(look: &Look, figure: &str, month: Option<(i16, i8)>, words: &str) -> Markup {
    let query = month.map_or(String::new(), |(y, m)| format!("?month={y}-{m:02}"));
    html! { a class="fig" href={"/plans/" (look.id) "/figures/" (figure) (query)} { (words) } }
}

/// The months.
pub fn months(look: &Look, answer: &Answer) -> Markup {
    let shown = Shown::of(answer.stamp.units_of_words);
    html! {
        div class="wide" tabindex="0" role="region" aria-label="The months in figures" {
            table {
                caption { "Gas, kettles and heat are those of one day. Gas as a bag shows it, wet. One world in ten lies below each band, one above. Each figure opens to where it comes from." }
                thead { tr {
                    th scope="col" { "Month" }
                    th scope="col" { "Slurry " (shown.degree()) }
                    th scope="col" { "Gas " (shown.gas_unit()) }
                    th scope="col" { "middle" }
                    th scope="col" { "CH4 %" }
                    @if !answer.bench { th scope="col" { "Kettles" } th scope="col" { "Heat kWh" } }
                } }
                tbody {
                    @for m in &answer.months {
                        @let at = Some((m.year, m.month));
                        @let gas = shown.gas(m.gas_wet_l_per_day);
                        tr {
                            th scope="row" { (short(m.month)) " " (m.year) }
                            td { (opens(look, "slurry", at, &whole_band(shown.temperature(m.slurry_temperature_c)))) }
                            td { (opens(look, "gas", at, &band(gas))) }
                            td { (opens(look, "gas", at, &say::number_band(gas.p50, gas.p50))) }
                            td { @if gas.p90 > 0.0 { (opens(look, "methane", at, &format!("{:.0}", 100.0 * m.methane_share.p50))) } @else { "-" } }
                            @if !answer.bench {
                                td { (opens(look, "uses", at, &band(m.uses_per_day.kettles))) }
                                td { (opens(look, "uses", at, &band(m.uses_per_day.heat_kwh))) }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn short(month: i8) -> String {
    say::month(month).chars().take(3).collect()
}

/// What is wanted and covered.
pub fn uses(look: &Look, told: &Told) -> Markup {
    let Some(train) = &told.answer.gas_train else {
        return html! {};
    };
    let percent = |q: Quantiles| whole_band(q.map(|v| 100.0 * v));
    html! {
        @if !train.uses.is_empty() {
            div class="wide" tabindex="0" role="region" aria-label="Uses covered and missed" {
                table {
                    caption { "Over the whole forecast" }
                    thead { tr {
                        th scope="col" { "Use" } th scope="col" { "Wanted" } th scope="col" { "Covered" }
                        th scope="col" { "Missed" } th scope="col" { "Covered %" }
                    } }
                    tbody {
                        @for u in &train.uses {
                            tr {
                                th scope="row" { (appliance(u.appliance)) }
                                td { (say::number_band(u.wanted, u.wanted)) " " (u.unit) }
                                td { (opens(look, "covered", None, &band(u.covered))) }
                                td { (opens(look, "covered", None, &band(u.missed))) }
                                td { (opens(look, "covered", None, &percent(u.covered_share))) }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// Chances, where the doubt comes from, how steady the ends are.
pub fn sureness(answer: &Answer) -> Markup {
    let clear = clear_of_chance(answer.stamp.worlds as usize);
    let strong: Vec<&str> = answer
        .levers
        .iter()
        .filter(|l| l.strength() >= clear && !l.words.is_empty())
        .take(5)
        .map(|l| l.words.as_str())
        .collect();
    let kettles = change_text::kettles(&answer.chances);
    html! {
        ul {
            @for c in answer.chances.iter().filter(|c| c.of != ChanceOf::KettleADay) { li { (c.words) "." } }
            @if !kettles.is_empty() && !answer.bench { li { "Worlds with at least one kettle a day: " (kettles) "." } }
        }
        @if !strong.is_empty() {
            h3 { "Where the doubt comes from" }
            ul { @for s in strong { li { (s) } } }
        }
        p { (answer.convergence.words) }
    }
}
