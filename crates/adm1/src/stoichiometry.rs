//! What each process uses and makes, closed on carbon, nitrogen and sulfur.
//!
//! Carbon and nitrogen that the written products do not hold go to (or come
//! from) S_IC and S_IN, so that nothing can be lost by a slip of the pen.

use super::constants::{COD_O2, COD_S0, COD_SULFIDE, Constants};
use super::pool::Pool;
use super::state::*;

/// Content of one unit of each state.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Content {
    /// kg COD.
    pub cod: Vec<f64>,
    /// kmol C.
    pub carbon: Vec<f64>,
    /// kmol N (headspace nitrogen gas not counted).
    pub nitrogen: Vec<f64>,
    /// kmol S.
    pub sulfur: Vec<f64>,
}

impl Content {
    /// Contents of the fixed states and of the pools.
    pub fn new(c: &Constants, pools: &[Pool]) -> Self {
        let n = POOLS + pools.len();
        let mut x = Content {
            cod: vec![0.0; n],
            carbon: vec![0.0; n],
            nitrogen: vec![0.0; n],
            sulfur: vec![0.0; n],
        };
        let organic = [
            (S_SU, c.c_su),
            (S_AA, c.c_aa),
            (S_FA, c.c_fa),
            (S_VA, c.c_va),
            (S_BU, c.c_bu),
            (S_PRO, c.c_pro),
            (S_AC, c.c_ac),
            (S_LA, c.c_la),
            (S_H2, 0.0),
            (S_CH4, c.c_ch4),
            (S_I, c.c_si),
            (X_I, c.c_xi),
            (G_H2, 0.0),
            (G_CH4, c.c_ch4),
            (OUT, 0.0),
            (OUT + 1, c.c_ch4),
        ];
        for (i, carbon) in organic {
            x.cod[i] = 1.0;
            x.carbon[i] = carbon;
        }
        for i in X_SU..=X_SRB {
            x.cod[i] = 1.0;
            x.carbon[i] = c.c_bac;
            x.nitrogen[i] = c.n_bac;
        }
        for i in [S_IC, G_CO2, OUT + 2] {
            x.carbon[i] = 1.0;
        }
        for i in [S_IS, G_H2S, OUT + 3, X_FES] {
            x.cod[i] = COD_SULFIDE;
            x.sulfur[i] = 1.0;
        }
        x.cod[X_S0] = COD_S0;
        x.sulfur[X_S0] = 1.0;
        x.sulfur[S_SO4] = 1.0;
        for i in [G_O2, OUT + 5] {
            x.cod[i] = COD_O2;
        }
        x.nitrogen[S_AA] = c.n_aa;
        x.nitrogen[S_IN] = 1.0;
        x.nitrogen[S_I] = c.n_i;
        x.nitrogen[X_I] = c.n_i;
        for (k, pool) in pools.iter().enumerate() {
            x.cod[POOLS + k] = 1.0;
            x.carbon[POOLS + k] = pool.carbon;
            x.nitrogen[POOLS + k] = pool.nitrogen;
            x.sulfur[POOLS + k] = pool.sulfur;
        }
        x
    }
}

/// One process: the states it moves, per unit of its rate.
pub type Row = Vec<(usize, f64)>;

/// Index of the first process of each family.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Families {
    /// Uptake of su, aa, fa, va, bu, pro, then the guilds on acetate, the
    /// guilds on hydrogen, the sulfate reducers, the homoacetogens, sugar to lactate,
    /// lactate.
    pub uptake: usize,
    /// Decay of the twelve groups.
    pub decay: usize,
    /// Transfer to the headspace: h2, ch4, co2, h2s.
    pub transfer: usize,
    /// Outflow of the six gases.
    pub outflow: usize,
    /// Iron sulfide, oxygen uptake, sulfide oxidation.
    pub others: usize,
    /// Number of processes.
    pub count: usize,
}

/// Number of uptake processes.
pub const UPTAKES: usize = 6 + 2 * GUILDS + 4;
/// Number of groups that decay.
pub const GROUPS: usize = X_SRB - X_SU + 1;

impl Families {
    /// Families behind `pools` pool processes.
    pub fn new(pools: usize) -> Self {
        let uptake = pools;
        let decay = uptake + UPTAKES;
        let transfer = decay + GROUPS;
        let outflow = transfer + 4;
        let others = outflow + GASES;
        Families {
            uptake,
            decay,
            transfer,
            outflow,
            others,
            count: others + 3,
        }
    }
}

