use jiff::civil::date;
use proptest::prelude::*;

use super::air_dose::{Dose, air_dose};
use super::constants::Constants;
use super::equilibrium::{Liquor, closed, under_gas};
use super::iron::{Medium, Packing, packing, passes, sulfur_g_day};
use super::life::{Contact, Jar, Life, RawGas, SpentRule, life};
use super::liquor::{Alkali, ash_lye, titrated, titration};
use super::span::span;
use super::upkeep::{spent_by, upkeep};
use super::{cautions, iron, liquor};
use crate::band::Band;
use crate::reference::gas_value;

const ATM_PA: f64 = 101_325.0;

fn near(ours: f64, published: f64, share: f64) {
    assert!(
        (ours / published - 1.0).abs() <= share,
        "{ours}, published {published}"
    );
}

fn at_25() -> Constants {
    Constants::at(25.0).expect("in range")
}

fn potash(molality: f64) -> Liquor {
    Alkali::PotassiumCarbonate
        .liquor(molality)
        .expect("in range")
}

fn jar(liquor: Liquor) -> Jar {
    Jar {
        water_kg: 1.0,
        liquor,
        depth_m: 0.15,
        t_c: 25.0,
    }
}

fn run(jars: &[Jar], contact: Contact) -> Life {
    let gas = RawGas::new(0.4, 2000.0).expect("in range");
    life(jars, gas, ATM_PA, contact, SpentRule::default()).expect("in range")
}

/// `worked_examples_gas.md` section 13.
#[test]
fn the_half_molar_wash_of_the_worked_example() {
    let k = at_25();
    let fresh = potash(0.5);
    near(closed(&k, &fresh).ph, 11.59, 0.001);
    let spent = under_gas(&k, &fresh, 0.4, 0.002);
    near(spent.ph, 8.04, 0.002);
    near(spent.liquor.carbon - 0.5, 0.4903, 0.01);
    near(spent.liquor.sulfide, 0.00290, 0.01);
    // With no CO2 to push it out: as much sulfide as brings 2000 ppm over it.
    let (mut low, mut high) = (0.0, 0.5);
    for _ in 0..60 {
        let sulfide = 0.5 * (low + high);
        if closed(&k, &Liquor { sulfide, ..fresh }).h2s_atm < 0.002 {
            low = sulfide;
        } else {
            high = sulfide;
        }
    }
    near(low, 0.2015, 0.03);
    let water = under_gas(&k, &Liquor::default(), 0.4, 0.002);
    near(water.liquor.sulfide, 0.000178, 0.01);
    near(water.ph, 4.11, 0.002);
}

/// "Spent after 25 to 35 L of biogas per litre of half-molar wash."
#[test]
fn a_litre_of_half_molar_wash_lives_for_25_to_35_litres_of_gas() {
    let life = run(&[jar(potash(0.5))], Contact::BALANCE);
    let by_ph = life.until_ph_l.expect("pH falls");
    let idle = life.until_idle_l.expect("it ends");
    assert!((25.0..35.0).contains(&by_ph), "{by_ph}");
    assert!((25.0..35.0).contains(&idle), "{idle}");
    // The H2S shows before: an engine's limit falls first.
    let by_h2s = life.until_h2s_l.expect("it comes through");
    assert!(by_h2s < by_ph && life.spent_l() == Some(by_h2s));
}

#[test]
fn what_is_left_afterwards_is_a_bubbler() {
    let life = run(&[jar(potash(0.1))], Contact::BALANCE);
    let last = life.afterwards().expect("moments");
    near(last.co2_share, 0.4, 0.002);
    near(life.back_pressure_pa, 1468.0, 0.001);
}

/// CO2 pushes out sulfide that the fresh jar took up.
#[test]
fn a_poorly_touched_jar_gives_back_sulfide_at_the_end() {
    let life = run(&[jar(potash(0.5))], Contact::in_jar(0.15)[1]);
    assert_eq!(life.until_h2s_l, Some(0.0));
    assert!(life.peak_h2s_ppm() > 2500.0, "{}", life.peak_h2s_ppm());
}

