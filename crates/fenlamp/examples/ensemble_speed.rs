//! How fast do many worlds run?
//!
//! `cargo run --release --example ensemble_speed -- --worlds 200 --days 365`
//!
//! Prints one line for (a) the plain ADM1 year fed once a day, one for (b) the
//! first demo with every addition, as a forecast runs it, and one for (c) a quick
//! answer from 8 worlds of all its days, with words and findings. `--check` also holds
//! each world of (a) against its tight solution; `docs/performance.md` keeps the
//! figures.

use std::time::Instant;

use clap::Parser;
use fenlamp_adm1::Digestion;
use fenlamp_adm1::published;
use fenlamp_adm1::solver::lanes::{WideWork, at_best_width, best_width};
use fenlamp_adm1::solver::{Effort, Failure, Lanes, Pack, Tolerance};
use fenlamp_adm1::state;
use fenlamp_adm1::state::Phase;
use fenlamp_adm1::system::{Conditions, Running, WorldFactors};
use fenlamp_adm1::tank::kg_per_kmol;
use fenlamp_model::forecast::ensemble;
use fenlamp_model::plan::{NoFiles, Plan, read};
use fenlamp_model::world::Shared;
use fenlamp_model::world::draw;
use fenlamp_report::{hazard as findings, words};
use rayon::prelude::*;

#[derive(Parser)]
struct Options {
    /// Worlds.
    #[arg(long, default_value_t = 200)]
    worlds: usize,
    /// Days of each.
    #[arg(long, default_value_t = 365)]
    days: u32,
    /// Threads; 0 takes one a core.
    #[arg(long, default_value_t = 0)]
    threads: usize,
    /// Worlds in lockstep in the plain year: 1, 4 or 8; 0 takes the machine's best.
    #[arg(long, default_value_t = 0)]
    lanes: usize,
    /// Relative tolerance of the plain year.
    #[arg(long, default_value_t = PLAIN_TOLERANCE)]
    tolerance: f64,
    /// Only one of the three.
    #[arg(long, value_parser = ["plain", "forecast", "answer"])]
    only: Option<String>,
    /// Give the forecast another plan: so many feedstocks in one tote at 30 degC.
    #[arg(long)]
    feedstocks: Option<usize>,
    /// Run each so many times and print the fastest.
    #[arg(long, default_value_t = 1)]
    repeat: u32,
    /// Hold each world's daily gas of the plain year against a tight solution.
    #[arg(long)]
    check: bool,
}

/// Largest relative tolerance at which every world's daily gas stays within 0.2 %
/// of its tight solution (`--check`).
const PLAIN_TOLERANCE: f64 = 1e-1;
/// Worlds of a quick answer.
const FEW: u32 = 8;
/// Share of the liquid replaced each day.
const REPLACED: f64 = 0.05;

fn main() {
    let options = Options::parse();
    if options.threads > 0 {
        rayon::ThreadPoolBuilder::new()
            .num_threads(options.threads)
            .build_global()
            .expect("threads are set once, before any work");
    }
    println!(
        "{:<22} {:>7} {:>5} {:>8} {:>6} {:>9} {:>9} {:>8} {:>8} {:>9} {:>10}",
        "",
        "worlds",
        "days",
        "threads",
        "lanes",
        "seconds",
        "worlds/s",
        "CPU s",
        "steps",
        "rejected",
        "Jacobians"
    );
    let only = |name: &str| options.only.as_deref().is_none_or(|o| o == name);
    if only("plain") {
        plain(&options);
    }
    if only("forecast") {
        forecast(&options);
    }
    if only("answer") {
        answer(&options);
    }
    if let Some(peak) = peak_memory_mb() {
        println!("peak memory {peak:.0} MB");
    }
}

/// One line; the effort is that of one world.
fn line(name: &str, options: &Options, lanes: usize, time: Time, effort: Effort) {
    println!(
        "{name:<22} {:>7} {:>5} {:>8} {lanes:>6} {:>9.4} {:>9.1} {:>8.2} {:>8} {:>9} {:>10}",
        options.worlds,
        options.days,
        rayon::current_num_threads(),
        time.seconds,
        options.worlds as f64 / time.seconds,
        time.processor_seconds,
        effort.steps,
        effort.rejected,
        effort.jacobians,
    );
}

