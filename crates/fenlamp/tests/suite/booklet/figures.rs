//! Every figure of the booklet is that of the forecast's JSON.

use serde_json::Value;

use super::{WORLDS, booklet, plain};
use crate::{DEMOS, printed};

/// Factor and offset from the JSON's unit to the one in the text, by its last word.
fn unit(kind: &str, text: &str) -> (f64, f64) {
    let ends = |unit: &str| text.ends_with(unit);
    match kind {
        // 1 cu ft = 28.316846592 L; 1 gal = 3.785411784 L; 1 lb = 0.45359237 kg;
        // 1 in of water = 249.089 Pa and 1 cm = 98.0665 Pa (conventional).
        "gas-l" | "litres" if ends("cu ft") => (1.0 / 28.316_846_592, 0.0),
        "gas-l" | "litres" if ends("m3") => (1e-3, 0.0),
        "litres" if ends("gal") => (1.0 / 3.785_411_784, 0.0),
        "litres" if ends("cup") => (1.0 / 0.236_588_236_5, 0.0),
        "litres" if ends("mL") => (1e3, 0.0),
        "gas-l" | "litres" if ends("L") => (1.0, 0.0),
        "celsius" if ends("°F") => (1.8, 32.0),
        "celsius" if ends("°C") => (1.0, 0.0),
        "share" if ends("%") => (100.0, 0.0),
        "kilograms" if ends("lb") => (1.0 / 0.453_592_37, 0.0),
        "kilograms" if ends("oz") => (16.0 / 0.453_592_37, 0.0),
        "kilograms" if ends("kg") => (1.0, 0.0),
        "kilograms" if ends("g") => (1e3, 0.0),
        "pascal" if ends("in wc") => (1.0 / 249.088_91, 0.0),
        "pascal" if ends("cm wc") => (1.0 / 98.066_5, 0.0),
        "number" | "days" => (1.0, 0.0),
        _ => panic!("{kind}: unit of {text:?}?"),
    }
}

/// The figures of a text, in order.
fn numbers(text: &str) -> Vec<f64> {
    text.split(|c: char| c.is_whitespace())
        .filter_map(|w| w.parse().ok())
        .collect()
}

#[test]
fn every_figure_is_the_forecasts() {
    for (demo, _) in DEMOS {
        let json: Value = serde_json::from_str(&printed(&[
            "forecast",
            &format!("demo:{demo}"),
            "--json",
            "--worlds",
            WORLDS,
        ]))
        .expect("JSON");
        let html = booklet(demo, "en", "a4");
        let mut seen = 0;
        for piece in html.split("<data class=\"q\"").skip(1) {
            let whole = piece.split("</data>").next().expect("an element");
            let (tag, text) = whole.split_once('>').expect("a tag");
            let text = plain(text).replace('\u{a0}', " ");
            let get = |name: &str| super::attribute(tag, name).first().copied();
            let kind = get("data-as").expect("a kind");
            let pointers: Vec<&str> = [get("data-from"), get("data-to")]
                .into_iter()
                .flatten()
                .collect();
            let values: Vec<f64> = pointers
                .iter()
                .map(|p| {
                    json.pointer(p)
                        .and_then(Value::as_f64)
                        .unwrap_or_else(|| panic!("{demo}: no {p}"))
                })
                .collect();
            let shown = numbers(&text);
            assert!(!shown.is_empty(), "{demo}: {text:?}");
            let (factor, offset) = unit(kind, &text);
            let top = values
                .iter()
                .map(|v| (v * factor).abs())
                .fold(0.0, f64::max);
            for (i, value) in values.iter().enumerate() {
                // One number stands for both ends when they print alike.
                let got = shown[i.min(shown.len() - 1)];
                let want = value * factor + offset;
                // Two figures are shown, rounded by way of whole litres, scales in whole
                // degrees; the low end has no
                // finer decimals than the high end.
                let rounding = match kind {
                    "celsius" | "days" => 0.5001,
                    _ => {
                        0.56 * 10f64
                            .powf((1.006 * top).max(1e-9).log10().floor() - 1.0)
                            .max(0.01)
                    }
                };
                assert!(
                    (got - want).abs() <= rounding,
                    "{demo}: {text:?} for {want} ({pointers:?})"
                );
            }
            seen += 1;
        }
        assert!(seen > 60, "{demo}: only {seen} figures");
    }
}

#[test]
fn the_best_month_is_the_one_with_most_gas() {
    for (demo, _) in DEMOS {
        let html = booklet(demo, "en", "a4");
        let first = html.split("class=\"answer\"").nth(1).expect("answer");
        let at = super::attribute(first, "data-from")[0].to_owned();
        let json: Value = serde_json::from_str(&printed(&[
            "forecast",
            &format!("demo:{demo}"),
            "--json",
            "--worlds",
            WORLDS,
        ]))
        .expect("JSON");
        let middle = |i: usize| {
            json["months"][i]["gas_wet_l_per_day"]["p50"]
                .as_f64()
                .expect("number")
        };
        let best: usize = at
            .split('/')
            .nth(2)
            .and_then(|n| n.parse().ok())
            .expect("month");
        let months = json["months"].as_array().expect("months").len();
        for i in 0..months {
            assert!(middle(i) <= middle(best), "{demo}: month {i} beats {best}");
        }
    }
}