#[test]
fn small_steps_find_the_same_life() {
    // The step follows the water; ten jars' worth of it in one is the same jar.
    let one = run(&[jar(potash(0.25))], Contact::BALANCE);
    let ten = Jar {
        water_kg: 10.0,
        ..jar(potash(0.25))
    };
    let ten = run(&[ten], Contact::BALANCE);
    near(
        ten.until_ph_l.expect("falls") / 10.0,
        one.until_ph_l.expect("falls"),
        1e-3,
    );
}

#[test]
fn two_jars_use_their_alkali_better_than_one_twice_the_size() {
    let two = run(&[jar(potash(0.25)); 2], Contact::BALANCE);
    let big = Jar {
        water_kg: 2.0,
        ..jar(potash(0.25))
    };
    let big = run(&[big], Contact::BALANCE);
    assert!(two.until_h2s_l.expect("ends") > big.until_h2s_l.expect("ends"));
    assert!(two.back_pressure_pa > big.back_pressure_pa);
}

/// What lies at the bottom is the doubt of a jar of lime; a potash jar has none.
#[test]
fn only_dissolved_lime_is_sure_to_work() {
    let k = at_25();
    let [least, middle, most] =
        liquor::in_jar(Alkali::SlakedLime, 50.0, 1.0, 25.0).expect("in range");
    assert_eq!(
        most,
        Alkali::SlakedLime.dissolved(50.0, 1.0).expect("in range")
    );
    // Saturated lime water, 0.0203 mol/kg at 25 degC (handbook figure, memory).
    near(least.calcium, 0.0203, 0.05);
    assert!(closed(&k, &least).lime < 1e-9);
    assert!(least.calcium < middle.calcium && middle.calcium < most.calcium);
    let until = |liquor| {
        run(&[jar(liquor)], Contact::BALANCE)
            .until_ph_l
            .expect("it is spent")
    };
    assert!(until(least) < 0.1 * until(most));
    // So little that all of it dissolves.
    let [least, _, most] = liquor::in_jar(Alkali::SlakedLime, 1.0, 1.0, 25.0).expect("in range");
    near(least.calcium, most.calcium, 1e-9);
    let [least, middle, most] =
        liquor::in_jar(Alkali::PotassiumCarbonate, 50.0, 1.0, 25.0).expect("in range");
    assert!(least == middle && middle == most);
    assert!(liquor::in_jar(Alkali::SlakedLime, 50.0, 1.0, 90.0).is_err());
}

#[test]
fn lime_holds_its_ph_while_it_lasts_and_falls_as_chalk() {
    let k = at_25();
    let lime = Alkali::SlakedLime.liquor(0.5).expect("in range");
    let fresh = closed(&k, &lime);
    // Saturated lime water at 25 degC: pH 12.45, 0.0203 mol/kg (handbook figures, memory).
    near(fresh.ph, 12.45, 0.005);
    near(0.5 - fresh.lime, 0.0203, 0.05);
    let half = closed(
        &k,
        &Liquor {
            carbon: 0.25,
            ..lime
        },
    );
    near(half.ph, fresh.ph, 1e-4);
    near(half.calcite, 0.25, 1e-3);
    let spent = under_gas(&k, &lime, 0.4, 0.002);
    assert!(spent.lime < 1e-12 && spent.calcite > 0.48);
    // One CO2 for each lime, half of what potash of the same alkalinity takes beyond its own.
    near(spent.liquor.carbon, 0.52, 0.02);
}

#[test]
fn ash_lye_is_wide() {
    let [low, mid, high] = ash_lye(0.5, 1.0).expect("in range");
    assert!((high.alkalinity() / low.alkalinity() - 6.0).abs() < 1e-9);
    // Section 13: 1 kg of ash stands for the CO2 of about 40.5 L of 60/40 gas.
    let litres = mid.carbon / 0.5 * 22.414 / 0.4;
    near(litres, 40.5, 0.05);
    let by_titration = titration(15.0, 0.1, 2.0).expect("in range");
    near(by_titration, 0.75, 1e-12);
    near(
        titrated(by_titration).expect("in range").alkalinity(),
        mid.alkalinity(),
        1e-12,
    );
}

