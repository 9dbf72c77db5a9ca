//! Filling the gaps of the feedstock table by rules that are data.
//!
//! Order for each figure: the row's own cell; a rule for this id; the cell of a
//! like row; the rule of the class; the rule for any. A rule that replaces a
//! published cell says so (see [`super::replaced_figures`]). Every figure gets an
//! [`Origin`].

use super::feedstock_rows::{FeedstockRow, feedstock_rows, key_group};
use super::rules::{Rule, Rules};
use super::sheet::{Fault, FaultKind, sorted_out};
use super::sources::{self, Source};
use crate::band::Band;
use crate::feed::{Feedstock, How, Origin};

pub(super) fn fill_all(
    rows: &[FeedstockRow],
    rules: &Rules,
    sources: &[Source],
) -> Result<Vec<Feedstock>, Vec<Fault>> {
    sorted_out(rows.iter().map(|row| fill(row, rules, sources)))
}

fn fill(row: &FeedstockRow, rules: &Rules, sources: &[Source]) -> Result<Feedstock, Fault> {
    let fault = |what| Fault {
        table: "feedstocks",
        line: 0,
        id: row.id.clone(),
        what,
    };
    let class = rules.class(&row.id).ok_or_else(|| {
        fault(FaultKind::NoSuchRow(format!(
            "{} (feedstock_classes)",
            row.id
        )))
    })?;
    // Like rows are always of the embedded table: a doctored table under check
    // must not change what its rows borrow.
    let like = match &class.like {
        Some(id) => Some(
            feedstock_rows()
                .iter()
                .find(|other| other.id == *id)
                .ok_or_else(|| fault(FaultKind::NoSuchRow(id.clone())))?,
        ),
        None => None,
    };
    let mut filler = Filler {
        row,
        class: &class.class,
        like,
        rules,
        sources,
        origins: Vec::new(),
    };

    let total_solids = filler.band("total_solids")?;
    let volatile_of_ts = filler.single("volatile_of_ts")?;
    let bmp = filler.band("bmp")?;
    let hydrolysis_per_d = filler.band("hydrolysis_per_d")?;
    let nitrogen_of_ts = filler.single("nitrogen_of_ts")?;
    let protein_of_ts = filler.single("protein_of_ts")?;
    Ok(Feedstock {
        id: row.id.clone(),
        name: row.name.clone(),
        group: row.group,
        total_solids,
        volatile_of_ts,
        bmp,
        hydrolysis_per_d,
        nitrogen_of_ts,
        ammonium_share: filler.ammonium_share(nitrogen_of_ts, protein_of_ts)?,
        c_to_n: filler.c_to_n(volatile_of_ts, nitrogen_of_ts),
        phosphorus_of_ts: filler.maybe("phosphorus_of_ts"),
        potassium_of_ts: filler.maybe("potassium_of_ts"),
        sulfur_of_ts: filler.single("sulfur_of_ts")?,
        lignin_of_ts: filler.single("lignin_of_ts")?,
        carbohydrate_of_ts: filler.single("carbohydrate_of_ts")?,
        protein_of_ts,
        fat_of_ts: filler.single("fat_of_ts")?,
        bulk_density_kg_m3: filler.single("bulk_density_kg_m3")?,
        fresh_ph: filler.single("fresh_ph")?,
        acids_of_ts: filler.single("acids_of_ts")?,
        mineral_alkalinity_eq_kg: filler.single("mineral_alkalinity_eq_kg")?,
        iron_of_ts: filler.single("iron_of_ts")?,
        soluble_share: filler.single("soluble_share")?,
        own_methanogens: filler.band("own_methanogens")?,
        origins: filler.origins,
    })
}

struct Filler<'a> {
    row: &'a FeedstockRow,
    class: &'a str,
    like: Option<&'a FeedstockRow>,
    rules: &'a Rules,
    sources: &'a [Source],
    origins: Vec<Origin>,
}

/// A figure found, with ends as far as the same place gives them.
struct Found {
    low: Option<f64>,
    mid: f64,
    high: Option<f64>,
    keys: Vec<String>,
    how: How,
}

