//! Counting, and fractions that read well.

use super::*;
use crate::plan::{NoFiles, read};

#[test]
fn fractions_are_small_and_rare_things_keep_their_count() {
    for (count, n, words) in [
        (10, 60, "1 of 6 worlds"),
        (54, 60, "9 of 10 worlds"),
        (30, 60, "1 of 2 worlds"),
        (15, 60, "1 of 4 worlds"),
        (1, 60, "1 of 60 worlds"),
        (59, 60, "59 of 60 worlds"),
        (0, 60, "none of 60 worlds"),
        (60, 60, "all 60 worlds"),
        (3, 8, "3 of 8 worlds"),
        (1, 1, "the one world run"),
    ] {
        assert_eq!(fraction(count, n), words);
    }
}

#[test]
fn a_fraction_is_never_far_from_the_count() {
    for n in [2usize, 7, 24, 60, 600] {
        for count in 1..n {
            let words = fraction(count, n);
            let mut numbers = words
                .split_whitespace()
                .filter_map(|w| w.parse::<f64>().ok());
            let (a, b) = (numbers.next(), numbers.next());
            let share = a.expect("a part") / b.expect("a whole");
            let miss = (share - count as f64 / n as f64).abs();
            assert!(miss <= 0.0201, "{count} of {n}: {words}");
        }
    }
}

#[test]
fn the_score_interval_meets_a_worked_one() {
    // 10 of 20 at 95 %: 0.299 to 0.701 (textbook example; from memory).
    let (low, high) = wilson(10, 20);
    assert!((low - 0.299).abs() < 1e-3 && (high - 0.701).abs() < 1e-3);
    let (low, high) = wilson(0, 60);
    assert!(low == 0.0 && (0.05..0.07).contains(&high));
}

fn world(first_flame: Option<usize>, sour: bool) -> Figures {
    Figures {
        year_methane_l: 1.0,
        winter_methane_l: None,
        first_flame,
        sour,
    }
}

#[test]
fn nine_of_ten_have_a_flame_by_the_day_of_the_ninth() {
    let text = include_str!("../../../../../examples/hollin-croft.toml");
    let plan = read(text, "demo.toml", &NoFiles).unwrap_or_else(|e| panic!("{e}"));
    let mut worlds: Vec<Figures> = (0..9).map(|i| world(Some(10 + i), false)).collect();
    worlds.push(world(None, true));
    let said = chances(&plan, &[], &worlds, &[]);
    let words: Vec<&str> = said.iter().map(|c| c.words.as_str()).collect();
    // The plan starts on 1 May; the ninth flame burns on day 18.
    assert_eq!(
        words,
        [
            "9 of 10 worlds have a steady flame by 19 May",
            "9 of 10 worlds have a steady flame at all",
            "The slurry turns sour in 1 of 10 worlds",
        ]
    );
    // With fewer flames no date is promised.
    worlds[0] = world(None, true);
    let said = chances(&plan, &[], &worlds, &[]);
    assert!(said.iter().all(|c| c.of != ChanceOf::FlameBy));
    assert!(chances(&plan, &[], &[], &[]).is_empty());
}
