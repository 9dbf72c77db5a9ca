//! Heaps, buried domes and open stores by forecasts' draws.

use fenlamp_model::band::Quantiles;
use fenlamp_model::plan::{Shape, Siting, Top, Vessel};
use fenlamp_model::warmth::WarmthResult;
use fenlamp_model::warmth::coefficients::HEAT_OF_OXIDATION_J_KG;
use uom::si::f64::{Length, Volume};
use uom::si::length::meter;
use uom::si::volume::cubic_meter;

use super::gathered;
use crate::Check;
use crate::groups::plants::{Climate, LoneHeap, drawn, stands};

pub(super) fn checks() -> Vec<Check> {
    let mut out = willow();
    out.extend(spruce());
    out.extend(losses());
    out.extend(domes());
    out.extend(stores());
    out.extend(farm_stores());
    out
}

fn band(mut each: Vec<f64>) -> Quantiles {
    Quantiles::of(&mut each)
}

fn hottest(run: &WarmthResult) -> &[f64] {
    run.heap_hottest_c.as_deref().unwrap_or_default()
}

/// Day of the highest, counted from one.
fn day_of_highest(days: &[f64]) -> f64 {
    let at = (0..days.len()).max_by(|&a, &b| days[a].total_cmp(&days[b]));
    at.map_or(f64::NAN, |k| k as f64 + 1.0)
}

fn highest(days: &[f64]) -> f64 {
    days.iter().copied().fold(f64::NAN, f64::max)
}

const WILLOW: &[(&str, f64)] = &[("wood_chips_hardwood", 1.0)];

fn chips(volume_m3: f64, density_kg_m3: f64, moisture: f64, built_c: f64) -> LoneHeap<'static> {
    LoneHeap {
        volume_m3,
        density_kg_m3,
        moisture,
        parts: WILLOW,
        built_c: Some(built_c),
        wall_m2k_w: 0.0,
    }
}

/// Willow chips harvested in spring.
fn willow() -> Vec<Check> {
    let inputs = "100 m3 of 300 kg/m3 and 50 % water are ours; air steady at its mean";
    let midlands = chips(100.0, 300.0, 0.5, 13.0).drawn(&Climate::still(18.0), 120);
    let farm = chips(100.0, 300.0, 0.5, 24.0).drawn(&Climate::still(16.0), 120);
    let stack = chips(150.0, 385.0, 0.55, 15.0).drawn(&Climate::still(16.0), 120);
    let of = |runs: &[WarmthResult], f: &dyn Fn(&WarmthResult) -> f64| {
        band(runs.iter().map(f).collect())
    };
    let mean_over_40 = |run: &WarmthResult| {
        let mean = run.heap_daily_c.as_deref().unwrap_or_default();
        mean.iter().filter(|t| **t > 40.0).count() as f64
    };
    let mean_highest =
        |run: &WarmthResult| highest(run.heap_daily_c.as_deref().unwrap_or_default());
    vec![
        gathered(
            "heap-whit-em-max",
            of(&midlands, &|r| day_of_highest(hottest(r))),
            inputs,
        ),
        gathered("heap-whit-em-40", of(&midlands, &mean_over_40), inputs),
        gathered("heap-whit-em-avg", of(&midlands, &mean_highest), inputs),
        gathered(
            "heap-whit-ro-max",
            of(&farm, &|r| day_of_highest(hottest(r))),
            inputs,
        ),
        gathered("heap-whit-ro-40", of(&farm, &mean_over_40), inputs),
        gathered(
            "heap-whit-late",
            of(&midlands, &|r| hottest(r)[80]),
            "day 80; as before",
        ),
        gathered(
            "heap-whitl-core",
            of(&stack, &|r| highest(hottest(r))),
            "26 t of dry matter; 150 m3 are ours",
        ),
    ]
}

/// Spruce chips piled frozen near Fairbanks, from mid February.
fn spruce() -> Vec<Check> {
    let fairbanks = Climate::of("fairbanks");
    let heap = LoneHeap {
        parts: &[("wood_chips_softwood", 1.0)],
        ..chips(170.0, 300.0, 0.5, -15.0)
    };
    let runs = heap.drawn(&fairbanks, 600);
    let own = |run: &WarmthResult| {
        let at = hottest(run).iter().position(|t| *t > 20.0);
        at.map_or(600.0, |k| k as f64 + 1.0)
    };
    let inputs = "170 m3 of 300 kg/m3 and 50 % water; monthly normals from memory";
    vec![
        gathered(
            "heap-sampson-first",
            band(runs.iter().map(own).collect()),
            "hottest part over 20 degC; as below",
        ),
        gathered(
            "heap-sampson-max1",
            band(runs.iter().map(|r| highest(&hottest(r)[..270])).collect()),
            inputs,
        ),
        gathered(
            "heap-sampson-max2",
            band(runs.iter().map(|r| highest(&hottest(r)[440..])).collect()),
            inputs,
        ),
    ]
}

