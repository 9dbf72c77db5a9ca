//! Activity of ions and water in a wash liquor.
//!
//! The extended Debye-Hückel form and the Davies form as `phreeqc.dat` uses
//! them; ion sizes read in that file (phreeqpython 1.6.2, source PHREEQC).

/// Activity coefficients of one liquor at one temperature; activity is
/// molality times coefficient.
#[derive(Debug, Clone, Copy)]
pub struct Activity {
    /// Water (activity, not a coefficient).
    pub water: f64,
    /// Uncharged solutes.
    pub neutral: f64,
    /// H+.
    pub h: f64,
    /// OH-.
    pub oh: f64,
    /// HCO3-.
    pub hco3: f64,
    /// CO3--.
    pub co3: f64,
    /// Na+.
    pub na: f64,
    /// Ca++.
    pub ca: f64,
    /// CaHCO3+.
    pub cahco3: f64,
    /// Other ions of charge one (HS-, NaCO3-, CaOH+), by Davies.
    pub one: f64,
}

impl Activity {
    /// Coefficients at ionic strength `mu` and sum of solutes, both mol/kg water.
    pub fn at(t_c: f64, mu: f64, solutes: f64) -> Self {
        let (a, b) = debye_huckel(t_c);
        let root = mu.sqrt();
        let extended = |z2: f64, size: f64, slope: f64| {
            10f64.powf(-a * z2 * root / (1.0 + b * size * root) + slope * mu)
        };
        Activity {
            // Raoult with the factor of PHREEQC's manual (memory).
            water: (1.0 - 0.017 * solutes).max(0.5),
            neutral: 10f64.powf(0.1 * mu),
            h: extended(1.0, 9.0, 0.0),
            oh: extended(1.0, 3.5, 0.0),
            hco3: extended(1.0, 5.4, 0.0),
            co3: extended(4.0, 5.4, 0.0),
            na: extended(1.0, 4.08, 0.082),
            ca: extended(4.0, 5.0, 0.165),
            cahco3: extended(1.0, 6.0, 0.0),
            one: 10f64.powf(-a * (root / (1.0 + root) - 0.3 * mu)),
        }
    }
}

/// Debye-Hückel A ((kg/mol)^0.5) and B ((kg/mol)^0.5 per angstrom) of water.
///
/// Dielectric constant and factors from memory (Truesdell and Jones 1974, the
/// form of PHREEQC 2); A is 0.509 and B 0.329 at 25 degC. The density of water
/// moves A by 0.1 % over the range and is left out.
fn debye_huckel(t_c: f64) -> (f64, f64) {
    let t = t_c + 273.15;
    let dielectric = 2727.586 + 0.622_410_7 * t - 466.9151 * t.ln() - 52_000.87 / t;
    let x = dielectric * t;
    (1.824_6e6 / x.powf(1.5), 50.290_5 / x.sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_textbook_constants_at_25_degc_come_out() {
        // A 0.509, B 0.328 at 25 degC: common tables (memory).
        let (a, b) = debye_huckel(25.0);
        assert!((a - 0.509).abs() < 0.002, "{a}");
        assert!((b - 0.328).abs() < 0.002, "{b}");
    }

    #[test]
    fn pure_water_is_ideal() {
        let ideal = Activity::at(20.0, 0.0, 0.0);
        for gamma in [ideal.water, ideal.h, ideal.co3, ideal.ca, ideal.one] {
            assert_eq!(gamma, 1.0);
        }
    }
}
