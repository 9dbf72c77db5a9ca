//! The vessel of one world: its fill, feedings, draw-offs and doses, and the
//! day's figures read off it.

use std::sync::Arc;

use uom::si::length::meter;
use uom::si::mass::kilogram;
use uom::si::ratio::ratio;
use uom::si::volume::cubic_meter;

use super::calendar::DayFeed;
use super::draw::WorldDraw;
use super::fractionate::{self, FEED_DENSITY};
use super::pressures::back_pressure;
use super::{COLDEST_C, DayRow, Shared};
use super::{additive, seed};
use crate::gas::volume::{DRY_LITRES_PER_KMOL, wet_litres_per_kmol};
use crate::plan::{Additive, DoseTime, Plan, VesselMode};
use crate::world::matter::Matter;
use fenlamp_adm1::state::*;
use fenlamp_adm1::system::WorldFactors;
use fenlamp_adm1::{Charge, DayGas, Tank, TankSettings};

/// Gas-liquid transfer of an unstirred household vessel, 1/d (judgement; plain
/// ADM1 takes 200 for a stirred tank).
const K_L_A: f64 = 100.0;
/// Outlet of a household vessel, m3/(d bar) per m3 (judgement: 5 mbar drive
/// half the vessel's volume a day through the hose).
const OUTLET: f64 = 100.0;

/// Standard atmosphere, bar, at `height_m` (ISO 2533; from memory).
pub fn atmosphere_bar(height_m: f64) -> f64 {
    1.01325 * (1.0 - 2.25577e-5 * height_m).powf(5.25588)
}

/// The vessel of one world: one tank, or several in series.
pub(super) struct Plant<'a> {
    pub(super) plan: &'a Plan,
    shared: &'a Shared,
    draw: &'a WorldDraw,
    pub(super) tanks: Vec<Tank<'a>>,
    /// Full slurry of one tank, m3.
    full_m3: f64,
    /// One kilogram of each feedstock.
    per_kg: Vec<Charge>,
    p_out_bar: f64,
    /// All that went in so far.
    pub(super) put_in: Matter,
    /// What ran out since it was last asked for.
    pub(super) ran_out: Matter,
}

impl<'a> Plant<'a> {
    pub(super) fn new(
        plan: &'a Plan,
        shared: &'a Shared,
        draw: &'a WorldDraw,
        first_c: f64,
        relative_tolerance: f64,
    ) -> Self {
        let model = &shared.model;
        let stages = plan.vessel.stages.max(1);
        let share = |v: uom::si::f64::Volume| v.get::<cubic_meter>() / f64::from(stages);
        let filler = plan.vessel.filler.get::<ratio>();
        // Filler takes its part of the slurry space.
        let full_m3 = share(plan.vessel.liquid) * (1.0 - filler);
        let space_m3 = share(plan.vessel.volume) - share(plan.vessel.liquid) * filler;
        let p_atm = atmosphere_bar(plan.place.altitude.get::<meter>());
        let mut pool = vec![1.0; PLAIN_POOLS];
        pool.extend(
            plan.feedstocks
                .iter()
                .zip(&draw.hydrolysis_per_d)
                .map(|(f, k)| {
                    draw.inferred.hydrolysis_speed * k / f.hydrolysis_per_d.mid.max(1e-12)
                }),
        );
        let settings = TankSettings {
            space_m3,
            p_out_bar: p_atm + back_pressure(plan).total_pa * 1e-5,
            outlet_per_d_bar: OUTLET,
            k_l_a_per_d: K_L_A,
            solids_stay: draw.solids_stay,
            world: WorldFactors {
                pool,
                feed_carbon: shared.feed_carbon(&draw.feed),
                uptake: draw.uptake,
                biology: Arc::new(draw.inferred.biology()),
            },
            relative_tolerance,
        };
        let per_kg = plan
            .feedstocks
            .iter()
            .enumerate()
            .map(|(i, f)| {
                fractionate::charge_of(
                    f,
                    &shared.fractions[i],
                    &draw.feed[i],
                    &draw.inferred,
                    POOLS + PLAIN_POOLS + i,
                    &model.content,
                    &model.constants,
                )
            })
            .collect();
        let first_k = first_c.max(COLDEST_C) + 273.15;
        Plant {
            tanks: (0..stages)
                .map(|_| Tank::empty(model, settings.clone(), first_k))
                .collect(),
            full_m3,
            per_kg,
            p_out_bar: p_atm,
            put_in: Matter::default(),
            ran_out: Matter::default(),
            plan,
            shared,
            draw,
        }
    }

