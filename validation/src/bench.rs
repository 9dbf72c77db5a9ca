//! Invented digesters run as a forecast would run them.

use fenlamp_core::feed::Feedstock;
use fenlamp_core::forecast::ensemble::{self, Forecast, Quantiles};
use fenlamp_core::forecast::world::{DayRow, WorldRun};
use fenlamp_core::gas::volume::{DRY_LITRES_PER_KMOL, wet_litres_per_kmol};
use fenlamp_core::plan::{NoFiles, read};
use fenlamp_core::reference::feedstock;

/// Worlds of each run: enough for the ends of the band, few enough for a test.
const WORLDS: u32 = 24;

/// A plan's forecast with its worlds.
pub struct Ran {
    /// The forecast.
    pub forecast: Forecast,
    worlds: Vec<WorldRun>,
}

/// Runs a plan given as text.
///
/// # Panics
/// If the plan cannot be read or run: the texts are our own.
pub fn run(text: &str) -> Ran {
    let mut plan = read(text, "validation", &NoFiles).unwrap_or_else(|e| panic!("{e}\n{text}"));
    plan.worlds = WORLDS;
    let (forecast, worlds) = ensemble::run(&plan).unwrap_or_else(|e| panic!("{e}\n{text}"));
    Ran { forecast, worlds }
}

impl Ran {
    /// Band of a figure of each world.
    pub fn band(&self, figure: impl Fn(&WorldRun) -> f64) -> Quantiles {
        Quantiles::of(&mut self.worlds.iter().map(figure).collect::<Vec<_>>())
    }

    /// Mean of a figure over the worlds.
    pub fn band_mean(&self, figure: impl Fn(&WorldRun) -> f64) -> f64 {
        self.worlds.iter().map(figure).sum::<f64>() / self.worlds.len().max(1) as f64
    }

    /// Mean over the last [`MEASURED_D`] days, per `per`.
    pub fn measured(&self, per: f64, figure: impl Fn(&DayRow) -> f64) -> Quantiles {
        self.band(|world| {
            let days = &world.days[world.days.len().saturating_sub(MEASURED_D)..];
            days.iter().map(&figure).sum::<f64>() / days.len() as f64 / per
        })
    }

    /// Sum over the whole run, per `per`.
    pub fn total(&self, per: f64, figure: impl Fn(&DayRow) -> f64) -> Quantiles {
        self.band(|world| world.days.iter().map(&figure).sum::<f64>() / per)
    }

    /// Figures of the last day.
    pub fn last(&self, figure: impl Fn(&DayRow) -> f64) -> Quantiles {
        self.band(|world| world.days.last().map_or(f64::NAN, &figure))
    }
}

/// Litres of gas as a meter at `t_c` shows them, per dry normal litre.
pub fn as_metered(t_c: f64) -> f64 {
    wet_litres_per_kmol(t_c, 1.013_25) / DRY_LITRES_PER_KMOL
}

const HEAD: &str = r#"
[plan]
name = "Check"
about = "Invented, for a check against a published figure."
start = 2030-01-01
"#;

/// A fed digester of 1 m3 of slurry, fed for [`WARM_UP_D`] days before it is measured.
pub struct Fed {
    /// Feedstock of the tables.
    pub feedstock: &'static str,
    /// Slurry, degC.
    pub t_c: f64,
    /// Slurry over daily feed with water, d.
    pub retention_d: f64,
    /// Total solids of feed with water.
    pub solids: f64,
    /// Days between feeds.
    pub every_d: u32,
}

impl Fed {
    fn row(&self) -> &'static Feedstock {
        feedstock(self.feedstock).expect("a row of feedstocks.csv")
    }

    /// Fresh feed, kg/d; a feed thinner than wanted goes in as it is.
    pub fn fresh_kg_d(&self) -> f64 {
        let slurry = 1000.0 / self.retention_d;
        (slurry * self.solids / self.row().total_solids.mid).min(slurry)
    }

    /// Total solids fed, kg/d.
    pub fn solids_kg_d(&self) -> f64 {
        self.fresh_kg_d() * self.row().total_solids.mid
    }

    /// Volatile solids fed, kg/d.
    pub fn volatile_kg_d(&self) -> f64 {
        self.solids_kg_d() * self.row().volatile_of_ts
    }

    /// Runs it.
    ///
    /// # Panics
    /// As [`run`].
    pub fn run(&self) -> Ran {
        run(&self.text())
    }

    /// The plan that [`Fed::run`] runs.
    pub fn text(&self) -> String {
        let fresh = self.fresh_kg_d();
        let water = (1000.0 / self.retention_d / fresh - 1.0).max(0.0);
        let Fed {
            feedstock,
            t_c,
            every_d,
            ..
        } = self;
        format!(
            r#"{HEAD}length = "{} days"
[place]
name = "an invented bench"
latitude = "50 °N"
[slurry]
temperature = "{t_c} °C"
[vessel]
kind = "tank"
volume = "1150 L"
slurry = "1000 L"
stands = "shed"
run = "overflow"
[[waste]]
feedstock = "{feedstock}"
amount = "{fresh:.4} kg/day"
[feeding]
every = "{every_d} days"
from = "0 days"
ramp = "0 days"
water = "{water:.4} kg/kg"
[seed]
kind = "digestate"
volume = "900 L"
grown_at = "{t_c} °C"
age = "0 days"
"#,
            WARM_UP_D + MEASURED_D
        )
    }
}

/// Days a fed digester works before it is measured.
pub const WARM_UP_D: usize = 168;
/// Days measured: two cycles of three weeks.
pub const MEASURED_D: usize = 42;

/// A batch of `fill` (feedstock, kg) with water and seed, at `t_c` for `days`.
pub fn batch(
    fill: &[(&str, f64)],
    water_kg: f64,
    seed: Option<(&str, f64, f64)>,
    t_c: f64,
    days: u32,
    vessel_l: f64,
) -> String {
    let slurry = vessel_l * 0.9;
    let mut text = format!(
        r#"{HEAD}length = "{days} days"
[place]
name = "an invented bench"
latitude = "50 °N"
[slurry]
temperature = "{t_c} °C"
[vessel]
kind = "drum"
volume = "{vessel_l} L"
slurry = "{slurry} L"
stands = "shed"
run = "batch"
[first_fill]
water = "{water_kg} kg"
"#
    );
    for (feedstock, kg) in fill {
        text.push_str(&format!(
            "[[first_fill.feed]]\nfeedstock = \"{feedstock}\"\namount = \"{kg} kg\"\n"
        ));
    }
    if let Some((kind, litres, grown_c)) = seed {
        text.push_str(&format!("[seed]\nkind = \"{kind}\"\nvolume = \"{litres} L\"\ngrown_at = \"{grown_c} °C\"\nage = \"0 days\"\n"));
    }
    text
}
