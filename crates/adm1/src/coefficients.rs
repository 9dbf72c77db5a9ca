//! What in the rates moves with temperature and world, one world or a lane each.

use super::acid_base::AcidConstants;
use super::state::*;
use super::stoichiometry::GROUPS;
use crate::solver::Pack;

/// Everything in the rates that moves with temperature or world.
#[derive(Debug, Clone)]
pub struct Coefficients<T> {
    /// Acid constants.
    pub acid: AcidConstants<T>,
    /// First-order rate of each pool, 1/d.
    pub pool: Vec<T>,
    /// Carbon of each feed pool beyond its stoichiometry, kmol C/kg COD.
    pub feed_carbon: Vec<T>,
    /// Uptake of su, aa, fa, va and bu, pro, 1/d.
    pub k_m: [T; 5],
    /// Uptake of acetate by each guild, 1/d.
    pub k_m_ac: [T; GUILDS],
    /// Uptake of hydrogen by each guild, 1/d.
    pub k_m_h2: [T; GUILDS],
    /// Uptake of hydrogen by sulfate reducers, 1/d.
    pub k_m_srb: T,
    /// Decay of each group, 1/d.
    pub decay: [T; GROUPS],
    /// Least time in which hydrolysers break down their own COD of feed, d.
    pub hydrolyser_time: T,
    /// Slowing of hydrolysis by protons, m3/kmol.
    pub hydrolysis_protons: T,
    /// Slowing of the feed's hydrolysis by the square of volatile acids, m6/kg2 COD.
    pub acids_on_hydrolysis: T,
    /// Slowing of fermenters and of methanogens by undissociated acetic acid, m3/kg COD.
    pub acetic: [T; 2],
    /// Slowing by free ammonia: linear, m3/kmol N, and square, m6/kmol2; of acetoclasts.
    pub nh3: [T; 2],
    /// The square term on hydrogen and propionate users, m6/kmol2.
    pub nh3_others: T,
    /// Protons at which acetoclasts run at half rate, to the power of their Hill exponent.
    pub acetoclasts_half_h: T,
    /// Uptake of hydrogen by homoacetogens, 1/d.
    pub k_m_hac: T,
    /// Turn of fermenting sugar to lactate by the square of protons, m6/kmol2.
    pub lactic: T,
    /// Uptake of lactate by sugar degraders, 1/d.
    pub k_m_la: T,
    /// Undissociated sulfide at half rate, kmol S/m3.
    pub k_i_h2s: T,
    /// Solubility of h2, ch4, co2, h2s in the state's unit per bar.
    pub solubility: [T; 4],
    /// Pressure of one unit of each headspace state, bar.
    pub pressure: [T; GASES],
    /// Water vapour, bar.
    pub p_h2o: T,
    /// Gas-liquid transfer, 1/d.
    pub k_l_a: T,
    /// Outlet, m3/(d bar) per m3 of liquid.
    pub outlet: T,
    /// Pressure at the outlet, bar.
    pub p_out: T,
    /// Headspace per liquid volume.
    pub gas_per_liquid: T,
}

impl<T: Pack> Coefficients<T> {
    /// Several worlds' coefficients, one a lane.
    pub fn gather(each: &[Coefficients<f64>]) -> Self {
        let g = |f: &dyn Fn(&Coefficients<f64>) -> f64| T::gather(|i| f(&each[i]));
        Coefficients {
            acid: AcidConstants {
                w: g(&|c| c.acid.w),
                va: g(&|c| c.acid.va),
                bu: g(&|c| c.acid.bu),
                pro: g(&|c| c.acid.pro),
                ac: g(&|c| c.acid.ac),
                la: g(&|c| c.acid.la),
                co2: g(&|c| c.acid.co2),
                nitrogen: g(&|c| c.acid.nitrogen),
                h2s: g(&|c| c.acid.h2s),
            },
            pool: (0..each[0].pool.len()).map(|k| g(&|c| c.pool[k])).collect(),
            feed_carbon: (0..each[0].feed_carbon.len())
                .map(|k| g(&|c| c.feed_carbon[k]))
                .collect(),
            k_m: std::array::from_fn(|k| g(&|c| c.k_m[k])),
            k_m_ac: std::array::from_fn(|k| g(&|c| c.k_m_ac[k])),
            k_m_h2: std::array::from_fn(|k| g(&|c| c.k_m_h2[k])),
            k_m_srb: g(&|c| c.k_m_srb),
            decay: std::array::from_fn(|k| g(&|c| c.decay[k])),
            hydrolyser_time: g(&|c| c.hydrolyser_time),
            hydrolysis_protons: g(&|c| c.hydrolysis_protons),
            acids_on_hydrolysis: g(&|c| c.acids_on_hydrolysis),
            acetic: std::array::from_fn(|k| g(&|c| c.acetic[k])),
            nh3: std::array::from_fn(|k| g(&|c| c.nh3[k])),
            nh3_others: g(&|c| c.nh3_others),
            acetoclasts_half_h: g(&|c| c.acetoclasts_half_h),
            k_m_hac: g(&|c| c.k_m_hac),
            lactic: g(&|c| c.lactic),
            k_m_la: g(&|c| c.k_m_la),
            k_i_h2s: g(&|c| c.k_i_h2s),
            solubility: std::array::from_fn(|k| g(&|c| c.solubility[k])),
            pressure: std::array::from_fn(|k| g(&|c| c.pressure[k])),
            p_h2o: g(&|c| c.p_h2o),
            k_l_a: g(&|c| c.k_l_a),
            outlet: g(&|c| c.outlet),
            p_out: g(&|c| c.p_out),
            gas_per_liquid: g(&|c| c.gas_per_liquid),
        }
    }
}
