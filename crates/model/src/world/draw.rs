//! One plausible world: a value for everything that is uncertain, and Latin
//! hypercubes of them.

mod cube;
pub mod inputs;

#[cfg(test)]
mod tests;

use super::fractionate::{CARBONATE, FeedDraw};
use super::inferred::Inferred;
use super::known::Known;
use super::seed;
use crate::band::Band;
use crate::feed::{Feedstock, How};
use crate::plan::{Plan, VesselKind};
use crate::reference;
use crate::warmth::{HeapDraw, StillTop, WarmthDraw};
use crate::weather::Weather;
use crate::weather::WeatherDraw;
use crate::weather::anomaly::USUAL_NOISE_K;

pub use cube::BATCH;
pub use inputs::{Input, InputKind, inputs};

/// Everything that differs between worlds.
#[derive(Debug, Clone)]
pub struct WorldDraw {
    /// Per feedstock of the plan.
    pub feed: Vec<FeedDraw>,
    /// Hydrolysis rate of each feedstock, 1/d at 35 degC.
    pub hydrolysis_per_d: Vec<f64>,
    /// Factor on the amount of each waste that really comes.
    pub amount: Vec<f64>,
    /// Acetoclasts of each seed, kg COD/kg volatile solids; one figure that nothing
    /// reads for a plan without seed.
    pub seed_acetoclasts: Vec<f64>,
    /// Fermenters of the seeds per acetoclast, on their kinds'.
    pub seed_fermenters: f64,
    /// Times longer that solids stay than liquid.
    pub solids_stay: f64,
    /// Factor on the uptake of all groups.
    pub uptake: f64,
    /// Constants inferred from data.
    pub inferred: Inferred,
    /// The year's weather.
    pub weather: WeatherDraw,
    /// Insulation, wind, ground, feed, open top, heap.
    pub warmth: WarmthDraw,
    /// Wash and store.
    pub gas_side: GasSideDraw,
    /// Coordinate of each of [`inputs`] in the unit cube.
    pub unit: Vec<f64>,
    /// Value of each of [`inputs`].
    pub values: Vec<f64>,
    /// What is known of the run beyond the plan; empty in a forecast.
    pub known: Known,
}

/// What is uncertain between the vessel and the flame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GasSideDraw {
    /// Place of the wash's capacity in its band, 0 to 1.
    pub wash_capacity: f64,
    /// Place of its contact in its band, 0 to 1.
    pub wash_contact: f64,
    /// Leak of the store at seams and fittings, share of its contents a day.
    pub store_leak_per_day: f64,
}

/// What one world in ten is below, the middle, and what one in ten is above.
const fn band(low: f64, mid: f64, high: f64) -> Band {
    Band { low, mid, high }
}

/// Leaks at seams and fittings of a store, share of the contents a day (judgement: a
/// store that holds soapy water's test loses next to nothing, a poor one a hundredth
/// or two); drawn evenly on the logarithm from end to end.
pub(crate) const STORE_LEAK_PER_DAY: Band = band(0.001, 0.005, 0.02);

