//! Dilution, retention, loading and first estimates of gas.
//!
//! All functions return `None` for inputs that are negative, not finite or make
//! no sense together, never a made-up number.

use super::carbon_nitrogen::ratio;

fn sound(figures: &[f64]) -> bool {
    figures
        .iter()
        .all(|figure| figure.is_finite() && *figure >= 0.0)
}

/// Water that brings `fresh_kg` of material with the solids share
/// `total_solids` down to the share `target`, kg (GTZ88-FEED, DILUT).
///
/// `None` also if the target is not above 0 or is above what the material has:
/// water cannot thicken.
pub fn water_to_reach_solids(fresh_kg: f64, total_solids: f64, target: f64) -> Option<f64> {
    if !sound(&[fresh_kg, total_solids, target]) || total_solids > 1.0 || target > total_solids {
        return None;
    }
    ratio(fresh_kg * total_solids, target).map(|slurry| slurry - fresh_kg)
}

/// Working volume for a daily feed and a retention time, L (GTZ88-4.2).
pub fn digester_volume_l(daily_feed_l: f64, retention_d: f64) -> Option<f64> {
    sound(&[daily_feed_l, retention_d]).then_some(daily_feed_l * retention_d)
}

/// Mean hydraulic retention, d: working volume over daily feed (GTZ88-4.2).
pub fn retention_time_d(volume_l: f64, daily_feed_l: f64) -> Option<f64> {
    if !sound(&[volume_l, daily_feed_l]) {
        return None;
    }
    ratio(volume_l, daily_feed_l)
}

/// Daily feed that a volume takes at a retention time, L/d (GTZ88-4.2).
pub fn daily_feed_l(volume_l: f64, retention_d: f64) -> Option<f64> {
    retention_time_d(volume_l, retention_d)
}

/// Organic loading, kg VS/(m3 d) (GTZ89-P38, BENTHAM).
pub fn loading_rate_kg_vs_m3_d(vs_kg_per_d: f64, volume_m3: f64) -> Option<f64> {
    if !sound(&[vs_kg_per_d, volume_m3]) {
        return None;
    }
    ratio(vs_kg_per_d, volume_m3)
}

/// Gas per day from an amount per day (kg VS, kg dung, head) and a yield per
/// unit of it; in the yield's volume unit (GTZ89-P38).
pub fn gas_per_day(amount_per_d: f64, yield_per_amount: f64) -> Option<f64> {
    sound(&[amount_per_d, yield_per_amount]).then_some(amount_per_d * yield_per_amount)
}

/// Mass that gives a volume of gas at a yield per kg, kg; both volumes in one
/// unit (GTZ93-2.3, MECHF).
pub fn mass_for_gas_kg(gas_volume: f64, yield_per_kg: f64) -> Option<f64> {
    if !sound(&[gas_volume, yield_per_kg]) {
        return None;
    }
    ratio(gas_volume, yield_per_kg)
}
