//! Plain ADM1: the published steady state, and an independent integration of
//! the same equations day by day.

use std::collections::BTreeMap;

use fenlamp_adm1::constants::R;
use fenlamp_adm1::kinetics::total_pressure;
use fenlamp_adm1::state;
use fenlamp_adm1::state::Phase;
use fenlamp_adm1::system::{Conditions, Running, WorldFactors};
use fenlamp_adm1::tank::kg_per_kmol;
use fenlamp_adm1::{Digestion, acid_base};
use serde::Deserialize;

use super::Group;
use crate::Check;
use crate::oracle::path;

/// Solver tolerance of the forecasts.
const EVERYDAY: f64 = 1e-3;
/// Solver tolerance when the equations themselves are on trial.
const TIGHT: f64 = 1e-7;
/// Slices of a day for the wet gas, which carries vapour by the pressure of its time.
const FINE: u32 = 96;

/// The group.
pub fn group() -> Group {
    Group {
        title: "Plain ADM1",
        about: "With every addition switched off the engine must be the published model. The steady \
                state is the Lund report's. The runs day by day are held against an integration \
                written separately in Python (`validation/oracles/adm1.py`, SciPy BDF, rtol 1e-9), \
                which itself meets the published steady state to nine digits. Each row is the \
                largest difference over all days.",
        checks: checks(),
    }
}

/// Checks of the group.
pub fn checks() -> Vec<Check> {
    let mut out = steady_state();
    for (name, words) in [
        ("daily_fed", "fed once a day, 30 d"),
        (
            "feed_shock",
            "fed once a day, threefold on three days, 30 d",
        ),
        ("strong_feed", "continuous feed of twice the strength, 30 d"),
        ("recovery", "half of all biomass lost at the start, 60 d"),
        ("batch", "closed batch, 60 d"),
    ] {
        out.extend(against_oracle(name, words));
    }
    out
}

#[derive(Deserialize)]
struct Case {
    days: u32,
    reactor: Reactor,
    initial: BTreeMap<String, f64>,
    influent: BTreeMap<String, f64>,
    #[serde(default)]
    dose: Vec<Dose>,
}

#[derive(Deserialize)]
struct Reactor {
    liquid_m3: f64,
    gas_m3: f64,
    temperature_c: f64,
    dilution_per_day: f64,
}

#[derive(Deserialize)]
struct Dose {
    from_day: u32,
    until_day: u32,
    displaced_fraction_per_day: f64,
    influent: BTreeMap<String, f64>,
}

/// A row of results by column name.
type Row = BTreeMap<String, f64>;

fn vector(model: &Digestion, given: &BTreeMap<String, f64>) -> Vec<f64> {
    let mut y = vec![0.0; model.states()];
    for (symbol, value) in given {
        y[state::place(symbol).unwrap_or_else(|| panic!("{symbol} is not a state"))] = *value;
    }
    y
}

/// Runs a case; one row a day. A failing solver leaves the rows short, which fails the check.
fn run(case: &Case, relative: f64, slices: u32) -> Vec<Row> {
    let model = Digestion::plain();
    let r = &case.reactor;
    let (mut y, influent) = (
        vector(&model, &case.initial),
        vector(&model, &case.influent),
    );
    let conditions = Conditions {
        temperature_k: r.temperature_c + 273.15,
        liquid_m3: r.liquid_m3,
        gas_m3: r.gas_m3,
        p_out_bar: model.constants.p_atm,
        outlet_per_d_bar: model.constants.k_p / r.liquid_m3,
        k_l_a_per_d: model.constants.k_l_a,
        dilution_per_d: r.dilution_per_day,
        world: WorldFactors::none(model.pools.len()),
        ammonia_tolerance: 1.0,
    };
    let continuous = (r.dilution_per_day != 0.0).then_some(influent.as_slice());
    let mut running = Running::<f64>::new(&model, &conditions, continuous, 1e-7);
    let (mut stepper, tolerance) = (model.stepper(), model.tolerance(relative));
    let mut rows = vec![];
    for day in 0..case.days {
        for dose in case
            .dose
            .iter()
            .filter(|d| (d.from_day..d.until_day).contains(&day))
        {
            let inlet = vector(&model, &dose.influent);
            for i in 0..y.len() {
                if matches!(state::phase(i), Phase::Dissolved | Phase::Solid) {
                    y[i] += dose.displaced_fraction_per_day * (inlet[i] - y[i]);
                }
            }
        }
        let (mut wet, mut dry, mut methane) = (0.0, 0.0, 0.0);
        for _ in 0..slices {
            let before = y[state::OUT..state::POOLS].to_vec();
            let p_before: f64 = total_pressure(running.coefficients(), &y);
            if stepper
                .advance(&mut running, &mut y, 1.0 / f64::from(slices), &tolerance)
                .is_err()
            {
                return rows;
            }
            let kmol = |gas: usize| (y[state::OUT + gas] - before[gas]) / kg_per_kmol(gas);
            let slice: f64 = (0..state::GASES).map(kmol).sum();
            let k = running.coefficients();
            let p = 0.5 * (p_before + total_pressure(k, &y));
            wet += slice * p / (p - k.p_h2o);
            dry += slice;
            methane += kmol(1);
        }
        let h = acid_base::solve(&running.coefficients().acid, &y, running.h);
        let mut row: Row = state::SYMBOLS
            .iter()
            .zip(&y)
            .map(|(s, v)| ((*s).into(), *v))
            .collect();
        row.insert("pH".into(), -h.log10());
        let m3_per_kmol = R * conditions.temperature_k / model.constants.p_atm;
        row.insert("q_gas_m3_per_d".into(), wet * m3_per_kmol);
        row.insert("ch4_m3_per_d".into(), methane * m3_per_kmol);
        row.insert("ch4_dry_fraction".into(), methane / dry);
        rows.push(row);
    }
    rows
}

