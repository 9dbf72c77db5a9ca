//! The store, half full, to scale.

use fenlamp_model::gas::store::{Shape, Standing};
use fenlamp_model::plan::GasStore;
use uom::si::mass::kilogram;

use super::hatch::Hatches;
use super::pen::{PAPER, Pen, rounded, tube};
use crate::svg::{GREY, INK, Point, Style};

/// More tubes than this are not piled; the figures tell how many there are.
const PILED: f64 = 5.0;
/// Share of its lift at which a drum is drawn.
const LIFTED: f64 = 0.5;

/// The store measured: x from its middle, y from the ground, m.
#[derive(Debug, Clone, Copy)]
pub(super) struct Block {
    /// Half of its width.
    pub half: f64,
    pub high: f64,
    /// Where the gas goes in and out.
    pub inlet: Point,
    indoors: bool,
}

/// Wall of the bath around a floating drum, m (judgement: room for the drum to rise).
fn bath(diameter_m: f64) -> f64 {
    0.5 * diameter_m + (0.08 * diameter_m).max(0.03)
}

impl Block {
    pub fn of(store: &GasStore) -> Self {
        let (half, high, inlet) = match store.shape {
            Shape::Tubes {
                count,
                ring_m,
                girth_m,
            } => {
                let d = girth_m / std::f64::consts::PI;
                let pile = count.ceil().clamp(1.0, PILED) * d;
                (
                    0.5 * (ring_m + d),
                    pile + 0.3 * d,
                    (-0.5 * (ring_m + d), 0.5 * d),
                )
            }
            Shape::Bag { length_m, girth_m } => {
                let d = girth_m / std::f64::consts::PI;
                (0.5 * length_m, d + 0.16 * d, (-0.5 * length_m, 0.5 * d))
            }
            Shape::Drum {
                diameter_m,
                travel_m,
            } => {
                // The pipe rises inside, from below.
                let top = travel_m * (1.0 + LIFTED) + 0.12;
                (bath(diameter_m), top, (-bath(diameter_m), 0.12 * travel_m))
            }
        };
        let indoors = store.stands == Standing::Indoors;
        Block {
            half: half.max(0.05),
            high: if indoors { high * 1.5 } else { high },
            inlet,
            indoors,
        }
    }
}

/// Draws it; the pen's origin is the ground under its middle. Gives the point
/// of its number.
pub(super) fn draw(pen: &mut Pen, store: &GasStore, block: &Block, h: &Hatches) -> Point {
    let gas = h.fill("gas");
    let skin = Style {
        fill: &gas,
        ..Style::line("store", INK, 1.8)
    };
    if block.indoors {
        let (w, top) = (block.half * 1.15, block.high);
        let roof = [
            (-w, 0.0),
            (-w, 0.8 * top),
            (0.0, top),
            (w, 0.8 * top),
            (w, 0.0),
        ];
        pen.line(&roof, Style::line("house", GREY, 1.0));
    }
    match store.shape {
        Shape::Tubes {
            count,
            ring_m,
            girth_m,
        } => {
            let d = girth_m / std::f64::consts::PI;
            let n = count.ceil().clamp(1.0, PILED) as usize;
            for i in 0..n {
                let y = d * (i as f64 + 0.5);
                pen.rect(
                    -0.5 * ring_m,
                    y - 0.5 * d,
                    0.5 * ring_m,
                    y + 0.5 * d,
                    Style::line("behind", GREY, 0.7),
                );
                for side in [-0.5, 0.5] {
                    let c = pen.at(side * ring_m, y);
                    pen.s.circle(c, 0.5 * d * pen.scale, PAPER);
                    pen.s.circle(c, 0.5 * d * pen.scale, skin);
                }
            }
            let top = d * n as f64;
            plank(pen, 0.5 * (ring_m + d), top, d, store);
            pen.at(0.0, 0.5 * d)
        }
        Shape::Bag { length_m, girth_m } => {
            let d = girth_m / std::f64::consts::PI;
            let body = rounded(-0.5 * length_m, 0.0, 0.5 * length_m, d, 0.42 * d);
            pen.area(&body, PAPER);
            pen.area(&body, skin);
            plank(pen, 0.36 * length_m, d, d, store);
            pen.at(0.1 * length_m, 0.5 * d)
        }
        Shape::Drum {
            diameter_m,
            travel_m,
        } => {
            let (r, wall) = (0.5 * diameter_m, bath(diameter_m));
            let level = travel_m;
            let rim = LIFTED * travel_m;
            let top = rim + travel_m + 0.02;
            // Guides that the drum rises along.
            for x in [-wall, wall] {
                pen.line(
                    &[(x, 0.0), (x, travel_m * 1.9)],
                    Style::line("guide", GREY, 1.0),
                );
            }
            let water = h.fill("water");
            pen.rect(-wall, 0.0, wall, level, PAPER);
            pen.rect(-wall, 0.0, wall, level, Style::area("water", &water));
            // The gas holds the water inside a little below that outside.
            let inside = level - 0.04 * travel_m;
            pen.rect(-r, inside, r, top, PAPER);
            pen.rect(-r, inside, r, top, Style::area("gas", &gas));
            pen.line(
                &[
                    (-wall, travel_m + 0.05),
                    (-wall, 0.0),
                    (wall, 0.0),
                    (wall, travel_m + 0.05),
                ],
                Style::line("bath", INK, 1.8),
            );
            pen.line(
                &[(-r, rim), (-r, top), (r, top), (r, rim)],
                Style::line("store", INK, 2.2),
            );
            // The pipe under the water and up into the drum.
            let y = 0.12 * travel_m;
            tube(
                pen,
                &[
                    (-wall, y),
                    (-0.4 * r, y),
                    (-0.4 * r, level + 0.06 * travel_m),
                ],
                4.0,
            );
            pen.at(0.35 * r, top - 0.25 * travel_m)
        }
    }
}

/// Planks and their load.
fn plank(pen: &mut Pen, half: f64, top: f64, d: f64, store: &GasStore) {
    if store.weight.get::<kilogram>() <= 0.0 {
        return;
    }
    let style = Style::line("load", INK, 1.0).filled("#ffffff");
    let t = 0.05 * d;
    pen.rect(-half, top, half, top + t, style);
    for i in -1..=1 {
        let x = f64::from(i) * 0.55 * half;
        pen.rect(
            x - 0.09 * half,
            top + t,
            x + 0.09 * half,
            top + t + 0.11 * d,
            style,
        );
    }
}
