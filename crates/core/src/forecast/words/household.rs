//! A household's plant: month by month, in kettles and hours.

use super::periods::{self, Pace, Season};
use super::say::{self, count_word, number_band};
use super::{Statement, Topic, push};
use crate::forecast::ensemble::{Forecast, MonthBand, Quantiles};
use crate::plan::Plan;
use fenlamp_quantity::Units;
use uom::si::volume::cubic_meter;

/// Slurry below this hardly works: upper edge of the first
/// `digester_temperature` row of `digestion_limits.csv` (GTZ89).
pub(super) const COLD_C: f64 = 15.0;
/// Slurry from here on is in the normal band (second `good` row there).
const WARM_C: f64 = 25.0;

/// How much and when, and what it does.
pub(super) fn gas(plan: &Plan, forecast: &Forecast, out: &mut Vec<Statement>) {
    let units: Units = plan.units.into();
    let months = periods::months(forecast);
    let Some(best) = periods::best(&months.settled) else {
        return;
    };
    if best.uses_per_day.kettles.p50 < periods::IDLE_KETTLES {
        nothing_at_all(plan, forecast, &months.settled, best, out);
        return;
    }
    let paces = periods::paces(&months.settled);
    let season = |pace| periods::season(&months.settled, &paces, pace);
    let second_year = !months.start.is_empty();
    if let Some(good) = season(Pace::Good) {
        let once = if second_year {
            "once the start is behind it, "
        } else {
            ""
        };
        let words = format!("{once}{}", expect(&good, units));
        push(out, Topic::Gas, say::capital(&words));
    }
    if let Some(thin) = season(Pace::Thin) {
        let g = periods::mean(&thin.months, |m| m.gas_wet_l_per_day);
        let words = format!(
            "{} it is less: {} a day (middle {}){}.",
            say::capital(&thin.when),
            say::gas_band(g.p10, g.p90, units),
            say::gas(g.p50, units),
            why(&thin, best)
        );
        push(out, Topic::Gas, words);
    }
    if let Some(idle) = season(Pace::Idle) {
        push(out, Topic::Gas, idle_words(&idle, units));
        push(out, Topic::Change, change(plan, &idle.months, best));
    }
    if second_year {
        push(out, Topic::Gas, first_year(&months.start, best, units));
    }
    if let Some(good) = season(Pace::Good) {
        uses(&good, &months.settled, out);
    }
}

/// "From May to October expect 60 to 140 L of gas a day (middle 95 L): one to three kettles."
fn expect(season: &Season<'_>, units: Units) -> String {
    let g = periods::mean(&season.months, |m| m.gas_wet_l_per_day);
    let k = periods::mean(&season.months, |m| m.uses_per_day.kettles);
    format!(
        "{} expect {} of gas a day (middle {}): {}.",
        season.when,
        say::gas_band(g.p10, g.p90, units),
        say::gas(g.p50, units),
        kettles(k)
    )
}

/// Kettles in words, never rounding a part of one up to a whole.
pub(super) fn kettles(k: Quantiles) -> String {
    let (low, high) = (k.p10, k.p90);
    if high < 0.75 {
        return format!(
            "{} of a kettle of 1.5 L brought to the boil",
            number_band(low, high)
        );
    }
    let top = count_word(high);
    let kettles = |n: f64| {
        if n.round() == 1.0 {
            "kettle"
        } else {
            "kettles"
        }
    };
    if low.round() == high.round() {
        format!("about {top} {} of 1.5 L brought to the boil", kettles(high))
    } else if low < 0.5 {
        format!(
            "at best {top} {} of 1.5 L brought to the boil",
            kettles(high)
        )
    } else {
        format!(
            "{} to {top} kettles of 1.5 L brought to the boil",
            count_word(low)
        )
    }
}