    /// The first fill: feed, seed, water, doses at the fill.
    pub(super) fn fill(&mut self) {
        let model = &self.shared.model;
        let fill = &self.plan.first_fill;
        let mut all = Charge::nothing(model.states());
        for &(f, mass) in &fill.feed {
            all.add(&self.per_kg[f], mass.get::<kilogram>());
        }
        for (seed, acetoclasts) in fill.seeds.iter().zip(&self.draw.seed_acetoclasts) {
            let charge = seed::charge_of(
                seed,
                *acetoclasts,
                self.draw.seed_fermenters,
                &self.draw.inferred,
                &model.constants,
                model.states(),
            );
            all.add(&charge, 1.0);
        }
        let full = self.full_m3 * self.tanks.len() as f64;
        all.volume_m3 += match fill.water {
            Some(mass) => mass.get::<kilogram>() / FEED_DENSITY,
            None => (full - all.volume_m3).max(0.0),
        };
        let part = 1.0 / self.tanks.len() as f64;
        let mut each = Charge::nothing(model.states());
        each.add(&all, part);
        for tank in &mut self.tanks {
            tank.add(&each);
            tank.open_to_air();
        }
        self.put_in.add(&self.shared.counter.count(&all));
        self.dose(DoseTime::AtFill, 0);
    }

    /// Doses due at `when`; repeated ones count days from the fill.
    pub(super) fn dose(&mut self, when: DoseTime, day: u32) {
        let due = |a: &&Additive| match (a.when, when) {
            (DoseTime::Every(n), DoseTime::OnDay(_)) => day > 0 && day.is_multiple_of(n.max(1)),
            (mine, now) => mine == now,
        };
        let plan = self.plan;
        for a in plan.additives.iter().filter(due) {
            let charge =
                additive::charge_of(a.kind, a.dose.get::<kilogram>(), self.shared.model.states());
            self.tanks[0].add(&charge);
            self.put_in.add(&self.shared.counter.count(&charge));
        }
    }

    /// What is known to have happened on `day`, shared by the tanks.
    pub(super) fn befall(&mut self, day: u32) {
        let known = &self.draw.known;
        let part = 1.0 / self.tanks.len() as f64;
        for tank in &mut self.tanks {
            let Some((out, charge)) =
                known.of_day(day, tank.liquid_m3, part, self.shared.model.states())
            else {
                continue;
            };
            if out > 0.0 {
                let gone = tank.remove(out * tank.liquid_m3);
                self.ran_out.add(&self.shared.counter.count(&gone));
            }
            tank.add(&charge);
            self.put_in.add(&self.shared.counter.count(&charge));
        }
    }

    /// Draw-off that falls due before feeding on `day`.
    pub(super) fn before(&mut self, day: u32) {
        if let VesselMode::DrawOff { every_days, leave } = self.plan.vessel.mode
            && day > 0
            && day.is_multiple_of(every_days.max(1))
        {
            let keep = leave.get::<ratio>() * self.full_m3;
            for tank in &mut self.tanks {
                let out = tank.remove((tank.liquid_m3 - keep).max(0.0));
                self.ran_out.add(&self.shared.counter.count(&out));
            }
        }
    }