#[test]
fn a_span_says_what_bubbles_and_ash_leave_open() {
    let gas = RawGas::new(0.4, 2000.0).expect("in range");
    let known = [
        vec![jar(potash(0.5))],
        vec![jar(potash(0.5))],
        vec![jar(potash(0.5))],
    ];
    let known = span(&known, gas, ATM_PA, SpentRule::default()).expect("in range");
    let spent = known.until_spent_l.expect("it ends");
    assert!(
        spent.is_ordered() && spent.low > 25.0 && spent.high > 100.0,
        "{spent:?}"
    );
    assert_eq!(known.until_h2s_l.expect("it ends").low, 0.0);
    assert!(known.h2s_fresh_ppm.is_ordered() && known.peak_h2s_ppm.is_ordered());
    assert!(known.in_balance.moments.len() <= 120);
    let ash = ash_lye(0.2, 1.0)
        .expect("in range")
        .map(|lye| vec![jar(lye)]);
    let ash = span(&ash, gas, ATM_PA, SpentRule::default()).expect("in range");
    let open = ash.until_spent_l.expect("it ends");
    assert!(open.is_ordered() && open.high / open.low > 10.0, "{open:?}");
    assert!(ash.fresh_ph.is_ordered());
}

/// `worked_examples_gas.md` section 12.
#[test]
fn iron_lasts_as_in_the_worked_example() {
    near(sulfur_g_day(1000.0, 2000.0), 2.8607, 0.001);
    near(sulfur_g_day(500.0, 3000.0), 2.1455, 0.001);
    near(passes(2), 2.1189, 0.001);
    let days = |medium, mass_kg, regenerations| {
        let p = Packing {
            medium,
            mass_kg,
            bed_l: 5.0,
            moisture: None,
            regenerations,
        };
        packing(&p, 1000.0, 2000.0, 60.0)
            .expect("in range")
            .days_catching_all
            .mid
    };
    near(days(Medium::BogIron, 2.0, 0), 10.49, 0.001);
    near(days(Medium::OxideMedium, 0.5, 0), 34.96, 0.001);
    near(days(Medium::OxideMedium, 0.5, 2), 74.07, 0.001);
    near(days(Medium::SteelWool, 0.2, 0), 4.01, 0.002);
}

#[test]
fn a_packing_never_promises_everything() {
    let p = Packing {
        medium: Medium::OxideMedium,
        mass_kg: 1.0,
        bed_l: 4.0,
        moisture: Some(0.4),
        regenerations: 1,
    };
    let outcome = packing(&p, 500.0, 2000.0, 100.0).expect("in range");
    near(outcome.removal.mid, 0.329, 1e-9);
    near(outcome.removal.high, 0.702, 1e-9);
    assert!(outcome.h2s_after_ppm.low > 500.0);
    assert!(outcome.contact_enough && outcome.moisture_right == Some(true));
    let hasty = packing(&Packing { bed_l: 0.5, ..p }, 500.0, 2000.0, 100.0).expect("in range");
    assert!(!hasty.contact_enough && hasty.removal.mid < outcome.removal.mid);
    let dry = packing(
        &Packing {
            moisture: Some(0.05),
            ..p
        },
        500.0,
        2000.0,
        100.0,
    );
    assert_eq!(dry.expect("in range").moisture_right, Some(false));
    for medium in Medium::ALL {
        assert!(medium.capacity_g_kg().is_ordered());
    }
    assert!(iron::field_removal().high < 1.0);
}

