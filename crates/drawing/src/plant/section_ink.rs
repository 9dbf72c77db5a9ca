//! The vessel's section in ink.

use fenlamp_model::plan::{Plan, Siting, VesselKind, VesselMode};
use uom::si::length::meter;
use uom::si::ratio::ratio;

use super::hatch::Hatches;
use super::part::Kind;
use super::pen::{PAPER, Pen, cut, tube};
use super::section::{Block, Form};
use crate::svg::{GREY, INK, Point, Style};

/// Where the numbers go, in pixels, and the boxes of the parts.
pub(super) type Places = Vec<(Kind, Point, [f64; 4])>;

/// Draws the block; the pen's origin is the ground under the vessel's middle.
pub(super) fn draw(
    pen: &mut Pen,
    plan: &Plan,
    block: &Block,
    h: &Hatches,
    open: &mut dyn FnMut(&mut Pen, Kind),
) -> Places {
    let mut places = Places::new();
    let form = &block.form;
    trench(pen, plan, form);
    heap(pen, block, h, open, &mut places);
    for (i, pieces) in &block.layers {
        open(pen, Kind::Insulation(*i));
        let material = plan.insulation.get(*i).map_or("", |l| l.material.as_str());
        let fill = h.of_material(material);
        for [l, b, r, t] in pieces {
            pen.rect(*l, *b, *r, *t, PAPER);
            let style = Style {
                fill: &fill,
                ..Style::line("insulation", INK, 0.8)
            };
            pen.rect(*l, *b, *r, *t, style);
        }
        pen.s.close_part();
        // The number stands in the last piece: the right side, or the top.
        if let Some([l, b, r, t]) = pieces.last() {
            let share = if r - l < t - b { 0.25 } else { 0.5 };
            let at = pen.at((l + r) / 2.0, b + share * (t - b));
            places.push((Kind::Insulation(*i), at, pen.frame(*l, *b, *r, *t)));
        }
    }
    vessel(pen, plan, form, h, open, &mut places);
    fittings(pen, plan, block);
    gas_outlet(pen, form, block.outlet, open, &mut places);
    places
}

fn trench(pen: &mut Pen, plan: &Plan, form: &Form) {
    if matches!(plan.vessel.siting, Siting::InGround { .. }) && form.bottom < 0.0 {
        let room = 0.08 * form.high;
        let (l, r) = (-form.wide / 2.0 - room, form.wide / 2.0 + room);
        let top = form.top().min(0.0);
        let points = [
            (l - room, 0.0),
            (l, form.bottom),
            (r, form.bottom),
            (r + room, 0.0),
        ];
        pen.area(&points, PAPER);
        pen.line(&points, Style::line("ground", INK, 1.2));
        if top < 0.0 {
            // Wholly under ground: a cover closes the pit.
            pen.line(
                &[(l - room, 0.0), (r + room, 0.0)],
                Style::line("ground", INK, 1.6),
            );
        }
    }
}

fn heap(
    pen: &mut Pen,
    block: &Block,
    h: &Hatches,
    open: &mut dyn FnMut(&mut Pen, Kind),
    places: &mut Places,
) {
    let Some(radius) = block.heap_radius else {
        return;
    };
    open(pen, Kind::Heap);
    let arc = |r: f64| -> Vec<Point> {
        (0..=48)
            .map(|i| {
                let a = std::f64::consts::PI * f64::from(i) / 48.0;
                // A little unevenness: a heap is no ball.
                let r = r * (1.0 + 0.012 * (9.0 * a).sin() + 0.008 * (23.0 * a).cos());
                (r * a.cos(), r * a.sin())
            })
            .collect()
    };
    let chips = h.fill("chips");
    let straw = h.fill("straw");
    let outer = arc(radius);
    pen.area(&outer, PAPER);
    pen.area(
        &outer,
        Style {
            fill: &straw,
            ..Style::line("heap cover", INK, 1.0)
        },
    );
    let inner = arc(radius - 0.10 * radius.min(1.5));
    pen.area(&inner, PAPER);
    pen.area(
        &inner,
        Style {
            fill: &chips,
            ..Style::line("heap", INK, 0.8)
        },
    );
    pen.s.close_part();
    let at = pen.at(-0.72 * radius, 0.3 * radius);
    places.push((Kind::Heap, at, pen.frame(-radius, 0.0, radius, radius)));
}

