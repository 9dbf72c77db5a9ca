//! Nonsense is refused with a reason, never answered.

use super::biogas;
use crate::gas::appliances::{Appliance, boil, of_gas};
use crate::gas::first_gas::{HeadspaceDay, first_gas};
use crate::gas::flammability::{LimitTable, limits, purge_volumes};
use crate::gas::jet::{Supply, diameter_mm, fits, flow_m3_h, leak_l_h};
use crate::gas::line::Line;
use crate::gas::properties::{
    CombustionTemperature, State, burning_velocity_m_s, dry_normal_factor, heating_value,
    viscosity_pa_s,
};
use crate::gas::quench::{Gap, flash_back, mesh_opening_mm};
use crate::gas::relief::{Liquid, depth_cm, inner_tube, weight_pressure_pa};
use crate::gas::room::{Room, most_h2s_ppm, store_let_go};
use crate::gas::{GasError, Mixture, Shares, burner};
use crate::reference::source;

fn refused<T: std::fmt::Debug>(result: Result<T, GasError>) -> String {
    result.expect_err("it makes no sense").to_string()
}

#[test]
fn methane_of_140_percent() {
    let said = refused(Mixture::biogas(1.4));
    assert_eq!(
        said,
        "a methane share of 140 % cannot be: it must be from 0 to 100 %"
    );
}

#[test]
fn shares_that_make_no_whole() {
    let half = Shares {
        ch4: 0.3,
        co2: 0.2,
        ..Shares::default()
    };
    assert!(refused(Mixture::new(half)).contains("50.00 %"));
    assert!(
        refused(Mixture::new(Shares {
            ch4: f64::NAN,
            ..half
        }))
        .contains("methane")
    );
}

#[test]
fn a_jet_larger_than_its_tube() {
    assert_eq!(
        fits(9.0, 8.0),
        Err(GasError::JetTooWide {
            jet_mm: 9.0,
            tube_mm: 8.0
        })
    );
    assert!(burner::air_drawn(9.0, 8.0, &biogas(60.0)).is_err());
}

#[test]
fn numbers_that_cannot_be() {
    let gas = biogas(60.0);
    let line = Line::plastic(8.0, 10.0, 1.1352, 1.331e-5);
    for bad in [-1.0, f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        assert!(Supply::new(gas, bad).is_err());
        assert!(flow_m3_h(2.0, bad, 1.1, 0.9).is_err());
        assert!(flow_m3_h(bad, 800.0, 1.1, 0.9).is_err());
        assert!(diameter_mm(bad, 800.0, 1.1, 0.9).is_err());
        assert!(leak_l_h(bad, 800.0, 1.1).is_err());
        assert!(line.loss(bad).is_err());
        assert!(
            Line {
                bore_mm: bad,
                ..line
            }
            .loss(0.3)
            .is_err()
        );
        assert!(line.most_flow_m3_h(bad).is_err());
        assert!(line.least_bore_mm(0.3, bad).is_err());
        assert!(depth_cm(bad, Liquid::Water, 20.0).is_err());
        assert!(weight_pressure_pa(bad, 1.0).is_err());
        assert!(inner_tube(bad, 0.1).is_err());
        assert!(flash_back(Gap::Hole, bad).is_err());
        assert!(mesh_opening_mm(bad, 0.2).is_err());
        assert!(Room::new(bad, 1.0).is_err());
        assert!(Room::new(30.0, bad).is_err());
        assert!(most_h2s_ppm(0.4, bad, 5.0).is_err());
        assert!(boil(bad, 15.0, &gas, 0.4, 0.5).is_err());
        assert!(boil(1.5, 15.0, &gas, bad, 0.5).is_err());
        assert!(boil(1.5, 15.0, &gas, 0.4, bad).is_err());
        assert!(of_gas(Appliance::Stove, &gas, bad).is_err());
        assert!(purge_volumes(bad, 0.05).is_err());
        assert!(dry_normal_factor(20.0, 0.0, bad).is_err());
        assert!(burner::ports(bad, 2.5).is_err());
        assert!(burner::ports(100.0, bad).is_err());
        assert!(Mixture::biogas_with_h2s(0.6, bad).is_err());
        let day = HeadspaceDay {
            o2: bad,
            ..HeadspaceDay::default()
        };
        assert!(first_gas(&[day]).is_err());
    }
    for bad in [f64::NAN, f64::INFINITY, -300.0, 200.0] {
        assert!(viscosity_pa_s(&gas, bad).is_err());
        let state = State {
            t_c: bad,
            ..State::NORMAL
        };
        assert!(heating_value(&gas, state, CombustionTemperature::C25).is_err());
        assert!(gas.saturated(bad, 101_325.0).is_err());
    }
}

#[test]
fn a_store_of_nothing_or_larger_than_its_room() {
    let room = Room::new(30.0, 0.5).expect("a room");
    for store in [0.0, 31.0] {
        let said = refused(store_let_go(
            &room,
            &biogas(60.0),
            store,
            LimitTable::Nfpa497,
        ));
        assert!(
            said.contains("a store of") && said.contains("30 m3"),
            "{said}"
        );
    }
    assert!(of_gas(Appliance::Lamp, &biogas(60.0), 0.0).is_err());
}

#[test]
fn ports_that_let_the_flame_back() {
    let said = refused(burner::ports(1774.0, 3.2));
    assert!(said.contains("a flame port of 3.2 mm"), "{said}");
    assert!(burner::ports(1774.0, 3.0).is_ok());
}

#[test]
fn gas_beyond_the_table_of_flames() {
    for gas in [biogas(30.0), Mixture::air()] {
        let said = refused(burning_velocity_m_s(&gas));
        assert!(said.contains("40 to 100 % methane"), "{said}");
    }
}

#[test]
fn what_does_not_burn_has_no_limits() {
    assert_eq!(
        limits(&Mixture::air(), LimitTable::Iec60079),
        Err(GasError::NothingBurns)
    );
}

#[test]
fn no_vehicles_and_no_bottles() {
    for appliance in [Appliance::Vehicle, Appliance::Compressor] {
        match of_gas(appliance, &biogas(60.0), 1000.0) {
            Err(GasError::Refused {
                reason, source_key, ..
            }) => {
                assert!(reason.contains("high pressure"));
                assert!(source(source_key).is_some());
            }
            other => panic!("{other:?}"),
        }
    }
}

#[test]
fn gas_too_poor_for_a_flame() {
    let said = refused(of_gas(Appliance::Stove, &biogas(40.0), 1000.0));
    assert!(
        said.contains("methane for a steady flame of 40 %"),
        "{said}"
    );
    assert!(of_gas(Appliance::Generator, &biogas(47.0), 1000.0).is_ok());
}
