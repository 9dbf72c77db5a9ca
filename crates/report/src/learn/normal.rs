//! The standard normal distribution and its draws.

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};

/// Share of a standard normal below `x`: the complementary error function by its
/// continued-fraction fit of Numerical Recipes (erfc Chebyshev form, relative error
/// below 1.2e-7; from memory).
pub fn share_below(x: f64) -> f64 {
    let z = x.abs() / std::f64::consts::SQRT_2;
    let t = 1.0 / (1.0 + 0.5 * z);
    let inner = -z * z - 1.265_512_23
        + t * (1.000_023_68
            + t * (0.374_091_96
                + t * (0.096_784_18
                    + t * (-0.186_288_06
                        + t * (0.278_868_07
                            + t * (-1.135_203_98
                                + t * (1.488_515_87 + t * (-0.822_152_23 + t * 0.170_872_77))))))));
    let tail = 0.5 * t * inner.exp();
    if x > 0.0 { 1.0 - tail } else { tail }
}

/// The value that a share `u` of a standard normal lies below: the rational fit of
/// Acklam (from memory), made exact against [`share_below`] by one step of Newton.
pub fn value_at(u: f64) -> f64 {
    const A: [f64; 6] = [
        -39.696_830_286_653_76,
        220.946_098_424_520_5,
        -275.928_510_446_968_7,
        138.357_751_867_269,
        -30.664_798_066_147_16,
        2.506_628_277_459_239,
    ];
    const B: [f64; 5] = [
        -54.476_098_798_224_06,
        161.585_836_858_040_9,
        -155.698_979_859_886_6,
        66.801_311_887_719_72,
        -13.280_681_552_885_72,
    ];
    const C: [f64; 6] = [
        -0.007_784_894_002_430_293,
        -0.322_396_458_041_136_5,
        -2.400_758_277_161_838,
        -2.549_732_539_343_734,
        4.374_664_141_464_968,
        2.938_163_982_698_783,
    ];
    const D: [f64; 4] = [
        0.007_784_695_709_041_462,
        0.322_467_129_070_039_8,
        2.445_134_137_142_996,
        3.754_408_661_907_416,
    ];
    let poly = |k: &[f64], x: f64| k.iter().fold(0.0, |sum, k| sum * x + k);
    let u = u.clamp(1e-9, 1.0 - 1e-9);
    let tail = |p: f64| {
        let q = (-2.0 * p.ln()).sqrt();
        poly(&C, q) / (poly(&D, q) * q + 1.0)
    };
    let x = if u < 0.024_25 {
        tail(u)
    } else if u > 1.0 - 0.024_25 {
        -tail(1.0 - u)
    } else {
        let (q, r) = (u - 0.5, (u - 0.5) * (u - 0.5));
        q * poly(&A, r) / (poly(&B, r) * r + 1.0)
    };
    let density = (-0.5 * x * x).exp() / (2.0 * std::f64::consts::PI).sqrt();
    x - (share_below(x) - u) / density.max(1e-12)
}

/// Draws of a standard normal, the same for the same seed and stream.
pub struct Draws(ChaCha8Rng);

impl Draws {
    /// From a seed; streams of one seed are independent.
    pub fn new(seed: u64, stream: u64) -> Self {
        let mut generator = ChaCha8Rng::seed_from_u64(seed);
        generator.set_stream(stream);
        Draws(generator)
    }

    /// A share, evenly between 0 and 1.
    pub fn share(&mut self) -> f64 {
        ((self.0.next_u64() >> 11) as f64 + 0.5) / (1u64 << 53) as f64
    }

    /// The next normal.
    pub fn normal(&mut self) -> f64 {
        value_at(self.share())
    }
}
