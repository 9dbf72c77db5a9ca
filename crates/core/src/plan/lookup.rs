//! The one place where the reader meets the reference rows and the importers.

use crate::feed::{Feedstock, Group};
use crate::plan::WeatherSeries;
use crate::reference::Band;
use std::sync::LazyLock;

// Stand-ins until the reference and weather branches land.

static FEEDSTOCKS: LazyLock<Vec<Feedstock>> = LazyLock::new(|| {
    let text = include_str!("../../../../reference/feedstocks.csv");
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let names = reader.headers().cloned().unwrap_or_default();
    let mut out = Vec::new();
    for row in reader.records().flatten() {
        let text = |n: &str| {
            names
                .iter()
                .position(|h| h == n)
                .and_then(|i| row.get(i))
                .unwrap_or("")
                .to_owned()
        };
        let num = |n: &str, or: f64| text(n).parse().unwrap_or(or);
        let ts = num("ts_pct", 20.0) / 100.0;
        let bmp = num("bmp_l_per_kg_vs", 200.0) / 1000.0;
        out.push(Feedstock {
            id: text("id"),
            name: text("name"),
            group: Group::Manure,
            total_solids: Band {
                low: 0.8 * ts,
                mid: ts,
                high: (1.2 * ts).min(1.0),
            },
            volatile_of_ts: num("vs_pct_ts", 80.0) / 100.0,
            bmp: Band {
                low: 0.8 * bmp,
                mid: bmp,
                high: 1.2 * bmp,
            },
            hydrolysis_per_d: Band {
                low: 0.05,
                mid: 0.1,
                high: 0.2,
            },
            nitrogen_of_ts: num("n_pct_ts", 2.0) / 100.0,
            ammonium_share: 0.1,
            c_to_n: None,
            phosphorus_of_ts: None,
            potassium_of_ts: None,
            sulfur_of_ts: num("s_pct_ts", 0.3) / 100.0,
            lignin_of_ts: num("lignin_pct_ts", 10.0) / 100.0,
            carbohydrate_of_ts: num("carb_pct_ts", 50.0) / 100.0,
            protein_of_ts: num("protein_pct_ts", 12.0) / 100.0,
            fat_of_ts: num("fat_pct_ts", 3.0) / 100.0,
            bulk_density_kg_m3: num("bulk_density_kg_m3", 700.0),
            fresh_ph: 7.0,
            acids_of_ts: 0.0,
            soluble_share: 0.1,
            own_methanogens: Band {
                low: 0.0,
                mid: 0.0,
                high: 0.0,
            },
            origins: Vec::new(),
        });
    }
    out
});

/// An animal as far as the plan needs it.
pub(super) struct Animal {
    pub id: String,
    pub name: String,
    pub manure_fresh_kg_d: Option<f64>,
    pub feedstock_id: String,
}

static ANIMALS: LazyLock<Vec<Animal>> = LazyLock::new(|| {
    let text = include_str!("../../../../reference/animals.csv");
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    reader
        .records()
        .flatten()
        .map(|row| {
            let id = row.get(0).unwrap_or("").to_owned();
            let feedstock_id = match id.as_str() {
                "sow" | "grower_pig" => "pig_dung".to_owned(),
                "layer_hen" => "chicken_layer_droppings".to_owned(),
                id if id.starts_with("cow") || id == "calf" => "cow_dung".to_owned(),
                id => format!("{id}_manure"),
            };
            Animal {
                name: row.get(1).unwrap_or("").to_owned(),
                manure_fresh_kg_d: row.get(3).and_then(|v| v.parse().ok()),
                feedstock_id,
                id,
            }
        })
        .collect()
});

pub(super) fn feedstock(id: &str) -> Option<&'static Feedstock> {
    FEEDSTOCKS.iter().find(|f| f.id == id)
}

pub(super) fn feedstock_ids() -> Vec<String> {
    FEEDSTOCKS.iter().map(|f| f.id.clone()).collect()
}

pub(super) fn nearest_feedstock(id: &str) -> Option<String> {
    fenlamp_quantity::nearest_word(id, FEEDSTOCKS.iter().map(|f| f.id.as_str())).map(str::to_owned)
}

pub(super) fn animals() -> &'static [Animal] {
    &ANIMALS
}

/// Middle figure of a row of `thermal_properties.csv`.
pub(super) fn thermal(id: &str) -> Option<f64> {
    let text = include_str!("../../../../reference/thermal_properties.csv");
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    reader
        .records()
        .flatten()
        .find(|r| r.get(1) == Some(id))?
        .get(2)?
        .parse()
        .ok()
}

fn no_import(_: &str) -> Result<WeatherSeries, (usize, String)> {
    Err((1, "not a weather table".to_owned()))
}

pub(super) fn import_csv(text: &str) -> Result<WeatherSeries, (usize, String)> {
    no_import(text)
}

pub(super) fn import_epw(text: &str) -> Result<WeatherSeries, (usize, String)> {
    no_import(text)
}

pub(super) fn import_daily_temperature(text: &str) -> Result<Vec<f64>, (usize, String)> {
    no_import(text).map(|_| Vec::new())
}
