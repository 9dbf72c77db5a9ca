//! The recipe in sentences: start, water, change, doubt.

use super::RecipeMonth;
use super::report::Done;
use crate::advice::grid::water_words;
use fenlamp_model::forecast::chances::fraction;
use fenlamp_model::say;

pub(super) fn start(done: &Done<'_>) -> String {
    let s = &done.start;
    let units = done.units();
    let mut parts = Vec::new();
    if s.seed_l > 0.0 {
        parts.push(format!(
            "{} of seed ({:.0} % of the slurry)",
            water_words(s.seed_l, units),
            100.0 * s.seed_share
        ));
    }
    for (name, kg) in &s.fill {
        let mass = uom::si::f64::Mass::new::<uom::si::mass::kilogram>(*kg);
        parts.push(format!(
            "{} of {name}",
            fenlamp_quantity::print(mass, units)
        ));
    }
    let fill = if parts.is_empty() {
        "Fill with water".to_owned()
    } else {
        format!("Fill with {} and water", say::list(&parts))
    };
    let year = done.plan.start;
    let mut text = format!(
        "Start: {fill}, wait {}",
        say::days_word(f64::from(s.first_day))
    );
    if s.ramp_days == 0 {
        text += &format!(
            ", then feed in full from {}.",
            say::date(s.first_date, year)
        );
    } else {
        let steps: Vec<String> = s
            .steps
            .iter()
            .map(|step| {
                let share = match step.share {
                    v if v >= 1.0 => "all of it".to_owned(),
                    v => format!("{:.0}/8 of the feed", 8.0 * v),
                };
                format!("{share} from {}", say::date(step.from, year))
            })
            .collect();
        text += &format!(", then {}.", say::list(&steps));
    }
    if let Some(q) = done.checked.first_flame_day {
        let n = done.checked.worlds as usize;
        let with = (done.checked.flame_share_of_worlds * n as f64).round() as usize;
        text += &format!(
            " A steady flame comes after {} in {}.",
            say::days_band(q.p10, q.p90),
            fraction(with, n)
        );
    }
    text + " Go up a step only while the gas burns and the pH stays above 6.8; when the gas falls \
            or smells sharp, stop feeding for some days."
}

pub(super) fn water(months: &[RecipeMonth]) -> String {
    let fed: Vec<&RecipeMonth> = months.iter().filter(|m| !m.doses.is_empty()).collect();
    let water: f64 = fed.iter().map(|m| m.water_l_per_day).sum();
    let liquor: f64 = fed.iter().map(|m| m.liquor_l_per_day_at_most).sum();
    if water < 0.1 {
        return String::new();
    }
    let share = (100.0 * liquor / water).round();
    if share < 5.0 {
        return "Take fresh water or rain, not liquor from the outlet: with these feeds it would \
                bring too much ammonium back."
            .to_owned();
    }
    let much = if share >= 99.0 {
        "All of the water".to_owned()
    } else {
        format!("Up to {share:.0} % of the water")
    };
    format!(
        "{much} may be liquor from the outlet, by its ammonium (below 1500 mg N/L), which saves \
         water and warmth; the worlds were run with fresh water. Liquor carries germs: gloves, and \
         none of it on hands or food."
    )
}

/// What a change of diet does, and how to step it (common practice, no source).
pub(super) fn change(months: &[RecipeMonth]) -> String {
    let stays = months
        .iter()
        .filter_map(|m| m.stays_days)
        .fold(f64::INFINITY, f64::min);
    let weeks = if stays.is_finite() {
        (stays / 7.0 / 4.0).clamp(1.0, 4.0).round()
    } else {
        2.0
    };
    format!(
        "A change of diet, this recipe's own from month to month too: the microbes for the new \
         feed must grow first, and what breaks down fast sours before they have. Change a quarter \
         of the feed, wait {}, then the next (common practice, no source).",
        if weeks <= 1.0 {
            "a week".to_owned()
        } else {
            format!("{weeks} weeks")
        }
    )
}

pub(super) fn doubt(done: &Done<'_>) -> String {
    format!(
        "The proposal is a sum of published limits; {} worlds of the engine had the last word, \
         each with everything uncertain drawn anew, and eight in ten lie inside each band. It \
         counts the amounts as the plan gives them: a bucket not filled to the brim is less.",
        done.checked.worlds
    )
}
