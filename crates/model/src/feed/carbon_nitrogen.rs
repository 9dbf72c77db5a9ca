//! Carbon to nitrogen of mixtures.

/// C:N of a mixture, (sum of C)/(sum of N) over pairs of (carbon, nitrogen) in
/// one unit of mass. `None` without nitrogen.
pub fn carbon_to_nitrogen(parts: impl IntoIterator<Item = (f64, f64)>) -> Option<f64> {
    let (carbon, nitrogen) = parts
        .into_iter()
        .fold((0.0, 0.0), |(carbon, nitrogen), (c, n)| {
            (carbon + c, nitrogen + n)
        });
    ratio(carbon, nitrogen)
}

/// The average of C:N ratios weighted by mass, over pairs of (mass, C:N), as
/// handbooks print it (GTZ89-P20). **Not a mass balance**: it understates the
/// carbon needed whenever the nitrogen-rich part is the richer or wetter one.
/// For comparison with old tables only. `None` without mass.
pub fn handbook_ratio_average(parts: impl IntoIterator<Item = (f64, f64)>) -> Option<f64> {
    let (sum, mass) = parts
        .into_iter()
        .fold((0.0, 0.0), |(sum, mass), (m, ratio)| {
            (sum + m * ratio, mass + m)
        });
    ratio(sum, mass)
}

/// Dry mass of a carbon-rich addition per dry mass of a nitrogen-rich material
/// that brings the mixture to the C:N `target`; carbon and nitrogen as shares
/// of total solids. 0 if the target is already met; `None` if no amount of the
/// addition reaches it or a figure is not positive.
pub fn dry_mass_to_reach_c_to_n(
    target: f64,
    (rich_carbon, rich_nitrogen): (f64, f64),
    (added_carbon, added_nitrogen): (f64, f64),
) -> Option<f64> {
    let figures = [target, rich_carbon, rich_nitrogen, added_carbon];
    if figures.iter().any(|f| !f.is_finite() || *f <= 0.0)
        || !added_nitrogen.is_finite()
        || added_nitrogen < 0.0
    {
        return None;
    }
    let missing = target * rich_nitrogen - rich_carbon;
    if missing <= 0.0 {
        return Some(0.0);
    }
    ratio(missing, added_carbon - target * added_nitrogen)
}

pub(super) fn ratio(numerator: f64, denominator: f64) -> Option<f64> {
    (denominator > 0.0 && numerator.is_finite() && denominator.is_finite())
        .then(|| numerator / denominator)
}
