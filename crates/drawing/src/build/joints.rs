//! Every joint in detail, with its measures and the numbers of its pieces.

use fenlamp_model::plan::{Plan, WashKind};
use fenlamp_words::Words;

use super::body::{feed, vessel, warmth};
use super::burner::Head;
use super::flame::{appliance, burner, mesh};
use super::ink::{Board, HIGH, WIDE, p};
use super::jars::{iron, lye_jar, relief, seal, trap};
use super::piece::{Joint, Line};
use crate::plant::Say;
use crate::plant::sizes;
use crate::svg::{INK, Style};

/// Thickness of a lid or wall as drawn, pixels: too thin to scale.
const WALL: f64 = 7.0;

/// A joint drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct Detail {
    /// Its letter.
    pub letter: String,
    /// The picture.
    pub svg: String,
}

/// Draws a joint. `id` begins the ids inside the picture; `lines` is the parts
/// list whose numbers it shows.
pub fn detail(
    id: &str,
    plan: &Plan,
    joint: &Joint,
    lines: &[Line],
    heads: &[Option<Head>],
    words: &Words,
) -> Detail {
    let mut b = Board::new(id, joint, lines, words);
    let say = Say::new(plan, words);
    let side = &plan.gas_side;
    let index = || {
        joint
            .id
            .rsplit('-')
            .next()
            .and_then(|n| n.parse::<usize>().ok())
            .map_or(0, |n| n.saturating_sub(1))
    };
    match joint.key {
        "vessel" => vessel(&mut b, plan, &say),
        "feed" => feed(&mut b, plan, &say),
        "warmth" => warmth(&mut b, plan, &say),
        "outlet" => outlet(&mut b),
        "lye_jar" | "ash_bed" | "iron_packing" => {
            if let Some(w) = side.washes.get(index()) {
                let jar = sizes::wash(w);
                match w.kind {
                    WashKind::LyeJar { .. } => lye_jar(&mut b, &jar, &say),
                    WashKind::AshBed { .. } | WashKind::IronPacking { .. } => {
                        iron(&mut b, &jar, &say);
                    }
                }
            }
        }
        "trap" => side
            .trap
            .iter()
            .for_each(|t| trap(&mut b, &sizes::trap(t), &say)),
        "relief" => side
            .relief
            .iter()
            .for_each(|r| relief(&mut b, &sizes::relief(r), &say)),
        "store" => store(&mut b, plan, &say),
        "water_seal" => side
            .flash_back
            .iter()
            .filter_map(sizes::seal)
            .for_each(|jar| seal(&mut b, &jar, &say)),
        "mesh" => mesh(&mut b),
        "burner" => match heads.get(index()).copied().flatten() {
            Some(h) => burner(&mut b, &h),
            None => appliance(&mut b),
        },
        "line" => line(&mut b, plan, joint, &say),
        _ => {}
    }
    Detail {
        letter: joint.letter.clone(),
        svg: b.finish(),
    }
}

fn outlet(b: &mut Board) {
    let (x, y) = (150.0, 176.0);
    b.s.rect(
        (40.0, y - WALL / 2.0),
        (240.0, WALL),
        Style::line("wall", INK, 1.4).filled("#e6e3dd"),
    );
    b.fitting((x, y), WALL);
    // Valve on the thread, tail, hose.
    b.s.rect(
        (x - 5.0, 118.0),
        (10.0, 30.0),
        Style::line("fitting", INK, 1.2).filled("#ffffff"),
    );
    b.s.circle(
        (x, 126.0),
        12.0,
        Style::line("valve", INK, 1.4).filled("#ffffff"),
    );
    b.s.line(
        (x, 126.0),
        (x + 26.0, 116.0),
        Style::line("valve", INK, 4.0),
    );
    b.hose(&[(x, 112.0), (x, 66.0), (x + 90.0, 66.0)]);
    for dy in [0.0, 6.0, 12.0] {
        b.s.line(
            (x - 5.0, 94.0 + dy),
            (x + 5.0, 94.0 + dy),
            Style::line("tail", INK, 1.0),
        );
    }
    b.clamp((x, 86.0), true);
    // The water gauge on its tee.
    let g = x + 96.0;
    b.hose(&[(g, 66.0), (g + 26.0, 66.0)]);
    b.s.rect(
        (g - 8.0, 58.0),
        (16.0, 16.0),
        Style::line("tee", INK, 1.4).filled("#ffffff"),
    );
    b.pipe(
        &[
            (g, 74.0),
            (g, 150.0),
            (g + 14.0, 158.0),
            (g + 28.0, 150.0),
            (g + 28.0, 84.0),
        ],
        5.0,
    );
    b.call("gas_fitting", (x - 7.0, y + 18.0));
    b.call("washer", (x - 16.0, y + WALL / 2.0 + 2.0));
    b.call("valve", (x - 9.0, 130.0));
    b.call("hose_tail", (x - 4.0, 100.0));
    b.call("clamp", (x - 5.0, 86.0));
    b.call("gauge_tee", (g, 64.0));
    b.call("gauge_hose", (g + 28.0, 120.0));
}

