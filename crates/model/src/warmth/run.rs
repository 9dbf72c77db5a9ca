//! The hourly loop of one world.

use uom::si::length::meter;
use uom::si::power::watt;
use uom::si::ratio::ratio;
use uom::si::thermodynamic_temperature::degree_celsius;
use uom::si::volume::cubic_meter;

use crate::plan::Top;
use crate::weather::solar::{SunPath, extraterrestrial_j_m2_day};
use crate::weather::{AirYear, day_in_plain_year, days_after, days_between, ground};

use super::check::check;
use super::coefficients as c;
use super::daily::Day;
use super::earth::Ground;
use super::envelope::{Envelope, InHeap};
use super::geometry::measures;
use super::heap::{Bed, Care, Core, Curves, Event, Outside, Recipe, Shells};
use super::moist_air;
use super::slurry::{Drive, Slurry};
use super::surface::Surface;
use super::surroundings::{Site, Surroundings, Weather, sky_clear};
use super::{Ledger, WarmthError, WarmthInput, WarmthResult};

/// Seconds of a step.
const HOUR_S: f64 = 3600.0;
/// Hour of feeding.
const NOON: usize = 12;
/// Longest life of a heap before the first day that is followed, d. Judgement: two years leave
/// little fuel.
const LONGEST_PAST_D: i64 = 730;
/// Wind and daily swing before the first day: only the yearly wave is known there. Judgement.
const PAST_WIND_M_S: f64 = 3.0;

/// One world.
pub(crate) struct Run<'a> {
    input: &'a WarmthInput<'a>,
    site: Site,
    ground_surface: AirYear,
    ground: Ground,
    bare: Envelope,
    covered: Envelope,
    heap: Option<(Shells, Care)>,
    surface: Option<Surface>,
    pressure_pa: f64,
    mass_kg: f64,
    slurry: Slurry,
    power_w: f64,
    up_to_c: f64,
    ledger: Ledger,
}

/// Undisturbed ground of a day, below a heap and where tap water lies.
#[derive(Clone, Copy)]
struct Grounds {
    heap_c: f64,
    tap_c: f64,
}

impl<'a> Run<'a> {
    pub(crate) fn new(input: &'a WarmthInput<'a>) -> Result<Self, WarmthError> {
        check(input)?;
        let draw = &input.draw;
        let ground = Ground::new(input.place.soil, draw.ground_factor);
        let mut ground_surface = ground::ground_surface(input.weather.air_year);
        // What snow shields is a part of it.
        ground_surface.mean_c = ground_surface
            .mean_c
            .max(input.weather.air_year.mean_c + draw.ground_over_air_k);
        let envelope = |heap: Option<InHeap>| {
            Envelope::new(
                input.vessel,
                input.insulation,
                &ground,
                draw.insulation_factor,
                heap,
            )
        };
        let altitude_m = input.place.altitude.get::<meter>();
        let pressure_pa = moist_air::pressure_at_pa(altitude_m);
        let mut in_heap = None;
        let heap = match input.heap {
            None => None,
            Some(heap) => {
                let covers = heap.covers.get::<ratio>();
                let bed_m = heap.bed.get::<meter>();
                if !(0.0..=1.0).contains(&covers) {
                    return Err(WarmthError::Heap("the covered share lies between 0 and 1"));
                }
                if !(bed_m.is_finite() && bed_m >= 0.0) {
                    return Err(WarmthError::Heap("the bed below the vessel is not usable"));
                }
                let shells = Shells::new(
                    Recipe::new(heap, input.feedstocks, &draw.heap)?,
                    Curves::new(altitude_m),
                    input.vessel.volume.get::<cubic_meter>(),
                    covers,
                    Bed {
                        thickness_m: bed_m,
                        area_m2: measures(input.vessel).base_m2,
                    },
                    ground.k_w_mk,
                );
                in_heap = Some(InHeap {
                    covers,
                    radius_m: shells.radius_m(),
                    bed_m,
                });
                let care = Care {
                    built: heap.built,
                    rebuilt_every_days: heap.rebuilt_every_days,
                    watered_every_days: heap.watered_every_days,
                };
                Some((shells, care))
            }
        };
        let mass_kg = input.vessel.liquid.get::<cubic_meter>() * c::rows().density_slurry_kg_m3;
        Ok(Run {
            input,
            site: Site {
                siting: input.vessel.siting,
                roof: input.vessel.roof,
                wind_exposure: input.vessel.wind_exposure,
                wind_factor: draw.wind_factor,
                pressure_pa,
                humid: heap.is_some() || input.vessel.top != Top::Lid,
            },
            ground_surface,
            ground,
            bare: envelope(None)?,
            covered: envelope(in_heap)?,
            heap,
            surface: Envelope::surface(
                input.vessel,
                input.insulation,
                draw.insulation_factor,
                pressure_pa,
                draw.still_top,
            )?,
            pressure_pa,
            mass_kg,
            slurry: Slurry::new(mass_kg, 10.0),
            power_w: input
                .heater
                .map_or(0.0, |heater| heater.power.get::<watt>()),
            up_to_c: input
                .heater
                .map_or(0.0, |heater| heater.up_to.get::<degree_celsius>()),
            ledger: Ledger::default(),
        })
    }

