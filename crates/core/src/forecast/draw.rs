//! One plausible world: a value for everything that is uncertain, and a Latin
//! hypercube of them.

use rand::seq::SliceRandom;
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

use super::fractionate::FeedDraw;
use super::seed;
use crate::plan::{Plan, Weather};
use crate::reference::Band;
use crate::warmth::{HeapDraw, WarmthDraw};
use crate::weather::WeatherDraw;
use crate::weather::anomaly::USUAL_NOISE_K;

/// Everything that differs between worlds.
#[derive(Debug, Clone)]
pub struct WorldDraw {
    /// Per feedstock of the plan.
    pub feed: Vec<FeedDraw>,
    /// Hydrolysis rate of each feedstock, 1/d at 35 degC.
    pub hydrolysis_per_d: Vec<f64>,
    /// Factor on the amount of each waste that really comes.
    pub amount: Vec<f64>,
    /// Acetoclasts of the seed, kg COD/kg volatile solids.
    pub seed_acetoclasts: f64,
    /// Factor on the uptake of all groups.
    pub uptake: f64,
    /// Factor on the free ammonia that halves the acetate rate.
    pub k_i_nh3: f64,
    /// The year's weather.
    pub weather: WeatherDraw,
    /// Insulation, wind, heap.
    pub warmth: WarmthDraw,
}

/// Uptake of all groups: judgement, a third either way.
const UPTAKE: Band = Band {
    low: 0.75,
    mid: 1.0,
    high: 1.35,
};
/// Free ammonia at half rate: plain ADM1 is 25 mg N/L, an unadapted culture;
/// manure cultures bear several times more (CALLI05, COLON15 rows of
/// `digestion_limits.csv`).
const K_I_NH3: Band = Band {
    low: 1.5,
    mid: 4.0,
    high: 10.0,
};
/// Amount that really comes, on the user's figure: judgement.
const AMOUNT: Band = Band {
    low: 0.85,
    mid: 1.0,
    high: 1.15,
};
/// Buffer carried by fresh material: judgement.
const BUFFER: Band = Band {
    low: 0.6,
    mid: 1.0,
    high: 1.5,
};
/// Conductivity of insulation as built against the book: gaps and damp make it
/// worse (judgement).
const INSULATION: Band = Band {
    low: 1.0,
    mid: 1.1,
    high: 1.45,
};
/// Heat of a heap against the book: `compost_heat.md` section 6 spreads wide.
const HEAP_RATE: Band = Band {
    low: 0.5,
    mid: 1.0,
    high: 2.0,
};
/// Share of a heap that burns, its draught and its conductivity, on the central
/// figures: the spans its own checks were fitted in (judgement).
const HEAP_FUEL: Band = Band {
    low: 0.6,
    mid: 1.0,
    high: 1.5,
};
const HEAP_AIR: Band = Band {
    low: 0.5,
    mid: 1.0,
    high: 2.5,
};
const HEAP_CONDUCTIVITY: Band = Band {
    low: 0.6,
    mid: 1.0,
    high: 1.5,
};
/// Mean of a year against the normals, K: judgement, about one standard
/// deviation of yearly means.
const YEAR_OFFSET_K: Band = Band {
    low: -0.9,
    mid: 0.0,
    high: 0.9,
};

impl Band {
    /// The value at share `u` of the worlds: straight lines through low at 10 %,
    /// mid at 50 % and high at 90 %; the tails end an eighth of the way beyond.
    pub fn at(&self, u: f64) -> f64 {
        let half = if u < 0.5 {
            self.mid - self.low
        } else {
            self.high - self.mid
        };
        let s = (u - 0.5) / 0.4;
        self.mid + half * s.clamp(-1.125, 1.125)
    }

    /// As [`Band::at`] on the logarithm; for rates and seeds that span decades.
    pub fn at_log(&self, u: f64) -> f64 {
        if self.low <= 0.0 {
            return self.at(u).max(0.0);
        }
        Band {
            low: self.low.ln(),
            mid: self.mid.ln(),
            high: self.high.ln(),
        }
        .at(u)
        .exp()
    }
}

impl WorldDraw {
    /// The central world: every input at its middle, weather as the normals say.
    pub fn central(plan: &Plan) -> Self {
        let dimensions = Self::dimensions(plan);
        let mut draw = Self::from_unit(plan, &vec![0.5; dimensions], 0);
        draw.weather = WeatherDraw::default();
        draw
    }

    /// Number of uncertain inputs.
    pub fn dimensions(plan: &Plan) -> usize {
        5 * plan.feedstocks.len() + plan.waste.len() + 10
    }

    /// A world from a point of the unit cube.
    pub fn from_unit(plan: &Plan, u: &[f64], noise_seed: u64) -> Self {
        let mut next = u.iter().copied();
        let mut take = || next.next().unwrap_or(0.5);
        let mut feed = Vec::new();
        let mut hydrolysis_per_d = Vec::new();
        for f in &plan.feedstocks {
            feed.push(FeedDraw {
                total_solids: f.total_solids.at(take()),
                bmp: f.bmp.at(take()).max(0.0),
                own_methanogens: f.own_methanogens.at_log(take()),
                buffer: BUFFER.at_log(take()),
            });
            hydrolysis_per_d.push(f.hydrolysis_per_d.at_log(take()));
        }
        let amount = plan.waste.iter().map(|_| AMOUNT.at(take())).collect();
        let seed_acetoclasts = match &plan.first_fill.seed {
            Some(s) => seed::acetoclasts(s.kind).at_log(take()),
            None => {
                take();
                0.0
            }
        };
        WorldDraw {
            feed,
            hydrolysis_per_d,
            amount,
            seed_acetoclasts,
            uptake: UPTAKE.at_log(take()),
            k_i_nh3: K_I_NH3.at_log(take()),
            weather: WeatherDraw {
                air_offset_k: YEAR_OFFSET_K.at(take()),
                // A recorded year has its own restlessness.
                noise_k: match plan.weather {
                    Weather::Normals(_) => USUAL_NOISE_K,
                    Weather::Series(_) => 0.0,
                },
                persistence_noise_seed: Some(noise_seed),
                ..WeatherDraw::default()
            },
            warmth: WarmthDraw {
                insulation_factor: INSULATION.at(take()),
                heap: HeapDraw {
                    rate_factor: HEAP_RATE.at_log(take()),
                    fuel_factor: HEAP_FUEL.at_log(take()),
                    air_factor: HEAP_AIR.at_log(take()),
                    conductivity_factor: HEAP_CONDUCTIVITY.at_log(take()),
                },
                ..WarmthDraw::default()
            },
        }
    }
}

/// `worlds` draws by Latin hypercube with the named generator ChaCha8.
pub fn latin_hypercube(plan: &Plan, worlds: usize, seed: u64) -> Vec<WorldDraw> {
    let d = WorldDraw::dimensions(plan);
    let mut generator = ChaCha8Rng::seed_from_u64(seed);
    let mut columns: Vec<Vec<f64>> = Vec::with_capacity(d);
    for _ in 0..d {
        let mut strata: Vec<usize> = (0..worlds).collect();
        strata.shuffle(&mut generator);
        columns.push(
            strata
                .iter()
                .map(|&s| (s as f64 + generator.random::<f64>()) / worlds as f64)
                .collect(),
        );
    }
    (0..worlds)
        .map(|w| {
            let u: Vec<f64> = columns.iter().map(|c| c[w]).collect();
            WorldDraw::from_unit(
                plan,
                &u,
                seed.wrapping_add(w as u64).wrapping_mul(0x9E37_79B9),
            )
        })
        .collect()
}
