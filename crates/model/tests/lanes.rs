//! Worlds in lockstep against worlds alone.

use fenlamp_adm1::solver::{Lanes, Pack};
use fenlamp_model::forecast::ensemble;
use fenlamp_model::plan::{NoFiles, Plan, read};
use fenlamp_model::world;
use fenlamp_model::world::draw;
use fenlamp_model::world::draw::WorldDraw;
use fenlamp_model::world::{DayRow, RELATIVE_TOLERANCE, Shared, WorldRun};

/// The first demo, cut to sixty days, fed from the tenth on.
fn demo() -> Plan {
    let text = include_str!("../../../examples/hollin-croft.toml");
    let mut plan = read(text, "hollin-croft", &NoFiles).expect("a sound demo");
    plan.days = 60;
    plan.feeding.first_day = 10;
    plan
}

/// `draws` in groups as wide as `T`.
fn in_groups<T: Pack>(plan: &Plan, shared: &Shared, draws: &[WorldDraw]) -> Vec<WorldRun> {
    draws
        .chunks(T::WIDTH)
        .flat_map(|group| {
            world::run_together::<T>(plan, shared, group, RELATIVE_TOLERANCE).expect("they run")
        })
        .collect()
}

/// Every figure of a day, by name.
fn figures(row: &DayRow) -> [(&'static str, f64); 10] {
    [
        ("gas", row.gas_dry_l),
        ("methane", row.methane_l),
        ("methane share", row.methane_share),
        ("carbon dioxide share", row.co2_share),
        ("H2S", row.h2s_ppm),
        ("pH", row.ph),
        ("acids", row.acids_mg_l),
        ("ammonium", row.ammonium_mg_n_l),
        ("headspace oxygen", row.headspace_oxygen),
        ("headspace hydrogen", row.headspace_hydrogen),
    ]
}

fn same_world_in_every_lane<T: Pack>() {
    let plan = demo();
    let shared = Shared::new(&plan);
    let one = draw::latin_hypercube(&plan, 3, 5).remove(1);
    let alone = world::run(&plan, &shared, &one).expect("it runs");
    let group = vec![one; T::WIDTH];
    let together = in_groups::<T>(&plan, &shared, &group);
    assert_eq!(together.len(), T::WIDTH);
    for (lane, run) in together.iter().enumerate() {
        assert_eq!(run.effort, alone.effort, "lane {lane} takes other steps");
        for (day, (a, b)) in run.days.iter().zip(&alone.days).enumerate() {
            for ((name, a), (_, b)) in figures(a).into_iter().zip(figures(b)) {
                // No operation is fused or reordered: the very same digits.
                assert_eq!(a, b, "{name} of lane {lane}, day {day}");
            }
        }
    }
}

#[test]
fn the_same_world_in_all_of_4_lanes_is_the_world_alone() {
    same_world_in_every_lane::<Lanes<4>>();
}

#[test]
fn the_same_world_in_all_of_8_lanes_is_the_world_alone() {
    same_world_in_every_lane::<Lanes<8>>();
}

#[test]
fn a_group_that_does_not_fill_its_lanes_takes_the_steps_of_its_own_worlds() {
    let plan = demo();
    let shared = Shared::new(&plan);
    let draws = draw::latin_hypercube(&plan, 3, 5);
    let four = in_groups::<Lanes<4>>(&plan, &shared, &draws);
    let eight = in_groups::<Lanes<8>>(&plan, &shared, &draws);
    assert_eq!((four.len(), eight.len()), (3, 3));
    // The spare lanes repeat the last world, which cannot ask for more steps. The
    // sum of the squares is taken lane by lane, so the error is the same too.
    for (a, b) in four.iter().zip(&eight) {
        assert_eq!(a.effort, b.effort);
        assert_eq!(a.days, b.days);
    }
}

#[test]
fn the_bands_are_the_same_for_one_thread_and_two() {
    let mut plan = demo();
    plan.worlds = 21;
    let on = |threads| {
        rayon::ThreadPoolBuilder::new()
            .num_threads(threads)
            .build()
            .expect("a pool of threads")
            .install(|| ensemble::run(&plan).expect("they run").0)
    };
    let (one, two) = (on(1), on(2));
    assert_eq!(one.days, two.days);
    assert_eq!(one, two);
}

#[test]
fn the_width_changes_the_gas_by_less_than_the_tolerance() {
    let plan = demo();
    let shared = Shared::new(&plan);
    let draws = draw::latin_hypercube(&plan, 16, 11);
    let alone = in_groups::<f64>(&plan, &shared, &draws);
    let four = in_groups::<Lanes<4>>(&plan, &shared, &draws);
    let eight = in_groups::<Lanes<8>>(&plan, &shared, &draws);
    let largest = |r: &WorldRun| r.days.iter().map(|d| d.gas_dry_l).fold(0.0, f64::max);
    for (width, runs) in [(4, &four), (8, &eight)] {
        for (w, (run, reference)) in runs.iter().zip(&alone).enumerate() {
            for (day, (a, b)) in run.days.iter().zip(&reference.days).enumerate() {
                // As in the test of the tolerance: no day counts for less than
                // a twentieth of the best one.
                let size = b.gas_dry_l.max(0.05 * largest(reference)).max(0.1);
                let off = (a.gas_dry_l - b.gas_dry_l).abs() / size;
                assert!(off < 0.002, "width {width} world {w} day {day}: {off}");
            }
        }
    }
}
