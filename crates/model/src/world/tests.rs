use super::fractionate::{self, FeedDraw, Fractions};
use super::inferred::Inferred;
use crate::feed::{Feedstock, model_compounds};
use crate::reference::feedstocks;
use fenlamp_adm1::constants::Constants;
use fenlamp_adm1::state::*;
use fenlamp_adm1::stoichiometry::Content;
use fenlamp_adm1::system::WorldFactors;
use fenlamp_adm1::{Charge, Digestion, Tank, TankSettings};

/// An endless batch of some solids in plenty of seeded, buffered water.
struct Endless {
    methane_m3_per_kg_vs: f64,
    /// Methane carbon over all carbon freed (methane and inorganic).
    methane_share_of_carbon: f64,
}

fn endless_batch(f: &Feedstock, carbon: f64) -> Endless {
    let c = Constants::reference();
    let fractions = Fractions::new(f, &c);
    let model = Digestion::new(
        c.clone(),
        vec![fractions.pool(f.hydrolysis_per_d.mid, &Constants::reference())],
    );
    let settings = TankSettings {
        space_m3: 1.2,
        p_out_bar: 1.013,
        outlet_per_d_bar: 100.0,
        k_l_a_per_d: 100.0,
        solids_stay: 1.0,
        world: WorldFactors {
            feed_carbon: vec![fractions.more_carbon(carbon, &c)],
            ..WorldFactors::none(model.pools.len())
        },
        relative_tolerance: 1e-5,
    };
    let draw = FeedDraw {
        own_methanogens: 0.0,
        carbon,
        ..FeedDraw::central(f)
    };
    let pool = POOLS + PLAIN_POOLS;
    let run = |with_feed: f64| {
        let mut tank = Tank::empty(&model, settings.clone(), 308.15);
        for g in G_H2..=G_O2 {
            tank.y[g] = 0.0;
        }
        let mut charge = fractionate::charge_of(
            f,
            &fractions,
            &draw,
            &Inferred::middle(),
            pool,
            &model.content,
            &model.constants,
        );
        // The microbes that come along would blur the balance.
        charge.amounts[X_SU..=X_SRB]
            .iter_mut()
            .for_each(|v| *v = 0.0);
        let kg = with_feed / draw.total_solids;
        let mut all = Charge::nothing(model.states());
        all.add(&charge, kg);
        all.volume_m3 = 1.0;
        for i in X_SU..X_SRB {
            all.amounts[i] += 0.05;
        }
        all.amounts[S_IN] += 0.03;
        all.amounts[S_IC] += 0.05;
        all.amounts[S_CAT] += 0.06;
        all.amounts[S_AN] += 0.03;
        // Bicarbonate that is made of the feed's carbon counts as freed.
        let degraded = with_feed
            * fractions.open_cod
            * fractions.degradable(f.bmp.mid, f.volatile_of_ts).min(1.0);
        let carbon_in = all.amounts[S_IC] - degraded * fractions.carbon_as_bicarbonate;
        tank.add(&all);
        // Slow wood needs its time: forty time constants.
        tank.live(40.0 / f.hydrolysis_per_d.mid.min(0.02), 308.15)
            .unwrap();
        let methane = tank.y[OUT + 1] + tank.y[G_CH4] * tank.gas_m3() + tank.y[S_CH4];
        let co2 = tank.y[OUT + 2] + tank.y[G_CO2] * tank.gas_m3() + tank.y[S_IC] - carbon_in;
        (methane, co2)
    };
    // As much as gives 2 kg COD of methane: enough to leave the traces behind, too
    // little to sour.
    let kg_ts = 2.0 / (f.bmp.mid * f.volatile_of_ts * fractionate::COD_PER_M3_CH4);
    let ((full, full_co2), (blank, blank_co2)) = (run(kg_ts), run(0.0));
    let methane_kmol = (full - blank) / 64.0;
    Endless {
        methane_m3_per_kg_vs: methane_kmol * 22.414 / (kg_ts * f.volatile_of_ts),
        methane_share_of_carbon: methane_kmol / (methane_kmol + full_co2 - blank_co2),
    }
}

#[test]
fn an_endless_batch_of_every_feedstock_gives_its_methane_potential() {
    let mut seen = 0;
    for f in feedstocks() {
        let c = Constants::reference();
        let fractions = Fractions::new(f, &c);
        let degradable = fractions.degradable(f.bmp.mid, f.volatile_of_ts);
        if f.bmp.mid <= 0.0 {
            continue;
        }
        let got = endless_batch(f, 1.0);
        let reachable = f.bmp.mid * (1.0 / degradable).min(1.0);
        let relative = got.methane_m3_per_kg_vs / reachable - 1.0;
        assert!(
            relative.abs() < 0.02,
            "{}: {:.4} m3/kg VS against {reachable:.4}",
            f.id,
            got.methane_m3_per_kg_vs
        );
        // Potentials out of reach of their composition are capped and few.
        assert!(
            degradable < 1.06,
            "{}: {degradable:.3} of the open COD",
            f.id
        );
        let boyle = boyle_share(f);
        assert!(
            (got.methane_share_of_carbon - boyle).abs() < 0.04,
            "{}: methane share {:.3} against {boyle:.3} by Boyle",
            f.id,
            got.methane_share_of_carbon
        );
        seen += 1;
    }
    assert!(seen > 50, "only {seen} feedstocks were run");
}

/// As much methane, and all the more carbon beside it.
#[test]
fn more_carbon_per_cod_is_more_carbon_dioxide() {
    for id in ["hay_grass", "cow_dung"] {
        let f = crate::reference::feedstock(id).expect("a row");
        let (table, more) = (endless_batch(f, 1.0), endless_batch(f, 1.06));
        let methane = more.methane_m3_per_kg_vs / table.methane_m3_per_kg_vs;
        assert!((methane - 1.0).abs() < 0.02, "{id}: {methane}");
        let carbon = table.methane_share_of_carbon / more.methane_share_of_carbon;
        assert!((carbon - 1.06).abs() < 0.02, "{id}: {carbon}");
    }
}

/// Dissolving takes no more S_IC than with the table's carbon, however little a draw has.
#[test]
fn little_carbon_takes_none_from_the_water() {
    let c = Constants::reference();
    for f in feedstocks() {
        let fractions = Fractions::new(f, &c);
        let pool = fractions.pool(1.0, &c);
        let content = Content::new(&c, std::slice::from_ref(&pool));
        let products: f64 = pool
            .products
            .iter()
            .map(|&(i, part)| part * content.carbon[i])
            .sum();
        let freed = pool.carbon - products;
        let least = freed + fractions.more_carbon(0.5, &c);
        assert!(
            least > freed.min(0.0) - 1e-12,
            "{}: {least} of {freed}",
            f.id
        );
        assert!(fractions.more_carbon(1.05, &c) > 0.0);
    }
}

/// Methane share by the Boyle equation of the digestible composition.
fn boyle_share(f: &Feedstock) -> f64 {
    let m = model_compounds();
    let parts = [
        (f.carbohydrate_of_ts, m.carbohydrate),
        (f.protein_of_ts, m.protein),
        (f.fat_of_ts, m.fat),
    ];
    let methane: f64 = parts.iter().map(|(share, b)| share * b.ch4_m3_per_kg).sum();
    let carbon: f64 = parts
        .iter()
        .map(|(share, b)| share * b.ch4_m3_per_kg / b.ch4_share)
        .sum();
    methane / carbon
}
