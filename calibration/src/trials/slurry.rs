//! Fresh pig slurry without seed at 15 and 25 degC (DALBY23).

use fenlamp_model::world::WorldRun;
use fenlamp_validation::bench::{SLURRY_VS_KG, measured_slurry};

use crate::data::{SlurryDay, slurry};
use crate::trial::{Group, Scale, Trial};

/// g of methane in a dry normal litre.
const G_PER_L: f64 = 16.04 / 22.414;
/// Days until which the slurry stays mixed enough by itself (judgement).
const LATE_D: usize = 35;

pub(super) fn trials() -> Vec<Trial> {
    [15.0, 25.0].map(trial).into_iter().collect()
}

fn trial(t_c: f64) -> Trial {
    let text = measured_slurry(t_c, 86);
    let days: Vec<SlurryDay> = slurry().into_iter().filter(|d| d.t_c == t_c).collect();
    let mut trial = Trial::new(
        &format!("pig slurry without seed, {t_c} degC"),
        "DALBY23",
        if t_c < 20.0 {
            Group::Cold
        } else {
            Group::Start
        },
        &text,
    );
    for day in [29u16, 57, 85] {
        // Four vessels and one way of sampling: a half either way with the model.
        trial = trial.read(
            &format!("methane until day {day}"),
            (methane_until(&days, f64::from(day)), 0.5),
            Scale::Log,
            "L/kg VS",
            move |run| made_until(run, usize::from(day)) / SLURRY_VS_KG,
        );
    }
    for d in &days {
        let day = d.day as usize;
        // Vessels that nobody stirs: from the sixth week on the measured acids went
        // slower than methanogens grow in a mixed vessel, which ours is.
        let late = day > LATE_D;
        let (ph_sd, acids_sd) = if late { (0.4, 0.7) } else { (0.2, 0.25) };
        if let Some(ph) = d.ph.filter(|_| [7, 20, 43, 85].contains(&day)) {
            trial = trial.read(
                &format!("pH on day {day}"),
                (ph, ph_sd),
                Scale::Linear,
                "",
                move |run| run.days[day].ph,
            );
        }
        if let Some(acids) = d.acids_g_kg.filter(|_| [7, 20, 43, 85].contains(&day)) {
            trial = trial.read(
                &format!("acids on day {day}"),
                (acids, acids_sd),
                Scale::Log,
                "g/L",
                move |run| run.days[day].acids_mg_l / 1000.0,
            );
        }
    }
    trial
}

/// Methane of the file until a day, L/kg VS, by the trapezoids of its rates.
pub fn methane_until(days: &[SlurryDay], until: f64) -> f64 {
    let rates: Vec<(f64, f64)> = days
        .iter()
        .filter(|d| d.day <= until)
        .filter_map(|d| Some((d.day, d.methane_g_kg_d?)))
        .collect();
    let pairs = rates.windows(2);
    let grams: f64 = pairs
        .map(|p| 0.5 * (p[0].1 + p[1].1) * (p[1].0 - p[0].0))
        .sum();
    grams / G_PER_L
}

fn made_until(run: &WorldRun, day: usize) -> f64 {
    run.days[..day].iter().map(|d| d.methane_l).sum()
}
