//! Invented digesters run as a forecast would run them.

use fenlamp_model::band::Quantiles;
use fenlamp_model::feed::Feedstock;
use fenlamp_model::forecast::bands::Forecast;
use fenlamp_model::forecast::ensemble;
use fenlamp_model::gas::volume::{DRY_LITRES_PER_KMOL, wet_litres_per_kmol};
use fenlamp_model::plan::{NoFiles, read};
use fenlamp_model::reference::feedstock;
use fenlamp_model::world::draw::{WorldDraw, latin_hypercube};
use fenlamp_model::world::{DayRow, WorldRun};

/// Worlds of each run: enough for the ends of the band, few enough for a test.
const WORLDS: u32 = 24;

/// A plan's forecast with its worlds.
pub struct Ran {
    /// The forecast.
    pub forecast: Forecast,
    worlds: Vec<WorldRun>,
}

/// Draws where warmth or temperature alone is asked, which is quick: enough that the ends
/// of the band stand still.
pub const MANY_DRAWS: usize = 288;

/// Runs a plan given as text.
///
/// # Panics
/// If the plan cannot be read or run: the texts are our own.
pub fn run(text: &str) -> Ran {
    run_worlds(text, WORLDS)
}

/// As [`run`], in so many worlds.
///
/// # Panics
/// As [`run`].
pub fn run_worlds(text: &str, worlds: u32) -> Ran {
    let mut plan = read(text, "validation", &NoFiles).unwrap_or_else(|e| panic!("{e}\n{text}"));
    plan.worlds = worlds;
    let (forecast, worlds) = ensemble::run(&plan).unwrap_or_else(|e| panic!("{e}\n{text}"));
    Ran { forecast, worlds }
}

/// Draws of `worlds` worlds of a plan, as a forecast would make them.
///
/// # Panics
/// If the plan cannot be read: the texts are our own.
pub fn draws(text: &str, worlds: usize) -> Vec<WorldDraw> {
    let plan = read(text, "validation", &NoFiles).unwrap_or_else(|e| panic!("{e}\n{text}"));
    latin_hypercube(&plan, worlds, plan.seed)
}

impl Ran {
    /// Band of a figure over that of the same world in another run. The plans must
    /// draw the same inputs.
    pub fn ratio(&self, other: &Ran, figure: impl Fn(&WorldRun) -> f64) -> Quantiles {
        let pairs = self.worlds.iter().zip(&other.worlds);
        Quantiles::of(
            &mut pairs
                .map(|(a, b)| figure(a) / figure(b))
                .collect::<Vec<_>>(),
        )
    }

    /// Band of a figure of each world.
    pub fn band(&self, figure: impl Fn(&WorldRun) -> f64) -> Quantiles {
        Quantiles::of(&mut self.worlds.iter().map(figure).collect::<Vec<_>>())
    }

