//! Drums of dung and grass that soured, or did not (HARY18).

use fenlamp_validation::bench::{DRUM_C, as_metered, drum_of_dung};

use crate::trial::{Group, Scale, Trial};

/// Spread of a soured drum's pH (judgement: what its grass held is not told).
const SOUR_SD: f64 = 0.6;

pub(super) fn trials() -> Vec<Trial> {
    let drum = |name: &str, group, grass, water| {
        Trial::new(name, "HARY18", group, &drum_of_dung(grass, water))
    };
    let ph = |trial: Trial, published: f64, sd: f64| {
        trial.read("pH on day 70", (published, sd), Scale::Linear, "", |run| {
            run.days[69].ph
        })
    };
    vec![
        ph(
            drum("drum of dung and 25 L water", Group::Start, 0.0, 25.0),
            7.30,
            0.3,
        )
        .read(
            "methane share at the end",
            (53.88, 5.0),
            Scale::Linear,
            "%",
            |run| 100.0 * run.days[69].methane_share,
        ),
        ph(
            drum(
                "drum of dung, 25 kg grass, 50 L water",
                Group::Sour,
                25.0,
                50.0,
            ),
            4.50,
            SOUR_SD,
        ),
        ph(
            drum(
                "drum of dung, 25 kg grass, 75 L water",
                Group::Sour,
                25.0,
                75.0,
            ),
            4.62,
            SOUR_SD,
        ),
        // On the edge: a pH between the two ways, and its gas.
        drum(
            "drum of dung, 25 kg grass, 100 L water",
            Group::Sour,
            25.0,
            100.0,
        )
        .read("pH on day 70", (6.82, 0.8), Scale::Linear, "", |run| {
            run.days[69].ph
        })
        .read("all gas", (524.3, 0.7), Scale::Log, "L", |run| {
            run.days.iter().map(|d| d.gas_dry_l).sum::<f64>() * as_metered(DRUM_C)
        }),
    ]
}
