//! A household's plant: month by month, in kettles and hours.

use super::periods::{self, Pace, Season};
use super::{Statement, Topic, push};
use fenlamp_model::band::Quantiles;
use fenlamp_model::forecast::bands::{Forecast, MonthBand};
use fenlamp_model::plan::Plan;
use fenlamp_model::say;
use fenlamp_model::say::{count_word, number_band};
use fenlamp_model::world::outcome::FLAME_METHANE_SHARE;
use fenlamp_quantity::Units;
use uom::si::volume::cubic_meter;

/// Slurry below this hardly works: upper edge of the first
/// `digester_temperature` row of `digestion_limits.csv` (GTZ89).
pub(super) const COLD_C: f64 = 15.0;
/// Share of the worlds with a flame below which nothing is promised (judgement).
const NO_FLAME: f64 = 0.1;
/// Slurry from here on is in the normal band (second `good` row there).
const WARM_C: f64 = 25.0;

/// How much and when, and what it does.
pub(super) fn gas(plan: &Plan, forecast: &Forecast, out: &mut Vec<Statement>) {
    let units: Units = plan.units.into();
    let months = periods::months(forecast);
    let Some(best) = periods::best(&months.settled) else {
        return;
    };
    if best.uses_per_day.kettles.p50 < periods::IDLE_KETTLES
        || forecast.first_flame.share_of_worlds < NO_FLAME
    {
        nothing_at_all(plan, forecast, &months.settled, best, out);
        return;
    }
    let paces = periods::paces(&months.settled);
    let season = |pace| periods::season(&months.settled, &paces, pace);
    let second_year = !months.start.is_empty();
    let good = season(Pace::Good);
    if let Some(good) = &good {
        let once = if second_year {
            "once the start is behind it, "
        } else {
            ""
        };
        let words = format!("{once}{}", expect(good, units));
        push(out, Topic::Gas, say::capital(&words));
    }
    if let Some(thin) = season(Pace::Thin) {
        let g = periods::mean(&thin.months, |m| m.gas_wet_l_per_day);
        let words = format!(
            "{} it is less: {}{}.",
            say::capital(&thin.when),
            say::gas_a_day(g, units),
            why(&thin, best)
        );
        push(out, Topic::Gas, words);
        let t = periods::mean(&thin.months, |m| m.slurry_temperature_c).p50;
        if t < COLD_C && season(Pace::Idle).is_none() {
            push(out, Topic::Change, change(plan, &thin.months, best));
        }
    }
    if let Some(idle) = season(Pace::Idle) {
        push(out, Topic::Gas, idle_words(&idle, units));
        push(out, Topic::Change, change(plan, &idle.months, best));
    }
    if second_year {
        push(out, Topic::Gas, first_year(&months.start, best, units));
    }
    if let Some(good) = good {
        uses(&good, &months.settled, out);
    }
}

/// "From May to October expect 60 to 140 L of gas a day (middle 95): one to three kettles."
fn expect(season: &Season<'_>, units: Units) -> String {
    let g = periods::mean(&season.months, |m| m.gas_wet_l_per_day);
    let k = periods::mean(&season.months, |m| m.uses_per_day.kettles);
    let methane = periods::mean(&season.months, |m| m.methane_share);
    format!(
        "{} expect {}: {}.{}",
        season.when,
        say::gas_a_day(g, units),
        kettles(k, units),
        poor(methane)
    )
}

/// Said when the gas of the middle world, or of one in ten, is too poor to burn.
fn poor(methane: Quantiles) -> String {
    let flame = FLAME_METHANE_SHARE;
    let percent = |share: f64| format!("{:.0}", 100.0 * share);
    let (middle, low) = (percent(methane.p50), percent(methane.p10));
    let need = percent(flame);
    if methane.p50 < flame {
        format!(
            " But it holds only {middle} % methane in the middle world, and below {need} % a \
             burner hardly holds a flame: count on it only in the better half of the worlds."
        )
    } else if methane.p10 < flame {
        format!(
            " In the poorest tenth of the worlds it holds {low} % methane or less and does not \
             burn."
        )
    } else {
        String::new()
    }
}

