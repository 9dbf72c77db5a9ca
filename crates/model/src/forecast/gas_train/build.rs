//! A world's train from the plan.

use uom::si::length::meter;
use uom::si::mass::kilogram;
use uom::si::volume::liter;
use uom::si::volume_rate::cubic_meter_per_second;

use crate::world::calendar::usual_weather;

use crate::gas::Mixture;
use crate::gas::appliances::{Appliance, of_gas};
use crate::gas::store::Standing;
use crate::gas::train::wash::{JarLife, Kind, Stage, sulfide_l};
use crate::gas::train::{Burn, Holder, Surroundings, Train};
use crate::gas::trap::water_g_per_m3;
use crate::gas::uses;
use crate::gas::wash::ash_bed;
use crate::gas::wash::constants::T_RANGE_C;
use crate::gas::wash::iron::{CONTACT_WANTED_S, Medium, field_removal, passes};
use crate::gas::wash::life::{Contact, Jar, RawGas};
use crate::gas::wash::liquor::{ash_lye, in_jar};
use crate::plan::{GasUse, JarAlkali, Plan, Runs, Wanted, Wash, WashKind};
use crate::reference::gas_value;
use crate::weather::{self, HourlyWeather};
use crate::world::draw::{GasSideDraw, STORE_LEAK_PER_DAY, WorldDraw};
use crate::world::plant::atmosphere_bar;
use crate::world::pressures::{self, full_pa};
use crate::world::{DayRow, WorldRun};

/// Temperature of a line or trap in a house, degC (judgement).
const INDOORS_C: f64 = 15.0;

/// What all worlds share.
pub(super) struct Common {
    /// Lives of each wash: strength poor, middling, good, times contact the same.
    washes: Vec<[Kind; 9]>,
    pub months: Vec<usize>,
    pub outside_bar: f64,
    /// Gas of the best day of any world, L.
    pub greatest_day_l: f64,
}

impl Common {
    pub fn new(plan: &Plan, runs: &[WorldRun]) -> Self {
        let outside_bar = atmosphere_bar(plan.place.altitude.get::<meter>());
        let usual = Usual::of(runs);
        let air = usual_weather(plan);
        let mean_c = air.air_c.iter().sum::<f64>() / air.air_c.len().max(1) as f64;
        Common {
            washes: plan
                .gas_side
                .washes
                .iter()
                .map(|w| lives(w, &usual, outside_bar * 1e5, mean_c))
                .collect(),
            months: crate::world::calendar::months(plan),
            outside_bar,
            greatest_day_l: runs
                .iter()
                .flat_map(|r| &r.days)
                .map(|d| d.gas_dry_l)
                .fold(0.0, f64::max),
        }
    }
}

/// The worlds' usual gas, weighed by amount.
struct Usual {
    gas: RawGas,
    /// A day's gas, L.
    daily_l: f64,
}

impl Usual {
    fn of(runs: &[WorldRun]) -> Self {
        let (mut all, mut co2, mut h2s, mut days) = (0.0, 0.0, 0.0, 0usize);
        for d in runs.iter().flat_map(|r| &r.days) {
            all += d.gas_dry_l;
            co2 += d.gas_dry_l * d.co2_share;
            h2s += d.gas_dry_l * d.h2s_ppm;
            days += usize::from(d.gas_dry_l > 0.0);
        }
        let whole = all.max(1e-9);
        Usual {
            gas: RawGas {
                co2_share: co2 / whole,
                h2s_ppm: h2s / whole,
            },
            daily_l: all / days.max(1) as f64,
        }
    }
}

