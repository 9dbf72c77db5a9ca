//! Equilibrium constants of a wash liquor at one temperature.

use std::sync::OnceLock;

use crate::gas::error::{GasError, within};
use crate::reference::gas_value;

/// Temperatures for which the constants are tabulated, degC.
pub const T_RANGE_C: (f64, f64) = (5.0, 40.0);

/// Constants in activities (mol/kg water; pressures in atm).
#[derive(Debug, Clone, Copy)]
pub struct Constants {
    /// Temperature, degC.
    pub t_c: f64,
    /// Ion product of water.
    pub water: f64,
    /// CO2 + H2O = HCO3- + H+.
    pub co2: f64,
    /// HCO3- = CO3-- + H+.
    pub hco3: f64,
    /// H2S = HS- + H+.
    pub h2s: f64,
    /// Solubility of CO2, mol/(kg atm).
    pub henry_co2: f64,
    /// Solubility of H2S, mol/(kg atm).
    pub henry_h2s: f64,
    /// Na+ + CO3-- = NaCO3-.
    pub naco3: f64,
    /// Na+ + HCO3- = NaHCO3.
    pub nahco3: f64,
    /// Ca++ + CO3-- = CaCO3 (dissolved pair).
    pub caco3: f64,
    /// Ca++ + CO3-- + H+ = CaHCO3+.
    pub cahco3: f64,
    /// Ca++ + H2O = CaOH+ + H+.
    pub caoh: f64,
    /// Calcite = Ca++ + CO3--.
    pub calcite: f64,
    /// Ca(OH)2 + 2 H+ = Ca++ + 2 H2O.
    pub lime: f64,
}

/// pK and solubilities every 5 degC, in the order of [`Constants`].
struct Table {
    co2: [f64; 8],
    hco3: [f64; 8],
    h2s: [f64; 8],
    ln_henry_co2: [f64; 8],
    ln_henry_h2s: [f64; 8],
}

fn table() -> &'static Table {
    static TABLE: OnceLock<Table> = OnceLock::new();
    TABLE.get_or_init(|| {
        let column =
            |id: &str| std::array::from_fn(|i| gas_value(&format!("{id}_{}c", 5 * (i + 1))));
        Table {
            co2: column("pka1_co2"),
            hco3: column("pka2_co2"),
            h2s: column("pka1_h2s"),
            ln_henry_co2: column("kh_co2").map(f64::ln),
            ln_henry_h2s: column("kh_h2s").map(f64::ln),
        }
    })
}

/// Straight line between the two rows around `t_c`; the table's curvature
/// makes this good to 0.001 in pK.
fn between(column: &[f64; 8], t_c: f64) -> f64 {
    let x = (t_c - T_RANGE_C.0) / 5.0;
    let i = (x.floor().max(0.0) as usize).min(6);
    column[i] + (column[i + 1] - column[i]) * (x - i as f64)
}

impl Constants {
    /// Constants at `t_c`: acids and solubilities from the rows `pka1_co2_*`,
    /// `pka2_co2_*`, `pka1_h2s_*`, `kh_co2_*`, `kh_h2s_*` of
    /// `gas_constants.csv`; the rest read in `phreeqc.dat` (phreeqpython
    /// 1.6.2, source PHREEQC), except the solubility of slaked lime (log K
    /// 22.80, -30.69 kcal/mol at 25 degC, from memory).
    ///
    /// # Errors
    /// A temperature outside [`T_RANGE_C`].
    pub fn at(t_c: f64) -> Result<Self, GasError> {
        within(
            "temperature of the wash",
            "degC",
            t_c,
            T_RANGE_C.0,
            T_RANGE_C.1,
        )?;
        let t = t_c + 273.15;
        let rows = table();
        let acid = |column| 10f64.powf(-between(column, t_c));
        // log10 K = c0 + c1 T + c2/T + c3 log10 T + c4/T2 + c5 T2
        let fitted = |[c0, c1, c2, c3, c4, c5]: [f64; 6]| {
            10f64.powf(c0 + c1 * t + c2 / t + c3 * t.log10() + c4 / (t * t) + c5 * t * t)
        };
        let vant_hoff = |log_k: f64, kcal: f64| {
            let slope = kcal * 4184.0 / (8.314_462_6 * std::f64::consts::LN_10);
            10f64.powf(log_k + slope * (1.0 / 298.15 - 1.0 / t))
        };
        Ok(Constants {
            t_c,
            water: fitted([
                293.29227,
                0.136_083_3,
                -10_576.913,
                -123.73158,
                0.0,
                -6.996_455e-5,
            ]),
            co2: acid(&rows.co2),
            hco3: acid(&rows.hco3),
            h2s: acid(&rows.h2s),
            henry_co2: between(&rows.ln_henry_co2, t_c).exp(),
            henry_h2s: between(&rows.ln_henry_h2s, t_c).exp(),
            naco3: vant_hoff(1.27, 8.91),
            nahco3: vant_hoff(-0.25, -1.0),
            caco3: fitted([-1228.732, -0.299_440, 35_512.75, 485.818, 0.0, 0.0]),
            cahco3: fitted([
                1317.0071,
                0.345_468_94,
                -39_916.84,
                -517.70761,
                563_713.9,
                0.0,
            ]),
            caoh: vant_hoff(-12.78, 0.0),
            calcite: fitted([-171.9065, -0.077_993, 2839.319, 71.595, 0.0, 0.0]),
            lime: vant_hoff(22.80, -30.69),
        })
    }
}
