//! The condensate trap: where the water falls, how much, and whether it freezes.

use serde::Serialize;

use super::volume::saturation_bar;
use crate::gas::error::{GasError, within};
use crate::reference::gas_value;

/// A stretch of line, in the order of the flow.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Stretch {
    /// Its name.
    pub name: String,
    /// Coldest it gets, degC.
    pub t_c: f64,
}

/// Water falling in one stretch.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Condensed {
    /// Name of the stretch.
    pub name: String,
    /// Its temperature, degC.
    pub t_c: f64,
    /// Water, g/d.
    pub g_day: f64,
    /// True if it falls as rime or ice.
    pub freezes: bool,
}

/// Condensate of a line.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Condensate {
    /// Water that leaves the slurry with the gas, g/d.
    pub carried_g_day: f64,
    /// Water that falls, g/d.
    pub g_day: f64,
    /// The same, g per dry normal m3.
    pub g_per_m3: f64,
    /// Water that falls in a week, g.
    pub g_week: f64,
    /// Where, in the order of the flow; nothing falls where it is not colder
    /// than all before.
    pub stretches: Vec<Condensed>,
    /// Index of the stretch in which most falls, if any does: the trap goes
    /// at its lowest point.
    pub most_at: Option<usize>,
    /// True if some stretch is below 0 degC: the line can block with ice.
    pub frost: bool,
}

/// Water in saturated gas, g per dry normal m3, at a total pressure in bar
/// (`worked_examples_gas.md` section 10): over water above 0 degC, over ice below.
pub fn water_g_per_m3(t_c: f64, total_bar: f64) -> f64 {
    let vapour = if t_c < 0.0 {
        frost_bar(t_c)
    } else {
        saturation_bar(t_c)
    };
    let g_per_m3 = gas_value("mm_h2o") / gas_value("vm_ideal_0c") * 1000.0;
    g_per_m3 * vapour / (total_bar - vapour)
}

/// Saturation pressure over ice, bar: Magnus form with the coefficients of the
/// WMO guide (22.46, 272.62; from memory).
fn frost_bar(t_c: f64) -> f64 {
    6.112e-3 * (22.46 * t_c / (272.62 + t_c)).exp()
}

/// Condensate of `daily_l` of gas a day (dry, normal) that leaves the slurry
/// wet at `slurry_c` and passes the stretches at `total_bar`.
///
/// # Errors
/// Gas, temperatures or pressure out of range; no stretch.
pub fn condensate(
    daily_l: f64,
    slurry_c: f64,
    stretches: &[Stretch],
    total_bar: f64,
) -> Result<Condensate, GasError> {
    let daily_l = within("gas of a day", "L", daily_l, 0.0, 1e7)?;
    let slurry_c = within("temperature of the slurry", "degC", slurry_c, 0.0, 70.0)?;
    let total_bar = within("pressure in the line", "bar", total_bar, 0.5, 1.5)?;
    within(
        "number of stretches",
        "(number)",
        stretches.len() as f64,
        1.0,
        50.0,
    )?;
    let mut held = water_g_per_m3(slurry_c, total_bar);
    let start = held;
    let mut out = Vec::with_capacity(stretches.len());
    for stretch in stretches {
        let t_c = within("temperature of the line", "degC", stretch.t_c, -50.0, 70.0)?;
        let left = held.min(water_g_per_m3(t_c, total_bar));
        out.push(Condensed {
            name: stretch.name.clone(),
            t_c,
            g_day: (held - left) * daily_l / 1000.0,
            freezes: t_c < 0.0 && held > left,
        });
        held = left;
    }
    let g_day: f64 = out.iter().map(|s| s.g_day).sum();
    let most_at = out
        .iter()
        .enumerate()
        .filter(|(_, s)| s.g_day > 0.0)
        .max_by(|a, b| a.1.g_day.total_cmp(&b.1.g_day))
        .map(|(i, _)| i);
    Ok(Condensate {
        carried_g_day: start * daily_l / 1000.0,
        g_day,
        g_per_m3: start - held,
        g_week: 7.0 * g_day,
        frost: out.iter().any(|s| s.t_c < 0.0),
        stretches: out,
        most_at,
    })
}

