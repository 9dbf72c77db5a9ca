//! Nothing is lost: COD, carbon, nitrogen, sulfur and charge through random
//! feeds, temperatures, doses and modes.

use fenlamp_adm1::acid_base;
use fenlamp_adm1::acid_base::Inverses;
use fenlamp_adm1::constants::Constants;
use fenlamp_adm1::state::*;
use fenlamp_adm1::system::WorldFactors;
use fenlamp_adm1::{Charge, Digestion, Tank, TankSettings};
use fenlamp_model::plan::AdditiveKind;
use fenlamp_model::reference::feedstocks;
use fenlamp_model::world::additive;
use fenlamp_model::world::fractionate;
use fenlamp_model::world::fractionate::{FeedDraw, Fractions};
use fenlamp_model::world::inferred::Inferred;
use proptest::prelude::*;

#[derive(Debug, Clone)]
enum Move {
    /// Feed so many grams of feedstock 0 or 1 with so much water, overflow at 0.8 m3.
    Overflow(usize, f64, f64),
    /// Feed without outlet.
    TopUp(usize, f64),
    /// Draw off so much.
    DrawOff(f64),
    /// Dose 100 g.
    Dose(AdditiveKind),
    /// Blow in air, kmol.
    Air(f64),
    /// Live so many days at so many degC.
    Live(f64, f64),
}

fn moves() -> impl Strategy<Value = Vec<Move>> {
    let one = prop_oneof![
        (0..2usize, 0.1..15.0, 0.0..15.0).prop_map(|(f, kg, w)| Move::Overflow(f, kg, w)),
        (0..2usize, 0.1..10.0).prop_map(|(f, kg)| Move::TopUp(f, kg)),
        (0.001..0.2).prop_map(Move::DrawOff),
        prop_oneof![
            Just(AdditiveKind::WoodAsh),
            Just(AdditiveKind::SlakedLime),
            Just(AdditiveKind::Bicarbonate),
            Just(AdditiveKind::IronChloride),
            Just(AdditiveKind::Gypsum)
        ]
        .prop_map(Move::Dose),
        (0.0..0.002).prop_map(Move::Air),
        (0.2..3.0, 1.0..58.0).prop_map(|(d, t)| Move::Live(d, t)),
    ];
    prop::collection::vec(one, 1..25)
}

/// What crossed the walls: in by charges and air, out by liquid.
struct Ledger {
    net: Charge,
    air_o2_kmol: f64,
}

fn amount(charge: &Charge, content: &[f64]) -> f64 {
    charge.amounts.iter().zip(content).map(|(a, c)| a * c).sum()
}

