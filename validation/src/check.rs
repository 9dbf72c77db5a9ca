//! One comparison of a number of ours with a number from outside.

use fenlamp_model::band::Quantiles;

/// What steered what.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Evidence {
    /// A formula or a library computed again from the same inputs.
    Identity,
    /// A figure that a constant of ours was fitted or chosen on: which.
    Fitted(String),
    /// A figure that steered nothing.
    Unused,
}

impl Evidence {
    /// Word of the report's column.
    pub fn word(&self) -> &'static str {
        match self {
            Self::Identity => "identity",
            Self::Fitted(_) => "fitted",
            Self::Unused => "unused",
        }
    }
}

/// What the outside says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Published {
    /// One number.
    Value(f64),
    /// Anything from the first to the second.
    Range(f64, f64),
    /// Many numbers, of which ours is the largest distance; its exact size means nothing.
    Many,
}

/// How far ours may be from the published number (from the nearer end of a range).
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Tolerance {
    /// Share of the published number.
    Relative(f64),
    /// In the unit of the check.
    Absolute(f64),
}

/// Outcome of a check.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// Within the tolerance.
    Agrees,
    /// Outside it, in a way that is understood, said and pinned.
    DiffersExplained,
    /// Outside it, and nobody said why.
    Fails,
}

impl Verdict {
    /// Words of the report.
    pub fn words(self) -> &'static str {
        match self {
            Self::Agrees => "agrees",
            Self::DiffersExplained => "differs (explained)",
            Self::Fails => "FAILS",
        }
    }
}

/// One comparison.
#[derive(Debug, Clone, PartialEq)]
pub struct Check {
    /// Id, unique in the report.
    pub id: String,
    /// What is compared.
    pub what: String,
    /// From which inputs.
    pub inputs: String,
    /// What the outside says, in `unit`.
    pub published: Published,
    /// What we say, in `unit`.
    pub ours: f64,
    /// Band around ours where we say one: 10 and 90 % of the worlds.
    pub band: Option<(f64, f64)>,
    /// Unit of both; empty for a plain ratio.
    pub unit: String,
    /// Distance allowed.
    pub tolerance: Tolerance,
    /// Where the published number is from: source key and how it was got.
    pub source: String,
    /// Why it differs, or a remark.
    pub note: String,
    /// What the check is worth.
    pub evidence: Evidence,
    /// Part of the job that a gathered figure tells of.
    pub part: Option<String>,
    /// Where ours must lie for the explanation in `note` to hold.
    explained_between: Option<(f64, f64)>,
}

impl Check {
    /// A check of a number; says nothing yet about source and tolerance (0.1 %).
    pub fn new(id: &str, what: &str, published: f64, ours: f64, unit: &str) -> Self {
        Self::against(id, what, Published::Value(published), ours, unit)
    }

    /// A check that ours lies in a published range (no tolerance beyond it).
    pub fn within(id: &str, what: &str, range: (f64, f64), ours: f64, unit: &str) -> Self {
        let published = Published::Range(range.0, range.1);
        Self::against(id, what, published, ours, unit).absolute(0.0)
    }

    /// A check of many numbers at once by the largest distance of ours from any of them.
    pub fn largest(id: &str, what: &str, distance: f64, allowed: f64, unit: &str) -> Self {
        Self::against(id, what, Published::Many, distance, unit).absolute(allowed)
    }

    /// A check of a band of ours: the published number or range must reach into it.
    pub fn banded(id: &str, what: &str, published: Published, ours: Quantiles, unit: &str) -> Self {
        let mut check = Self::against(id, what, published, ours.p50, unit).absolute(0.0);
        check.band = Some((ours.p10, ours.p90));
        check
    }

    fn against(id: &str, what: &str, published: Published, ours: f64, unit: &str) -> Self {
        Self {
            id: id.into(),
            what: what.into(),
            inputs: String::new(),
            published,
            ours,
            band: None,
            unit: unit.into(),
            tolerance: Tolerance::Relative(0.001),
            source: String::new(),
            note: String::new(),
            evidence: Evidence::Unused,
            part: None,
            explained_between: None,
        }
    }

    /// From which inputs.
    #[must_use]
    pub fn inputs(mut self, inputs: impl Into<String>) -> Self {
        self.inputs = inputs.into();
        self
    }

    /// Allow this share of the published number.
    #[must_use]
    pub fn relative(mut self, share: f64) -> Self {
        self.tolerance = Tolerance::Relative(share);
        self
    }

    /// Allow this much, in the unit of the check.
    #[must_use]
    pub fn absolute(mut self, distance: f64) -> Self {
        self.tolerance = Tolerance::Absolute(distance);
        self
    }

    /// Where the published number is from.
    #[must_use]
    pub fn source(mut self, source: impl Into<String>) -> Self {
        self.source = source.into();
        if self.source.contains("computed") && self.evidence == Evidence::Unused {
            self.evidence = Evidence::Identity;
        }
        self
    }

    /// The figure steered a constant of ours: which.
    #[must_use]
    pub fn fitted(mut self, constant: impl Into<String>) -> Self {
        self.evidence = Evidence::Fitted(constant.into());
        self
    }

    /// Part of the job that a gathered figure tells of.
    #[must_use]
    pub fn part(mut self, part: &str) -> Self {
        self.part = Some(part.into());
        self
    }

