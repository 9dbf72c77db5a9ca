//! Carbonate, sulfide and hydroxide in balance: pH from the charge balance.
//!
//! For a given H the carbonate activity `c` settles everything else: with the
//! gas given it follows from the pressure of CO2, with the totals given from
//! the carbon balance, which rises with `c`. The charge balance falls with pH.
//! Sulfide S-- is left out (its pK is 12.9 in the database, 17 and more in
//! newer work). Solids (calcite, slaked lime) are taken as in balance at once.

use super::activity::Activity;
use super::constants::Constants;

/// What a kilogram of water holds, mol/kg (solids included).
#[derive(Debug, Clone, Copy, Default, PartialEq, serde::Serialize)]
pub struct Liquor {
    /// Potassium.
    pub potassium: f64,
    /// Sodium.
    pub sodium: f64,
    /// Calcium, dissolved and solid.
    pub calcium: f64,
    /// Inorganic carbon, dissolved and solid.
    pub carbon: f64,
    /// Sulfide (H2S and HS-).
    pub sulfide: f64,
}

impl Liquor {
    /// Alkalinity that the cations stand for, eq/kg.
    pub fn alkalinity(&self) -> f64 {
        self.potassium + self.sodium + 2.0 * self.calcium
    }
}

/// A liquor in balance; molalities in mol/kg water.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct Balance {
    /// pH (activity of H+).
    pub ph: f64,
    /// Ionic strength.
    pub ionic_strength: f64,
    /// Totals; in balance with a given gas, carbon and sulfide follow from it.
    pub liquor: Liquor,
    /// Dissolved CO2.
    pub co2: f64,
    /// HCO3-.
    pub hco3: f64,
    /// CO3--.
    pub co3: f64,
    /// Dissolved H2S.
    pub h2s: f64,
    /// HS-.
    pub hs: f64,
    /// OH-.
    pub oh: f64,
    /// Solid CaCO3, mol per kg water.
    pub calcite: f64,
    /// Solid Ca(OH)2, mol per kg water.
    pub lime: f64,
    /// Pressure of CO2 over the liquor, atm.
    pub co2_atm: f64,
    /// Pressure of H2S over the liquor, atm.
    pub h2s_atm: f64,
}

/// What fixes carbon and sulfide.
#[derive(Debug, Clone, Copy)]
enum Given {
    /// The totals in the liquor.
    Totals,
    /// The gas over it: pressures of CO2 and H2S, atm.
    Gas(f64, f64),
}

/// The balance of a closed liquor, whose totals stay.
pub fn closed(k: &Constants, liquor: &Liquor) -> Balance {
    closed_near(k, liquor, None)
}

/// As [`closed`], starting from an earlier balance.
pub fn closed_near(k: &Constants, liquor: &Liquor, near: Option<&Balance>) -> Balance {
    settle(k, liquor, Given::Totals, near)
}

/// The balance of a liquor under endless gas with these pressures, atm.
pub fn under_gas(k: &Constants, liquor: &Liquor, co2_atm: f64, h2s_atm: f64) -> Balance {
    settle(k, liquor, Given::Gas(co2_atm, h2s_atm), None)
}

/// Alternates the charge balance with the activity coefficients it moves.
fn settle(k: &Constants, liquor: &Liquor, given: Given, near: Option<&Balance>) -> Balance {
    let start = liquor.alkalinity();
    let (mut mu, mut solutes, mut ph) = match near {
        Some(b) => (b.ionic_strength, 1.5 * b.ionic_strength, b.ph),
        None => (start, 1.5 * start, 9.0),
    };
    let mut point = solve_ph(k, &Activity::at(k.t_c, mu, solutes), liquor, given, &mut ph);
    for round in 0..200 {
        let change = (point.mu - mu).abs() + (point.solutes - solutes).abs();
        if change < 1e-11 * (1.0 + mu) {
            break;
        }
        // Plain substitution contracts in dilute liquors; half steps make it
        // do so in strong ones too.
        let share = if round < 8 { 1.0 } else { 0.5 };
        mu += share * (point.mu - mu);
        solutes += share * (point.solutes - solutes);
        point = solve_ph(k, &Activity::at(k.t_c, mu, solutes), liquor, given, &mut ph);
    }
    Balance {
        ionic_strength: mu,
        ..point.balance
    }
}

