//! The days of a forecast as CSV, one row a day, units in the column names.

use fenlamp_model::band::Quantiles;
use fenlamp_model::forecast::bands::DayBand;

use crate::answer::Answer;
use crate::failure::Failure;

/// Column and figure; each becomes three columns `_p10`, `_p50`, `_p90`.
type Figure = (&'static str, fn(&DayBand) -> Quantiles);

/// The uncertain figures of a day, named as in the JSON.
const FIGURES: [Figure; 13] = [
    ("slurry_temperature_c", |d| d.slurry_temperature_c),
    ("fed_kg", |d| d.fed_kg),
    ("gas_dry_normal_l", |d| d.gas_dry_normal_l),
    ("gas_wet_l", |d| d.gas_wet_l),
    ("methane_dry_normal_l", |d| d.methane_dry_normal_l),
    ("methane_total_dry_normal_l", |d| {
        d.methane_total_dry_normal_l
    }),
    ("methane_share", |d| d.methane_share),
    ("h2s_ppm", |d| d.h2s_ppm),
    ("ph", |d| d.ph),
    ("acids_mg_l", |d| d.acids_mg_l),
    ("ammonium_mg_n_l", |d| d.ammonium_mg_n_l),
    ("headspace_oxygen_share", |d| d.headspace_oxygen_share),
    ("headspace_methane_share", |d| d.headspace_methane_share),
];

/// The days as CSV.
///
/// # Errors
/// [`Failure::Internal`] if the text could not be put together.
pub fn write(answer: &Answer) -> Result<String, Failure> {
    let internal = |e: &dyn std::fmt::Display| {
        Failure::Internal(format!("the table could not be written: {e}"))
    };
    let mut out = csv::Writer::from_writer(Vec::new());
    let mut head = vec!["date".to_owned(), "day".to_owned()];
    for (name, _) in FIGURES {
        head.extend(["p10", "p50", "p90"].map(|q| format!("{name}_{q}")));
    }
    out.write_record(&head).map_err(|e| internal(&e))?;
    for day in &answer.days {
        let mut row = vec![day.date.to_string(), day.day.to_string()];
        for (_, figure) in FIGURES {
            let q = figure(day);
            row.extend([q.p10, q.p50, q.p90].map(|v| v.to_string()));
        }
        out.write_record(&row).map_err(|e| internal(&e))?;
    }
    let bytes = out.into_inner().map_err(|e| internal(&e))?;
    String::from_utf8(bytes).map_err(|e| internal(&e))
}
