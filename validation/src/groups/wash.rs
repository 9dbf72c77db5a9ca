//! Wash jars, iron, air, traps and buffers.

use fenlamp_model::gas::buffer::{Slurry, plan};
use fenlamp_model::gas::trap::{Stretch, condensate, fill_days, water_g_per_m3};
use fenlamp_model::gas::wash::air_dose::air_dose;
use fenlamp_model::gas::wash::constants::Constants;
use fenlamp_model::gas::wash::equilibrium::{Balance, Liquor, closed, under_gas};
use fenlamp_model::gas::wash::iron::{Medium, Packing, field_removal, packing, sulfur_g_day};
use fenlamp_model::gas::wash::life::{Contact, Jar, Life, RawGas, SpentRule, life};
use fenlamp_model::gas::wash::liquor::{Alkali, ash_lye};
use fenlamp_model::reference::{gas_constant, gas_value};

use super::Group;
use crate::Check;
use crate::oracle::path;

/// The group.
pub fn group() -> Group {
    Group {
        title: "Wash, iron, trap and buffer",
        about: "The balance of alkaline washes with CO2 and H2S against PHREEQC over strengths, \
                gases and temperatures; the life of a jar, iron packings, air doses, condensate \
                and buffer doses against published figures.",
        checks: checks(),
    }
}

/// Checks of the group.
pub fn checks() -> Vec<Check> {
    let mut out = grid();
    out.extend(rows());
    out.extend(jar_life());
    out.extend(iron_and_air());
    out.extend(trap());
    out.extend(buffer());
    out
}

const PHREEQC: &str = "PHREEQC (phreeqc.dat) through phreeqpython 1.6.2 (computed)";

/// A row of `oracles/wash_phreeqc.csv`.
#[derive(serde::Deserialize)]
struct Point {
    salt: String,
    molality: f64,
    co2_share: f64,
    h2s_ppm: f64,
    t_c: f64,
    fresh_ph: f64,
    ph: f64,
    co2_taken: f64,
    sulfide_held: f64,
}

impl Point {
    /// Fresh and under the gas, by us.
    fn ours(&self) -> (Balance, Balance) {
        let k = Constants::at(self.t_c).expect("the grid is in range");
        let liquor = alkali(&self.salt).liquor(self.molality);
        let liquor = liquor.expect("the grid is in range");
        let gas = under_gas(&k, &liquor, self.co2_share, self.h2s_ppm * 1e-6);
        (closed(&k, &liquor), gas)
    }
}

/// The alkali behind a formula.
fn alkali(formula: &str) -> Alkali {
    match formula {
        "K2CO3" => Alkali::PotassiumCarbonate,
        "KOH" => Alkali::PotassiumHydroxide,
        "NaOH" => Alkali::SodiumHydroxide,
        "Ca(OH)2" => Alkali::SlakedLime,
        _ => Alkali::SodiumCarbonate,
    }
}

/// Rows of a stored table.
fn stored<T: serde::de::DeserializeOwned>(name: &str) -> Vec<T> {
    csv::Reader::from_path(path(name))
        .and_then(|mut file| file.deserialize().collect())
        .expect("stored tables of validation/oracles are readable")
}

/// The worst distance of pairs (ours, theirs), %, and the pair's label.
fn worst<'a>(pairs: impl Iterator<Item = (f64, f64, &'a str)>) -> (f64, &'a str) {
    pairs
        .map(|(ours, theirs, label)| (100.0 * (ours / theirs - 1.0).abs(), label))
        .fold(
            (0.0, ""),
            |a, b| if b.0 > a.0 || b.0.is_nan() { b } else { a },
        )
}

/// A check that the worst distance is under 3 %, said with two figures.
fn worst_check(id: String, what: String, (percent, at): (f64, &str)) -> Check {
    let shown = (percent * 100.0).round() / 100.0;
    Check::within(&id, &what, (0.0, 3.0), shown, "%")
        .source(PHREEQC)
        .note(format!("Worst at {at}."))
}

