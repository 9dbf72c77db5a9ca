//! Serves the right-hand side of one plan's digestion to another integrator.
//!
//! `rhs PLAN.toml SWING_K` prints one line of JSON: the model's size and scales,
//! the state after the first fill, what each day brings, and how the engine
//! itself, tightly, ends. Then it answers requests on standard input, all numbers
//! 64-bit little-endian: the count of vectors, the day, the vectors; the answer is
//! their derivatives, per day. `validation/oracles/extended_check.py` asks.

use std::error::Error;
use std::io::{Read, Write};

use fenlamp_adm1::state;
use fenlamp_adm1::state::Phase;
use fenlamp_adm1::system::{Conditions, Running, WorldFactors};
use fenlamp_adm1::{Charge, Tank, TankSettings};
use fenlamp_model::plan::{DoseTime, NoFiles, Plan, SlurryTemperature, read};
use fenlamp_model::world::Shared;
use fenlamp_model::world::draw;
use fenlamp_model::world::draw::WorldDraw;
use fenlamp_model::world::fractionate;
use fenlamp_model::world::fractionate::FEED_DENSITY;
use fenlamp_model::world::plant::atmosphere_bar;
use fenlamp_model::world::{additive, calendar, seed};
use serde::Serialize;
use uom::si::length::meter;
use uom::si::mass::kilogram;
use uom::si::thermodynamic_temperature::degree_celsius;
use uom::si::volume::cubic_meter;

/// Relative tolerance of the engine's own run.
const TIGHT: f64 = 1e-8;
const K_L_A_PER_D: f64 = 100.0;
const OUTLET_PER_D_BAR: f64 = 100.0;

/// What the other integrator needs, and what it is held against.
#[derive(Serialize)]
struct Head {
    states: usize,
    /// Liquid, m3, the same every day: what is fed pushes as much out.
    liquid_m3: f64,
    /// Whether a state moves with the liquid.
    in_liquid: Vec<bool>,
    /// What is small for each state; infinite where nothing depends on it.
    floor: Vec<Option<f64>>,
    start: Vec<f64>,
    days: Vec<Morning>,
    /// The engine's state at the end of each day.
    ends: Vec<Vec<f64>>,
}

/// What a day brings before it is lived through.
#[derive(Serialize)]
struct Morning {
    /// Pushed out and put in, m3.
    volume_m3: f64,
    /// Amounts put in, unit of each state times m3.
    amounts: Vec<f64>,
}

fn main() -> Result<(), Box<dyn Error>> {
    let mut given = std::env::args().skip(1);
    let path = given.next().ok_or("a plan file")?;
    let swing_k: f64 = given.next().ok_or("a swing of temperature, K")?.parse()?;
    let plan = read(&std::fs::read_to_string(&path)?, &path, &NoFiles)?;
    let shared = Shared::new(&plan);
    let world = draw::latin_hypercube(&plan, 1, plan.seed).remove(0);

    let kelvin = temperatures(&plan, swing_k)?;
    let settings = settings(&plan, &shared, &world);
    let mut tank = Tank::empty(&shared.model, settings.clone(), kelvin[0]);
    let full_m3 = plan.vessel.liquid.get::<cubic_meter>();
    let per_kg = per_kg(&plan, &shared, &world);
    fill(&plan, &shared, &world, &per_kg, full_m3, &mut tank);

    let mut head = Head {
        states: shared.model.states(),
        liquid_m3: tank.liquid_m3,
        in_liquid: (0..shared.model.states())
            .map(|i| matches!(state::phase(i), Phase::Dissolved | Phase::Solid))
            .collect(),
        floor: shared
            .model
            .tolerance(1e-3)
            .absolute
            .iter()
            .map(|&v| v.is_finite().then_some(v))
            .collect(),
        start: tank.y.clone(),
        days: mornings(&plan, &shared, &world, &per_kg),
        ends: Vec::new(),
    };
    for (morning, &k) in head.days.iter().zip(&kelvin) {
        let charge = Charge {
            volume_m3: morning.volume_m3,
            amounts: morning.amounts.clone(),
            ..Charge::nothing(head.states)
        };
        tank.feed_with_overflow(&charge, full_m3);
        tank.live(1.0, k)?;
        head.ends.push(tank.y.clone());
    }
    println!("{}", serde_json::to_string(&head)?);

    let space_m3 = settings.space_m3;
    let mut running: Vec<Running<f64>> = kelvin
        .iter()
        .map(|&temperature_k| {
            let conditions = Conditions {
                temperature_k,
                liquid_m3: full_m3,
                gas_m3: space_m3 - full_m3,
                p_out_bar: settings.p_out_bar,
                outlet_per_d_bar: OUTLET_PER_D_BAR,
                k_l_a_per_d: K_L_A_PER_D,
                dilution_per_d: 0.0,
                world: settings.world.clone(),
                ammonia_tolerance: 1.0,
            };
            Running::new(&shared.model, &conditions, None, 1e-7)
        })
        .collect();
    serve(head.states, &mut running)
}

/// Temperature of each day, K: the plan's, and a wave of `swing_k` about it.
fn temperatures(plan: &Plan, swing_k: f64) -> Result<Vec<f64>, Box<dyn Error>> {
    let SlurryTemperature::Fixed(middle) = &plan.slurry_temperature else {
        return Err("the plan must fix the slurry temperature".into());
    };
    let middle = middle.get::<degree_celsius>() + 273.15;
    let wave = |d: u32| (std::f64::consts::TAU * f64::from(d) / f64::from(plan.days)).sin();
    Ok((0..plan.days).map(|d| middle + swing_k * wave(d)).collect())
}