    /// Feeds; returns what did not fit, kg.
    pub(super) fn feed(&mut self, feed: &DayFeed) -> f64 {
        let mut charge = Charge::nothing(self.shared.model.states());
        for (kg, waste) in feed.fresh_kg.iter().zip(&self.plan.waste) {
            charge.add(&self.per_kg[waste.feedstock], *kg);
        }
        charge.volume_m3 += feed.water_kg / FEED_DENSITY;
        if charge.volume_m3 <= 0.0 {
            return 0.0;
        }
        if self.plan.vessel.mode == VesselMode::Overflow {
            let full = self.full_m3;
            self.put_in.add(&self.shared.counter.count(&charge));
            for tank in &mut self.tanks {
                charge = tank.feed_with_overflow(&charge, full);
            }
            self.ran_out.add(&self.shared.counter.count(&charge));
            return 0.0;
        }
        // No outlet: only what fits goes in.
        let room = (self.full_m3 - self.tanks[0].liquid_m3).max(0.0);
        let fits = (room / charge.volume_m3).min(1.0);
        let mut part = Charge::nothing(self.shared.model.states());
        part.add(&charge, fits);
        self.tanks[0].add(&part);
        self.put_in.add(&self.shared.counter.count(&part));
        feed.total_kg() * (1.0 - fits)
    }

    /// What all tanks hold.
    pub(super) fn held(&self) -> Matter {
        let mut held = Matter::default();
        for tank in &self.tanks {
            let contents = Charge {
                volume_m3: tank.liquid_m3,
                amounts: tank.y.iter().map(|v| v * tank.liquid_m3).collect(),
                passengers: tank.passengers,
            };
            held.add(&self.shared.counter.count(&contents));
        }
        held
    }

    /// Volatile solids fed per m3 of slurry.
    pub(super) fn loading(&self, feed: &DayFeed) -> f64 {
        let vs: f64 = feed
            .fresh_kg
            .iter()
            .zip(&self.plan.waste)
            .map(|(kg, w)| {
                kg * self.draw.feed[w.feedstock].total_solids
                    * self.plan.feedstocks[w.feedstock].volatile_of_ts
            })
            .sum();
        vs / self
            .tanks
            .iter()
            .map(|t| t.liquid_m3)
            .sum::<f64>()
            .max(1e-9)
    }

    /// Lets the groups grow used to the ammonia of the day.
    pub(super) fn adapt(&mut self) {
        for tank in &mut self.tanks {
            let free = tank.free_ammonia_and_sulfide().0 * 14_007.0;
            tank.ammonia_tolerance = self
                .draw
                .inferred
                .tolerance_after_a_day(tank.ammonia_tolerance, free);
        }
    }

    /// The day's figures from what each stage gave.
    pub(super) fn row(
        &self,
        slurry_c: f64,
        air_c: f64,
        gas: impl Iterator<Item = DayGas>,
    ) -> DayRow {
        let mut row = DayRow {
            slurry_c,
            ph: f64::INFINITY,
            ..DayRow::default()
        };
        let mut kmol = [0.0; GASES];
        let mut headspace = [0.0; GASES];
        let part = 1.0 / self.tanks.len() as f64;
        for (tank, gas) in self.tanks.iter().zip(gas) {
            for g in 0..GASES {
                kmol[g] += gas.kmol[g];
                headspace[g] += part * tank.headspace()[g].max(0.0);
            }
            let y = &tank.y;
            row.ph = row.ph.min(tank.ph());
            row.slurry_l += tank.liquid_m3 * 1000.0;
            row.acids_mg_l += part
                * (y[S_AC] / 64.0 + y[S_PRO] / 112.0 + y[S_BU] / 160.0 + y[S_VA] / 208.0)
                * 60_050.0;
            row.ammonium_mg_n_l += part * y[S_IN] * 14_007.0;
            row.free_ammonia_mg_n_l += part * tank.free_ammonia_and_sulfide().0 * 14_007.0;
        }
        // A cooling headspace draws gas back from the store: no negative day.
        let dry: f64 = kmol.iter().sum::<f64>().max(0.0);
        let share = |g: usize| {
            if dry > 1e-12 {
                (kmol[g] / dry).max(0.0)
            } else {
                headspace[g]
            }
        };
        row.gas_dry_l = dry * DRY_LITRES_PER_KMOL;
        row.gas_wet_l = dry * wet_litres_per_kmol(air_c, self.p_out_bar);
        row.methane_share = share(1);
        row.methane_l = row.gas_dry_l * row.methane_share;
        row.co2_share = share(2);
        row.h2s_ppm = share(3) * 1e6;
        row.headspace_hydrogen = headspace[0];
        row.headspace_methane = headspace[1];
        row.headspace_oxygen = headspace[5];
        row
    }
}
