//! What is understood of a plan, as text.

use std::fmt::Write as _;

use fenlamp_model::feed::Feedstock;
use fenlamp_model::plan::{
    AdditiveKind, Plan, Siting, SlurryTemperature, UnitSystem, VesselKind, VesselMode, WasteBasis,
};
use fenlamp_model::say;
use fenlamp_model::say::number_band;
use fenlamp_model::weather::Weather;
use fenlamp_quantity::{Mass, Units, print};
use uom::si::mass::kilogram;
use uom::si::ratio::ratio;
use uom::si::thermodynamic_temperature::degree_celsius;

use super::understood::Understood;
use crate::page::{Side, table, wrap};
use crate::view_model::feedstocks_text::how;

/// The whole page.
pub fn write(u: &Understood<'_>) -> String {
    let plan = &u.opened.plan;
    let mut out = format!("{}: no faults.\n\n", u.opened.name);
    out += &wrap(&format!("{}. {}", plan.name, plan.about), "", "");
    out.push('\n');
    let mut line = |name: &str, text: String| {
        if !text.is_empty() {
            out += &wrap(&text, &format!("{name:<13}"), &" ".repeat(13));
        }
    };
    line("vessel", vessel(plan));
    line("warmth", warmth(plan));
    line("weather", weather(plan));
    line("run", run(plan));
    line("first fill", first_fill(u));
    line("additives", additives(plan));
    out.push('\n');
    out += &feed(u);
    out += &feedstocks(u);
    let _ = write!(
        out,
        "\nThe forecast: {} days from {}, {} worlds, seed {}:\n  fenlamp forecast {}\n",
        plan.days, plan.start, plan.worlds, plan.seed, u.opened.name
    );
    out
}

fn vessel(plan: &Plan) -> String {
    let v = &plan.vessel;
    let units: Units = plan.units.into();
    let kind = match v.kind {
        VesselKind::Drum => "drum",
        VesselKind::Tote => "tote",
        VesselKind::Tank => "tank above ground",
        VesselKind::SunkenTank => "sunken tank",
        VesselKind::LongBag => "long bag",
    };
    let stands = match v.siting {
        Siting::Outdoors => "outdoors".to_owned(),
        Siting::Shed => "in a shed".to_owned(),
        Siting::Room(t) => {
            format!(
                "in a room at {}",
                say::temperature(t.get::<degree_celsius>(), units)
            )
        }
        Siting::Greenhouse => "in a greenhouse".to_owned(),
        Siting::InGround { depth } => {
            format!("in the ground, its middle {} deep", print(depth, units))
        }
    };
    let mode = match v.mode {
        VesselMode::Batch => "filled once".to_owned(),
        VesselMode::Overflow => "fed, and as much runs out".to_owned(),
        VesselMode::DrawOff { every_days, leave } => format!(
            "fed without outlet, drawn down to {:.0} % every {every_days} days",
            100.0 * leave.get::<ratio>()
        ),
        VesselMode::TopUp => "topped up until full".to_owned(),
    };
    let filler = v.filler.get::<ratio>();
    let chips = if filler > 0.0 {
        format!(", {:.0} % of it filler", 100.0 * filler)
    } else {
        String::new()
    };
    let stages = if v.stages > 1 {
        format!(", counted as {} tanks in a row", v.stages)
    } else {
        String::new()
    };
    format!(
        "{kind} of {}, {} slurry when full{chips}, {stands}; {mode}{stages}",
        print(v.volume, units),
        print(v.liquid, units)
    )
}

fn warmth(plan: &Plan) -> String {
    let units: Units = plan.units.into();
    match &plan.slurry_temperature {
        SlurryTemperature::Fixed(t) => {
            return format!(
                "held at {}",
                say::temperature(t.get::<degree_celsius>(), units)
            );
        }
        SlurryTemperature::Series { origin, .. } => {
            return format!("slurry temperature from {origin}");
        }
        SlurryTemperature::HeatBalance => {}
    }
    let mut parts = vec!["slurry temperature from the heat balance".to_owned()];
    for layer in &plan.insulation {
        let faces = format!("{:?}", layer.on).to_lowercase();
        let name = fenlamp_model::reference::thermal(&layer.material)
            .map_or_else(|| layer.material.clone(), |row| row.quantity.clone());
        parts.push(format!(
            "{} of {name} on {faces}",
            print(layer.thickness, units)
        ));
    }
    if let Some(heap) = &plan.heap {
        parts.push(format!(
            "heap of {} over {:.0} % of the vessel, built {}",
            print(heap.volume, units),
            100.0 * heap.covers.get::<ratio>(),
            heap.built
        ));
    }
    if let Some(heater) = &plan.heater {
        parts.push(format!(
            "heater of {} up to {}",
            print(heater.power, units),
            say::temperature(heater.up_to.get::<degree_celsius>(), units)
        ));
    }
    parts.join("; ")
}