/// Dry matter lost, from the heat made.
fn lost(heap: &LoneHeap, run: &WarmthResult) -> f64 {
    let heat: f64 = run.heap_heat_w.iter().flatten().sum::<f64>() * 86_400.0;
    100.0 * heat
        / HEAT_OF_OXIDATION_J_KG
        / (heap.volume_m3 * heap.density_kg_m3 * (1.0 - heap.moisture))
}

fn losses() -> Vec<Check> {
    let birch = chips(60.0, 300.0, 0.45, 5.0);
    let fredericton = Climate::of("fredericton");
    let pile = chips(60.0, 300.0, 0.5, 0.0);
    let upstate = Climate::of("upstate");
    let of = |heap: &LoneHeap, climate: &Climate, days: usize| {
        let runs = heap.drawn(climate, days);
        band(runs.iter().map(|r| lost(heap, r)).collect())
    };
    let inputs = "60 m3 of 300 kg/m3; monthly normals from memory";
    vec![
        gathered("heap-afzal", of(&birch, &fredericton, 365), inputs),
        gathered("heap-ther-winter-core", of(&pile, &upstate, 180), inputs),
    ]
}

/// Lowest and highest daily mean of the second year.
fn second_year(runs: &[WarmthResult]) -> [Quantiles; 2] {
    let year = |r: &WarmthResult| r.slurry_daily_c[365..].to_vec();
    let low = |r: &WarmthResult| year(r).into_iter().fold(f64::NAN, f64::min);
    [
        band(runs.iter().map(low).collect()),
        band(runs.iter().map(|r| highest(&year(r))).collect()),
    ]
}

/// Brick domes in the ground. The texts leave open how deep; judgement: from 0.3 m proud of
/// the ground to 0.5 m below it. The feed of the small one follows from its load (0.83 to 2.43
/// kg/(m3 d) of 6 % volatile solids), a stay of 40 to 100 days for the other is judgement.
fn domes() -> Vec<Check> {
    let dome = |liquid_m3: f64, stay_d: [f64; 2]| {
        move |cover: f64, fed: f64| {
            let plain = stands(liquid_m3, Siting::Outdoors);
            let Shape::Box { height, .. } = plain.shape else {
                unreachable!("stands are boxes")
            };
            let depth = 0.5 * height + Length::new::<meter>(0.8 * cover - 0.3);
            let vessel = Vessel {
                wall_material: "k_concrete".into(),
                wall_thickness: Length::new::<meter>(0.12),
                siting: Siting::InGround { depth },
                ..plain
            };
            let stay_d = stay_d[0] + (stay_d[1] - stay_d[0]) * fed;
            (vessel, 1000.0 * liquid_m3 / stay_d, None)
        }
    };
    let limpopo = Climate::of("limpopo");
    let columbus = Climate::of("columbus");
    let inputs = "top 0.3 m over to 0.5 m below the ground, fed; monthly normals from memory";
    let [low, high] = second_year(&drawn(&dome(6.0, [40.0, 100.0]), &limpopo, 730));
    let [cold, hot] = second_year(&drawn(&dome(1.14, [25.0, 72.0]), &columbus, 730));
    vec![
        gathered("st-nekhubvi-min", low, inputs),
        gathered("st-nekhubvi-max", high, inputs),
        gathered("st-castano-min", cold, inputs),
        gathered("st-castano-max", hot, inputs),
    ]
}

/// Slurry that comes from the barn, between the outside air of the season (0) and a barn warmed by
/// its cattle (1); judgement: a wide cold barn to a close one.
const FROM_BARN: [f64; 2] = [0.2, 0.8];

/// A round store of concrete without cover.
struct Store {
    across_m: f64,
    height_m: f64,
    /// Of its height below the ground.
    sunk_m: f64,
}

impl Store {
    fn vessel(&self, depth_m: f64, exposure: f64) -> Vessel {
        let area = self.area_m2();
        let siting = if self.sunk_m > 0.0 {
            Siting::InGround {
                depth: Length::new::<meter>(self.sunk_m - 0.5 * self.height_m),
            }
        } else {
            Siting::Outdoors
        };
        Vessel {
            volume: Volume::new::<cubic_meter>(area * self.height_m),
            liquid: Volume::new::<cubic_meter>(area * depth_m),
            shape: Shape::StandingCylinder {
                diameter: Length::new::<meter>(self.across_m),
                height: Length::new::<meter>(self.height_m),
            },
            wall_material: "k_concrete".into(),
            wall_thickness: Length::new::<meter>(0.2),
            top: Top::Open,
            wind_exposure: exposure,
            ..stands(area * depth_m, siting)
        }
    }

    fn area_m2(&self) -> f64 {
        std::f64::consts::FRAC_PI_4 * self.across_m * self.across_m
    }

