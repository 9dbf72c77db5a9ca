//! Pictures of bands beside points, as SVG.

use std::error::Error;
use std::ops::Range;
use std::path::Path;

use plotters::coord::ranged1d::ValueFormatter;
use plotters::prelude::*;

/// Paper: the picture is read on a light and on a dark page.
const PAPER: RGBColor = WHITE;
const BAND: RGBColor = RGBColor(0xc9, 0xd8, 0xc0);
const LINE: RGBColor = RGBColor(0x3f, 0x6b, 0x35);
const POINT: RGBColor = RGBColor(0xa0, 0x3c, 0x1e);

/// A band over an axis: place, then 10, 50 and 90 %.
pub type Band = Vec<(f64, [f64; 3])>;

/// What stands on the axes.
#[derive(Debug, Clone, Copy)]
pub struct Axes<'a> {
    /// Heading.
    pub title: &'a str,
    /// Below.
    pub x: &'a str,
    /// At the side.
    pub y: &'a str,
    /// Whether the side is logarithmic.
    pub log: bool,
}

/// Draws a band with its points.
///
/// # Errors
/// If the file cannot be written.
pub fn band(
    file: &Path,
    axes: Axes,
    band: &Band,
    points: &[(f64, f64)],
) -> Result<(), Box<dyn Error>> {
    let values = || {
        band.iter()
            .flat_map(|(_, q)| *q)
            .chain(points.iter().map(|p| p.1))
    };
    let x = ends(band.iter().map(|b| b.0).chain(points.iter().map(|p| p.0)));
    let root = SVGBackend::new(file, (560, 300)).into_drawing_area();
    root.fill(&PAPER)?;
    if axes.log {
        let y = ends(values().filter(|v| *v > 0.0));
        draw(
            &root,
            axes,
            x,
            (y.start / 1.3..y.end * 1.3).log_scale(),
            band,
            points,
        )?;
    } else {
        let y = ends(values());
        let room = 0.05 * (y.end - y.start);
        draw(&root, axes, x, y.start - room..y.end + room, band, points)?;
    }
    root.present()?;
    Ok(())
}

fn draw<Y>(
    root: &DrawingArea<SVGBackend, plotters::coord::Shift>,
    axes: Axes,
    x: Range<f64>,
    y: Y,
    band: &Band,
    points: &[(f64, f64)],
) -> Result<(), Box<dyn Error>>
where
    Y: plotters::coord::ranged1d::AsRangedCoord<Value = f64>,
    Y::CoordDescType: Ranged<ValueType = f64> + ValueFormatter<f64>,
{
    let mut chart = ChartBuilder::on(root)
        .caption(axes.title, ("sans-serif", 16))
        .margin(8)
        .x_label_area_size(34)
        .y_label_area_size(52)
        .build_cartesian_2d(x, y)?;
    chart
        .configure_mesh()
        .light_line_style(TRANSPARENT)
        .x_desc(axes.x)
        .y_desc(axes.y)
        .draw()?;
    let floor = |v: f64| if axes.log { v.max(1e-9) } else { v };
    let outline: Vec<(f64, f64)> = band
        .iter()
        .map(|(x, q)| (*x, floor(q[0])))
        .chain(band.iter().rev().map(|(x, q)| (*x, floor(q[2]))))
        .collect();
    chart.draw_series(std::iter::once(Polygon::new(outline, BAND.filled())))?;
    chart.draw_series(LineSeries::new(
        band.iter().map(|(x, q)| (*x, floor(q[1]))),
        LINE.stroke_width(2),
    ))?;
    chart.draw_series(points.iter().map(|&p| Circle::new(p, 3, POINT.filled())))?;
    Ok(())
}

fn ends(values: impl Iterator<Item = f64>) -> Range<f64> {
    let (low, high) = values.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), v| {
        (a.min(v), b.max(v))
    });
    low..high.max(low + 1e-9)
}