fn weather(plan: &Plan) -> String {
    let units: Units = plan.units.into();
    let place = &plan.place;
    // A place may go without a name.
    let at = match place.name.as_str() {
        "" => String::new(),
        name => format!("{name}: "),
    };
    match &plan.weather {
        Weather::Normals(n) => {
            let mean: Vec<f64> = n
                .high_c
                .iter()
                .zip(&n.low_c)
                .map(|(h, l)| (h + l) / 2.0)
                .collect();
            let low = mean.iter().copied().fold(f64::INFINITY, f64::min);
            let high = mean.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            let months = say::temperature_band(low, high, units);
            format!("{at}monthly normals, months of {months} in the mean")
        }
        Weather::Series(s) => {
            format!(
                "{at}{} from {}, every {} h",
                s.origin, s.first, s.step_hours
            )
        }
    }
}

fn run(plan: &Plan) -> String {
    if plan.vessel.mode == VesselMode::Batch || plan.waste.is_empty() {
        return "filled once, nothing fed".to_owned();
    }
    let f = &plan.feeding;
    let every = match f.every_days {
        1 => "every day".to_owned(),
        n => format!("every {n} days"),
    };
    let ramp = match f.ramp_days {
        0 => String::new(),
        n => format!(", rising to the full amount over {n} days"),
    };
    let stepped = plan.waste.iter().filter(|w| !w.steps.is_empty()).count();
    let first = plan.first_feed_day();
    match plan.waste.len() - stepped {
        _ if stepped == 0 => format!("fed {every} from day {first}{ramp}"),
        0 => format!("fed {every} from day {first}, in steps"),
        others => format!(
            "fed {every} from day {first}: {stepped} in steps, {others} from day {}{ramp}",
            f.first_day
        ),
    }
}

fn first_fill(u: &Understood<'_>) -> String {
    let plan = &u.opened.plan;
    let units: Units = plan.units.into();
    let mut parts: Vec<String> = plan
        .first_fill
        .feed
        .iter()
        .map(|(i, mass)| format!("{} of {}", print(*mass, units), plan.feedstocks[*i].name))
        .collect();
    if plan.first_fill.seeds.is_empty() {
        parts.push("no seed".to_owned());
    }
    let share = |volume| {
        let part: fenlamp_quantity::Ratio = volume / plan.vessel.liquid;
        number_band(100.0 * part.get::<ratio>(), 100.0 * part.get::<ratio>())
    };
    for seed in &plan.first_fill.seeds {
        parts.push(format!(
            "{} of seed ({}, grown at {}), {} % of the slurry",
            print(seed.volume, units),
            seed.kind.name(),
            say::temperature(seed.grown_at.get::<degree_celsius>(), units),
            share(seed.volume)
        ));
    }
    parts.push(match plan.first_fill.water {
        Some(mass) => format!("{} of water", print(mass, units)),
        None => "water up to the slurry level".to_owned(),
    });
    parts.join("; ")
}

fn additives(plan: &Plan) -> String {
    let units: Units = plan.units.into();
    let parts: Vec<String> = plan
        .additives
        .iter()
        .map(|a| {
            use fenlamp_model::plan::DoseTime::{AtFill, Every, OnDay};
            let kind = match a.kind {
                AdditiveKind::WoodAsh => "wood ash",
                AdditiveKind::SlakedLime => "slaked lime",
                AdditiveKind::Bicarbonate => "bicarbonate",
                AdditiveKind::IronChloride => "iron chloride",
                AdditiveKind::Gypsum => "gypsum",
            };
            let when = match a.when {
                AtFill => "at the fill".to_owned(),
                OnDay(day) => format!("on day {day}"),
                Every(days) => format!("every {days} days"),
            };
            format!("{} of {kind} {when}", print(a.dose, units))
        })
        .collect();
    parts.join("; ")
}