/// Uptake of all groups: judgement, a third either way.
const UPTAKE: Band = band(0.75, 1.0, 1.35);
/// Buffer carried by fresh material: judgement.
const BUFFER: Band = band(0.6, 1.0, 1.5);
/// What dissolves at once, on the table's share: judgement; the tables have one figure a
/// class, and sugar in grass alone moves by as much with the day and the season.
const SOLUBLE: Band = band(0.5, 1.0, 1.8);
/// Most of it: the fraction that the tables give to urine and molasses, and a little.
const MOST_SOLUBLE: f64 = 0.98;
/// Sulfur that turns to sulfide, and iron that sulfide can reach, on the tables: a
/// factor of two (judgement: feeds, water and soil differ by as much).
const SULFUR: Band = band(0.5, 1.0, 2.0);
/// Conductivity of insulation as built against the book: gaps and damp make it
/// worse (judgement).
const INSULATION: Band = band(1.0, 1.1, 1.45);
/// Heat of a heap against the book: `compost_heat.md` section 6 spreads wide.
const HEAP_RATE: Band = band(0.5, 1.0, 2.0);
/// Share of a heap that burns, its draught and its conductivity, on the central
/// figures: the spans its own checks were fitted in (judgement).
const HEAP_FUEL: Band = band(0.6, 1.0, 1.5);
const HEAP_AIR: Band = band(0.5, 1.0, 2.5);
const HEAP_CONDUCTIVITY: Band = band(0.6, 1.0, 1.5);
/// Sun on the plant against the normals: judgement; hedges, hills and houses take some, a
/// sunny year adds.
const SUN: Band = band(0.85, 1.0, 1.08);
/// Wind about the vessel against the station's: judgement; a walled yard and a bare hill.
const WIND: Band = band(0.6, 1.0, 1.5);
/// Conductivity of the ground against its class: loose and dry, dense and wet (rows
/// `k_clay_loose_5`, `k_clay_dense_15`, `k_sand_loose_5`, `k_sand_dense_15`).
const GROUND: Band = band(0.59, 1.0, 1.39);
/// Ground over the air in the year's mean, K: `2.49 - 0.09 T` at 69 stations, 0.74 K off
/// (DAVELLO21), so about 1.3 at 5 to 20 degC, and a standard deviation and a third either way.
const GROUND_OVER_AIR_K: Band = band(0.3, 1.3, 2.3);
/// Feed against half air, half tap water, K: judgement; a bucket stood out overnight, dung
/// warm from the stable.
const FEED_OFFSET_K: Band = band(-1.5, 0.0, 3.0);
/// Crust or slurry too thick to turn over on a top that is no lid, m. Thin slurry has none. The
/// middle and the high end were set so that three Swedish stores of cattle slurry (A, B and D of
/// HAFNERMJ23-DATA) cool in autumn as they did, with 0.25 to 0.4 m2 K/W over them; stores elsewhere
/// then do too.
const STILL_LAYER_M: Band = band(0.0, 0.1, 0.3);
/// What passes from still water to ice: row `h_under_ice`, its ends on its middle.
const UNDER_ICE: Band = band(0.5, 1.0, 2.5);
/// Mean of a year against the normals, K: judgement, about one standard
/// deviation of yearly means.
const YEAR_OFFSET_K: Band = band(-0.9, 0.0, 0.9);

/// Times longer that solids stay than liquid, by kind of vessel. Unstirred bags and
/// pits keep 78 % of volatile solids from leaving undigested where a mixed tank would
/// 21 % (JAIMES21, Energies 14, 151, read); what a person stirs keeps less (judgement).
fn solids_stay(kind: VesselKind) -> Band {
    match kind {
        VesselKind::Tank => band(1.0, 1.1, 1.3),
        VesselKind::LongBag | VesselKind::SunkenTank => band(1.3, 2.0, 4.0),
        _ => band(1.0, 1.4, 2.2),
    }
}

