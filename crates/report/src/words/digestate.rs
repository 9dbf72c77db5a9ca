//! The digestate in sentences.

use fenlamp_quantity::{Mass, Units, Volume, print_band};
use uom::si::mass::kilogram;
use uom::si::volume::liter;

use fenlamp_model::band::Quantiles;
use fenlamp_model::digestate::land::{DRESSING_L_M2, K2O_OF_K, NITROGEN_KG_HA_YEAR, P2O5_OF_P};
use fenlamp_model::digestate::{Class, Digestate, MatterBands, first_harvest};
use fenlamp_model::plan::Plan;
use fenlamp_model::say;

/// Square feet of a square metre (exact from the foot).
const SQ_FT_PER_M2: f64 = 1.0 / (0.3048 * 0.3048);
/// Less than this needs no store: a lidded bucket or two (judgement).
const WORTH_A_STORE_L: f64 = 20.0;
/// Pounds an acre of a kg/ha (exact from the pound and the foot).
const LB_ACRE_PER_KG_HA: f64 = 4_046.856_422_4 / 10_000.0 / 0.453_592_37;
/// Litres of a US gallon (exact from the inch).
const L_PER_GAL: f64 = 3.785_411_784;

/// The sentences, the amount first.
pub(crate) fn sentences(plan: &Plan, d: &Digestate) -> Vec<String> {
    let units: Units = plan.units.into();
    let runs_out = d.ran_out.litres.p50 > 0.0;
    let matter = if runs_out { &d.ran_out } else { &d.held };
    if matter.litres.p50.partial_cmp(&0.0) != Some(std::cmp::Ordering::Greater) {
        return Vec::new();
    }
    let mut out = vec![amount(plan, d, matter, runs_out, units)];
    out.push(germs(plan, d, runs_out));
    out.push(spreading(d, units));
    if d.land.closed_season_l.p50 >= WORTH_A_STORE_L {
        out.push(store(d, units));
    }
    out
}

fn litres(q: Quantiles, units: Units) -> String {
    let v = Volume::new::<liter>;
    print_band(v(q.p10), v(q.p90), units)
}

fn mass(q: Quantiles, factor: f64, units: Units) -> String {
    let m = Mass::new::<kilogram>;
    print_band(m(factor * q.p10), m(factor * q.p90), units)
}

fn percent(q: Quantiles) -> String {
    say::number_band(100.0 * q.p10, 100.0 * q.p90)
}

fn amount(plan: &Plan, d: &Digestate, m: &MatterBands, runs_out: bool, units: Units) -> String {
    let how = if runs_out {
        format!(
            "{} of digestate run out in {}",
            litres(m.litres, units),
            say::days_word(plan.days.into())
        )
    } else {
        format!(
            "{} of digestate stand in the vessel at the end",
            litres(m.litres, units)
        )
    };
    let mut words = format!(
        "{how}, with {} of nitrogen ({} % of it ammonium), {} of phosphate (P2O5) and {} of \
         potash (K2O).",
        mass(m.nitrogen_kg, 1.0, units),
        percent(m.ammonium_share),
        mass(m.phosphorus_kg, P2O5_OF_P, units),
        mass(m.potassium_kg, K2O_OF_K, units),
    );
    let mut missing: Vec<&str> = Vec::new();
    if !d.without_phosphorus.is_empty() {
        missing.push("phosphate");
    }
    if !d.without_potassium.is_empty() {
        missing.push("potash");
    }
    if !missing.is_empty() {
        let mut of: Vec<&String> = d
            .without_phosphorus
            .iter()
            .chain(&d.without_potassium)
            .collect();
        of.sort();
        of.dedup();
        words += &format!(
            " No figure is known for the {} of {}: left out.",
            say::list(&missing),
            say::list(&of)
        );
    }
    words += &format!(
        " A crop gets {:.0} to {:.0} % of the nitrogen in its first season if it is worked in within \
         hours in spring.",
        100.0 * d.land.first_season_share[0],
        100.0 * d.land.first_season_share[1]
    );
    words
}

fn germs(plan: &Plan, d: &Digestate, runs_out: bool) -> String {
    let (hot, held) = (
        say::temperature(55.0, plan.units.into()),
        say::temperature(50.0, plan.units.into()),
    );
    let class = if runs_out {
        d.worst_class
    } else {
        d.held_class
    };
    let (soil, off) = (d.land.wait_touching_soil_days, d.land.wait_off_soil_days);
    let example = format!(
        "spread on {0}, the earliest harvest is {1}",
        say::date(plan.start, plan.start),
        say::date(first_harvest(plan.start, soil), plan.start)
    );
    let raw = format!(
        "work it into bare soil at least {soil:.0} days before harvest where the edible part touches \
         soil and {off:.0} where it does not ({example}), never on leaves that are eaten"
    );
    match class {
        Some(Class::NotOnFood) => "Keep it off everything that people or animals eat, and off \
             grazing: human or pet waste or meat went in, and no warmth of this vessel makes it \
             safe. Law and specialist rules apply."
            .to_owned(),
        Some(Class::HeldHot) => format!(
            "Held unfed at {held} or more, it meets the time and temperature rule for sludge in \
             nine worlds of ten, if every corner was as warm as the mean and a log of the \
             temperature shows it. Without that log treat it as raw manure: {raw}."
        ),
        Some(Class::DigestedWarm) => format!(
            "It stays warm long enough to lower germs, not to end them. Treat it as raw manure: {raw}."
        ),
        _ => format!(
            "It is too cool or too short in the vessel for any published rule on germs{}. Use it on \
             trees, hay and ornamentals, or compost it through {hot} for 15 days with five \
             turnings first. If it must go where food grows, {raw}.",
            months_that_fail(d, runs_out)
        ),
    }
}