/// How long a run took.
#[derive(Clone, Copy)]
struct Time {
    /// By the clock.
    seconds: f64,
    /// Of all threads together; other programs on the machine hardly change it.
    processor_seconds: f64,
}

/// The result of the last of `times` runs, and the least time of all.
fn fastest<R>(times: u32, run: impl Fn() -> R) -> (R, Time) {
    let timed = || {
        let (start, processor) = (Instant::now(), processor_seconds());
        let result = run();
        let time = Time {
            seconds: start.elapsed().as_secs_f64(),
            processor_seconds: processor_seconds() - processor,
        };
        (result, time)
    };
    (1..times).fold(timed(), |(_, best), _| {
        let (result, next) = timed();
        let least = Time {
            seconds: best.seconds.min(next.seconds),
            processor_seconds: best.processor_seconds.min(next.processor_seconds),
        };
        (result, least)
    })
}

/// Processor time of this process so far, s (Linux; NaN elsewhere).
fn processor_seconds() -> f64 {
    /// Ticks of /proc a second, the same on every Linux of today.
    const TICKS: f64 = 100.0;
    let stat = std::fs::read_to_string("/proc/self/stat").unwrap_or_default();
    // User and system time are fields 14 and 15; the name in 2 may hold spaces.
    let after_name = stat.rsplit(')').next().unwrap_or_default();
    let fields = after_name.split_whitespace().skip(11).take(2);
    let ticks: Option<Vec<f64>> = fields.map(|v| v.parse().ok()).collect();
    match ticks.as_deref() {
        Some([user, system]) => (user + system) / TICKS,
        _ => f64::NAN,
    }
}

// The plain year.

/// The published steady state fed once a day with the published influent.
struct PlainYear {
    model: Digestion,
    start: Vec<f64>,
    influent: Vec<f64>,
    days: u32,
}

/// Dry gas of each day, kmol, and the work it took.
type PlainWorld = (Vec<f64>, Effort);

impl PlainYear {
    fn new(days: u32) -> Self {
        let model = Digestion::plain();
        let n = model.states();
        let (mut start, mut influent) = (vec![0.0; n], vec![0.0; n]);
        for row in published::steady_state() {
            if let Some(i) = state::place(&row.symbol) {
                start[i] = row.steady_state;
                influent[i] = row.influent.unwrap_or(0.0);
            }
        }
        PlainYear {
            model,
            start,
            influent,
            days,
        }
    }

    /// Factors of a world on the strength of its feed and on its hydrolysis:
    /// within 20 % either way, spread evenly over the square (steps of the
    /// plastic number; Roberts 2018, from memory).
    fn factors(world: usize) -> (f64, f64) {
        let spread = |step: f64| 0.8 + 0.4 * ((world as f64 + 0.5) * step).fract();
        (spread(0.754_877_666), spread(0.569_840_291))
    }

    fn conditions(&self, world: usize) -> Conditions {
        let c = &self.model.constants;
        let mut factors = WorldFactors::none(self.model.pools.len());
        // The composite falls apart as ever; what it falls into is hydrolysed.
        factors.pool[1..].fill(Self::factors(world).1);
        Conditions {
            temperature_k: 308.15,
            liquid_m3: 3400.0,
            gas_m3: 300.0,
            p_out_bar: c.p_atm,
            outlet_per_d_bar: c.k_p / 3400.0,
            k_l_a_per_d: c.k_l_a,
            dilution_per_d: 0.0,
            world: factors,
            ammonia_tolerance: 1.0,
        }
    }

    /// Feed matter by the world's strength; its water and ions are the same.
    fn fed(&self, world: usize, i: usize) -> f64 {
        let matter = (state::X_XC..state::X_XC + state::PLAIN_POOLS).contains(&i);
        self.influent[i] * if matter { Self::factors(world).0 } else { 1.0 }
    }

