//! Stores and the gas train: worked examples 12 to 14, 17 and 22 of the gas side.

use std::f64::consts::TAU;

use fenlamp_model::gas::store::skin::Material;
use fenlamp_model::gas::store::{Load, Shape, Skin};
use fenlamp_model::gas::train::wash::{JarLife, Kind, Stage, sulfide_l};
use fenlamp_model::gas::train::{
    CARBON_DIOXIDE, Gas, Run, Surroundings, Train, dissolved_l_per_l_atm, run,
};
use fenlamp_model::gas::wash::life::{Contact, Jar, RawGas};
use fenlamp_model::gas::wash::liquor::Alkali;

use super::Group;
use crate::Check;

/// The group.
pub fn group() -> Group {
    Group {
        title: "Store and gas train",
        about: "Volumes by the tape, pressure under weights, permeation, and washes as the hourly \
                train uses them up, against worked examples.",
        checks: checks(),
    }
}

/// Checks of the group.
pub fn checks() -> Vec<Check> {
    let mut out = by_the_tape();
    out.extend(through_the_skin());
    out.extend(through_the_washes());
    out.extend(into_the_bath());
    out
}

/// Worked example 24: gas lost in the water of a seal or a drum's bath.
fn into_the_bath() -> Vec<Check> {
    let [methane, carbon_dioxide, _] = dissolved_l_per_l_atm();
    let example = "worked example 24 of the gas side (computed)";
    let under = "25 degC, 60/40 gas at one atmosphere";
    vec![
        Check::new(
            "bath_co2",
            "carbon dioxide in a litre of water",
            0.305,
            0.4 * carbon_dioxide,
            "L",
        )
        .inputs(under)
        .relative(0.005)
        .source(example),
        Check::new(
            "bath_ch4",
            "methane in a litre of water",
            0.019,
            0.6 * methane,
            "L",
        )
        .inputs(under)
        .relative(0.005)
        .source(example),
        Check::new(
            "bath_seal",
            "carbon dioxide that a fresh 100 L seal can take",
            30.0,
            100.0 * 0.4 * carbon_dioxide,
            "L",
        )
        .inputs(under)
        .relative(0.05)
        .source(example),
    ]
}

fn by_the_tape() -> Vec<Check> {
    let tube = Shape::Tubes {
        count: 1.0,
        ring_m: 0.9,
        girth_m: TAU * 0.12,
    };
    let drum = Shape::Drum {
        diameter_m: 0.57,
        travel_m: 0.8,
    };
    let steel = Skin {
        material: Material::Tight,
        thickness_mm: 1.0,
    };
    let long = Shape::Bag {
        length_m: 50.0,
        girth_m: 2.0,
    };
    let square = Shape::Bag {
        length_m: 1.0,
        girth_m: 2.0,
    };
    let example = "worked example 14 of the gas side (computed)";
    vec![
        Check::new(
            "tube_volume",
            "inner tube as a torus",
            0.127_91,
            tube.volume_m3(),
            "m3",
        )
        .inputs("ring radius 0.45 m, tube radius 0.12 m")
        .source(example),
        Check::new("tube_skin", "its skin", 2.132, tube.skin_m2(), "m2")
            .inputs("the same")
            .source(example),
        Check::new(
            "drum_pressure",
            "floating drum",
            768.6,
            Load { weight_kg: 20.0 }.pressure_pa(&drum, &steel, 0.1),
            "Pa",
        )
        .inputs("0.57 m across, 20 kg net")
        .source(example),
        Check::new(
            "bag_long",
            "long bag against a cylinder of its girth",
            50.0 / std::f64::consts::PI,
            long.volume_m3(),
            "m3",
        )
        .relative(0.01)
        .inputs("50 m long, girth 2 m")
        .source("geometry (computed)")
        .note("the closed ends take the rest"),
        Check::new(
            "bag_square",
            "square pillow of side 1",
            0.2055,
            square.volume_m3(),
            "m3",
        )
        .relative(0.10)
        .inputs("1 m by 1 m flat")
        .source("numerical solution of the paper bag problem (memory)")
        .note(
            "Robin's closed formula is 7 % under the numerical one for a square, on the safe side",
        ),
    ]
}

