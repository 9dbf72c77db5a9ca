//! Checks against published worked examples; W numbers are those of
//! `reference/worked_examples_yield.md`, source keys those of `sources.csv`.

use super::*;
use crate::reference::{animal, excretion, feedstock, feedstocks};
use proptest::prelude::*;

fn near(actual: f64, expected: f64, tolerance: f64) {
    assert!(
        (actual - expected).abs() <= tolerance,
        "{actual} is not {expected} +- {tolerance}"
    );
}

fn row(id: &str) -> &'static Feedstock {
    feedstock(id).expect("a row of the table")
}

/// A feedstock with given solids, carbon and nitrogen, the rest as straw.
fn material(total_solids: f64, carbon: f64, nitrogen: f64) -> Feedstock {
    Feedstock {
        total_solids: Band::exact(total_solids),
        nitrogen_of_ts: nitrogen,
        c_to_n: Some(carbon / nitrogen),
        ..row("rice_straw").clone()
    }
}

/// W0, L CH4/kg and % of CH4 + CO2; agrees with ANGEL (415, 496, 1014).
/// The printed table is rounded to 0.1 L.
#[test]
fn w0_theoretical_methane() {
    for (formula, litres, percent) in [
        (Formula::CARBOHYDRATE, 414.7, 50.0),
        (Formula::new(6.0, 12.0, 6.0, 0.0, 0.0), 373.2, 50.0),
        (Formula::new(2.0, 4.0, 2.0, 0.0, 0.0), 373.2, 50.0),
        (Formula::new(12.0, 22.0, 11.0, 0.0, 0.0), 392.9, 50.0),
        (Formula::PROTEIN, 495.4, 50.0),
        (Formula::FAT, 1012.5, 70.2),
        (Formula::new(51.0, 98.0, 6.0, 0.0, 0.0), 1006.4, 71.1),
        (Formula::new(2.0, 6.0, 1.0, 0.0, 0.0), 729.8, 75.0),
    ] {
        let boyle = boyle(formula).expect("gives methane");
        near(boyle.ch4_m3_per_kg * 1000.0, litres, 0.2);
        near(boyle.ch4_share * 100.0, percent, 0.06);
    }
}

/// COD of the model compounds: 1.07 for glucose, 1.18 for cellulose, 1.42 for
/// C5H7NO2 are textbook figures (from memory).
#[test]
fn chemical_oxygen_demand() {
    let glucose = boyle(Formula::new(6.0, 12.0, 6.0, 0.0, 0.0)).expect("gives methane");
    near(glucose.cod_kg_per_kg, 1.066, 0.001);
    near(model_compounds().carbohydrate.cod_kg_per_kg, 1.184, 0.001);
    near(model_compounds().protein.cod_kg_per_kg, 1.415, 0.001);
    near(CH4_M3_PER_KG_COD, 0.350, 0.0005);
}

#[test]
fn compounds_without_methane_are_refused() {
    assert_eq!(boyle(Formula::new(1.0, 0.0, 2.0, 0.0, 0.0)), None); // carbon dioxide
    assert_eq!(boyle(Formula::new(0.0, 2.0, 1.0, 0.0, 0.0)), None); // water
    assert_eq!(boyle(Formula::new(-1.0, 4.0, 0.0, 0.0, 0.0)), None);
    assert_eq!(boyle(Formula::new(f64::NAN, 4.0, 0.0, 0.0, 0.0)), None);
    assert_eq!(boyle(Formula::new(1.0, 40.0, 0.0, 0.0, 0.0)), None); // more than its carbon
}

/// W1, GTZ88-4.2: 60 L/d, 80 d, 4800 L.
#[test]
fn w1_digester_volume() {
    assert_eq!(digester_volume_l(60.0, 80.0), Some(4800.0));
    assert_eq!(retention_time_d(4800.0, 60.0), Some(80.0));
    assert_eq!(daily_feed_l(4800.0, 80.0), Some(60.0));
}

/// W2, GTZ88-FEED: dung of 16 % solids with as much water has 8 %.
#[test]
fn w2_dilution() {
    near(
        water_to_reach_solids(1.0, 0.16, 0.08).expect("thinner"),
        1.0,
        1e-12,
    );
    let dung = Mixture::new(
        vec![Part {
            feedstock: row("cow_dung"),
            fresh_kg: 30.0,
        }],
        30.0,
    );
    let share = dung
        .and_then(|mixture| mixture.total_solids_share())
        .expect("not empty");
    near(share, 0.08, 1e-12);
}