    /// Step the whole run.
    pub(crate) fn all_days(mut self) -> Result<WarmthResult, WarmthError> {
        let weather = self.input.weather;
        let days = weather.days();
        let age_at_start = self.past();

        let first_air = mean(&weather.air_c[..24]);
        let fill_c = match self.input.vessel.fill_temperature {
            Some(given) => given.get::<degree_celsius>(),
            None => {
                let tap_c = self.grounds(0).tap_c;
                self.feed_c(0, first_air, tap_c)
            }
        };
        // What went before was only to age a heap.
        self.slurry = Slurry::new(self.mass_kg, fill_c);
        if let Some(surface) = &mut self.surface {
            surface.thaw();
        }
        self.ledger = Ledger::default();
        let slurry_before = self.slurry_stored_j();
        let heap_before = self.heap_stored_j();

        let mut result = WarmthResult::with_days(days, self.heap.is_some());
        for day in 0..days {
            let heap_age = age_at_start + day as i64;
            let air = &weather.air_c[day * 24..day * 24 + 24];
            let air_mean = mean(air);
            let humidity_ratio = self.humidity_ratio(air);
            let grounds = self.grounds(day as i64);
            self.care(heap_age, air_mean, grounds.tap_c);
            let in_year = day_in_plain_year(days_after(self.input.start, day as i64));
            let path = SunPath::new(self.input.place.latitude_deg, in_year as f64 + 1.0);
            let sun_j_m2 = HOUR_S
                * weather.sun_w_m2[day * 24..day * 24 + 24]
                    .iter()
                    .sum::<f64>();
            let sky_clear = sky_clear(
                sun_j_m2,
                extraterrestrial_j_m2_day(self.input.place.latitude_deg, in_year as f64 + 1.0),
            );
            let feed_kg = self.input.feed_kg_per_day[day];
            let feed_c = self.feed_c(day, air_mean, grounds.tap_c);
            let mut sums = Day::new();
            for (hour, air_c) in air.iter().enumerate() {
                let index = day * 24 + hour;
                if hour == NOON && feed_kg > 0.0 {
                    let gained = self.slurry.feed(feed_kg, feed_c);
                    self.ledger.feed_j += gained;
                    self.ledger.throughput_j += gained.abs();
                    sums.feed_j += gained;
                }
                let around = self.site.at(
                    &Weather {
                        air_c: *air_c,
                        sun_w_m2: weather.sun_w_m2[index],
                        wind_m_s: weather.wind_m_s[index],
                        humidity_ratio,
                        sky_clear,
                    },
                    &path,
                    hour,
                );
                self.hour(&around, &grounds, heap_age >= 0, &mut sums);
            }
            let unbuilt_c = (heap_age < 0).then_some(air_mean);
            let heap = self.heap.as_ref().map(|(shells, _)| (shells, unbuilt_c));
            let floating_kg = self.surface.as_ref().map_or(0.0, Surface::ice_kg);
            let ice = self.slurry.ice() + floating_kg / (c::WATER_OF_SLURRY * self.mass_kg);
            result.record(&sums, ice.min(1.0), heap);
        }
        self.ledger.slurry_stored_j = self.slurry_stored_j() - slurry_before;
        self.ledger.heap_stored_j = self.heap_stored_j() - heap_before;
        result.ledger = self.ledger;
        Ok(result)
    }

