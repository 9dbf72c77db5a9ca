//! The measure a recipe is given in: whole buckets or a plain part of one, a day
//! or a week.

use serde::Serialize;

use fenlamp_model::say;

/// A bucket or a part of it, so often.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Measure {
    /// A bucket, L.
    pub bucket_l: f64,
    /// So many parts make a bucket.
    pub parts: u32,
    /// What it is counted over.
    pub per: Period,
}

/// Day or week.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Period {
    /// A day.
    Day,
    /// A week.
    Week,
}

impl Period {
    /// Days in it.
    pub fn days(self) -> f64 {
        match self {
            Period::Day => 1.0,
            Period::Week => 7.0,
        }
    }

    /// "a day".
    pub fn words(self) -> &'static str {
        match self {
            Period::Day => "a day",
            Period::Week => "a week",
        }
    }
}

/// Parts of a bucket that a person can measure by eye.
const PARTS: [u32; 5] = [1, 2, 4, 8, 16];
/// Parts that the vessel's room should be told in at least: a coarser measure
/// would leave a large part of it unused (judgement).
const FINE_ENOUGH: f64 = 8.0;

impl Measure {
    /// Litres of one part.
    pub fn litres(&self) -> f64 {
        self.bucket_l / f64::from(self.parts)
    }

    /// The coarsest measure in which the vessel's `room_l_per_day` is told in
    /// enough parts and no stream of `streams_l_per_day` is smaller than one part.
    pub fn fitting(bucket_l: f64, room_l_per_day: f64, streams_l_per_day: &[f64]) -> Self {
        let measures = [Period::Day, Period::Week].into_iter().flat_map(|per| {
            // Smaller parts a day are better told as larger ones a week.
            let finest = if per == Period::Day { 2 } else { 16 };
            PARTS
                .into_iter()
                .filter(move |&p| p <= finest)
                .map(move |parts| Measure {
                    bucket_l,
                    parts,
                    per,
                })
        });
        let fits = |m: &Measure| {
            let part_a_day = m.litres() / m.per.days();
            room_l_per_day >= FINE_ENOUGH * part_a_day
                && streams_l_per_day
                    .iter()
                    .filter(|l| **l > 0.0)
                    .all(|l| *l >= part_a_day * (1.0 - 1e-9))
        };
        let finest = Measure {
            bucket_l,
            parts: 16,
            per: Period::Week,
        };
        measures.into_iter().find(fits).unwrap_or(finest)
    }

    /// "2 buckets", "half a bucket", "1 3/4 buckets".
    pub fn words(&self, parts: u32) -> String {
        let (whole, rest) = (parts / self.parts, parts % self.parts);
        if rest == 0 {
            return match whole {
                1 => "1 bucket".to_owned(),
                n => format!("{n} buckets"),
            };
        }
        let common = gcd(rest, self.parts);
        let (top, bottom) = (rest / common, self.parts / common);
        if whole > 0 {
            return format!("{whole} {top}/{bottom} buckets");
        }
        match (top, bottom) {
            (1, 2) => "half a bucket".to_owned(),
            (1, 4) => "a quarter of a bucket".to_owned(),
            (t, b) => format!("{t}/{b} of a bucket"),
        }
    }

    /// "buckets a week", or the part: "eighths of a bucket a week".
    pub fn unit_words(&self) -> String {
        let part = match self.parts {
            1 => "buckets".to_owned(),
            2 => "half buckets".to_owned(),
            4 => "quarter buckets".to_owned(),
            8 => "eighths of a bucket".to_owned(),
            n => format!("{n}ths of a bucket"),
        };
        format!("{part} {}", self.per.words())
    }
}

fn gcd(a: u32, b: u32) -> u32 {
    if b == 0 { a } else { gcd(b, a % b) }
}

/// "water" amounts for a period in whole litres or tenths of a gallon.
pub(super) fn water_words(litres: f64, units: fenlamp_quantity::Units) -> String {
    match units {
        fenlamp_quantity::Units::Metric => {
            let l = if litres >= 10.0 {
                litres.round()
            } else {
                (2.0 * litres).round() / 2.0
            };
            match l {
                1.0 => "1 litre".to_owned(),
                l => format!("{l} litres"),
            }
        }
        fenlamp_quantity::Units::Us => {
            let gal = litres / 3.785_411_784;
            if gal >= 0.95 {
                format!("{} gal", say::number_band(gal, gal))
            } else {
                let quarts = 4.0 * gal;
                format!("{} qt", say::number_band(quarts, quarts))
            }
        }
    }
}
