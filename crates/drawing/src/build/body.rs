//! The vessel, its inlet and outlet, and what keeps it warm, in detail.

use fenlamp_model::plan::{Plan, VesselMode};
use uom::si::length::meter;

use super::ink::{Board, HIGH, WIDE};
use crate::plant::{Form, Say};
use crate::svg::{INK, Point, Style};

/// Scale that shows something of that size in the middle of a board.
fn fit(wide_m: f64, high_m: f64) -> f64 {
    (190.0 / wide_m.max(1e-3)).min(150.0 / high_m.max(1e-3))
}

fn outline(b: &mut Board, form: &Form, scale: f64, at: Point) {
    let points: Vec<Point> = form
        .outline
        .iter()
        .map(|(x, y)| (at.0 + x * scale, at.1 - (y - form.bottom) * scale))
        .collect();
    b.s.polygon(&points, Style::line("vessel", INK, 2.2).filled("#ffffff"));
    let y = at.1 - form.depth() * scale;
    let inset = if form.lying { 0.02 } else { 0.0 };
    let half = form.wide * scale * (0.5 - inset);
    b.s.line(
        (at.0 - half, y),
        (at.0 + half, y),
        Style::line("level", INK, 1.0).dashed("6 3"),
    );
}

pub(super) fn vessel(b: &mut Board, plan: &Plan, say: &Say) {
    let form = Form::of(&plan.vessel);
    let scale = fit(form.wide, form.high);
    let at = (WIDE / 2.0, HIGH - 36.0);
    outline(b, &form, scale, at);
    let (w, h) = (form.wide * scale, form.high * scale);
    let foot = at.1 + 20.0;
    b.dimension(
        (at.0 - w / 2.0, foot),
        (at.0 + w / 2.0, foot),
        &say.metres(form.wide),
    );
    b.dimension(
        (at.0 - w / 2.0 + 12.0, at.1),
        (at.0 - w / 2.0 + 12.0, at.1 - h),
        &say.metres(form.high),
    );
    let x = at.0 + w / 2.0 - 8.0;
    b.dimension_left(
        (x, at.1),
        (x, at.1 - form.depth() * scale),
        &say.metres(form.depth()),
    );
    for key in ["vessel_drum", "vessel_tote", "vessel_tank", "vessel_bag"] {
        b.call(key, (at.0 + w / 2.0, at.1 - 0.3 * h));
    }
    b.call("lid_seal", (at.0 + 0.3 * w, at.1 - h));
}

