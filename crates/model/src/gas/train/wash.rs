//! Washes as the loop sees them: what a filling has taken, and what it takes next.

use super::{CARBON_DIOXIDE, Gas, SULFIDE};
use crate::gas::wash::iron::SULFUR_G_MOL;
use crate::gas::wash::life::{Contact, Jar, Life, RawGas, SpentRule, life};
use crate::reference::gas_value;

/// A wash of one world.
#[derive(Debug, Clone, PartialEq)]
pub struct Stage {
    /// How it works.
    pub kind: Kind,
    /// Days between fillings.
    pub renewed_every: Option<usize>,
}

/// How a wash works.
#[derive(Debug, Clone, PartialEq)]
pub enum Kind {
    /// By the life of its lye.
    Jar(JarLife),
    /// By the CO2 it takes up.
    Ash {
        /// CO2 it takes up, dry normal litres.
        capacity_l: f64,
        /// Share of the CO2 it takes out until it is spent.
        removal: f64,
    },
    /// By the sulfur it holds.
    Iron {
        /// H2S it can hold, dry normal litres.
        capacity_l: f64,
        /// Share of the H2S it takes out while it holds more.
        removal: f64,
    },
}

/// The life of a jar told by the CO2 brought to it, which is what spends it:
/// worked out once at the plan's usual gas and used for each day's.
#[derive(Debug, Clone, PartialEq)]
pub struct JarLife {
    /// CO2 brought, taken up, and H2S held, dry normal litres; rising in the first.
    points: Vec<[f64; 3]>,
    /// H2S brought for each litre of CO2 in the gas it was worked out for.
    h2s_per_co2: f64,
    /// CO2 brought when it counts as spent, L.
    spent_l: f64,
}

impl JarLife {
    /// Of one jar at `outside_pa`.
    ///
    /// A jar that cannot be reckoned takes nothing and is spent from the start,
    /// which promises nothing; the plan's reader refuses such jars beforehand.
    pub fn new(jar: Jar, gas: RawGas, outside_pa: f64, contact: Contact) -> Self {
        let usual = RawGas {
            co2_share: gas.co2_share.clamp(0.05, 0.9),
            h2s_ppm: gas.h2s_ppm.clamp(0.0, 20_000.0),
        };
        let contact = Contact {
            co2: contact.co2.clamp(0.01, 1.0),
            h2s: contact.h2s.clamp(0.01, 1.0),
        };
        let jar = Jar {
            t_c: jar.t_c.clamp(5.0, 40.0),
            ..jar
        };
        let outside_pa = outside_pa.clamp(5e4, 1.2e5);
        match life(&[jar], usual, outside_pa, contact, SpentRule::default()) {
            Ok(found) => Self::of(&found, usual),
            Err(_) => JarLife {
                points: vec![[0.0; 3]],
                h2s_per_co2: 0.0,
                spent_l: 0.0,
            },
        }
    }

    fn of(found: &Life, gas: RawGas) -> Self {
        let litre = gas_value("vm_ideal_0c");
        let first = found.moments.first().map_or(0.0, |m| m.carbon_mol);
        let points = found
            .moments
            .iter()
            .map(|m| {
                [
                    m.gas_l * gas.co2_share,
                    (m.carbon_mol - first) * litre,
                    m.sulfide_mol * litre,
                ]
            })
            .collect();
        JarLife {
            points,
            h2s_per_co2: gas.h2s_ppm * 1e-6 / gas.co2_share,
            // By what the lye still takes, not by the H2S behind it: a shallow jar lets
            // sulfide by from its first bubble and is not spent for that.
            spent_l: found.until_ph_l.or(found.until_idle_l).unwrap_or(0.0) * gas.co2_share,
        }
    }

