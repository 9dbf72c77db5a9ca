//! Published worked values, closed balances, and the classes.

use jiff::civil::date;

use super::*;
use crate::plan::{NoFiles, read};
use crate::reference::{feedstocks, source};
use crate::world;
use crate::world::Counter;
use crate::world::draw::{WorldDraw, latin_hypercube};
use crate::world::fractionate::{FeedDraw, charge_of};
use crate::world::inferred::Inferred;
use crate::world::{DayRow, Shared};
use fenlamp_adm1::state::{PLAIN_POOLS, POOLS};

/// An invented warm yard; `{run}` says how the vessel is run.
const YARD: &str = include_str!("../../tests/plans/warm-yard.toml");

fn yard(run: &str) -> Plan {
    let mut text = YARD.replace("{run}", run);
    if run.contains("batch") {
        let (before, rest) = text.split_once("[[waste]]").unwrap();
        let (_, after) = rest.split_once("[[first_fill.feed]]").unwrap();
        text = format!("{before}[[first_fill.feed]]{after}");
    }
    read(&text, "yard.toml", &NoFiles).unwrap_or_else(|e| panic!("{e}"))
}

/// A world made by hand: so many days alike.
fn alike(days: usize, row: DayRow) -> WorldRun {
    WorldRun {
        days: vec![row; days],
        ..WorldRun::default()
    }
}

fn near(got: f64, wanted: f64, relative: f64) {
    assert!(
        (got - wanted).abs() <= relative * wanted.abs(),
        "{got} against {wanted}"
    );
}

/// Tables of `hygiene_and_digestate.md` section 1 (40 CFR 503.32, as copied in
/// NC-02T1106; EPA625 for the straight line).
#[test]
fn times_are_those_of_the_sludge_rules() {
    for (t, days) in [
        (50.0, 13.170),
        (52.0, 6.912),
        (55.0, 2.628),
        (57.0, 1.379),
        (60.0, 0.5243),
        (65.0, 0.1046),
        (70.0, 0.02087),
    ] {
        near(days_held_hot(t).unwrap(), days, 5e-4);
    }
    assert_eq!(days_held_hot(49.9), None);
    for (t, days) in [
        (20.0, 60.0),
        (22.0, 54.0),
        (25.0, 45.0),
        (28.0, 36.0),
        (32.0, 24.0),
        (35.0, 15.0),
        (50.0, 15.0),
    ] {
        near(days_digested_warm(t).unwrap(), days, 1e-12);
    }
    assert_eq!(days_digested_warm(19.9), None);
    // Share of outflow younger than five days.
    for (retention, share) in [(15.0, 0.283), (30.0, 0.154), (60.0, 0.080)] {
        assert!((younger_than(5.0, retention) - share).abs() < 6e-4);
    }
}

/// The varying-temperature examples of the same section.
#[test]
fn a_changing_hold_adds_up() {
    let hold = |days: &[f64]| {
        let rows = days.iter().map(|&slurry_c| DayRow {
            slurry_c,
            ..DayRow::default()
        });
        let run = WorldRun {
            days: rows.collect(),
            ..WorldRun::default()
        };
        progress(&run).1.held_hot
    };
    near(hold(&[50.0, 50.0, 52.0, 52.0, 55.0]), 0.8218, 5e-4);
    near(hold(&[55.0; 3]), 1.1417, 5e-4);
    assert_eq!(hold(&[49.0; 400]), 0.0);
}

#[test]
fn a_fed_vessel_at_rest_has_its_retention_over_the_needed_days() {
    // 30 degC asks for 30 days; 10 L a day through 400 L stay 40.
    let fed = DayRow {
        slurry_c: 30.0,
        fed_kg: 10.0,
        slurry_l: 400.0,
        ..DayRow::default()
    };
    let (leaving, _) = progress(&alike(600, fed));
    near(leaving[599].digested_warm, 40.0 / 30.0, 0.03);
    // Never a batch: each feed begins the hold anew, however hot.
    let hot = DayRow {
        slurry_c: 60.0,
        ..fed
    };
    let (leaving, _) = progress(&alike(30, hot));
    assert!(leaving.iter().all(|p| p.held_hot < 2.0));
    let cold = DayRow {
        slurry_c: 15.0,
        ..fed
    };
    assert_eq!(progress(&alike(400, cold)).1.digested_warm, 0.0);
}

#[test]
fn fresh_feed_leaves_no_hold_even_at_55() {
    let fed = DayRow {
        slurry_c: 55.0,
        fed_kg: 10.0,
        slurry_l: 400.0,
        ..DayRow::default()
    };
    let (leaving, last) = progress(&alike(100, fed));
    assert!(leaving.iter().all(|p| p.held_hot < 1.0) && last.held_hot < 1.0);
}