fn vessel(
    pen: &mut Pen,
    plan: &Plan,
    form: &Form,
    h: &Hatches,
    open: &mut dyn FnMut(&mut Pen, Kind),
    places: &mut Places,
) {
    let (l, b, r, t) = (-form.wide / 2.0, form.bottom, form.wide / 2.0, form.top());
    if plan.vessel.kind == VesselKind::Tote {
        // What insulates the base lies between pallet and vessel.
        pallet(pen, l, form.foot, r);
    }
    pen.area(&form.outline, PAPER);
    open(pen, Kind::Headspace);
    let gas = h.fill("gas");
    pen.area(
        &cut(&form.outline, form.level, false),
        Style::area("headspace", &gas),
    );
    pen.s.close_part();
    open(pen, Kind::Slurry);
    let slurry = h.fill("slurry");
    let wet = cut(&form.outline, form.level, true);
    pen.area(&wet, Style::area("slurry", &slurry));
    if plan.vessel.filler.get::<ratio>() > 0.0 {
        let chips = h.fill("chips");
        pen.area(&wet, Style::area("filler", &chips));
    }
    pen.line(
        &[(l, form.level), (r, form.level)],
        Style::line("level", INK, 1.0),
    );
    pen.s.close_part();
    if plan.heater.is_some() {
        open(pen, Kind::Heater);
        let coil: Vec<Point> = (0..=40)
            .map(|i| {
                let x = f64::from(i) / 40.0;
                let wave = (x * 12.0 * std::f64::consts::PI).sin();
                (
                    l + form.wide * (0.2 + 0.6 * x),
                    b + form.depth() * (0.25 + 0.08 * wave),
                )
            })
            .collect();
        pen.line(&coil, Style::line("heater", INK, 1.6));
        pen.s.close_part();
        let at = pen.at(0.0, b + 0.25 * form.depth());
        places.push((Kind::Heater, at, pen.frame(l, b, r, b + 0.4 * form.depth())));
    }
    open(pen, Kind::Vessel);
    let wall = (plan.vessel.wall_thickness.get::<meter>() * pen.scale).clamp(1.8, 8.0);
    pen.area(&form.outline, Style::line("vessel", INK, wall));
    details(pen, plan, form);
    pen.s.close_part();
    let mid = form.level.midpoint(t);
    // In from the wall, where the outlet does not stand.
    let x = |share: f64| l + share * form.wide;
    places.push((
        Kind::Headspace,
        pen.at(x(0.45), mid),
        pen.frame(l, form.level, r, t),
    ));
    places.push((
        Kind::Slurry,
        pen.at(x(0.5), b + 0.45 * form.depth()),
        pen.frame(l, b, r, form.level),
    ));
    places.push((
        Kind::Vessel,
        pen.at(l, b + 0.25 * form.high),
        pen.frame(l, b, r, t),
    ));
}

fn pallet(pen: &mut Pen, l: f64, b: f64, r: f64) {
    let style = Style::line("pallet", INK, 0.8).filled("#ffffff");
    pen.rect(l, b - 0.12, r, b, PAPER);
    for x in [l, (l + r) / 2.0 - 0.07, r - 0.14] {
        pen.rect(x, b - 0.12, x + 0.14, b - 0.03, style);
    }
    pen.rect(l, b - 0.03, r, b, style);
}

/// What makes a drum a drum and a tote a tote.
fn details(pen: &mut Pen, plan: &Plan, form: &Form) {
    let (l, b, r, t) = (-form.wide / 2.0, form.bottom, form.wide / 2.0, form.top());
    match plan.vessel.kind {
        VesselKind::Drum => {
            let bump = 0.025 * form.wide;
            for share in [0.34, 0.66] {
                let y = b + share * form.high;
                for (x, out) in [(l, -bump), (r, bump)] {
                    let d = 0.02 * form.high;
                    pen.line(
                        &[(x, y - d), (x + out, y), (x, y + d)],
                        Style::line("vessel", INK, 1.6),
                    );
                }
            }
            pen.rect(
                l - bump,
                t - 0.02 * form.high,
                r + bump,
                t + 0.025 * form.high,
                Style::line("vessel lid", INK, 1.2).filled("#ffffff"),
            );
        }
        VesselKind::Tote => {
            let cage = Style::line("cage", GREY, 0.8);
            let out = 0.02 * form.wide;
            for i in 0..=5 {
                let y = b + form.high * (0.08 + 0.84 * f64::from(i) / 5.0);
                pen.line(&[(l - out, y), (l, y)], cage);
                pen.line(&[(r, y), (r + out, y)], cage);
            }
            for x in [l - out, r + out] {
                pen.line(&[(x, b), (x, t)], Style::line("cage", INK, 1.2));
            }
            // The filling hole and its lid.
            pen.rect(
                -0.11 * form.wide,
                t,
                0.11 * form.wide,
                t + 0.04 * form.high,
                Style::line("vessel lid", INK, 1.2).filled("#ffffff"),
            );
        }
        VesselKind::Tank | VesselKind::SunkenTank => {
            pen.rect(
                l,
                t,
                r,
                t + 0.03 * form.high,
                Style::line("vessel lid", INK, 1.2).filled("#ffffff"),
            );
        }
        VesselKind::LongBag => {}
    }
}