fn store(b: &mut Board, plan: &Plan, say: &Say) {
    use fenlamp_model::gas::store::Shape;
    let Some(store) = &plan.gas_side.store else {
        return;
    };
    let x = WIDE / 2.0;
    let bottom = HIGH - 30.0;
    let gas = b.hatch.fill("gas");
    let skin = Style {
        fill: &gas,
        ..Style::line("store", INK, 1.8)
    };
    match store.shape {
        Shape::Tubes {
            ring_m, girth_m, ..
        } => {
            let d = girth_m / std::f64::consts::PI;
            let scale = 150.0 / (ring_m + d);
            let (cy, outer, inner) = (
                HIGH / 2.0,
                (ring_m + d) / 2.0 * scale,
                (ring_m - d) / 2.0 * scale,
            );
            b.s.circle((x, cy), outer, skin);
            b.s.circle(
                (x, cy),
                inner.max(4.0),
                Style::line("store", INK, 1.8).filled("#ffffff"),
            );
            b.dimension(
                (x - ring_m / 2.0 * scale, cy),
                (x + ring_m / 2.0 * scale, cy),
                &say.metres(ring_m),
            );
            b.hose(&[(x + outer, cy + 26.0), (x + outer + 46.0, cy + 26.0)]);
            b.s.rect(
                (x + outer + 12.0, cy + 16.0),
                (18.0, 20.0),
                Style::line("tee", INK, 1.4).filled("#ffffff"),
            );
            b.call("tube", (x - outer * 0.8, cy - outer * 0.6));
            b.call("tee", (x + outer + 22.0, cy + 26.0));
            b.call("clamp", (x + outer + 6.0, cy + 26.0));
        }
        Shape::Bag { length_m, girth_m } => {
            let d = girth_m / std::f64::consts::PI;
            let scale = (220.0 / length_m).min(110.0 / d);
            let (w, h) = (length_m * scale, d * scale);
            let (l, t) = (x - w / 2.0, bottom - h - 12.0);
            b.s.path(
                &format!(
                    "M{}L{}Q{} {}L{}Q{} {}Z",
                    p(l + 14.0, t),
                    p(l + w - 14.0, t),
                    p(l + w + 8.0, t + h / 2.0),
                    p(l + w - 14.0, t + h),
                    p(l + 14.0, t + h),
                    p(l - 8.0, t + h / 2.0),
                    p(l + 14.0, t)
                ),
                skin,
            );
            b.dimension(
                (l, bottom + 8.0),
                (l + w, bottom + 8.0),
                &say.metres(length_m),
            );
            b.s.rect(
                (x - w * 0.3, t - 8.0),
                (w * 0.6, 7.0),
                Style::line("plank", INK, 1.2).filled("#ffffff"),
            );
            b.hose(&[(l + 30.0, t + h * 0.6), (l - 24.0, t + h * 0.6)]);
            b.call("bag", (x + w * 0.3, t + h * 0.5));
            b.call("gas_fitting", (l + 6.0, t + h * 0.6));
            b.call("washer", (l + 10.0, t + h * 0.6));
            b.call("hose_tail", (l - 6.0, t + h * 0.6));
            b.call("clamp", (l - 14.0, t + h * 0.6));
            b.call("plank", (x, t - 5.0));
        }
        Shape::Drum {
            diameter_m,
            travel_m,
        } => {
            let scale = (130.0 / (diameter_m * 1.3)).min(76.0 / travel_m);
            let (r, high) = (diameter_m / 2.0 * scale, travel_m * scale);
            let wall = r * 1.16;
            let level = bottom - high;
            b.filled(x, bottom, (2.0 * wall, high), "water");
            b.s.polyline(
                &[
                    (x - wall, level - 4.0),
                    (x - wall, bottom),
                    (x + wall, bottom),
                    (x + wall, level - 4.0),
                ],
                Style::line("bath", INK, 1.8),
            );
            let rim = bottom - 0.5 * high;
            let top = rim - high - 4.0;
            b.s.rect(
                (x - r, top),
                (2.0 * r, level + 3.0 - top),
                Style::area("paper", "#ffffff"),
            );
            b.s.rect(
                (x - r, top),
                (2.0 * r, level + 3.0 - top),
                Style::area("gas", &gas),
            );
            b.s.polyline(
                &[(x - r, rim), (x - r, top), (x + r, top), (x + r, rim)],
                Style::line("store", INK, 2.0),
            );
            for side in [-1.0, 1.0] {
                let g = x + side * (wall + 3.0);
                b.s.line(
                    (g, bottom),
                    (g, bottom - 1.9 * high),
                    Style::line("guide", INK, 1.6),
                );
            }
            b.pipe(
                &[
                    (x - wall - 30.0, bottom - 10.0),
                    (x - 0.4 * r, bottom - 10.0),
                    (x - 0.4 * r, level - 8.0),
                ],
                6.0,
            );
            b.dimension(
                (x - r, top - 12.0),
                (x + r, top - 12.0),
                &say.metres(diameter_m),
            );
            b.dimension(
                (x + wall + 14.0, bottom),
                (x + wall + 14.0, level),
                &say.metres(travel_m),
            );
            b.call("bell", (x + r, top + 12.0));
            b.call("bath", (x - wall, bottom - 24.0));
            b.call("guide", (x - wall - 3.0, bottom - 1.7 * high));
            b.call("dip_pipe", (x - 0.4 * r, level + 12.0));
            b.call("clamp", (x - wall - 10.0, bottom - 10.0));
        }
    }
}

