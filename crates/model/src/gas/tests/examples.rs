//! Figures of `reference/worked_examples_gas.md` that the validation does not repeat.

use super::{biogas, near};
use crate::gas::appliances::{Appliance, boil, of_gas};
use crate::gas::first_gas::{HeadspaceDay, first_gas};
use crate::gas::flammability::{
    Headspace, LimitTable, could_become_flammable_when_mixed_with_air, headspace, is_flammable,
    limits, purge_volumes_from_air,
};
use crate::gas::jet::{Supply, flow_m3_h, jet_coefficient};
use crate::gas::line::{Fitting, Line, Regime};
use crate::gas::properties::{relative_density, viscosity_pa_s};
use crate::gas::quench::{FlashBack, Gap, flash_back};
use crate::gas::relief::{Liquid, depth_cm};
use crate::gas::room::{Flame, For, Room, air_after, fresh_air_needs, fumes, leak};
use crate::gas::{Mixture, Shares, burner, uses};
use crate::reference::gas_value;

#[test]
fn biogas_sinks_below_54_percent_methane() {
    assert!(relative_density(&biogas(53.0)) > 1.0);
    assert!(relative_density(&biogas(55.0)) < 1.0);
}

#[test]
fn ten_percent_of_biogas_in_air_is_explosive() {
    let mixed = |share| {
        let air = Mixture::air();
        air.mixed_with(&biogas(60.0), share).expect("a share")
    };
    assert!(is_flammable(&mixed(0.10)));
    assert_eq!(headspace(&mixed(0.05)), Headspace::TooLean);
    // Twelve percent, the handbook's end, is well inside; so is twenty.
    assert!(is_flammable(&mixed(0.15)));
    assert!(is_flammable(&mixed(0.20)));
    assert!(!is_flammable(&mixed(0.45)));
    assert!(could_become_flammable_when_mixed_with_air(&mixed(0.45)));
    assert!(!could_become_flammable_when_mixed_with_air(&mixed(0.05)));
}

#[test]
fn weak_gas_can_explode_though_it_holds_no_flame() {
    let edge = gas_value("ch4_min_flammable");
    assert!(could_become_flammable_when_mixed_with_air(&biogas(
        edge + 1.0
    )));
    assert!(!could_become_flammable_when_mixed_with_air(&biogas(
        edge - 1.0
    )));
    let weak = limits(&biogas(edge - 1.0), LimitTable::Nfpa497).expect("it holds methane");
    assert_eq!(weak.upper_envelope, None);
}

#[test]
fn hydrogen_widens_every_limit() {
    let with = |h2: f64| {
        Mixture::new(Shares {
            ch4: 0.5 - h2,
            h2,
            co2: 0.5,
            ..Shares::default()
        })
        .expect("shares that make one")
    };
    let (none, some) = (with(0.0), with(0.1));
    let of = |gas| limits(gas, LimitTable::Iec60079).expect("it burns");
    assert!(of(&some).lower < of(&none).lower);
    assert!(of(&some).upper_safe > of(&none).upper_safe);
    assert!(of(&some).limiting_oxygen < of(&none).limiting_oxygen);
}

#[test]
fn a_purge_takes_a_volume_and_a_half() {
    near(purge_volumes_from_air(), 1.433, 0.001);
}

#[test]
fn the_course_figures_of_a_jet_come_within_a_percent() {
    let supply = Supply::new(biogas(60.0), 800.0).expect("a stove's pressure");
    let rho = supply.density_kg_m3().expect("a density");
    let q = flow_m3_h(2.0, 800.0, rho, jet_coefficient()).expect("a flow");
    near(
        q,
        gas_value("k_orifice_fulford") * 0.9 * std::f64::consts::PI * (8.0_f64 / 0.94016).sqrt(),
        0.01,
    );
    // Saturated gas is 0.5 % lighter than the dry gas of the example.
    near(supply.heat_kw(q).expect("a heat"), 2.0927, 0.005);
}