    /// Follow a heap built before the first day up to that day, under the yearly wave of the
    /// air; gives its age on the first day (negative: not yet built).
    fn past(&mut self) -> i64 {
        let Some((_, care)) = &self.heap else {
            return -1;
        };
        let age = days_between(care.built, self.input.start);
        let since_built = match care.rebuilt_every_days {
            Some(every) if every > 0 && age > 0 => age % i64::from(every),
            _ => age,
        };
        let path = SunPath::new(0.0, 80.0);
        for back in (1..=since_built.min(LONGEST_PAST_D)).rev() {
            let past_age = if back == since_built.min(LONGEST_PAST_D) {
                0
            } else {
                age - back
            };
            let grounds = self.grounds(-back);
            let air_c = self.input.weather.air_year.at(self.day_of_year(-back));
            self.care(past_age, air_c, grounds.tap_c);
            let weather = Weather {
                air_c,
                sun_w_m2: 0.0,
                wind_m_s: PAST_WIND_M_S,
                humidity_ratio: moist_air::humidity_ratio(
                    air_c,
                    c::OUTSIDE_HUMIDITY,
                    self.pressure_pa,
                ),
                sky_clear: c::SKY_CLEARNESS,
            };
            let around = self.site.at(&weather, &path, 0);
            let mut sums = Day::default();
            for _ in 0..24 {
                self.hour(&around, &grounds, true, &mut sums);
            }
        }
        age
    }

    /// Water of the day's air, kg per kg dry air: its dew point is the day's lowest temperature
    /// (FAO56, eq. 48: the rule where no humidity is measured; dry places are drier).
    fn humidity_ratio(&self, air_c: &[f64]) -> f64 {
        if !self.site.humid {
            return 0.0;
        }
        let lowest = air_c.iter().copied().fold(f64::MAX, f64::min);
        moist_air::humidity_ratio(lowest, 1.0, self.pressure_pa)
    }

    /// Heat of the slurry and of the ice that floats on it.
    fn slurry_stored_j(&self) -> f64 {
        self.slurry.heat_j + self.surface.as_ref().map_or(0.0, Surface::stored_j)
    }

    /// Heat in the heap's shells; before the heap is built they hold a stand-in that building
    /// replaces and counts.
    fn heap_stored_j(&self) -> f64 {
        self.heap
            .as_ref()
            .map_or(0.0, |(shells, _)| shells.stored_j())
    }

    fn day_of_year(&self, day: i64) -> f64 {
        day_in_plain_year(days_after(self.input.start, day)) as f64 + 0.5
    }

    /// Set the undisturbed ground of a day.
    fn grounds(&mut self, day: i64) -> Grounds {
        let t = self.day_of_year(day);
        let (surface, diffusivity) = (self.ground_surface, self.ground.diffusivity_m2_day);
        let at = |depth: f64| ground::at_depth(surface, depth, diffusivity, t);
        for path in self
            .bare
            .grounds
            .iter_mut()
            .chain(&mut self.covered.grounds)
        {
            path.undisturbed_c = at(path.depth_m);
        }
        Grounds {
            heap_c: self
                .heap
                .as_ref()
                .map_or(0.0, |(shells, _)| at(shells.ground_depth_m)),
            tap_c: at(c::TAP_DEPTH_M),
        }
    }

    fn feed_c(&self, day: usize, air_c: f64, tap_c: f64) -> f64 {
        match self.input.feed_c {
            Some(given) => given[day],
            None => (0.5 * (air_c.max(c::LOWEST_FEED_C) + tap_c.max(c::LOWEST_FEED_C))
                + self.input.draw.feed_offset_k)
                .max(c::LOWEST_FEED_C),
        }
    }

    /// Build or water the heap when its day has come.
    fn care(&mut self, age: i64, air_c: f64, tap_c: f64) {
        let Some((shells, care)) = &mut self.heap else {
            return;
        };
        let brought = match care.on(age) {
            Event::Build => shells.build(air_c),
            Event::Water => shells.wet(tap_c.max(c::LOWEST_FEED_C)),
            Event::None => {
                shells.renew_day();
                0.0
            }
        };
        self.ledger.heap_carried_j += brought;
        self.ledger.throughput_j += brought.abs();
    }

