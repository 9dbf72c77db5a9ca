//! What gas does, and what it does to a room.

use fenlamp_model::gas::appliances::{Appliance, boil, burner_kw, of_gas};
use fenlamp_model::gas::flammability::LimitTable;
use fenlamp_model::gas::jet::Supply;
use fenlamp_model::gas::properties::{State, net_mj_per_normal_m3};
use fenlamp_model::gas::room::{
    Flame, For, Room, air_after, fresh_air_needs, fumes, leak, most_h2s_ppm, store_let_go,
};
use fenlamp_model::gas::{GasError, Mixture};
use fenlamp_model::reference::gas_value;

use super::{Group, biogas, or_nan};
use crate::Check;

/// The group.
pub fn group() -> Group {
    Group {
        title: "Gas: stoves, kettles, engines and the room",
        about: "Worked examples 15 to 20. Mixed-room sums never clear a room: a leak lies in layers.",
        checks: checks(),
    }
}

/// Checks of the group.
pub fn checks() -> Vec<Check> {
    let mut out = stove_and_engine();
    out.extend(kettle());
    out.extend(greenhouse());
    out.extend(leaks());
    out.extend(sulfur());
    out
}

fn stove_and_engine() -> Vec<Check> {
    let gas = biogas(60.0);
    let mut out: Vec<_> = [(0.20, 1.194), (0.30, 1.790), (0.40, 2.387), (0.45, 2.686)]
        .into_iter()
        .map(|(q, kw)| {
            Check::new(
                &format!("g15_{q}"),
                &format!("heat of a stove of {q} m3/h"),
                kw,
                or_nan(burner_kw(&gas, q, State::NORMAL)),
                "kW",
            )
            .source("SSWM, GTZ1993 flows (read), heat computed")
        })
        .collect();
    let wet = Supply::new(gas, 800.0).and_then(|s| s.heat_kw(0.40));
    out.push(
        Check::new(
            "g15_wet",
            "the same of 0.40 m3/h wet at 20 degC and 8 mbar",
            2.191,
            or_nan(wet),
            "kW",
        )
        .source("ARITH (computed)"),
    );
    let hours = of_gas(Appliance::Stove, &gas, 1000.0);
    let warm = 273.15 / 288.15;
    out.push(
        Check::within(
            "g15_hours",
            "stove hours of an m3",
            (2.22, 5.00),
            or_nan(hours.as_ref().map(|u| u.does.mid * warm)),
            "h",
        )
        .inputs("m3 of 15 degC")
        .source("SSWM (read)"),
    );
    let kwh = net_mj_per_normal_m3(&gas) / 3.6;
    let engine = of_gas(Appliance::Generator, &gas, 1000.0);
    out.push(
        Check::new(
            "g16_low",
            "electricity of an m3 at 15 %",
            0.895,
            or_nan(engine.as_ref().map(|u| u.does.low)),
            "kWh",
        )
        .source("MITZLAFF1988 (memory)"),
    );
    out.push(
        Check::new(
            "g16_high",
            "electricity of an m3 at 25 %",
            1.492,
            or_nan(engine.as_ref().map(|u| u.does.high)),
            "kWh",
        )
        .source("MITZLAFF1988 (memory)"),
    );
    out.push(
        Check::new(
            "g16_mid",
            "gas for a kWh, small generator",
            gas_value("use_kwh_gtz"),
            or_nan(engine.map(|u| 1.0 / u.does.mid)),
            "m3/kWh",
        )
        .source("GTZ1993 (read)"),
    );
    out.push(
        Check::new(
            "g16_dual",
            "gas for a kWh with a diesel pilot",
            gas_value("use_kwh_dual"),
            1.0 / (0.2 * kwh),
            "m3/kWh",
        )
        .inputs("ours at 20 %, gas alone")
        .source("SSWM (read)")
        .explained(
            (0.83, 0.85),
            "not all of it is the gas's heat: the pilot is diesel; no 24 % can be read out of it",
        ),
    );
    out
}

fn kettle() -> Vec<Check> {
    let gas = biogas(60.0);
    let mut out = vec![];
    for (percent, minutes, litres, per_litre) in [
        (32.0, 11.64, 77.6, 51.7),
        (45.0, 8.28, 55.2, 36.8),
        (50.0, 7.45, 49.7, 33.1),
        (55.0, 6.77, 45.1, 30.1),
        (60.0, 6.21, 41.4, 27.6),
    ] {
        let one = boil(1.5, 15.0, &gas, 0.40, percent / 100.0);
        let mut of = |id: &str, what: &str, published, ours, unit| {
            out.push(
                Check::new(
                    &format!("g17_{id}_{percent}"),
                    &format!("{what} at {percent} %"),
                    published,
                    ours,
                    unit,
                )
                .inputs("1.5 L from 15 degC, 0.40 m3/h of 60/40")
                .relative(0.0015)
                .source("COOLPROP800 (computed)"),
            );
        };
        of(
            "minutes",
            "kettle boils",
            minutes,
            or_nan(one.as_ref().map(|b| b.minutes)),
            "min",
        );
        of(
            "gas",
            "gas of a kettle",
            litres,
            or_nan(one.as_ref().map(|b| b.gas_normal_l)),
            "L",
        );
        of(
            "litre",
            "gas of a litre",
            per_litre,
            or_nan(one.as_ref().map(|b| b.gas_normal_l_per_l)),
            "L/L",
        );
    }
    let published = (gas_value("use_boil_lo"), gas_value("use_boil_hi"));
    let middle = boil(1.0, 15.0, &gas, 0.40, 0.5).map(|b| b.gas_normal_l);
    out.push(
        Check::within(
            "g17_handbook",
            "gas to boil a litre, handbook",
            published,
            or_nan(middle),
            "L/L",
        )
        .inputs("at 50 %")
        .source("SSWM (read)"),
    );
    out
}

