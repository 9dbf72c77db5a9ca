//! Rank correlations on worlds made by hand.

use super::*;
use crate::plan::{NoFiles, Plan, read};
use crate::world::draw::{InputKind, latin_hypercube};

fn plan() -> Plan {
    let text = include_str!("../../../../../examples/high-larch-farm.toml");
    read(text, "demo.toml", &NoFiles).unwrap_or_else(|e| panic!("{e}"))
}

#[test]
fn spearman_meets_worked_examples() {
    // Ten pairs whose squared rank differences sum to 194: 1 - 6*194/990 (a text
    // book's example; from memory, the sum worked again by hand).
    let a = [86., 97., 99., 100., 101., 103., 106., 110., 112., 113.];
    let b = [2., 20., 28., 27., 50., 29., 7., 17., 6., 12.];
    let rho = spearman(&a, &b).expect("they vary");
    assert!((rho + 29.0 / 165.0).abs() < 1e-12, "{rho}");
    // Ties at their mean rank: 2/sqrt(5), worked by hand.
    let rho = spearman(&[1., 1., 2., 2.], &[1., 2., 3., 4.]).expect("they vary");
    assert!((rho - 2.0 / 5f64.sqrt()).abs() < 1e-12, "{rho}");
    assert_eq!(spearman(&[1.0, 1.0], &[1.0, 2.0]), None);
    assert_eq!(spearman(&[1.0], &[1.0]), None);
    assert_eq!(spearman(&[1.0, 2.0], &[1.0]), None);
}

/// Worlds whose methane follows `axis` in a bent way, and whose flame comes early
/// with it, or never below 0.3.
fn follow(plan: &Plan, kind: InputKind) -> (Vec<Input>, Vec<WorldDraw>, Vec<Figures>) {
    let inputs = crate::world::draw::inputs(plan);
    let axis = inputs
        .iter()
        .position(|i| i.kind == kind)
        .expect("the input");
    let draws = latin_hypercube(plan, 60, 2);
    let figures = draws
        .iter()
        .map(|d| Figures {
            year_methane_l: d.unit[axis].powi(7).exp(),
            winter_methane_l: Some(1.0),
            first_flame: (d.unit[axis] > 0.3).then(|| (100.0 - 90.0 * d.unit[axis]) as usize),
            sour: false,
        })
        .collect();
    (inputs, draws, figures)
}

#[test]
fn what_the_methane_follows_leads_and_what_does_nothing_is_weak() {
    let plan = plan();
    let (inputs, draws, figures) = follow(&plan, InputKind::Uptake);
    let levers = levers(&inputs, &draws, &figures);
    assert_eq!(levers[0].input, "uptake");
    assert!(levers[0].year_methane.expect("it varies") > 0.999);
    assert!(levers[0].first_flame_day.expect("it varies") < -0.95);
    assert_eq!(levers[0].winter_methane, None);
    assert_eq!(
        levers[0].words,
        "More vigorous microbes give more methane and bring the first flame forward."
    );
    for l in &levers[1..] {
        assert!(l.strength() < 4.0 / 59f64.sqrt(), "{l:?}");
    }
    // There is no heap: nothing is said of it.
    assert!(levers.iter().all(|l| !l.input.starts_with("heap")));
}

#[test]
fn a_world_without_a_flame_is_ranked_last_and_none_at_all_says_nothing() {
    let plan = plan();
    let (inputs, draws, mut figures) = follow(&plan, InputKind::Seed);
    let seed = |figures: &[Figures]| {
        let levers = levers(&inputs, &draws, figures);
        let seed = levers.into_iter().find(|l| l.input == "seed");
        seed.expect("there is seed").first_flame_day
    };
    // Without the flameless worlds counted last the low third would speak against it.
    assert!(seed(&figures).expect("some burn") < -0.95);
    for f in &mut figures {
        f.first_flame = None;
    }
    assert_eq!(seed(&figures), None);
}