    /// One hour.
    fn hour(&mut self, around: &Surroundings, grounds: &Grounds, heaped: bool, day: &mut Day) {
        let envelope = if heaped {
            &mut self.covered
        } else {
            &mut self.bare
        };
        let slurry_c = self.slurry.temperature_c();
        let air = envelope.to_air(around, slurry_c);
        let mut drive = Drive {
            conductance_w_k: air.conductance_w_k,
            heat_w: air.conductance_w_k * around.air_c + air.sun_w - air.sky_w,
        };
        for path in &envelope.grounds {
            drive.conductance_w_k += path.conductance_w_k();
            drive.heat_w += path.conductance_w_k() * path.seen_c();
        }
        let top = self.surface.as_mut().map(|s| s.at(around, slurry_c));
        if let Some(top) = &top {
            drive.conductance_w_k += top.conductance_w_k;
            drive.heat_w += top.conductance_w_k * top.outer_c;
        }
        let (ua_w_k, core_c) = match &self.heap {
            Some((shells, _)) if heaped => (
                shells.core_conductance_w_k(envelope.to_heap_w_k, envelope.base_to_heap_w_k),
                shells.core_c(),
            ),
            _ => (0.0, 0.0),
        };
        let duty = self
            .slurry
            .duty(&drive, ua_w_k, core_c, self.power_w, self.up_to_c, HOUR_S);
        let heater_w = duty * self.power_w;
        drive.heat_w += heater_w;

        let answer = self.slurry.answer(&drive, ua_w_k, HOUR_S);
        let mut mean_c = answer.alpha_c;
        let mut from_heap_j = 0.0;
        if let Some((shells, _)) = self.heap.as_mut().filter(|_| heaped) {
            let humidity = around.humidity_ratio;
            let flows = shells.step(
                &Outside {
                    air_c: around.air_c,
                    film_w_m2k: around.heap_film_w_m2k,
                    ground_c: grounds.heap_c,
                    humidity_ratio: humidity,
                    enthalpy_j_kg: moist_air::enthalpy_j_kg(around.air_c, humidity),
                },
                &Core {
                    ua_w_k,
                    alpha_c: answer.alpha_c,
                    beta: answer.beta,
                },
                HOUR_S,
            );
            mean_c += answer.beta * flows.core_c;
            from_heap_j = flows.to_slurry_j;
            day.heap_j += flows.made_j;
            day.heap_to_slurry_j += flows.to_slurry_j;
            day.heap_c += shells.mean_c() / 24.0;
            let ledger = &mut self.ledger;
            ledger.heap_made_j += flows.made_j;
            ledger.heap_vapour_j += flows.vapour_j;
            ledger.heap_surface_j += flows.surface_j;
            ledger.heap_ground_j += flows.ground_j;
            ledger.heap_to_slurry_j += flows.to_slurry_j;
            ledger.throughput_j += flows.made_j
                + flows.vapour_j.abs()
                + flows.surface_j.abs()
                + flows.ground_j.abs()
                + flows.to_slurry_j.abs();
        }
        let mut air_j = air.conductance_w_k * (mean_c - around.air_c) * HOUR_S;
        let ground_j: f64 = envelope
            .grounds
            .iter_mut()
            .map(|path| path.settle(mean_c, HOUR_S))
            .sum();
        let (mut sun_j, mut sky_j) = (air.sun_w * HOUR_S, air.sky_w * HOUR_S);
        let heater_j = heater_w * HOUR_S;
        self.slurry.heat_j += sun_j + heater_j + from_heap_j - air_j - ground_j - sky_j;
        let mut dried_j = 0.0;
        if let (Some(surface), Some(top)) = (&mut self.surface, &top) {
            let flows = surface.settle(top, around, mean_c, HOUR_S);
            self.slurry.heat_j -= flows.from_slurry_j;
            air_j += flows.air_j;
            sun_j += flows.sun_j;
            sky_j += flows.sky_j;
            dried_j = flows.evaporation_j;
        }

        let ledger = &mut self.ledger;
        ledger.air_loss_j += air_j;
        ledger.ground_loss_j += ground_j;
        ledger.sky_loss_j += sky_j;
        ledger.sun_j += sun_j;
        ledger.heater_j += heater_j;
        ledger.evaporation_j += dried_j;
        ledger.throughput_j +=
            air_j.abs() + ground_j.abs() + sky_j + sun_j + heater_j + dried_j.abs();
        let end_c = self.slurry.temperature_c();
        day.mean_c += mean_c / 24.0;
        day.min_c = day.min_c.min(end_c);
        day.max_c = day.max_c.max(end_c);
        day.loss_j += air_j + ground_j + sky_j + dried_j;
        day.dried_j += dried_j;
        day.sun_j += sun_j;
        day.heater_j += heater_j;
    }
}

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}
