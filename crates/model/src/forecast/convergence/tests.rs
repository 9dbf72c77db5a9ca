//! Intervals of the ends, and batches until they are steady.

use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use std::sync::atomic::AtomicBool;

use super::*;
use crate::forecast::ensemble;
use crate::plan::{NoFiles, read};

fn bench(days: u32) -> Plan {
    let text = include_str!("../../../../../examples/laboratory-batch.toml");
    let mut plan = read(text, "demo.toml", &NoFiles).unwrap_or_else(|e| panic!("{e}"));
    plan.days = days;
    plan
}

#[test]
fn the_interval_is_that_of_the_binomial() {
    // P(B <= 1) = 0.0138 and P(B <= 2) = 0.0530 for 60 draws at 0.1; P(B <= 9) =
    // 0.9269 and P(B <= 10) = 0.9658 (binomial sums, worked apart from this code).
    assert_eq!(interval(60, 0.1), Some((1, 10)));
    // The high end mirrors the low.
    assert_eq!(interval(60, 0.9), Some((49, 58)));
    // 0.9^28 = 0.0523 and 0.9^29 = 0.0471: 29 are needed to bound the low end.
    assert_eq!(interval(28, 0.1), None);
    assert!(interval(29, 0.1).is_some());
    assert_eq!(interval(0, 0.5), None);
}

#[test]
fn it_holds_the_true_end_as_often_as_it_says() {
    let mut generator = ChaCha8Rng::seed_from_u64(5);
    let (mut inside, tries) = (0, 2000);
    let (low, high) = interval(60, 0.1).expect("enough");
    for _ in 0..tries {
        let mut v: Vec<f64> = (0..60).map(|_| generator.random()).collect();
        v.sort_unstable_by(f64::total_cmp);
        inside += u32::from(v[low] <= 0.1 && 0.1 <= v[high]);
    }
    let share = f64::from(inside) / f64::from(tries);
    assert!((CONFIDENCE - 0.01..0.98).contains(&share), "{share}");
}

#[test]
fn the_ends_close_in_with_more_values_and_a_few_say_nothing() {
    let mut generator = ChaCha8Rng::seed_from_u64(6);
    let mut of = |n: usize| {
        let v: Vec<f64> = (0..n).map(|_| 1.0 + generator.random::<f64>()).collect();
        Ends::of(&v).worst()
    };
    let (few, many) = (of(60).expect("enough"), of(6000).expect("enough"));
    assert!(many < 0.3 * few, "{few} {many}");
    assert_eq!(of(20), None);
    assert_eq!(Ends::of(&[0.0; 60]).worst(), None);
    assert_eq!(Ends::of(&[]).worst(), None);
}

#[test]
fn batches_go_on_until_steady_and_keep_the_first() {
    let plan = bench(10);
    let shared = Shared::new(&plan);
    let (draws, runs) = until_steady(&plan, &shared, &Control::none()).expect("the worlds run");
    assert_eq!(draws.len(), runs.len());
    assert!(runs.len().is_multiple_of(BATCH) && runs.len() <= MOST_WORLDS);
    let (_, first) = ensemble::run(&plan).expect("the worlds run");
    for (a, b) in first.iter().zip(&runs) {
        assert_eq!(a.days, b.days);
    }
    // As many at once give the same digits again.
    let mut all = plan.clone();
    all.worlds = runs.len() as u32;
    let (_, at_once) = ensemble::run(&all).expect("the worlds run");
    assert!(at_once.iter().zip(&runs).all(|(a, b)| a.days == b.days));
}

#[test]
fn threads_change_no_digit() {
    let plan = bench(6);
    let with = |threads| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build();
        let run = || ensemble::run(&plan).expect("the worlds run").0;
        pool.expect("a pool").install(run)
    };
    assert_eq!(with(1), with(2));
}

#[test]
fn a_run_tells_how_far_it_is_and_stops_when_asked() {
    use std::sync::atomic::{AtomicUsize, Ordering};
    let plan = bench(4);
    let (most, never) = (AtomicUsize::new(0), AtomicBool::new(false));
    let progress = |done: usize, total: usize| {
        assert_eq!(total, 60);
        most.fetch_max(done, Ordering::Relaxed);
    };
    let control = Control {
        progress: &progress,
        cancelled: &never,
    };
    let outcome = ensemble::run_with(&plan, ensemble::Worlds::OfPlan, &control);
    assert_eq!(outcome.expect("it runs").runs.len(), 60);
    assert_eq!(most.load(Ordering::Relaxed), 60);
    never.store(true, Ordering::Relaxed);
    for worlds in [ensemble::Worlds::OfPlan, ensemble::Worlds::UntilSteady] {
        let stopped = ensemble::run_with(&plan, worlds, &control);
        assert_eq!(stopped.err(), Some(WorldError::Cancelled));
    }
}
