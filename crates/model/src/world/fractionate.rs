//! A feedstock as the engine's states: the bridge between composition and ADM1.
//!
//! The degradable share of a feedstock is set so that an endless batch of it
//! gives its methane potential, biomass losses included; the rest rides along
//! as undegraded solids. The degradable part goes to sugar, amino acids and
//! LCFA in the proportion of its composition, at the feedstock's own rate.

use super::inferred::Inferred;
use crate::band::Band;
use crate::feed::{Feedstock, Formula, Group};
use crate::reference;
use fenlamp_adm1::acid_base::COD_AC;
use fenlamp_adm1::constants::{COD_SULFIDE, Constants};
use fenlamp_adm1::state::*;
use fenlamp_adm1::stoichiometry::Content;
use fenlamp_adm1::yields::EndlessYields;
use fenlamp_adm1::{Charge, Passengers, Pool};

/// kg COD of one m3 of methane (0 degC, 101.325 kPa).
pub const COD_PER_M3_CH4: f64 = 64.0 / 22.414;
/// COD of acetic acid, kg/kg.
const ACETIC_COD: f64 = 64.0 / 60.05;
/// Carbon dioxide over fresh dung, bar: between air and digester gas (judgement).
const CO2_OVER_DUNG_BAR: f64 = 0.05;
/// Carbon dioxide of the air, bar (`x_co2_air` of `gas_constants.csv`, 420 ppm).
const CO2_OF_AIR_BAR: f64 = 4.2e-4;
/// Share of a feed's iron that sulfide can reach (judgement; the rest sits in
/// soil minerals).
const REACTIVE_IRON: f64 = 0.7;
/// Most of a feed's carbon that may stand as bicarbonate (judgement: keeps urine,
/// which hardly has any organic carbon, from a pool without carbon).
const MOST_CARBON_AS_BICARBONATE: f64 = 0.15;
/// Share of a feed's sulfur, at its middle, that is freed as the feed dissolves; the
/// rest of a world's sulfur is sulfide within a day (judgement: sulfate and the first
/// protein), and carries what is uncertain of it.
const SULFUR_OF_POOL: f64 = 0.5;
/// Density of what is fed, kg/m3: thin slurry is within 3 % of water.
pub const FEED_DENSITY: f64 = 1000.0;

/// Degradable part of a feedstock by composition, per kg total solids.
#[derive(Debug, Clone, PartialEq)]
pub struct Fractions {
    /// COD that could degrade: carbohydrate, protein and fat less the acids, kg.
    pub open_cod: f64,
    /// Of it: shares to sugar-like, protein, fat; they sum to one less sulfide.
    pub shares: [f64; 3],
    /// kmol C per kg open COD, without what stands as bicarbonate when it is fed.
    pub carbon: f64,
    /// kmol C per kg degraded COD that stands as bicarbonate when it is fed.
    pub carbon_as_bicarbonate: f64,
    /// kmol N per kg open COD (ammonium not counted).
    pub nitrogen: f64,
    /// kmol S per kg open COD.
    pub sulfur: f64,
    /// COD of organic acids, kg.
    pub acid_cod: f64,
    /// COD of lignin, kg.
    pub lignin_cod: f64,
    /// Endless methane per kg open COD, kg COD.
    pub endless: f64,
    /// Endless methane per kg acid COD, kg COD.
    pub endless_acid: f64,
}

