//! Pressure lost in a gas line: Darcy-Weisbach, laminar or turbulent, with
//! fittings and the lift of the gas itself.

use std::f64::consts::PI;

use serde::Serialize;

use super::error::{GasError, gas_flow, gauge_pressure, within};
use super::properties::{State, air_density_kg_m3};
use crate::reference::gas_value;

/// How the gas flows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Regime {
    /// In layers; the loss follows the flow.
    Laminar,
    /// In between: the turbulent (higher) loss is taken; it may be 25 % off.
    Transition,
    /// Turbulent; the loss follows the square of the flow.
    Turbulent,
}

/// Something in the line besides straight tube.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Fitting {
    /// 90 degree elbow.
    Elbow,
    /// Tee, the flow turning into or out of its branch.
    TeeBranch,
    /// Tee, straight through.
    TeeRun,
    /// Open ball valve, full bore.
    BallValve,
    /// Open globe valve.
    GlobeValve,
    /// Hose tail (barb).
    HoseTail,
    /// From a wide space into the line.
    Entry,
    /// From the line into a wide space.
    Outlet,
}

impl Fitting {
    /// Loss in velocity heads (rows `k_*`, all from memory). They are turbulent
    /// figures; in laminar flow fittings cost more, but little beside the tube.
    pub fn loss_coefficient(self) -> f64 {
        gas_value(match self {
            Self::Elbow => "k_elbow",
            Self::TeeBranch => "k_tee_branch",
            Self::TeeRun => "k_tee_run",
            Self::BallValve => "k_ball_valve",
            Self::GlobeValve => "k_globe_valve",
            Self::HoseTail => "k_hose_tail",
            Self::Entry => "k_entry",
            Self::Outlet => "k_outlet",
        })
    }
}

/// A line and the gas in it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Line {
    /// Bore, mm.
    pub bore_mm: f64,
    /// Length, m.
    pub length_m: f64,
    /// Roughness of the wall, m (`rough_plastic`, `rough_galvanized`).
    pub roughness_m: f64,
    /// Sum of the fittings' loss coefficients.
    pub fittings: f64,
    /// Rise from the store to the burner, m; negative if the line falls.
    pub rise_m: f64,
    /// Density of the gas, kg/m3.
    pub density_kg_m3: f64,
    /// Viscosity of the gas, Pa s.
    pub viscosity_pa_s: f64,
    /// Temperature of the gas and the air beside it, degC.
    pub t_c: f64,
}

/// What a flow loses in a line.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Loss {
    /// Speed, m/s.
    pub speed_m_s: f64,
    /// Reynolds number.
    pub reynolds: f64,
    /// Darcy friction factor.
    pub friction: f64,
    /// How it flows.
    pub regime: Regime,
    /// Lost along the tube, Pa.
    pub tube_pa: f64,
    /// Lost in fittings, Pa.
    pub fittings_pa: f64,
    /// Gained by the lift of light gas in a rising line (lost if negative), Pa.
    pub lift_pa: f64,
    /// Lost altogether, Pa.
    pub total_pa: f64,
}

impl Line {
    /// Straight smooth plastic tube at 20 degC.
    pub fn plastic(bore_mm: f64, length_m: f64, density_kg_m3: f64, viscosity_pa_s: f64) -> Self {
        Self {
            bore_mm,
            length_m,
            roughness_m: gas_value("rough_plastic"),
            fittings: 0.0,
            rise_m: 0.0,
            density_kg_m3,
            viscosity_pa_s,
            t_c: 20.0,
        }
    }

    fn checked(&self) -> Result<(), GasError> {
        within("a bore", "mm", self.bore_mm, 0.5, 500.0)?;
        within("a line", "m", self.length_m, 0.0, 5_000.0)?;
        let bore_m = self.bore_mm / 1000.0;
        within("a roughness", "m", self.roughness_m, 0.0, 0.05 * bore_m)?;
        within("fittings", "velocity heads", self.fittings, 0.0, 1_000.0)?;
        within("a rise", "m", self.rise_m, -200.0, 200.0)?;
        within("a gas density", "kg/m3", self.density_kg_m3, 0.05, 5.0)?;
        within("a gas viscosity", "Pa s", self.viscosity_pa_s, 5e-6, 5e-5)?;
        within("a temperature", "degC", self.t_c, -40.0, 80.0)?;
        Ok(())
    }

