//! What may go wrong at a plant, as something a world can be made to suffer.

use std::sync::Arc;

use serde::Serialize;

use fenlamp_model::world::known::{Happening, Known};

/// Why a plant does not do what it did.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Cause {
    /// All is as it was.
    Nothing,
    /// The slurry lost its warmth.
    Cold,
    /// Gas is lost on its way to the store.
    Leak,
    /// More acid than the microbes take.
    Souring,
    /// Less was fed, and the diary says so.
    Underfed,
    /// The same buckets hold less that digests.
    WeakFeed,
    /// The thermometer lies.
    Sensor,
    /// Much of the slurry was replaced by water.
    WashedOut,
    /// Too much ammonia.
    Ammonia,
    /// Store or line let hardly any gas through.
    Blocked,
}

impl Cause {
    /// Every cause.
    pub const ALL: [Cause; 10] = [
        Cause::Nothing,
        Cause::Cold,
        Cause::Leak,
        Cause::Souring,
        Cause::Underfed,
        Cause::WeakFeed,
        Cause::Sensor,
        Cause::WashedOut,
        Cause::Ammonia,
        Cause::Blocked,
    ];

    /// Whether it changes the slurry, so that a world must be run for it.
    pub fn needs_run(self) -> bool {
        matches!(
            self,
            Cause::Cold | Cause::Souring | Cause::WeakFeed | Cause::WashedOut | Cause::Ammonia
        )
    }
}

/// A cause, from when, and how bad: 0 just noticeable, 1 grave.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Upset {
    /// What.
    pub cause: Cause,
    /// First day since the fill.
    pub from: u32,
    /// 0 to 1.
    pub size: f64,
}

/// Days in which warmth is lost.
const COOLING_DAYS: u32 = 5;
/// Days over which sugar comes that nobody wrote down.
const SUGAR_DAYS: u32 = 5;

fn between(low: f64, high: f64, size: f64) -> f64 {
    low + (high - low) * size.clamp(0.0, 1.0)
}

impl Upset {
    /// Makes a world suffer it. `days` is the length of the run. Sizes are judgement:
    /// from what a person would notice to what ends the gas.
    pub fn befall(&self, known: &mut Known, days: u32) {
        match self.cause {
            Cause::Cold => {
                let by = between(4.0, 14.0, self.size);
                known.warmer_k = (0..days)
                    .map(|day| {
                        let since = f64::from((day + 1).saturating_sub(self.from));
                        known.warmer(day as usize) - by * (since / f64::from(COOLING_DAYS)).min(1.0)
                    })
                    .collect();
            }
            Cause::Souring => {
                for day in self.from..self.from + SUGAR_DAYS {
                    known.happenings.push((
                        day,
                        Happening::Sugar {
                            kg_cod_m3: between(2.0, 8.0, self.size),
                        },
                    ));
                }
            }
            Cause::WashedOut => known.happenings.push((
                self.from,
                Happening::WashedOut {
                    share: between(0.5, 0.9, self.size),
                },
            )),
            Cause::Ammonia => known.happenings.push((
                self.from,
                Happening::Ammonium {
                    kmol_m3: between(0.15, 0.40, self.size),
                },
            )),
            Cause::WeakFeed => {
                known.weaker_feed = Some((self.from, between(0.55, 0.10, self.size)));
            }
            Cause::Underfed => {
                // Told by the diary: only an invented plant is made to suffer it.
                let factor = between(0.4, 0.0, self.size);
                let fed = known
                    .fed
                    .iter()
                    .enumerate()
                    .map(|(day, fed)| {
                        let mut fed = fed.clone();
                        if let Some(fed) = fed.as_mut()
                            && day as u32 >= self.from
                        {
                            fed.fresh_kg.iter_mut().for_each(|kg| *kg *= factor);
                        }
                        fed
                    })
                    .collect();
                known.fed = Arc::new(fed);
            }
            Cause::Nothing | Cause::Leak | Cause::Sensor | Cause::Blocked => {}
        }
    }

    /// Share of a day's gas that is seen.
    pub fn gas_seen(&self, day: u32) -> f64 {
        if day < self.from {
            return 1.0;
        }
        match self.cause {
            Cause::Leak => between(0.70, 0.15, self.size),
            Cause::Blocked => between(0.08, 0.0, self.size),
            _ => 1.0,
        }
    }

    /// What the thermometer shows above the truth on a day, K.
    pub fn slurry_lie_k(&self, day: u32) -> f64 {
        if day < self.from || self.cause != Cause::Sensor {
            return 0.0;
        }
        // Half of the lies are too warm, half too cold.
        if self.size < 0.5 {
            -between(5.0, 14.0, 2.0 * self.size)
        } else {
            between(5.0, 14.0, 2.0 * self.size - 1.0)
        }
    }
}