/// Rows of every process, in the order of [`Families`].
///
/// Headspace states are per m3 of liquid here; [`super::system`] brings them to
/// m3 of headspace.
pub fn rows(c: &Constants, pools: &[Pool]) -> Vec<Row> {
    let content = Content::new(c, pools);
    let mut rows: Vec<Row> = Vec::new();
    for (k, pool) in pools.iter().enumerate() {
        let mut row: Row = vec![(POOLS + k, -1.0)];
        row.extend(pool.products.iter().copied());
        if pool.sulfur != 0.0 {
            row.push((S_IS, pool.sulfur));
        }
        let mut row = closed(row, &content);
        // A world's feed may hold more carbon than its pool's middle, or less.
        if k >= PLAIN_POOLS && row.iter().all(|&(i, _)| i != S_IC) {
            row.push((S_IC, 0.0));
        }
        rows.push(row);
    }
    let uptake = |from: usize, y: f64, to: usize, products: &[(usize, f64)]| {
        let mut row: Row = vec![(from, -1.0)];
        row.extend(products.iter().map(|&(i, share)| (i, (1.0 - y) * share)));
        row.push((to, y));
        closed(row, &content)
    };
    rows.push(uptake(
        S_SU,
        c.y_su,
        X_SU,
        &[
            (S_BU, c.f_bu_su),
            (S_PRO, c.f_pro_su),
            (S_AC, c.f_ac_su),
            (S_H2, c.f_h2_su),
        ],
    ));
    rows.push(uptake(
        S_AA,
        c.y_aa,
        X_AA,
        &[
            (S_VA, c.f_va_aa),
            (S_BU, c.f_bu_aa),
            (S_PRO, c.f_pro_aa),
            (S_AC, c.f_ac_aa),
            (S_H2, c.f_h2_aa),
        ],
    ));
    rows.push(uptake(
        S_FA,
        c.y_fa,
        X_FA,
        &[(S_AC, c.f_ac_fa), (S_H2, 1.0 - c.f_ac_fa)],
    ));
    // Valerate: acetate 0.31, the rest hydrogen (0.15), as the row's note says.
    let f_ac_va = 0.31;
    rows.push(uptake(
        S_VA,
        c.y_c4,
        X_C4,
        &[
            (S_PRO, c.f_pro_va),
            (S_AC, f_ac_va),
            (S_H2, 1.0 - c.f_pro_va - f_ac_va),
        ],
    ));
    rows.push(uptake(
        S_BU,
        c.y_c4,
        X_C4,
        &[(S_AC, c.f_ac_bu), (S_H2, 1.0 - c.f_ac_bu)],
    ));
    rows.push(uptake(
        S_PRO,
        c.y_pro,
        X_PRO,
        &[(S_AC, c.f_ac_pro), (S_H2, 1.0 - c.f_ac_pro)],
    ));
    for g in 0..GUILDS {
        rows.push(uptake(S_AC, c.y_ac, X_AC + g, &[(S_CH4, 1.0)]));
    }
    for g in 0..GUILDS {
        rows.push(uptake(S_H2, c.y_h2, X_H2 + g, &[(S_CH4, 1.0)]));
    }
    // 4 H2 + SO4-- -> S-- + 4 H2O: the electrons of 64 kg COD turn one kmol.
    let sulfate = (1.0 - c.y_srb) / COD_SULFIDE;
    rows.push(closed(
        vec![
            (S_H2, -1.0),
            (X_SRB, c.y_srb),
            (S_SO4, -sulfate),
            (S_IS, sulfate),
        ],
        &content,
    ));
    rows.push(uptake(S_H2, c.y_hac, X_SU, &[(S_AC, 1.0)]));
    rows.push(uptake(S_SU, c.y_su, X_SU, &[(S_LA, 1.0)]));
    rows.push(uptake(
        S_LA,
        c.y_pro,
        X_SU,
        &[(S_PRO, c.f_pro_la), (S_AC, 1.0 - c.f_pro_la)],
    ));
    for i in X_SU..=X_SRB {
        rows.push(closed(vec![(i, -1.0), (X_XC, 1.0)], &content));
    }
    for (from, to) in [(S_H2, G_H2), (S_CH4, G_CH4), (S_IC, G_CO2), (S_IS, G_H2S)] {
        rows.push(vec![(from, -1.0), (to, 1.0)]);
    }
    for g in 0..GASES {
        rows.push(vec![(G_H2 + g, -1.0), (OUT + g, 1.0)]);
    }
    rows.push(vec![(S_FE, -1.0), (S_IS, -1.0), (X_FES, 1.0)]);
    // One kmol of oxygen burns 32 kg COD of acetate.
    rows.push(closed(vec![(G_O2, -1.0), (S_AC, COD_O2)], &content));
    // H2S + 1/2 O2 -> S + H2O.
    rows.push(vec![(G_H2S, -1.0), (G_O2, -0.5), (X_S0, 1.0)]);
    rows
}

/// Closes carbon and nitrogen of a row with S_IC and S_IN.
fn closed(mut row: Row, content: &Content) -> Row {
    let sum = |of: &[f64]| row.iter().map(|&(i, v)| v * of[i]).sum::<f64>();
    let (carbon, nitrogen) = (sum(&content.carbon), sum(&content.nitrogen));
    row.push((S_IC, -carbon));
    row.push((S_IN, -nitrogen));
    row.retain(|&(_, v)| v != 0.0);
    row
}
