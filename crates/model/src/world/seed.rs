//! What a seed (inoculum) brings into the vessel.
//!
//! The most uncertain input of a start. All figures here are judgement unless a
//! source is named: orders of magnitude from the biomass that the plain model
//! itself carries at rest (`adm1_steady_state.csv`: 0.16 kg COD of living groups
//! per kg volatile solids, a fifth of it acetoclastic), lowered for manure.

use super::inferred::Inferred;
use crate::band::Band;
use crate::plan::{Seed, SeedKind};
use fenlamp_adm1::biology::{ThermalBiology, arrhenius};
use fenlamp_adm1::constants::Constants;
use fenlamp_adm1::state::*;
use fenlamp_adm1::{Charge, Passengers};
use uom::si::ratio::ratio;
use uom::si::thermodynamic_temperature::degree_celsius;
use uom::si::volume::cubic_meter;

/// One kind of seed.
struct Recipe {
    total_solids: f64,
    volatile_of_ts: f64,
    /// Acetoclastic methanogens, kg COD per kg volatile solids.
    acetoclasts: Band,
    /// Hydrogenotrophs, syntrophs (both kinds together), acidogens per acetoclast.
    hydrogenotrophs: f64,
    syntrophs: f64,
    acidogens: f64,
    ph: f64,
    /// g N/L of ammonium.
    ammonium_g_n_l: f64,
    /// g/L of acids as acetic.
    acids_g_l: f64,
    /// CO2 it lay under, bar.
    co2_bar: f64,
}

fn recipe(kind: SeedKind) -> Recipe {
    let band = |low, mid, high| Band { low, mid, high };
    match kind {
        SeedKind::Digestate => Recipe {
            total_solids: 0.04,
            volatile_of_ts: 0.65,
            acetoclasts: band(0.008, 0.024, 0.070),
            hydrogenotrophs: 0.5,
            syntrophs: 0.8,
            acidogens: 1.9,
            ph: 7.6,
            ammonium_g_n_l: 1.5,
            acids_g_l: 0.3,
            co2_bar: 0.3,
        },
        SeedKind::OldSlurry => Recipe {
            total_solids: 0.05,
            volatile_of_ts: 0.70,
            // Stores at 10 to 15 degC are told to give some hundredths of a m3 of
            // methane per m3 and day (from memory): a few thousandths.
            acetoclasts: band(0.001, 0.003, 0.010),
            hydrogenotrophs: 0.5,
            syntrophs: 0.8,
            acidogens: 3.0,
            ph: 7.4,
            ammonium_g_n_l: 1.2,
            acids_g_l: 3.0,
            co2_bar: 0.1,
        },
        SeedKind::Rumen => Recipe {
            total_solids: 0.12,
            volatile_of_ts: 0.85,
            acetoclasts: band(2e-4, 8e-4, 3e-3),
            hydrogenotrophs: 3.0,
            syntrophs: 0.8,
            acidogens: 30.0,
            ph: 6.6,
            ammonium_g_n_l: 0.2,
            acids_g_l: 6.0,
            co2_bar: 0.5,
        },
        SeedKind::PondMud => Recipe {
            total_solids: 0.15,
            volatile_of_ts: 0.20,
            acetoclasts: band(5e-4, 2e-3, 8e-3),
            hydrogenotrophs: 0.5,
            syntrophs: 0.8,
            acidogens: 3.0,
            ph: 7.0,
            ammonium_g_n_l: 0.05,
            acids_g_l: 0.1,
            co2_bar: 0.05,
        },
        // Long and warm digestion leaves little that still ferments; it is thinner and
        // burnt out further than manure, with less ammonium (all from memory of works'
        // figures: 2 to 4 % solids, 50 to 65 % of them volatile, 0.7 to 1.3 g N/L).
        SeedKind::SewageSludge => Recipe {
            total_solids: 0.028,
            volatile_of_ts: 0.58,
            acetoclasts: band(0.008, 0.024, 0.070),
            hydrogenotrophs: 0.5,
            syntrophs: 0.8,
            acidogens: 1.9,
            ph: 7.4,
            ammonium_g_n_l: 1.0,
            acids_g_l: 0.15,
            co2_bar: 0.35,
        },
    }
}

/// Band of acetoclasts of a kind, kg COD per kg volatile solids.
pub fn acetoclasts(kind: SeedKind) -> Band {
    recipe(kind).acetoclasts
}

/// Fermenters per acetoclast of one seed on its kind's: as wide as makes the half-times
/// of seeded bottles differ between laboratories as they do (HAFNER22: by a factor of
/// four between the first and the last tenth).
pub(super) const FERMENTERS: Band = Band {
    low: 0.3,
    mid: 1.0,
    high: 3.0,
};