    /// Band of a figure over the worlds that have it.
    pub fn band_where(&self, figure: impl Fn(&WorldRun) -> Option<f64>) -> Quantiles {
        Quantiles::of(&mut self.worlds.iter().filter_map(figure).collect::<Vec<_>>())
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

/// Slurry in the plan of [`measured_slurry`], kg.
const SLURRY_KG: f64 = 100.0;
/// Volatile solids in it, kg (DALBY23's first days: 59.5 g/kg).
pub const SLURRY_VS_KG: f64 = 0.0595 * SLURRY_KG;

/// Fresh pig slurry without seed as DALBY23 measured it, at `t_c` for `days`.
pub fn measured_slurry(t_c: f64, days: u32) -> String {
    let fill = [("measured_slurry", SLURRY_KG)];
    batch(&fill, 0.0, None, t_c, days, SLURRY_KG / 0.9) + SLURRY
}

/// The slurry as measured: parts per total solids of 7.6 %, urea's nitrogen as
/// ammonium; potential between those of sows and piglets (CU15).
const SLURRY: &str = r#"
[[feedstock]]
id = "measured_slurry"
like = "pig_slurry"
total_solids = "7.6 %"
total_solids_low = "7.4 %"
total_solids_high = "7.8 %"
volatile_solids = "78.3 %"
nitrogen = "4.7 %"
ammonium_share = "50 %"
sulfur = "0.45 %"
carbohydrate = "46 %"
protein = "17.6 %"
fat = "9.0 %"
lignin = "5.4 %"
acids = "5.0 %"
soluble_share = "15 %"
ph = 6.55
methane = "300 L/kg"
methane_low = "230 L/kg"
methane_high = "370 L/kg"
"#;

/// Pig slurry of 6 g N/L of ammonium and a potential of 300 L/kg (HANSEN98) in a fed
/// vessel, and the volatile solids fed, kg/d; 6 % of solids is ours.
pub fn strong_slurry(t_c: f64, retention_d: f64) -> (String, f64) {
    let vessel = Fed {
        feedstock: "pig_slurry",
        t_c,
        retention_d,
        solids: 0.06,
        every_d: 1,
    };
    let text = vessel.text().replace(
        "feedstock = \"pig_slurry\"",
        "feedstock = \"strong_slurry\"",
    ) + STRONG;
    (text, vessel.volatile_kg_d())
}

const STRONG: &str = r#"
[[feedstock]]
id = "strong_slurry"
like = "pig_slurry"
nitrogen = "11.3 %"
ammonium_share = "88 %"
methane = "300 L/kg"
methane_low = "285 L/kg"
methane_high = "315 L/kg"
"#;

/// A drum of 25 kg of dung with elephant grass (chopped) and water for 70 days (HARY18).
pub fn drum_of_dung(grass_kg: f64, water_kg: f64) -> String {
    let fill = [("cow_dung", 25.0), ("elephant_grass", grass_kg)];
    let fill = if grass_kg > 0.0 {
        &fill[..]
    } else {
        &fill[..1]
    };
    let text = batch(fill, water_kg, None, DRUM_C, 70, 220.0);
    if grass_kg > 0.0 {
        text + ELEPHANT_GRASS
    } else {
        text
    }
}

/// Temperature of the published drums, degC: not stated; Sumatra, in the shade (memory).
pub const DRUM_C: f64 = 28.0;

/// A tall tropical grass, stemmy and poor in protein (memory).
const ELEPHANT_GRASS: &str = r#"
[[feedstock]]
id = "elephant_grass"
like = "grass_clippings"
total_solids = "20 %"
total_solids_low = "15 %"
total_solids_high = "26 %"
carbohydrate = "68 %"
protein = "9 %"
fat = "2 %"
lignin = "8 %"
nitrogen = "1.5 %"
soluble_share = "18 %"
hydrolysis = "0.1 per day"
hydrolysis_low = "0.05 per day"
hydrolysis_high = "0.18 per day"
methane = "230 L/kg"
methane_low = "180 L/kg"
methane_high = "290 L/kg"
"#;

/// A plan whose worlds draw heat and weather with a heap.
pub(crate) const HEATED: &str = r#"
[plan]
name = "Check"
about = "Invented: only its draws are used."
start = 2030-01-01
length = "30 days"
[place]
name = "an invented bench"
latitude = "50 °N"
[weather]
high = "5 6 8 11 14 17 18 18 15 12 8 6 °C"
low = "0 0 1 3 5 8 10 10 8 5 2 0 °C"
sun = "0.4 1.0 2.1 3.6 4.7 4.9 4.6 3.7 2.5 1.3 0.6 0.3 kWh/m2/day"
wind = "3 3 3 3 3 3 3 3 3 3 3 3 m/s"
[vessel]
kind = "drum"
volume = "200 L"
slurry = "180 L"
stands = "outdoors"
run = "batch"
[heap]
volume = "10 m3"
built = 2030-01-01
[[heap.part]]
feedstock = "wood_chips_hardwood"
share = "100 %"
[first_fill]
[[first_fill.feed]]
feedstock = "cow_dung"
amount = "90 kg"
"#;
