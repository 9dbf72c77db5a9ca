//! How long does one world-year take on one core?
//!
//! (a) the plain ADM1 year, fed once a day; (b) each demo with everything on;
//! (c) its heat balance alone. `cargo bench -p fenlamp-model`

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use fenlamp_adm1::Digestion;
use fenlamp_adm1::published;
use fenlamp_adm1::state;
use fenlamp_adm1::state::Phase;
use fenlamp_adm1::system::{Conditions, Running, WorldFactors};
use fenlamp_model::plan::{NoFiles, SlurryTemperature, read};
use fenlamp_model::world;
use fenlamp_model::world::Shared;
use fenlamp_model::world::draw::WorldDraw;

fn plain_year(c: &mut Criterion) {
    let model = Digestion::plain();
    let n = model.states();
    let (mut start, mut influent) = (vec![0.0; n], vec![0.0; n]);
    for row in published::steady_state() {
        if let Some(i) = state::place(&row.symbol) {
            start[i] = row.steady_state;
            influent[i] = row.influent.unwrap_or(0.0);
        }
    }
    let conditions = Conditions {
        temperature_k: 308.15,
        liquid_m3: 3400.0,
        gas_m3: 300.0,
        p_out_bar: 1.013,
        outlet_per_d_bar: 5e4 / 3400.0,
        k_l_a_per_d: 200.0,
        dilution_per_d: 0.0,
        world: WorldFactors::none(model.pools.len()),
        ammonia_tolerance: 1.0,
    };
    let tolerance = model.tolerance(world::RELATIVE_TOLERANCE);
    c.bench_function("plain ADM1, fed daily, 365 days", |b| {
        b.iter(|| {
            let mut y = start.clone();
            let mut running = Running::<f64>::new(&model, &conditions, None, 1e-7);
            let mut stepper = model.stepper();
            for _ in 0..365 {
                for i in 0..n {
                    if matches!(state::phase(i), Phase::Dissolved | Phase::Solid) {
                        y[i] += 0.05 * (influent[i] - y[i]);
                    }
                }
                stepper
                    .advance(&mut running, &mut y, 1.0, &tolerance)
                    .expect("it runs");
            }
            black_box(y)
        });
    });
}

fn demos(c: &mut Criterion) {
    for name in ["hollin-croft", "mango-yard-school", "high-larch-farm"] {
        let path = format!("{}/../../examples/{name}.toml", env!("CARGO_MANIFEST_DIR"));
        let text = std::fs::read_to_string(path).expect("a demo plan");
        let mut plan = read(&text, name, &NoFiles).expect("a sound demo");
        plan.days = 365;
        let shared = Shared::new(&plan);
        let draw = WorldDraw::central(&plan);
        c.bench_function(&format!("{name}, one world, 365 days"), |b| {
            b.iter(|| black_box(world::run(&plan, &shared, &draw).expect("it runs")));
        });
        let warm = world::run(&plan, &shared, &draw).expect("it runs");
        if warm.warmth.is_some() {
            plan.slurry_temperature = SlurryTemperature::Series {
                daily_c: warm.days.iter().map(|d| d.slurry_c).collect(),
                origin: "bench".into(),
            };
            c.bench_function(&format!("{name}, the same, temperatures given"), |b| {
                b.iter(|| black_box(world::run(&plan, &shared, &draw).expect("it runs")));
            });
        }
    }
}

criterion_group!(benches, plain_year, demos);
criterion_main!(benches);