impl Fractions {
    /// Of `f`, with the model's yields.
    pub fn new(f: &Feedstock, c: &Constants) -> Self {
        let y = EndlessYields::new(c);
        let acid_cod = f.acids_of_ts * ACETIC_COD;
        // The acids are part of the carbohydrate column of a feed table.
        let whole = f.cod_kg_per_kg_ts();
        let carb = (whole.carbohydrate - acid_cod).max(0.0);
        let (protein, fat) = (whole.protein, whole.fat);
        let open_cod = (carb + protein + fat).max(1e-9);
        let nitrogen = f.nitrogen_of_ts * (1.0 - f.ammonium_share) / 14.0 / open_cod;
        let sulfur = f.sulfur_of_ts / 32.06 / open_cod;
        // Amino acids of the model hold n_aa; no more than the nitrogen allows.
        let protein_share = (protein / open_cod).min(nitrogen / c.n_aa);
        let fat_share = fat / open_cod;
        let sulfide_share = sulfur * COD_SULFIDE;
        let sugar_share = 1.0 - protein_share - fat_share - sulfide_share;
        // A pure fat has no room for sulfide: take it from the largest share.
        let (sugar_share, fat_share) = if sugar_share < 0.0 {
            (0.0, fat_share + sugar_share)
        } else {
            (sugar_share, fat_share)
        };
        // Cellulose and acetic acid hold nearly the same carbon per COD.
        let organic = (f.carbohydrate_of_ts * Formula::CARBOHYDRATE.carbon_share() * carb
            / whole.carbohydrate.max(1e-12)
            + f.protein_of_ts * Formula::PROTEIN.carbon_share()
            + f.fat_of_ts * Formula::FAT.carbon_share())
            / 12.011
            / open_cod;
        let endless =
            sugar_share * y.carbohydrate + protein_share * y.protein + fat_share * y.lipid;
        let endless_acid = (1.0 - c.y_ac) + c.y_ac * y.composite;
        let mut fractions = Fractions {
            open_cod,
            shares: [sugar_share, protein_share, fat_share],
            carbon: organic,
            carbon_as_bicarbonate: 0.0,
            nitrogen,
            sulfur,
            acid_cod,
            lignin_cod: whole.lignin,
            endless,
            endless_acid,
        };
        // Bicarbonate is made of the feed's carbon too: what stands as such when it
        // is fed is not in the pool. Urea brings half a carbon a nitrogen by itself.
        let bicarbonate =
            f.mineral_alkalinity_eq_kg / 1000.0 + 0.5 * f.nitrogen_of_ts * f.ammonium_share / 14.0;
        let degradable = fractions.degradable(f.bmp.mid, f.volatile_of_ts).min(1.0) * open_cod;
        fractions.carbon_as_bicarbonate =
            (bicarbonate / degradable.max(1e-9)).min(MOST_CARBON_AS_BICARBONATE * organic);
        fractions.carbon -= fractions.carbon_as_bicarbonate;
        fractions
    }

    /// Share of the open COD that must degrade for a methane potential of
    /// `bmp` m3/kg volatile solids. Above one the potential is out of reach.
    pub fn degradable(&self, bmp: f64, volatile_of_ts: f64) -> f64 {
        let wanted = bmp * volatile_of_ts * COD_PER_M3_CH4 - self.acid_cod * self.endless_acid;
        (wanted / (self.open_cod * self.endless)).max(0.0)
    }

    /// Carbon beyond the table's where `factor` times as much is in the degradable
    /// matter, kmol C/kg COD. Never so little that dissolving it takes S_IC, which a
    /// vessel of fresh water does not have.
    pub fn more_carbon(&self, factor: f64, c: &Constants) -> f64 {
        let whole = self.carbon + self.carbon_as_bicarbonate;
        let products: f64 = self
            .pool(1.0, c)
            .products
            .iter()
            .map(|&(i, part)| {
                part * match i {
                    S_SU => c.c_su,
                    S_AA => c.c_aa,
                    _ => c.c_fa,
                }
            })
            .sum();
        let freed = (self.carbon - products).max(0.0);
        ((factor - 1.0) * whole).max(-freed)
    }

    /// The engine's pool for the feedstock.
    pub fn pool(&self, rate: f64, c: &Constants) -> Pool {
        let [sugar, protein, fat] = self.shares;
        Pool {
            rate,
            carbon: self.carbon,
            nitrogen: self.nitrogen,
            sulfur: SULFUR_OF_POOL * self.sulfur,
            products: vec![
                (
                    S_SU,
                    sugar
                        + fat * (1.0 - c.f_fa_li)
                        + (1.0 - SULFUR_OF_POOL) * self.sulfur * COD_SULFIDE,
                ),
                (S_AA, protein),
                (S_FA, fat * c.f_fa_li),
            ],
        }
    }
}

