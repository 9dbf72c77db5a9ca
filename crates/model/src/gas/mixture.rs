//! A gas by its shares: what is in it, wet or dry, mixed with air or not.

use serde::Serialize;

use super::error::{GasError, gas_temperature, within};
use super::volume::saturation_bar;
use crate::reference::gas_value;

/// Shares of a gas by volume (equal to mole shares of an ideal gas); they make 1.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize)]
pub struct Shares {
    /// Methane.
    pub ch4: f64,
    /// Carbon dioxide.
    pub co2: f64,
    /// Hydrogen sulfide.
    pub h2s: f64,
    /// Nitrogen (with the argon of air).
    pub n2: f64,
    /// Oxygen.
    pub o2: f64,
    /// Hydrogen.
    pub h2: f64,
    /// Water vapour.
    pub h2o: f64,
}

impl Shares {
    pub(crate) fn array(self) -> [f64; 7] {
        [
            self.ch4, self.co2, self.h2s, self.n2, self.o2, self.h2, self.h2o,
        ]
    }

    fn of(a: [f64; 7]) -> Self {
        let [ch4, co2, h2s, n2, o2, h2, h2o] = a;
        Self {
            ch4,
            co2,
            h2s,
            n2,
            o2,
            h2,
            h2o,
        }
    }
}

/// A gas whose shares are known to make a whole.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(transparent)]
pub struct Mixture(Shares);

/// How far shares may miss 1 before they are refused; within it they are scaled.
const SUM_SLACK: f64 = 0.005;

impl Mixture {
    /// A gas of these shares.
    ///
    /// # Errors
    /// [`GasError::OutOfRange`] for a share below 0 or above 1,
    /// [`GasError::SharesDoNotSum`] if they miss 1 by more than 0.5 %.
    pub fn new(shares: Shares) -> Result<Self, GasError> {
        let names = [
            "a methane share",
            "a carbon dioxide share",
            "a hydrogen sulfide share",
            "a nitrogen share",
            "an oxygen share",
            "a hydrogen share",
            "a water share",
        ];
        let a = shares.array();
        for (name, x) in names.into_iter().zip(a) {
            within(name, "%", 100.0 * x, 0.0, 100.0)?;
        }
        let sum: f64 = a.iter().sum();
        if (sum - 1.0).abs() > SUM_SLACK {
            return Err(GasError::SharesDoNotSum {
                percent: 100.0 * sum,
            });
        }
        Ok(Self(Shares::of(a.map(|x| x / sum))))
    }

    /// Dry biogas: `methane` and the rest carbon dioxide.
    ///
    /// # Errors
    /// As [`Mixture::new`].
    pub fn biogas(methane: f64) -> Result<Self, GasError> {
        Self::biogas_with_h2s(methane, 0.0)
    }

    /// Dry biogas with `h2s_ppm` of hydrogen sulfide and the rest carbon dioxide.
    ///
    /// # Errors
    /// As [`Mixture::new`]; H2S up to 50 000 ppm.
    pub fn biogas_with_h2s(methane: f64, h2s_ppm: f64) -> Result<Self, GasError> {
        within("a methane share", "%", 100.0 * methane, 0.0, 100.0)?;
        within("hydrogen sulfide", "ppm", h2s_ppm, 0.0, 50_000.0)?;
        let h2s = h2s_ppm * 1e-6;
        Self::new(Shares {
            ch4: methane,
            h2s,
            co2: (1.0 - methane - h2s).max(0.0),
            ..Shares::default()
        })
    }

    /// Dry air: oxygen of `x_o2_air`, the rest counted as nitrogen.
    pub fn air() -> Self {
        let o2 = gas_value("x_o2_air");
        Self(Shares {
            o2,
            n2: 1.0 - o2,
            ..Shares::default()
        })
    }

    /// The shares.
    pub fn shares(&self) -> Shares {
        self.0
    }

    /// The same gas saturated with water at `t_c` and `p_pa` absolute.
    ///
    /// # Errors
    /// [`GasError::OutOfRange`] for a temperature or pressure at which it cannot be.
    pub fn saturated(&self, t_c: f64, p_pa: f64) -> Result<Self, GasError> {
        gas_temperature(t_c)?;
        let water = saturation_bar(t_c) * 1e5;
        within("a pressure", "Pa", p_pa, 2.0 * water, 1e6)?;
        let wet = water / p_pa;
        let mut a = self.dry().0.array().map(|x| x * (1.0 - wet));
        a[6] = wet;
        Ok(Self(Shares::of(a)))
    }

    /// The same gas without its water; pure water stays as it is.
    pub fn dry(&self) -> Self {
        let dry = 1.0 - self.0.h2o;
        if dry <= 0.0 {
            return *self;
        }
        let mut a = self.0.array().map(|x| x / dry);
        a[6] = 0.0;
        Self(Shares::of(a))
    }

    /// `share` of `other` (0 to 1) and the rest of this gas.
    ///
    /// # Errors
    /// [`GasError::OutOfRange`] for a share outside 0 to 1.
    pub fn mixed_with(&self, other: &Self, share: f64) -> Result<Self, GasError> {
        within("a share", "%", 100.0 * share, 0.0, 100.0)?;
        let (a, b) = (self.0.array(), other.0.array());
        let mut out = [0.0; 7];
        for (out, (a, b)) in out.iter_mut().zip(a.into_iter().zip(b)) {
            *out = a * (1.0 - share) + b * share;
        }
        Ok(Self(Shares::of(out)))
    }

    /// Share of methane, hydrogen and hydrogen sulfide together.
    pub fn combustible(&self) -> f64 {
        self.0.ch4 + self.0.h2 + self.0.h2s
    }

    /// Molar mass, g/mol.
    pub fn molar_mass_g_mol(&self) -> f64 {
        let ids = [
            "mm_ch4", "mm_co2", "mm_h2s", "mm_n2", "mm_o2", "mm_h2", "mm_h2o",
        ];
        self.0
            .array()
            .into_iter()
            .zip(ids)
            .map(|(x, id)| x * gas_value(id))
            .sum()
    }
}
