//! What became of one world: its first flame, and whether it turned sour.

use super::DayRow;

/// Methane share from which a burner holds a flame (`ch4_min_flame` of
/// `gas_constants.csv`).
pub const FLAME_METHANE_SHARE: f64 = 0.50;
/// Least gas of a day to call it a flame: a tenth of a stove hour, dry litres (judgement).
const FLAME_GAS_L: f64 = 15.0;
/// Days in a row that make it steady (judgement).
const STEADY_DAYS: usize = 3;
/// A world is sour when its pH stays below this (`pH` rows of
/// `digestion_limits.csv`: methane making usually ends below 6.0, sour below 6.5)
pub const SOUR_PH: f64 = 6.2;
/// for so many days running (judgement).
const SOUR_DAYS: usize = 14;

/// First day of a steady flame in one world.
pub fn first_flame(days: &[DayRow]) -> Option<usize> {
    let burns = |d: &DayRow| d.methane_share >= FLAME_METHANE_SHARE && d.gas_dry_l >= FLAME_GAS_L;
    days.windows(STEADY_DAYS).position(|w| w.iter().all(burns))
}

/// Whether one world turned sour.
pub fn soured(days: &[DayRow]) -> bool {
    first_sour(days).is_some()
}

/// First of the days that make one world sour.
pub fn first_sour(days: &[DayRow]) -> Option<usize> {
    days.windows(SOUR_DAYS.min(days.len().max(1)))
        .position(|w| w.iter().all(|d| d.ph < SOUR_PH))
}