/// Every addition at its inferred strength.
fn factors(model: &Digestion, feed_carbon: &[f64]) -> WorldFactors {
    WorldFactors {
        feed_carbon: feed_carbon.to_vec(),
        biology: std::sync::Arc::new(Inferred::middle().biology()),
        ..WorldFactors::none(model.pools.len())
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]
    #[test]
    fn nothing_is_lost(
        first in 0..feedstocks().len(),
        second in 0..feedstocks().len(),
        solids_stay in 1.0..4.0f64,
        carbon in 0.9..1.1f64,
        steps in moves(),
    ) {
        let c = Constants::reference();
        let feeds = [&feedstocks()[first], &feedstocks()[second]];
        let fractions = feeds.map(|f| Fractions::new(f, &c));
        let pools =
            feeds.iter().zip(&fractions).map(|(f, fr)| fr.pool(f.hydrolysis_per_d.mid, &c)).collect();
        let more = fractions.each_ref().map(|fractions| fractions.more_carbon(carbon, &c));
        let model = Digestion::new(c, pools);
        let per_kg: Vec<Charge> = (0..2)
            .map(|i| {
                fractionate::charge_of(
                    feeds[i],
                    &fractions[i],
                    &FeedDraw { carbon, ..FeedDraw::central(feeds[i]) },
                    &Inferred::middle(),
                    POOLS + PLAIN_POOLS + i,
                    &model.content,
                    &model.constants,
                )
            })
            .collect();
        let settings = TankSettings {
            space_m3: 1.0,
            p_out_bar: 1.02,
            outlet_per_d_bar: 100.0,
            k_l_a_per_d: 100.0,
            solids_stay,
            world: factors(&model, &more),
            relative_tolerance: 1e-3,
        };
        let mut tank = Tank::empty(&model, settings, 293.15);
        let start: Vec<f64> = tank.y.clone();
        let mut ledger = Ledger { net: Charge::nothing(model.states()), air_o2_kmol: 0.0 };
        let put = |tank: &mut Tank, charge: &Charge, ledger: &mut Ledger| {
            tank.add(charge);
            ledger.net.add(charge, 1.0);
        };
        // A fill of both feeds, seed and water.
        let mut fill = Charge::nothing(model.states());
        fill.add(&per_kg[0], 30.0);
        fill.add(&per_kg[1], 5.0);
        fill.volume_m3 += 0.4;
        for i in X_SU..=X_SRB {
            fill.amounts[i] += 0.02;
        }
        put(&mut tank, &fill, &mut ledger);
        tank.live(0.5, 293.15).unwrap();
        for step in &steps {
            match *step {
                Move::Overflow(f, kg, water) => {
                    let mut charge = Charge::nothing(model.states());
                    charge.add(&per_kg[f], kg);
                    charge.volume_m3 += water / 1000.0;
                    let out = tank.feed_with_overflow(&charge, 0.8);
                    ledger.net.add(&charge, 1.0);
                    ledger.net.add(&out, -1.0);
                }
                Move::TopUp(f, kg) => {
                    let mut charge = Charge::nothing(model.states());
                    charge.add(&per_kg[f], kg);
                    if tank.liquid_m3 + charge.volume_m3 < 0.95 {
                        put(&mut tank, &charge, &mut ledger);
                    }
                }
                Move::DrawOff(volume) => {
                    let out = tank.remove(volume.min(0.5 * tank.liquid_m3));
                    ledger.net.add(&out, -1.0);
                }
                Move::Dose(kind) => {
                    put(&mut tank, &additive::charge_of(kind, 0.1, model.states()), &mut ledger);
                }
                Move::Air(kmol) => {
                    tank.add_air(kmol);
                    ledger.air_o2_kmol += 0.2095 * kmol;
                }
                Move::Live(days, t_c) => {
                    tank.live(days, t_c + 273.15).unwrap();
                }
            }
        }
        tank.live(0.5, 303.15).unwrap();

        let empty_gas_m3 = 1.0;
        for (name, content) in [
            ("COD", &model.content.cod),
            ("carbon", &factors(&model, &more).carbon(&model.content)),
            ("nitrogen", &model.content.nitrogen),
            ("sulfur", &model.content.sulfur),
        ] {
            let air = ledger.air_o2_kmol * content[G_O2];
            let at_start: f64 =
                (G_H2..=G_O2).map(|i| start[i] * content[i] * empty_gas_m3).sum();
            let expected = amount(&ledger.net, content) + air + at_start;
            let held = tank.total(content);
            // Relative to all that was ever put in.
            let scale = amount(&fill, content).abs() + amount(&ledger.net, content).abs() + 1e-9;
            prop_assert!(
                (held - expected).abs() <= 1e-9 * scale,
                "{name}: held {held}, put in {expected}"
            );
        }
        // Volume and riders.
        prop_assert!((tank.liquid_m3 - ledger.net.volume_m3).abs() < 1e-12);
        prop_assert!((tank.passengers.ash - ledger.net.passengers.ash).abs() < 1e-9);
        prop_assert!(
            (tank.passengers.inert_nitrogen - ledger.net.passengers.inert_nitrogen).abs() < 1e-9
        );
        // Charge: the proton concentration closes the balance.
        let conditions = fenlamp_adm1::Conditions {
            temperature_k: tank.temperature_k,
            liquid_m3: tank.liquid_m3,
            gas_m3: tank.gas_m3(),
            p_out_bar: 1.02,
            outlet_per_d_bar: 100.0,
            k_l_a_per_d: 100.0,
            dilution_per_d: 0.0,
            world: factors(&model, &more),
            ammonia_tolerance: 1.0,
        };
        let k = model.coefficients::<f64>(&conditions);
        let (residual, _) = acid_base::charge(&k.acid, &Inverses::at(&k.acid, tank.h), &tank.y, tank.h);
        let ions = tank.y[S_CAT] + tank.y[S_IC] + tank.y[S_IN] + tank.y[S_AN];
        prop_assert!(residual.abs() <= 1e-9 * ions, "charge off by {residual} of {ions}");
    }
}
