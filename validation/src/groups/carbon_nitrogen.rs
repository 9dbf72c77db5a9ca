//! C:N of mixtures: the mass balance, and what old handbooks print.

use fenlamp_model::feed::{carbon_to_nitrogen, dry_mass_to_reach_c_to_n, handbook_ratio_average};

use super::Group;
use crate::Check;

/// The group.
pub fn group() -> Group {
    Group {
        title: "Carbon to nitrogen",
        about: "Worked example W21. The handbooks average the ratios, which is not a mass balance; \
                the tool balances carbon and nitrogen and keeps the average only to show the gap.",
        checks: checks(),
    }
}

/// Checks of the group.
pub fn checks() -> Vec<Check> {
    // Of dry matter: excreta 6 % N at C:N 8, rice straw 0.6 % N at C:N 73.
    let (excreta, straw) = ((0.48, 0.06), (0.438, 0.006));
    let mixed = |straw_per_excreta: f64, excreta_dry: f64, straw_dry: f64| {
        let s = straw_per_excreta * straw_dry;
        carbon_to_nitrogen([
            (excreta.0 * excreta_dry, excreta.1 * excreta_dry),
            (straw.0 * s, straw.1 * s),
        ])
        .unwrap_or(f64::NAN)
    };
    let average = handbook_ratio_average([(1.0, 8.0), (0.354_167, 73.0)]).unwrap_or(f64::NAN);
    let straw_dry = dry_mass_to_reach_c_to_n(25.0, excreta, straw).unwrap_or(f64::NAN);
    let inputs = "excreta C:N 8, N 6 % of solids; rice straw C:N 73, N 0.6 %";
    let computed = "CNMIX (ratios read; balance computed)";
    vec![
        Check::new(
            "w21_average",
            "handbook average of the ratios",
            25.0,
            average,
            "",
        )
        .inputs("1 kg excreta C:N 8, 0.354 kg straw C:N 73")
        .source("CNMIX (read); GTZ89-P20 (read)")
        .note("reproduced only to show what the handbooks print"),
        Check::new(
            "w21_true_dry",
            "true C:N of that recipe by dry mass",
            10.2,
            mixed(0.354, 1.0, 1.0),
            "",
        )
        .relative(0.005)
        .inputs(inputs)
        .source(computed),
        Check::new(
            "w21_true_fresh",
            "true C:N of that recipe by fresh mass",
            16.8,
            mixed(0.354, 0.20, 0.89),
            "",
        )
        .relative(0.005)
        .inputs("the same; excreta 20 % solids, straw 89 %")
        .source(computed),
        Check::new(
            "w21_straw",
            "dry straw per dry excreta for C:N 25",
            3.54,
            straw_dry,
            "kg/kg",
        )
        .relative(0.002)
        .inputs(inputs)
        .source(computed),
        Check::new(
            "w21_straw_fresh",
            "fresh straw per fresh excreta for C:N 25",
            0.80,
            straw_dry * 0.20 / 0.89,
            "kg/kg",
        )
        .relative(0.01)
        .inputs("the same; excreta 20 % solids, straw 89 %")
        .source(computed),
    ]
}
