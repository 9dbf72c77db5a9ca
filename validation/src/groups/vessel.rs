//! Whole runs of the heat balance: feed heat and cooling.

use fenlamp_core::warmth::coefficients::rows;

use super::Group;
use super::plants::{cooling, feed_heat_w};
use crate::Check;

/// The group.
pub fn group() -> Group {
    Group {
        title: "A vessel through the hourly balance",
        about: "Worked examples 8 and 9 run through the whole hourly balance of an invented tank, not \
                through single formulas.",
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
    out
}
