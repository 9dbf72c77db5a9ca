//! Methane that one kilogram of COD gives in the end, biomass losses included.

use super::constants::Constants;

/// Methane yields in the endless limit, kg COD of methane per kg COD.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EndlessYields {
    /// Of carbohydrate (and sugar).
    pub carbohydrate: f64,
    /// Of protein (and amino acids).
    pub protein: f64,
    /// Of lipid.
    pub lipid: f64,
    /// Of composite and of biomass, which dies back to it.
    pub composite: f64,
}

impl EndlessYields {
    /// Follows every kilogram through the model: what is not methane is biomass,
    /// which dies to composite, part of which is inert. One linear unknown.
    pub fn new(c: &Constants) -> Self {
        // Each yield is a + b m with m the yield of composite.
        type Line = (f64, f64);
        let mix = |y: f64, parts: &[(Line, f64)]| -> Line {
            let (a, b) = parts
                .iter()
                .fold((0.0, 0.0), |s, (l, w)| (s.0 + w * l.0, s.1 + w * l.1));
            ((1.0 - y) * a, (1.0 - y) * b + y)
        };
        let ch4: Line = (1.0, 0.0);
        let ac = mix(c.y_ac, &[(ch4, 1.0)]);
        let h2 = mix(c.y_h2, &[(ch4, 1.0)]);
        let pro = mix(c.y_pro, &[(ac, c.f_ac_pro), (h2, 1.0 - c.f_ac_pro)]);
        let bu = mix(c.y_c4, &[(ac, c.f_ac_bu), (h2, 1.0 - c.f_ac_bu)]);
        let va = mix(
            c.y_c4,
            &[(pro, c.f_pro_va), (ac, 0.31), (h2, 0.69 - c.f_pro_va)],
        );
        let fa = mix(c.y_fa, &[(ac, c.f_ac_fa), (h2, 1.0 - c.f_ac_fa)]);
        let su = mix(
            c.y_su,
            &[
                (bu, c.f_bu_su),
                (pro, c.f_pro_su),
                (ac, c.f_ac_su),
                (h2, c.f_h2_su),
            ],
        );
        let aa = mix(
            c.y_aa,
            &[
                (va, c.f_va_aa),
                (bu, c.f_bu_aa),
                (pro, c.f_pro_aa),
                (ac, c.f_ac_aa),
                (h2, c.f_h2_aa),
            ],
        );
        let li = (
            (1.0 - c.f_fa_li) * su.0 + c.f_fa_li * fa.0,
            (1.0 - c.f_fa_li) * su.1 + c.f_fa_li * fa.1,
        );
        let sum =
            |k: fn(&Line) -> f64| c.f_ch_xc * k(&su) + c.f_pr_xc * k(&aa) + c.f_li_xc * k(&li);
        let m = sum(|l| l.0) / (1.0 - sum(|l| l.1));
        let at = |l: Line| l.0 + l.1 * m;
        EndlessYields {
            carbohydrate: at(su),
            protein: at(aa),
            lipid: at(li),
            composite: m,
        }
    }
}