/// ", from November to March" where other months do better.
fn months_that_fail(d: &Digestate, runs_out: bool) -> String {
    if !runs_out {
        return String::new();
    }
    let known: Vec<(i8, Class)> = d
        .months
        .iter()
        .filter_map(|m| Some((m.month, m.class?)))
        .collect();
    let fails = |c: Class| c == Class::CoolOrShort;
    let failing = known.iter().filter(|(_, c)| fails(*c)).count();
    if failing == known.len() {
        return String::new();
    }
    format!(
        " in {failing} of the {} months in which it runs out",
        known.len()
    )
}

fn spreading(d: &Digestate, units: Units) -> String {
    let limit = match units {
        Units::Metric => format!("{NITROGEN_KG_HA_YEAR:.0} kg a hectare"),
        Units::Us => format!("{:.0} lb an acre", NITROGEN_KG_HA_YEAR * LB_ACRE_PER_KG_HA),
    };
    let q = d.land.least_area_m2;
    let l = d.land.litres_per_m2_year;
    let (area, dose, most) = match units {
        Units::Metric => (
            format!("{} m2", say::number_band(q.p10, q.p90)),
            format!("{} L/m2", say::number_band(l.p10, l.p90)),
            format!("{:.0} to {:.0} L/m2", DRESSING_L_M2.0, DRESSING_L_M2.1),
        ),
        Units::Us => {
            let f = 100.0 / SQ_FT_PER_M2 / L_PER_GAL;
            (
                format!(
                    "{} sq ft",
                    say::number_band(q.p10 * SQ_FT_PER_M2, q.p90 * SQ_FT_PER_M2)
                ),
                format!(
                    "{} gal per 100 sq ft",
                    say::number_band(l.p10 * f, l.p90 * f)
                ),
                format!(
                    "{} gal per 100 sq ft",
                    say::number_band(DRESSING_L_M2.0 * f, DRESSING_L_M2.1 * f)
                ),
            )
        }
    };
    format!(
        "A year of it needs at least {area} of land at {limit} of nitrogen, the limit of \
         EU zones vulnerable to nitrate ({dose} in the year); one dressing of a garden is {most}, \
         less where the year's limit is lower. Near growing plants mix 1 part with {:.0} of water \
         and pour it on the soil: it scorches leaves and seedlings. Never on frozen, snow-covered \
         or waterlogged ground, nor near wells and ditches.",
        d.land.water_parts_near_plants
    )
}

fn store(d: &Digestate, units: Units) -> String {
    let closed: Vec<usize> = (0..12).filter(|&m| d.land.closed_months[m]).collect();
    // The season starts after the last open month.
    let first = closed
        .iter()
        .copied()
        .find(|&m| !d.land.closed_months[(m + 11) % 12]);
    let last = closed
        .iter()
        .copied()
        .find(|&m| !d.land.closed_months[(m + 1) % 12]);
    let season = match (first, last) {
        (Some(a), Some(b)) if a != b => format!("From {} to {}", say::MONTHS[a], say::MONTHS[b]),
        (Some(a), _) => format!("In {}", say::MONTHS[a]),
        _ => "All year".to_owned(),
    };
    format!(
        "{season} it is too cold to spread here: have a store for {}, covered, vented and fenced. \
         It goes on giving off gas, and open slurry drowns children.",
        litres(d.land.closed_season_l, units)
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use fenlamp_model::forecast::ensemble::run;
    use fenlamp_model::plan::{NoFiles, UnitSystem, read};

    /// Two worlds of the warm yard.
    fn yard(run_as: &str) -> (Plan, Digestate) {
        let text = include_str!("../../../model/tests/plans/warm-yard.toml")
            .replace("{run}", &format!("run = \"{run_as}\""));
        let text = if run_as == "batch" {
            let (before, rest) = text.split_once("[[waste]]").expect("waste");
            let (_, after) = rest.split_once("[[first_fill.feed]]").expect("a fill");
            format!("{before}[[first_fill.feed]]{after}")
        } else {
            text
        };
        let mut plan = read(&text, "yard.toml", &NoFiles).unwrap_or_else(|e| panic!("{e}"));
        plan.worlds = 2;
        let (forecast, _) = run(&plan).unwrap_or_else(|e| panic!("{e}"));
        (plan, forecast.digestate)
    }

    #[test]
    fn what_runs_out_is_said_in_the_users_units() {
        let (mut plan, d) = yard("overflow");
        let said = sentences(&plan, &d).join(" ");
        for part in [
            "digestate run out in 120 days",
            "phosphate (P2O5)",
            "120 days before harvest",
            "1 May",
            "From January to February",
        ] {
            assert!(said.contains(part), "{part}: {said}");
        }
        plan.units = UnitSystem::Us;
        let said = sentences(&plan, &d).join(" ");
        assert!(
            said.contains("gal") && said.contains("sq ft") && !said.contains(" L/m2"),
            "{said}"
        );
    }

    #[test]
    fn a_batch_stands_at_the_end_and_nothing_says_nothing() {
        let (plan, d) = yard("batch");
        assert!(sentences(&plan, &Digestate::default()).is_empty());
        assert!(sentences(&plan, &d)[0].contains("stand in the vessel at the end"));
    }
}