/// Lives of a wash: `3 strength + contact`, each poor, middling or good. The two
/// are independent: a strong lye with poor contact lasts longest and does least.
fn lives(wash: &Wash, usual: &Usual, outside_pa: f64, t_c: f64) -> [Kind; 9] {
    let mass_kg = wash.mass.get::<kilogram>();
    match wash.kind {
        WashKind::LyeJar {
            alkali,
            liquor,
            bubble_depth,
        } => {
            let water_kg = liquor.get::<liter>();
            let jar_c = t_c.clamp(T_RANGE_C.0, T_RANGE_C.1);
            let made = match alkali {
                JarAlkali::WoodAsh => ash_lye(mass_kg, water_kg).ok(),
                JarAlkali::Pure(a) => in_jar(a, mass_kg * 1000.0, water_kg, jar_c).ok(),
            }
            // The plan's reader refuses what cannot be made; plain water promises nothing.
            .unwrap_or_default();
            let depth_m = bubble_depth.get::<meter>();
            let contacts = Contact::in_jar(depth_m.max(0.01));
            std::array::from_fn(|i| {
                let jar = Jar {
                    water_kg,
                    liquor: made[i / 3],
                    depth_m,
                    t_c,
                };
                Kind::Jar(JarLife::new(jar, usual.gas, outside_pa, contacts[i % 3]))
            })
        }
        WashKind::AshBed { .. } => {
            let (capacity, removal) = (ash_bed::capacity_kg_kg(), ash_bed::removal());
            let (kg, shares) = (
                [capacity.low, capacity.mid, capacity.high],
                [removal.low, removal.mid, removal.high],
            );
            std::array::from_fn(|i| Kind::Ash {
                capacity_l: ash_bed::carbon_dioxide_l(kg[i / 3] * mass_kg),
                removal: shares[i % 3],
            })
        }
        WashKind::IronPacking {
            medium,
            bed,
            regenerated,
        } => {
            let once = medium.capacity_g_kg();
            let all = passes(regenerated) * mass_kg;
            let top = match medium {
                // Not above what the ore held over many regenerations.
                Medium::BogIron => gas_value("cap_bog_total") * mass_kg,
                _ => f64::INFINITY,
            };
            let flow_l_h = (usual.daily_l / 24.0).max(1e-6);
            let contact_s = bed.get::<liter>() / flow_l_h * 3600.0;
            let removal = field_removal().scaled((contact_s / CONTACT_WANTED_S).min(1.0));
            let kind = |grams: f64, removal: f64| Kind::Iron {
                capacity_l: sulfide_l((grams * all).min(top)),
                removal,
            };
            let (grams, shares) = (
                [once.low, once.mid, once.high],
                [removal.low, removal.mid, removal.high],
            );
            std::array::from_fn(|i| kind(grams[i / 3], shares[i % 3]))
        }
    }
}

/// One world's train and what surrounds it.
pub(super) struct World {
    pub train: Train,
    pub around: Surroundings,
    pub frozen_days: u32,
    /// Temperature to which the gas cools before the store, each day, degC.
    cooled_c: Vec<f64>,
    outside_bar: f64,
}

impl World {
    pub fn new(plan: &Plan, common: &Common, draw: &WorldDraw) -> Self {
        let hours = weather::hourly(
            &plan.weather,
            &plan.place,
            plan.start,
            plan.days,
            &draw.weather,
        );
        let side = &plan.gas_side;
        let standing = side.store.as_ref().map_or(Standing::Shade, |s| s.stands);
        let gas_c = hours
            .air_c
            .iter()
            .zip(&hours.sun_w_m2)
            .map(|(air, sun)| standing.gas_c(*air, *sun));
        let around = Surroundings::new(
            gas_c,
            common.outside_bar,
            full_pa(plan),
            common.months.clone(),
        );
        let GasSideDraw {
            wash_capacity,
            wash_contact,
            store_leak_per_day,
        } = draw.gas_side;
        let third = |at: f64| ((3.0 * at) as usize).min(2);
        let life = 3 * third(wash_capacity) + third(wash_contact);
        let runs = side
            .trap
            .as_ref()
            .map(|t| t.runs)
            .or(side.line.as_ref().map(|l| l.runs))
            .unwrap_or(Runs::Outdoors);
        World {
            train: Train {
                washes: side
                    .washes
                    .iter()
                    .zip(&common.washes)
                    .map(|(wash, lives)| Stage {
                        kind: lives[life].clone(),
                        renewed_every: wash.renewed_every_days.map(|d| d as usize),
                    })
                    .collect(),
                store: side
                    .store
                    .as_ref()
                    .map(|_| holder(plan, store_leak_per_day / 24.0)),
                burns: side.uses.iter().map(burn).collect(),
            },
            around,
            frozen_days: if side.trap.is_some() {
                frozen(&hours, runs)
            } else {
                0
            },
            cooled_c: cooled(&hours, runs),
            outside_bar: common.outside_bar,
        }
    }