#[test]
fn drills_are_never_wider_than_asked() {
    assert_eq!(burner::metric_drill(2.0462), Some(2.0));
    assert_eq!(burner::metric_drill(2.05), Some(2.05));
    assert_eq!(burner::number_drill(2.0462).map(|d| d.0), Some(47));
    assert_eq!(burner::number_drill(0.1), None);
    assert_eq!(burner::metric_drill(f64::NAN), None);
}

#[test]
fn the_mix_is_as_viscous_as_the_rows_say() {
    for (t, id) in [
        (0.0, "mu_bg60_0c"),
        (10.0, "mu_bg60_10c"),
        (30.0, "mu_bg60_30c"),
    ] {
        near(
            viscosity_pa_s(&biogas(60.0), t).expect("a viscosity"),
            gas_value(id),
            0.02,
        );
    }
}

#[test]
fn a_line_sized_for_a_drop_has_that_drop() {
    let mut line = Line::plastic(8.0, 10.0, 1.1352, 1.331e-5);
    line.fittings = 3.0 * Fitting::Elbow.loss_coefficient();
    let most = line.most_flow_m3_h(200.0).expect("a flow");
    near(line.loss(most).expect("a loss").total_pa, 200.0, 1e-6);
    let bore = line.least_bore_mm(0.3, 100.0).expect("a bore");
    let back = Line {
        bore_mm: bore,
        ..line
    };
    near(back.loss(0.3).expect("a loss").total_pa, 100.0, 1e-6);
    assert_eq!(back.loss(0.3).expect("a loss").regime, Regime::Laminar);
    // Light gas gains pressure on the way up: 0.7 Pa a metre.
    line.rise_m = 3.0;
    near(line.loss(0.3).expect("a loss").lift_pa, 2.0, 0.05);
}

#[test]
fn a_salted_relief_needs_less_depth() {
    let water = depth_cm(1000.0, Liquid::Water, 15.0).expect("a depth");
    let salt = depth_cm(1000.0, Liquid::Salt20, -10.0).expect("a depth");
    near(salt / water, 0.863, 0.01);
    assert!(depth_cm(1000.0, Liquid::Water, -1.0).is_err());
}

#[test]
fn a_mesh_of_a_pipe_test_only_slows_a_flame() {
    let of = |gap, mm| flash_back(gap, mm).expect("an opening");
    assert_eq!(of(Gap::Mesh, 1.31), FlashBack::MaySlow);
    assert_eq!(of(Gap::Mesh, 0.5), FlashBack::Holds);
    assert_eq!(of(Gap::Mesh, 2.0), FlashBack::Passes);
    assert_eq!(of(Gap::Hole, 3.0), FlashBack::Holds);
    assert_eq!(of(Gap::Slit, 3.0), FlashBack::Passes);
}

#[test]
fn what_a_day_of_gas_does() {
    let gas = biogas(60.0);
    let one = |a| of_gas(a, &gas, 1000.0).expect("it is worked out");
    // Example 15: 2.2 to 5 hours per m3; the handbook m3 is warmer by 5 %.
    let stove = one(Appliance::Stove).does;
    near(stove.low, 2.22 * 1.055, 0.01);
    near(stove.high, 5.0 * 1.055, 0.01);
    // Example 17 at 60 %: 27.6 L per litre.
    near(one(Appliance::Kettle).does.high, 1000.0 / 27.6, 0.005);
    // Example 16: 1 kWh per m3.
    near(one(Appliance::Generator).does.mid, 1.0, 0.001);
    for appliance in Appliance::WORKED_OUT {
        let used = one(appliance);
        assert!(used.does.is_ordered() && used.does.low > 0.0, "{used:?}");
        for key in used.sources {
            assert!(crate::reference::source(key).is_some(), "{key}");
        }
    }
}

#[test]
fn the_engine_says_when_the_gas_must_be_washed() {
    let raw = Mixture::biogas_with_h2s(0.6, 2000.0).expect("shares");
    let said = of_gas(Appliance::Generator, &raw, 1000.0)
        .expect("kWh")
        .provided;
    assert!(said.contains("2000 ppm"), "{said}");
}