fn grid() -> Vec<Check> {
    let points: Vec<Point> = stored("oracles/wash_phreeqc.csv");
    let mut out = Vec::new();
    for (key, salts, of) in [
        (
            "potassium",
            vec!["K2CO3", "KOH"],
            "potassium carbonate and hydroxide",
        ),
        (
            "sodium",
            vec!["Na2CO3", "NaOH"],
            "sodium carbonate and hydroxide",
        ),
        ("lime", vec!["Ca(OH)2"], "lime water with its chalk"),
    ] {
        let all: Vec<_> = points
            .iter()
            .filter(|p| salts.contains(&p.salt.as_str()))
            .map(|p| {
                let (fresh, gas) = p.ours();
                let taken = gas.liquor.carbon - fresh.liquor.carbon;
                let label = format!(
                    "{} mol/kg {}, {} % CO2, {} ppm H2S, {} degC",
                    p.molality,
                    p.salt,
                    100.0 * p.co2_share,
                    p.h2s_ppm,
                    p.t_c
                );
                let dissolved = taken - gas.calcite;
                [
                    (fresh.ph, p.fresh_ph),
                    (gas.ph, p.ph),
                    (dissolved, p.co2_taken),
                    (gas.liquor.sulfide, p.sulfide_held),
                ]
                .map(|(ours, theirs)| (ours, theirs, label.clone()))
            })
            .collect();
        for (i, what) in ["fresh pH", "pH under gas", "CO2 taken up", "sulfide held"]
            .into_iter()
            .enumerate()
        {
            let pairs = all.iter().map(|p| (p[i].0, p[i].1, p[i].2.as_str()));
            out.push(
                worst_check(
                    format!("wash_grid_{key}_{i}"),
                    format!("{of}: {what}, worst of {} differences", all.len()),
                    worst(pairs),
                )
                .inputs("up to 1 mol/kg; CO2 20 to 50 %; H2S 200 to 5000 ppm; 10 to 35 degC"),
            );
        }
    }
    out.extend(shut());
    out
}

/// A row of `oracles/wash_phreeqc_path.csv`.
#[derive(serde::Deserialize)]
struct Step {
    salt: String,
    molality: f64,
    t_c: f64,
    co2_added: f64,
    h2s_added: f64,
    ph: f64,
    co2_atm: f64,
    h2s_atm: f64,
}

/// Shut liquors on their way from fresh to spent.
fn shut() -> Vec<Check> {
    let steps: Vec<Step> = stored("oracles/wash_phreeqc_path.csv");
    let all: Vec<_> = steps
        .iter()
        .map(|s| {
            let k = Constants::at(s.t_c).expect("the table is in range");
            let fresh = alkali(&s.salt).liquor(s.molality);
            let fresh = fresh.expect("the table is in range");
            let b = closed(
                &k,
                &Liquor {
                    carbon: fresh.carbon + s.co2_added,
                    sulfide: s.h2s_added,
                    ..fresh
                },
            );
            let label = format!(
                "{} mol/kg {} with {} mol/kg CO2, {} degC",
                s.molality, s.salt, s.co2_added, s.t_c
            );
            (b, s, label)
        })
        .collect();
    let ph = worst(all.iter().map(|(b, s, l)| (b.ph, s.ph, l.as_str())));
    // Where the CO2 over the liquor matters at all.
    let felt = || all.iter().filter(|(_, s, _)| s.co2_atm > 1e-4);
    let co2 = worst(felt().map(|(b, s, l)| (b.co2_atm, s.co2_atm, l.as_str())));
    let h2s = worst(felt().map(|(b, s, l)| (b.h2s_atm, s.h2s_atm, l.as_str())));
    [
        ("ph", "pH", ph),
        ("co2", "CO2 over it", co2),
        ("h2s", "H2S over it", h2s),
    ]
    .map(|(id, what, worst)| {
        worst_check(
            format!("wash_path_{id}"),
            format!(
                "half-spent washes: {what}, worst of {} differences",
                all.len()
            ),
            worst,
        )
        .inputs("a fifth to nearly all of the CO2 they can take; 10 to 35 degC")
    })
    .to_vec()
}

fn at_25() -> Constants {
    Constants::at(25.0).expect("in range")
}

fn potash(molality: f64) -> Liquor {
    let liquor = Alkali::PotassiumCarbonate.liquor(molality);
    liquor.expect("in range")
}