impl Filler<'_> {
    fn class_rule(&self, quantity: &str) -> Option<&Rule> {
        self.rules
            .find(self.class, quantity)
            .or_else(|| self.rules.find("any", quantity))
    }

    fn find(&self, field: &str) -> Option<Found> {
        let own_rule = self.rules.find(&self.row.id, field);
        if let Some(rule) = own_rule.filter(|rule| rule.replaces) {
            return Some(Found::by_rule(rule));
        }
        self.own(field)
            .or_else(|| own_rule.map(Found::by_rule))
            .or_else(|| self.borrowed(field))
            .or_else(|| {
                let mut found = Found::by_rule(self.class_rule(field)?);
                // A published end outranks the end of a class rule.
                found.low = self.figure(field, "_low").or(found.low);
                found.high = self.figure(field, "_high").or(found.high);
                Some(found)
            })
    }

    fn figure(&self, field: &str, end: &str) -> Option<f64> {
        self.row
            .figures
            .get(format!("{field}{end}").as_str())
            .copied()
    }

    fn own(&self, field: &str) -> Option<Found> {
        let mid = *self.row.figures.get(field)?;
        let keys = self.row.keys.get(key_group(field)?)?.clone();
        // The first key set the central value.
        let how =
            sources::find(self.sources, keys.first()?).map_or(How::Memory, |s| s.standing.into());
        Some(Found {
            low: self.figure(field, "_low"),
            mid,
            high: self.figure(field, "_high"),
            keys,
            how,
        })
    }

    /// From the like row; mineral figures only if the whole row is borrowed,
    /// because urine carries most of the potassium.
    fn borrowed(&self, field: &str) -> Option<Found> {
        const COMPOSITION: [&str; 4] = [
            "lignin_of_ts",
            "carbohydrate_of_ts",
            "protein_of_ts",
            "fat_of_ts",
        ];
        let like = self.like?;
        let whole_row = !self.row.figures.contains_key("nitrogen_of_ts");
        let mineral = matches!(
            field,
            "phosphorus_of_ts" | "potassium_of_ts" | "bulk_density_kg_m3"
        );
        if mineral && !whole_row {
            return None;
        }
        let get = |name: &str| like.figures.get(name).copied();
        // Composition is of the volatile part: rows with more ash hold less of it.
        let factor = match (
            self.row.figures.get("volatile_of_ts"),
            get("volatile_of_ts"),
        ) {
            (Some(own), Some(other)) if COMPOSITION.contains(&field) && other > 0.0 => own / other,
            _ => 1.0,
        };
        let mut keys = vec!["LIKE-ROW".to_owned()];
        keys.extend(like.keys.get(key_group(field)?)?.iter().cloned());
        Some(Found {
            low: get(&format!("{field}_low")),
            mid: get(field)? * factor,
            high: get(&format!("{field}_high")),
            keys,
            how: How::Derived,
        })
    }

    fn note(&mut self, field: &str, keys: Vec<String>, how: How) {
        self.origins.push(Origin {
            field: field.to_owned(),
            keys,
            how,
        });
    }

    fn unfilled(&self, field: &str) -> Fault {
        let what = FaultKind::Unfilled(field.to_owned());
        Fault {
            table: "feedstocks",
            line: 0,
            id: self.row.id.clone(),
            what,
        }
    }

    fn maybe(&mut self, field: &str) -> Option<f64> {
        let found = self.find(field)?;
        self.note(field, found.keys, found.how);
        Some(found.mid)
    }

    fn single(&mut self, field: &str) -> Result<f64, Fault> {
        self.maybe(field).ok_or_else(|| self.unfilled(field))
    }

    /// Missing ends are set by the ratios of the class rule of the same
    /// quantity, or of its `_spread`.
    fn band(&mut self, field: &str) -> Result<Band, Fault> {
        let found = self.find(field).ok_or_else(|| self.unfilled(field))?;
        let spread = self
            .class_rule(field)
            .filter(|rule| rule.mid > 0.0)
            .or_else(|| self.class_rule(&format!("{field}_spread")));
        let ratio = |end: Option<f64>, rule: &Rule| end.map(|end| found.mid * end / rule.mid);
        let low = found
            .low
            .or_else(|| spread.and_then(|rule| ratio(rule.low, rule)));
        let high = found
            .high
            .or_else(|| spread.and_then(|rule| ratio(rule.high, rule)));
        let band = Band {
            low: low.ok_or_else(|| self.unfilled(field))?,
            mid: found.mid,
            high: high.ok_or_else(|| self.unfilled(field))?,
        };
        let mut keys = found.keys;
        if found.low.is_none() || found.high.is_none() {
            keys.push("BAND-RATIO".to_owned());
        }
        self.note(field, keys, found.how);
        Ok(band)
    }

    /// The rule's share, never above the nitrogen that true protein leaves.
    fn ammonium_share(&mut self, nitrogen: f64, protein: f64) -> Result<f64, Fault> {
        let found = self
            .find("ammonium_share")
            .ok_or_else(|| self.unfilled("ammonium_share"))?;
        let left = if nitrogen > 0.0 {
            (1.0 - protein / (6.25 * nitrogen)).max(0.0)
        } else {
            0.0
        };
        if left < found.mid {
            self.note(
                "ammonium_share",
                vec![found.keys.join("+"), "DERIVED".to_owned()],
                How::Derived,
            );
            return Ok(left);
        }
        self.note("ammonium_share", found.keys, found.how);
        Ok(found.mid)
    }

    /// Published, or carbon as volatile solids / 1.8 over nitrogen.
    fn c_to_n(&mut self, volatile: f64, nitrogen: f64) -> Option<f64> {
        let published = self.maybe("c_to_n");
        if published.is_none() && nitrogen > 0.0 {
            self.note("c_to_n", vec!["GOTAAS56".to_owned()], How::Derived);
            return Some(volatile / 1.8 / nitrogen);
        }
        published
    }
}

impl Found {
    fn by_rule(rule: &Rule) -> Self {
        Self {
            low: rule.low,
            mid: rule.mid,
            high: rule.high,
            keys: vec![rule.source_key.clone()],
            how: rule.how,
        }
    }
}
