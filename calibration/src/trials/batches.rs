//! Seeded bottles of many laboratories (HAFNER22).

use fenlamp_model::world::WorldRun;
use fenlamp_model::world::draw::InputKind;
use fenlamp_validation::bench::batch;

use crate::data::pace;
use crate::trial::{Group, Scale, Trial};

/// Seed of a laboratory: degassed digestate, volatile solids.
const SEED_VS: f64 = 0.018;
/// Litres of seed in the plan.
const SEED_L: f64 = 20.0;

/// The materials by composition: cellulose; animal feeds of starch, protein and
/// little fat; a feed rich in fat and protein; straw-like fibre. Composition is
/// judgement from their descriptions; the potential is the bottles'.
const MATERIALS: [(&str, &str); 4] = [
    (
        "CEL",
        r#"like = "office_paper"
volatile_solids = "99 %"
nitrogen = "0.01 %"
ammonium_share = "0 %"
sulfur = "0 %"
carbohydrate = "98 %"
protein = "0 %"
fat = "0 %"
lignin = "1 %"
soluble_share = "0 %"
hydrolysis = "0.35 per day"
hydrolysis_low = "0.2 per day"
hydrolysis_high = "0.6 per day""#,
    ),
    (
        "SA",
        r#"like = "stale_bread"
volatile_solids = "94 %"
carbohydrate = "66 %"
protein = "17 %"
fat = "5 %"
lignin = "4 %"
hydrolysis = "0.3 per day"
hydrolysis_low = "0.15 per day"
hydrolysis_high = "0.6 per day""#,
    ),
    (
        "SC",
        r#"like = "stale_bread"
volatile_solids = "93 %"
carbohydrate = "40 %"
protein = "30 %"
fat = "20 %"
lignin = "2 %"
hydrolysis = "0.3 per day"
hydrolysis_low = "0.15 per day"
hydrolysis_high = "0.6 per day""#,
    ),
    (
        "SD",
        r#"like = "wheat_straw"
volatile_solids = "93 %"
carbohydrate = "70 %"
protein = "5 %"
fat = "2 %"
lignin = "15 %"
hydrolysis = "0.08 per day"
hydrolysis_low = "0.05 per day"
hydrolysis_high = "0.15 per day""#,
    ),
];

pub(super) fn trials() -> Vec<Trial> {
    let bottles: [(&str, (f64, f64)); 7] = [
        ("CEL", (1.4, 2.8)),
        ("SA", (1.4, 2.8)),
        ("SC", (0.7, 1.4)),
        ("SC", (1.4, 2.8)),
        ("SC", (2.8, 5.6)),
        ("SD", (0.7, 1.4)),
        ("SD", (1.4, 2.8)),
    ];
    bottles
        .map(|(material, ratio)| trial(material, ratio))
        .into_iter()
        .collect()
}

fn trial(material: &str, ratio: (f64, f64)) -> Trial {
    let pace = pace(material, ratio);
    let (_, lines) = MATERIALS
        .iter()
        .find(|(name, _)| *name == material)
        .expect("one of the materials above");
    let vs_kg = SEED_L * SEED_VS / pace.ratio;
    let mut text = batch(
        &[("material", vs_kg / 0.9)],
        0.1,
        Some(("digestate", SEED_L, 37.0)),
        37.0,
        40,
        SEED_L / 0.85,
    );
    text.push_str(&format!(
        "volatile_solids = \"{} %\"\n[[feedstock]]\nid = \"material\"\n{lines}\ntotal_solids = \"90 %\"\ntotal_solids_low = \"89 %\"\ntotal_solids_high = \"91 %\"\nmethane = \"{p:.0} L/kg\"\nmethane_low = \"{low:.0} L/kg\"\nmethane_high = \"{high:.0} L/kg\"\n",
        100.0 * SEED_VS,
        p = pace.potential,
        low = 0.95 * pace.potential,
        high = 1.05 * pace.potential,
    ));
    // The median of some laboratories, and a fifth for the model.
    let sd = (pace.spread.powi(2) / pace.laboratories as f64 + 0.2f64.powi(2)).sqrt();
    Trial::new(
        &format!("{material} with {:.1} of seed, 37 degC", pace.ratio),
        "HAFNER22",
        Group::Start,
        &text,
    )
    .middle(InputKind::Seed)
    .middle(InputKind::SeedFermenters)
    .middle(InputKind::Uptake)
    .read(
        "days to a tenth of the methane",
        (pace.tenth_d, 1.5 * sd),
        Scale::Log,
        "d",
        |run| reach(run, 0.1),
    )
    .by_laboratory(pace.tenths_d)
    .read(
        "days to half of the methane",
        (pace.half_d, sd),
        Scale::Log,
        "d",
        |run| reach(run, 0.5),
    )
    .by_laboratory(pace.halves_d)
}

/// Day by which a share of the run's methane was made, linear within the day.
fn reach(run: &WorldRun, share: f64) -> f64 {
    let all: f64 = run.days.iter().map(|d| d.methane_l).sum();
    let mut sum = 0.0;
    for (k, d) in run.days.iter().enumerate() {
        if sum + d.methane_l >= share * all && d.methane_l > 0.0 {
            return k as f64 + (share * all - sum) / d.methane_l;
        }
        sum += d.methane_l;
    }
    run.days.len() as f64
}