    /// What a flow loses: friction `64/Re` below Re 2300 (Hagen-Poiseuille),
    /// from there Serghides' explicit form of Colebrook's equation
    /// (Chem. Eng. 91, 1984, from memory).
    ///
    /// # Errors
    /// [`GasError::OutOfRange`].
    pub fn loss(&self, flow_m3_h: f64) -> Result<Loss, GasError> {
        gas_flow(flow_m3_h)?;
        self.checked()?;
        let bore = self.bore_mm / 1000.0;
        let speed = flow_m3_h / 3600.0 / (PI / 4.0 * bore * bore);
        within("the speed in this line", "m/s", speed, 0.0, 60.0)?;
        let reynolds = self.density_kg_m3 * speed * bore / self.viscosity_pa_s;
        let (friction, regime) = friction(reynolds, self.roughness_m / bore);
        let head = self.density_kg_m3 * speed * speed / 2.0;
        let tube_pa = friction * self.length_m / bore * head;
        let fittings_pa = self.fittings * head;
        let state = State {
            t_c: self.t_c,
            ..State::NORMAL
        };
        let lighter = air_density_kg_m3(state)? - self.density_kg_m3;
        let lift_pa = lighter * gas_value("g_n") * self.rise_m;
        Ok(Loss {
            speed_m_s: speed,
            reynolds,
            friction,
            regime,
            tube_pa,
            fittings_pa,
            lift_pa,
            total_pa: tube_pa + fittings_pa - lift_pa,
        })
    }

    /// Most flow that loses no more than `allowed_pa`, m3/h.
    ///
    /// # Errors
    /// [`GasError::NoAnswer`] if the line's own lift eats all of it.
    pub fn most_flow_m3_h(&self, allowed_pa: f64) -> Result<f64, GasError> {
        gauge_pressure(allowed_pa)?;
        self.checked()?;
        let area = PI / 4.0 * (self.bore_mm / 1000.0).powi(2);
        // The speed that `loss` still takes is the widest bracket.
        let most = (59.0 * area * 3600.0).min(1000.0);
        let least = 1e-6;
        let fits = |q: f64| self.loss(q).map(|loss| loss.total_pa <= allowed_pa);
        if !fits(least)? {
            return Err(GasError::NoAnswer {
                what: "the most flow of this line",
                least,
                most,
                unit: "m3/h",
            });
        }
        if fits(most)? {
            return Ok(most);
        }
        let (mut low, mut high) = (least, most);
        for _ in 0..80 {
            let middle = f64::midpoint(low, high);
            if fits(middle)? {
                low = middle;
            } else {
                high = middle;
            }
        }
        Ok(low)
    }

    /// Least bore, mm, in which a flow loses no more than `allowed_pa`.
    ///
    /// # Errors
    /// [`GasError::NoAnswer`] if no bore up to 200 mm does.
    pub fn least_bore_mm(&self, flow_m3_h: f64, allowed_pa: f64) -> Result<f64, GasError> {
        gauge_pressure(allowed_pa)?;
        gas_flow(flow_m3_h)?;
        let with = |bore_mm: f64| Self { bore_mm, ..*self };
        let (least, most) = (1.0, 200.0);
        with(most).checked()?;
        // A bore too narrow for the speed to be taken loses too much.
        let fits = |bore: f64| {
            with(bore)
                .loss(flow_m3_h)
                .is_ok_and(|loss| loss.total_pa <= allowed_pa)
        };
        if !fits(most) {
            return Err(GasError::NoAnswer {
                what: "the bore of this line",
                least,
                most,
                unit: "mm",
            });
        }
        let (mut low, mut high) = (least, most);
        for _ in 0..60 {
            let middle = f64::midpoint(low, high);
            if fits(middle) {
                high = middle;
            } else {
                low = middle;
            }
        }
        Ok(high)
    }
}

/// Darcy friction factor.
fn friction(reynolds: f64, relative_roughness: f64) -> (f64, Regime) {
    if reynolds < gas_value("re_laminar") {
        return (gas_value("f_lam_k") / reynolds, Regime::Laminar);
    }
    let rough = relative_roughness / 3.7;
    let a = -2.0 * (rough + 12.0 / reynolds).log10();
    let b = -2.0 * (rough + 2.51 * a / reynolds).log10();
    let c = -2.0 * (rough + 2.51 * b / reynolds).log10();
    let root = a - (b - a) * (b - a) / (c - 2.0 * b + a);
    let regime = if reynolds < gas_value("re_turbulent") {
        Regime::Transition
    } else {
        Regime::Turbulent
    };
    (1.0 / (root * root), regime)
}
