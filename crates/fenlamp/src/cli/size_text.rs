//! A size for a person.

use fenlamp_quantity::Units;
use fenlamp_report::advice::{Sized, Trade};

use crate::page::{Side, table, wrap};
use crate::plan_file::Opened;

/// One part.
pub fn write(opened: &Opened, sized: &Sized, taken: Option<&str>) -> String {
    let units: Units = opened.plan.units.into();
    let mut out = format!("{}\n\n", opened.plan.name);
    for (i, said) in sized.words.iter().enumerate() {
        if i == 1 {
            let rows: Vec<Vec<String>> = sized
                .tried
                .iter()
                .map(|t| {
                    vec![
                        sized.part.size_words(t.size, units),
                        format!("{:.0} in 100", 100.0 * t.met_share),
                    ]
                })
                .collect();
            out += &table(
                &["size tried", "worlds"],
                &[Side::Right, Side::Right],
                &rows,
            );
            out.push('\n');
        }
        out += &wrap(&said.words, "", "");
        out.push('\n');
    }
    if let Some(path) = taken {
        out += &wrap(
            &format!(
                "The plan with this size in it is written to {path}. See it: fenlamp forecast {path}"
            ),
            "",
            "",
        );
    }
    out.truncate(out.trim_end().len());
    out.push('\n');
    out
}

/// A curve.
pub fn write_trade(opened: &Opened, trade: &Trade) -> String {
    let units: Units = opened.plan.units.into();
    let mut out = format!("{}\n\n", opened.plan.name);
    for said in &trade.words {
        out += &wrap(&said.words, "", "");
        out.push('\n');
    }
    let rows: Vec<Vec<String>> = trade
        .points
        .iter()
        .map(|p| {
            vec![
                trade.against.size_words(p.against, units),
                p.smallest
                    .map_or("none".to_owned(), |s| trade.part.size_words(s, units)),
                format!("{:.0} in 100", 100.0 * p.met_share),
            ]
        })
        .collect();
    out += &table(
        &[trade.against.name(), trade.part.name(), "worlds"],
        &[Side::Right, Side::Right, Side::Right],
        &rows,
    );
    out
}