/// Rows of `gas_constants.csv` on washes.
fn rows() -> Vec<Check> {
    let k = at_25();
    let row = |id: &str, what: &str, ours: f64| {
        let row = gas_constant(id).expect("a row of the table");
        Check::new(id, what, gas_value(id), ours, &row.unit)
            .relative(0.03)
            .inputs(row.conditions.clone())
            .source(PHREEQC)
    };
    let mut out = Vec::new();
    for (id, molality) in [("0p01", 0.01), ("0p1", 0.1), ("0p5", 0.5), ("1p0", 1.0)] {
        let ph = closed(&k, &potash(molality)).ph;
        out.push(row(&format!("ph_k2co3_{id}"), "pH of fresh potash wash", ph).relative(0.005));
    }
    for (id, molality) in [("0p1", 0.1), ("0p5", 0.5), ("1p0", 1.0)] {
        let lye = Alkali::PotassiumHydroxide.liquor(molality);
        let ph = closed(&k, &lye.expect("in range")).ph;
        out.push(row(&format!("ph_koh_{id}"), "pH of fresh caustic potash", ph).relative(0.005));
    }
    for (id, molality) in [("0p1", 0.1), ("0p25", 0.25), ("0p5", 0.5), ("1p0", 1.0)] {
        let b = under_gas(&k, &potash(molality), 0.4, 0.002);
        out.push(row(&format!("ph_eq_k2co3_{id}"), "pH of spent wash", b.ph).relative(0.005));
        out.push(row(
            &format!("co2_cap_k2co3_{id}"),
            "CO2 taken up",
            b.liquor.carbon - molality,
        ));
        out.push(row(
            &format!("h2s_cap_k2co3_{id}"),
            "H2S held",
            b.liquor.sulfide,
        ));
    }
    let lime = Alkali::SlakedLime.liquor(0.5).expect("in range");
    let fresh = closed(&k, &lime);
    out.push(
        Check::new(
            "lime_water_ph",
            "pH of saturated lime water",
            12.45,
            fresh.ph,
            "pH",
        )
        .relative(0.005)
        .inputs("25 degC")
        .source("handbook figure, from memory"),
    );
    out.push(
        Check::new(
            "lime_solubility",
            "slaked lime that dissolves",
            1.6,
            (0.5 - fresh.lime) * Alkali::SlakedLime.molar_mass(),
            "g/kg",
        )
        .relative(0.08)
        .inputs("25 degC")
        .source("handbook figures 1.5 to 1.7, from memory"),
    );
    out
}

fn run(liquor: Liquor) -> Life {
    let jar = Jar {
        water_kg: 1.0,
        liquor,
        depth_m: 0.15,
        t_c: 25.0,
    };
    let gas = RawGas::new(0.4, 2000.0).expect("in range");
    life(
        &[jar],
        gas,
        101_325.0,
        Contact::BALANCE,
        SpentRule::default(),
    )
    .expect("in range")
}

fn jar_life() -> Vec<Check> {
    let example = "worked_examples_gas.md section 13 (computed)";
    let half = run(potash(0.5));
    let none = f64::NAN;
    let [_, ash, _] = ash_lye(0.5, 1.0).expect("in range");
    let ash_l = run(ash).until_idle_l.unwrap_or(none) / 0.5;
    vec![
        Check::within(
            "jar_life_ph",
            "biogas until a litre of half-molar wash is at pH 8.5",
            (25.0, 35.0),
            half.until_ph_l.unwrap_or(none),
            "L",
        )
        .inputs("25 degC; 40 % CO2; 2000 ppm H2S; balance in every bubble")
        .source(example),
        Check::within(
            "jar_life_idle",
            "biogas until it lets 95 % of the CO2 by",
            (25.0, 35.0),
            half.until_idle_l.unwrap_or(none),
            "L",
        )
        .inputs("as above")
        .source(example),
        Check::new(
            "jar_co2_first",
            "biogas whose CO2 a spent jar has kept",
            27.5,
            half.afterwards().map_or(none, |m| m.carbon_mol - 0.5) * gas_value("vm_ideal_0c") / 0.4,
            "L",
        )
        .relative(0.03)
        .inputs("as above")
        .source(example),
        Check::new(
            "ash_life",
            "biogas that a kilogram of ash washes",
            40.5,
            ash_l,
            "L",
        )
        .relative(0.2)
        .inputs("ash of 1.5 eq/kg, half a kilogram in a kilogram of water")
        .source(example)
        .note("The example counts bicarbonate only; ours adds dissolved CO2 and the tail."),
    ]
}