/// W3, DILUT: 0.5 m3/d at 0.037 m3/kg is 13.5 kg dung; 17 % solids to 8 %
/// takes 15.19 kg water (15.25 with the printed rounding).
#[test]
fn w3_dilution_to_eight_percent() {
    let dung = mass_for_gas_kg(0.5, 0.037).expect("a yield");
    near(dung, 13.51, 0.01);
    near(
        water_to_reach_solids(13.5, 0.17, 0.08).expect("thinner"),
        15.19,
        0.005,
    );
    near(
        water_to_reach_solids(13.5, 2.3 / 13.5, 0.08).expect("thinner"),
        15.25,
        0.005,
    );
}

/// W4, GTZ89-P38: 150 kg dung/d, 12 % solids, 12 kg VS/d. The source rounds
/// the water to 100 kg and prints 75 d where 18 000/250 is 72.
#[test]
fn w4_family_plant() {
    near(
        water_to_reach_solids(150.0, 0.12, 0.07).expect("thinner"),
        107.1,
        0.1,
    );
    near(150.0 * 0.12 / 250.0, 0.072, 1e-12);
    assert_eq!(digester_volume_l(250.0, 60.0), Some(15_000.0));
    assert_eq!(retention_time_d(18_000.0, 250.0), Some(72.0));
    near(gas_per_day(12.0, 0.25).expect("sound"), 3.0, 1e-12);
    near(gas_per_day(150.0, 0.02).expect("sound"), 3.0, 1e-12);
    near(gas_per_day(9.0, 0.35).expect("sound"), 3.15, 1e-12);
    near(
        loading_rate_kg_vs_m3_d(12.0, 15.0).expect("sound"),
        0.80,
        1e-12,
    );
}

/// W5, MECHF: 2400 L/d at 40 L/kg is 60 kg dung; with 60 kg water at the
/// printed 1090 kg/m3 and 50 d, 5.5 m3.
#[test]
fn w5_family_of_six() {
    let dung = mass_for_gas_kg(6.0 * 400.0, 40.0).expect("a yield");
    assert_eq!(dung, 60.0);
    let daily = (dung + 60.0) / 1090.0 * 1000.0;
    near(daily, 110.1, 0.05);
    near(digester_volume_l(daily, 50.0).expect("sound"), 5505.0, 1.0);
}

/// W6, GTZ93-2.3: dung per m3 of gas; and the check beside it, 40 L/kg at 60 %
/// methane is 85 % of the potential of the cow_dung row.
#[test]
fn w6_dung_per_cubic_metre() {
    assert_eq!(mass_for_gas_kg(1.0, 0.040), Some(25.0));
    near(mass_for_gas_kg(1.0, 0.060).expect("a yield"), 16.7, 0.05);
    let dung = row("cow_dung");
    let per_vs = 0.040 * 0.60 / (dung.total_solids.mid * dung.volatile_of_ts);
    near(per_vs, 0.188, 0.001);
    near(per_vs / dung.bmp.mid, 0.845, 0.005);
}

/// W7, BENTHAM: 7.5 % solids, 80 % volatile, 40 d: 1.5 kg VS/(m3 d).
#[test]
fn w7_design_point() {
    near(
        loading_rate_kg_vs_m3_d(75.0 * 0.80 / 40.0, 1.0).expect("sound"),
        1.5,
        1e-12,
    );
}

/// W15, FNR12: fresh mass to methane; the rows follow the original column.
#[test]
fn w15_methane_per_tonne_fresh() {
    for (id, m3_per_t) in [
        ("maize_silage", 106.0),
        ("fodder_beet", 50.0),
        ("molasses", 229.0),
    ] {
        let part = Part {
            feedstock: row(id),
            fresh_kg: 1000.0,
        };
        let tonne = Mixture::new(vec![part], 0.0).expect("sound");
        near(tonne.potential_ch4_m3().mid, m3_per_t, 0.5);
    }
}

/// W16, IPCC06-WOLF17: 1862 kg VS/a x 0.24 = 447 m3/a = 1.22 m3/d.
#[test]
fn w16_potential_per_head() {
    let cow = animal("cow_dairy").expect("a row");
    let one = excretion(cow, 1.0, 1.0).expect("sound");
    near(one.inventory_ch4_m3_d.mid, 1.22, 0.005);
    near(one.vs_kg_d * 365.25, 1862.0, 2.0);
    near(cow.bo.mid * 1862.0, 447.0, 0.5);
    // The measured potential of the material is below the inventory default.
    assert!(one.ch4_m3_d.mid < one.inventory_ch4_m3_d.mid);
}