    /// CO2 taken up and H2S held when so much CO2 has been brought, L.
    fn at(&self, brought_l: f64) -> (f64, f64) {
        let i = self.points.partition_point(|p| p[0] <= brought_l);
        let Some(low) = i.checked_sub(1).map(|j| self.points[j]) else {
            return (0.0, 0.0);
        };
        let Some(high) = self.points.get(i) else {
            return (low[1], low[2]);
        };
        let part = (brought_l - low[0]) / (high[0] - low[0]);
        (
            low[1] + part * (high[1] - low[1]),
            low[2] + part * (high[2] - low[2]),
        )
    }
}

/// H2S that a packing of so many grams of sulfur holds, dry normal litres.
pub fn sulfide_l(sulfur_g: f64) -> f64 {
    sulfur_g / SULFUR_G_MOL * gas_value("vm_ideal_0c")
}

/// A filling in use.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Filling {
    /// CO2 brought, L.
    brought_l: f64,
    /// CO2 and H2S held, L.
    held: [f64; 2],
}

impl Stage {
    /// Whether the filling is spent.
    pub(super) fn is_spent(&self, f: &Filling) -> bool {
        match &self.kind {
            Kind::Jar(life) => f.brought_l >= life.spent_l,
            Kind::Ash { capacity_l, .. } => f.held[0] >= capacity_l * (1.0 - 1e-9),
            Kind::Iron { capacity_l, .. } => f.held[1] >= capacity_l * (1.0 - 1e-9),
        }
    }

    /// Share of a day's gas that passes before the filling is spent.
    pub(super) fn lasts(&self, f: &Filling, gas: &Gas) -> f64 {
        let (left, a_day) = match &self.kind {
            Kind::Jar(life) => (life.spent_l - f.brought_l, gas[CARBON_DIOXIDE]),
            Kind::Ash {
                capacity_l,
                removal,
            } => (capacity_l - f.held[0], removal * gas[CARBON_DIOXIDE]),
            Kind::Iron {
                capacity_l,
                removal,
            } => (capacity_l - f.held[1], removal * gas[SULFIDE]),
        };
        if a_day > left.max(0.0) {
            left.max(0.0) / a_day
        } else {
            1.0
        }
    }

    /// Passes a day's gas; returns what is taken out (less than nothing where a
    /// jar gives back sulfide that carbon dioxide drives out).
    pub(super) fn pass(&self, f: &mut Filling, gas: &mut Gas) -> Gas {
        let mut taken = Gas::default();
        match &self.kind {
            Kind::Jar(life) => {
                let before = life.at(f.brought_l);
                f.brought_l += gas[CARBON_DIOXIDE];
                let after = life.at(f.brought_l);
                taken[CARBON_DIOXIDE] = (after.0 - before.0).clamp(0.0, gas[CARBON_DIOXIDE]);
                // The sulfide follows the day's share of it in the gas.
                let as_worked_out = life.h2s_per_co2 * gas[CARBON_DIOXIDE];
                let richer = if as_worked_out > 0.0 {
                    gas[SULFIDE] / as_worked_out
                } else {
                    0.0
                };
                let change = after.1 - before.1;
                taken[SULFIDE] = if change > 0.0 {
                    (change * richer).min(gas[SULFIDE])
                } else if before.1 > 0.0 {
                    // The same share of what is held is driven out.
                    change / before.1 * f.held[1]
                } else {
                    0.0
                };
            }
            Kind::Ash {
                capacity_l,
                removal,
            } => {
                taken[CARBON_DIOXIDE] = (removal * gas[CARBON_DIOXIDE])
                    .min(capacity_l - f.held[0])
                    .max(0.0);
            }
            Kind::Iron {
                capacity_l,
                removal,
            } => {
                taken[SULFIDE] = (removal * gas[SULFIDE])
                    .min(capacity_l - f.held[1])
                    .max(0.0);
            }
        }
        f.held[0] += taken[CARBON_DIOXIDE];
        f.held[1] += taken[SULFIDE];
        for (gas, taken) in gas.iter_mut().zip(&taken) {
            *gas -= taken;
        }
        taken
    }
}