/// Inlet, overflow or draw-off.
fn fittings(pen: &mut Pen, plan: &Plan, block: &Block) {
    let form = &block.form;
    let (l, b, r) = (-form.wide / 2.0, form.bottom, form.wide / 2.0);
    let pipe = (0.07 * form.high * pen.scale).clamp(4.0, 12.0);
    let mode = plan.vessel.mode;
    if mode == VesselMode::Batch {
        return;
    }
    let tub = Style::line("tub", INK, 1.2).filled("#ffffff");
    if form.lying {
        let e = 0.35 * form.high;
        tube(
            pen,
            &[
                (l + 0.35 * form.high, b + 0.22 * form.high),
                (l - e, form.level.max(0.0) + 0.35 * form.high),
            ],
            pipe,
        );
        let out = (r + 0.3 * form.high, form.level);
        tube(
            pen,
            &[(r - 0.35 * form.high, b + 0.35 * form.high), out],
            pipe,
        );
        let (x, y) = (out.0, form.level.min(0.0));
        let deep = 0.3 * form.high;
        pen.rect(x - 0.02, y - deep, x + deep, y.max(form.level - 0.02), tub);
        return;
    }
    // The funnel stands clear of heap and insulation.
    let x_in = -0.32 * form.wide;
    let above = block.outlet.1 - 0.04 * form.high;
    tube(pen, &[(x_in, b + 0.12 * form.high), (x_in, above)], pipe);
    let w = 0.09 * form.high;
    pen.area(
        &[
            (x_in - w, above + w),
            (x_in + w, above + w),
            (x_in + 0.02, above),
            (x_in - 0.02, above),
        ],
        tub,
    );
    let right = block.heap_radius.unwrap_or(0.0).max(
        block
            .layers
            .iter()
            .flat_map(|l| &l.1)
            .map(|p| p[2])
            .fold(r, f64::max),
    );
    match mode {
        VesselMode::Overflow => {
            let end = right + 0.12 * form.high;
            // A dip inside keeps the gas in.
            let inside = r - 0.12 * form.wide;
            let fall = form.level - 0.10 * form.high;
            tube(
                pen,
                &[
                    (inside, form.level - 0.3 * form.depth()),
                    (inside, form.level),
                    (r, form.level),
                    (end, fall),
                    (end, fall - 0.08 * form.high),
                ],
                pipe,
            );
            let s = 0.14 * form.high;
            pen.area(
                &[
                    (end - s, 0.3 * form.high),
                    (end + s, 0.3 * form.high),
                    (end + 0.8 * s, 0.0),
                    (end - 0.8 * s, 0.0),
                ],
                tub,
            );
        }
        VesselMode::DrawOff { .. } => {
            let y = b + 0.08 * form.high;
            let end = right + 0.1 * form.high;
            tube(pen, &[(r - 0.05 * form.wide, y), (end, y)], pipe);
            let c = pen.at(end, y);
            pen.s.circle(c, pipe * 0.7, tub);
        }
        VesselMode::TopUp | VesselMode::Batch => {}
    }
}

fn gas_outlet(
    pen: &mut Pen,
    form: &Form,
    outlet: Point,
    open: &mut dyn FnMut(&mut Pen, Kind),
    places: &mut Places,
) {
    open(pen, Kind::Outlet);
    let base = form.top() - 0.03 * form.high;
    let points: &[Point] = &[(outlet.0, base), outlet];
    tube(pen, points, 5.0);
    let w = 7.0 / pen.scale;
    let y = form.top();
    pen.rect(
        outlet.0 - w,
        y - 0.005,
        outlet.0 + w,
        y + 4.0 / pen.scale,
        Style::area("fitting", INK),
    );
    pen.s.close_part();
    let at = pen.at(outlet.0, form.top() + 0.05 * form.high);
    places.push((
        Kind::Outlet,
        at,
        pen.frame(outlet.0 - w, form.top(), outlet.0 + w, outlet.1),
    ));
}