/// W17, A3601: 50 cows at 120 lb/d, 83 % collected, 909 short tons a year.
#[test]
fn w17_manure_collected() {
    let cow = animal("cow_dairy").expect("a row");
    let herd = excretion(cow, 50.0, 0.83).expect("sound");
    near(herd.fresh_kg_d * 365.0 / 907.18, 909.0, 10.0);
    assert_eq!(excretion(cow, -1.0, 1.0), None);
    assert_eq!(excretion(cow, 1.0, 1.2), None);
    assert_eq!(excretion(cow, f64::NAN, 1.0), None);
}

/// W20, GTZ97-B4 after Rager: solids of fresh manure, cow 11.5, pig 8.4,
/// hen 22.0 %; volatile 8.7, 6.7, 17.4 %. The animal and feedstock rows come
/// from other sources, so agreement is loose.
#[test]
fn w20_manure_solids() {
    near(1850.0 / 16100.0, 0.115, 0.0005);
    for (id, solids, volatile) in [
        ("cow_dairy", 0.115, 0.087),
        ("grower_pig", 0.084, 0.067),
        ("layer_hen", 0.220, 0.174),
    ] {
        let animal = animal(id).expect("a row");
        let fresh = animal.manure_fresh_kg_d.expect("filled");
        near(animal.ts_kg_d / fresh, solids, 0.25 * solids);
        near(animal.vs_kg_d / fresh, volatile, 0.25 * volatile);
    }
    let pig = row("pig_slurry");
    near(pig.total_solids.mid, 0.084, 0.005);
    near(pig.total_solids.mid * pig.volatile_of_ts, 0.067, 0.005);
}

/// W21, CNMIX and GTZ89-P20: excreta C:N 8 (N 6 %, solids 20 %) with rice
/// straw C:N 73 (N 0.6 %, solids 89 %), target 25. The printed ratio average
/// asks 0.354 kg straw; as a mass balance that gives 10.2 on dry matter and
/// 16.8 on fresh mass, and the true need is 3.54 dry or 0.80 fresh.
#[test]
fn w21_carbon_to_nitrogen_is_a_mass_balance() {
    let (excreta, straw) = (material(0.20, 0.48, 0.06), material(0.89, 0.438, 0.006));
    near(
        handbook_ratio_average([(1.0, 8.0), (0.354, 73.0)]).expect("mass"),
        25.0,
        0.01,
    );
    near(
        carbon_to_nitrogen([(0.48, 0.06), (0.354 * 0.438, 0.354 * 0.006)]).expect("nitrogen"),
        10.2,
        0.05,
    );
    let mixture = Mixture::new(
        vec![
            Part {
                feedstock: &excreta,
                fresh_kg: 1.0,
            },
            Part {
                feedstock: &straw,
                fresh_kg: 0.354,
            },
        ],
        2.0,
    )
    .expect("sound");
    near(mixture.carbon_to_nitrogen().expect("nitrogen"), 16.8, 0.05);
    near(
        mixture.handbook_carbon_to_nitrogen().expect("ratios"),
        25.0,
        0.01,
    );
    let dry = dry_mass_to_reach_c_to_n(25.0, (0.48, 0.06), (0.438, 0.006)).expect("reachable");
    near(dry, 3.54, 0.005);
    near(dry * 0.20 / 0.89, 0.80, 0.005);
}

#[test]
fn an_unreachable_ratio_is_refused() {
    // The addition itself has C:N 20: no amount reaches 25.
    assert_eq!(
        dry_mass_to_reach_c_to_n(25.0, (0.48, 0.06), (0.4, 0.02)),
        None
    );
    assert_eq!(
        dry_mass_to_reach_c_to_n(25.0, (0.48, 0.01), (0.438, 0.006)),
        Some(0.0)
    );
    assert_eq!(
        dry_mass_to_reach_c_to_n(f64::NAN, (0.48, 0.06), (0.438, 0.006)),
        None
    );
    assert_eq!(carbon_to_nitrogen([(1.0, 0.0)]), None);
    assert_eq!(carbon_to_nitrogen([]), None);
}

/// W22, GTZ89-P20: solids of a mixture = sum(TS W)/sum(W). W23, GOTAAS56:
/// ash 20 % is 44.4 % carbon.
#[test]
fn w22_w23_solids_average_and_carbon_from_ash() {
    let (a, b) = (material(0.20, 0.4, 0.02), material(0.89, 0.4, 0.02));
    let mixture = Mixture::new(
        vec![
            Part {
                feedstock: &a,
                fresh_kg: 3.0,
            },
            Part {
                feedstock: &b,
                fresh_kg: 1.0,
            },
        ],
        6.0,
    )
    .expect("sound");
    near(
        mixture.total_solids_share().expect("mass"),
        (0.6 + 0.89) / 10.0,
        1e-12,
    );
    near((1.0 - 0.20) / 1.8, 0.444, 0.0005);
}

