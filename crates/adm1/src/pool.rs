//! Pools of particulate matter: data, not code.

use super::constants::Constants;

/// A pool of particulate matter that dissolves at first order.
///
/// Shares are kg COD per kg COD of the pool and sum, with the COD of the
/// sulfide freed (64 kg COD/kmol), to one. What the products do not hold of the
/// pool's carbon and nitrogen is freed as S_IC and S_IN.
#[derive(Debug, Clone, PartialEq)]
pub struct Pool {
    /// Rate at 35 degC, 1/d.
    pub rate: f64,
    /// Carbon, kmol C/kg COD.
    pub carbon: f64,
    /// Nitrogen, kmol N/kg COD.
    pub nitrogen: f64,
    /// Sulfur freed as sulfide, kmol S/kg COD.
    pub sulfur: f64,
    /// Products: (state, share).
    pub products: Vec<(usize, f64)>,
}

impl Pool {
    /// The four pools of plain ADM1: composite, carbohydrate, protein, lipid.
    pub fn plain(c: &Constants) -> Vec<Pool> {
        use super::state::*;
        let pool = |rate, carbon, nitrogen, products: &[(usize, f64)]| Pool {
            rate,
            carbon,
            nitrogen,
            sulfur: 0.0,
            products: products.to_vec(),
        };
        vec![
            pool(
                c.k_dis,
                c.c_xc,
                c.n_xc,
                &[
                    (S_I, c.f_si_xc),
                    (X_I, c.f_xi_xc),
                    (X_CH, c.f_ch_xc),
                    (X_PR, c.f_pr_xc),
                    (X_LI, c.f_li_xc),
                ],
            ),
            pool(c.k_hyd_ch, c.c_ch, 0.0, &[(S_SU, 1.0)]),
            pool(c.k_hyd_pr, c.c_pr, c.n_aa, &[(S_AA, 1.0)]),
            pool(
                c.k_hyd_li,
                c.c_li,
                0.0,
                &[(S_SU, 1.0 - c.f_fa_li), (S_FA, c.f_fa_li)],
            ),
        ]
    }
}
