//! The solver's tolerance in a forecast against the tight solution.

use fenlamp_model::plan::{NoFiles, Plan, read};
use fenlamp_model::world;
use fenlamp_model::world::Shared;
use fenlamp_model::world::draw;
use fenlamp_model::world::draw::WorldDraw;

fn demo(name: &str) -> Plan {
    let path = format!("{}/../../examples/{name}.toml", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(&path).expect("a demo plan");
    read(&text, name, &NoFiles).expect("a sound demo")
}

#[test]
fn daily_gas_is_within_two_tenths_of_a_percent_of_the_tight_solution() {
    for name in ["hollin-croft", "mango-yard-school", "high-larch-farm"] {
        let plan = demo(name);
        let shared = Shared::new(&plan);
        let mut draws = vec![WorldDraw::central(&plan)];
        draws.extend(draw::latin_hypercube(&plan, 4, 11));
        for (w, d) in draws.iter().enumerate() {
            let quick = world::run(&plan, &shared, d).unwrap();
            let tight = world::run_with_tolerance(&plan, &shared, d, 1e-7).unwrap();
            let largest = tight.days.iter().map(|r| r.gas_dry_l).fold(0.0, f64::max);
            let (mut worst, mut at) = (0.0f64, 0);
            for (day, (q, t)) in quick.days.iter().zip(&tight.days).enumerate() {
                // Relative to the day, but no day counts for less than a
                // twentieth of the best one: after a draw-off the store gives
                // back as much as is made.
                let off =
                    (q.gas_dry_l - t.gas_dry_l).abs() / t.gas_dry_l.max(0.05 * largest).max(0.1);
                if off > worst {
                    (worst, at) = (off, day);
                }
            }
            let sum = |r: &world::WorldRun| r.days.iter().map(|d| d.gas_dry_l).sum::<f64>();
            let whole = (sum(&quick) / sum(&tight) - 1.0).abs();
            eprintln!(
                "{name} world {w}: worst day {worst:.5} (day {at}), whole run {whole:.6}, steps {:?} vs {:?}",
                quick.effort.steps, tight.effort.steps
            );
            assert!(worst < 0.002, "{name} world {w}: day {at} off by {worst}");
            assert!(whole < 0.001, "{name} world {w}: run off by {whole}");
        }
    }
}
