//! Cautions that stand in every forecast, whatever it says.

use super::{Found, Severity};

/// A caution without condition.
pub(super) struct Caution {
    pub id: &'static str,
    severity: Severity,
    words: &'static str,
    keys: &'static [&'static str],
}

impl Caution {
    /// As a finding.
    pub fn found(&self) -> Found {
        Found {
            severity: self.severity,
            words: self.words.to_owned(),
            evidence: Vec::new(),
            source_keys: self.keys.iter().map(|k| (*k).to_owned()).collect(),
        }
    }
}

/// The cautions; wording after `reference/safety_cautions.md`.
pub(super) const CAUTIONS: &[Caution] = &[
    Caution {
        id: "always-first-gas",
        severity: Severity::Stop,
        words: "Never light the first gas: it holds air and can explode inside the vessel or the \
                line. No flame, spark, smoking or phone near it until the headspace is purged out \
                of doors, at least the first three to five days' gas is thrown away, and a sample \
                carried well off burns steadily. Purge again after every opening.",
        keys: &["FAO1984", "SASSE1988Q", "HARRIS"],
    },
    Caution {
        id: "always-confined-space",
        severity: Severity::Stop,
        words: "Never enter a vessel or pit or put your head in, not for a moment: hydrogen \
                sulfide and carbon dioxide kill at once and without warning, and those who go in \
                after the fallen die beside them. Call the fire service and say \"manure gas, \
                confined space\".",
        keys: &["NIOSH-90-103", "FACE-9228", "OSHA-PRCS"],
    },
    Caution {
        id: "always-nose",
        severity: Severity::Care,
        words: "The nose is no detector: it fails at about 100 ppm of hydrogen sulfide within \
                minutes, and cleaned gas hardly smells. Use meters for methane, oxygen, hydrogen \
                sulfide and, near flames, carbon monoxide.",
        keys: &["H2SREVIEW2017", "ARNOTT1985"],
    },
    Caution {
        id: "always-relief",
        severity: Severity::Stop,
        words: "Every closed gas space needs its own water relief that cannot be shut off or \
                freeze, vented high and away from openings, and a flash-back stop between store \
                and burner. Soft, low-pressure stores out of doors only; never compress or bottle \
                this gas.",
        keys: &["GTZ1989", "FULFORD1996", "GTZ-DIGEST"],
    },
    Caution {
        id: "always-codes",
        severity: Severity::Care,
        words: "This forecast is not a permission or a design. Local fire, gas, building, waste \
                and by-product rules come first, and so does a licensed gas fitter where the law \
                wants one.",
        keys: &["CODES"],
    },
];
