//! What burns the gas, without scale: the plan gives no sizes of appliances.

use fenlamp_model::gas::appliances::Appliance;
use fenlamp_model::plan::GasUse;

use super::train_parts::{Cell, pipe, valve};
use crate::svg::{FLAME, INK, Point, Sheet, Style};

/// Draws a use hanging from the pipe.
pub(super) fn draw(s: &mut Sheet, c: &Cell, u: &GasUse) {
    let x = c.middle();
    let drop = x - 24.0;
    let end = if c.last { drop } else { c.right };
    pipe(s, &[(c.left, c.pipe), (end, c.pipe)], 1.0);
    let foot = c.bench - 7.0;
    match u.appliance {
        Appliance::Lamp => lamp(s, c, drop, x),
        Appliance::WaterHeater | Appliance::SpaceHeater | Appliance::Refrigerator => {
            pipe(s, &[(drop, c.pipe), (drop, foot), (x, foot)], 1.0);
            cupboard(s, c, x, u.flue);
        }
        Appliance::YoungStockHeater => {
            pipe(
                s,
                &[(drop, c.pipe), (drop, c.pipe + 16.0), (x, c.pipe + 16.0)],
                1.0,
            );
            shade(s, x, c.pipe + 16.0);
        }
        Appliance::Generator | Appliance::Vehicle | Appliance::Compressor => {
            pipe(
                s,
                &[(drop, c.pipe), (drop, foot - 12.0), (x, foot - 12.0)],
                1.0,
            );
            engine(s, c, x);
        }
        Appliance::Stove | Appliance::Kettle | Appliance::PasteurisingPot => {
            pipe(s, &[(drop, c.pipe), (drop, foot), (x, foot)], 1.0);
            ring(s, c, x);
            if u.appliance == Appliance::Stove {
                pan(s, x, c.bench - 34.0, 30.0, 10.0);
            } else if u.appliance == Appliance::Kettle {
                kettle(s, x, c.bench - 34.0);
            } else {
                pan(s, x, c.bench - 34.0, 34.0, 26.0);
            }
        }
    }
    valve(s, drop, c.pipe.midpoint(c.bench) - 8.0);
}

/// A flame standing on a point.
fn flame(s: &mut Sheet, at: Point, high: f64) {
    let (x, y) = at;
    let w = high * 0.28;
    let d = format!(
        "M{x:.1} {y:.1}C{:.1} {:.1} {:.1} {:.1} {x:.1} {:.1}C{:.1} {:.1} {:.1} {:.1} {x:.1} {y:.1}Z",
        x - 1.6 * w,
        y - 0.2 * high,
        x - 0.4 * w,
        y - 0.6 * high,
        y - high,
        x + 0.4 * w,
        y - 0.6 * high,
        x + 1.6 * w,
        y - 0.2 * high
    );
    s.path(&d, Style::area("flame gas", FLAME));
}

fn ring(s: &mut Sheet, c: &Cell, x: f64) {
    let ink = Style::line("burner", INK, 1.4).filled("#ffffff");
    s.polygon(
        &[
            (x - 15.0, c.bench - 13.0),
            (x + 15.0, c.bench - 13.0),
            (x + 9.0, c.bench - 3.0),
            (x - 9.0, c.bench - 3.0),
        ],
        ink,
    );
    for dx in [-10.0, -3.5, 3.5, 10.0] {
        flame(s, (x + dx, c.bench - 14.0), 13.0);
    }
    // The trivet that carries the pot.
    for dx in [-22.0, 22.0] {
        s.line(
            (x + dx, c.bench),
            (x + dx, c.bench - 33.0),
            Style::line("trivet", INK, 1.4),
        );
    }
    s.line(
        (x - 24.0, c.bench - 33.0),
        (x + 24.0, c.bench - 33.0),
        Style::line("trivet", INK, 1.4),
    );
}

fn pan(s: &mut Sheet, x: f64, foot: f64, wide: f64, high: f64) {
    let ink = Style::line("pan", INK, 1.4).filled("#ffffff");
    s.rect((x - wide / 2.0, foot - high), (wide, high), ink);
    s.line(
        (x + wide / 2.0, foot - high + 3.0),
        (x + wide / 2.0 + 11.0, foot - high + 1.0),
        Style::line("pan", INK, 2.0),
    );
}