fn through_the_skin() -> Vec<Check> {
    let day = |material, thickness_mm, area| {
        let skin = Skin {
            material,
            thickness_mm,
        };
        skin.conductance_l_h_atm(area).map(|c| 24.0 * c)
    };
    let butyl = day(Material::Butyl, 2.0, 1.5);
    let film = day(Material::PeFilm, 0.2, 4.0);
    let rows = [
        (
            "skin_butyl_ch4",
            "methane through a butyl tube",
            0.0231,
            0.6 * butyl[0],
        ),
        (
            "skin_butyl_co2",
            "carbon dioxide through it",
            0.102,
            0.4 * butyl[1],
        ),
        (
            "skin_film_ch4",
            "methane through LDPE film",
            2.27,
            0.6 * film[0],
        ),
        (
            "skin_film_co2",
            "carbon dioxide through it",
            6.62,
            0.4 * film[1],
        ),
    ];
    rows.map(|(id, what, published, ours)| {
        Check::new(id, what, published, ours, "L/d")
            .relative(0.01)
            .inputs("1.5 m2 of 2 mm, 4 m2 of 0.2 mm; 0.6 atm CH4, 0.4 atm CO2")
            .source("worked example 22 of the gas side (computed; PAULY1999, memory)")
    })
    .into()
}

/// Steady 60/40 gas of 2000 ppm through one wash.
fn washed(kind: Kind, litres_a_day: f64, days: usize) -> Run {
    let train = Train {
        washes: vec![Stage {
            kind,
            renewed_every: None,
        }],
        store: None,
        burns: vec![],
    };
    let l = litres_a_day;
    let gas: Vec<Gas> = vec![[0.6 * l, 0.398 * l, 0.002 * l, 0.0]; days];
    let around = Surroundings::new((0..24 * days).map(|_| 20.0), 1.01325, 0.0, vec![0; days]);
    run(&train, &gas, &around, false)
}

fn through_the_washes() -> Vec<Check> {
    let iron = |grams| Kind::Iron {
        capacity_l: sulfide_l(grams),
        removal: 1.0,
    };
    let bog = washed(iron(30.0), 1000.0, 30).filling_l[0] / 1000.0;
    let oxide = washed(iron(100.0), 1000.0, 60).filling_l[0] / 1000.0;
    let jar = Jar {
        water_kg: 1.0,
        liquor: Alkali::PotassiumCarbonate.liquor(0.5).unwrap_or_default(),
        depth_m: 0.05,
        t_c: 25.0,
    };
    let raw = RawGas {
        co2_share: 0.4,
        h2s_ppm: 2000.0,
    };
    let life = JarLife::new(jar, raw, 101_325.0, Contact::BALANCE);
    let lye = washed(Kind::Jar(life), 2.0, 100).account.washed_out[CARBON_DIOXIDE];
    vec![
        Check::new(
            "train_bog_iron",
            "2 kg of bog iron, one pass",
            10.49,
            bog,
            "d",
        )
        .relative(0.002)
        .inputs("1 m3 a day of 2000 ppm, 15 g S/kg, all of it caught")
        .source("worked example 12 (computed; GTZ1989 p. 66, read)"),
        Check::new(
            "train_oxide",
            "0.5 kg of iron oxide medium",
            34.96,
            oxide,
            "d",
        )
        .relative(0.002)
        .inputs("the same gas, 200 g S/kg")
        .source("worked example 12 (computed; UMD2018, read)"),
        Check::new(
            "train_lye",
            "CO2 that a litre of half-molar potash takes",
            10.99,
            lye,
            "L",
        )
        .relative(0.03)
        .inputs("hourly train, 2 L of gas a day, contact to balance")
        .source("worked example 13 (PHREEQC, computed)"),
    ]
}