fn line(b: &mut Board, plan: &Plan, joint: &Joint, say: &Say) {
    let side = &plan.gas_side;
    let stations = side.washes.len()
        + usize::from(side.trap.is_some())
        + usize::from(side.relief.is_some())
        + usize::from(side.store.is_some())
        + usize::from(side.flash_back.is_some());
    let lengths: Vec<f64> = joint
        .uses
        .iter()
        .filter(|u| u.item.key == "hose")
        .map(|u| u.amount.value())
        .collect();
    let y = 60.0;
    b.hose(&[(50.0, y), (WIDE - 50.0, y)]);
    // The long run first, then the short pieces from station to station.
    let from = 150.0;
    let step = (WIDE - 60.0 - from) / stations.max(1) as f64;
    for i in 0..=stations {
        let x = from + step * i as f64;
        if i < stations {
            b.s.circle(
                (x, y),
                7.0,
                Style::line("station", INK, 1.4).filled("#ffffff"),
            );
        }
    }
    if let [short, long] = lengths.as_slice() {
        b.dimension((54.0, y + 96.0), (from, y + 96.0), &say.metres(*long));
        let words = b.words.fill(
            "build.short_pieces",
            &[
                ("n", &stations.to_string()),
                ("l", &say.metres(short / stations.max(1) as f64)),
            ],
        );
        b.note((54.0, y + 120.0), &words);
    }
    b.note((54.0, y + 148.0), &b.words.say("build.fall"));
    b.call("hose", (100.0, y));
    b.call("elbow", (84.0, y - 3.0));
    b.call("tee", (from + step * 0.5, y));
    b.call("valve", (from + step * 1.2, y - 3.0));
    b.call("clamp", (from - 12.0, y));
    b.call("hanger", (120.0, y - 5.0));
}