/// Carbon of a feed's bicarbonate that comes from outside its degradable matter: nobody
/// tells; between all and none, which moves the methane share by some points (judgement:
/// published shares of cattle, pig and kitchen plants lie on both sides of either).
pub(super) const CARBONATE: Band = Band {
    low: 0.1,
    mid: 0.5,
    high: 0.9,
};

/// How one world's batch of a feedstock differs from the table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FeedDraw {
    /// Total solids per fresh mass.
    pub total_solids: f64,
    /// Methane potential, m3/kg volatile solids.
    pub bmp: f64,
    /// Share of the degradable matter that dissolves at once.
    pub soluble: f64,
    /// Acetoclastic methanogens carried, kg COD/kg total solids.
    pub own_methanogens: f64,
    /// Factor on the mineral alkalinity carried, and down on the fresh protons: cations
    /// that come with acids are known by the fresh pH.
    pub buffer: f64,
    /// Share of the bicarbonate whose carbon is not the feed's own: air, water and
    /// minerals bring it.
    pub carbonate: f64,
    /// Factor on the carbon per COD of the degradable matter: its make-up of fat,
    /// protein, sugars and what is oxidised further.
    pub carbon: f64,
    /// Factor on the sulfur that turns to sulfide.
    pub sulfur: f64,
    /// Factor on the iron that sulfide can reach.
    pub iron: f64,
}

impl FeedDraw {
    /// The table's central values.
    pub fn central(f: &Feedstock) -> Self {
        FeedDraw {
            total_solids: f.total_solids.mid,
            bmp: f.bmp.mid,
            soluble: f.soluble_share,
            own_methanogens: f.own_methanogens.mid,
            buffer: 1.0,
            carbonate: CARBONATE.mid,
            carbon: reference::spread("carbon_per_cod").mid,
            sulfur: 1.0,
            iron: 1.0,
        }
    }
}

/// One kilogram of fresh feedstock as a [`Charge`]; `pool` is its pool's state, and the
/// world's `feed_carbon` of that pool is [`Fractions::more_carbon`].
pub fn charge_of(
    f: &Feedstock,
    fractions: &Fractions,
    draw: &FeedDraw,
    inferred: &Inferred,
    pool: usize,
    content: &Content,
    c: &Constants,
) -> Charge {
    let states = content.cod.len();
    let mut out = Charge::nothing(states);
    let ts = draw.total_solids;
    out.volume_m3 = 1.0 / FEED_DENSITY;
    let share = fractions.degradable(draw.bmp, f.volatile_of_ts).min(1.0);
    let open = ts * fractions.open_cod;
    let degradable = share * open;
    let at_once = degradable * draw.soluble;
    out.amounts[pool] = degradable - at_once;
    // What dissolves at once takes the pool's own road, already travelled.
    let road = fractions.pool(1.0, c);
    let more = fractions.more_carbon(draw.carbon, c);
    let (mut carbon, mut nitrogen) = (road.carbon + more, road.nitrogen);
    for &(i, part) in &road.products {
        out.amounts[i] += at_once * part;
        carbon -= part * content.carbon[i];
        nitrogen -= part * content.nitrogen[i];
    }
    out.amounts[S_IC] += draw.carbonate * fractions.carbon_as_bicarbonate * degradable;
    let soon = (draw.sulfur - SULFUR_OF_POOL).max(0.0) * fractions.sulfur;
    out.amounts[S_IS] += at_once * road.sulfur + degradable * soon;
    out.amounts[S_IC] += at_once * carbon;
    out.amounts[S_IN] += at_once * nitrogen;

    let ammonium = ts * f.nitrogen_of_ts * f.ammonium_share / 14.0;
    out.amounts[S_IN] += ammonium;
    let acids = ts * fractions.acid_cod;
    out.amounts[S_AC] += acids;
    let fresh = FreshIons {
        ammonium,
        acetate: acids / COD_AC,
        total_solids: ts,
        water_m3: (1.0 - ts) / FEED_DENSITY,
    };
    carry_buffer(&mut out, f, draw, &fresh, c);
    carry_microbes(&mut out, ts, draw.own_methanogens, inferred);

    let inert_open = open - degradable;
    let lignin = ts * fractions.lignin_cod;
    // Volatile solids that the composition does not name count as undegraded.
    let degraded_vs = degradable / fractions.open_cod
        * (f.carbohydrate_of_ts + f.protein_of_ts + f.fat_of_ts - f.acids_of_ts).max(0.0)
        + ts * f.acids_of_ts;
    out.passengers = Passengers {
        inert_vs: (ts * f.volatile_of_ts - degraded_vs).max(0.0),
        inert_cod: inert_open + lignin,
        inert_carbon: inert_open * (fractions.carbon + more) * 12.011
            + ts * f.lignin_of_ts * Formula::LIGNIN.carbon_share(),
        inert_nitrogen: inert_open * fractions.nitrogen * 14.0,
        inert_sulfur: inert_open * fractions.sulfur * 32.06,
        ash: ts * (1.0 - f.volatile_of_ts),
        phosphorus: ts * f.phosphorus_of_ts.unwrap_or(0.0),
        potassium: ts * f.potassium_of_ts.unwrap_or(0.0),
    };
    out
}

