//! Iron packings: what they hold, how long they last, how well they work.

use serde::Serialize;

use crate::band::Band;
use crate::gas::error::{GasError, within};
use crate::reference::gas_value;

/// Molar mass of sulfur, g/mol (IUPAC, from memory).
pub const SULFUR_G_MOL: f64 = 32.06;
/// Empty-bed contact time wanted, s (common practice for iron sponges, memory).
pub const CONTACT_WANTED_S: f64 = 60.0;
/// Moisture at which an oxide packing works, share of its mass (40 +- 15 %
/// for iron sponge, memory).
pub const MOISTURE: (f64, f64) = (0.25, 0.55);
/// Regenerations that are practical (row `regen_loss`: once or twice).
pub const PRACTICAL_REGENERATIONS: u32 = 2;

/// A packing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub enum Medium {
    /// Turnings and filings of plain steel.
    Filings,
    /// Steel wool.
    SteelWool,
    /// Bog iron ore or rusty red earth.
    BogIron,
    /// Granular iron oxide or oxide on chips.
    OxideMedium,
}

impl Medium {
    /// Every kind.
    pub const ALL: [Medium; 4] = [
        Medium::Filings,
        Medium::SteelWool,
        Medium::BogIron,
        Medium::OxideMedium,
    ];

    /// Name in words.
    pub fn name(self) -> &'static str {
        match self {
            Medium::Filings => "iron filings",
            Medium::SteelWool => "steel wool",
            Medium::BogIron => "bog iron",
            Medium::OxideMedium => "iron oxide medium",
        }
    }

    /// Sulfur held in one pass, g per kg of packing.
    ///
    /// Bog iron and oxide medium by the rows `cap_bog_once`, `cap_fe_media`,
    /// each with half of it as the low end and the row's or the
    /// stoichiometric figure as the high end (judgement). Metal by the share
    /// that turns to FeS times `cap_fe_s`: wool 3, 10 and 30 %, filings 1, 3
    /// and 10 % (judgement; example 12 takes 10 % for wool).
    pub fn capacity_g_kg(self) -> Band {
        let metal = 1000.0 * gas_value("cap_fe_s");
        let scaled = |low, mid, high| Band { low, mid, high }.scaled(metal);
        match self {
            Medium::Filings => scaled(0.01, 0.03, 0.10),
            Medium::SteelWool => scaled(0.03, 0.10, 0.30),
            Medium::BogIron => {
                let row = gas_value("cap_bog_once");
                Band {
                    low: 0.5 * row,
                    mid: row,
                    high: 2.0 * row,
                }
            }
            Medium::OxideMedium => {
                let row = gas_value("cap_fe_media");
                Band {
                    low: 0.5 * row,
                    mid: row,
                    // 40 % oxide by mass, used up wholly.
                    high: (10.0 * gas_value("fe_mass_share_lo") * gas_value("cap_fe2o3_s"))
                        .max(row),
                }
            }
        }
    }

    /// True if air brings it back; metal only rusts further.
    pub fn regenerates(self) -> bool {
        matches!(self, Medium::BogIron | Medium::OxideMedium)
    }
}

/// Passes of a regenerated packing, in fresh ones: each loses `regen_loss`.
pub fn passes(regenerations: u32) -> f64 {
    let kept = 1.0 - gas_value("regen_loss");
    (0..=regenerations.min(100))
        .map(|n| kept.powi(n as i32))
        .sum()
}

/// Sulfur that `daily_l` of gas (dry, normal) carries, g/d.
pub fn sulfur_g_day(daily_l: f64, h2s_ppm: f64) -> f64 {
    daily_l * h2s_ppm * 1e-6 / gas_value("vm_ideal_0c") * SULFUR_G_MOL
}

/// A packing in its place.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Packing {
    /// What it is.
    pub medium: Medium,
    /// Dry mass, kg.
    pub mass_kg: f64,
    /// Volume it fills, L.
    pub bed_l: f64,
    /// Moisture, share of the mass; `None` if not known.
    pub moisture: Option<f64>,
    /// Times it will be brought back with air.
    pub regenerations: u32,
}