fn iron_and_air() -> Vec<Check> {
    let source =
        "worked_examples_gas.md section 12 (computed; capacities GTZ1989 and UMD2018, read)";
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
    let mut out = vec![
        Check::new(
            "sulfur_load",
            "sulfur in the gas",
            2.8607,
            sulfur_g_day(1000.0, 2000.0),
            "g/d",
        ),
        Check::new(
            "bog_iron_once",
            "2 kg bog iron, one pass",
            10.49,
            days(Medium::BogIron, 2.0, 0),
            "d",
        ),
        Check::new(
            "oxide_once",
            "0.5 kg oxide medium",
            34.96,
            days(Medium::OxideMedium, 0.5, 0),
            "d",
        ),
        Check::new(
            "oxide_twice",
            "the same, regenerated twice",
            74.07,
            days(Medium::OxideMedium, 0.5, 2),
            "d",
        ),
        Check::new(
            "steel_wool",
            "200 g steel wool",
            4.01,
            days(Medium::SteelWool, 0.2, 0),
            "d",
        )
        .relative(0.002),
    ]
    .into_iter()
    .map(|c| c.inputs("1 normal m3/d with 2000 ppm H2S").source(source))
    .collect::<Vec<_>>();
    let field = field_removal();
    out.push(
        Check::new(
            "iron_removal",
            "removal expected of a small filter",
            32.9,
            100.0 * field.mid,
            "%",
        )
        .inputs("enough contact time")
        .source("ENERGIES4793 (read)"),
    );
    let dose = air_dose(1000.0, 0.6, 2000.0, 0.05, 300.0).expect("in range");
    let example = "worked_examples_gas.md section 11 (computed)";
    for (id, what, published, ours) in [
        (
            "air_needed",
            "air that turns 2000 ppm H2S to sulfur",
            0.477,
            100.0 * dose.air_needed_share,
        ),
        (
            "air_oxygen",
            "oxygen after 5 % air",
            0.998,
            100.0 * dose.oxygen_share,
        ),
        (
            "air_methane",
            "methane after 5 % air in 60/40 gas",
            57.14,
            100.0 * dose.methane_share,
        ),
    ] {
        out.push(Check::new(id, what, published, ours, "%").source(example));
    }
    out
}

fn trap() -> Vec<Check> {
    let example = "worked_examples_gas.md section 10 (computed with CoolProp 8.0.0)";
    let mut out: Vec<Check> = [5, 10, 20, 35, 50]
        .into_iter()
        .map(|t| {
            let id = format!("w_nm3_{t}c");
            let ours = water_g_per_m3(f64::from(t), 1.013_25);
            let what = format!("water in wet gas at {t} degC");
            Check::new(&format!("trap_{id}"), &what, gas_value(&id), ours, "g/m3")
                .relative(0.005)
                .inputs("101.325 kPa; per dry normal m3")
                .source("COOLPROP800 (computed)")
        })
        .collect();
    let stretches = [20.0, 10.0].map(|t_c| Stretch {
        name: String::new(),
        t_c,
    });
    let fallen = condensate(1000.0, 35.0, &stretches, 1.013_25).expect("in range");
    let days = fill_days(0.5, fallen.g_day).ok().flatten();
    out.extend(
        [
            (
                "trap_drop",
                "water dropped from 35 to 10 degC",
                37.416,
                fallen.g_per_m3,
                "g/m3",
            ),
            (
                "trap_drop_20",
                "water dropped from 35 to 20 degC",
                28.283,
                fallen.stretches[0].g_day,
                "g/m3",
            ),
            (
                "trap_days",
                "a 500 mL trap at 1 normal m3/d",
                13.4,
                days.unwrap_or(f64::NAN),
                "d",
            ),
        ]
        .map(|(id, what, published, ours, unit)| {
            Check::new(id, what, published, ours, unit)
                .relative(0.005)
                .inputs("101.325 kPa")
                .source(example)
        }),
    );
    out
}

fn buffer() -> Vec<Check> {
    let drum = Slurry {
        volume_l: 200.0,
        t_c: 35.0,
        ph: 6.2,
        co2_share: 0.45,
        acids_mg_l: 0.0,
        ammonium_mg_l: 0.0,
        alkalinity_mg_l: None,
    };
    let found = plan(&drum, 7.0).expect("in range");
    let raised = (found.alkalinity_wanted_mg_l - found.alkalinity_now_mg_l) * 200.0 / 1e6;
    let inputs = "200 L at 35 degC under 45 % CO2, from pH 6.2 to 7.0";
    let Some(bicarbonate) = found.doses.first() else {
        return Vec::new();
    };
    vec![
        Check::new(
            "buffer_per_alkalinity",
            "bicarbonate per alkalinity raised",
            1.68,
            bicarbonate.mass_kg.mid / raised,
            "kg/kg CaCO3",
        )
        .relative(0.01)
        .inputs(inputs)
        .source("digestion_limits.csv, MEM-AD (memory)"),
        Check::new(
            "buffer_by_hand",
            "bicarbonate for a sour drum",
            0.817,
            bicarbonate.mass_kg.mid,
            "kg",
        )
        .relative(0.005)
        .inputs(inputs)
        .source("by hand: Henry and Henderson-Hasselbalch with the constants of the ADM1 report"),
        Check::new(
            "buffer_lands",
            "pH at once after the bicarbonate",
            7.0,
            bicarbonate.ph_at_once,
            "pH",
        )
        .absolute(0.02)
        .inputs(inputs)
        .source("by hand: bicarbonate added to given dissolved CO2"),
    ]
}