    /// Lets `worlds` live in lockstep.
    fn run<T: Pack>(&self, worlds: &[usize], relative: f64) -> Result<Vec<PlainWorld>, Failure> {
        // Spare lanes carry the last world along.
        let world = |lane: usize| worlds[lane.min(worlds.len() - 1)];
        let conditions: Vec<Conditions> =
            (0..T::WIDTH).map(|l| self.conditions(world(l))).collect();
        let fed: Vec<T> = (0..self.model.states())
            .map(|i| T::gather(|l| self.fed(world(l), i)))
            .collect();
        let (gas, effort) = at_best_width::<T, _>(Days {
            year: self,
            conditions: &conditions,
            fed: &fed,
            tolerance: self.model.tolerance(relative),
        })?;
        Ok((0..worlds.len())
            .map(|l| (gas.iter().map(|day| day.lane(l)).collect(), effort))
            .collect())
    }

    fn all<T: Pack>(&self, worlds: usize, relative: f64) -> Vec<PlainWorld> {
        let numbers: Vec<usize> = (0..worlds).collect();
        numbers
            .par_chunks(T::WIDTH)
            .flat_map_iter(|group| self.run::<T>(group, relative).expect("the year runs"))
            .collect()
    }
}

/// All days of some worlds, to be compiled for the machine at hand.
struct Days<'a, T> {
    year: &'a PlainYear,
    conditions: &'a [Conditions],
    fed: &'a [T],
    tolerance: Tolerance,
}

impl<T: Pack> WideWork for Days<'_, T> {
    type Output = Result<(Vec<T>, Effort), Failure>;

    #[inline(always)]
    fn call(self) -> Self::Output {
        let model = &self.year.model;
        let mut y: Vec<T> = self.year.start.iter().map(|&v| T::constant(v)).collect();
        // The feed brings nothing that is not there at the start.
        let present: Vec<bool> = y
            .iter()
            .zip(self.fed)
            .map(|(y, fed)| y.worst() + fed.worst() > 0.0)
            .collect();
        let layout = model.layout(&present);
        let mut stepper = model.stepper_for(&layout);
        let guess = T::constant(1e-7);
        let mut running = Running::together(model, &layout, self.conditions, guess, model.rates());
        let mut gas = Vec::with_capacity(self.year.days as usize);
        for _ in 0..self.year.days {
            for (i, v) in y.iter_mut().enumerate() {
                if matches!(state::phase(i), Phase::Dissolved | Phase::Solid) {
                    *v += (self.fed[i] - *v).scale(REPLACED);
                }
            }
            y[state::OUT..state::POOLS].fill(T::zero());
            stepper.advance(&mut running, &mut y, 1.0, &self.tolerance)?;
            let mut day = T::zero();
            for g in 0..state::GASES {
                day += y[state::OUT + g].scale(1.0 / kg_per_kmol(g));
            }
            gas.push(day);
        }
        Ok((gas, stepper.effort))
    }
}

fn plain(options: &Options) {
    let lanes = match options.lanes {
        0 => best_width(),
        n => n,
    };
    let run = |relative| {
        // The model's own set-up is part of the time.
        let year = PlainYear::new(options.days);
        match lanes {
            1 => year.all::<f64>(options.worlds, relative),
            4 => year.all::<Lanes<4>>(options.worlds, relative),
            8 => year.all::<Lanes<8>>(options.worlds, relative),
            n => panic!("1, 4 or 8 lanes, not {n}"),
        }
    };
    let (worlds, time) = fastest(options.repeat, || run(options.tolerance));
    line("plain, fed daily", options, lanes, time, worlds[0].1);
    if options.check {
        let tight = PlainYear::new(options.days).all::<f64>(options.worlds, 1e-7);
        let (off, world, day) = worst_day(&worlds, &tight);
        println!(
            "daily gas within {:.3} % of the tight solution (worst: world {world}, day {day})",
            100.0 * off
        );
        assert!(off < 0.002, "a day's gas is off by more than 0.2 %");
    }
}

/// Largest relative difference of a day's gas, its world and day.
fn worst_day(quick: &[PlainWorld], tight: &[PlainWorld]) -> (f64, usize, usize) {
    let mut worst = (0.0, 0, 0);
    for (w, (q, t)) in quick.iter().zip(tight).enumerate() {
        for (d, (q, t)) in q.0.iter().zip(&t.0).enumerate() {
            let off = (q / t - 1.0).abs();
            if off.is_nan() || off > worst.0 {
                worst = (off, w, d);
            }
        }
    }
    worst
}

// The forecast.

