//! The heap around the vessel: rain, and closed sheds.

use uom::si::ratio::ratio;

use super::case::{Case, found, number, safety};
use super::{Found, Severity};
use fenlamp_model::plan::Siting;

/// Water share above which a composting mix is past what is tolerated (COMPHB22,
/// in `reference/compost_heat.md` section 4).
const WETTEST: f64 = 0.65;

/// A heap in a closed place.
pub(super) fn in_shed(case: &Case<'_>) -> Option<Found> {
    case.plan.heap.as_ref()?;
    let place = match case.plan.vessel.siting {
        Siting::Shed => "a shed",
        Siting::Room(_) => "a room",
        Siting::Greenhouse => "a greenhouse",
        Siting::Outdoors | Siting::InGround { .. } => return None,
    };
    let (co2, key) = safety("carbon dioxide", "PEL TWA (in force)")?;
    let words = format!(
        "A composting heap stands in {place}. It takes the oxygen and gives off carbon dioxide, \
         monoxide and ammonia; {co2:.0} ppm of carbon dioxide is the limit for a working day and a \
         shut place passes it unnoticed. Put heap and vessel in the open, or leave two sides of the \
         place open for good, and do not work or sleep there."
    );
    found(
        Severity::Stop,
        words,
        vec![number("limit_co2_ppm", co2)],
        &[key, "TEXTBOOK"],
    )
}

/// Rain on a heap.
pub(super) fn wet_weather(case: &Case<'_>) -> Option<Found> {
    let heap = case.plan.heap.as_ref()?;
    let moisture = heap.moisture.get::<ratio>();
    let too_wet = moisture > WETTEST;
    let open = !matches!(
        case.plan.vessel.siting,
        Siting::Shed | Siting::Room(_) | Siting::Greenhouse
    );
    if !too_wet && !open {
        return None;
    }
    let built = if too_wet {
        format!(
            "The heap is built with {:.0} % water, more than the {:.0} % that is tolerated. ",
            100.0 * moisture,
            100.0 * WETTEST
        )
    } else {
        String::new()
    };
    let words = format!(
        "{built}Rain is not in this forecast: a heap that is rained through loses its air, goes cold and \
         foul within days, and what seeps out runs to wells and ditches. Roof or sheet it so that it \
         still breathes, on ground that drains, and catch the seepage."
    );
    let evidence = vec![
        number("limit_water_share", WETTEST),
        number("water_share", moisture),
    ];
    let severity = if too_wet {
        Severity::Care
    } else {
        Severity::Note
    };
    found(severity, words, evidence, &["COMPHB22"])
}
