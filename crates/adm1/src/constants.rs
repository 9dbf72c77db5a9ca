//! Constants of the engine.
//!
//! The ADM1 part is read from `reference/adm1_constants.csv`; the additions
//! carry their source beside them.

use crate::published;

/// Gas constant, bar m3/(kmol K).
pub const R: f64 = 0.083145;
/// Gas constant, J/(mol K), as the Lund report rounds it (100 R).
pub const R_J: f64 = 8.3145;
/// Temperature at which the acid and solubility constants are given, K.
pub const T_BASE: f64 = 298.15;
/// Temperature at which the rates are given, K.
pub const T_RATES: f64 = 308.15;
/// COD of sulfide, kg/kmol S.
pub const COD_SULFIDE: f64 = 64.0;
/// COD of elemental sulfur, kg/kmol S.
pub const COD_S0: f64 = 48.0;
/// COD of oxygen, kg/kmol O2.
pub const COD_O2: f64 = -32.0;

/// Every constant of the model.
#[derive(Debug, Clone, PartialEq)]
pub struct Constants {
    /// Soluble inerts from composite, dimensionless.
    pub f_si_xc: f64,
    /// Particulate inerts from composite, dimensionless.
    pub f_xi_xc: f64,
    /// Carbohydrate from composite, dimensionless.
    pub f_ch_xc: f64,
    /// Protein from composite, dimensionless.
    pub f_pr_xc: f64,
    /// Lipid from composite, dimensionless.
    pub f_li_xc: f64,
    /// LCFA from lipid, dimensionless.
    pub f_fa_li: f64,
    /// H2 from sugar, dimensionless.
    pub f_h2_su: f64,
    /// Butyrate from sugar, dimensionless.
    pub f_bu_su: f64,
    /// Propionate from sugar, dimensionless.
    pub f_pro_su: f64,
    /// Acetate from sugar, dimensionless.
    pub f_ac_su: f64,
    /// H2 from amino acids, dimensionless.
    pub f_h2_aa: f64,
    /// Valerate from amino acids, dimensionless.
    pub f_va_aa: f64,
    /// Butyrate from amino acids, dimensionless.
    pub f_bu_aa: f64,
    /// Propionate from amino acids, dimensionless.
    pub f_pro_aa: f64,
    /// Acetate from amino acids, dimensionless.
    pub f_ac_aa: f64,
    /// Acetate from LCFA (H2: 0.3), dimensionless.
    pub f_ac_fa: f64,
    /// Propionate from valerate (acetate 0.31; H2 0.15), dimensionless.
    pub f_pro_va: f64,
    /// Acetate from butyrate (H2 0.2), dimensionless.
    pub f_ac_bu: f64,
    /// Acetate from propionate (H2 0.43), dimensionless.
    pub f_ac_pro: f64,
    /// Yield of sugar degraders, kg COD/kg COD.
    pub y_su: f64,
    /// Yield of amino-acid degraders, kg COD/kg COD.
    pub y_aa: f64,
    /// Yield of LCFA degraders, kg COD/kg COD.
    pub y_fa: f64,
    /// Yield of valerate and butyrate degraders, kg COD/kg COD.
    pub y_c4: f64,
    /// Yield of propionate degraders, kg COD/kg COD.
    pub y_pro: f64,
    /// Yield of acetoclastic methanogens, kg COD/kg COD.
    pub y_ac: f64,
    /// Yield of hydrogenotrophic methanogens, kg COD/kg COD.
    pub y_h2: f64,
    /// Carbon content of composite, kmol C/kg COD.
    pub c_xc: f64,
    /// Carbon content of soluble inerts, kmol C/kg COD.
    pub c_si: f64,
    /// Carbon content of particulate inerts, kmol C/kg COD.
    pub c_xi: f64,
    /// Carbon content of carbohydrate, kmol C/kg COD.
    pub c_ch: f64,
    /// Carbon content of protein, kmol C/kg COD.
    pub c_pr: f64,
    /// Carbon content of lipid, kmol C/kg COD.
    pub c_li: f64,
    /// Carbon content of sugar, kmol C/kg COD.
    pub c_su: f64,
    /// Carbon content of amino acids, kmol C/kg COD.
    pub c_aa: f64,
    /// Carbon content of LCFA, kmol C/kg COD.
    pub c_fa: f64,
    /// Carbon content of valerate, kmol C/kg COD.
    pub c_va: f64,
    /// Carbon content of butyrate, kmol C/kg COD.
    pub c_bu: f64,
    /// Carbon content of propionate, kmol C/kg COD.
    pub c_pro: f64,
    /// Carbon content of acetate, kmol C/kg COD.
    pub c_ac: f64,
    /// Carbon content of methane, kmol C/kg COD.
    pub c_ch4: f64,
    /// Carbon content of biomass, kmol C/kg COD.
    pub c_bac: f64,
    /// Nitrogen content of composite (0.0376/14), kmol N/kg COD.
    pub n_xc: f64,
    /// Nitrogen content of inerts (0.06/14), kmol N/kg COD.
    pub n_i: f64,
    /// Nitrogen content of amino acids and protein, kmol N/kg COD.
    pub n_aa: f64,
    /// Nitrogen content of biomass (0.08/14), kmol N/kg COD.
    pub n_bac: f64,
    /// Disintegration, 1/d.
    pub k_dis: f64,
    /// Hydrolysis of carbohydrate, 1/d.
    pub k_hyd_ch: f64,
    /// Hydrolysis of protein, 1/d.
    pub k_hyd_pr: f64,
    /// Hydrolysis of lipid, 1/d.
    pub k_hyd_li: f64,
    /// Half-saturation for inorganic nitrogen, kmol N/m3.
    pub k_s_in: f64,
    /// Maximum uptake of sugar, 1/d.
    pub k_m_su: f64,
    /// Half-saturation, kg COD/m3.
    pub k_s_su: f64,
    /// Maximum uptake of amino acids, 1/d.
    pub k_m_aa: f64,
    /// Half-saturation, kg COD/m3.
    pub k_s_aa: f64,
    /// Maximum uptake of LCFA, 1/d.
    pub k_m_fa: f64,
    /// Half-saturation, kg COD/m3.
    pub k_s_fa: f64,
    /// H2 inhibition of LCFA uptake, kg COD/m3.
    pub k_i_h2_fa: f64,
    /// Maximum uptake of valerate and butyrate, 1/d.
    pub k_m_c4: f64,
    /// Half-saturation, kg COD/m3.
    pub k_s_c4: f64,
    /// H2 inhibition of C4 uptake, kg COD/m3.
    pub k_i_h2_c4: f64,
    /// Maximum uptake of propionate, 1/d.
    pub k_m_pro: f64,
    /// Half-saturation, kg COD/m3.
    pub k_s_pro: f64,
    /// H2 inhibition of propionate uptake, kg COD/m3.
    pub k_i_h2_pro: f64,
    /// Maximum uptake of acetate, 1/d.
    pub k_m_ac: f64,
    /// Half-saturation, kg COD/m3.
    pub k_s_ac: f64,
    /// Free-ammonia inhibition of acetate uptake, kmol N/m3.
    pub k_i_nh3: f64,
    /// Maximum uptake of H2, 1/d.
    pub k_m_h2: f64,
    /// Half-saturation, kg COD/m3.
    pub k_s_h2: f64,
    /// Upper pH of inhibition; acidogens and acetogens, dimensionless.
    pub ph_ul_aa: f64,
    /// Lower pH of inhibition; acidogens and acetogens, dimensionless.
    pub ph_ll_aa: f64,
    /// Upper pH; acetoclastic methanogens, dimensionless.
    pub ph_ul_ac: f64,
    /// Lower pH; acetoclastic methanogens, dimensionless.
    pub ph_ll_ac: f64,
    /// Upper pH; hydrogenotrophic methanogens, dimensionless.
    pub ph_ul_h2: f64,
    /// Lower pH; hydrogenotrophic methanogens, dimensionless.
    pub ph_ll_h2: f64,
    /// Decay of each biomass group (returns to composite), 1/d.
    pub k_dec: f64,
    /// At T_base; enthalpy 55900 J/mol, dimensionless.
    pub pk_w: f64,
    /// Not temperature-corrected, dimensionless.
    pub pk_a_va: f64,
    /// Not temperature-corrected, dimensionless.
    pub pk_a_bu: f64,
    /// Not temperature-corrected, dimensionless.
    pub pk_a_pro: f64,
    /// Not temperature-corrected, dimensionless.
    pub pk_a_ac: f64,
    /// At T_base; enthalpy 7646 J/mol, dimensionless.
    pub pk_a_co2: f64,
    /// At T_base; enthalpy 51965 J/mol, dimensionless.
    pub pk_a_in: f64,
    /// At T_base; enthalpy -19410 J/mol, kmol/(m3 bar).
    pub k_h_co2: f64,
    /// At T_base; enthalpy -14240 J/mol, kmol/(m3 bar).
    pub k_h_ch4: f64,
    /// At T_base; enthalpy -4180 J/mol, kmol/(m3 bar).
    pub k_h_h2: f64,
    /// At T_base; times exp(5290 (1/T_base - 1/T)), bar.
    pub p_h2o: f64,
    /// Ambient pressure, bar.
    pub p_atm: f64,
    /// Gas-liquid transfer, 1/d.
    pub k_l_a: f64,
    /// Gas outlet; q = k_P (P_gas - P_atm) in the gas balance and reported times P_gas/P_atm, m3/(d bar).
    pub k_p: f64,
    /// Maximum uptake of H2 by sulfate reducers, 1/d. Memory of the published sulfate extensions of ADM1 (Fedorovich and others 2003), rounded; judgement.
    pub k_m_srb: f64,
    /// Yield of sulfate reducers, kg COD/kg COD. Memory, as above.
    pub y_srb: f64,
    /// Half-saturation of H2 for sulfate reducers, kg COD/m3. Memory: below that of methanogens.
    pub k_s_h2_srb: f64,
    /// Half-saturation of sulfate, kmol/m3. Memory, as above.
    pub k_s_so4: f64,
    /// Yield of homoacetogens, kg COD/kg COD. Judgement: they gain less from hydrogen than methanogens (`Y_h2` 0.06).
    pub y_hac: f64,
    /// Half-saturation of H2 for homoacetogens, kg COD/m3. Judgement: some 20 Pa is the least they live on (Conrad 2023, opening read), ten times what methanogens leave.
    pub k_s_h2_hac: f64,
    /// Carbon content of lactate (3 C on 96 kg COD), kmol C/kg COD.
    pub c_la: f64,
    /// Acid constant of lactic acid at 298.15 K (memory of handbooks; it hardly moves with temperature).
    pub pk_a_la: f64,
    /// Maximum uptake of lactate on the sugar degraders, 1/d. Judgement: some of them live on it.
    pub k_m_la: f64,
    /// Half-saturation, kg COD/m3. Judgement: that of sugar.
    pub k_s_la: f64,
    /// Propionate from lactate (3 lactate to 2 propionate, acetate, carbon dioxide: 2 x 112 of 288 kg COD).
    pub f_pro_la: f64,
    /// pH at which lactic fermentation runs at half rate. Judgement: waste of fruit and vegetables made 10 to 20 g/L at a steady pH of 4.0 (WU15, abstract read); silage rests at 3.8 to 4.2 (common practice).
    pub ph_half_la: f64,
    /// Undissociated H2S at which methanogens and acetogens run at half rate, kmol S/m3. CHEN08 row of `digestion_limits.csv`: 50-400 mg/L; 160 mg S/L.
    pub k_i_h2s: f64,
    /// First acid constant of H2S at 298.15 K; `pka1_h2s_25c` of `gas_constants.csv`.
    pub pk_h2s: f64,
    /// Enthalpy of the first dissociation of H2S, J/mol; from the two rows `pka1_h2s_25c` and `pka1_h2s_35c`, derived.
    pub dh_h2s: f64,
    /// Solubility of H2S at 298.15 K, kmol/(m3 bar); `kh_h2s_25c` 0.0890 mol/(kg atm) / 1.01325.
    pub k_h_h2s: f64,
    /// Enthalpy of solution of H2S, J/mol; SANDER row 2100 K x R.
    pub dh_sol_h2s: f64,
    /// Precipitation of iron sulfide, m3/(kmol d); fast beside the rest, judgement.
    pub k_fe: f64,
    /// Uptake of headspace oxygen by surface life, 1/d; judgement, on the safe side: some grams a day and m2 of surface, so that a hand's breadth of headspace holds oxygen for a week or more unless gas pushes it out.
    pub k_o2: f64,
    /// Half-saturation of acetate for that uptake, kg COD/m3; judgement.
    pub k_s_ac_o2: f64,
    /// Oxidation of headspace sulfide, 1/d on the oxygen, times saturation; judgement, set near the microaeration rows (91.5 % in 2 h, 99.8 % in 4 h).
    pub k_sox: f64,
    /// Half-saturation of headspace H2S for that oxidation, kmol/m3; judgement.
    pub k_s_sox: f64,
}