fn feed(u: &Understood<'_>) -> String {
    let plan = &u.opened.plan;
    let units: Units = plan.units.into();
    let mut out = String::new();
    let (mut low, mut high) = (f64::INFINITY, 0.0_f64);
    for m in &u.months {
        low = low.min(m.loading_kg_vs_m3_d);
        high = high.max(m.loading_kg_vs_m3_d);
    }
    if !u.months.is_empty() {
        let us = plan.units == UnitSystem::Us;
        let mass = |kg: f64| print(Mass::new::<kilogram>(kg), units);
        // lb per 100 cu ft in a kg/m3, exact from the pound and the foot.
        let load = if us { 6.242_796_057_614_5 } else { 1.0 };
        let head = [
            "feed a day",
            "fresh",
            "water",
            "solids %",
            "stays days",
            if us { "lb VS/100 cu ft" } else { "kg VS/m3" },
        ];
        let mut sides = [Side::Right; 6];
        sides[0] = Side::Left;
        let rows: Vec<Vec<String>> = u
            .months
            .iter()
            .map(|m| {
                vec![
                    say::MONTHS[m.month].to_owned(),
                    mass(m.fresh_kg),
                    mass(m.water_kg),
                    number_band(100.0 * m.solids_share, 100.0 * m.solids_share),
                    format!("{:.0}", m.retention_d),
                    number_band(load * m.loading_kg_vs_m3_d, load * m.loading_kg_vs_m3_d),
                ]
            })
            .collect();
        out += &table(&head, &sides, &rows);
    }
    if let Some(c_to_n) = u.carbon_to_nitrogen {
        out += &wrap(
            &format!(
                "C:N {c_to_n:.0} by mass balance, at the middle figures of the feedstocks; slurries \
                 stand below 20 by nature."
            ),
            "",
            "",
        );
    }
    for w in &plan.waste {
        if let WasteBasis::Animals {
            animal,
            head,
            collected,
        } = &w.basis
        {
            out += &wrap(
                &format!(
                    "{}: {head} head of {animal}, {:.0} % of the dung collected",
                    w.label,
                    100.0 * collected
                ),
                "  ",
                "  ",
            );
        }
    }
    out.push('\n');
    out
}

/// Figures whose origin is shown.
const SHOWN: [(&str, &str); 5] = [
    ("total_solids", "TS"),
    ("volatile_of_ts", "VS"),
    ("bmp", "CH4"),
    ("hydrolysis_per_d", "rate"),
    ("nitrogen_of_ts", "N"),
];

fn feedstocks(u: &Understood<'_>) -> String {
    let head = [
        "feedstock",
        "goes into",
        "solids %",
        "CH4 L/kg VS",
        "where from",
    ];
    let sides = [Side::Left, Side::Left, Side::Right, Side::Right, Side::Left];
    let rows: Vec<Vec<String>> = u
        .feedstocks
        .iter()
        .map(|(f, place)| {
            vec![
                f.id.clone(),
                (*place).to_owned(),
                number_band(100.0 * f.total_solids.low, 100.0 * f.total_solids.high),
                number_band(1000.0 * f.bmp.low, 1000.0 * f.bmp.high),
                origins(f),
            ]
        })
        .collect();
    format!(
        "{}{}",
        table(&head, &sides, &rows),
        wrap(
            "Every figure of one with its source:  fenlamp feedstocks ID",
            "",
            ""
        )
    )
}

/// "yours CH4; read TS VS", gathered by how the figures were got.
fn origins(f: &Feedstock) -> String {
    let mut groups: Vec<(&str, Vec<&str>)> = Vec::new();
    for (field, short) in SHOWN {
        let Some(origin) = f.origins.iter().find(|o| o.field == field) else {
            continue;
        };
        let got = how(origin.how);
        match groups.iter_mut().find(|(g, _)| *g == got) {
            Some((_, fields)) => fields.push(short),
            None => groups.push((got, vec![short])),
        }
    }
    let parts: Vec<String> = groups
        .into_iter()
        .map(|(g, fields)| format!("{g} {}", fields.join(" ")))
        .collect();
    parts.join("; ")
}
