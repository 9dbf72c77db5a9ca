//! Cautions that go with a wash, in words, each with its source.

use serde::Serialize;

use super::equilibrium::Balance;

/// A caution.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Caution {
    /// What to do or not to do.
    pub words: &'static str,
    /// Source key, and whether read or from memory.
    pub source: &'static str,
}

const fn caution(words: &'static str, source: &'static str) -> Caution {
    Caution { words, source }
}

/// pH at and above which a liquid counts as corrosive (safety_limits.csv, GHS, memory).
pub const CORROSIVE_PH: f64 = 11.5;

/// For any jar of lye; `fresh` is its balance before use.
pub fn jar(fresh: &Balance) -> Vec<Caution> {
    let mut out = vec![
        caution(
            "Lye burns eyes in seconds: goggles, long gloves, running water at hand; eyes 30 minutes under water, then a doctor.",
            "NJ-KOH, read",
        ),
        caution(
            "Add lye or ash to cold water slowly, never water to it; no aluminium, zinc or tin.",
            "OSHA-NAOH and LIBERTY, read",
        ),
        caution(
            "Spent wash gives back H2S if acid meets it: no acid, no drain; empty it outdoors, upwind.",
            "PHREEQC, computed",
        ),
        caution(
            "Fit an empty catch jar on each side; a dry jar is no seal. Test for H2S after the jar; its age says little.",
            "derived",
        ),
    ];
    if fresh.ph >= CORROSIVE_PH {
        out.insert(
            0,
            caution(
                "Fresh, this wash is corrosive by its pH alone.",
                "GHS, memory",
            ),
        );
    }
    out
}

/// For a bed of moist ash.
pub const ASH_BED: [Caution; 5] = [
    caution(
        "Ash dust is caustic: tight goggles, dust mask, long gloves, out of doors with the wind at your back; eyes 30 minutes under water, then a doctor.",
        "NJ-KOH and OSHA-NAOH, read",
    ),
    caution(
        "Cold ash of clean wood only. Fresh ash heats up when wetted: wet it slowly in open steel, let it cool, then fill it in damp, not muddy; no aluminium or zinc.",
        "WIKIASH and LIBERTY, read",
    ),
    caution(
        "Fine ash cakes and holds the gas back: a loose bed, wide rather than high, and a relief before it.",
        "judgement",
    ),
    caution(
        "It says nothing when it is spent: carbon dioxide comes through at once. Do not count on it against sulfide; test behind it.",
        "ANDERSSON17, read; the test gas held no sulfide",
    ),
    caution(
        "Gas behind it burns hotter and with other air than the burner was set for: set the air anew, and again when the bed is spent.",
        "derived",
    ),
];

/// For an iron packing.
pub const IRON: [Caution; 3] = [
    caution(
        "Used packing heats in air and can set fire to itself: open it wet, spread it damp on bare ground away from buildings for a day or two.",
        "KOHL1997, memory",
    ),
    caution(
        "Never open a packing on a live line; shut both sides and let the pressure off outdoors.",
        "KOHL1997, memory",
    ),
    caution(
        "Small filters took out a third on average: test for H2S behind it, and keep the flue and the meter.",
        "ENERGIES4793, read",
    ),
];

/// For a dose of air.
pub const AIR: [Caution; 3] = [
    caution(
        "Keep to 2 to 6 % of the gas flow, never more: with more air the store can explode.",
        "ZICARI2003, read",
    ),
    caution(
        "A small steady dosing pump, never a compressor or a valve left open, that stops when the gas stops; a stuck pump makes an explosive store. Check O2.",
        "ZICARI2003, read",
    ),
    caution(
        "Ask the local fire and gas authority first; some codes forbid it in a home-made plant, others want a licensed fitter.",
        "CODES, memory",
    ),
];

/// For slaked lime, ash and bicarbonate in a digester.
pub const BUFFER: [Caution; 3] = [
    caution(
        "In steps: a quarter of the dose, stirred in dissolved, and the pH again next day.",
        "MEM-AD, memory",
    ),
    caution(
        "Lime and ash take CO2 from the gas first and overshoot; the pull can draw air in through a seal. Bicarbonate cannot overshoot.",
        "derived",
    ),
    caution(
        "Lime and ash lye burn eyes and skin: goggles and gloves, into cold water, never the other way round.",
        "OSHA-NAOH, read",
    ),
];

/// For a trap in frost.
pub const FROST: [Caution; 2] = [
    caution(
        "A frozen low spot blocks the line and the relief: insulate or slope the line, and check the relief before each frost.",
        "derived",
    ),
    caution(
        "Never thaw with a flame: warm water or cloths.",
        "TEXTBOOK, memory",
    ),
];