impl Constants {
    /// Constants of plain ADM1 from a lookup by symbol, with the additions.
    ///
    /// # Errors
    /// The first symbol that `get` does not know.
    pub fn from_lookup(get: impl Fn(&str) -> Option<f64>) -> Result<Self, String> {
        let missing = std::cell::RefCell::new(None);
        let g = |symbol: &str| {
            get(symbol).unwrap_or_else(|| {
                missing
                    .borrow_mut()
                    .get_or_insert_with(|| symbol.to_string());
                f64::NAN
            })
        };
        let constants = Constants {
            f_si_xc: g("f_sI_xc"),
            f_xi_xc: g("f_xI_xc"),
            f_ch_xc: g("f_ch_xc"),
            f_pr_xc: g("f_pr_xc"),
            f_li_xc: g("f_li_xc"),
            f_fa_li: g("f_fa_li"),
            f_h2_su: g("f_h2_su"),
            f_bu_su: g("f_bu_su"),
            f_pro_su: g("f_pro_su"),
            f_ac_su: g("f_ac_su"),
            f_h2_aa: g("f_h2_aa"),
            f_va_aa: g("f_va_aa"),
            f_bu_aa: g("f_bu_aa"),
            f_pro_aa: g("f_pro_aa"),
            f_ac_aa: g("f_ac_aa"),
            f_ac_fa: g("f_ac_fa"),
            f_pro_va: g("f_pro_va"),
            f_ac_bu: g("f_ac_bu"),
            f_ac_pro: g("f_ac_pro"),
            y_su: g("Y_su"),
            y_aa: g("Y_aa"),
            y_fa: g("Y_fa"),
            y_c4: g("Y_c4"),
            y_pro: g("Y_pro"),
            y_ac: g("Y_ac"),
            y_h2: g("Y_h2"),
            c_xc: g("C_xc"),
            c_si: g("C_sI"),
            c_xi: g("C_xI"),
            c_ch: g("C_ch"),
            c_pr: g("C_pr"),
            c_li: g("C_li"),
            c_su: g("C_su"),
            c_aa: g("C_aa"),
            c_fa: g("C_fa"),
            c_va: g("C_va"),
            c_bu: g("C_bu"),
            c_pro: g("C_pro"),
            c_ac: g("C_ac"),
            c_ch4: g("C_ch4"),
            c_bac: g("C_bac"),
            n_xc: g("N_xc"),
            n_i: g("N_I"),
            n_aa: g("N_aa"),
            n_bac: g("N_bac"),
            k_dis: g("k_dis"),
            k_hyd_ch: g("k_hyd_ch"),
            k_hyd_pr: g("k_hyd_pr"),
            k_hyd_li: g("k_hyd_li"),
            k_s_in: g("K_S_IN"),
            k_m_su: g("k_m_su"),
            k_s_su: g("K_S_su"),
            k_m_aa: g("k_m_aa"),
            k_s_aa: g("K_S_aa"),
            k_m_fa: g("k_m_fa"),
            k_s_fa: g("K_S_fa"),
            k_i_h2_fa: g("K_I_h2_fa"),
            k_m_c4: g("k_m_c4"),
            k_s_c4: g("K_S_c4"),
            k_i_h2_c4: g("K_I_h2_c4"),
            k_m_pro: g("k_m_pro"),
            k_s_pro: g("K_S_pro"),
            k_i_h2_pro: g("K_I_h2_pro"),
            k_m_ac: g("k_m_ac"),
            k_s_ac: g("K_S_ac"),
            k_i_nh3: g("K_I_nh3"),
            k_m_h2: g("k_m_h2"),
            k_s_h2: g("K_S_h2"),
            ph_ul_aa: g("pH_UL_aa"),
            ph_ll_aa: g("pH_LL_aa"),
            ph_ul_ac: g("pH_UL_ac"),
            ph_ll_ac: g("pH_LL_ac"),
            ph_ul_h2: g("pH_UL_h2"),
            ph_ll_h2: g("pH_LL_h2"),
            k_dec: g("k_dec"),
            pk_w: g("pK_w"),
            pk_a_va: g("pK_a_va"),
            pk_a_bu: g("pK_a_bu"),
            pk_a_pro: g("pK_a_pro"),
            pk_a_ac: g("pK_a_ac"),
            pk_a_co2: g("pK_a_co2"),
            pk_a_in: g("pK_a_IN"),
            k_h_co2: g("K_H_co2"),
            k_h_ch4: g("K_H_ch4"),
            k_h_h2: g("K_H_h2"),
            p_h2o: g("p_h2o"),
            p_atm: g("P_atm"),
            k_l_a: g("k_L_a"),
            k_p: g("k_P"),
            k_m_srb: 41.0,
            y_srb: 0.05,
            k_s_h2_srb: 4.0e-6,
            k_s_so4: 2.0e-4,
            y_hac: 0.03,
            k_s_h2_hac: 2.0e-5,
            c_la: 3.0 / 96.0,
            pk_a_la: 3.86,
            k_m_la: 5.0,
            k_s_la: 0.5,
            f_pro_la: 224.0 / 288.0,
            ph_half_la: 4.0,
            k_i_h2s: 0.005,
            pk_h2s: 6.942,
            dh_h2s: 20930.0,
            k_h_h2s: 0.08784,
            dh_sol_h2s: -17460.0,
            k_fe: 2.0e4,
            k_o2: 0.15,
            k_s_ac_o2: 0.05,
            k_sox: 5.0,
            k_s_sox: 2.0e-6,
        };
        match missing.into_inner() {
            None => Ok(constants),
            Some(symbol) => Err(symbol),
        }
    }

    /// Constants from the embedded table.
    pub fn reference() -> Self {
        Self::from_lookup(published::constant).expect("every symbol stands in the embedded table")
    }
}