/// The ceiling of check C3 in SOURCES.md, 414.7, 495.4, 1012.6 per kg.
#[test]
fn composition_ceiling() {
    near(
        row("chicken_layer_droppings").theoretical_ch4_m3_per_kg_vs(),
        0.338,
        0.001,
    );
    near(
        row("rabbit_manure").theoretical_ch4_m3_per_kg_vs(),
        0.347,
        0.001,
    );
    near(
        row("sour_milk_cream").theoretical_ch4_m3_per_kg_vs(),
        0.624,
        0.002,
    );
    for feedstock in feedstocks() {
        // Methane and COD are two views of one composition.
        let by_cod = feedstock.cod_kg_per_kg_ts().degradable() * CH4_M3_PER_KG_COD;
        let by_gas = feedstock.theoretical_ch4_m3_per_kg_vs() * feedstock.volatile_of_ts;
        near(by_cod, by_gas, 1e-9);
    }
}

#[test]
fn nonsense_is_refused() {
    assert_eq!(water_to_reach_solids(10.0, 0.08, 0.16), None); // water cannot thicken
    assert_eq!(water_to_reach_solids(10.0, 0.16, 0.0), None);
    assert_eq!(water_to_reach_solids(-1.0, 0.16, 0.08), None);
    assert_eq!(water_to_reach_solids(10.0, 16.0, 8.0), None); // percent for share
    assert_eq!(retention_time_d(100.0, 0.0), None);
    assert_eq!(loading_rate_kg_vs_m3_d(1.0, 0.0), None);
    assert_eq!(mass_for_gas_kg(1.0, 0.0), None);
    assert_eq!(gas_per_day(f64::INFINITY, 1.0), None);
    assert!(Mixture::new(vec![], -1.0).is_none());
    assert!(
        Mixture::new(
            vec![Part {
                feedstock: row("cow_dung"),
                fresh_kg: f64::NAN
            }],
            0.0
        )
        .is_none()
    );
    assert_eq!(Mixture::default().total_solids_share(), None);
    assert_eq!(Mixture::default().carbon_to_nitrogen(), None);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 128, ..ProptestConfig::default() })]

    /// Masses of a mixture are sums: two half mixtures make the whole.
    #[test]
    fn mixtures_add_up(
        a in 0usize..62, b in 0usize..62,
        first in 0.0..1000.0f64, second in 0.0..1000.0f64, water in 0.0..1000.0f64,
    ) {
        let part = |index: usize, fresh_kg| Part { feedstock: &feedstocks()[index], fresh_kg };
        let whole = Mixture::new(vec![part(a, first), part(b, second)], water).expect("sound");
        let left = Mixture::new(vec![part(a, first)], water).expect("sound");
        let right = Mixture::new(vec![part(b, second)], 0.0).expect("sound");
        for figure in [
            Mixture::mass_kg, Mixture::total_solids_kg, Mixture::volatile_solids_kg,
            Mixture::nitrogen_kg, Mixture::carbon_kg, Mixture::sulfur_kg, Mixture::cod_kg,
        ] {
            let (whole, parts) = (figure(&whole), figure(&left) + figure(&right));
            prop_assert!((whole - parts).abs() <= 1e-9 * (1.0 + whole));
        }
        prop_assert!(whole.volatile_solids_kg() <= whole.total_solids_kg() + 1e-9);
        prop_assert!(whole.total_solids_kg() <= whole.mass_kg() + 1e-9);
        prop_assert!(whole.ammonium_nitrogen_kg() <= whole.nitrogen_kg() + 1e-9);
    }

    /// Diluting to a target and reading the solids back gives the target.
    #[test]
    fn dilution_inverts(index in 0usize..62, fresh in 0.1..1000.0f64, share in 0.05..1.0f64) {
        let feedstock = &feedstocks()[index];
        let target = feedstock.total_solids.mid * share;
        let water = water_to_reach_solids(fresh, feedstock.total_solids.mid, target);
        let water = water.expect("thinner").max(0.0);
        let mixture = Mixture::new(vec![Part { feedstock, fresh_kg: fresh }], water).expect("sound");
        let solids = mixture.total_solids_share().expect("mass");
        prop_assert!((solids - target).abs() <= 1e-9);
    }
}