/// Rows `air_stoich_h2s2000` and `o2_after_5air`.
#[test]
fn the_air_that_sulfide_needs_is_small() {
    let dose = air_dose(1000.0, 0.6, 2000.0, 0.05, 300.0).expect("in range");
    near(
        dose.air_needed_share,
        gas_value("air_stoich_h2s2000") / 100.0,
        0.001,
    );
    near(dose.oxygen_share, gas_value("o2_after_5air") / 100.0, 0.001);
    near(dose.methane_share, 0.5714, 0.001);
    assert_eq!(dose.dose, Dose::Usual);
    assert!(dose.removal.is_ordered() && dose.removal.high < 1.0);
    let much = air_dose(1000.0, 0.6, 2000.0, 0.10, 300.0).expect("in range");
    assert_eq!(much.dose, Dose::TooMuch);
    let little = air_dose(1000.0, 0.6, 10_000.0, 0.01, 300.0).expect("in range");
    assert_eq!(little.dose, Dose::Little);
    assert!(little.removal.mid < 0.43);
    assert!(air_dose(1000.0, 0.6, 2000.0, 0.2, 300.0).is_err());
}

#[test]
fn the_day_it_is_spent_has_a_band() {
    let start = date(2026, 5, 1);
    let gas = vec![
        Band {
            low: 5.0,
            mid: 10.0,
            high: 20.0
        };
        10
    ];
    let life = Band {
        low: 30.0,
        mid: 40.0,
        high: 60.0,
    };
    let spent = spent_by(start, &gas, life).expect("in order");
    assert_eq!(spent.earliest, Some(date(2026, 5, 2)));
    assert_eq!(spent.middle, Some(date(2026, 5, 4)));
    assert_eq!(spent.latest, None);
    let bad = Band {
        low: 3.0,
        mid: 2.0,
        high: 4.0,
    };
    assert!(spent_by(start, &gas, bad).is_err());
    // Section 13: 1 m3 a day would spend about 25 kg of ash a day.
    let ash = upkeep(40.5, 1.0, 1000.0).expect("in range");
    near(ash.alkali_per_day, 24.7, 0.01);
}

#[test]
fn nonsense_is_refused_with_its_limits() {
    assert!(Constants::at(80.0).is_err());
    assert!(Alkali::PotassiumHydroxide.liquor(-1.0).is_err());
    assert!(Alkali::PotassiumHydroxide.liquor(f64::INFINITY).is_err());
    assert!(Alkali::SodiumCarbonate.dissolved(100.0, 0.0).is_err());
    assert!(RawGas::new(1.5, 0.0).is_err());
    assert!(RawGas::new(0.4, f64::NAN).is_err());
    let gas = RawGas {
        co2_share: 0.4,
        h2s_ppm: -1.0,
    };
    assert!(
        life(
            &[jar(potash(0.1))],
            gas,
            ATM_PA,
            Contact::BALANCE,
            SpentRule::default()
        )
        .is_err()
    );
    let gas = RawGas::new(0.4, 2000.0).expect("in range");
    let with = |jars: &[Jar], pa| life(jars, gas, pa, Contact::BALANCE, SpentRule::default());
    assert!(with(&[], ATM_PA).is_err());
    assert!(with(&[jar(potash(0.1))], 2e6).is_err());
    let deep = Jar {
        depth_m: 5.0,
        ..jar(potash(0.1))
    };
    assert!(with(&[deep], ATM_PA).is_err());
    let negative = Jar {
        liquor: Liquor {
            carbon: -0.1,
            ..potash(0.1)
        },
        ..jar(potash(0.1))
    };
    assert!(with(&[negative], ATM_PA).is_err());
    let metal = Packing {
        medium: Medium::SteelWool,
        mass_kg: 1.0,
        bed_l: 1.0,
        moisture: None,
        regenerations: 1,
    };
    assert!(packing(&metal, 100.0, 2000.0, 10.0).is_err());
    let error = RawGas::new(1.5, 0.0).expect_err("too much");
    assert_eq!(
        error.to_string(),
        "CO2 in the gas of 1.5 (share) cannot be: it must be from 0.01 to 0.95 (share)"
    );
}

