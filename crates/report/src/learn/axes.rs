//! From standard normal coordinates to worlds: the uncertain inputs of the plan,
//! the weather's leaning from week to week, and how a person reads gas.

use std::sync::Arc;

use super::normal::{Draws, share_below, value_at};
use super::record::Record;
use crate::diary::GasBy;
use fenlamp_model::plan::{Plan, SlurryTemperature};
use fenlamp_model::world::draw::{Input, WorldDraw, inputs, latin_hypercube};
use fenlamp_model::world::known::Known;

/// Days between the points at which the slurry may lean from its heat balance.
const NODE_DAYS: usize = 14;
/// How far it may, K as a standard deviation (judgement: a fortnight's weather off
/// its normals by some 2 K, damped by the slurry, and what the balance leaves out).
const LEAN_K: f64 = 1.5;
/// How much of it one point keeps of the one before (judgement).
const LEAN_KEPT: f64 = 0.5;

/// Ways of judging gas that may be off as a whole, with the standard deviation of
/// the logarithm of that (judgement: a bag's height told in litres by eye, a small
/// diaphragm meter, a burner's use from a table).
const GAS_WAYS: [(GasBy, f64); 3] = [
    (GasBy::Rise, 0.12),
    (GasBy::Meter, 0.03),
    (GasBy::Burning, 0.15),
];

/// The coordinates of a world.
#[derive(Debug, Clone)]
pub struct Axes {
    /// Named inputs of the plan.
    pub inputs: Vec<Input>,
    /// Axes of the unit cube that act, in order.
    pub acting: Vec<usize>,
    nodes: usize,
    days: usize,
}

impl Axes {
    /// For a plan of so many days.
    pub fn new(plan: &Plan) -> Self {
        let inputs = inputs(plan);
        let acting = (0..inputs.len()).filter(|&i| inputs[i].acts).collect();
        let days = plan.days as usize;
        let nodes = match plan.slurry_temperature {
            SlurryTemperature::HeatBalance => days / NODE_DAYS + 2,
            _ => 0,
        };
        Axes {
            inputs,
            acting,
            nodes,
            days,
        }
    }

    /// Coordinates of a world.
    pub fn len(&self) -> usize {
        self.acting.len() + self.nodes + GAS_WAYS.len()
    }

    /// Never: there are always ways of judging gas.
    pub fn is_empty(&self) -> bool {
        false
    }

    /// Worlds before anything was seen.
    pub fn draw(&self, plan: &Plan, worlds: usize, seed: u64) -> Vec<Vec<f64>> {
        let mut draws = Draws::new(seed, 1 << 40);
        latin_hypercube(plan, worlds, seed)
            .iter()
            .map(|world| {
                let mut z: Vec<f64> = self
                    .acting
                    .iter()
                    .map(|&i| value_at(world.unit[i]))
                    .collect();
                z.resize_with(self.len(), || draws.normal());
                z
            })
            .collect()
    }

    /// The world at `z`.
    pub fn world(&self, plan: &Plan, record: &Record, z: &[f64]) -> WorldDraw {
        let mut unit = vec![0.5; self.inputs.len()];
        for (&i, z) in self.acting.iter().zip(z) {
            unit[i] = share_below(*z);
        }
        let mut draw = WorldDraw::from_unit(plan, &unit, 0);
        draw.weather.noise_k = 0.0;
        draw.weather.persistence_noise_seed = None;
        draw.known = Known {
            fed: Arc::clone(&record.fed),
            added: Arc::clone(&record.added),
            warmer_k: self.leaning_k(z),
            ..Known::default()
        };
        draw
    }

    /// What the slurry leans from its heat balance on each day, K.
    fn leaning_k(&self, z: &[f64]) -> Vec<f64> {
        if self.nodes == 0 {
            return Vec::new();
        }
        let fresh = (1.0 - LEAN_KEPT * LEAN_KEPT).sqrt();
        let own = &z[self.acting.len()..][..self.nodes];
        let mut at = Vec::with_capacity(self.nodes);
        let mut lean = own[0];
        at.push(lean);
        for z in &own[1..] {
            lean = LEAN_KEPT * lean + fresh * z;
            at.push(lean);
        }
        (0..self.days)
            .map(|day| {
                let (node, part) = (day / NODE_DAYS, (day % NODE_DAYS) as f64 / NODE_DAYS as f64);
                LEAN_K * (at[node] + part * (at[node + 1] - at[node]))
            })
            .collect()
    }

    /// Logarithm of what a person reads over what there was.
    pub fn gas_bias(&self, z: &[f64], by: GasBy) -> f64 {
        let from = self.acting.len() + self.nodes;
        GAS_WAYS
            .iter()
            .zip(&z[from..])
            .find(|((way, _), _)| *way == by)
            .map_or(0.0, |((_, sd), z)| sd * z)
    }
}
