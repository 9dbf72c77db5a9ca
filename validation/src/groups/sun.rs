//! The sun's height, against an astronomical library.

use fenlamp_model::weather::solar::SunPath;

use super::Group;
use crate::Check;

/// The group.
pub fn group() -> Group {
    Group {
        title: "Sun",
        about: "The sun's height near noon at 44.47 degrees north. The library counts clock time \
                and the equation of time; ours counts solar time, \
                so a degree is allowed; Cooper's declination alone is 0.7 degrees off in September.",
        checks: checks(),
    }
}

/// Checks of the group.
pub fn checks() -> Vec<Check> {
    [
        ("January", 15.0, 24.14),
        ("March", 74.0, 43.05),
        ("June", 166.0, 68.32),
        ("September", 258.0, 48.29),
        ("December", 349.0, 22.13),
    ]
    .into_iter()
    .map(|(month, day, published)| {
        // The library's table holds half hours: the top one lies a quarter of an hour from noon on average.
        let ours = SunPath::new(44.47, day)
            .sin_altitude(12.25)
            .asin()
            .to_degrees();
        Check::new(
            &format!("sun_{month}"),
            &format!("height of the sun, 15 {month}"),
            published,
            ours,
            "deg",
        )
        .absolute(1.0)
        .inputs("44.47 N, near noon")
        .source("pvlib 0.16.1 (computed)")
    })
    .collect()
}