fn kettle(s: &mut Sheet, x: f64, foot: f64) {
    let ink = Style::line("pan", INK, 1.4).filled("#ffffff");
    s.path(
        &format!(
            "M{:.1} {foot:.1}Q{:.1} {:.1} {:.1} {:.1}L{:.1} {:.1}Q{:.1} {:.1} {:.1} {foot:.1}Z",
            x - 15.0,
            x - 17.0,
            foot - 14.0,
            x - 7.0,
            foot - 20.0,
            x + 7.0,
            foot - 20.0,
            x + 17.0,
            foot - 14.0,
            x + 15.0
        ),
        ink,
    );
    s.polyline(
        &[(x + 13.0, foot - 9.0), (x + 23.0, foot - 17.0)],
        Style::line("pan", INK, 2.4),
    );
    s.path(
        &format!(
            "M{:.1} {:.1}Q{:.1} {:.1} {:.1} {:.1}",
            x - 8.0,
            foot - 20.0,
            x,
            foot - 36.0,
            x + 8.0,
            foot - 20.0
        ),
        Style::line("pan", INK, 1.4),
    );
}

fn lamp(s: &mut Sheet, c: &Cell, drop: f64, x: f64) {
    let y = c.pipe + 26.0;
    pipe(s, &[(drop, c.pipe), (drop, y), (x, y), (x, y + 8.0)], 1.0);
    s.path(
        &format!(
            "M{:.1} {:.1}L{:.1} {:.1}L{:.1} {:.1}L{:.1} {:.1}Z",
            x - 6.0,
            y + 8.0,
            x + 6.0,
            y + 8.0,
            x + 24.0,
            y + 24.0,
            x - 24.0,
            y + 24.0
        ),
        Style::line("shade", INK, 1.4).filled("#ffffff"),
    );
    s.circle((x, y + 32.0), 7.0, Style::area("flame gas", FLAME));
}

fn cupboard(s: &mut Sheet, c: &Cell, x: f64, flue: bool) {
    let (top, half) = (c.pipe + 22.0, 21.0);
    let ink = Style::line("box", INK, 1.4).filled("#ffffff");
    s.rect((x - half, top), (2.0 * half, c.bench - top), ink);
    s.rect(
        (x - 11.0, c.bench - 24.0),
        (22.0, 18.0),
        Style::line("box", INK, 1.0),
    );
    flame(s, (x, c.bench - 8.0), 13.0);
    if flue {
        s.polyline(
            &[(x + 8.0, top), (x + 8.0, c.pipe - 12.0)],
            Style::line("flue", INK, 8.0),
        );
        s.polyline(
            &[(x + 8.0, top), (x + 8.0, c.pipe - 12.0)],
            Style::line("pipe bore", "#ffffff", 5.6),
        );
    }
}

fn shade(s: &mut Sheet, x: f64, y: f64) {
    s.polygon(
        &[
            (x - 5.0, y + 4.0),
            (x + 5.0, y + 4.0),
            (x + 22.0, y + 22.0),
            (x - 22.0, y + 22.0),
        ],
        Style::line("shade", INK, 1.4).filled("#ffffff"),
    );
    for dx in [-12.0, 0.0, 12.0] {
        s.line(
            (x + dx, y + 26.0),
            (x + dx * 1.3, y + 40.0),
            Style::line("flame gas", FLAME, 1.6),
        );
    }
}

fn engine(s: &mut Sheet, c: &Cell, x: f64) {
    let ink = Style::line("box", INK, 1.4).filled("#ffffff");
    s.rect((x - 8.0, c.bench - 36.0), (30.0, 28.0), ink);
    s.rect((x - 2.0, c.bench - 46.0), (14.0, 10.0), ink);
    s.circle((x + 7.0, c.bench - 21.0), 8.0, ink);
    s.line(
        (x - 10.0, c.bench - 4.0),
        (x + 24.0, c.bench - 4.0),
        Style::line("box", INK, 2.4),
    );
    for dx in [-4.0, 16.0] {
        s.line(
            (x + dx, c.bench - 8.0),
            (x + dx, c.bench),
            Style::line("box", INK, 1.6),
        );
    }
}