struct Point {
    charge: f64,
    mu: f64,
    solutes: f64,
    balance: Balance,
}

/// Newton on pH between walls that close in, so that it cannot leave them.
fn solve_ph(k: &Constants, a: &Activity, liquor: &Liquor, given: Given, ph: &mut f64) -> Point {
    let (mut low, mut high) = (0.0, 16.0);
    let mut x = ph.clamp(low, high);
    let mut point = at_ph(k, a, liquor, given, x);
    for _ in 0..100 {
        if point.charge > 0.0 {
            low = x;
        } else {
            high = x;
        }
        const D: f64 = 1e-6;
        let slope = (at_ph(k, a, liquor, given, x + D).charge - point.charge) / D;
        let newton = x - point.charge / slope;
        // Asked before the walls are: rounding may put the last step on one.
        let done = (newton - x).abs() < 1e-12 * x;
        let next = if done || (newton > low && newton < high) {
            newton
        } else {
            0.5 * (low + high)
        };
        x = next;
        point = at_ph(k, a, liquor, given, x);
        if done {
            break;
        }
    }
    *ph = x;
    point
}

/// Everything at one pH, the charge balance not yet met.
fn at_ph(k: &Constants, a: &Activity, liquor: &Liquor, given: Given, ph: f64) -> Point {
    let h = 10f64.powf(-ph);
    let per_c = PerCarbonate::new(k, a, liquor, h);
    let (c, calcite, h2s_activity) = match given {
        Given::Totals => {
            let (c, calcite) = per_c.at_carbon(liquor.carbon);
            let s = 1.0 / a.neutral + k.h2s / (h * a.one);
            (c, calcite, liquor.sulfide / s)
        }
        Given::Gas(co2_atm, h2s_atm) => {
            let c = k.henry_co2 * co2_atm * k.co2 * k.hco3 * a.water / (h * h);
            (c, per_c.calcite(c), k.henry_h2s * h2s_atm)
        }
    };
    let co2_activity = c * h * h / (k.co2 * k.hco3 * a.water);
    let co2 = co2_activity / a.neutral;
    let hco3 = c * h / (k.hco3 * a.hco3);
    let co3 = c / a.co3;
    let h2s = h2s_activity / a.neutral;
    let hs = k.h2s * h2s_activity / (h * a.one);
    let oh = k.water * a.water / (h * a.oh);
    let proton = h / a.h;
    let na = liquor.sodium / (1.0 + per_c.na * c);
    let (naco3, nahco3) = (per_c.naco3 * c * na, per_c.nahco3 * c * na);
    let ca = per_c.calcium(c);
    let (capair, cahco3) = (per_c.caco3 * c * ca, per_c.cahco3 * c * ca);
    let caoh = (per_c.bound - 1.0) * ca;

    let charge = liquor.potassium + na + proton + 2.0 * ca + cahco3 + caoh
        - oh
        - hco3
        - 2.0 * co3
        - hs
        - naco3;
    let ones = liquor.potassium + na + proton + cahco3 + caoh + oh + hco3 + hs + naco3;
    let balance = Balance {
        ph,
        ionic_strength: 0.0,
        liquor: Liquor {
            carbon: co2 + hco3 + co3 + naco3 + nahco3 + capair + cahco3 + calcite,
            sulfide: h2s + hs,
            ..*liquor
        },
        co2,
        hco3,
        co3,
        h2s,
        hs,
        oh,
        calcite,
        lime: (liquor.calcium - calcite - ca * (per_c.bound + per_c.ca * c)).max(0.0),
        co2_atm: co2_activity / k.henry_co2,
        h2s_atm: h2s_activity / k.henry_h2s,
    };
    Point {
        charge,
        mu: 0.5 * (ones + 4.0 * (ca + co3)),
        solutes: ones + ca + co3 + co2 + h2s + nahco3 + capair,
        balance,
    }
}

