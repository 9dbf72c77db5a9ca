//! What must hold for any gas, line and room.

use proptest::prelude::*;

use crate::gas::flammability::{
    LimitTable, could_become_flammable_when_mixed_with_air, is_flammable, limits,
};
use crate::gas::jet::{diameter_mm, flow_m3_h};
use crate::gas::line::Line;
use crate::gas::properties::{
    State, density_kg_m3, net_mj_per_normal_m3, oxygen_need, relative_density, viscosity_pa_s,
};
use crate::gas::room::Room;
use crate::gas::{Mixture, Shares};

fn any_gas() -> impl Strategy<Value = Mixture> {
    proptest::array::uniform6(0.0..1.0f64).prop_filter_map("some gas", |parts| {
        let sum: f64 = parts.iter().sum();
        let [ch4, co2, h2s, n2, o2, h2] = parts.map(|x| x / sum);
        let shares = Shares {
            ch4,
            co2,
            h2s,
            n2,
            o2,
            h2,
            h2o: 0.0,
        };
        (sum > 0.1).then(|| Mixture::new(shares).expect("scaled to one"))
    })
}

proptest! {
    #[test]
    fn every_gas_has_finite_properties(gas in any_gas(), t_c in -20.0..60.0f64) {
        let state = State { t_c, ..State::NORMAL };
        let density = density_kg_m3(&gas, state).expect("a state that can be");
        prop_assert!(density > 0.05 && density < 2.5);
        let viscosity = viscosity_pa_s(&gas, t_c).expect("a temperature that can be");
        prop_assert!(viscosity > 5e-6 && viscosity < 3e-5);
        prop_assert!(net_mj_per_normal_m3(&gas) >= 0.0);
        prop_assert!(oxygen_need(&gas) >= 0.0);
        prop_assert!(relative_density(&gas) > 0.0);
    }

    #[test]
    fn limits_are_in_order_and_safe(gas in any_gas()) {
        let (narrow, wide) = (limits(&gas, LimitTable::Nfpa497), limits(&gas, LimitTable::Iec60079));
        let (narrow, wide) = (narrow.expect("it burns"), wide.expect("it burns"));
        prop_assert!(wide.lower <= narrow.lower);
        prop_assert!(wide.upper_safe >= narrow.upper_safe - 1e-12);
        prop_assert!(wide.limiting_oxygen > 0.04 && wide.limiting_oxygen < 0.1211);
    }

    #[test]
    fn what_can_burn_now_can_burn_with_air(gas in any_gas()) {
        prop_assert!(!is_flammable(&gas) || could_become_flammable_when_mixed_with_air(&gas));
    }

    /// Whatever some amount of air makes flammable was foretold, for biogas.
    #[test]
    fn no_dilution_of_biogas_surprises(ch4 in 0.22..1.0f64, air in 0.0..0.999f64) {
        let gas = Mixture::biogas(ch4).expect("a share");
        let mixed = gas.mixed_with(&Mixture::air(), air).expect("a share");
        prop_assert!(!is_flammable(&mixed) || could_become_flammable_when_mixed_with_air(&gas));
    }

    #[test]
    fn wet_and_dry_again_is_the_same_gas(gas in any_gas(), t_c in 0.0..60.0f64) {
        let back = gas.saturated(t_c, 101_325.0).expect("a state").dry();
        prop_assert!((back.shares().ch4 - gas.shares().ch4).abs() < 1e-12);
    }

    #[test]
    fn a_jet_sized_for_a_flow_passes_it(q in 0.01..5.0f64, p in 100.0..5000.0f64, rho in 0.8..1.9f64) {
        let d = diameter_mm(q, p, rho, 0.9).expect("a jet");
        let back = flow_m3_h(d, p, rho, 0.9).expect("a flow");
        prop_assert!((back / q - 1.0).abs() < 1e-9);
    }

    #[test]
    fn more_flow_never_loses_less(bore in 4.0..40.0f64, q in 0.01..2.0f64, more in 1.0..1.5f64) {
        let line = Line::plastic(bore, 10.0, 1.1352, 1.331e-5);
        if let (Ok(a), Ok(b)) = (line.loss(q), line.loss(q * more)) {
            prop_assert!(a.total_pa >= 0.0 && b.total_pa >= a.total_pa - 1e-12);
        }
    }

    #[test]
    fn a_room_fills_towards_its_end(v in 1.0..500.0f64, n in 0.05..20.0f64, g in 0.001..1.0f64, h in 0.0..100.0f64) {
        let room = Room::new(v, n).expect("a room");
        let now = room.share_after(g, h).expect("a share");
        let last = room.share_at_last(g).expect("a share");
        prop_assert!(now >= 0.0 && now <= last * (1.0 + 1e-12));
        if let Some(hours) = room.hours_to(g, (now * 0.9).min(1.0)).expect("a time") {
            prop_assert!(hours <= h + 1e-9);
        }
    }
}
