//! Writes `docs/recipes.md`: the recipe of each demo, run over many worlds, beside
//! the same waste fed naively.
//!
//! `cargo run --release -p fenlamp-report --example recipe_report -- 500 > docs/recipes.md`

use std::time::Instant;

use fenlamp_model::band::Quantiles;
use fenlamp_model::forecast::runs::{Control, run_worlds};
use fenlamp_model::plan::{NoFiles, Plan, read};
use fenlamp_model::world::Shared;
use fenlamp_model::world::draw;
use fenlamp_model::world::outcome::soured;
use fenlamp_report::advice::{Settings, Wish, all_at_hand, naive, recipe};

const DEMOS: [(&str, &str); 3] = [
    (
        "hollin-croft",
        include_str!("../../../examples/hollin-croft.toml"),
    ),
    (
        "mango-yard-school",
        include_str!("../../../examples/mango-yard-school.toml"),
    ),
    (
        "high-larch-farm",
        include_str!("../../../examples/high-larch-farm.toml"),
    ),
];

/// Seed of the worlds of the report: others than those a recipe is checked in.
const SEED: u64 = 2026;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let worlds = std::env::args().nth(1).map_or(Ok(500), |n| n.parse())?;
    println!("# Recipes of the demos against naive feeding\n");
    println!(
        "Written by `cargo run --release -p fenlamp-report --example recipe_report -- {worlds}`.\n\n\
         Each recipe (`fenlamp recipe`, wish \"all of it\", at most 1 world in 10 sour) is run over \
         {worlds} worlds that it was not checked in. Naive is the same waste, all of it as it comes \
         from the second day, with as much water again (common practice, no source). \"All dung\" is \
         the demo with everything its animals give in every month at hand, for recipe and naive \
         feeding alike; the demos themselves hold most of it back already.\n"
    );
    println!("| demo | waste | feeding | sour worlds | methane of the last year, m3 |");
    println!("|---|---|---|---:|---:|");
    let mut sentences = Vec::new();
    for (name, text) in DEMOS {
        let plan = read(text, name, &NoFiles).map_err(|e| format!("{name}: {e:?}"))?;
        for (waste, plan) in [
            ("as planned", plan.clone()),
            ("all dung", all_at_hand(&plan)),
        ] {
            let began = Instant::now();
            let found = recipe(
                &plan,
                &Wish::everything(),
                &Settings::default(),
                &Control::none(),
            )?;
            eprintln!(
                "{name}, {waste}: recipe in {:.2} s",
                began.elapsed().as_secs_f64()
            );
            let passed = if found.passed {
                "recipe"
            } else {
                "recipe (not passed)"
            };
            row(name, waste, passed, &found.plan, worlds)?;
            row(name, waste, "naive", &naive(&plan), worlds)?;
            sentences.push(format!("* **{name}, {waste}.** {}", found.words[0].words));
        }
    }
    println!("\n## What they say\n");
    for sentence in sentences {
        println!("{sentence}");
    }
    Ok(())
}

fn row(
    name: &str,
    waste: &str,
    feeding: &str,
    plan: &Plan,
    worlds: usize,
) -> Result<(), Box<dyn std::error::Error>> {
    let draws = draw::latin_hypercube(plan, worlds, SEED);
    let runs = run_worlds(plan, &Shared::new(plan), &draws)?;
    let sour = runs.iter().filter(|r| soured(&r.days)).count();
    let year = plan.days.saturating_sub(365) as usize;
    let mut methane: Vec<f64> = runs
        .iter()
        .map(|r| r.days[year..].iter().map(|d| d.methane_l).sum::<f64>() / 1000.0)
        .collect();
    let q = Quantiles::of(&mut methane);
    println!(
        "| {name} | {waste} | {feeding} | {sour} of {worlds} ({:.1} %) | {:.1} to {:.1} (middle {:.1}) |",
        100.0 * sour as f64 / worlds as f64,
        q.p10,
        q.p90,
        q.p50
    );
    Ok(())
}