/// Factor on a figure of a feedstock: that of its measurement, or the usual one.
fn factor(f: &Feedstock, field: &str, usual: Band) -> Band {
    match f.origin(field).map(|o| o.how) {
        Some(How::Measured) => reference::spread(&format!("{field}_measured")),
        _ => usual,
    }
}

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
        inputs(plan).len()
    }

    /// A world from a point of the unit cube; its coordinates go in the order of
    /// [`inputs`].
    pub fn from_unit(plan: &Plan, u: &[f64], noise_seed: u64) -> Self {
        let mut values = Vec::with_capacity(u.len());
        let mut take = |value: &dyn Fn(f64) -> f64| {
            let v = value(u.get(values.len()).copied().unwrap_or(0.5));
            values.push(v);
            v
        };
        let mut feed = Vec::new();
        let mut hydrolysis_per_d = Vec::new();
        for f in &plan.feedstocks {
            feed.push(FeedDraw {
                total_solids: take(&|u| f.total_solids.at(u)),
                bmp: take(&|u| f.bmp.at(u).max(0.0)),
                soluble: take(&|u| (SOLUBLE.at_log(u) * f.soluble_share).min(MOST_SOLUBLE)),
                own_methanogens: take(&|u| f.own_methanogens.at_log(u)),
                buffer: take(&|u| BUFFER.at_log(u)),
                carbonate: take(&|u| CARBONATE.at(u)),
                carbon: 1.0,
                sulfur: take(&|u| factor(f, "sulfur_of_ts", SULFUR).at_log(u)),
                iron: take(&|u| factor(f, "iron_of_ts", SULFUR).at_log(u)),
            });
            hydrolysis_per_d.push(take(&|u| f.hydrolysis_per_d.at_log(u)));
        }
        let amount = plan
            .waste
            .iter()
            .map(|w| take(&|u| w.spread.at(u)))
            .collect();
        let seed_acetoclasts = (0..inputs::seed_axes(plan))
            .map(|i| {
                take(&|u| match plan.first_fill.seeds.get(i) {
                    Some(s) => seed::acetoclasts(s.kind).at_log(u),
                    None => 0.0,
                })
            })
            .collect();
        let seed_fermenters = take(&|u| seed::FERMENTERS.at_log(u));
        let solids_stay = take(&|u| match plan.vessel.solids_retention_factor {
            None => solids_stay(plan.vessel.kind).at_log(u),
            Some(stated) => stated,
        });
        let uptake = take(&|u| UPTAKE.at_log(u));
        // The values are kept beside their places, then read by id.
        let rows = reference::inferred();
        let places: Vec<f64> = rows
            .iter()
            .map(|row| {
                let place = std::cell::Cell::new(0.5);
                take(&|u| {
                    place.set(u);
                    row.band.at_log(u)
                });
                place.get()
            })
            .collect();
        let air_offset_k = take(&|u| YEAR_OFFSET_K.at(u));
        let insulation_factor = take(&|u| INSULATION.at(u));
        let heap = HeapDraw {
            rate_factor: take(&|u| HEAP_RATE.at_log(u)),
            fuel_factor: take(&|u| HEAP_FUEL.at_log(u)),
            air_factor: take(&|u| HEAP_AIR.at_log(u)),
            conductivity_factor: take(&|u| HEAP_CONDUCTIVITY.at_log(u)),
        };
        let gas_side = GasSideDraw {
            wash_capacity: take(&|u| u),
            wash_contact: take(&|u| u),
            store_leak_per_day: take(&|u| {
                let leak = STORE_LEAK_PER_DAY;
                leak.low * (leak.high / leak.low).powf(u)
            }),
        };
        let weather = WeatherDraw {
            air_offset_k,
            // A recorded year has its own restlessness.
            noise_k: match plan.weather {
                Weather::Normals(_) => USUAL_NOISE_K,
                Weather::Series(_) => 0.0,
            },
            persistence_noise_seed: Some(noise_seed),
            sun_factor: take(&|u| SUN.at(u)),
        };
        let still = std::cell::Cell::new(0.5);
        let warmth = WarmthDraw {
            insulation_factor,
            heap,
            wind_factor: take(&|u| WIND.at_log(u)),
            ground_factor: take(&|u| GROUND.at_log(u)),
            ground_over_air_k: take(&|u| GROUND_OVER_AIR_K.at(u)),
            feed_offset_k: take(&|u| FEED_OFFSET_K.at(u)),
            still_top: StillTop {
                layer_m: take(&|u| {
                    still.set(u);
                    STILL_LAYER_M.at(u).max(0.0)
                }),
                // What is thick is still: the same place from the other end.
                under_ice_factor: UNDER_ICE.at_log(1.0 - still.get()),
            },
        };
        for feed in &mut feed {
            feed.carbon = take(&|u| reference::spread("carbon_per_cod").at_log(u));
        }
        WorldDraw {
            feed,
            hydrolysis_per_d,
            amount,
            seed_acetoclasts,
            seed_fermenters,
            solids_stay,
            uptake,
            inferred: Inferred::at(|k| places[k]),
            weather,
            warmth,
            gas_side,
            unit: u.to_vec(),
            values,
            known: Known::default(),
        }
    }

    /// The same world for a changed plan: same coordinates, same weather. The plans
    /// must have the same [`inputs`].
    pub fn again(&self, plan: &Plan) -> Self {
        let mut draw = Self::from_unit(plan, &self.unit, 0);
        draw.weather = self.weather;
        draw.known = self.known.clone();
        draw
    }
}

/// `worlds` draws by Latin hypercubes of [`BATCH`] worlds (the last may be
/// smaller), with the named generator ChaCha8.
pub fn latin_hypercube(plan: &Plan, worlds: usize, seed: u64) -> Vec<WorldDraw> {
    let mut draws = Vec::with_capacity(worlds);
    while draws.len() < worlds {
        let number = (draws.len() / BATCH) as u64;
        draws.extend(batch(plan, BATCH.min(worlds - draws.len()), seed, number));
    }
    draws
}

/// Batch `number` of the worlds of a seed, a Latin hypercube of `worlds` draws.
pub fn batch(plan: &Plan, worlds: usize, seed: u64, number: u64) -> Vec<WorldDraw> {
    let inputs = inputs(plan);
    let first = number * BATCH as u64;
    let together = cube::Correlated {
        first: inputs
            .iter()
            .position(|i| i.kind == InputKind::Inferred)
            .unwrap_or(inputs.len()),
        correlation: reference::inferred()
            .iter()
            .map(|row| row.correlation.as_slice())
            .collect(),
    };
    let ties = inputs::ties(&inputs);
    cube::batch(inputs.len(), &ties, &together, worlds, seed, number)
        .iter()
        .zip(first..)
        .map(|(u, w)| {
            let noise_seed = seed.wrapping_add(w).wrapping_mul(0x9E37_79B9);
            WorldDraw::from_unit(plan, u, noise_seed)
        })
        .collect()
}
