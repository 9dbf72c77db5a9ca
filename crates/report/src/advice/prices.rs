//! What a little more of each thing would add: the program solved again with one
//! limit eased by a step.

use serde::Serialize;

use super::month::{Program, Setting};
use super::solve::{self, Goal, Unsolved};
use fenlamp_model::say;
use fenlamp_quantity::Units;

/// What one step more of something adds.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Worth {
    /// Of what: the waste's place in the plan, or `None` for vessel and warmth.
    pub waste: Option<usize>,
    /// The step: "another bucket of hen manure a week".
    pub step: String,
    /// Gas it adds over the months fed, as a bag shows it, L/day.
    pub gas_wet_l_per_day: f64,
    /// In words.
    pub words: String,
}

/// What a tenth more room is; and a step of warmth, K.
const MORE_ROOM: f64 = 1.1;
const WARMER_K: f64 = 2.0;
/// Gas below which a step adds nothing worth naming, L/day (judgement).
const NOTHING_L: f64 = 0.5;

/// `gas_per_methane` turns the program's methane into the gas the worlds gave.
pub(super) fn worths(
    setting: &Setting<'_>,
    months: &[usize],
    gas_per_methane: f64,
    units: Units,
) -> Result<Vec<Worth>, Unsolved> {
    let now = most(setting, months, |_| {})?;
    let mut out = Vec::new();
    let mut put = |waste: Option<usize>, step: String, then: f64| {
        let gas = (then - now).max(0.0) * gas_per_methane;
        let adds = if gas < NOTHING_L {
            "nothing".to_owned()
        } else {
            format!("{} of gas a day", say::gas(gas, units))
        };
        out.push(Worth {
            waste,
            words: format!("{step} would add {adds}"),
            step,
            gas_wet_l_per_day: gas,
        });
    };
    for (w, stream) in setting.streams.iter().enumerate() {
        // Wood stays out whatever there is of it.
        let then = if stream.woody {
            now
        } else {
            most(setting, months, |p| p.most[w] += setting.measure.parts)?
        };
        let step = format!(
            "another bucket of {} {}",
            stream.name,
            setting.measure.per.words()
        );
        put(Some(w), step, then);
    }
    let mut roomy = setting.clone();
    roomy.slurry_l *= MORE_ROOM;
    put(
        None,
        "a vessel a tenth larger".to_owned(),
        most(&roomy, months, |_| {})?,
    );
    let mut warm = setting.clone();
    warm.slurry_c = warm.slurry_c.map(|c| c.map(|c| c + WARMER_K));
    let step = match units {
        Units::Metric => format!("slurry {WARMER_K:.0} °C warmer"),
        Units::Us => format!("slurry {:.0} °F warmer", 1.8 * WARMER_K),
    };
    put(None, step, most(&warm, months, |_| {})?);
    Ok(out)
}

/// Mean methane of the best months, parts not whole, dry normal L/day.
fn most(
    setting: &Setting<'_>,
    months: &[usize],
    change: impl Fn(&mut Program),
) -> Result<f64, Unsolved> {
    let mut sum = 0.0;
    for &m in months {
        let Some(mut program) = setting.program(m) else {
            continue;
        };
        change(&mut program);
        if let Some(parts) = solve::best(&program, Goal::Most, false)? {
            sum += program.methane(&parts);
        }
    }
    Ok(sum / months.len().max(1) as f64)
}