pub(super) fn feed(b: &mut Board, plan: &Plan, say: &Say) {
    let mut form = Form::of(&plan.vessel);
    // A long vessel is drawn shortened: its ends are what counts here.
    let short = (2.6 * form.high / form.wide).min(1.0);
    form.wide *= short;
    for p in &mut form.outline {
        p.0 *= short;
    }
    if short < 1.0 {
        b.note((60.0, 14.0), &b.words.say("build.shortened"));
    }
    let scale = fit(form.wide * 1.2, form.high * 1.15);
    let at = (WIDE / 2.0, HIGH - 26.0);
    outline(b, &form, scale, at);
    let (w, h) = (form.wide * scale, form.high * scale);
    let level = at.1 - form.depth() * scale;
    let (inlet, overflow): (Vec<Point>, Vec<Point>) = if form.lying {
        (
            vec![
                (at.0 - w / 2.0 + 26.0, at.1 - 0.25 * h),
                (at.0 - w / 2.0 - 12.0, level - 0.5 * h),
            ],
            vec![
                (at.0 + w / 2.0 - 22.0, at.1 - 0.4 * h),
                (at.0 + w / 2.0 + 14.0, level),
            ],
        )
    } else {
        let x = at.0 - 0.3 * w;
        let inside = at.0 + 0.36 * w;
        let out = at.0 + w / 2.0 + 26.0;
        (
            vec![(x, at.1 - 0.15 * h), (x, at.1 - h - 24.0)],
            vec![
                (inside, level + 0.3 * (at.1 - level)),
                (inside, level),
                (out, level + 8.0),
                (out, level + 22.0),
            ],
        )
    };
    b.pipe(&inlet, 11.0);
    let top = inlet[inlet.len() - 1];
    b.s.polygon(
        &[
            (top.0 - 15.0, top.1 - 12.0),
            (top.0 + 15.0, top.1 - 12.0),
            (top.0 + 6.0, top.1 + 2.0),
            (top.0 - 6.0, top.1 + 2.0),
        ],
        Style::line("funnel", INK, 1.3).filled("#ffffff"),
    );
    let foot = inlet[0];
    if !form.lying {
        b.dimension(
            (foot.0 + 14.0, foot.1),
            (foot.0 + 14.0, at.1),
            &say.metres((at.1 - foot.1) / scale),
        );
    }
    b.call("feed_pipe", (foot.0, foot.1 - 14.0));
    b.call("funnel", (top.0 - 10.0, top.1 - 6.0));
    b.call("cap", (top.0, top.1 - 12.0));
    let wall = if form.lying {
        (inlet[0].0 - 18.0, inlet[0].1 - 24.0)
    } else {
        (inlet[0].0, at.1 - h)
    };
    b.call("wall_fitting", wall);
    b.call("washer", (wall.0 + 5.0, wall.1));
    match plan.vessel.mode {
        VesselMode::Overflow => {
            b.pipe(&overflow, 11.0);
            let end = overflow[overflow.len() - 1];
            let tub = (end.0, (end.1 + 12.0).min(at.1 - 30.0));
            b.s.rect(
                (tub.0 - 14.0, tub.1),
                (28.0, 30.0),
                Style::line("tub", INK, 1.3).filled("#ffffff"),
            );
            b.call("pipe_elbow", overflow[1.min(overflow.len() - 1)]);
            b.call("tub", (tub.0 + 10.0, tub.1 + 20.0));
            if !form.lying {
                let dip = overflow[0];
                b.dimension_left(
                    (dip.0 - 12.0, level),
                    (dip.0 - 12.0, dip.1),
                    &say.metres((dip.1 - level) / scale),
                );
            }
        }
        VesselMode::DrawOff { .. } => {
            let y = at.1 - 0.08 * h;
            b.pipe(
                &[(at.0 + w / 2.0 - 8.0, y), (at.0 + w / 2.0 + 26.0, y)],
                9.0,
            );
            b.call("drain_valve", (at.0 + w / 2.0 + 20.0, y));
        }
        VesselMode::TopUp | VesselMode::Batch => {}
    }
}

pub(super) fn warmth(b: &mut Board, plan: &Plan, say: &Say) {
    // A cut across wall and layers, from inside (left) to the weather (right).
    let total: f64 = plan
        .insulation
        .iter()
        .map(|l| l.thickness.get::<meter>())
        .sum();
    let scale = 150.0 / total.max(0.05);
    let mut x = 66.0;
    let (top, high) = (40.0, 120.0);
    let slurry = b.hatch.fill("slurry");
    b.s.rect(
        (x - 34.0, top),
        (32.0, high),
        Style::area("slurry", &slurry),
    );
    b.s.line((x, top), (x, top + high), Style::line("vessel", INK, 4.0));
    for layer in &plan.insulation {
        let wide = (layer.thickness.get::<meter>() * scale).max(10.0);
        let fill = b.hatch.of_material(&layer.material);
        let style = Style {
            fill: &fill,
            ..Style::line("insulation", INK, 1.0)
        };
        b.s.rect((x + 2.0, top), (wide, high), style);
        b.dimension(
            (x + 2.0, top - 12.0),
            (x + 2.0 + wide, top - 12.0),
            &say.size(layer.thickness),
        );
        x += wide + 2.0;
    }
    b.call("insulation", (x - 12.0, top + 0.4 * high));
    if plan.heap.is_some() {
        let chips = b.hatch.fill("chips");
        b.s.rect(
            (x + 2.0, top + 6.0),
            (60.0, high - 6.0),
            Style {
                fill: &chips,
                ..Style::line("heap", INK, 1.0)
            },
        );
        b.call("heap", (x + 40.0, top + 60.0));
    }
    b.note((32.0, HIGH - 24.0), &b.words.say("build.layers_apart"));
}
