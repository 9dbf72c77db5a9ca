//! Tests of the gas sums: published examples, refusals, and what must hold for any gas.

mod bounds;
mod examples;
mod refusals;

use super::Mixture;

/// Dry biogas of `percent` methane.
fn biogas(percent: f64) -> Mixture {
    Mixture::biogas(percent / 100.0).expect("a share that can be")
}

fn near(ours: f64, theirs: f64, relative: f64) {
    assert!(
        (ours - theirs).abs() <= relative * theirs.abs(),
        "{ours} is not {theirs}"
    );
}