/// Section 5: 20 L/day at 3.0 kg N/m3 is 21.9 kg N a year and needs 1288 m2;
/// 30, 60, 120 and 170 kg N/ha at 3.0 kg/m3; 180 days of 20 L.
#[test]
fn land_and_store_are_those_of_the_worked_values() {
    near(area_m2(20.0 * 365.0 * 3.0 / 1000.0), 1288.0, 5e-4);
    for (kg_ha, l_m2) in [(30.0, 1.0), (60.0, 2.0), (120.0, 4.0), (170.0, 5.67)] {
        near(dressing_l_m2(kg_ha, 3.0), l_m2, 1e-3);
    }
    let dates: Vec<Date> = (0..365)
        .map(|d| date(2026, 7, 1).saturating_add(d.days()))
        .collect();
    // October to March are 182 days.
    let cold = std::array::from_fn(|m| !(3..9).contains(&m));
    near(
        land::most_over_cold_season(&dates, &[20.0; 365], &cold),
        3640.0,
        1e-12,
    );
    assert_eq!(
        land::most_over_cold_season(&dates, &[20.0; 365], &[false; 12]),
        0.0
    );
    // Applied on 1 March: 29 June and 30 May.
    assert_eq!(first_harvest(date(2026, 3, 1), 120.0), date(2026, 6, 29));
    assert_eq!(first_harvest(date(2026, 3, 1), 90.0), date(2026, 5, 30));
    near(land::P2O5_OF_P, 2.2914, 1e-4);
    near(land::K2O_OF_K, 1.2046, 1e-4);
}

#[test]
fn every_key_leads_to_a_source() {
    for key in SOURCE_KEYS.concat() {
        assert!(source(key).is_some(), "{key}");
    }
    assert!(wait("raw manure to harvest, crop touches soil") == 120.0);
    assert!(wait("raw manure to harvest, crop off the soil") == 90.0);
}

#[test]
fn a_kilogram_of_every_feedstock_weighs_what_its_row_says() {
    let c = fenlamp_adm1::constants::Constants::reference();
    for f in feedstocks() {
        let fractions = crate::world::fractionate::Fractions::new(f, &c);
        let pool = fractions.pool(f.hydrolysis_per_d.mid, &c);
        let model = fenlamp_adm1::Digestion::new(
            fenlamp_adm1::constants::Constants::reference(),
            vec![pool],
        );
        let counter = Counter::new(
            &model.content,
            std::slice::from_ref(f),
            std::slice::from_ref(&fractions),
        );
        let draw = FeedDraw {
            own_methanogens: 0.0,
            carbon: 1.0,
            ..FeedDraw::central(f)
        };
        let charge = charge_of(
            f,
            &fractions,
            &draw,
            &Inferred::middle(),
            POOLS + PLAIN_POOLS,
            &model.content,
            &c,
        );
        let m = counter.count(&charge);
        let ts = f.total_solids.mid;
        // The acidogens that come along hold 0.2 % of the solids besides.
        let vs = ts * f.volatile_of_ts;
        // Starch and milk sugar that dissolve at once take up water, a ninth of their mass.
        assert!(
            (-0.03..=0.12).contains(&(m.volatile_solids_kg / vs - 1.0)),
            "{}: {m:?} against {vs}",
            f.id
        );
        let n = ts * f.nitrogen_of_ts;
        assert!(
            (m.nitrogen_kg - n).abs() <= 4e-4 * ts,
            "{}: {m:?} against {n}",
            f.id
        );
        near(
            m.ammonium_nitrogen_kg.max(n * f.ammonium_share),
            m.ammonium_nitrogen_kg,
            1e-9,
        );
        near(m.litres, 1.0, 1e-12);
    }
}

#[test]
fn what_went_in_ran_out_or_is_held() {
    for run in [
        "run = \"overflow\"",
        "run = \"overflow\" # in series",
        "run = \"draw off\"\ndraw_off_every = \"7 days\"\ndraw_off_leaves = \"60 %\"",
        "run = \"topped up\"",
        "run = \"batch\"",
    ] {
        let mut plan = yard(run);
        if run.contains("series") {
            plan.vessel.stages = 3;
        }
        if run.contains("topped") {
            // Room for what is topped up.
            let kg = uom::si::f64::Mass::new::<uom::si::mass::kilogram>;
            plan.first_fill.water = Some(kg(300.0));
        }
        let shared = Shared::new(&plan);
        for draw in latin_hypercube(&plan, 2, 3) {
            let r = world::run(&plan, &shared, &draw).unwrap();
            let mut found = sum(&r.ran_out);
            found.add(&r.held);
            near(found.litres, r.put_in.litres, 1e-9);
            near(found.nitrogen_kg, r.put_in.nitrogen_kg, 1e-7);
            near(found.phosphorus_kg, r.put_in.phosphorus_kg, 1e-9);
            near(found.potassium_kg, r.put_in.potassium_kg, 1e-9);
            // Volatile solids leave as gas; ammonium is set free.
            assert!(
                found.volatile_solids_kg < 0.9 * r.put_in.volatile_solids_kg,
                "{run}"
            );
            assert!(
                found.ammonium_nitrogen_kg > r.put_in.ammonium_nitrogen_kg,
                "{run}"
            );
            // Of dung the row knows neither; the peelings bring both.
            let fed = !run.contains("batch");
            assert_eq!(
                r.put_in.phosphorus_kg > 0.0 && r.put_in.potassium_kg > 0.0,
                fed
            );
        }
    }
}