/// Cations and bicarbonate so that the fresh material's water stands at its pH,
/// and the mineral alkalinity that acid sets loose later.
///
/// Dung lies under its own carbon dioxide; where ammonium outweighs the acids
/// it is held by bicarbonate, elsewhere by cations (potassium salts of plant
/// acids), as the charge balance asks. Mineral alkalinity is counted as
/// bicarbonate from the start: as solid carbonate it would wait until an acid
/// comes, and only then act.
fn carry_buffer(
    out: &mut Charge,
    f: &Feedstock,
    draw: &FeedDraw,
    fresh: &FreshIons,
    c: &Constants,
) {
    let h = 10f64.powf(-f.fresh_ph) / draw.buffer;
    let k = |pk: f64| 10f64.powf(-pk);
    let as_ammonium = fresh.ammonium * h / (k(c.pk_a_in) + h);
    let as_acetate = fresh.acetate * k(c.pk_a_ac) / (k(c.pk_a_ac) + h);
    let co2_bar = if f.group == Group::Manure {
        CO2_OVER_DUNG_BAR
    } else {
        CO2_OF_AIR_BAR
    };
    let dissolved = c.k_h_co2 * co2_bar * fresh.water_m3;
    let bicarbonate = dissolved * k(c.pk_a_co2) / h;
    let anions = as_acetate + bicarbonate;
    let mineral = draw.buffer * fresh.total_solids * f.mineral_alkalinity_eq_kg / 1000.0;
    let cations = (anions - as_ammonium).max(0.0) + mineral;
    let extra = (as_ammonium - anions).max(0.0) + mineral;
    let iron = draw.iron * REACTIVE_IRON * fresh.total_solids * f.iron_of_ts / 55.845;
    out.amounts[S_CAT] += cations;
    out.amounts[S_FE] += iron;
    // Iron comes as its bicarbonate.
    out.amounts[S_IC] += dissolved + bicarbonate + extra + 2.0 * iron;
}

/// Ions of one kilogram of fresh material, kmol; its solids, kg; its water, m3.
struct FreshIons {
    ammonium: f64,
    acetate: f64,
    total_solids: f64,
    water_m3: f64,
}

/// Acidogens, and the few methanogens and syntrophs of fresh material.
fn carry_microbes(out: &mut Charge, ts: f64, methanogens: f64, inferred: &Inferred) {
    let methanogens = inferred.own_methanogens * methanogens;
    let acidogens = inferred.own_fermenters;
    for i in [X_SU, X_AA] {
        out.amounts[i] += 0.5 * ts * acidogens;
    }
    out.amounts[X_FA] += 0.05 * ts * acidogens;
    for i in [X_C4, X_PRO] {
        out.amounts[i] += ts * methanogens * inferred.own_syntrophs;
    }
    for (g, share) in inferred.own_guilds().into_iter().enumerate() {
        out.amounts[X_AC + g] += ts * methanogens * share;
        out.amounts[X_H2 + g] += ts * methanogens * inferred.own_hydrogen_users * share;
    }
    out.amounts[X_SRB] += 0.1 * ts * methanogens;
}
