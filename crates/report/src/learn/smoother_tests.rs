use super::super::normal::{share_below, value_at};
use super::*;
use proptest::prelude::*;

/// Abramowitz and Stegun, table 26.1: the share below some values.
#[test]
fn the_normal_is_that_of_the_tables() {
    for (x, share) in [
        (0.0, 0.5),
        (1.0, 0.841_344_746),
        (1.96, 0.975_002_105),
        (-2.5, 0.006_209_665),
        (3.0, 0.998_650_102),
    ] {
        assert!((share_below(x) - share).abs() < 2e-7, "{x}");
        assert!((value_at(share) - x).abs() < 2e-5, "{share}");
    }
}

fn start(worlds: usize, axes: usize, seed: u64) -> Vec<Vec<f64>> {
    let mut draws = Draws::new(seed, 7);
    (0..worlds)
        .map(|_| (0..axes).map(|_| draws.normal()).collect())
        .collect()
}

fn moments(worlds: &[Vec<f64>], axis: usize) -> (f64, f64) {
    let n = worlds.len() as f64;
    let mean = worlds.iter().map(|w| w[axis]).sum::<f64>() / n;
    let var = worlds.iter().map(|w| (w[axis] - mean).powi(2)).sum::<f64>() / (n - 1.0);
    (mean, var.sqrt())
}

/// Worked by hand: one normal input of width 1 seen at 2 with an error of 0.5 becomes
/// 2 x 1/(1 + 0.25) = 1.6 with a width of sqrt(0.25/1.25) = 0.447, in any number of steps.
#[test]
fn a_linear_case_gives_what_bayes_gives() {
    let data = [Datum {
        value: 2.0,
        sd: 0.5,
        side: Side::At,
    }];
    for steps in [1, 4] {
        let mut worlds = start(4000, 2, 5);
        let mut draws = Draws::new(1, 1);
        for _ in 0..steps {
            let foretold: Vec<Vec<f64>> = worlds.iter().map(|w| vec![w[0]]).collect();
            step(
                &mut worlds,
                &foretold,
                &data,
                1.0 / f64::from(steps),
                &mut draws,
            );
        }
        let (mean, sd) = moments(&worlds, 0);
        assert!((mean - 1.6).abs() < 0.05, "{steps}: {mean}");
        assert!((sd - 0.447).abs() < 0.03, "{steps}: {sd}");
        let (mean, sd) = moments(&worlds, 1);
        assert!(
            mean.abs() < 0.06 && (sd - 1.0).abs() < 0.05,
            "the other input stays: {mean} {sd}"
        );
    }
}

#[test]
fn few_worlds_do_not_collapse_inputs_that_nothing_was_seen_of() {
    let mut worlds = start(96, 30, 3);
    let data = [Datum {
        value: 1.0,
        sd: 0.2,
        side: Side::At,
    }; 25];
    let mut draws = Draws::new(2, 1);
    for _ in 0..4 {
        let foretold: Vec<Vec<f64>> = worlds.iter().map(|w| vec![w[0] + 0.3 * w[1]; 25]).collect();
        step(&mut worlds, &foretold, &data, 0.25, &mut draws);
    }
    assert!(moments(&worlds, 0).1 < 0.45);
    let others: f64 = (2..30).map(|a| moments(&worlds, a).1).sum::<f64>() / 28.0;
    assert!(others > 0.85, "{others}");
}

#[test]
fn a_full_store_moves_only_worlds_that_make_too_little() {
    let mut worlds = start(2000, 1, 9);
    let data = [Datum {
        value: 0.5,
        sd: 0.05,
        side: Side::AtLeast,
    }];
    let before = worlds.clone();
    let mut draws = Draws::new(4, 1);
    let foretold: Vec<Vec<f64>> = worlds.iter().map(|w| vec![w[0]]).collect();
    step(&mut worlds, &foretold, &data, 1.0, &mut draws);
    for (now, then) in worlds.iter().zip(&before) {
        if then[0] >= 0.5 {
            assert_eq!(now, then);
        } else {
            assert!((now[0] - 0.5).abs() < 0.3, "{} became {}", then[0], now[0]);
        }
    }
}

#[test]
fn one_wild_reading_among_many_hardly_moves_anything() {
    let fine = [Datum {
        value: 0.0,
        sd: 0.3,
        side: Side::At,
    }; 10];
    let mut wild = fine;
    wild[3].value = 30.0;
    let learn = |data: &[Datum]| {
        let mut worlds = start(500, 1, 11);
        let mut draws = Draws::new(6, 1);
        for _ in 0..4 {
            let foretold: Vec<Vec<f64>> = worlds.iter().map(|w| vec![w[0]; data.len()]).collect();
            step(&mut worlds, &foretold, data, 0.25, &mut draws);
        }
        moments(&worlds, 0).0
    };
    assert!((learn(&wild) - learn(&fine)).abs() < 0.05);
}

#[test]
fn spreading_stops_at_what_was_known_before() {
    let mut worlds = start(4000, 3, 2);
    for w in &mut worlds {
        w[0] = 0.4 + 0.5 * w[0];
        w[1] *= 0.95;
        w[2] *= 1.3;
    }
    let before: Vec<_> = (0..3).map(|a| moments(&worlds, a)).collect();
    widen(&mut worlds, 1.2);
    let after: Vec<_> = (0..3).map(|a| moments(&worlds, a)).collect();
    assert!((after[0].1 / before[0].1 - 1.2).abs() < 1e-9);
    assert!((after[1].1 - 1.0).abs() < 1e-3);
    assert!((after[2].1 - before[2].1).abs() < 1e-9);
    assert!(
        after
            .iter()
            .zip(&before)
            .all(|(a, b)| (a.0 - b.0).abs() < 1e-9)
    );
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 32, ..ProptestConfig::default() })]

    #[test]
    fn nothing_turns_into_nonsense(seed in 0u64..1000, seen in 1usize..20, sd in 1e-3..10f64) {
        let mut worlds = start(20, 5, seed);
        let mut draws = Draws::new(seed, 3);
        let data: Vec<Datum> = (0..seen).map(|i| Datum {
            value: 10.0 * draws.normal(), sd,
            side: [Side::At, Side::AtLeast, Side::AtMost][i % 3],
        }).collect();
        let foretold: Vec<Vec<f64>> = worlds.iter().map(|w| (0..seen).map(|i| w[i % 5].powi(3)).collect()).collect();
        step(&mut worlds, &foretold, &data, 0.25, &mut draws);
        prop_assert!(worlds.iter().flatten().all(|v| v.is_finite() && v.abs() < 20.0));
    }
}
