//! Day-to-day departures of the air from its normal course.

use std::f64::consts::PI;

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};

/// Correlation of one day's anomaly with the next. Judgement: mid-latitude daily mean air
/// temperatures keep about 0.6-0.8, that is a spell of some three days.
pub const PERSISTENCE: f64 = 0.7;

/// A usual standard deviation of the daily anomaly, K. Judgement for middle latitudes (about 2 K
/// by the sea and in summer, 4-5 K in a continental winter).
pub const USUAL_NOISE_K: f64 = 3.0;

/// Daily anomalies, K: a first-order autoregressive series of the given standard deviation,
/// stationary from its first day, the same for the same seed.
pub fn daily_anomalies_k(seed: u64, sd_k: f64, days: usize) -> Vec<f64> {
    let mut generator = ChaCha8Rng::seed_from_u64(seed);
    let mut uniform = move || ((generator.next_u64() >> 11) as f64 + 0.5) / (1u64 << 53) as f64;
    // Box-Muller, one of the pair.
    let mut normal = move || (-2.0 * uniform().ln()).sqrt() * (2.0 * PI * uniform()).cos();
    let fresh = (1.0 - PERSISTENCE * PERSISTENCE).sqrt() * sd_k;
    let mut state = sd_k * normal();
    (0..days)
        .map(|_| {
            let today = state;
            state = PERSISTENCE * state + fresh * normal();
            today
        })
        .collect()
}