#[test]
fn strong_lye_is_called_corrosive() {
    let k = at_25();
    let strong = cautions::jar(&closed(&k, &potash(0.5)));
    let weak = cautions::jar(&closed(&k, &potash(0.05)));
    assert!(strong[0].words.contains("corrosive") && !weak[0].words.contains("corrosive"));
    assert!(weak.iter().any(|c| c.words.contains("goggles")));
}

fn any_alkali() -> impl Strategy<Value = Alkali> {
    proptest::sample::select(Alkali::ALL.to_vec())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn carbon_and_sulfur_close_over_the_life(
        alkali in any_alkali(),
        strength in 0.0..1.5f64,
        t_c in 5.0..40.0f64,
        co2_share in 0.15..0.6f64,
        h2s_ppm in 0.0..8000.0f64,
        contact in 0usize..4,
        jars in 1usize..4,
    ) {
        let liquor = alkali.liquor(strength).expect("in range");
        let jars = vec![Jar { water_kg: 0.7, liquor, depth_m: 0.1, t_c }; jars];
        let contacts = [vec![Contact::BALANCE], Contact::in_jar(0.1).to_vec()].concat();
        let gas = RawGas::new(co2_share, h2s_ppm).expect("in range");
        let life = life(&jars, gas, ATM_PA, contacts[contact], SpentRule::default()).expect("in range");
        let first = &life.moments[0];
        for m in &life.moments {
            let came = m.gas_l / gas_value("vm_ideal_0c");
            let carbon = m.carbon_mol - first.carbon_mol + m.carbon_out_mol - co2_share * came;
            let sulfur = m.sulfide_mol - first.sulfide_mol + m.sulfide_out_mol - h2s_ppm * 1e-6 * came;
            prop_assert!(carbon.abs() <= 1e-9 * (co2_share * came + first.carbon_mol + 1e-3));
            prop_assert!(sulfur.abs() <= 1e-9 * (h2s_ppm * 1e-6 * came + 1e-6));
            prop_assert!(m.carbon_mol >= 0.0 && m.sulfide_mol >= -1e-15);
            prop_assert!((0.0..=1.0).contains(&m.co2_share) && m.h2s_ppm >= 0.0);
        }
        prop_assert!(life.until_idle_l.is_some());
    }

    #[test]
    fn more_alkali_never_shortens_the_life(
        alkali in any_alkali(),
        strength in 0.005..1.0f64,
        more in 1.01..2.0f64,
        t_c in 5.0..40.0f64,
    ) {
        let until = |strength| {
            let liquor = alkali.liquor(strength).expect("in range");
            let life = run(&[Jar { t_c, ..jar(liquor) }], Contact::BALANCE);
            (life.until_h2s_l, life.until_ph_l)
        };
        let (h2s, ph) = until(strength);
        let (h2s_more, ph_more) = until(strength * more);
        prop_assert!(h2s_more.unwrap_or(f64::MAX) >= h2s.unwrap_or(f64::MAX) * 0.999);
        prop_assert!(ph_more.unwrap_or(f64::MAX) >= ph.unwrap_or(f64::MAX) * 0.999);
    }

    #[test]
    fn gas_over_a_liquor_and_liquor_under_the_gas_agree(
        alkali in any_alkali(),
        strength in 0.0..1.5f64,
        t_c in 5.0..40.0f64,
        log_co2 in -7.0..0.0f64,
        h2s_atm in 0.0..0.01f64,
    ) {
        let k = Constants::at(t_c).expect("in range");
        let liquor = alkali.liquor(strength).expect("in range");
        let co2_atm = 10f64.powf(log_co2);
        let open = under_gas(&k, &liquor, co2_atm, h2s_atm);
        let shut = closed(&k, &open.liquor);
        prop_assert!((shut.ph - open.ph).abs() < 1e-6);
        // Beside solid lime any amount of chalk has the same gas.
        prop_assert!((shut.co2_atm / co2_atm - 1.0).abs() < 1e-5);
        prop_assert!((shut.h2s_atm - h2s_atm).abs() < 1e-6 * (h2s_atm + 1e-9));
    }
}