/// What a packing does.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Outcome {
    /// Sulfur reaching it, g/d.
    pub sulfur_g_day: f64,
    /// Sulfur it can hold over all passes, g.
    pub capacity_g: Band,
    /// Days until spent if it caught everything: the shortest it can be.
    pub days_catching_all: Band,
    /// Days until spent at the removal of small field filters.
    pub days_as_in_the_field: Band,
    /// Share of the H2S taken out: low a judgement, then the mean and the best
    /// of a field test (`iron_filter_mean`, `iron_filter_max`). Never all of it.
    pub removal: Band,
    /// H2S after the packing, ppm; `low` is the best case.
    pub h2s_after_ppm: Band,
    /// Time the gas spends in the empty bed, s.
    pub contact_s: f64,
    /// False if the gas passes faster than [`CONTACT_WANTED_S`].
    pub contact_enough: bool,
    /// False if known to be too dry or too wet.
    pub moisture_right: Option<bool>,
}

/// Removal of a small field filter with enough contact.
///
/// Its low end, a third of the mean, is a judgement: a dry, channelled or
/// nearly spent packing does next to nothing.
pub fn field_removal() -> Band {
    let mean = gas_value("iron_filter_mean") / 100.0;
    Band {
        low: mean / 3.0,
        mid: mean,
        high: gas_value("iron_filter_max") / 100.0,
    }
}

/// What a packing does with `daily_l` of gas a day (dry, normal) holding
/// `h2s_ppm`, at `flow_l_h` when it flows (for a packing after a jar: the gas
/// that leaves the jar).
///
/// # Errors
/// Amounts out of range; more regenerations than five; regenerating metal.
pub fn packing(
    p: &Packing,
    daily_l: f64,
    h2s_ppm: f64,
    flow_l_h: f64,
) -> Result<Outcome, GasError> {
    let daily_l = within("gas of a day", "L", daily_l, 0.001, 1e7)?;
    let h2s_ppm = within("H2S in the gas", "ppm", h2s_ppm, 0.0, 50_000.0)?;
    let flow_l_h = within("flow of gas", "L/h", flow_l_h, 0.001, 1e6)?;
    let mass = within("mass of the packing", "kg", p.mass_kg, 0.001, 1e4)?;
    let bed_l = within("volume of the packing", "L", p.bed_l, 0.01, 1e5)?;
    if let Some(moisture) = p.moisture {
        within("moisture of the packing", "(share)", moisture, 0.0, 0.95)?;
    }
    let most = if p.medium.regenerates() { 5.0 } else { 0.0 };
    within(
        "regenerations",
        "(number)",
        f64::from(p.regenerations),
        0.0,
        most,
    )?;

    let once = p.medium.capacity_g_kg();
    let all = passes(p.regenerations);
    let mut capacity_g = once.scaled(mass * all);
    if p.medium == Medium::BogIron {
        // Not above what the ore held over many regenerations.
        let top = gas_value("cap_bog_total") * mass;
        capacity_g.high = capacity_g.high.min(top);
    }
    let sulfur = sulfur_g_day(daily_l, h2s_ppm);
    let contact_s = bed_l / flow_l_h * 3600.0;
    let contact_enough = contact_s >= CONTACT_WANTED_S;
    let field = field_removal();
    // Too short a contact takes its share of what is removed (judgement).
    let removal = field.scaled((contact_s / CONTACT_WANTED_S).min(1.0));
    let days = |grams: f64, share: f64| grams / (sulfur * share);
    Ok(Outcome {
        sulfur_g_day: sulfur,
        capacity_g,
        days_catching_all: Band {
            low: days(capacity_g.low, 1.0),
            mid: days(capacity_g.mid, 1.0),
            high: days(capacity_g.high, 1.0),
        },
        days_as_in_the_field: Band {
            low: days(capacity_g.low, removal.high),
            mid: days(capacity_g.mid, removal.mid),
            high: days(capacity_g.high, removal.low),
        },
        removal,
        h2s_after_ppm: Band {
            low: h2s_ppm * (1.0 - removal.high),
            mid: h2s_ppm * (1.0 - removal.mid),
            high: h2s_ppm * (1.0 - removal.low),
        },
        contact_s,
        contact_enough,
        moisture_right: p
            .moisture
            .map(|m| !p.medium.regenerates() || (m >= MOISTURE.0 && m <= MOISTURE.1)),
    })
}