#[test]
fn a_kettle_by_two_ways_is_one_kettle() {
    let methane_l = 100.0;
    let kettles = uses::of_methane(methane_l).kettles;
    let one = boil(uses::KETTLE_L, 15.0, &biogas(60.0), 0.4, 0.55).expect("it boils");
    // A litre is taken as a kilogram there.
    near(kettles, methane_l / 0.6 / one.gas_normal_l, 0.002);
}

#[test]
fn a_shut_greenhouse_is_set_by_its_carbon_dioxide() {
    let house = Room::new(50.0, 1.0).expect("a room");
    let clean = fumes(&biogas(60.0), 0.2, Flame::Blue, &house).expect("fumes");
    let air = air_after(&house, &clean, None).expect("air");
    near(air.co2_ppm, 4713.0, 0.001);
    assert!(air.oxygen_pct > 19.5 && air.oxygen_pct < 20.95);
    let plants = fresh_air_needs(&house, &clean, For::Plants).expect("needs");
    assert_eq!(plants[0].of, "carbon dioxide");
    near(plants[0].fresh_air_m3_h, 0.21464 / 580e-6, 0.001);
    // A yellow flame turns the limit for people to carbon monoxide.
    let yellow = fumes(&biogas(60.0), 0.2, Flame::Yellow, &house).expect("fumes");
    let people = fresh_air_needs(&house, &yellow, For::People).expect("needs");
    assert_eq!(people[0].of, "carbon monoxide");
    for need in plants.iter().chain(&people) {
        assert!(
            crate::reference::source(&need.source_key).is_some(),
            "{need:?}"
        );
    }
}

#[test]
fn fumes_weigh_what_the_rows_say() {
    let room = Room::new(30.0, 1.0).expect("a room");
    let made = fumes(&biogas(60.0), 1.0, Flame::Blue, &room).expect("fumes");
    near(made.water_kg_h, gas_value("h2o_per_nm3"), 1e-4);
    near(made.heat_kw, 5.968, 1e-4);
}

#[test]
fn hours_to_a_quarter_of_the_lower_limit() {
    let room = Room::new(30.0, 0.1).expect("a room");
    let gas = biogas(60.0);
    let found = leak(&room, &gas, 0.3, LimitTable::Iec60079).expect("a leak");
    let hours = found.hours_to_quarter.expect("it gets there");
    let lower = limits(&gas, LimitTable::Iec60079).expect("limits").lower;
    near(
        room.share_after(0.3, hours).expect("a share"),
        lower / 4.0,
        1e-9,
    );
    let aired = leak(
        &Room::new(30.0, 50.0).expect("a room"),
        &gas,
        0.3,
        LimitTable::Iec60079,
    );
    assert_eq!(aired.expect("a leak").hours_to_quarter, None);
}

#[test]
fn the_first_gas_goes_out_of_doors() {
    let day = |o2, ch4, co2, gas_l| HeadspaceDay {
        o2,
        ch4,
        co2,
        h2: 0.0,
        gas_l,
    };
    let series = [
        day(0.20, 0.0, 0.02, 5.0),
        day(0.16, 0.06, 0.10, 10.0),
        day(0.13, 0.15, 0.20, 20.0),
        day(0.08, 0.30, 0.30, 40.0),
        day(0.04, 0.45, 0.38, 60.0),
        day(0.02, 0.55, 0.36, 80.0),
        day(0.01, 0.60, 0.37, 90.0),
    ];
    let first = first_gas(&series).expect("a series");
    assert_eq!(first.flammable, [1, 2]);
    assert_eq!(first.flammable_with_air, [1, 2, 3, 4, 5, 6]);
    assert_eq!(first.first_flame, Some(5));
    near(first.vent_l, 135.0, 1e-9);
    let never = first_gas(&series[..3]).expect("a series");
    assert_eq!((never.first_flame, never.vent_l), (None, 35.0));
}