fn greenhouse() -> Vec<Check> {
    let gas = biogas(60.0);
    let mut out = vec![];
    for (changes, last, half, one) in [(1.0, 4292.9, 1689.1, 2713.6), (0.5, 8585.8, 1899.2, 3378.2)]
    {
        let rise = |hours| -> Result<f64, GasError> {
            let room = Room::new(50.0, changes)?;
            let made = fumes(&gas, 0.20, Flame::Blue, &room)?;
            Ok(air_after(&room, &made, hours)?.co2_ppm - gas_value("x_co2_air"))
        };
        for (id, hours, published) in [
            ("last", None, last),
            ("half", Some(0.5), half),
            ("one", Some(1.0), one),
        ] {
            out.push(
                Check::new(
                    &format!("g18_{changes}_{id}"),
                    &format!("CO2 rise, {id}"),
                    published,
                    or_nan(rise(hours)),
                    "ppm",
                )
                .inputs(format!("0.20 m3/h in 50 m3, {changes} changes/h"))
                .source("ARITH (computed)"),
            );
        }
    }
    let room = Room::new(50.0, 1.0);
    let for_crops = room.and_then(|room| {
        let made = fumes(&gas, 1.0, Flame::Blue, &room)?;
        let needs = fresh_air_needs(&room, &made, For::Plants)?;
        let co2 = needs.iter().find(|n| n.of == "carbon dioxide");
        Ok(co2.map_or(f64::NAN, |n| {
            1000.0 * room.fresh_air_m3_h() / n.fresh_air_m3_h
        }))
    });
    out.push(
        Check::new(
            "g18_crops",
            "gas that holds 1000 ppm",
            27.02,
            or_nan(for_crops),
            "L/h",
        )
        .inputs("50 m3, 1 change/h")
        .source("OMAFRA2002 (read)"),
    );
    out
}

fn leaks() -> Vec<Check> {
    let table = LimitTable::Nfpa497;
    let room = Room::new(30.0, 0.5);
    let raw = Mixture::biogas_with_h2s(0.6, 2000.0);
    let found = room
        .clone()
        .and_then(|room| leak(&room, &raw?, 0.05, table));
    let plain = room
        .clone()
        .and_then(|room| leak(&room, &biogas(60.0), 0.05, table));
    let store = room.and_then(|room| store_let_go(&room, &biogas(60.0), 0.5, table));
    let at = "0.05 m3/h of 60/40 with 2000 ppm H2S into 30 m3, 0.5 changes/h";
    vec![
        Check::new(
            "g19_ch4",
            "methane of a leak",
            0.20,
            or_nan(found.as_ref().map(|l| 100.0 * l.methane_share)),
            "%",
        )
        .inputs(at)
        .source("ARITH (computed)"),
        Check::new(
            "g19_lfl",
            "the same of its lower limit",
            4.0,
            or_nan(plain.as_ref().map(|l| 100.0 * l.of_lower_limit)),
            "%",
        )
        .inputs(at)
        .source("NFPA497 (read)"),
        Check::new(
            "g19_h2s",
            "hydrogen sulfide of a leak",
            6.67,
            or_nan(found.map(|l| l.h2s_ppm)),
            "ppm",
        )
        .inputs(at)
        .source("ARITH (computed)"),
        Check::new(
            "g19_air",
            "fresh air that keeps it under a tenth",
            6.0,
            or_nan(plain.map(|l| l.fresh_air_m3_h)),
            "m3/h",
        )
        .inputs(at)
        .source("OSHA-PRCS (read)"),
        Check::new(
            "g19_store",
            "0.5 m3 let go in 30 m3, of its lower limit",
            20.0,
            or_nan(store.map(|x| 100.0 * x)),
            "%",
        )
        .source("NFPA497 (read)"),
    ]
}

fn sulfur() -> Vec<Check> {
    let raw = Mixture::biogas_with_h2s(0.6, 2000.0);
    let normal = 0.40 * 273.15 / 293.15;
    let so2 = raw.and_then(|gas| {
        let room = Room::new(30.0, 1.0)?;
        let made = fumes(&gas, normal, Flame::Blue, &room)?;
        Ok(air_after(&room, &made, None)?.so2_ppm)
    });
    let at = "0.40 m3/h, no flue, 30 m3/h of fresh air";
    let most = |ppm| or_nan(most_h2s_ppm(0.40, 30.0, ppm));
    vec![
        Check::new(
            "g20_so2",
            "sulfur dioxide from 2000 ppm H2S",
            26.7,
            or_nan(so2),
            "ppm",
        )
        .relative(0.002)
        .inputs(at)
        .source("NIOSH-SO2 (read)"),
        Check::new("g20_stel", "most H2S for 5 ppm", 375.0, most(5.0), "ppm")
            .inputs(at)
            .source("NIOSH-SO2 (read)"),
        Check::new(
            "g20_acgih",
            "most H2S for 0.25 ppm",
            18.75,
            most(0.25),
            "ppm",
        )
        .inputs(at)
        .source("ACGIH (memory)"),
    ]
}
