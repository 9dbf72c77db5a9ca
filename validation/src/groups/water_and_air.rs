//! Properties of water, steam and moist air, against libraries.

use fenlamp_model::gas::volume::{DRY_LITRES_PER_KMOL, saturation_bar, wet_litres_per_kmol};
use fenlamp_model::reference::thermal_value;
use fenlamp_model::warmth::coefficients::rows;
use fenlamp_model::warmth::moist_air::{enthalpy_j_kg, humidity_ratio, saturation_pa};

use super::Group;
use crate::Check;
use crate::oracle::oracle;

/// The group.
pub fn group() -> Group {
    Group {
        title: "Water and moist air",
        about: "Constants and curves of the heat balance against CoolProp (IAPWS formulations) and \
                PsychroLib, from 5 to 55 degC; the metered volume of gas against the handbook form.",
        checks: checks(),
    }
}

/// Checks of the group.
pub fn checks() -> Vec<Check> {
    let mut out = water();
    out.extend(saturation());
    out.extend(moist_air());
    out.extend(metered_volume());
    out
}

fn water() -> Vec<Check> {
    let mut out = vec![
        oracle("water_heat_capacity_20").check(
            "heat capacity of water, constant used",
            rows().cp_water_j_kgk,
        ),
        oracle("water_heat_capacity_5").check("the same at 5 degC", rows().cp_water_j_kgk),
        oracle("water_heat_capacity_55").check("the same at 55 degC", rows().cp_water_j_kgk),
    ];
    for t in [5, 20, 35, 55] {
        out.push(oracle(&format!("water_density_{t}")).check(
            &format!("density of water at {t} degC, table row"),
            thermal_value(&format!("rho_w_{t}")),
        ));
        out.push(oracle(&format!("water_conductivity_{t}")).check(
            &format!("conductivity of water at {t} degC, table row"),
            thermal_value(&format!("k_w_{t}")),
        ));
    }
    let cp = 0.92 * oracle("water_heat_capacity_20").value + 0.08 * rows().cp_dry_solids_j_kgk;
    out.push(
        Check::new(
            "slurry_heat_capacity",
            "heat capacity of slurry",
            cp,
            rows().cp_slurry_j_kgk,
            "J/(kg K)",
        )
        .relative(0.005)
        .inputs("8 % solids at 1400 J/(kg K), water by CoolProp")
        .source("CoolProp 8.0.0 (computed)"),
    );
    out
}

fn saturation() -> Vec<Check> {
    (5..60)
        .step_by(5)
        .flat_map(|t| {
            let stored = oracle(&format!("water_saturation_{t}"));
            let at = f64::from(t);
            let mut heap = stored.check(
                &format!("vapour pressure at {t} degC, heat balance"),
                saturation_pa(at),
            );
            heap.id = format!("saturation_heap_{t}");
            let mut gas = stored.check(
                &format!("vapour pressure at {t} degC, gas volumes"),
                1e5 * saturation_bar(at),
            );
            gas.id = format!("saturation_gas_{t}");
            [heap, gas]
        })
        .collect()
}

fn moist_air() -> Vec<Check> {
    let p = 101_325.0;
    let inlet = humidity_ratio(0.0, 0.8, p);
    let inlet_h = enthalpy_j_kg(0.0, inlet);
    let mut out = vec![
        oracle("humidity_ratio_inlet").check("water in outside air", inlet),
        oracle("air_enthalpy_inlet").check("enthalpy of outside air", inlet_h),
    ];
    for (t, published) in [
        (30, 92.19),
        (40, 158.59),
        (50, 266.69),
        (55, 346.00),
        (60, 451.02),
    ] {
        let w = humidity_ratio(f64::from(t), 1.0, p);
        let h = enthalpy_j_kg(f64::from(t), w);
        out.push(
            oracle(&format!("humidity_ratio_saturated_{t}"))
                .check(&format!("water in saturated air at {t} degC"), w),
        );
        out.push(
            Check::new(
                &format!("exhaust_{t}"),
                &format!("heat carried by exhaust of {t} degC"),
                published,
                (h - inlet_h) / 1000.0,
                "kJ/kg dry air",
            )
            .relative(0.01)
            .inputs("saturated; inlet 0 degC, 80 % RH")
            .source(oracle("air_enthalpy_inlet").origin()),
        );
    }
    out
}

fn metered_volume() -> Vec<Check> {
    // V_N = V (p - p_w)/101.325 x 273.15/(273.15 + t); worked example 9 of the gas side.
    [
        (30.0, 101.825, 0.867_719),
        (25.0, 102.325, 0.896_530),
        (20.0, 102.125, 0.917_620),
        (15.0, 101.325, 0.931_985),
        (40.0, 103.0, 0.823_111),
    ]
    .into_iter()
    .map(|(t, kpa, factor)| {
        let ours = DRY_LITRES_PER_KMOL / wet_litres_per_kmol(t, kpa / 100.0);
        Check::new(
            &format!("dry_normal_{t}"),
            &format!("dry normal volume of metered gas, {t} degC, {kpa} kPa"),
            factor,
            ours,
            "m3/m3",
        )
        .relative(0.002)
        .inputs("saturated")
        .source("VDI 4630 form (memory); CoolProp 8.0.0 (computed)")
    })
    .collect()
}