/// Days in which the condensate fills a trap of `trap_l`; `None` if none falls.
///
/// # Errors
/// A trap of less than a millilitre or more than 1000 L, or condensate below zero.
pub fn fill_days(trap_l: f64, g_day: f64) -> Result<Option<f64>, GasError> {
    let trap_l = within("size of the trap", "L", trap_l, 0.001, 1000.0)?;
    let g_day = within("condensate", "g/d", g_day, 0.0, 1e9)?;
    // A gram is a millilitre.
    Ok((g_day > 0.0).then(|| trap_l * 1000.0 / g_day))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn line(t: &[f64]) -> Vec<Stretch> {
        t.iter()
            .map(|&t_c| Stretch {
                name: format!("{t_c} degC"),
                t_c,
            })
            .collect()
    }

    /// `worked_examples_gas.md` section 10.
    #[test]
    fn a_cubic_metre_a_day_fills_a_small_trap_in_a_fortnight() {
        let c = condensate(1000.0, 35.0, &line(&[20.0, 10.0]), 1.01325).expect("in range");
        assert!((c.g_per_m3 / 37.416 - 1.0).abs() < 0.005, "{}", c.g_per_m3);
        assert!((c.stretches[0].g_day / 28.283 - 1.0).abs() < 0.005);
        assert_eq!(c.most_at, Some(0));
        let days = fill_days(0.5, c.g_day)
            .expect("in range")
            .expect("some falls");
        assert!((days / 13.4 - 1.0).abs() < 0.005, "{days}");
        assert!(!c.frost);
    }

    #[test]
    fn a_line_that_warms_up_again_drops_nothing_more() {
        let c = condensate(500.0, 30.0, &line(&[5.0, 25.0, 5.0]), 1.013).expect("in range");
        assert!(c.stretches[0].g_day > 0.0);
        assert_eq!(c.stretches[1].g_day, 0.0);
        assert_eq!(c.stretches[2].g_day, 0.0);
    }

    #[test]
    fn a_warm_line_leaves_the_trap_dry() {
        let c = condensate(500.0, 15.0, &line(&[20.0]), 1.013).expect("in range");
        assert_eq!((c.g_day, c.most_at), (0.0, None));
        assert_eq!(fill_days(0.5, c.g_day), Ok(None));
    }

    #[test]
    fn frost_is_where_it_is_below_zero() {
        let c = condensate(500.0, 15.0, &line(&[4.0, -6.0]), 1.013).expect("in range");
        assert!(c.frost && c.stretches[1].freezes && !c.stretches[0].freezes);
        // Over ice at -10 degC 2.60 mbar (handbook tables, memory).
        assert!((frost_bar(-10.0) * 1000.0 / 2.60 - 1.0).abs() < 0.005);
    }

    #[test]
    fn nonsense_is_refused() {
        assert!(condensate(f64::NAN, 30.0, &line(&[5.0]), 1.0).is_err());
        assert!(condensate(1.0, 99.0, &line(&[5.0]), 1.0).is_err());
        assert!(condensate(1.0, 30.0, &[], 1.0).is_err());
        assert!(fill_days(0.0, 1.0).is_err());
    }

    proptest! {
        #[test]
        fn water_carried_is_water_fallen_and_water_left(
            slurry in 0.0..60.0f64,
            t in proptest::collection::vec(-30.0..60.0f64, 1..6),
        ) {
            let c = condensate(1000.0, slurry, &line(&t), 1.013).expect("in range");
            let coldest = t.iter().copied().fold(slurry, f64::min);
            let left = water_g_per_m3(coldest, 1.013);
            prop_assert!((c.g_day + left - c.carried_g_day).abs() < 1e-9 * c.carried_g_day);
        }
    }
}
