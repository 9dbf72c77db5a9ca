//! What a gas calculation refuses, and what it would take instead.

use serde::Serialize;

/// A gas question that has no answer.
#[derive(Debug, Clone, PartialEq, thiserror::Error, Serialize)]
#[serde(tag = "fault", rename_all = "snake_case")]
pub enum GasError {
    /// A number beyond what can be meant (or no number at all).
    #[error(
        "{what} of {} {unit} cannot be: it must be from {} to {} {unit}",
        figure(*given), figure(*least), figure(*most)
    )]
    OutOfRange {
        /// Quantity.
        what: &'static str,
        /// As given, in `unit`.
        given: f64,
        /// Unit.
        unit: &'static str,
        /// Least value.
        least: f64,
        /// Greatest value.
        most: f64,
    },
    /// Shares that do not make a whole.
    #[error("the shares of the gas add up to {percent:.2} %; they must make 100 %")]
    SharesDoNotSum {
        /// Their sum, %.
        percent: f64,
    },
    /// A jet that does not fit into its tube.
    #[error("a jet of {jet_mm:.2} mm is no smaller than the {tube_mm:.2} mm it sits in")]
    JetTooWide {
        /// Jet, mm.
        jet_mm: f64,
        /// Tube or throat, mm.
        tube_mm: f64,
    },
    /// Nothing in the gas burns.
    #[error("nothing in this gas burns: it holds no methane, hydrogen or hydrogen sulfide")]
    NothingBurns,
    /// The table that answers it ends before this gas.
    #[error("{what} is known only for {known}; this gas has {given}")]
    BeyondTable {
        /// Quantity.
        what: &'static str,
        /// Where the table holds.
        known: &'static str,
        /// What was asked.
        given: String,
    },
    /// No answer within the range searched.
    #[error("{what}: no answer between {} and {} {unit}", figure(*least), figure(*most))]
    NoAnswer {
        /// Quantity.
        what: &'static str,
        /// Least value tried.
        least: f64,
        /// Greatest value tried.
        most: f64,
        /// Unit.
        unit: &'static str,
    },
    /// Something this tool will not work out.
    #[error("{what} is not worked out here: {reason} [{source_key}]")]
    Refused {
        /// What was asked.
        what: &'static str,
        /// Why not.
        reason: &'static str,
        /// Key into [`crate::reference::source`].
        source_key: &'static str,
    },
}

/// Four figures are enough for any complaint.
fn figure(x: f64) -> String {
    fenlamp_quantity::format_number(x, 4)
}

/// `given` if it is a number from `least` to `most`.
pub(crate) fn within(
    what: &'static str,
    unit: &'static str,
    given: f64,
    least: f64,
    most: f64,
) -> Result<f64, GasError> {
    if given >= least && given <= most {
        return Ok(given);
    }
    Err(GasError::OutOfRange {
        what,
        given,
        unit,
        least,
        most,
    })
}

// Ranges of what can be meant; judgement, wide enough for any small plant.

/// Temperature of gas, degC.
pub(crate) fn gas_temperature(t_c: f64) -> Result<f64, GasError> {
    within("a gas temperature", "degC", t_c, -40.0, 80.0)
}

/// Pressure over the air, Pa: no small plant stores gas above 50 kPa.
pub(crate) fn gauge_pressure(pa: f64) -> Result<f64, GasError> {
    within("a gas pressure above the air's", "Pa", pa, 1e-3, 50_000.0)
}

/// Pressure of the air, Pa: from 8 km of altitude to below the Dead Sea.
pub(crate) fn air_pressure(pa: f64) -> Result<f64, GasError> {
    within("an air pressure", "Pa", pa, 35_000.0, 110_000.0)
}

/// Gas flow, m3/h.
pub(crate) fn gas_flow(m3_h: f64) -> Result<f64, GasError> {
    within("a gas flow", "m3/h", m3_h, 1e-6, 1000.0)
}