/// What hangs on the carbonate activity at one H.
struct PerCarbonate {
    /// Free carbonate species per activity of CO3--.
    alpha: f64,
    /// Sodium pairs per free sodium and carbonate: both, and each.
    na: f64,
    naco3: f64,
    nahco3: f64,
    /// Calcium pairs likewise.
    ca: f64,
    caco3: f64,
    cahco3: f64,
    /// Free calcium with its hydroxide pair, per free calcium.
    bound: f64,
    /// Most free calcium beside solid slaked lime.
    ca_lime: f64,
    /// Free calcium times carbonate activity beside calcite.
    ksp: f64,
    sodium: f64,
    calcium_total: f64,
}

impl PerCarbonate {
    fn new(k: &Constants, a: &Activity, liquor: &Liquor, h: f64) -> Self {
        let naco3 = a.na * k.naco3 / a.one;
        let nahco3 = a.na * k.nahco3 * h / (k.hco3 * a.neutral);
        let caco3 = a.ca * k.caco3 / a.neutral;
        let cahco3 = a.ca * k.cahco3 * h / a.cahco3;
        PerCarbonate {
            alpha: 1.0 / a.co3
                + h / (k.hco3 * a.hco3)
                + h * h / (k.co2 * k.hco3 * a.water * a.neutral),
            na: naco3 + nahco3,
            naco3,
            nahco3,
            ca: caco3 + cahco3,
            caco3,
            cahco3,
            bound: 1.0 + a.ca * k.caoh * a.water / (h * a.one),
            ca_lime: k.lime * h * h / (a.water * a.water * a.ca),
            ksp: k.calcite / a.ca,
            sodium: liquor.sodium,
            calcium_total: liquor.calcium,
        }
    }

    /// Free calcium were there no calcite.
    fn calcium_unsaturated(&self, c: f64) -> f64 {
        (self.calcium_total / (self.bound + self.ca * c)).min(self.ca_lime)
    }

    fn calcium(&self, c: f64) -> f64 {
        self.calcium_unsaturated(c).min(self.ksp / c)
    }

    /// Carbonate activity at which calcite begins to fall; infinite if it never does.
    fn saturation(&self) -> f64 {
        let spare = self.calcium_total - self.ca * self.ksp;
        let from_all = if spare > 0.0 {
            self.bound * self.ksp / spare
        } else {
            f64::INFINITY
        };
        from_all.max(self.ksp / self.ca_lime)
    }

    /// Solid calcite when the gas holds `c`.
    fn calcite(&self, c: f64) -> f64 {
        if c <= self.saturation() {
            return 0.0;
        }
        let ca = self.ksp / c;
        (self.calcium_total - ca * (self.bound + self.ca * c)).max(0.0)
    }

    /// Dissolved carbon at `c`.
    fn dissolved(&self, c: f64) -> f64 {
        let na = self.sodium / (1.0 + self.na * c);
        self.alpha * c + self.na * c * na + self.ca * c * self.calcium(c)
    }

    /// Carbonate activity and calcite of a total of carbon.
    fn at_carbon(&self, total: f64) -> (f64, f64) {
        if total <= 0.0 {
            return (0.0, 0.0);
        }
        let begins = self.saturation();
        let below = |c: f64| self.dissolved(c);
        let above = |c: f64| self.dissolved(c) + self.calcite(c);
        if !begins.is_finite() || total <= below(begins) {
            return (root(&below, total, self.alpha), 0.0);
        }
        // Beside solid lime the carbonate stays put until the lime is used up.
        let just_above = begins * (1.0 + 1e-12);
        if total <= above(just_above) {
            return (begins, total - below(begins));
        }
        let c = root(&above, total, self.alpha);
        (c, total - below(c))
    }
}

/// Where the rising `f` reaches `total`; `f(c) >= alpha c`.
fn root(f: &impl Fn(f64) -> f64, total: f64, alpha: f64) -> f64 {
    let (mut low, mut high) = (0.0, total / alpha);
    let mut c = high;
    for _ in 0..100 {
        let off = f(c) - total;
        if off > 0.0 {
            high = c;
        } else {
            low = c;
        }
        let step = 1e-7 * c;
        let slope = (f(c + step) - f(c)) / step;
        let newton = c - off / slope;
        if (newton - c).abs() <= 1e-14 * c {
            return newton;
        }
        c = if newton > low && newton < high {
            newton
        } else {
            0.5 * (low + high)
        };
    }
    c
}