fn settings(plan: &Plan, shared: &Shared, world: &WorldDraw) -> TankSettings {
    let mut pool = vec![1.0; state::PLAIN_POOLS];
    let of_mid = |(f, rate): (&fenlamp_model::feed::Feedstock, &f64)| {
        world.inferred.hydrolysis_speed * rate / f.hydrolysis_per_d.mid
    };
    pool.extend(
        plan.feedstocks
            .iter()
            .zip(&world.hydrolysis_per_d)
            .map(of_mid),
    );
    TankSettings {
        space_m3: plan.vessel.volume.get::<cubic_meter>(),
        p_out_bar: atmosphere_bar(plan.place.altitude.get::<meter>()),
        outlet_per_d_bar: OUTLET_PER_D_BAR,
        k_l_a_per_d: K_L_A_PER_D,
        solids_stay: 1.0,
        world: WorldFactors {
            pool,
            feed_carbon: shared.feed_carbon(&world.feed),
            uptake: world.uptake,
            biology: std::sync::Arc::new(world.inferred.biology()),
        },
        relative_tolerance: TIGHT,
    }
}

fn per_kg(plan: &Plan, shared: &Shared, world: &WorldDraw) -> Vec<Charge> {
    let first = state::POOLS + state::PLAIN_POOLS;
    (0..plan.feedstocks.len())
        .map(|i| {
            fractionate::charge_of(
                &plan.feedstocks[i],
                &shared.fractions[i],
                &world.feed[i],
                &world.inferred,
                first + i,
                &shared.model.content,
                &shared.model.constants,
            )
        })
        .collect()
}

fn fill(
    plan: &Plan,
    shared: &Shared,
    world: &WorldDraw,
    per_kg: &[Charge],
    full_m3: f64,
    tank: &mut Tank,
) {
    let n = shared.model.states();
    let mut all = Charge::nothing(n);
    for &(f, mass) in &plan.first_fill.feed {
        all.add(&per_kg[f], mass.get::<kilogram>());
    }
    for (s, acetoclasts) in plan.first_fill.seeds.iter().zip(&world.seed_acetoclasts) {
        let charge = seed::charge_of(
            s,
            *acetoclasts,
            world.seed_fermenters,
            &world.inferred,
            &shared.model.constants,
            n,
        );
        all.add(&charge, 1.0);
    }
    all.volume_m3 = full_m3;
    for a in plan.additives.iter().filter(|a| a.when == DoseTime::AtFill) {
        all.add(
            &additive::charge_of(a.kind, a.dose.get::<kilogram>(), n),
            1.0,
        );
    }
    tank.add(&all);
    tank.open_to_air();
}

/// Feed and doses of each day together.
fn mornings(plan: &Plan, shared: &Shared, world: &WorldDraw, per_kg: &[Charge]) -> Vec<Morning> {
    let n = shared.model.states();
    let solids: Vec<f64> = plan
        .waste
        .iter()
        .map(|w| world.feed[w.feedstock].total_solids)
        .collect();
    let mornings = calendar::daily_feed(plan, &solids).into_iter().zip(0u32..);
    mornings
        .map(|(feed, day)| {
            let mut all = Charge::nothing(n);
            for (kg, waste) in feed.fresh_kg.iter().zip(&plan.waste) {
                all.add(&per_kg[waste.feedstock], *kg);
            }
            all.volume_m3 += feed.water_kg / FEED_DENSITY;
            for a in &plan.additives {
                if a.when == DoseTime::OnDay(day) {
                    all.add(
                        &additive::charge_of(a.kind, a.dose.get::<kilogram>(), n),
                        1.0,
                    );
                }
            }
            Morning {
                volume_m3: all.volume_m3,
                amounts: all.amounts,
            }
        })
        .collect()
}

/// Answers until the input ends.
fn serve(n: usize, running: &mut [Running<f64>]) -> Result<(), Box<dyn Error>> {
    let (mut input, mut output) = (std::io::stdin().lock(), std::io::stdout().lock());
    let mut words = [0u8; 16];
    let mut bytes = Vec::new();
    let (mut y, mut f) = (vec![0.0; n], vec![0.0; n]);
    let number = |b: &[u8]| b.try_into().map(f64::from_le_bytes);
    while input.read_exact(&mut words).is_ok() {
        let (vectors, day) = (number(&words[..8])? as usize, number(&words[8..])? as usize);
        bytes.resize(8 * n * vectors, 0);
        input.read_exact(&mut bytes)?;
        let of_day = running.get_mut(day).ok_or("a day of the plan")?;
        for vector in bytes.chunks_exact_mut(8 * n) {
            for (v, b) in y.iter_mut().zip(vector.chunks_exact(8)) {
                *v = number(b)?;
            }
            of_day.derivatives(&y, &mut f);
            for (v, b) in f.iter().zip(vector.chunks_exact_mut(8)) {
                b.copy_from_slice(&v.to_le_bytes());
            }
        }
        output.write_all(&bytes)?;
        output.flush()?;
    }
    Ok(())
}