fn forecast(options: &Options) {
    let (name, plan) = plan(options);
    let ((forecast, runs), time) = fastest(options.repeat, || {
        ensemble::run(&plan).expect("the worlds run")
    });
    assert_eq!(forecast.worlds as usize, options.worlds);
    let of_one =
        |f: fn(&Effort) -> u64| runs.iter().map(|r| f(&r.effort)).sum::<u64>() / runs.len() as u64;
    let effort = Effort {
        steps: of_one(|e| e.steps),
        rejected: of_one(|e| e.rejected),
        jacobians: of_one(|e| e.jacobians),
    };
    line(&name, options, best_width(), time, effort);
}

/// What a page waits for: few worlds of the whole plan, with words and findings.
fn answer(options: &Options) {
    let (_, mut plan) = plan(options);
    plan.worlds = FEW;
    plan.days = 730;
    let ((runs, parts), time) = fastest(options.repeat, || {
        let start = Instant::now();
        let shared = Shared::new(&plan);
        let draws = draw::latin_hypercube(&plan, plan.worlds as usize, plan.seed);
        let runs = fenlamp_model::forecast::runs::run_worlds(&plan, &shared, &draws)
            .expect("the worlds run");
        let lived = start.elapsed();
        let forecast = ensemble::summarise(&plan, &draws, &runs);
        let summed = start.elapsed();
        let words = words::words(&plan, &forecast);
        let found = findings::findings(&plan, &forecast, &runs);
        std::hint::black_box((words, found));
        let parts = [lived, summed - lived, start.elapsed() - summed];
        (runs, parts.map(|d| 1e3 * d.as_secs_f64()))
    });
    let few = Options {
        worlds: FEW as usize,
        days: plan.days,
        ..Options::parse()
    };
    line("answer, first demo", &few, 4, time, runs[0].effort);
    println!(
        "of the last: worlds {:.0} ms, gas train and bands {:.0} ms, words and findings {:.0} ms",
        parts[0], parts[1], parts[2]
    );
}

fn plan(options: &Options) -> (String, Plan) {
    let (name, text) = match options.feedstocks {
        None => (
            "first demo, all in".to_owned(),
            include_str!("../../../examples/hollin-croft.toml").to_owned(),
        ),
        Some(n) => (format!("{n} feedstocks"), several_feedstocks(n)),
    };
    let mut plan = read(&text, "plan", &NoFiles).expect("a sound plan");
    plan.worlds = options.worlds as u32;
    plan.days = options.days;
    (name, plan)
}

/// An invented tote at 30 degC fed 4 kg a day, shared among `n` feedstocks.
fn several_feedstocks(n: usize) -> String {
    const FEEDSTOCKS: [&str; 8] = [
        "cow_dung",
        "grass_clippings",
        "vegetable_peelings",
        "goat_manure",
        "kitchen_waste_mixed",
        "fruit_waste",
        "stale_bread",
        "garden_weeds",
    ];
    let mut text = String::from(
        "[plan]\nname = \"Several\"\nstart = 2026-05-01\nlength = \"1 year\"\n\
         [place]\nname = \"invented\"\nlatitude = \"50 °N\"\n\
         [slurry]\ntemperature = \"30 °C\"\n\
         [vessel]\nkind = \"tote\"\nvolume = \"1000 L\"\nslurry = \"850 L\"\nstands = \"room\"\n\
         room_temperature = \"20 °C\"\nrun = \"overflow\"\n\
         [feeding]\nevery = \"1 day\"\nwater = \"to 8 % solids\"\n\
         [[first_fill.feed]]\nfeedstock = \"cow_dung\"\namount = \"30 kg\"\n\
         [seed]\nkind = \"digestate\"\nvolume = \"500 L\"\ngrown_at = \"30 °C\"\nage = \"1 day\"\n",
    );
    assert!((1..=FEEDSTOCKS.len()).contains(&n), "1 to 8 feedstocks");
    for name in &FEEDSTOCKS[..n] {
        text += &format!(
            "[[waste]]\nfeedstock = \"{name}\"\namount = \"{} g/day\"\n",
            4000 / n
        );
    }
    text
}

/// Peak resident memory of this process, MB (Linux).
fn peak_memory_mb() -> Option<f64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find_map(|l| l.strip_prefix("VmHWM:"))?;
    let kib: f64 = line.trim().trim_end_matches(" kB").parse().ok()?;
    Some(kib / 1024.0)
}
