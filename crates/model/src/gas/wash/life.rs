//! The life of wash jars: gas bubbled through litre by litre.
//!
//! Each jar is stirred by its bubbles. Gas leaves a jar nearer to balance with
//! the liquor than it came, by the [`Contact`] of each gas; the liquor keeps
//! the difference. The jars' contents are stepped over the gas passed by the
//! classical Runge-Kutta rule of order four, together with what has left, so
//! that carbon and sulfur close to rounding.

use serde::Serialize;

use super::constants::Constants;
use super::equilibrium::{Balance, Liquor, closed_near};
use crate::gas::error::{GasError, within};
use crate::gas::volume::saturation_bar;
use crate::reference::gas_value;

const ATM_PA: f64 = 101_325.0;
/// Pressure of a metre of water at 20 degC, Pa (row `cm_wg`, per cm).
fn pa_per_m() -> f64 {
    100.0 * gas_value("cm_wg")
}

/// Gas before the wash: dry shares; what is neither is taken as methane and passes.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct RawGas {
    /// CO2, share of the dry gas.
    pub co2_share: f64,
    /// H2S, ppm of the dry gas.
    pub h2s_ppm: f64,
}

impl RawGas {
    /// Checked.
    ///
    /// # Errors
    /// CO2 from 1 to 95 % and H2S up to 50 000 ppm only.
    pub fn new(co2_share: f64, h2s_ppm: f64) -> Result<Self, GasError> {
        Ok(RawGas {
            co2_share: within("CO2 in the gas", "(share)", co2_share, 0.01, 0.95)?,
            h2s_ppm: within("H2S in the gas", "ppm", h2s_ppm, 0.0, 50_000.0)?,
        })
    }
}

/// One jar.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Jar {
    /// Water in it, kg (a litre is a kilogram within 0.3 %).
    pub water_kg: f64,
    /// What a kilogram holds at the start.
    pub liquor: Liquor,
    /// How deep the dip tube ends under the surface, m.
    pub depth_m: f64,
    /// Temperature, degC.
    pub t_c: f64,
}

/// Share of the way to balance that a gas goes in one jar: 1 in an equilibrium stage.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Contact {
    /// CO2.
    pub co2: f64,
    /// H2S.
    pub h2s: f64,
}

impl Contact {
    /// Balance reached: slow gas through a deep jar of fine bubbles.
    pub const BALANCE: Contact = Contact { co2: 1.0, h2s: 1.0 };

    /// Poor, middling and good contact in a jar with a plain dip tube.
    ///
    /// Share 1 - exp(-n depth) with n transfer units per metre: CO2 1.2, 2.5,
    /// 8; H2S 5, 12, 30. Judgement, from bubbles of 3 to 8 mm rising at
    /// 0.25 m/s with a liquid film of 3e-4 m/s (memory); CO2 reacts slowly,
    /// H2S at once (KOHL1997, memory), so H2S is nearer to balance.
    pub fn in_jar(depth_m: f64) -> [Contact; 3] {
        let share = |n: f64| 1.0 - (-n * depth_m).exp();
        [(1.2, 5.0), (2.5, 12.0), (8.0, 30.0)].map(|(co2, h2s)| Contact {
            co2: share(co2),
            h2s: share(h2s),
        })
    }
}

/// When a wash counts as spent.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct SpentRule {
    /// H2S after the last jar above this, ppm.
    pub h2s_ppm: f64,
    /// pH of the last jar at or under this.
    pub ph: f64,
}

impl Default for SpentRule {
    /// 100 ppm, what engines want (row `h2s_limit_engine`), and pH 8.5
    /// (`worked_examples_gas.md` section 13).
    fn default() -> Self {
        SpentRule {
            h2s_ppm: gas_value("h2s_limit_engine"),
            ph: 8.5,
        }
    }
}

/// The wash after so much gas.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Moment {
    /// Raw gas passed, L (dry, normal).
    pub gas_l: f64,
    /// CO2 after the last jar, share of the dry gas.
    pub co2_share: f64,
    /// H2S after the last jar, ppm of the dry gas.
    pub h2s_ppm: f64,
    /// pH of each jar.
    pub ph: Vec<f64>,
    /// Carbon held by all jars, mol.
    pub carbon_mol: f64,
    /// Sulfide held by all jars, mol.
    pub sulfide_mol: f64,
    /// CO2 that has left after the last jar, mol.
    pub carbon_out_mol: f64,
    /// H2S that has left, mol.
    pub sulfide_out_mol: f64,
}

/// The life of the jars.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Life {
    /// Through the life and somewhat beyond, from the first bubble on.
    pub moments: Vec<Moment>,
    /// Gas until the H2S after the wash passes the rule; 0 if it never meets it.
    pub until_h2s_l: Option<f64>,
    /// Gas until the last jar is down to the pH of the rule.
    pub until_ph_l: Option<f64>,
    /// Gas until 95 % of the CO2 passes (judgement: it takes up no more).
    pub until_idle_l: Option<f64>,
    /// Pressure the jars hold the gas back with, Pa.
    pub back_pressure_pa: f64,
}

