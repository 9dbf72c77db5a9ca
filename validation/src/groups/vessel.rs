//! Whole runs of the heat balance: feed heat and cooling.

use fenlamp_model::plan::Top;
use fenlamp_model::warmth::coefficients::rows;

use super::Group;
use super::plants::{cooling, feed_heat_w, store_year};
use crate::Check;

/// The group.
pub fn group() -> Group {
    Group {
        title: "A vessel through the hourly balance",
        about: "Worked examples 8 and 9 run through the whole hourly balance of an invented tank, not \
                through single formulas; and an open store of slurry through a year.",
        checks: checks(),
    }
}

/// Checks of the group.
pub fn checks() -> Vec<Check> {
    let mut out: Vec<_> = [
        (20.0, 5.0, 30.0, 22.93),
        (20.0, 2.0, 25.0, 21.12),
        (10.0, 15.0, 35.0, 9.16),
        (25.0, 5.0, 37.0, 36.67),
    ]
    .into_iter()
    .map(|(kg, from, to, watts)| {
        Check::new(
            &format!("feed_heat_{kg}_{from}"),
            &format!("heat to warm {kg} kg/d from {from} to {to} degC"),
            watts,
            feed_heat_w(kg, from, to),
            "W",
        )
        .relative(0.004)
        .inputs("8 % solids")
        .source("CoolProp 8.0.0 (computed)")
        .note("ours takes one heat capacity for all temperatures")
    })
    .collect();
    for (liquid_m3, room_c) in [(0.2, -5.0), (1.0, 10.0)] {
        let days = 8;
        let (conductance, daily) = cooling(liquid_m3, room_c, days);
        let tau_d = liquid_m3 * rows().density_slurry_kg_m3 * rows().cp_slurry_j_kgk
            / conductance
            / 86_400.0;
        // Mean of the eighth day of an exponential from 35 degC.
        let law = room_c + (35.0 - room_c) * tau_d * ((-7.0 / tau_d).exp() - (-8.0 / tau_d).exp());
        out.push(
            Check::new(
                &format!("cooling_{liquid_m3}"),
                &format!(
                    "{liquid_m3} m3 in 100 mm polystyrene, eighth day in a room of {room_c} degC"
                ),
                law,
                daily[days - 1],
                "degC",
            )
            .absolute(0.05)
            .inputs("from 35 degC; conductance read off the second day")
            .source("exponential law (computed)"),
        );
    }
    out.extend(open_store());
    out
}

/// Slurry in the open at Ottawa.
fn open_store() -> Vec<Check> {
    let none = || [vec![f64::NAN; 365], vec![f64::NAN; 365]];
    let [open, dried] = store_year(Top::Open).unwrap_or_else(none);
    let [_, wet_dried] = store_year(Top::Film { wet: true }).unwrap_or_else(none);
    let mean = |days: &[f64]| days.iter().sum::<f64>() / days.len() as f64;
    // The year begins in May.
    let (warm, february) = (30..153, 276..304);
    vec![
        Check::new(
            "open_evaporation",
            "evaporation of open slurry, June to September",
            4.6,
            mean(&dried[warm.clone()]),
            "mm/d",
        )
        .relative(0.25)
        .inputs("190 m3 in the ground, 9 m across; Ottawa normals (memory)")
        .source("CLUETT (read): ten weeks, water and manure alike")
        .note("the weeks and the weather of the trial are not in the part read"),
        Check::within(
            "wet_film_evaporation",
            "evaporation under a wet floating cover against open slurry",
            (0.46, 0.79),
            mean(&wet_dried[warm.clone()]) / mean(&dried[warm]),
            "",
        )
        .absolute(0.1)
        .inputs("the same store")
        .source("CLUETT (read): covers save 21 to 54 %"),
        Check::within(
            "open_year",
            "mean temperature of an open store over a year",
            (8.9, 14.6),
            mean(&open),
            "degC",
        )
        .absolute(1.0)
        .inputs("the same store, not fed")
        .source("CANTEMP20 (read): six Canadian places of 3.9 to 10.5 degC, modelled")
        .note("their stores are filled with warm manure all year, this one is not"),
        Check::within(
            "open_february",
            "open store under ice in February",
            (0.5, 4.0),
            mean(&open[february]),
            "degC",
        )
        .inputs("the same store")
        .source("memory: water under lake ice is 1 to 4 degC"),
    ]
}