/// Kettles in words, never rounding a part of one up to a whole.
pub(super) fn kettles(k: Quantiles, units: Units) -> String {
    let size = match units {
        Units::Metric => "1.5 L",
        Units::Us => "1.6 qt",
    };
    let each = format!("of {size} brought to the boil");
    let (low, high) = (k.p10, k.p90);
    if high < 0.75 {
        return format!("{} of a kettle {each}", number_band(low, high));
    }
    let noun = |n: f64| {
        if n.round() == 1.0 {
            "kettle"
        } else {
            "kettles"
        }
    };
    let top = count_word(high);
    if low.round() == high.round() {
        format!("about {top} {} {each}", noun(high))
    } else if low < 0.5 {
        let middle = if k.p50 < 0.5 {
            "none".to_owned()
        } else {
            count_word(k.p50)
        };
        format!("none to {top} {} {each} (middle {middle})", noun(high))
    } else {
        format!("{} to {top} kettles {each}", count_word(low))
    }
}

/// Why a season is thinner than the best month, as far as it shows.
fn why(season: &Season<'_>, best: &MonthBand) -> String {
    let t = periods::mean(&season.months, |m| m.slurry_temperature_c).p50;
    let fed = periods::mean(&season.months, |m| m.fed_kg_per_day).p50;
    let mut reasons = Vec::new();
    if t < COLD_C {
        reasons.push("the slurry is too cold");
    } else if t < best.slurry_temperature_c.p50 - 3.0 {
        reasons.push("the slurry is cooler");
    }
    if fed < 0.05 * best.fed_kg_per_day.p50 {
        reasons.push("nothing is fed");
    } else if fed < 0.6 * best.fed_kg_per_day.p50 {
        reasons.push("less is fed");
    }
    if reasons.is_empty() {
        String::new()
    } else {
        format!("; {}", say::list(&reasons))
    }
}

fn idle_words(idle: &Season<'_>, units: Units) -> String {
    let Some(worst) = periods::worst(&idle.months) else {
        return String::new();
    };
    let t = worst.slurry_temperature_c;
    let g = worst.gas_wet_l_per_day;
    let (verdict, with) = if t.p50 < COLD_C {
        let slurry = say::temperature_band(t.p10, t.p90, units);
        (
            "it is too cold to count on",
            format!("with the slurry at {slurry}"),
        )
    } else {
        let methane = format!("with {:.0} % methane", 100.0 * worst.methane_share.p50);
        ("this makes next to nothing that burns", methane)
    };
    format!(
        "{} {verdict}: in {} {} a day, {with}.",
        say::capital(&idle.when),
        say::month(worst.month),
        say::gas_band(g.p10, g.p90, units),
    )
}

/// Nothing that burns in any month.
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
        "This makes no gas to count on in its {}: even in {}, its best month, {} a day, {:.0} % \
         of it methane in the middle world; below {:.0} % a burner hardly holds a flame.",
        say::days_word(forecast.days.len() as f64),
        say::month(best.month),
        say::gas_band(g.p10, g.p90, units),
        100.0 * best.methane_share.p50,
        100.0 * FLAME_METHANE_SHARE,
    );
    push(out, Topic::Gas, words);
    // Of a sour start the changes have been told already.
    if forecast.sour_share_of_worlds < super::SOUR_FIRST {
        push(out, Topic::Change, change(plan, months, best));
    }
}

/// Share of the slurry that is seed at the start.
pub(super) fn seed_share(plan: &Plan) -> f64 {
    let full = plan.vessel.liquid.get::<cubic_meter>();
    plan.first_fill.seed_volume().get::<cubic_meter>() / full.max(1e-9)
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
    // Feed in the cold would only pile up.
    if t >= COLD_C && fed < 0.3 * best.fed_kg_per_day.p50 {
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
    let share = best.uses_per_day.kettles.p50 / settled_best.uses_per_day.kettles.p50.max(1e-9);
    let month = format!("{} {}", say::month(best.month), best.year);
    match share {
        s if s < 0.85 => format!(
            "Until {until} it is still starting and gives less: in {month}, its best month, {band} \
             a day."
        ),
        s if s > 1.15 => format!(
            "The time until {until} gives more, which does not last: in {month}, its best month, \
             {band} a day."
        ),
        _ => format!(
            "The time until {until}, once started, is about the same: in {month}, its best month, \
             {band} a day."
        ),
    }
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
        say::with_middle(stove),
        say::with_middle(lamp),
        say::with_middle(heat),
    );
    push(out, Topic::Uses, words);
    let heat = periods::sum(settled, |m| m.uses_per_day.heat_kwh);
    let power = periods::sum(settled, |m| m.uses_per_day.electricity_kwh);
    let time = match settled.len() {
        12.. => "A whole year gives".to_owned(),
        1 => "The month after the start gives".to_owned(),
        n => format!("The {n} months after the start give"),
    };
    let words = format!(
        "{time} {} kWh of heat in the gas, or {} kWh of electricity from a small engine.",
        say::with_middle(heat),
        say::with_middle(power),
    );
    push(out, Topic::Uses, words);
}
