//! Theoretical methane from formulas.

use fenlamp_model::feed::{Formula, boyle};

use super::Group;
use crate::Check;

/// The group.
pub fn group() -> Group {
    Group {
        title: "Theoretical methane",
        about: "Methane of complete breakdown by Buswell and Boyle; worked example W0. \
                No forecast may exceed these.",
        checks: checks(),
    }
}

/// Checks of the group.
pub fn checks() -> Vec<Check> {
    let f = Formula::new;
    let rows = [
        (
            "cellulose, starch",
            "C6H10O5",
            f(6.0, 10.0, 5.0, 0.0, 0.0),
            414.7,
            50.0,
        ),
        (
            "glucose",
            "C6H12O6",
            f(6.0, 12.0, 6.0, 0.0, 0.0),
            373.2,
            50.0,
        ),
        (
            "acetic acid",
            "C2H4O2",
            f(2.0, 4.0, 2.0, 0.0, 0.0),
            373.2,
            50.0,
        ),
        (
            "lactose",
            "C12H22O11",
            f(12.0, 22.0, 11.0, 0.0, 0.0),
            392.9,
            50.0,
        ),
        (
            "model protein",
            "C5H7NO2",
            f(5.0, 7.0, 2.0, 1.0, 0.0),
            495.4,
            50.0,
        ),
        (
            "model fat",
            "C57H104O6",
            f(57.0, 104.0, 6.0, 0.0, 0.0),
            1012.5,
            70.2,
        ),
        (
            "tripalmitin",
            "C51H98O6",
            f(51.0, 98.0, 6.0, 0.0, 0.0),
            1006.4,
            71.1,
        ),
        ("ethanol", "C2H6O", f(2.0, 6.0, 1.0, 0.0, 0.0), 729.8, 75.0),
    ];
    let mut out = vec![];
    for (name, letters, formula, litres, percent) in rows {
        // NaN makes the check fail rather than the run stop.
        let (ours, share) = boyle(formula).map_or((f64::NAN, f64::NAN), |b| {
            (1000.0 * b.ch4_m3_per_kg, 100.0 * b.ch4_share)
        });
        out.push(
            Check::new(&format!("boyle_{letters}"), name, litres, ours, "L CH4/kg")
                .relative(0.000_5)
                .inputs(letters)
                .source("BUSWELL52 (computed; ANGEL, memory)"),
        );
        if formula.carbon > 50.0 || name == "ethanol" {
            out.push(
                Check::new(
                    &format!("boyle_share_{letters}"),
                    &format!("{name}: methane share"),
                    percent,
                    share,
                    "%",
                )
                .absolute(0.06)
                .inputs(letters)
                .source("BUSWELL52 (computed)"),
            );
        }
    }
    out.push(
        Check::new(
            "boyle_read_tripalmitin",
            "tripalmitin: methane share, as printed on a teaching page",
            71.0,
            boyle(f(51.0, 98.0, 6.0, 0.0, 0.0)).map_or(f64::NAN, |b| 100.0 * b.ch4_share),
            "%",
        )
        .absolute(0.5)
        .inputs("C51H98O6")
        .source("renewable-energy-concepts.com (read)"),
    );
    out
}
