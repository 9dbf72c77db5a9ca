//! Runs a case written in raw ADM1 terms and prints one CSV row a day, so that
//! anyone can hold the engine against another ADM1 code.
//!
//! `cargo run --release -p fenlamp-adm1 --example reference_case -- CASE.toml > out.csv`

use std::collections::BTreeMap;
use std::process::ExitCode;

use fenlamp_adm1::constants::R;
use fenlamp_adm1::kinetics::total_pressure;
use fenlamp_adm1::state;
use fenlamp_adm1::state::Phase;
use fenlamp_adm1::system::{Conditions, Running, WorldFactors};
use fenlamp_adm1::tank::kg_per_kmol;
use fenlamp_adm1::{Digestion, acid_base};
use serde::Deserialize;

/// Slices of a day for the mean gas flow.
const SLICES: u32 = 96;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Case {
    days: u32,
    rtol: f64,
    reactor: Reactor,
    initial: BTreeMap<String, f64>,
    #[serde(default)]
    influent: BTreeMap<String, f64>,
    #[serde(default)]
    dose: Vec<Dose>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Reactor {
    liquid_m3: f64,
    gas_m3: f64,
    temperature_c: f64,
    dilution_per_day: f64,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Dose {
    from_day: u32,
    until_day: u32,
    displaced_fraction_per_day: f64,
    influent: BTreeMap<String, f64>,
}

fn main() -> ExitCode {
    let Some(path) = std::env::args().nth(1) else {
        eprintln!("usage: reference_case CASE.toml");
        return ExitCode::from(2);
    };
    match std::fs::read_to_string(&path)
        .map_err(|e| e.to_string())
        .and_then(|text| run(&text))
    {
        Ok(csv) => {
            print!("{csv}");
            ExitCode::SUCCESS
        }
        Err(message) => {
            eprintln!("{path}: {message}");
            ExitCode::from(2)
        }
    }
}

fn vector(n: usize, given: &BTreeMap<String, f64>, table: &str) -> Result<Vec<f64>, String> {
    let mut y = vec![0.0; n];
    for (symbol, &value) in given {
        let i = state::place(symbol)
            .ok_or_else(|| format!("[{table}] {symbol} is not a symbol of the model"))?;
        if !value.is_finite() {
            return Err(format!(
                "[{table}] {symbol} = {value} is not a finite number"
            ));
        }
        y[i] = value;
    }
    Ok(y)
}

fn positive(name: &str, value: f64) -> Result<(), String> {
    if value.is_finite() && value > 0.0 {
        Ok(())
    } else {
        Err(format!("{name} = {value} must be above zero"))
    }
}

/// Runs the case written in `text`; one CSV row a day, `day` counted from 1.
///
/// # Errors
/// What is wrong with the case, or where the solver gave up.
pub fn run(text: &str) -> Result<String, String> {
    let case: Case = toml::from_str(text).map_err(|e| e.to_string())?;
    let r = &case.reactor;
    positive("rtol", case.rtol)?;
    positive("reactor.liquid_m3", r.liquid_m3)?;
    positive("reactor.gas_m3", r.gas_m3)?;
    positive("reactor.temperature_c + 273.15", r.temperature_c + 273.15)?;
    let model = Digestion::plain();
    let n = model.states();
    let mut y = vector(n, &case.initial, "initial")?;
    let influent = vector(n, &case.influent, "influent")?;
    let doses: Vec<(&Dose, Vec<f64>)> = case
        .dose
        .iter()
        .map(|d| Ok((d, vector(n, &d.influent, "dose.influent")?)))
        .collect::<Result<_, String>>()?;
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
    let mut stepper = model.stepper();
    let tolerance = model.tolerance(case.rtol);

    let shown: Vec<usize> = (0..n).filter(|&i| state::phase(i) != Phase::Left).collect();
    let mut out = String::from("day,pH,q_gas_m3_per_d,ch4_dry_fraction");
    for &i in &shown {
        out.push(',');
        out.push_str(state::SYMBOLS[i]);
    }
    out.push('\n');
    for day in 0..case.days {
        for (dose, inlet) in &doses {
            if (dose.from_day..dose.until_day).contains(&day) {
                let share = dose.displaced_fraction_per_day;
                for i in 0..n {
                    if matches!(state::phase(i), Phase::Dissolved | Phase::Solid) {
                        y[i] += share * (inlet[i] - y[i]);
                    }
                }
            }
        }
        // Slices of the day, so that the vapour carried is taken at the pressure of its time.
        let (mut wet, mut dry, mut methane) = (0.0, 0.0, 0.0);
        for _ in 0..SLICES {
            let before: Vec<f64> = y[state::OUT..state::POOLS].to_vec();
            let p_before: f64 = total_pressure(running.coefficients(), &y);
            stepper
                .advance(&mut running, &mut y, 1.0 / f64::from(SLICES), &tolerance)
                .map_err(|e| format!("day {day}: {e}"))?;
            let kmol: Vec<f64> = (0..state::GASES)
                .map(|g| (y[state::OUT + g] - before[g]) / kg_per_kmol(g))
                .collect();
            let slice: f64 = kmol.iter().sum();
            let k = running.coefficients();
            let p = 0.5 * (p_before + total_pressure(k, &y));
            wet += slice * p / (p - k.p_h2o);
            dry += slice;
            methane += kmol[1];
        }
        let h = acid_base::solve(&running.coefficients().acid, &y, running.h);
        let q = wet * R * conditions.temperature_k / model.constants.p_atm;
        out.push_str(&format!(
            "{},{:.9},{:.9e},{:.9}",
            day + 1,
            -h.log10(),
            q,
            methane / dry
        ));
        for &i in &shown {
            out.push_str(&format!(",{:.9e}", y[i]));
        }
        out.push('\n');
    }
    Ok(out)
}