/// Why a season is thinner than the best month, as far as it shows.
fn why(season: &Season<'_>, best: &MonthBand) -> &'static str {
    let t = periods::mean(&season.months, |m| m.slurry_temperature_c);
    let fed = periods::mean(&season.months, |m| m.fed_kg_per_day);
    if t.p50 < COLD_C {
        "; the slurry is too cold"
    } else if t.p50 < best.slurry_temperature_c.p50 - 3.0 {
        "; the slurry is cooler"
    } else if fed.p50 < 0.6 * best.fed_kg_per_day.p50 {
        "; less is fed"
    } else {
        ""
    }
}

fn idle_words(idle: &Season<'_>, units: Units) -> String {
    let Some(worst) = periods::worst(&idle.months) else {
        return String::new();
    };
    let t = worst.slurry_temperature_c;
    let cold = t.p50 < COLD_C;
    let verdict = if cold {
        "it is too cold to count on"
    } else {
        "this makes next to nothing"
    };
    let slurry = if cold {
        format!(
            ", with the slurry at {}",
            say::temperature_band(t.p10, t.p90, units)
        )
    } else {
        String::new()
    };
    let g = worst.gas_wet_l_per_day;
    format!(
        "{} {verdict}: in {} {} a day{slurry}.",
        say::capital(&idle.when),
        say::month(worst.month),
        say::gas_band(g.p10, g.p90, units),
    )
}

/// Nothing in any month.
fn nothing_at_all(
    plan: &Plan,
    forecast: &Forecast,
    months: &[&MonthBand],
    best: &MonthBand,
    out: &mut Vec<Statement>,
) {
    let units: Units = plan.units.into();
    let g = best.gas_wet_l_per_day;
    let words = format!(
        "This makes no gas to count on in its {}: even in {}, its best month, {} a day.",
        say::days_word(forecast.days.len() as f64),
        say::month(best.month),
        say::gas_band(g.p10, g.p90, units),
    );
    push(out, Topic::Gas, words);
    push(out, Topic::Change, change(plan, months, best));
}

/// Share of the slurry that is seed at the start.
pub(super) fn seed_share(plan: &Plan) -> f64 {
    let full = plan.vessel.liquid.get::<cubic_meter>();
    plan.first_fill
        .seed
        .as_ref()
        .map_or(0.0, |s| s.volume.get::<cubic_meter>() / full.max(1e-9))
}

/// What would change a bad season.
fn change(plan: &Plan, months: &[&MonthBand], best: &MonthBand) -> String {
    let units: Units = plan.units.into();
    let t = periods::mean(months, |m| m.slurry_temperature_c).p50;
    let fed = periods::mean(months, |m| m.fed_kg_per_day).p50;
    let mut ways = Vec::new();
    if t < WARM_C {
        let how = match (plan.heap.is_some(), plan.insulation.is_empty()) {
            (true, _) => "more insulation, a fresher or larger heap",
            (false, true) => "insulation, a warm heap, a sunnier or sheltered place",
            (false, false) => "more insulation, a warm heap, a sheltered place",
        };
        ways.push(format!(
            "a warmer slurry, for it stands near {}; below {} gas making stops, from {} it goes \
             well ({how})",
            say::temperature(t, units),
            say::temperature(COLD_C, units),
            say::temperature(WARM_C, units)
        ));
    }
    if !plan.waste.is_empty() && fed < 0.3 * best.fed_kg_per_day.p50 || fed <= 0.0 {
        ways.push("more feed then, for next to none goes in".to_owned());
    }
    if seed_share(plan) < 0.10 {
        ways.push("more seed at the start (10 to 30 % of the slurry)".to_owned());
    }
    if ways.is_empty() {
        ways.push("more of what digests: compare `fenlamp feedstocks`".to_owned());
    }
    let ways: Vec<String> = ways;
    format!("Here is what would change that: {}.", ways.join("; "))
}

/// The year of the start, where a longer plan lets it be told apart.
fn first_year(start: &[&MonthBand], settled_best: &MonthBand, units: Units) -> String {
    let (Some(best), Some(last)) = (periods::best(start), start.last()) else {
        return String::new();
    };
    let until = format!("{} {}", say::month(last.month), last.year);
    let g = best.gas_wet_l_per_day;
    let band = say::gas_band(g.p10, g.p90, units);
    if best.uses_per_day.kettles.p50 < periods::IDLE_KETTLES {
        return format!("Until {until}, while it starts, count on no gas at all.");
    }
    let share = best.gas_wet_l_per_day.p50 / settled_best.gas_wet_l_per_day.p50.max(1e-9);
    let verdict = if share < 0.85 {
        "it is still starting and gives less"
    } else {
        "it starts"
    };
    format!(
        "Until {until} {verdict}: in {} {}, its best month, {band} a day.",
        say::month(best.month),
        best.year
    )
}

/// Kettles, hours and kWh of a typical good day, and the year's heat.
fn uses(good: &Season<'_>, settled: &[&MonthBand], out: &mut Vec<Statement>) {
    let of = |f: fn(&MonthBand) -> Quantiles| periods::mean(&good.months, f);
    let stove = of(|m| m.uses_per_day.stove_hours);
    let lamp = of(|m| m.uses_per_day.lamp_hours);
    let heat = of(|m| m.uses_per_day.heat_kwh);
    let words = format!(
        "On a usual day of the good time all of the gas gives {} hours of one stove burner, or {} \
         hours of one mantle lamp, or {} kWh of heat: one of these, not all.",
        number_band(stove.p10, stove.p90),
        number_band(lamp.p10, lamp.p90),
        number_band(heat.p10, heat.p90),
    );
    push(out, Topic::Uses, words);
    let heat = periods::sum(settled, |m| m.uses_per_day.heat_kwh);
    let power = periods::sum(settled, |m| m.uses_per_day.electricity_kwh);
    let time = match settled.len() {
        12.. => "A whole year gives".to_owned(),
        n => format!("The {n} months after the start give"),
    };
    let words = format!(
        "{time} {} kWh of heat in the gas (middle {}), or {} kWh of electricity from a small \
         engine.",
        number_band(heat.p10, heat.p90),
        fenlamp_quantity::format_number(heat.p50, 2),
        number_band(power.p10, power.p90),
    );
    push(out, Topic::Uses, words);
}
