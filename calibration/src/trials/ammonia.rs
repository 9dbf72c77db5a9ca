//! Ammonia raised in steps (COLON15): excreta by recipe, total ammonium about 2,
//! then 5, then 8 g N/L; gas per COD 0.44, 0.38 and 0.24 L/g. And pig slurry of 6 g N/L
//! in reactors long used to it (HANSEN98).

use fenlamp_core::forecast::world::WorldRun;

use fenlamp_validation::bench::strong_slurry;

use crate::trial::{Group, Scale, Trial};

/// Days of a step, and days of it that are measured (months of a year; the abstract
/// tells of weeks between the steps).
const STEP_D: usize = 120;
const MEASURED_D: usize = 30;

pub(super) fn trials() -> Vec<Trial> {
    let mut text = String::from(
        r#"
[plan]
name = "Ammonia in steps"
about = "A published trial."
start = 2030-01-01
length = "365 days"
[place]
name = "laboratory"
latitude = "40 °N"
[slurry]
temperature = "37 °C"
[vessel]
kind = "tank"
volume = "1150 L"
slurry = "1000 L"
stands = "shed"
run = "overflow"
[feeding]
every = "1 day"
from = "0 days"
ramp = "20 days"
water = "0 kg/kg"
[seed]
kind = "digestate"
volume = "900 L"
grown_at = "37 °C"
age = "0 days"
"#,
    );
    // Load 2 kg VS/(m3 d) and 40 days of stay are ours.
    for (step, nitrogen) in [("low", 2.9), ("middle", 6.2), ("high", 9.5)] {
        let months: Vec<&str> = (0..12)
            .map(|m| match (m / 4, step) {
                (0, "low") | (1, "middle") | (2, "high") => "25",
                _ => "0",
            })
            .collect();
        text.push_str(&format!(
            r#"
[[waste]]
feedstock = "excreta_{step}"
by_month = "{} kg/day"
[[feedstock]]
id = "excreta_{step}"
like = "human_faeces"
total_solids = "9 %"
total_solids_low = "8.9 %"
total_solids_high = "9.1 %"
volatile_solids = "89 %"
carbohydrate = "50 %"
protein = "15 %"
fat = "12 %"
lignin = "6 %"
methane = "350 L/kg"
methane_low = "340 L/kg"
methane_high = "360 L/kg"
nitrogen = "{nitrogen} %"
ammonium_share = "{:.0} %"
"#,
            months.join(" "),
            100.0 * (nitrogen - 2.4) / nitrogen
        ));
    }
    let share = |step: usize| {
        move |run: &WorldRun| {
            let of = |step: usize| {
                let end = STEP_D * (step + 1);
                run.days[end - MEASURED_D..end]
                    .iter()
                    .map(|d| d.methane_l)
                    .sum::<f64>()
            };
            // A world without gas at the start tells nothing of ammonia.
            (of(step) / of(0).max(1e-9)).min(2.0)
        }
    };
    let mut out = used_to_it();
    out.push(
        Trial::new(
            "ammonia in steps, 37 degC",
            "COLON15",
            Group::Ammonia,
            &text,
        )
        .read(
            "methane at 5 g N/L, of that at 2",
            (0.38 / 0.44, 0.08),
            Scale::Linear,
            "",
            share(1),
        )
        .read(
            "methane at 8 g N/L, of that at 2",
            (0.24 / 0.44, 0.12),
            Scale::Linear,
            "",
            share(2),
        ),
    );
    out
}

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
