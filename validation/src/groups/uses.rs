//! What the gas does: heat, kettles, stove and lamp hours, electricity.

use fenlamp_model::gas::uses::{KETTLE_L, methane_mj_per_m3, of_methane};
use fenlamp_model::gas::volume::DRY_LITRES_PER_KMOL;

use super::Group;
use crate::Check;
use crate::oracle::oracle;

/// Dry normal litres of methane in a cubic metre of 60/40 gas counted at 15 degC, dry.
const METHANE_L_IN_M3_AT_15C: f64 = 600.0 * 0.947_944;

/// The group.
pub fn group() -> Group {
    Group {
        title: "Uses of the gas",
        about: "Worked examples 1 and 15 to 17 of the gas side: heat of methane against a combustion \
                library, and handbook figures for stove, lamp, engine and kettle.",
        checks: checks(),
    }
}

/// Checks of the group.
pub fn checks() -> Vec<Check> {
    let library = oracle("methane_net_heat");
    let per_m3 = library.value / DRY_LITRES_PER_KMOL;
    let whole = of_methane(1000.0);
    let biogas = of_methane(600.0);
    let at_15 = of_methane(METHANE_L_IN_M3_AT_15C);
    // Gas of 60 % methane that boils one litre of water.
    let litres_per_litre = 1.0 / (of_methane(0.6).kettles * KETTLE_L);
    vec![
        Check::new(
            "heat_ch4",
            "net heat of methane",
            per_m3,
            methane_mj_per_m3(),
            "MJ/m3",
        )
        .inputs("0 degC, dry; heat at 25 degC")
        .source(format!("{}, GRI-Mech 3.0", library.origin())),
        Check::new(
            "heat_ch4_gtz",
            "heat of methane",
            9.9,
            whole.heat_kwh,
            "kWh/m3",
        )
        .relative(0.01)
        .source("GTZ1989 (read)"),
        Check::new(
            "heat_biogas_gtz",
            "heat of 60/40 gas",
            6.0,
            biogas.heat_kwh,
            "kWh/m3",
        )
        .relative(0.01)
        .source("GTZ1989 (read)"),
        Check::new(
            "kettle",
            "gas for a kettle of 1.5 L",
            45.1,
            1.0 / of_methane(0.6).kettles,
            "L",
        )
        .relative(0.005)
        .inputs("60/40 gas, 0 degC; 15 degC to the boil, stove 55 %")
        .source("CoolProp 8.0.0 (computed)"),
        Check::within(
            "boil",
            "gas for a litre boiled",
            (30.0, 40.0),
            litres_per_litre,
            "L",
        )
        .inputs("the same")
        .source("SSWM (read)"),
        Check::new("stove", "stove hours of 1 m3", 3.33, at_15.stove_hours, "h")
            .relative(0.01)
            .inputs("60/40 gas at 15 degC; 0.3 m3/h")
            .source("GTZ93-7.1 (read)"),
        Check::within(
            "lamp",
            "lamp hours of 1 m3",
            (1.0 / 0.18, 1.0 / 0.13),
            at_15.lamp_hours,
            "h",
        )
        .inputs("the same; 0.13 to 0.18 m3/h")
        .source("GTZ93-7.1 (read)"),
        Check::within(
            "engine",
            "electricity of 1 m3",
            (0.895, 1.492),
            biogas.electricity_kwh,
            "kWh",
        )
        .inputs("60/40 gas, 0 degC; engines of 15 to 25 %")
        .source("worked example 16 of the gas side (computed)"),
        Check::new(
            "engine_rule",
            "electricity of 1 m3 against the handbook's about one",
            1.0,
            at_15.electricity_kwh,
            "kWh",
        )
        .relative(0.10)
        .inputs("60/40 gas at 15 degC")
        .source("GTZ93-7.1 (read)"),
    ]
}
