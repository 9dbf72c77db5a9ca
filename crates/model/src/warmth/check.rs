//! What a run refuses to compute.

use uom::si::length::meter;
use uom::si::power::watt;
use uom::si::ratio::ratio;
use uom::si::thermodynamic_temperature::degree_celsius;

use crate::plan::Siting;

use super::{WarmthError, WarmthInput};

/// Refuse series and settings that would give a plausible wrong answer.
pub(crate) fn check(input: &WarmthInput) -> Result<(), WarmthError> {
    let weather = input.weather;
    let hours = weather.air_c.len();
    let days = weather.days();
    if days == 0 || weather.sun_w_m2.len() != hours || weather.wind_m_s.len() != hours {
        return Err(WarmthError::Input(
            "the weather has no whole day or unequal columns",
        ));
    }
    let finite = |values: &[f64]| values.iter().all(|value| value.is_finite());
    if !(finite(&weather.air_c) && finite(&weather.sun_w_m2) && finite(&weather.wind_m_s)) {
        return Err(WarmthError::Input(
            "the weather holds something that is not a number",
        ));
    }
    if input.feed_kg_per_day.len() < days || input.feed_c.is_some_and(|feed| feed.len() < days) {
        return Err(WarmthError::Input("the feed is shorter than the weather"));
    }
    let amounts_sound = input
        .feed_kg_per_day
        .iter()
        .all(|kg| kg.is_finite() && *kg >= 0.0);
    if !amounts_sound || input.feed_c.is_some_and(|feed| !finite(feed)) {
        return Err(WarmthError::Input("a feed is negative or not a number"));
    }
    let heater_sound = input.heater.is_none_or(|heater| {
        let power = heater.power.get::<watt>();
        power.is_finite() && power >= 0.0 && heater.up_to.get::<degree_celsius>().is_finite()
    });
    if !heater_sound {
        return Err(WarmthError::Input(
            "the heater's power or limit is not usable",
        ));
    }
    let siting_sound = match input.vessel.siting {
        Siting::Room(kept) => kept.get::<degree_celsius>().is_finite(),
        Siting::InGround { depth } => {
            // Negative when less than half of it is in the ground.
            depth.get::<meter>().is_finite()
        }
        Siting::Outdoors | Siting::Shed | Siting::Greenhouse => true,
    };
    let vessel = input.vessel;
    let bank = vessel.earth_bank.get::<ratio>();
    let fill_sound = vessel
        .fill_temperature
        .is_none_or(|t| t.get::<degree_celsius>().is_finite());
    if !fill_sound || !(0.0..=1.0).contains(&bank) {
        return Err(WarmthError::Vessel(
            "the earth bank or the temperature of the fill is not usable",
        ));
    }
    if !siting_sound || !(-90.0..=90.0).contains(&input.place.latitude_deg) {
        return Err(WarmthError::Input(
            "the room, the depth or the latitude is not usable",
        ));
    }
    let draw = &input.draw;
    let factors = [
        draw.insulation_factor,
        draw.wind_factor,
        draw.ground_factor,
        draw.still_top.layer_m,
        draw.still_top.under_ice_factor,
        draw.heap.rate_factor,
        draw.heap.fuel_factor,
        draw.heap.conductivity_factor,
        draw.heap.air_factor,
    ];
    if factors
        .iter()
        .any(|factor| !factor.is_finite() || *factor < 0.0)
        || draw.insulation_factor == 0.0
        || draw.ground_factor == 0.0
        || draw.still_top.under_ice_factor == 0.0
        || !draw.ground_over_air_k.is_finite()
        || !draw.feed_offset_k.is_finite()
        || draw.heap.conductivity_factor == 0.0
    {
        return Err(WarmthError::Input(
            "a factor of the draw is not above zero, or a shift no number",
        ));
    }
    Ok(())
}
