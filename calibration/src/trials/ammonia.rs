//! Batches of excreta by recipe with 5 and 8 g N/L of ammonium: gas per COD 0.38 and
//! 0.24 L/g, 0.44 at the most (COLON15). And pig slurry of 6 g N/L in reactors long used
//! to it (HANSEN98).

use fenlamp_validation::bench::{batch, strong_slurry};

use crate::trial::{Group, Scale, Trial};

/// Litres of excreta, and as many of digestate that seeds them (judgement).
const EXCRETA_L: f64 = 45.0;
/// Days of the batch (judgement: the abstract does not tell them).
const BATCH_D: u32 = 45;
/// Volatile solids of the excreta, kg.
const EXCRETA_VS_KG: f64 = EXCRETA_L * 0.09 * 0.89;
/// What the excreta can give, L of methane per kg of volatile solids.
const POTENTIAL: f64 = 350.0;

pub(super) fn trials() -> Vec<Trial> {
    let mut out = used_to_it();
    // Gas over that of the batch without much ammonium, 0.44 L/g, which is taken for
    // nine tenths of the potential: 45 days end no batch. Spreads: laboratories differ by
    // a tenth, and the days of the batch are ours.
    for (tan, nitrogen, gas, sd) in [(5.0, 11.2, 0.38, 0.1), (8.0, 18.0, 0.24, 0.12)] {
        let name = format!("excreta with {tan} g N/L of ammonium, 37 degC");
        out.push(
            Trial::new(&name, "COLON15", Group::Ammonia, &excreta(nitrogen)).read(
                "methane, of the potential",
                (0.9 * gas / 0.44, sd),
                Scale::Linear,
                "",
                |run| {
                    let made: f64 = run.days.iter().map(|d| d.methane_l).sum();
                    made / (EXCRETA_VS_KG * POTENTIAL)
                },
            ),
        );
    }
    out
}

/// A batch of excreta by recipe with `nitrogen` (% of solids, all beyond 2.4 of it
/// ammonium: what brings the mixture to its 5 and 8 g N/L) and digestate.
fn excreta(nitrogen: f64) -> String {
    let seed = Some(("digestate", EXCRETA_L, 37.0));
    let ammonium = 100.0 * (nitrogen - 2.4) / nitrogen;
    batch(&[("excreta", EXCRETA_L)], 0.0, seed, 37.0, BATCH_D, 100.0)
        + &format!(
            r#"
[[feedstock]]
id = "excreta"
like = "human_faeces"
total_solids = "9 %"
total_solids_low = "8.9 %"
total_solids_high = "9.1 %"
volatile_solids = "89 %"
carbohydrate = "50 %"
protein = "15 %"
fat = "12 %"
lignin = "6 %"
methane = "{POTENTIAL} L/kg"
methane_low = "340 L/kg"
methane_high = "360 L/kg"
nitrogen = "{nitrogen} %"
ammonium_share = "{ammonium:.0} %"
"#
        )
}

/// Days of a fed reactor that are measured (judgement).
const MEASURED_D: usize = 30;

/// Methane of slurry of 6 g N/L by temperature, L/kg VS; 15 days of stay.
fn used_to_it() -> Vec<Trial> {
    [(37.0, 188.0), (45.0, 141.0), (55.0, 67.0)]
        .into_iter()
        .map(|(t_c, litres)| {
            let (text, per) = strong_slurry(t_c, 15.0);
            let name = format!("pig slurry of 6 g N/L, {t_c} degC");
            Trial::new(&name, "HANSEN98", Group::Ammonia, &text).read(
                "methane",
                (litres, 0.3),
                Scale::Log,
                "L/kg VS",
                move |run| {
                    let days = &run.days[run.days.len() - MEASURED_D..];
                    days.iter().map(|d| d.methane_l).sum::<f64>() / MEASURED_D as f64 / per
                },
            )
        })
        .collect()
}