fn read_case(name: &str) -> Case {
    let text = std::fs::read_to_string(path(&format!("cases/{name}.toml"))).expect("a case file");
    toml::from_str(&text).expect("a case file in order")
}

fn read_answers(name: &str) -> Vec<Row> {
    let file = path(&format!("oracles/adm1_{name}.csv"));
    csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_path(file)
        .and_then(|mut table| table.deserialize().collect())
        .expect("a stored answer in order")
}

/// Largest difference over all days by `measure`; infinite if a day is missing.
fn worst(ours: &[Row], answers: &[Row], measure: impl Fn(&Row, &Row) -> f64) -> f64 {
    if ours.len() != answers.len() || ours.is_empty() {
        return f64::INFINITY;
    }
    // f64::max would swallow a NaN.
    ours.iter()
        .zip(answers)
        .map(|(a, b)| measure(a, b))
        .fold(
            0.0,
            |worst, v| if v > worst || v.is_nan() { v } else { worst },
        )
}

fn relative(column: &str, a: &Row, b: &Row) -> f64 {
    100.0 * (a[column] / b[column] - 1.0).abs()
}

fn against_oracle(name: &str, words: &str) -> Vec<Check> {
    let (case, answers) = (read_case(name), read_answers(name));
    let (tight, everyday) = (run(&case, TIGHT, FINE), run(&case, EVERYDAY, 1));
    let all_states = |a: &Row, b: &Row| {
        let states = b
            .keys()
            .filter(|k| k.starts_with("S_") || k.starts_with("X_"));
        states
            .map(|k| relative(k, a, b))
            .fold(0.0, |w, v| if v > w || v.is_nan() { v } else { w })
    };
    let check = |id: &str, what: &str, distance: f64, unit: &str, allowed: f64, rtol: &str| {
        Check::largest(
            &format!("adm1_{name}_{id}"),
            &format!("{words}: {what}"),
            distance,
            allowed,
            unit,
        )
        .inputs(format!("`cases/{name}.toml`, rtol {rtol}"))
        .source("own integration in SciPy 1.17.1 (computed)")
    };
    let gas = |a: &Row, b: &Row| relative("q_gas_m3_per_d", a, b);
    let methane = |a: &Row, b: &Row| relative("ch4_m3_per_d", a, b);
    let ph = |a: &Row, b: &Row| (a["pH"] - b["pH"]).abs();
    let share = |a: &Row, b: &Row| 100.0 * (a["ch4_dry_fraction"] - b["ch4_dry_fraction"]).abs();
    vec![
        check(
            "states",
            "29 states at the end of each day",
            worst(&tight, &answers, all_states),
            "%",
            0.002,
            "1e-7",
        ),
        check(
            "gas",
            "gas of each day",
            worst(&tight, &answers, gas),
            "%",
            0.001,
            "1e-7",
        ),
        check("ph", "pH", worst(&tight, &answers, ph), "", 1e-6, "1e-7"),
        check(
            "share",
            "methane share",
            worst(&tight, &answers, share),
            "% points",
            1e-4,
            "1e-7",
        ),
        // The steep first days of the batch are the hardest; the others hold 0.2 %.
        check(
            "everyday",
            "methane of each day as the forecasts solve it",
            worst(&everyday, &answers, methane),
            "%",
            if name == "batch" { 0.5 } else { 0.2 },
            "1e-3",
        ),
    ]
}

fn steady_state() -> Vec<Check> {
    let mut case = read_case("recovery");
    case.days = 600;
    let rows = run(&case, TIGHT, 1);
    let last = rows.last().filter(|_| rows.len() == 600);
    let published: Vec<_> = fenlamp_adm1::published::steady_state().iter().collect();
    let ours = |symbol: &str| {
        let column = if symbol == "q_gas" {
            "q_gas_m3_per_d"
        } else {
            symbol
        };
        last.and_then(|row| row.get(column)).copied()
    };
    // Ions and partial pressures follow from these; the engine's own tests check them too.
    let found: Vec<(&str, f64)> = published
        .iter()
        .filter_map(|row| {
            ours(&row.symbol).map(|v| {
                (
                    row.symbol.as_str(),
                    100.0 * (v / row.steady_state - 1.0).abs(),
                )
            })
        })
        .collect();
    let worst = found.iter().map(|(_, v)| *v).fold(0.0, f64::max);
    let source = "ROSEN06 (memory; confirmed by two integrations)";
    let mut out = vec![
        Check::new(
            "adm1_steady_count",
            "values compared with the published steady state",
            31.0,
            found.len() as f64,
            "",
        )
        .absolute(0.0)
        .source(source),
        Check::largest("adm1_steady_all", "all of them", worst, 1e-4, "%")
            .inputs("600 d from half the biomass, rtol 1e-7")
            .source(source),
    ];
    for (symbol, unit) in [
        ("pH", ""),
        ("q_gas", "m3/d"),
        ("S_ac", "kg COD/m3"),
        ("S_h2", "kg COD/m3"),
        ("S_IN", "kmol N/m3"),
        ("X_ac", "kg COD/m3"),
    ] {
        let value = published
            .iter()
            .find(|row| row.symbol == symbol)
            .map_or(f64::NAN, |row| row.steady_state);
        out.push(
            Check::new(
                &format!("adm1_steady_{symbol}"),
                &format!("steady state: {symbol}"),
                value,
                ours(symbol).unwrap_or(f64::NAN),
                unit,
            )
            .relative(1e-6)
            .source(source),
        );
    }
    out
}