/// The published bands are wide: 0.45 to 0.60 of the nitrogen as ammonium for
/// whole cattle digestate (MOLLER12, from memory), 2.6 to 5.0 kg N/m3 at 4 to 7 %
/// dry matter (RB209, from memory).
#[test]
fn cattle_slurry_digestate_looks_like_it() {
    let text = YARD
        .replace("{run}", "run = \"overflow\"")
        .replace("cow_dung", "cow_slurry")
        .replace("\"8 kg/day\"", "\"16 kg/day\"");
    let plan = read(&text, "yard.toml", &NoFiles).unwrap();
    let r = world::run(&plan, &Shared::new(&plan), &WorldDraw::central(&plan)).unwrap();
    let g_l = 1000.0 * r.held.nitrogen_kg / r.held.litres;
    let share = r.held.ammonium_nitrogen_kg / r.held.nitrogen_kg;
    assert!((1.5..5.5).contains(&g_l), "{g_l} kg N/m3");
    assert!((0.40..0.75).contains(&share), "{share} ammonium");
}

/// A forecast of two worlds.
fn digestate(plan: &Plan) -> Digestate {
    let shared = Shared::new(plan);
    let runs: Vec<WorldRun> = latin_hypercube(plan, 2, 1)
        .iter()
        .map(|d| world::run(plan, &shared, d).unwrap())
        .collect();
    let dates: Vec<Date> = (0..plan.days)
        .map(|d| plan.start.saturating_add(i64::from(d).days()))
        .collect();
    summarise(plan, &dates, &runs)
}

#[test]
fn months_add_up() {
    let plan = yard("run = \"overflow\"");
    let d = digestate(&plan);
    assert_eq!(d.months.len(), 4);
    let each: f64 = d.months.iter().map(|m| m.matter.litres.p50).sum();
    near(each, d.ran_out.litres.p50, 0.02);
    assert_eq!(d.land.closed_months.iter().filter(|c| **c).count(), 2);
    near(
        d.land.closed_season_l.p50,
        d.months[0].matter.litres.p50 + d.months[1].matter.litres.p50,
        0.02,
    );
}

#[test]
fn classes_follow_warmth_and_what_went_in() {
    let fresh = class_of(&[(20.0, 10.0)], "cow_dung");
    assert_eq!(fresh, Class::CoolOrShort);
    assert_eq!(class_of(&[(30.0, 40.0)], "cow_dung"), Class::DigestedWarm);
    assert_eq!(class_of(&[(30.0, 20.0)], "cow_dung"), Class::CoolOrShort);
    assert_eq!(class_of(&[(56.0, 3.0)], "cow_dung"), Class::HeldHot);
    assert_eq!(class_of(&[(56.0, 300.0)], "human_faeces"), Class::NotOnFood);
    let barred: Vec<&str> = feedstocks()
        .iter()
        .filter(|f| bars_food(f))
        .map(|f| f.id.as_str())
        .collect();
    assert_eq!(
        barred,
        [
            "human_faeces",
            "human_urine",
            "human_excreta",
            "meat_scraps"
        ]
    );
    let mut own = feedstocks()[0].clone();
    (own.id, own.name) = ("litter_box".to_owned(), "Cat litter".to_owned());
    assert!(bars_food(&own));
    own.name = "Scraps without meat".to_owned();
    assert!(!bars_food(&own));
    assert!(Class::NotOnFood > Class::CoolOrShort && Class::CoolOrShort > Class::HeldHot);
}

/// Class of a batch after so many days at so many degC.
fn class_of(spans: &[(f64, f64)], id: &str) -> Class {
    let days = spans.iter().flat_map(|&(slurry_c, days)| {
        std::iter::repeat_n(
            DayRow {
                slurry_c,
                slurry_l: 400.0,
                ..DayRow::default()
            },
            days as usize,
        )
    });
    let run = WorldRun {
        days: days.collect(),
        ..WorldRun::default()
    };
    let (_, last) = progress(&run);
    class(
        last.held_hot,
        last.digested_warm,
        bars_food(feedstocks().iter().find(|f| f.id == id).unwrap()),
    )
}

#[test]
fn nothing_breaks_without_worlds_or_slurry() {
    let plan = yard("run = \"batch\"");
    assert_eq!(summarise(&plan, &[], &[]), Digestate::default());
    let d = digestate(&plan);
    assert!(d.ran_out.litres.p90 == 0.0 && d.held.litres.p50 > 800.0 && d.worst_class.is_none());
}
