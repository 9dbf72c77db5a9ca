//! What a tape measure gives: volume and skin of tubes, bags and drums.

use std::f64::consts::PI;

use serde::Serialize;

/// Form of a store. Lengths in m.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "snake_case", tag = "form")]
pub enum Shape {
    /// Inner tubes of tyres.
    Tubes {
        /// How many; a share of one is allowed when sizes are tried.
        count: f64,
        /// Across the ring, from the middle of the tube to the middle of the tube.
        ring_m: f64,
        /// Around the tube when taut.
        girth_m: f64,
    },
    /// A bag of film or rubber, flat when empty.
    Bag {
        /// Length when flat.
        length_m: f64,
        /// Around it (twice its width when flat).
        girth_m: f64,
    },
    /// A drum upside down in water.
    Drum {
        /// Across.
        diameter_m: f64,
        /// How far it rises.
        travel_m: f64,
    },
}

/// Coefficient of the closed ends of a bag: a flat bag of width `w` and length
/// `h` holds `w^3 (h/(pi w) - 0.142 (1 - 10^(-h/w)))` (A. C. Robin, Paper Bag
/// Problem, Mathematics Today 40, 2004; from memory).
const CLOSED_ENDS: f64 = 0.142;

impl Shape {
    /// Volume when taut, m3. A tube is a torus (Pappus): `girth^2/(4 pi)` around `pi ring`.
    pub fn volume_m3(&self) -> f64 {
        match *self {
            Shape::Tubes {
                count,
                ring_m,
                girth_m,
            } => count * PI * ring_m * girth_m * girth_m / (4.0 * PI),
            Shape::Bag { length_m, girth_m } => {
                // The formula's width is the shorter side; above it the ends part.
                let (w, h) = {
                    let flat = 0.5 * girth_m;
                    (flat.min(length_m), flat.max(length_m))
                };
                w.powi(3) * (h / (PI * w) - CLOSED_ENDS * (1.0 - 10f64.powf(-h / w)))
            }
            Shape::Drum {
                diameter_m,
                travel_m,
            } => PI / 4.0 * diameter_m * diameter_m * travel_m,
        }
    }

    /// Skin, m2: of a drum the lid and the wall that stands out when full.
    pub fn skin_m2(&self) -> f64 {
        match *self {
            Shape::Tubes {
                count,
                ring_m,
                girth_m,
            } => count * PI * ring_m * girth_m,
            Shape::Bag { length_m, girth_m } => length_m * girth_m,
            Shape::Drum {
                diameter_m,
                travel_m,
            } => PI * diameter_m * (diameter_m / 4.0 + travel_m),
        }
    }

    /// Radius of the taut section, m (of a drum, its own).
    pub fn radius_m(&self) -> f64 {
        match *self {
            Shape::Tubes { girth_m, .. } | Shape::Bag { girth_m, .. } => girth_m / (2.0 * PI),
            Shape::Drum { diameter_m, .. } => diameter_m / 2.0,
        }
    }

    /// Length of a prism of the same girth and volume, m.
    pub(super) fn straight_m(&self) -> f64 {
        self.volume_m3() / (PI * self.radius_m().powi(2))
    }

    /// `factor` times as much, in the same section: more tubes, a longer bag, a
    /// drum with a wider lid.
    pub(super) fn scaled(&self, factor: f64) -> Self {
        match *self {
            Shape::Tubes {
                count,
                ring_m,
                girth_m,
            } => Shape::Tubes {
                count: count * factor,
                ring_m,
                girth_m,
            },
            Shape::Bag { length_m, girth_m } => {
                let scale = factor.cbrt();
                Shape::Bag {
                    length_m: length_m * scale,
                    girth_m: girth_m * scale,
                }
            }
            Shape::Drum {
                diameter_m,
                travel_m,
            } => Shape::Drum {
                diameter_m: diameter_m * factor.sqrt(),
                travel_m,
            },
        }
    }
}