/// Temperature at which a kept seed waits, K (judgement: a closed can in a shed).
const WAITING_K: f64 = 288.15;
/// COD of volatile solids of a seed, kg/kg (biomass-like).
const COD_OF_VS: f64 = 1.42;

/// Shares of the guilds in a culture that has long lived at `grown_c`.
pub fn guild_shares(b: &ThermalBiology, grown_c: f64) -> [f64; GUILDS] {
    // No culture is pure: a floor of each guild survives (judgement).
    const FLOOR: [f64; GUILDS] = [0.02, 0.05, 0.005];
    let raw: [f64; GUILDS] = std::array::from_fn(|g| {
        FLOOR[g] + (b.guild_speed[g] * b.guild[g].relative(grown_c)).powi(2)
    });
    let sum: f64 = raw.iter().sum();
    raw.map(|v| v / sum)
}

/// The whole seed as a charge; `acetoclasts` in kg COD per kg volatile solids,
/// `fermenters` a factor on those that its kind has per acetoclast.
pub fn charge_of(
    seed: &Seed,
    acetoclasts: f64,
    fermenters: f64,
    inferred: &Inferred,
    c: &Constants,
    states: usize,
) -> Charge {
    let r = recipe(seed.kind);
    let b = &inferred.thermal();
    let acidogens = r.acidogens * inferred.seed_fermenters * fermenters;
    let volume = seed.volume.get::<cubic_meter>();
    let vs = match seed.volatile_solids {
        Some(share) => share.get::<ratio>() * 1000.0,
        None => r.total_solids * r.volatile_of_ts * 1000.0,
    };
    let alive = (-c.k_dec * arrhenius(b.decay_j_mol, WAITING_K) * seed.age_days).exp();
    // Inferred on bottles seeded by working digesters, sewage works' among them; the
    // others keep their table's strength.
    let strength = match seed.kind {
        SeedKind::Digestate | SeedKind::SewageSludge => inferred.seed_strength,
        _ => 1.0,
    };
    let ac = acetoclasts * strength * vs * alive;
    let shares = guild_shares(b, seed.grown_at.get::<degree_celsius>());
    let mut out = Charge::nothing(states);
    out.volume_m3 = volume;
    let mut per_m3 = vec![0.0; states];
    for g in 0..GUILDS {
        per_m3[X_AC + g] = ac * shares[g];
        per_m3[X_H2 + g] = ac * r.hydrogenotrophs * shares[g];
    }
    per_m3[X_C4] = 0.6 * r.syntrophs * ac;
    per_m3[X_PRO] = 0.4 * r.syntrophs * ac;
    per_m3[X_SU] = 0.45 * acidogens * ac;
    per_m3[X_AA] = 0.45 * acidogens * ac;
    per_m3[X_FA] = 0.10 * acidogens * ac;
    per_m3[X_SRB] = 0.05 * ac;
    // Dead cells of the waiting days and a little half-digested matter.
    let living: f64 = per_m3[X_SU..=X_SRB].iter().sum();
    per_m3[X_XC] = living * (1.0 / alive - 1.0) + 0.05 * vs * COD_OF_VS;
    per_m3[S_AC] = r.acids_g_l * 64.0 / 60.05;
    per_m3[S_IN] = r.ammonium_g_n_l / 14.0;
    let h = 10f64.powf(-r.ph);
    let k = |pk: f64| 10f64.powf(-pk);
    let co2 = c.k_h_co2 * r.co2_bar;
    let bicarbonate = co2 * k(c.pk_a_co2) / h;
    let acetate = r.acids_g_l / 60.05 * k(c.pk_a_ac) / (k(c.pk_a_ac) + h);
    let ammonium = per_m3[S_IN] * h / (k(c.pk_a_in) + h);
    let net = bicarbonate + acetate - ammonium;
    per_m3[S_IC] = co2 + bicarbonate;
    per_m3[S_CAT] = net.max(0.0);
    per_m3[S_AN] = (-net).max(0.0);
    for (amount, v) in out.amounts.iter_mut().zip(&per_m3) {
        *amount = v * volume;
    }
    let inert_vs = (vs - (living + per_m3[X_XC]) / COD_OF_VS).max(0.0) * volume;
    out.passengers = Passengers {
        inert_vs,
        inert_cod: inert_vs * COD_OF_VS,
        inert_carbon: inert_vs * 0.5,
        inert_nitrogen: inert_vs * 0.03,
        inert_sulfur: inert_vs * 0.004,
        ash: vs * (1.0 / r.volatile_of_ts - 1.0) * volume,
        phosphorus: 0.0,
        potassium: 0.0,
    };
    out
}
