//! Where each state stands in the vector, and its name.
//!
//! Units: soluble and particulate matter kg COD/m3; inorganic carbon, nitrogen,
//! sulfur, iron and ions kmol/m3; gases kg COD/m3 (H2, CH4) or kmol/m3 of
//! headspace; cumulated gas kg COD or kmol.

/// Sugar.
pub const S_SU: usize = 0;
/// Amino acids.
pub const S_AA: usize = 1;
/// Long-chain fatty acids.
pub const S_FA: usize = 2;
/// Valerate.
pub const S_VA: usize = 3;
/// Butyrate.
pub const S_BU: usize = 4;
/// Propionate.
pub const S_PRO: usize = 5;
/// Acetate.
pub const S_AC: usize = 6;
/// Dissolved hydrogen.
pub const S_H2: usize = 7;
/// Dissolved methane.
pub const S_CH4: usize = 8;
/// Inorganic carbon.
pub const S_IC: usize = 9;
/// Inorganic nitrogen.
pub const S_IN: usize = 10;
/// Soluble inerts.
pub const S_I: usize = 11;
/// Strong cations.
pub const S_CAT: usize = 12;
/// Strong anions.
pub const S_AN: usize = 13;
/// Sulfate.
pub const S_SO4: usize = 14;
/// Sulfide, all forms.
pub const S_IS: usize = 15;
/// Ferrous iron in solution.
pub const S_FE: usize = 16;
/// Lactate.
pub const S_LA: usize = 17;
/// First state that is not dissolved in or carried by the liquid.
pub const G_H2: usize = 18;
/// Methane in the headspace.
pub const G_CH4: usize = 19;
/// Carbon dioxide in the headspace.
pub const G_CO2: usize = 20;
/// Hydrogen sulfide in the headspace.
pub const G_H2S: usize = 21;
/// Nitrogen in the headspace.
pub const G_N2: usize = 22;
/// Oxygen in the headspace.
pub const G_O2: usize = 23;
/// Sugar degraders.
pub const X_SU: usize = 24;
/// Amino-acid degraders.
pub const X_AA: usize = 25;
/// LCFA degraders.
pub const X_FA: usize = 26;
/// Valerate and butyrate degraders.
pub const X_C4: usize = 27;
/// Propionate degraders.
pub const X_PRO: usize = 28;
/// Acetoclastic methanogens, first guild (cold, mid, warm follow each other).
pub const X_AC: usize = 29;
/// Hydrogenotrophic methanogens, first guild.
pub const X_H2: usize = 32;
/// Sulfate reducers on hydrogen.
pub const X_SRB: usize = 35;
/// Particulate inerts.
pub const X_I: usize = 36;
/// Iron sulfide, kmol/m3.
pub const X_FES: usize = 37;
/// Elemental sulfur, kmol/m3.
pub const X_S0: usize = 38;
/// Gas that has left, first species (order of the headspace: H2, CH4, CO2, H2S, N2, O2).
pub const OUT: usize = 39;
/// Composite (dead biomass), the first pool.
pub const POOLS: usize = 45;
/// Composite.
pub const X_XC: usize = POOLS;
/// Carbohydrate.
pub const X_CH: usize = POOLS + 1;
/// Protein.
pub const X_PR: usize = POOLS + 2;
/// Lipid.
pub const X_LI: usize = POOLS + 3;
/// Pools of plain ADM1.
pub const PLAIN_POOLS: usize = 4;
/// Methanogen guilds.
pub const GUILDS: usize = 3;
/// Guild that plain ADM1 runs on (mid).
pub const MID: usize = 1;
/// Gas species in headspace order.
pub const GASES: usize = 6;

/// Symbol of the fixed states, in order.
pub const SYMBOLS: [&str; POOLS + PLAIN_POOLS] = [
    "S_su",
    "S_aa",
    "S_fa",
    "S_va",
    "S_bu",
    "S_pro",
    "S_ac",
    "S_h2",
    "S_ch4",
    "S_IC",
    "S_IN",
    "S_I",
    "S_cat",
    "S_an",
    "S_so4",
    "S_is",
    "S_fe",
    "S_la",
    "S_gas_h2",
    "S_gas_ch4",
    "S_gas_co2",
    "S_gas_h2s",
    "S_gas_n2",
    "S_gas_o2",
    "X_su",
    "X_aa",
    "X_fa",
    "X_c4",
    "X_pro",
    "X_ac_cold",
    "X_ac",
    "X_ac_warm",
    "X_h2_cold",
    "X_h2",
    "X_h2_warm",
    "X_srb",
    "X_I",
    "X_fes",
    "X_s0",
    "out_h2",
    "out_ch4",
    "out_co2",
    "out_h2s",
    "out_n2",
    "out_o2",
    "X_xc",
    "X_ch",
    "X_pr",
    "X_li",
];

/// Place of a symbol of [`SYMBOLS`].
pub fn place(symbol: &str) -> Option<usize> {
    SYMBOLS.iter().position(|&s| s == symbol)
}

/// How a state moves with the liquid.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Phase {
    /// Dissolved: leaves with the liquid.
    Dissolved,
    /// Solid: may stay longer than the liquid.
    Solid,
    /// In the headspace.
    Headspace,
    /// Bookkeeping of gas that has left.
    Left,
}

/// Phase of state `i`.
pub fn phase(i: usize) -> Phase {
    match i {
        0..=S_LA => Phase::Dissolved,
        G_H2..=G_O2 => Phase::Headspace,
        OUT..POOLS => Phase::Left,
        _ => Phase::Solid,
    }
}
