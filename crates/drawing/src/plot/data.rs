//! The figures behind a plot, for an element that reads them out.

use serde_json::{Value, json};

use super::scale::{days_between, later};
use super::{Band, BandPlot, Panel, Series};

/// Four figures are more than a band knows.
fn short(x: f64) -> Value {
    if !x.is_finite() {
        return Value::Null;
    }
    if x == 0.0 {
        return json!(0);
    }
    let scale = 10f64.powf(3.0 - x.abs().log10().floor());
    let rounded = if scale.is_finite() && scale > 0.0 {
        (x * scale).round() / scale
    } else {
        x
    };
    if rounded.fract() == 0.0 && rounded.abs() < 1e15 {
        json!(rounded as i64)
    } else {
        json!(rounded)
    }
}

/// `{"x":[dates],"series":[{"name","unit","panel","lo","mid","hi"}]}`, one entry a
/// day of the window, `null` where there is none; `panel` is 0 above and 1
/// below. Entry `i` of `n` stands at `left + i/(n-1) * (right-left)` of the
/// picture's `data-box`. Safe inside a `script` element: `<` is escaped.
pub fn data_json(plot: &BandPlot) -> String {
    let n = days_between(plot.from, plot.to).max(0) + 1;
    let x: Vec<String> = (0..n).map(|i| later(plot.from, i).to_string()).collect();
    let panels = [Some(&plot.upper), plot.lower.as_ref()];
    let series: Vec<Value> = panels
        .iter()
        .enumerate()
        .filter_map(|(i, p)| p.map(|p| (i, p)))
        .flat_map(|(i, p): (usize, &Panel)| p.series.iter().take(2).map(move |s| (i, s)))
        .map(|(i, s)| one(plot, n, i, s))
        .collect();
    json!({ "x": x, "series": series })
        .to_string()
        .replace('<', "\\u003c")
}

fn one(plot: &BandPlot, n: i64, panel: usize, s: &Series) -> Value {
    let first = days_between(s.start, plot.from);
    let pick = |f: fn(&Band) -> f64| -> Vec<Value> {
        (first..first + n)
            .map(|i| {
                usize::try_from(i)
                    .ok()
                    .and_then(|i| s.days.get(i))
                    .map_or(Value::Null, |b| short(f(b)))
            })
            .collect()
    };
    json!({
        "name": s.name,
        "unit": s.unit,
        "panel": panel,
        "lo": pick(|b| b.low),
        "mid": pick(|b| b.middle),
        "hi": pick(|b| b.high),
    })
}
