//! Cautions that stand in every forecast, whatever it says. Short: each is the
//! last line of defence, not the explanation (`reference/safety_cautions.md`).

use super::{Found, Severity};

/// A caution without condition.
pub(super) struct Caution {
    pub id: &'static str,
    pub severity: Severity,
    words: &'static str,
    pub keys: &'static [&'static str],
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

/// The cautions.
pub(super) const CAUTIONS: &[Caution] = &[
    Caution {
        id: "always-first-gas",
        severity: Severity::Stop,
        words: "Never light the first gas: it can explode inside the vessel. No flame, spark, smoking \
                or phone near it until it is purged out of doors, and again after every opening.",
        keys: &["FAO1984", "SASSE1988Q", "HARRIS"],
    },
    Caution {
        id: "always-confined-space",
        severity: Severity::Stop,
        words: "Never enter a vessel or pit or put your head in, and never go in after someone who has \
                dropped: call the fire service and say \"manure gas, confined space\".",
        keys: &["NIOSH-90-103", "FACE-9228", "OSHA-PRCS"],
    },
    Caution {
        id: "always-relief",
        severity: Severity::Stop,
        words: "Every closed gas space has a water relief that cannot be shut off or freeze, and a \
                flash-back stop before the flame. Soft stores, out of doors; never bottle this gas.",
        keys: &["GTZ1989", "FULFORD1996", "GTZ-DIGEST"],
    },
    Caution {
        id: "always-burning",
        severity: Severity::Stop,
        words: "Burn it only where air comes in and fumes go out, with a carbon monoxide alarm. Match \
                first, then gas; never leave a flame alone.",
        keys: &["WHO2010", "GTZ1989"],
    },
    Caution {
        id: "always-nose",
        severity: Severity::Care,
        words: "The nose is no detector: hydrogen sulfide kills it at about 100 ppm, and cleaned gas \
                hardly smells. Use meters.",
        keys: &["H2SREVIEW2017", "ARNOTT1985"],
    },
    Caution {
        id: "always-hands",
        severity: Severity::Care,
        words: "Feed and digestate carry germs: gloves, cuts covered, hands washed before food; fence \
                and lids against children and animals.",
        keys: &["HARRIS", "HOHENHEIM2022", "PSU"],
    },
    Caution {
        id: "always-codes",
        severity: Severity::Care,
        words: "This is no permission and no design. Local fire, gas, building, waste and by-product \
                rules come first, and a licensed gas fitter where the law wants one.",
        keys: &["CODES"],
    },
];