    /// Water dropped each day, g.
    pub fn water_g(&self, rows: &[DayRow]) -> Vec<f64> {
        rows.iter()
            .zip(&self.cooled_c)
            .map(|(row, to)| {
                let held = |t_c: f64| water_g_per_m3(t_c, self.outside_bar);
                // None falls where the line is warmer than the slurry.
                row.gas_dry_l / 1000.0 * (held(row.slurry_c) - held(*to)).max(0.0)
            })
            .collect()
    }
}

fn holder(plan: &Plan, leak_per_h: f64) -> Holder {
    let Some(s) = &plan.gas_side.store else {
        return plain_holder();
    };
    let store = pressures::store(s);
    let full_pa = full_pa(plan);
    Holder {
        full_l: store.full_l(full_pa),
        full_pa,
        kept_back: store.kept_back(),
        conductance: store.skin.conductance_l_h_atm(store.shape.skin_m2()),
        bath_l: store.bath_l,
        leak_per_h,
    }
}

/// A tight store of a cubic metre, to try sizes with when the plan has none.
pub(super) fn plain_holder() -> Holder {
    Holder {
        full_l: 1000.0,
        full_pa: 0.0,
        kept_back: 0.0,
        conductance: [0.0; 3],
        bath_l: 0.0,
        leak_per_h: STORE_LEAK_PER_DAY.mid / 24.0,
    }
}

/// Temperature of line and trap, degC.
fn line_c(air_c: f64, mean_c: f64, runs: Runs) -> f64 {
    match runs {
        Runs::Outdoors => air_c,
        Runs::Indoors => air_c.max(INDOORS_C),
        // The ground at the depth of a spade keeps near the year's mean.
        Runs::Buried => mean_c,
    }
}

fn cooled(hours: &HourlyWeather, runs: Runs) -> Vec<f64> {
    let days = hours.daily_air_c();
    let mean = days.iter().sum::<f64>() / days.len().max(1) as f64;
    days.iter().map(|air| line_c(*air, mean, runs)).collect()
}

/// Days with four hours and more below freezing.
fn frozen(hours: &HourlyWeather, runs: Runs) -> u32 {
    if runs != Runs::Outdoors {
        return 0;
    }
    hours
        .air_c
        .chunks_exact(24)
        .filter(|day| day.iter().filter(|t| **t < 0.0).count() >= 4)
        .count() as u32
}

/// Dry normal litres of methane in a litre of the handbooks' gas: 60 % at 15 degC.
const HANDBOOK_METHANE: f64 = 0.6 * 273.15 / 288.15;

/// Methane of a day of a use, dry normal litres.
pub(super) fn methane_l_day(u: &GasUse) -> f64 {
    match u.wanted {
        Wanted::Kettles(n) => n / uses::of_methane(1.0).kettles,
        Wanted::Water(v) => v.get::<liter>() * methane_per_litre(u.appliance),
        Wanted::AllItsHours => {
            let l_h = u.flow.get::<cubic_meter_per_second>() * 3.6e6;
            l_h * HANDBOOK_METHANE * u.hours_per_day()
        }
    }
}

/// Methane that heats a litre of water in an appliance, dry normal litres.
fn methane_per_litre(appliance: Appliance) -> f64 {
    let heated = Mixture::biogas(0.6).and_then(|gas| of_gas(appliance, &gas, 1000.0));
    heated.map_or(f64::NAN, |u| 600.0 / u.does.mid)
}

fn burn(u: &GasUse) -> Burn {
    let all = u.hours_per_day();
    let least = match u.appliance {
        Appliance::Generator => gas_value("ch4_min_engine"),
        _ => gas_value("ch4_min_flame"),
    };
    Burn {
        methane_l_day: methane_l_day(u),
        share: u.hours.map(|h| if all > 0.0 { h / all } else { 0.0 }),
        part: u.hours,
        months: u.months,
        least_methane: least / 100.0,
    }
}