impl Life {
    /// Gas until the first sign of the rule; without one, until the wash is idle.
    pub fn spent_l(&self) -> Option<f64> {
        let signs = [self.until_h2s_l, self.until_ph_l];
        signs
            .into_iter()
            .flatten()
            .reduce(f64::min)
            .or(self.until_idle_l)
    }

    /// Most H2S that comes out in the life, ppm. Above what goes in, the jar
    /// gives back sulfide that CO2 pushes out of it: worse than no jar.
    pub fn peak_h2s_ppm(&self) -> f64 {
        self.moments.iter().map(|m| m.h2s_ppm).fold(0.0, f64::max)
    }

    /// The last moment: what a spent jar still does. Its gas comes out as it
    /// went in, so it is a bubble counter and a seal, no more.
    pub fn afterwards(&self) -> Option<&Moment> {
        self.moments.last()
    }
}

struct Line<'a> {
    jars: &'a [Jar],
    constants: Vec<Constants>,
    /// Dry pressure over each jar, atm.
    dry_atm: Vec<f64>,
    contact: Contact,
    /// CO2 and H2S per inert of the raw gas.
    inlet: (f64, f64),
    /// Inert gas in a litre of raw gas, mol.
    inert_per_l: f64,
}

/// Runs gas through the jars (first to last) until the wash is idle.
///
/// # Errors
/// No jar or more than ten, and jars, pressure or contact out of range.
pub fn life(
    jars: &[Jar],
    gas: RawGas,
    outside_pa: f64,
    contact: Contact,
    rule: SpentRule,
) -> Result<Life, GasError> {
    let gas = RawGas::new(gas.co2_share, gas.h2s_ppm)?;
    within("number of jars", "(number)", jars.len() as f64, 1.0, 10.0)?;
    within("outside pressure", "Pa", outside_pa, 5e4, 1.2e5)?;
    within("contact of CO2", "(number)", contact.co2, 0.01, 1.0)?;
    within("contact of H2S", "(number)", contact.h2s, 0.01, 1.0)?;
    within(
        "H2S at which it counts as spent",
        "ppm",
        rule.h2s_ppm,
        0.0,
        1e6,
    )?;
    within(
        "pH at which it counts as spent",
        "(number)",
        rule.ph,
        0.0,
        14.0,
    )?;
    let mut constants = Vec::new();
    let mut dry_atm = Vec::new();
    for (i, jar) in jars.iter().enumerate() {
        within("water of a jar", "kg", jar.water_kg, 0.001, 10_000.0)?;
        within("depth of a dip tube", "m", jar.depth_m, 0.0, 2.0)?;
        for amount in [
            jar.liquor.potassium,
            jar.liquor.sodium,
            jar.liquor.calcium,
            jar.liquor.carbon,
            jar.liquor.sulfide,
            jar.liquor.alkalinity(),
        ] {
            within("strength of the wash", "mol/kg", amount, 0.0, 8.0)?;
        }
        let behind: f64 = jars[i + 1..].iter().map(|j| j.depth_m).sum();
        let total = outside_pa + behind * pa_per_m();
        dry_atm.push((total - saturation_bar(jar.t_c) * 1e5) / ATM_PA);
        constants.push(Constants::at(jar.t_c)?);
    }
    let h2s = gas.h2s_ppm * 1e-6;
    let inert = 1.0 - gas.co2_share - h2s;
    within(
        "gas that is neither CO2 nor H2S",
        "(share)",
        inert,
        0.01,
        0.99,
    )?;
    let line = Line {
        jars,
        constants,
        dry_atm,
        contact,
        inlet: (gas.co2_share / inert, h2s / inert),
        inert_per_l: inert / gas_value("vm_ideal_0c"),
    };
    Ok(line.run(gas, rule))
}

