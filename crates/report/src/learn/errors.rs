//! How far what people and cheap instruments say is from what is: standard
//! deviations. All judgement unless a source is named; wide on purpose.

/// One day's gas by the height of a bag or drum: a fifth to a quarter, for the eye,
/// the gas's warmth and the moment of looking.
pub const GAS_BY_RISE: f64 = 0.22;
/// One day's gas by a small meter: the day's boundaries, not the meter.
pub const GAS_BY_METER: f64 = 0.08;
/// One day's gas by how long a burner burned.
pub const GAS_BY_BURNING: f64 = 0.20;
/// What the model leaves of a week's gas, share: no averaging lessens it.
pub const GAS_OF_MODEL: f64 = 0.08;
/// Gas below this share of the slurry's volume a day is as good as none.
pub const LEAST_GAS_OF_SLURRY: f64 = 0.004;
/// A thermometer held into the outlet against the day's mean of the whole, K.
pub const SLURRY_BY_HAND_K: f64 = 1.5;
/// A fixed probe against the same, K: one place stands for all (PERR12 saw 6 K
/// from top to bottom of a cold tank).
pub const SLURRY_PROBE_K: f64 = 0.8;
/// What the heat balance leaves of a week, K.
pub const SLURRY_OF_MODEL_K: f64 = 0.5;
/// pH by paper: steps of half a unit, and colour of slurry.
pub const PH_STRIP: f64 = 0.30;
/// pH by a glass electrode kept as households keep it.
pub const PH_METER: f64 = 0.12;
/// What the model leaves of pH.
pub const PH_OF_MODEL: f64 = 0.12;
/// Volatile acids by two-point titration, logarithm.
pub const ACIDS_LN: f64 = 0.40;
/// What the model leaves of them, logarithm.
pub const ACIDS_OF_MODEL: f64 = 0.25;
/// Added to acids before the logarithm, mg/L.
pub const LEAST_ACIDS_MG_L: f64 = 300.0;
/// Methane share told by how gas burns (`ch4_min_flame` of `gas_constants.csv` is
/// the edge).
pub const METHANE_BY_FLAME: f64 = 0.04;

/// Every error with its words, for the page that shows them.
pub const TABLE: [(&str, f64, &str, &str); 8] = [
    (
        "gas by the store's rise, one day",
        GAS_BY_RISE,
        "of it",
        "judgement",
    ),
    (
        "gas by a meter, one day",
        GAS_BY_METER,
        "of it",
        "judgement",
    ),
    (
        "gas by burning, one day",
        GAS_BY_BURNING,
        "of it",
        "judgement",
    ),
    (
        "slurry by a thermometer",
        SLURRY_BY_HAND_K,
        "K",
        "judgement",
    ),
    (
        "slurry by a fixed probe",
        SLURRY_PROBE_K,
        "K",
        "judgement; PERR12 for layers",
    ),
    ("pH by strip", PH_STRIP, "", "judgement"),
    ("pH by meter", PH_METER, "", "judgement"),
    (
        "acids by titration",
        ACIDS_LN,
        "of it",
        "judgement; FOSTAC for the rule",
    ),
];