    /// A remark that changes nothing.
    #[must_use]
    pub fn note(mut self, note: impl Into<String>) -> Self {
        self.note = note.into();
        self
    }

    /// Why ours is outside the tolerance. Holds only while ours stays between
    /// `low` and `high`: an explanation is not a licence to drift.
    #[must_use]
    pub fn explained(mut self, (low, high): (f64, f64), why: impl Into<String>) -> Self {
        self.explained_between = Some((low, high));
        self.note = why.into();
        self
    }

    /// Signed distance from the published number (from the nearer end of a
    /// range, 0 inside it; from the nearer end of our band), in the unit of the check.
    pub fn difference(&self) -> f64 {
        let (low, high) = self.band.unwrap_or((self.ours, self.ours));
        let gap = |from: f64, to: f64| (low - to).max(0.0) + (high - from).min(0.0);
        match self.published {
            Published::Value(value) => gap(value, value),
            Published::Range(from, to) => gap(from, to),
            Published::Many => self.ours,
        }
    }

    /// Where ours must lie for the explanation to hold, where one is shown.
    pub fn explained_span(&self) -> Option<(f64, f64)> {
        self.explained_between
            .filter(|_| self.verdict() == Verdict::DiffersExplained)
    }

    /// Words below the table: the remark, or the explanation where one is needed.
    pub fn shown_note(&self) -> &str {
        if self.explained_between.is_some() && self.verdict() == Verdict::Agrees {
            ""
        } else {
            &self.note
        }
    }

    /// Outcome. A number of ours that is not finite always fails.
    pub fn verdict(&self) -> Verdict {
        let nearest = match self.published {
            Published::Value(value) => value,
            Published::Range(low, high) => self.ours.clamp(low, high),
            Published::Many => 0.0,
        };
        let allowed = match self.tolerance {
            Tolerance::Relative(share) => share * nearest.abs(),
            Tolerance::Absolute(distance) => distance,
        };
        let explained = |(low, high): (f64, f64)| self.ours >= low && self.ours <= high;
        let (low, high) = self.band.unwrap_or((self.ours, self.ours));
        if !(self.ours.is_finite() && low.is_finite() && high.is_finite()) {
            Verdict::Fails
        } else if self.difference().abs() <= allowed {
            Verdict::Agrees
        } else if self.explained_between.is_some_and(explained) && !self.note.is_empty() {
            Verdict::DiffersExplained
        } else {
            Verdict::Fails
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_inside_the_tolerance_agrees() {
        let check = Check::new("a", "", 100.0, 100.09, "m");
        assert_eq!(check.verdict(), Verdict::Agrees);
        assert_eq!(check.relative(1e-4).verdict(), Verdict::Fails);
    }

    #[test]
    fn the_distance_to_a_range_is_to_its_nearer_end() {
        let at = |ours| Check::within("a", "", (2.0, 3.0), ours, "m");
        assert_eq!(at(2.5).difference(), 0.0);
        assert_eq!(at(1.5).difference(), -0.5);
        assert_eq!(at(3.25).difference(), 0.25);
        assert_eq!(at(3.0).verdict(), Verdict::Agrees);
        assert_eq!(at(3.25).verdict(), Verdict::Fails);
        assert_eq!(at(3.25).absolute(0.3).verdict(), Verdict::Agrees);
    }

    #[test]
    fn a_band_agrees_with_what_reaches_into_it() {
        let band = Quantiles {
            p10: 10.0,
            p50: 12.0,
            p90: 20.0,
        };
        let against = |published| Check::banded("a", "", published, band, "");
        assert_eq!(against(Published::Value(19.0)).verdict(), Verdict::Agrees);
        assert_eq!(
            against(Published::Range(5.0, 11.0)).verdict(),
            Verdict::Agrees
        );
        assert_eq!(against(Published::Range(21.0, 30.0)).difference(), -1.0);
        assert_eq!(against(Published::Value(9.0)).difference(), 1.0);
        assert_eq!(against(Published::Value(9.0)).verdict(), Verdict::Fails);
    }

    #[test]
    fn an_explanation_holds_only_where_it_was_given() {
        let check = |ours| Check::new("a", "", 75.0, ours, "d").explained((71.9, 72.1), "misprint");
        assert_eq!(check(72.0).verdict(), Verdict::DiffersExplained);
        assert_eq!(check(73.0).verdict(), Verdict::Fails);
        assert_eq!(check(75.0).verdict(), Verdict::Agrees);
        assert_eq!(
            (check(72.0).shown_note(), check(75.0).shown_note()),
            ("misprint", "")
        );
    }

    #[test]
    fn an_explanation_without_words_is_none() {
        let check = Check::new("a", "", 1.0, 2.0, "").explained((1.9, 2.1), "");
        assert_eq!(check.verdict(), Verdict::Fails);
    }

    #[test]
    fn what_is_not_a_number_fails() {
        for ours in [f64::NAN, f64::INFINITY] {
            let any = (f64::NEG_INFINITY, f64::INFINITY);
            assert_eq!(
                Check::new("a", "", 1.0, ours, "")
                    .explained(any, "x")
                    .verdict(),
                Verdict::Fails
            );
            assert_eq!(
                Check::within("a", "", any, ours, "").verdict(),
                Verdict::Fails
            );
        }
    }
}
