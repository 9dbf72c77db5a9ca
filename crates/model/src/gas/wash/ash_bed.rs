//! A bed of moistened wood ash: its lime turns to chalk and takes up CO2.

use serde::Serialize;

use crate::band::Band;
use crate::gas::error::{GasError, within};
use crate::reference::gas_value;

/// Mass of a litre of moistened ash, dry, kg (judgement: ash is 0.5 to 0.8 as it lies).
pub const BULK_KG_L: f64 = 0.6;

/// CO2 that a kilogram of dry ash takes up, kg: rows `cap_ash_bed_lo`, `_mid`, `_hi`.
/// The published figure is the high end: fresh bottom ash of clean pellets in a
/// laboratory; ash of a stove is mixed with char and has met damp air.
pub fn capacity_kg_kg() -> Band {
    Band {
        low: gas_value("cap_ash_bed_lo"),
        mid: gas_value("cap_ash_bed_mid"),
        high: gas_value("cap_ash_bed_hi"),
    }
}

/// Share of the CO2 taken out until it breaks through.
///
/// The middle brings the gas of the test (`ash_bed_co2_in`) to its aim
/// (`ash_bed_ch4_aim`), the high end to its best (`ash_bed_ch4_best`). The low end,
/// a half, is a judgement: gas finds channels through a bed that is packed by hand.
pub fn removal() -> Band {
    let entered = gas_value("ash_bed_co2_in") / 100.0;
    let to = |methane: f64| 1.0 - (1.0 / methane - 1.0) / (entered / (1.0 - entered));
    Band {
        low: 0.5,
        mid: to(gas_value("ash_bed_ch4_aim") / 100.0),
        high: to(gas_value("ash_bed_ch4_best") / 100.0),
    }
}

/// CO2 that so many kilograms of it are, dry normal litres.
pub fn carbon_dioxide_l(kg: f64) -> f64 {
    1000.0 * kg / gas_value("mm_co2") * gas_value("vm_ideal_0c")
}

/// What a bed does.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Outcome {
    /// CO2 it takes up until it breaks through, g.
    pub capacity_g: Band,
    /// Gas that passes until then, L (dry, normal): the ends are little ash that works
    /// well and much that works badly.
    pub until_spent_l: Band,
    /// Share of the CO2 taken out until then.
    pub removal: Band,
    /// Methane behind it, share of methane and carbon dioxide.
    pub methane_share: Band,
}

/// A bed of `ash_kg` of dry ash under gas with `co2_share` of CO2.
///
/// # Errors
/// Amounts out of range.
pub fn ash_bed(ash_kg: f64, co2_share: f64) -> Result<Outcome, GasError> {
    let ash_kg = within("ash of the bed", "kg", ash_kg, 0.001, 1e4)?;
    let co2 = within("CO2 in the gas", "(share)", co2_share, 0.01, 0.95)?;
    let capacity = capacity_kg_kg().scaled(ash_kg);
    let removal = removal();
    let lasts = |kg: f64, removal: f64| carbon_dioxide_l(kg) / (co2 * removal);
    let methane = |removal: f64| (1.0 - co2) / (1.0 - co2 * removal);
    Ok(Outcome {
        capacity_g: capacity.scaled(1000.0),
        until_spent_l: Band {
            low: lasts(capacity.low, removal.high),
            mid: lasts(capacity.mid, removal.mid),
            high: lasts(capacity.high, removal.low),
        },
        removal,
        methane_share: Band {
            low: methane(removal.low),
            mid: methane(removal.mid),
            high: methane(removal.high),
        },
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(ours: f64, published: f64, share: f64) {
        assert!(
            (ours / published - 1.0).abs() <= share,
            "{ours} {published}"
        );
    }

    /// ANDERSSON17 reckons 650 t of ash a year for 1 GWh at 40 % CO2 and the published
    /// capacity; with 9.97 kWh a cubic metre of methane that is the same within 5 %.
    #[test]
    fn the_yearly_ash_of_the_source_comes_out() {
        let gas_l = 1e6 / 9.97 / 0.6 * 1000.0;
        let whole = ash_bed(1.0, 0.4).expect("in range");
        // All CO2 taken out, as the source reckons.
        let litres_per_kg = whole.until_spent_l.low / capacity_kg_kg().low
            * capacity_kg_kg().high
            * whole.removal.high;
        near(gas_l / litres_per_kg / 1000.0, 650.0, 0.05);
    }

    #[test]
    fn the_gas_of_the_test_leaves_as_it_did() {
        let of_test = ash_bed(1.0, gas_value("ash_bed_co2_in") / 100.0).expect("in range");
        near(of_test.methane_share.mid, 0.97, 1e-9);
        near(of_test.methane_share.high, 0.996, 1e-9);
        assert!(of_test.methane_share.low < 0.85);
        for band in [
            of_test.capacity_g,
            of_test.until_spent_l,
            of_test.removal,
            of_test.methane_share,
        ] {
            assert!(band.is_ordered() && band.low > 0.0);
        }
        assert!(of_test.removal.high < 1.0);
        near(of_test.capacity_g.high, 200.0, 1e-9);
    }

    #[test]
    fn nonsense_is_refused() {
        for (kg, co2) in [
            (0.0, 0.4),
            (-1.0, 0.4),
            (f64::NAN, 0.4),
            (1.0, 0.0),
            (1.0, 1.2),
        ] {
            assert!(ash_bed(kg, co2).is_err(), "{kg} {co2}");
        }
    }
}
