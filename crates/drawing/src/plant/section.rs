//! The vessel in section, with what keeps it warm and what feeds it.

use fenlamp_model::plan::{Faces, Plan, Shape, Siting, Vessel, VesselKind, VesselMode};
use fenlamp_model::warmth::geometry::half_ball_radius_m;
use uom::si::length::meter;
use uom::si::ratio::ratio;
use uom::si::volume::cubic_meter;

use super::pen::rounded;
use crate::svg::Point;

/// The vessel's inside as drawn, m; x from its middle, y from the ground.
#[derive(Debug, Clone)]
pub(crate) struct Form {
    pub wide: f64,
    pub high: f64,
    pub bottom: f64,
    /// Surface of the slurry.
    pub level: f64,
    pub lying: bool,
    /// Under the base insulation.
    pub foot: f64,
    pub outline: Vec<Point>,
}

impl Form {
    pub fn of(v: &Vessel) -> Self {
        let m = |l: fenlamp_quantity::Length| l.get::<meter>().max(0.02);
        let (wide, high, lying) = match v.shape {
            Shape::StandingCylinder { diameter, height } => (m(diameter), m(height), false),
            Shape::LyingCylinder { diameter, length } => (m(length), m(diameter), true),
            Shape::Box { length, height, .. } => (m(length), m(height), false),
        };
        let bottom = match v.siting {
            Siting::InGround { depth } => -depth.get::<meter>() - high / 2.0,
            _ if v.kind == VesselKind::Tote => 0.12,
            _ => 0.0,
        };
        let full = (v.liquid / v.volume).get::<ratio>().clamp(0.0, 1.0);
        let share = if lying { level_of_circle(full) } else { full };
        let (l, r, t) = (-wide / 2.0, wide / 2.0, bottom + high);
        let outline = if lying {
            rounded(l, bottom, r, t, 0.45 * high)
        } else {
            vec![(l, bottom), (r, bottom), (r, t), (l, t)]
        };
        Form {
            wide,
            high,
            bottom,
            level: bottom + share * high,
            lying,
            foot: bottom,
            outline,
        }
    }

    /// Depth of the slurry.
    pub fn depth(&self) -> f64 {
        self.level - self.bottom
    }

    pub fn top(&self) -> f64 {
        self.bottom + self.high
    }

    fn raised(mut self, by: f64) -> Self {
        self.bottom += by;
        self.level += by;
        for p in &mut self.outline {
            p.1 += by;
        }
        self
    }
}

/// Height of the level, as a share of the diameter, at which a lying cylinder
/// is filled to a share of its volume.
fn level_of_circle(full: f64) -> f64 {
    let area = |h: f64| {
        let a = 2.0 * (1.0 - 2.0 * h).clamp(-1.0, 1.0).acos();
        (a - a.sin()) / (2.0 * std::f64::consts::PI)
    };
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..40 {
        let middle = 0.5 * (low + high);
        if area(middle) < full {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

/// One piece of an insulation layer: left, bottom, right, top.
type Piece = [f64; 4];

/// The vessel with its surroundings, measured.
#[derive(Debug, Clone)]
pub(super) struct Block {
    pub form: Form,
    pub layers: Vec<(usize, Vec<Piece>)>,
    pub heap_radius: Option<f64>,
    /// Left, bottom, right and top of everything.
    pub frame: [f64; 4],
    /// Where the gas pipe comes out into the open.
    pub outlet: Point,
}

impl Block {
    pub fn of(plan: &Plan) -> Self {
        let mut form = Form::of(&plan.vessel);
        let base: f64 = plan
            .insulation
            .iter()
            .filter(|l| matches!(l.on, Faces::All | Faces::Base))
            .map(|l| l.thickness.get::<meter>())
            .sum();
        if !matches!(plan.vessel.siting, Siting::InGround { .. }) {
            form = form.raised(base);
        }
        let (layers, skin) = layers(plan, &form);
        let heap_radius = plan.heap.as_ref().map(|h| {
            // As the heat balance reckons it: a half-ball over what it covers.
            let covered = h.covers.get::<ratio>().max(0.05);
            let inside = covered * plan.vessel.volume.get::<cubic_meter>();
            half_ball_radius_m(inside + h.volume.get::<cubic_meter>())
        });
        let [mut l, b, mut r, mut t] = skin;
        if let Some(radius) = heap_radius {
            (l, r, t) = (l.min(-radius), r.max(radius), t.max(radius));
        }
        let unit = form.high;
        let outlet = (0.25 * form.wide, t.max(form.top()) + 0.12 * unit);
        let feet = match plan.vessel.mode {
            VesselMode::Batch => (0.05, 0.05),
            VesselMode::Overflow => (0.35, 0.5),
            _ => (0.2, 0.25),
        };
        if form.lying {
            l -= 0.5 * unit;
            r += 0.6 * unit;
        } else {
            l -= feet.0 * unit;
            r += feet.1 * unit;
        }
        t = t.max(outlet.1) + 0.1 * unit;
        if !matches!(
            plan.vessel.siting,
            Siting::Outdoors | Siting::InGround { .. }
        ) {
            t += 0.35 * unit;
            l -= 0.15 * unit;
            r += 0.15 * unit;
        }
        Block {
            form,
            layers,
            heap_radius,
            frame: [l, b.min(0.0), r, t],
            outlet,
        }
    }
}

/// Pieces of every layer, and the frame of all.
fn layers(plan: &Plan, form: &Form) -> (Vec<(usize, Vec<Piece>)>, Piece) {
    let [mut l, mut b, mut r, mut t] = [-form.wide / 2.0, form.bottom, form.wide / 2.0, form.top()];
    let (low, high) = (b, t);
    let mut out = Vec::new();
    for (i, layer) in plan.insulation.iter().enumerate() {
        let d = layer.thickness.get::<meter>();
        let pieces = match layer.on {
            Faces::Sides => {
                let p = vec![[l - d, low, l, high], [r, low, r + d, high]];
                (l, r) = (l - d, r + d);
                p
            }
            Faces::Top => {
                let p = vec![[l, t, r, t + d]];
                t += d;
                p
            }
            Faces::Base => {
                let p = vec![[l, b - d, r, b]];
                b -= d;
                p
            }
            Faces::All => {
                let p = vec![
                    [l - d, b - d, l, t + d],
                    [r, b - d, r + d, t + d],
                    [l, t, r, t + d],
                    [l, b - d, r, b],
                ];
                (l, b, r, t) = (l - d, b - d, r + d, t + d);
                p
            }
        };
        out.push((i, pieces));
    }
    (out, [l, b, r, t])
}