impl Line<'_> {
    fn run(&self, gas: RawGas, rule: SpentRule) -> Life {
        let n = self.jars.len();
        let litre_mol = gas_value("vm_ideal_0c");
        let water: f64 = self.jars.iter().map(|j| j.water_kg).sum();
        let room: f64 = self
            .jars
            .iter()
            .map(|j| j.water_kg * (j.liquor.alkalinity() - j.liquor.carbon).max(0.0))
            .sum();
        // Long enough for the slowest contact, and for plain water.
        let last =
            4.0 * (room * litre_mol / gas.co2_share + 4.0 * water) / self.contact.co2.min(1.0);
        let least = self
            .jars
            .iter()
            .map(|j| j.water_kg)
            .fold(f64::MAX, f64::min);
        let step = (0.25 * least).min((room * litre_mol / gas.co2_share + water) / 150.0);

        let mut y: Vec<f64> = self
            .jars
            .iter()
            .flat_map(|j| [j.liquor.carbon * j.water_kg, j.liquor.sulfide * j.water_kg])
            .chain([0.0, 0.0])
            .collect();
        let mut near: Vec<Option<Balance>> = vec![None; n];
        let mut moments = Vec::new();
        let mut l = 0.0;
        loop {
            let (k1, moment) = self.slopes(l, &y, &mut near);
            let idle = moment.co2_share >= 0.999 * gas.co2_share;
            moments.push(moment);
            if l >= last || (idle && l > 0.0) {
                break;
            }
            let ahead = |k: &[f64], share: f64| -> Vec<f64> {
                y.iter()
                    .zip(k)
                    .map(|(y, k)| (y + share * step * k).max(0.0))
                    .collect()
            };
            let k2 = self.slopes(l, &ahead(&k1, 0.5), &mut near).0;
            let k3 = self.slopes(l, &ahead(&k2, 0.5), &mut near).0;
            let k4 = self.slopes(l, &ahead(&k3, 1.0), &mut near).0;
            for (i, y) in y.iter_mut().enumerate() {
                *y += step / 6.0 * (k1[i] + 2.0 * k2[i] + 2.0 * k3[i] + k4[i]);
            }
            l += step;
        }
        let crossing = |value: &dyn Fn(&Moment) -> f64, limit: f64, rises: bool| {
            first_crossing(&moments, value, limit, rises)
        };
        let depth: f64 = self.jars.iter().map(|j| j.depth_m).sum();
        Life {
            until_h2s_l: crossing(&|m| m.h2s_ppm, rule.h2s_ppm, true),
            until_ph_l: crossing(&|m| m.ph[n - 1], rule.ph, false),
            until_idle_l: crossing(&|m| m.co2_share, 0.95 * gas.co2_share, true),
            back_pressure_pa: depth * pa_per_m(),
            moments,
        }
    }

    /// Change of the contents per litre of raw gas, and the moment they make.
    fn slopes(&self, gas_l: f64, y: &[f64], near: &mut [Option<Balance>]) -> (Vec<f64>, Moment) {
        let n = self.jars.len();
        let mut k = vec![0.0; y.len()];
        let (mut co2, mut h2s) = self.inlet;
        let mut ph = Vec::with_capacity(n);
        let mut held = (0.0, 0.0);
        for (i, jar) in self.jars.iter().enumerate() {
            let liquor = Liquor {
                carbon: y[2 * i] / jar.water_kg,
                sulfide: y[2 * i + 1] / jar.water_kg,
                ..jar.liquor
            };
            held.0 += y[2 * i];
            held.1 += y[2 * i + 1];
            let balance = closed_near(&self.constants[i], &liquor, near[i].as_ref());
            let rest = self.dry_atm[i] - balance.co2_atm - balance.h2s_atm;
            // A liquor that would fizz: its gas is limited to a hundredfold of the rest.
            let rest = rest.max(0.01 * self.dry_atm[i]);
            let out_co2 = co2 + self.contact.co2 * (balance.co2_atm / rest - co2);
            let out_h2s = h2s + self.contact.h2s * (balance.h2s_atm / rest - h2s);
            k[2 * i] = self.inert_per_l * (co2 - out_co2);
            k[2 * i + 1] = self.inert_per_l * (h2s - out_h2s);
            (co2, h2s) = (out_co2, out_h2s);
            ph.push(balance.ph);
            near[i] = Some(balance);
        }
        k[2 * n] = self.inert_per_l * co2;
        k[2 * n + 1] = self.inert_per_l * h2s;
        let all = 1.0 + co2 + h2s;
        let moment = Moment {
            gas_l,
            co2_share: co2 / all,
            h2s_ppm: h2s / all * 1e6,
            ph,
            carbon_mol: held.0,
            sulfide_mol: held.1,
            carbon_out_mol: y[2 * n],
            sulfide_out_mol: y[2 * n + 1],
        };
        (k, moment)
    }
}

/// Gas at which `value` first passes `limit`, by a straight line between moments.
fn first_crossing(
    moments: &[Moment],
    value: &dyn Fn(&Moment) -> f64,
    limit: f64,
    rises: bool,
) -> Option<f64> {
    let past = |m: &Moment| {
        let v = value(m);
        if rises { v > limit } else { v <= limit }
    };
    let i = moments.iter().position(past)?;
    let Some(before) = i.checked_sub(1).map(|j| &moments[j]) else {
        return Some(0.0);
    };
    let (a, b) = (value(before), value(&moments[i]));
    let share = (limit - a) / (b - a);
    Some(before.gas_l + share * (moments[i].gas_l - before.gas_l))
}
