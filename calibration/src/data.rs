//! The data files, embedded: each names its source in `calibration/README.md`.

use std::collections::BTreeMap;

/// Cells of a file by column.
fn rows(text: &str) -> Vec<BTreeMap<String, String>> {
    csv::Reader::from_reader(text.as_bytes())
        .deserialize()
        .map(|row| row.expect("an embedded file of even rows"))
        .collect()
}

fn number(row: &BTreeMap<String, String>, column: &str) -> Option<f64> {
    row.get(column)?.parse().ok()
}

/// One day of the unseeded pig slurry.
#[derive(Debug, Clone, Copy)]
pub struct SlurryDay {
    /// Temperature, degC.
    pub t_c: f64,
    /// Day.
    pub day: f64,
    /// Methane since the day before in the file, g/(kg VS of the first day and d).
    pub methane_g_kg_d: Option<f64>,
    /// Volatile acids, g/kg.
    pub acids_g_kg: Option<f64>,
    /// pH.
    pub ph: Option<f64>,
}

/// `pig_slurry_unseeded_15_25C.csv` (DALBY23).
pub fn slurry() -> Vec<SlurryDay> {
    rows(include_str!("../data/pig_slurry_unseeded_15_25C.csv"))
        .iter()
        .filter_map(|row| {
            Some(SlurryDay {
                t_c: number(row, "temperature_c")?,
                day: number(row, "day")?,
                methane_g_kg_d: number(row, "ch4_g_per_kg_vs0_d"),
                acids_g_kg: number(row, "vfa_g_per_g").map(|v| 1000.0 * v),
                ph: number(row, "pH"),
            })
        })
        .collect()
}

/// Methane rate of a material by temperature (ELSGAARD16): degC, rate.
pub fn rates(material: &str) -> Vec<(f64, f64)> {
    rows(include_str!("../data/methane_rate_by_temperature.csv"))
        .iter()
        .filter(|row| row["material"] == material)
        .filter_map(|row| {
            Some((
                number(row, "temperature_c")?,
                number(row, "rate_g_ch4_per_kg_vs_h")?,
            ))
        })
        .collect()
}

/// Days to a tenth and to half of the methane of a bottle, medians of laboratories.
#[derive(Debug, Clone)]
pub struct Pace {
    /// Laboratories.
    pub laboratories: usize,
    /// To a tenth.
    pub tenth_d: f64,
    /// To half.
    pub half_d: f64,
    /// Each laboratory's median of the two.
    pub tenths_d: Vec<f64>,
    /// To half.
    pub halves_d: Vec<f64>,
    /// Standard deviation of the logarithm of the half-time between laboratories.
    pub spread: f64,
    /// Median potential, L/kg VS.
    pub potential: f64,
    /// Mean seed to substrate.
    pub ratio: f64,
}

/// Bottles of a material with a seed ratio between two ends (HAFNER22).
pub fn pace(material: &str, ratio: (f64, f64)) -> Pace {
    let mut by_laboratory: BTreeMap<String, Vec<[f64; 4]>> = BTreeMap::new();
    for row in rows(include_str!("../data/batch_kinetics.csv")) {
        let (Some(seed), Some(lag), Some(rate), Some(potential)) = (
            number(&row, "seed_to_substrate_vs"),
            number(&row, "lag_d"),
            number(&row, "first_order_per_d"),
            number(&row, "potential_nl_ch4_per_kg_vs"),
        ) else {
            continue;
        };
        if row["substrate"] == material && rate > 0.0 && (ratio.0..ratio.1).contains(&seed) {
            // Lag, then first order to the potential.
            let reach = |share: f64| lag - (1.0 - share).ln() / rate;
            by_laboratory
                .entry(row["laboratory"].clone())
                .or_default()
                .push([reach(0.1), reach(0.5), potential, seed]);
        }
    }
    let each: Vec<[f64; 4]> = by_laboratory
        .values()
        .map(|bottles| std::array::from_fn(|k| median(bottles.iter().map(|b| b[k]))))
        .collect();
    let logs: Vec<f64> = each.iter().map(|b| b[1].ln()).collect();
    let mean = logs.iter().sum::<f64>() / logs.len() as f64;
    let square = logs.iter().map(|v| (v - mean).powi(2)).sum::<f64>();
    Pace {
        laboratories: each.len(),
        tenth_d: median(each.iter().map(|b| b[0])),
        half_d: median(each.iter().map(|b| b[1])),
        tenths_d: each.iter().map(|b| b[0]).collect(),
        halves_d: each.iter().map(|b| b[1]).collect(),
        potential: median(each.iter().map(|b| b[2])),
        ratio: median(each.iter().map(|b| b[3])),
        spread: (square / (logs.len() - 1).max(1) as f64).sqrt(),
    }
}

fn median(values: impl Iterator<Item = f64>) -> f64 {
    let mut all: Vec<f64> = values.collect();
    all.sort_by(f64::total_cmp);
    match all.len() {
        0 => f64::NAN,
        n if n % 2 == 1 => all[n / 2],
        n => 0.5 * (all[n / 2 - 1] + all[n / 2]),
    }
}