    /// Mean of `days` from a day of the second year, the slurry lying `depth_m` deep all the
    /// time and coming at `filled_mm_d`.
    fn mean(
        &self,
        climate: &Climate,
        depth_m: f64,
        filled_mm_d: f64,
        first: usize,
        days: usize,
    ) -> Quantiles {
        // The rim over the slurry keeps wind off (judgement).
        let filled = |warm: f64, exposed: f64| {
            let barn = FROM_BARN[0] + (FROM_BARN[1] - FROM_BARN[0]) * warm;
            let kg_d = filled_mm_d * self.area_m2();
            (self.vessel(depth_m, 0.4 + 0.4 * exposed), kg_d, Some(barn))
        };
        let from = 365 + first;
        let runs = drawn(&filled, climate, from + days);
        let mean = |r: &WarmthResult| r.slurry_daily_c[from..].iter().sum::<f64>() / days as f64;
        band(runs.iter().map(mean).collect())
    }
}

/// A round store near Stockholm, half in the ground, without cover.
fn stores() -> Vec<Check> {
    let arlanda = Climate::of("arlanda");
    let month = |depth_m: f64, first: usize| {
        let store = Store {
            across_m: 21.0,
            height_m: 3.0,
            sunk_m: 1.5,
        };
        store.mean(&arlanda, depth_m, 11.0, first, 30)
    };
    let inputs = "half in the ground; one depth of liquid all year, 11 mm a day from the barn, between the air's and a warm barn's temperature; weather of the year nearby, rim sheltered";
    vec![
        gathered("st-VA-jul", month(0.85, 181), inputs),
        gathered("st-VA-nov", month(0.7, 304), inputs),
        gathered("st-VA-jan", month(1.5, 0), inputs),
        gathered("st-VA-feb", month(1.9, 31), inputs),
        gathered("st-VAC-jan", month(2.05, 0), inputs),
    ]
}

/// A month of a farm's store: id, depth of the slurry (m), what comes from the barn (mm/d, the
/// rise of the level in the months before), first day of the year and days.
type StoreMonth = (&'static str, f64, f64, usize, usize);

/// Stores of cattle slurry in Sweden, Denmark and Canada whose readings, levels and weather are
/// published (HAFNERMJ23-DATA, HUNG23-DATA): the months in the middle of the seasons that have
/// twenty days of readings and more, chosen before ours were computed.
fn farm_stores() -> Vec<Check> {
    let uppland = Climate::of("uppland");
    let foulum = Climate::of("foulum");
    let ottawa_15 = Climate::of("ottawa_15");
    let ottawa_20 = Climate::of("ottawa_20");
    let store = |across_m: f64, height_m: f64, sunk_m: f64| Store {
        across_m,
        height_m,
        sunk_m,
    };
    let stores: [(Store, &Climate, &[StoreMonth]); 6] = [
        (
            store(36.0, 4.0, 0.0),
            &uppland,
            &[
                ("st-A-may", 1.9, 11.0, 126, 25),
                ("st-A-aug", 2.2, 11.0, 212, 31),
                ("st-A-nov", 2.3, 11.0, 304, 30),
                ("st-A-feb", 3.5, 11.0, 31, 28),
            ],
        ),
        (
            store(22.0, 4.0, 3.0),
            &uppland,
            &[
                ("st-B-may", 1.2, 30.0, 120, 31),
                ("st-B-aug", 2.9, 12.0, 212, 31),
                ("st-B-nov", 1.2, 14.0, 304, 30),
                ("st-B-feb", 2.5, 14.0, 31, 28),
            ],
        ),
        (
            store(36.0, 4.0, 2.0),
            &uppland,
            &[
                ("st-D-may", 0.7, 3.0, 126, 25),
                ("st-D-aug", 1.1, 5.0, 212, 31),
                ("st-D-nov", 1.6, 10.0, 304, 30),
                ("st-D-feb", 2.6, 14.0, 31, 28),
            ],
        ),
        (
            store(36.0, 5.5, 1.5),
            &foulum,
            &[
                ("st-E-aug", 0.85, 1.0, 212, 31),
                ("st-E-nov", 1.9, 23.0, 304, 30),
                ("st-E-feb", 4.1, 23.0, 31, 28),
            ],
        ),
        (
            store(40.0, 2.5, 2.5),
            &ottawa_15,
            &[
                ("st-F-may", 0.8, 21.0, 131, 20),
                ("st-F-aug", 2.2, 19.0, 212, 31),
                ("st-F-nov", 1.4, 18.0, 304, 30),
                ("st-F-feb", 1.3, 23.0, 31, 28),
            ],
        ),
        (
            store(40.0, 2.6, 0.0),
            &ottawa_20,
            &[
                ("st-H-may", 2.1, 23.0, 120, 31),
                ("st-H-aug", 2.0, 21.0, 212, 31),
                ("st-H-nov", 1.0, 14.0, 304, 30),
                ("st-H-feb", 1.6, 22.0, 31, 28),
            ],
        ),
    ];
    let inputs = "one depth of liquid all year, what comes from the barn between the air's and a warm barn's temperature; weather of the year at the place, rim sheltered";
    let mut out = Vec::new();
    for (store, climate, months) in &stores {
        for &(id, depth_m, filled_mm_d, first, days) in *months {
            let ours = store.mean(climate, depth_m, filled_mm_d, first, days);
            out.push(gathered(id, ours, inputs));
        }
    }
    out
}
