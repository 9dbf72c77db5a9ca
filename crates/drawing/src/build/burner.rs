//! The burner head: jet, throat and ports by the core's sums.

use fenlamp_model::gas::Mixture;
use fenlamp_model::gas::burner::{
    design_port_speed_m_s, metric_drill, number_drill, port_area_mm2, ports, primary_air, throat_mm,
};
use fenlamp_model::gas::jet::{Supply, diameter_mm, flow_m3_h, jet_coefficient};
use fenlamp_model::gas::properties::burning_velocity_m_s;
use fenlamp_model::warmth::moist_air::pressure_at_pa;
use fenlamp_quantity::{Units, format_number};

/// Methane of the gas that a plan's flows are told for.
const METHANE: f64 = 0.6;
/// Share of the full air that is drawn in before the flame (the core's default
/// between `aer_prim_lo` and `aer_prim_hi`; judgement).
const PRIMARY: f64 = 0.5;
/// Drills of the flame ports, mm, well under the quenching diameter: of a metric
/// workshop, and 3/32 in of one in inches.
const PORT_MM: [f64; 2] = [2.5, 25.4 * 3.0 / 32.0];

/// A burner head to drill.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Head {
    /// Gas wanted, m3/h.
    pub wanted_m3_h: f64,
    /// Pressure before the jet, Pa: the store half full.
    pub pressure_pa: f64,
    /// The jet as drilled, mm (metric drill).
    pub jet_mm: f64,
    /// The numbered drill for readers of inches, and its mm.
    pub jet_number: Option<(u32, f64)>,
    /// Gas that the metric drill's jet passes, m3/h.
    pub flow_m3_h: f64,
    /// Its heat, kW.
    pub heat_kw: f64,
    /// Bore of the mixing tube, mm.
    pub throat_mm: f64,
    /// Drill of the flame ports, mm.
    pub port_mm: f64,
    /// Flame ports.
    pub holes: u32,
}

impl Head {
    /// The drill of the flame ports as a workshop calls it.
    pub fn port_words(&self) -> String {
        if (self.port_mm - PORT_MM[1]).abs() < 1e-9 {
            "3/32 in".to_owned()
        } else {
            format!("{} mm", format_number(self.port_mm, 2))
        }
    }
}

/// The head for a flow at a pressure. `None` where no drill gives one: the
/// pressure is nothing, or the flow out of range.
pub fn head(wanted_m3_h: f64, pressure_pa: f64, altitude_m: f64, units: Units) -> Option<Head> {
    let gas = Mixture::biogas(METHANE).ok()?;
    let supply = Supply {
        gas,
        pressure_pa,
        t_c: 20.0,
        air_pa: pressure_at_pa(altitude_m),
        wet: true,
    }
    .checked()
    .ok()?;
    let density = supply.density_kg_m3().ok()?;
    let cd = jet_coefficient();
    let exact = diameter_mm(wanted_m3_h, pressure_pa, density, cd).ok()?;
    let jet_mm = metric_drill(exact)?;
    let flow = flow_m3_h(jet_mm, pressure_pa, density, cd).ok()?;
    let air = primary_air(&gas, PRIMARY).ok()?;
    let speed = burning_velocity_m_s(&gas)
        .ok()?
        .min(design_port_speed_m_s());
    let area = port_area_mm2(flow, air, speed).ok()?;
    let ports = ports(area, PORT_MM[usize::from(units == Units::Us)]).ok()?;
    Some(Head {
        wanted_m3_h,
        pressure_pa,
        jet_mm,
        jet_number: number_drill(exact),
        flow_m3_h: flow,
        heat_kw: supply.heat_kw(flow).ok()?,
        throat_mm: throat_mm(jet_mm, &gas, air).ok()?,
        port_mm: ports.drill_mm,
        holes: ports.holes,
    })
}
