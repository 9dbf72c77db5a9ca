//! [heap] and [heater].

use super::Section;
use super::feedstocks::Feedstocks;
use super::materials::{INSULATION, material};
use crate::plan::lookup;
use crate::plan::{Heap, Heater};
use fenlamp_quantity::{
    Length, MassDensity, Power, Quantity, Ratio, ThermodynamicTemperature, Volume,
};
use uom::si::length::meter;
use uom::si::ratio::{percent, ratio};
use uom::si::thermodynamic_temperature::degree_celsius;

/// Heater's switch-off when the plan does not say: the mesophilic optimum. Judgement.
const HEATER_UP_TO_C: f64 = 35.0;
/// Share of sides and top a heap covers when the plan does not say. Judgement.
const COVERS: f64 = 0.8;

/// `Some(None)`: there is no heap; `None`: there is one with faults.
pub(super) fn heap(root: &Section<'_>, feedstocks: &mut Feedstocks) -> Option<Option<Heap>> {
    let Some(s) = root.section("heap") else {
        return (!root.has("heap")).then_some(None);
    };
    let volume = s.need::<Volume>("volume", "100 L", "500 m3");
    let density = s.quantity::<MassDensity>("density", "50 kg/m3", "1200 kg/m3");
    let moisture = s.quantity::<Ratio>("moisture", "5 %", "90 %");
    if !s.has("built") {
        s.missing(
            "built",
            "write the day it was or will be built, like built = 2026-03-20",
        );
    }
    let built = s.date("built");
    let rebuilt = s.days("rebuilt_every", "7 days", "10 years");
    let watered = s.days("watered_every", "1 day", "1 year");
    let covers = s.quantity::<Ratio>("covers", "1 %", "100 %");
    let cover = cover(&s);
    let bed = s
        .quantity::<Length>("bed", "0 cm", "3 m")
        .unwrap_or_else(|| Length::new::<meter>(0.0));
    let temperature = s.quantity::<ThermodynamicTemperature>("temperature", "-30 °C", "70 °C");
    let parts = parts(&s, feedstocks);
    s.finish();
    // Bulk density of fresh green chips, ideal moisture of an active mix: reference rows.
    let usual_density = lookup::thermal("rho_chips_green")?;
    let usual_moisture = lookup::thermal("mc_ideal")?;
    Some(Some(Heap {
        volume: volume?,
        density_kg_m3: density.map_or(usual_density, Quantity::to_si),
        moisture: moisture.unwrap_or_else(|| Ratio::new::<ratio>(usual_moisture)),
        parts: parts?,
        built: built?,
        rebuilt_every_days: rebuilt,
        watered_every_days: watered,
        covers: covers.unwrap_or_else(|| Ratio::new::<ratio>(COVERS)),
        cover_r_m2k_w: cover?,
        bed,
        temperature,
    }))
}

/// Thermal resistance of the skin, from its material and thickness.
fn cover(s: &Section<'_>) -> Option<f64> {
    let thickness = s.quantity::<Length>("cover_thickness", "1 mm", "2 m");
    let word = s
        .text("cover")
        .map(|t| crate::plan::section::plain_words(t.value));
    match word.as_deref() {
        None if s.has("cover") => None,
        None | Some("none") => {
            if s.has("cover_thickness") {
                s.fault(
                    "cover_thickness",
                    "the cover has a thickness but no material",
                    "write cover = \"loose straw\" or another",
                );
            }
            Some(0.0)
        }
        Some("straw") => resistance(s, Some("k_bulking_light".to_owned()), thickness),
        Some(_) => resistance(s, material(s, "cover", INSULATION), thickness),
    }
}

fn resistance(s: &Section<'_>, material: Option<String>, thickness: Option<Length>) -> Option<f64> {
    if !s.has("cover_thickness") {
        s.missing(
            "cover_thickness",
            "write how thick the cover is, like \"20 cm\"",
        );
    }
    let conductivity = lookup::thermal(&material?)?;
    Some(thickness?.value / conductivity)
}

fn parts(s: &Section<'_>, feedstocks: &mut Feedstocks) -> Option<Vec<(usize, Ratio)>> {
    let sections = s.sections("part");
    if sections.is_empty() {
        if !s.has("part") {
            s.missing(
                "part",
                "add [[heap.part]] with feedstock = \"wood_chips_hardwood\" and share = \"100 %\"",
            );
        }
        return None;
    }
    let mut parts = Vec::new();
    for p in &sections {
        if !p.has("feedstock") {
            p.missing(
                "feedstock",
                "write feedstock = \"wood_chips_hardwood\" or another",
            );
        }
        let index = feedstocks.index(p, "feedstock");
        let share = if p.has("share") || sections.len() > 1 {
            p.need::<Ratio>("share", "1 %", "100 %")
        } else {
            Some(Ratio::new::<percent>(100.0))
        };
        p.finish();
        if let (Some(index), Some(share)) = (index, share) {
            parts.push((index, share));
        }
    }
    if parts.len() < sections.len() {
        return None;
    }
    let sum: f64 = parts.iter().map(|p| p.1.to_si()).sum();
    if (sum - 1.0).abs() > 0.011 {
        s.fault(
            "part",
            format!(
                "the shares of the heap's parts add up to {:.0} %",
                100.0 * sum
            ),
            "they must add up to 100 %",
        );
        return None;
    }
    for p in &mut parts {
        p.1 /= sum;
    }
    Some(parts)
}

/// `Some(None)`: there is no heater.
pub(super) fn heater(root: &Section<'_>) -> Option<Option<Heater>> {
    let Some(s) = root.section("heater") else {
        return (!root.has("heater")).then_some(None);
    };
    let power = s.need::<Power>("power", "1 W", "100 kW");
    let up_to = s
        .quantity("up_to", "5 °C", "60 °C")
        .unwrap_or_else(|| ThermodynamicTemperature::new::<degree_celsius>(HEATER_UP_TO_C));
    s.finish();
    Some(Some(Heater {
        power: power?,
        up_to,
    }))
}
