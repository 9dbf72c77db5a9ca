//! A vessel held at a temperature: the whole run and the yield.

use super::{Statement, Topic, push};
use fenlamp_model::forecast::bands::Forecast;
use fenlamp_model::plan::{Plan, SlurryTemperature, UnitSystem, VesselMode};
use fenlamp_model::say;
use fenlamp_model::say::number_band;
use uom::si::thermodynamic_temperature::degree_celsius;

/// cu ft/lb of one L/kg (exact from the foot and the pound).
const CU_FT_PER_LB: f64 = 0.016_018_463_373_960_14;

/// What the run gives.
pub(super) fn gas(plan: &Plan, forecast: &Forecast, out: &mut Vec<Statement>) {
    let SlurryTemperature::Fixed(held) = plan.slurry_temperature else {
        return;
    };
    let units = plan.units.into();
    let whole = &forecast.whole;
    let g = whole.gas_dry_normal_l;
    let over = format!(
        "Over the {} held at {}",
        say::days_word(f64::from(plan.days)),
        say::temperature(held.get::<degree_celsius>(), units)
    );
    // Nothing fed within the run: there is nothing to count the gas on.
    let Some(y) = whole.methane_l_per_kg_vs else {
        return;
    };
    let per_vs = match plan.units {
        UnitSystem::Metric => {
            format!(
                "{} L of methane per kg of volatile solids",
                number_band(y.p10, y.p90)
            )
        }
        UnitSystem::Us => {
            let [low, high] = [y.p10, y.p90].map(|v| v * CU_FT_PER_LB);
            format!(
                "{} cu ft of methane per lb of volatile solids",
                number_band(low, high)
            )
        }
    };
    let words = format!(
        "{over} expect {} of gas (middle {}), counted dry at 0 °C: {per_vs} put in as feed (the \
         seed's own gas is in the methane, its solids are not in the kilograms).",
        say::gas_band(g.p10, g.p90, units),
        say::gas(g.p50, units),
    );
    push(out, Topic::Gas, words);
    if plan.vessel.mode != VesselMode::Batch && !plan.waste.is_empty() && forecast.days.len() >= 9 {
        let late = &forecast.days[forecast.days.len() * 2 / 3..];
        let n = late.len() as f64;
        let mean = |f: fn(&fenlamp_model::forecast::bands::DayBand) -> f64| {
            late.iter().map(f).sum::<f64>() / n
        };
        let words = format!(
            "In the last third of the run that is {} a day (middle {}).",
            say::gas_band(
                mean(|d| d.gas_dry_normal_l.p10),
                mean(|d| d.gas_dry_normal_l.p90),
                units
            ),
            say::gas(mean(|d| d.gas_dry_normal_l.p50), units),
        );
        push(out, Topic::Gas, words);
    }
}
